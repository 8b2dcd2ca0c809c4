package main

// Rules of output. The result goes to stdout, everything else to stderr.
// Errors are one line, lower case, no full stop, then a line that begins with
// "try:". Progress appears on stderr only when that is a terminal, and carries
// no escape codes. --quiet prints nothing but errors; --json prints report.json
// on stdout and nothing else.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"gapshade/preview"
)

// talk is where words go.
type talk struct {
	out, err io.Writer
	quiet    bool
}

// fail prints an error and returns its exit code.
func (t *talk) fail(err error) int {
	c := code(err)
	if err == nil {
		return c
	}
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(t.err, "gapshade: interrupted; nothing was written")
		return c
	}
	fmt.Fprintln(t.err, "gapshade: "+printable(err.Error()))
	if f, ok := errors.AsType[*preview.Fault](err); ok && f.Next != "" {
		fmt.Fprintln(t.err, "try: "+printable(f.Next))
	}
	return c
}

// progress says what is being done, to a person at a terminal.
func (t *talk) progress(format string, args ...any) {
	if f, ok := t.err.(*os.File); !ok || t.quiet || !isTerminal(f) {
		return
	}
	fmt.Fprintln(t.err, printable(fmt.Sprintf(format, args...)))
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// printable keeps control characters (escape codes in a file's name) off the
// terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || (r >= ' ' && r != 0x7f && !(r >= 0x80 && r < 0xa0)) {
			return r
		}
		return '?'
	}, s)
}

func quote(s string) string { return strconv.Quote(s) }
