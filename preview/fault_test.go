package preview

import (
	"context"
	"errors"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/photo"
	"gapshade/segment"
)

func TestFaultText(t *testing.T) {
	f := &Fault{What: "layout.jpg", Why: "it ends early", Err: io.ErrUnexpectedEOF}
	assert.Equal(t, "layout.jpg: it ends early", f.Error())
	assert.ErrorIs(t, fmt.Errorf("reading: %w", f), io.ErrUnexpectedEOF)
	assert.Equal(t, "no shades", (&Fault{What: "no shades"}).Error())
}

// Each kind of refusal has its code; words and hint are the photo's own.
func TestFromPhoto(t *testing.T) {
	for kind, code := range map[photo.Kind]int{photo.Unreadable: CodePhoto, photo.Unsupported: CodePhoto, photo.OverLimit: CodeLimit} {
		err := FromPhoto(fmt.Errorf("wrapped: %w", &photo.Error{Kind: kind, What: "a.jpg", Why: "why", Next: "next"}))
		f, ok := err.(*Fault)
		require.True(t, ok)
		assert.Equal(t, Fault{Code: code, What: "a.jpg", Why: "why", Next: "next", Err: f.Err}, *f)
	}
	stopped := fmt.Errorf("a.jpg: %w", context.Canceled)
	assert.Equal(t, stopped, FromPhoto(stopped), "an interrupt is no fault of the photo")
	f, ok := FromPhoto(errors.New("disk on fire")).(*Fault)
	require.True(t, ok)
	assert.Equal(t, CodePhoto, f.Code)
	assert.Contains(t, f.Error(), "disk on fire")
}

func TestNoGapsIsCodeSix(t *testing.T) {
	f, ok := faultOf(&segment.NoGapsError{Why: "nothing stands out"}).(*Fault)
	require.True(t, ok)
	assert.Equal(t, CodeNoGaps, f.Code)
	assert.Equal(t, "no reliable gaps found: nothing stands out", f.Error())
	assert.Contains(t, f.Next, "--corners")
	assert.Equal(t, context.Canceled, faultOf(context.Canceled))
}
