package photo

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"io"
)

// guardHeader reads a header; a panic in it becomes an error. None is known:
// this is the net under code that reads what strangers wrote.
func guardHeader(f format, data []byte) (h *header, refusal *Error) {
	defer func() {
		if recover() != nil {
			h, refusal = nil, unreadable("it is damaged; the "+f.title+" header makes no sense")
		}
	}()
	return f.header(data)
}

// guardDecode runs a decoder under the deadline of ctx. Decoders that read as
// they go are stopped by their reader; one that does not is left behind, and
// ends by itself a little later.
func guardDecode(ctx context.Context, f format, data []byte, h *header) (image.Image, error) {
	type result struct {
		img image.Image
		err error
	}
	done := make(chan result, 1)
	go func() {
		defer func() {
			if recover() != nil {
				done <- result{nil, errors.New("decoder fault")}
			}
		}()
		img, err := f.decode(ctx, data, h)
		done <- result{img, err}
	}()
	// The channel has room for one result, so a decoder that comes late ends
	// without anyone waiting for it.
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case r := <-done:
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return checked(f, r.img, r.err, h)
	}
}

// checked turns a decoder's words into ours, and makes sure that the picture
// is the one the gate let through.
func checked(f format, img image.Image, err error, h *header) (image.Image, error) {
	var own *Error
	switch {
	case errors.As(err, &own):
		return nil, own
	case err != nil && h.cutOff || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		e := unreadable("it ends early; a part of the picture is missing")
		e.Err = err
		return nil, e
	case err != nil || img == nil:
		e := unreadable("it is damaged; the " + f.title + " data cannot be decoded")
		e.Err = err
		return nil, e
	}
	if b := img.Bounds(); b.Dx() != h.w || b.Dy() != h.h {
		return nil, unreadable("it is damaged; header and picture differ in size")
	}
	return img, nil
}

// decodeJPEG adds an end marker behind the file: it costs nothing where there
// is one, and saves a photo that lost only its last two bytes.
func decodeJPEG(ctx context.Context, b []byte, h *header) (image.Image, error) {
	r := io.MultiReader(bytes.NewReader(b), bytes.NewReader([]byte{0xff, 0xd9}))
	return jpeg.Decode(&patientReader{ctx, r})
}

// decodePNG checks every checksum on the way; a photo that fails one is
// refused rather than shown with a wrong stripe.
func decodePNG(ctx context.Context, b []byte, h *header) (image.Image, error) {
	return png.Decode(&patientReader{ctx, bytes.NewReader(b)})
}
