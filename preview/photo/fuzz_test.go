package photo

import (
	"bytes"
	"context"
	"errors"
	"testing"
	"time"
)

// Small limits keep a fuzzer from spending its time on large pictures; every
// rule of the gate is met all the same.
var fuzzLimits = Limits{Pixels: 1 << 18, Side: 4096, Bytes: 1 << 20, Scans: 20, Metadata: 1 << 16, Threads: 1}

// seeds are the small files of the corpus.
func seeds(f *testing.F, largest int) {
	for _, c := range corpus(f) {
		if len(c.b) <= largest {
			f.Add(c.b)
		}
	}
	for _, b := range everyFormat(f) {
		if len(b) <= largest {
			f.Add(b)
		}
	}
}

// FuzzOpen: gate and decoders. Whatever comes in, out comes a picture of the
// stated size or an *Error, soon. HEIC ends at its header here: the decoder
// behind it is a sandbox of its own, and too slow to be fuzzed through.
func FuzzOpen(f *testing.F) {
	seeds(f, 4000)
	f.Fuzz(func(t *testing.T, b []byte) {
		if isHEIF(b) {
			return
		}
		ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
		defer cancel()
		p, err := Open(ctx, "x", bytes.NewReader(b), fuzzLimits)
		if err == nil {
			if len(p.Picture.Pix) != 3*p.W*p.H || len(p.RGBA().Pix) != 4*p.W*p.H {
				t.Fatal("the picture has another size than stated")
			}
			return
		}
		var e *Error
		if !errors.As(err, &e) || e.Why == "" || e.Next == "" {
			t.Fatalf("no sentence for the reader: %v", err)
		}
		if errors.Is(err, context.DeadlineExceeded) {
			t.Fatal("a small file took five seconds")
		}
	})
}

// FuzzExif: orientation is 0…8, and nothing panics.
func FuzzExif(f *testing.F) {
	for o := range 10 {
		f.Add(turnedExif(o))
	}
	f.Add(exifColour(65535, "R03"))
	f.Add(exifBlock(exifEntry{34665, 4, 1, 8}))
	f.Fuzz(func(t *testing.T, b []byte) {
		if x := readExif(b); x.orientation < 0 || x.orientation > 8 || x.colourSpace < 0 {
			t.Fatalf("%+v", x)
		}
	})
}

// FuzzHEIFBoxes: the header of any HEIF file, without the decoder.
func FuzzHEIFBoxes(f *testing.F) {
	for _, c := range oddHEIFs(f) {
		f.Add(c.b[:min(len(c.b), 1200)])
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		h, refusal := heifHeader(b)
		if (h == nil) == (refusal == nil) {
			t.Fatal("neither header nor refusal, or both")
		}
		if h != nil && (h.w <= 0 || h.h <= 0 || h.turn != 1) {
			t.Fatalf("%+v", h)
		}
	})
}

// FuzzHeaders: the other header readers by themselves, panics not caught.
func FuzzHeaders(f *testing.F) {
	seeds(f, 2000)
	f.Fuzz(func(t *testing.T, b []byte) {
		format, refusal := sniff(b)
		if refusal != nil {
			return
		}
		if h, refusal := format.header(b); (h == nil) == (refusal == nil) {
			t.Fatal("neither header nor refusal, or both")
		}
	})
}
