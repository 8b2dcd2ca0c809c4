package preview

import (
	"context"
	"errors"
	"fmt"

	"gapshade/preview/photo"
	"gapshade/preview/quantity"
	"gapshade/segment"
)

// The exit codes of the command; a Fault carries one.
const (
	CodeOK          = 0
	CodeFailure     = 1
	CodeUsage       = 2
	CodePhoto       = 3 // unreadable or unsupported
	CodeLimit       = 4
	CodeOutput      = 5 // exists, or can't be written
	CodeNoGaps      = 6
	CodeSome        = 7 // some photos of a set failed
	CodeInterrupted = 130
)

// Fault is an error as a person should read it: what and where, why, and what
// to try next. The command and any page show the same words.
type Fault struct {
	Code int
	What string // what went wrong and where, one clause
	Why  string // what was found; may be empty
	Next string // what to do; may be empty
	Flag string // the flag whose value was refused, without dashes; empty when What names it, or none was
	Err  error  // the cause; may be nil
}

func (f *Fault) Error() string {
	if f.Why == "" {
		return f.What
	}
	return f.What + ": " + f.Why
}

func (f *Fault) Unwrap() error { return f.Err }

// faultOf dresses an error of the makers. Cancellation passes unchanged.
func faultOf(err error) error {
	if noGaps, ok := errors.AsType[*segment.NoGapsError](err); ok {
		return &Fault{Code: CodeNoGaps, What: "no reliable gaps found", Why: noGaps.Why, Err: err,
			Next: "photograph the layout from straight above, sharp and evenly lit, tiles filling most of the picture; " +
				"give --corners if other things are in view, or --gap with the joint width (and --size); " +
				"or paint some gaps and tiles on a copy for --marks"}
	}
	if pair, ok := errors.AsType[*segment.PairError](err); ok {
		return pairFault(pair)
	}
	return err
}

// FromPhoto dresses an error of reading a photo.
func FromPhoto(err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	e, ok := errors.AsType[*photo.Error](err)
	if !ok {
		return &Fault{Code: CodePhoto, What: "the photo can't be read", Why: err.Error(), Err: err}
	}
	code := CodePhoto
	if e.Kind == photo.OverLimit {
		code = CodeLimit
	}
	return &Fault{Code: code, What: e.What, Why: e.Why, Next: e.Next, Err: err}
}

// FromJob dresses an error of planning the rest of the job: what was asked for
// can't be.
func FromJob(err error) error {
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		return &Fault{Code: CodeUsage, What: e.What, Next: e.Next, Flag: e.Flag, Err: err}
	}
	return err
}

// usage is a fault in what the person asked for.
func usage(what, next string, args ...any) *Fault {
	return &Fault{Code: CodeUsage, What: fmt.Sprintf(what, args...), Next: next}
}
