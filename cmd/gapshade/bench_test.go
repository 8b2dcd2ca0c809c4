package main

import (
	"bytes"
	"context"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strconv"
	"sync"
	"testing"
	"time"

	xdraw "golang.org/x/image/draw"

	"gapshade/examples"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// benchWidth makes a photo of 12 megapixels of the bundled one.
const benchWidth = 4000

// sixShades are as many as a person compares at a time.
const sixShades = "near-white,light-warm,mid-true,mid-cool,dark-warm,near-black"

// rounds is how often the command and the floor take turns; the fastest of each
// count, because a shared machine only ever makes things slower.
const rounds = 4

// BenchmarkWholeCommand compares the whole command (photo in, six shades, every
// file written, all processors) with F, the least that files alone cost on one
// processor: decode, one conversion to RGBA, six encodes at quality 90, all with
// the standard library. Both are measured in turns in the same run, so that the
// ratio says something on any machine. "spin" is how much slower two busy loops
// run side by side than one: near 1 on two free processors, near 2 when there is
// only one to have, and then the ratio is a worst case. "cpu/F" compares the
// processor time of all threads, which other work on the machine hardly moves;
// half of it is the best that two free processors could do.
//
//	go test ./cmd/gapshade -run '^$' -bench WholeCommand -benchtime 1x
func BenchmarkWholeCommand(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(garbagePercent))
	photo := enlargedPhoto(b)
	for b.Loop() {
		floor, whole := spent{time.Hour, time.Hour}, spent{time.Hour, time.Hour}
		spin := 0.0
		for i := range rounds {
			floor = floor.least(timed(func() { benchFloor(b, photo) }))
			spin += spinRatio() / rounds
			out := filepath.Join(b.TempDir(), strconv.Itoa(i))
			whole = whole.least(timed(func() { benchCommand(b, photo, out) }))
		}
		b.ReportMetric(floor.wall.Seconds(), "s/F")
		b.ReportMetric(whole.wall.Seconds(), "s/command")
		b.ReportMetric(whole.wall.Seconds()/floor.wall.Seconds(), "F")
		b.ReportMetric(whole.cpu.Seconds()/max(floor.cpu.Seconds(), 1e-9), "cpu/F")
		b.ReportMetric(spin, "spin")
	}
}

// BenchmarkAnalysis compares the gap finder alone (linear picture in, map of
// gaps and tiles out; panel and size known) with F. "MB" is the most memory that
// was in use at once, the picture of 12 megapixels (137 MiB) included.
//
//	go test ./cmd/gapshade -run '^$' -bench Analysis -benchtime 1x
func BenchmarkAnalysis(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(garbagePercent))
	path := enlargedPhoto(b)
	ph, err := photo.OpenFile(context.Background(), path, photo.Limits{Lean: true})
	if err != nil {
		b.Fatal(err)
	}
	pic := ph.Linear() // ph itself is not needed any more
	finder, err := segment.NewFinder()
	if err != nil {
		b.Fatal(err)
	}
	find := func() {
		if _, err := finder.Find(context.Background(), pic, segment.Options{}); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		floor, whole := spent{time.Hour, time.Hour}, spent{time.Hour, time.Hour}
		spin := 0.0
		for range rounds {
			floor = floor.least(timed(func() { benchFloor(b, path) }))
			spin += spinRatio() / rounds
			whole = whole.least(timed(find))
		}
		b.ReportMetric(floor.wall.Seconds(), "s/F")
		b.ReportMetric(whole.wall.Seconds(), "s/analysis")
		b.ReportMetric(peakMemory(find), "MB")
		b.ReportMetric(whole.wall.Seconds()/floor.wall.Seconds(), "F")
		b.ReportMetric(whole.cpu.Seconds()/max(floor.cpu.Seconds(), 1e-9), "cpu/F")
		b.ReportMetric(spin, "spin")
	}
}

// peakMemory is the most memory of the Go heap in use at once while work runs,
// in millions of bytes, looked at every two milliseconds, before the garbage in
// it is collected.
func peakMemory(work func()) float64 {
	runtime.GC()
	done, peak := make(chan struct{}), make(chan uint64)
	go func() {
		var most uint64
		sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		for {
			metrics.Read(sample)
			most = max(most, sample[0].Value.Uint64())
			select {
			case <-done:
				peak <- most
				return
			case <-time.After(2 * time.Millisecond):
			}
		}
	}()
	work()
	close(done)
	return float64(<-peak) / 1e6
}

// spent is what something took: on the clock, and of all processors together.
type spent struct{ wall, cpu time.Duration }

func (s spent) least(o spent) spent { return spent{min(s.wall, o.wall), min(s.cpu, o.cpu)} }

func timed(work func()) spent {
	runtime.GC()
	start, cpu := time.Now(), cpuTime()
	work()
	return spent{time.Since(start), cpuTime() - cpu}
}

// enlargedPhoto writes the bundled photo at 4000 px width, quality 92.
func enlargedPhoto(b *testing.B) string {
	b.Helper()
	src, err := jpeg.Decode(bytes.NewReader(examples.Lemons))
	if err != nil {
		b.Fatal(err)
	}
	r := src.Bounds()
	img := image.NewRGBA(image.Rect(0, 0, benchWidth, benchWidth*r.Dy()/r.Dx()))
	xdraw.CatmullRom.Scale(img, img.Rect, src, r, xdraw.Src, nil)
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 92}); err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.TempDir(), "photo.jpg")
	if err := os.WriteFile(path, buf.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

// benchFloor is F.
func benchFloor(b *testing.B, photo string) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	data, err := os.ReadFile(photo)
	if err != nil {
		b.Fatal(err)
	}
	src, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		b.Fatal(err)
	}
	img := image.NewRGBA(src.Bounds())
	draw.Draw(img, img.Rect, src, src.Bounds().Min, draw.Src)
	for range 6 {
		if err := jpeg.Encode(io.Discard, img, &jpeg.Options{Quality: 90}); err != nil {
			b.Fatal(err)
		}
	}
}

func benchCommand(b *testing.B, photo, out string) {
	var errOut bytes.Buffer
	args := []string{"preview", photo, "--out", out, "--shades", sixShades, "--size", "383x303mm", "--bed", "white", "--quiet"}
	if code := run(context.Background(), args, io.Discard, &errOut); code != 0 {
		b.Fatal(errOut.String())
	}
}

// spinRatio is the time of two loops at once over the time of one.
func spinRatio() float64 {
	one := timed(spin)
	two := timed(func() {
		var wg sync.WaitGroup
		wg.Go(spin)
		wg.Go(spin)
		wg.Wait()
	})
	return two.wall.Seconds() / one.wall.Seconds()
}

// spin keeps one processor busy for some tens of milliseconds.
func spin() {
	x := uint64(1)
	for range 40_000_000 {
		x ^= x << 13
		x ^= x >> 7
		x ^= x << 17
	}
	runtime.KeepAlive(x)
}
