package photo

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
)

// OpenFile reads a photo from a file. Errors are *Error, or wrap
// context.Canceled when ctx was cancelled.
func OpenFile(ctx context.Context, path string, l Limits) (*Photo, error) {
	name := baseName(path)
	info, err := os.Stat(path)
	if err != nil {
		return nil, fileError(name, err)
	}
	if info.IsDir() {
		return nil, &Error{Kind: Unreadable, What: name, Why: "it is a folder, not a photo", Next: nextPick}
	}
	// A pipe or a device could give bytes without end, or none for ever.
	if !info.Mode().IsRegular() {
		return nil, &Error{Kind: Unreadable, What: name, Why: "it is not a plain file", Next: nextPick}
	}
	if limit := l.filled().Bytes; info.Size() > limit {
		return nil, fileSize(name, limit)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(name, err)
	}
	defer f.Close()
	return Open(ctx, path, f, l)
}

// Open reads a photo from r; name is only for messages, and only its last
// part is kept. A deadline of ctx bounds the decoding: when it passes, Open
// returns within half a second. Errors are *Error, or wrap context.Canceled.
func Open(ctx context.Context, name string, r io.Reader, l Limits) (*Photo, error) {
	name, l = baseName(name), l.filled()
	// One byte more than allowed tells a file at the limit from one above it.
	data, err := io.ReadAll(io.LimitReader(&patientReader{ctx, r}, l.Bytes+1))
	switch {
	case ctx.Err() != nil:
		return nil, stopped(name, ctx.Err())
	case err != nil:
		return nil, fileError(name, err)
	case int64(len(data)) > l.Bytes:
		return nil, fileSize(name, l.Bytes)
	}
	p, err := read(ctx, data, l)
	if err != nil {
		return nil, named(name, err)
	}
	sum := sha256.Sum256(data)
	p.Name, p.SHA256 = name, hex.EncodeToString(sum[:])
	return p, nil
}

// read is the whole way of a file: format, header, gate, pixels, colour.
func read(ctx context.Context, data []byte, l Limits) (*Photo, error) {
	f, refusal := sniff(data)
	if refusal != nil {
		return nil, refusal
	}
	h, refusal := guardHeader(f, data)
	if refusal == nil {
		refusal = l.gate(h, len(data))
	}
	if refusal != nil {
		return nil, refusal
	}
	pix, err := guardDecode(ctx, f, data, h)
	if err != nil {
		return nil, err
	}
	return finish(f.name, pix, h, l)
}

// named puts the photo's name into an error that has none yet.
func named(name string, err error) error {
	var e *Error
	if errors.As(err, &e) {
		e.What = name
		return e
	}
	return stopped(name, err)
}

// fileError dresses what the file system says; its own words carry the whole
// path, which is nobody's business in a report.
func fileError(name string, err error) error {
	e := &Error{Kind: Unreadable, What: name, Why: "it cannot be read", Next: nextCopy, Err: err}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		e.Why, e.Next = "there is no such file", "check the name and the folder"
	case errors.Is(err, fs.ErrPermission):
		e.Why, e.Next = "no permission to read it", "copy the file to a folder of your own"
	}
	return e
}

// fileSize is the refusal of a file that is too large to be read at all.
func fileSize(name string, limit int64) error {
	e := overLimit("the file is larger than %.0f MB", float64(limit)/1e6)
	e.What = name
	return e
}

// baseName keeps the last part of a path, and of that only what is safe to
// print on a terminal.
func baseName(path string) string {
	// Names from a browser may carry the other system's separator.
	name := filepath.Base(strings.ReplaceAll(path, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return unicode.ReplacementChar
		}
		return r
	}, name)
	if name == "." || name == "/" {
		return "photo"
	}
	return name
}

// patientReader fails once ctx is done, which stops a decoder that would
// otherwise go on.
type patientReader struct {
	ctx context.Context
	r   io.Reader
}

// Read asks the context first.
func (p *patientReader) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.r.Read(b)
}
