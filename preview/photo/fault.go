package photo

import (
	"context"
	"errors"
	"fmt"
)

// Kind sorts refusals by what the caller does about them.
type Kind int

// The kinds.
const (
	Unreadable  Kind = iota // broken, cut short, empty, not a file
	Unsupported             // a format that is known by name but not read
	OverLimit               // larger or slower than the limits allow
)

// Error is a refused photo.
type Error struct {
	Kind Kind
	What string // the photo's name
	Why  string // what was found, in plain words
	Next string // what to do instead; a hint to print under the error
	Err  error  // the cause, where another error brought it about; may be nil
}

// Error is one sentence: the photo and what was found.
func (e *Error) Error() string {
	if e.What == "" {
		return e.Why
	}
	return e.What + ": " + e.Why
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// What to do next; the same words wherever the same thing is wrong.
const (
	nextExport  = "export the photo as JPEG or PNG and use that file"
	nextCopy    = "copy the file from the camera or phone again"
	nextSmaller = "save a smaller copy of the photo and use that file"
	nextPick    = "give the photo of the layout, a JPEG, PNG, HEIC, WebP, TIFF or BMP file"
)

// unreadable, unsupported and overLimit are the three kinds of refusal, still
// without the photo's name.
func unreadable(why string) *Error {
	return &Error{Kind: Unreadable, Why: why, Next: nextCopy}
}

func unsupported(why, next string) *Error {
	return &Error{Kind: Unsupported, Why: why, Next: next}
}

func overLimit(format string, args ...any) *Error {
	return &Error{Kind: OverLimit, Why: fmt.Sprintf(format, args...), Next: nextSmaller}
}

// stopped turns a finished context into what the caller should see: a
// cancelled run stays context.Canceled, a missed deadline is over a limit.
func stopped(name string, err error) error {
	if errors.Is(err, context.DeadlineExceeded) {
		e := overLimit("reading it took longer than allowed")
		e.What, e.Err = name, err
		return e
	}
	return fmt.Errorf("%s: reading stopped: %w", name, err)
}
