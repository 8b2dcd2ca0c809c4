package page

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// benchStrokes is how many strokes stand behind a figure: enough for the slowest
// twentieth.
const benchStrokes = 20

// BenchmarkStroke takes the time of a stroke on a panel of 2 MP, and of the pictures
// that a page shows of it then. "ms/numbers", "ms/one" and "ms/six" are the slowest
// but a twentieth, until the numbers are there, one preview over the whole screen, and
// six previews beside each other; "ms/learned" until places that look alike have followed
// in the numbers and in one preview. They say something only while nobody else uses the
// processors; "cpu/…" is the processor time of all threads in the mean, half of which
// two free processors would take at best. "F" is cpu/six over a floor of the same run:
// decoding the photo and encoding it six times, by the standard library.
//
//	go test ./preview/page -run '^$' -bench Stroke -benchtime 1x
func BenchmarkStroke(b *testing.B) {
	p, data := benchPanel(b)
	for b.Loop() {
		cpu := cpuTime()
		benchFloor(b, data)
		floor := cpuTime() - cpu
		var numbers, one, six, learned took
		r := rand.New(rand.NewPCG(3, 4))
		for range benchStrokes {
			k := benchStroke(r)
			numbers.time(func() { require.NoError(b, p.paint(k)) })
			require.NoError(b, p.undo())
			one.time(func() { require.NoError(b, p.paint(k)); benchPicture(b, p, 0, 1400) })
			require.NoError(b, p.undo())
			six.time(func() {
				require.NoError(b, p.paint(k))
				var all sync.WaitGroup
				for i := range 6 {
					all.Go(func() { benchPicture(b, p, i, 700) })
				}
				all.Wait()
			})
			require.NoError(b, p.undo())
			learned.time(func() {
				require.NoError(b, p.paint(k))
				benchPicture(b, p, 0, 1400)
				for s := p.state(); s.Learning; s = p.state() {
					p.wait(context.Background(), s.Revision)
				}
				benchPicture(b, p, 0, 1400)
			})
			require.NoError(b, p.undo())
		}
		for name, t := range map[string]*took{"numbers": &numbers, "one": &one, "six": &six, "learned": &learned} {
			b.ReportMetric(t.slowest(), "ms/"+name)
			b.ReportMetric(float64(t.cpu.Milliseconds())/benchStrokes, "cpu/"+name)
		}
		b.ReportMetric(six.cpu.Seconds()/benchStrokes/max(floor.Seconds(), 1e-9), "F")
	}
}

// took is how long something took, each time.
type took struct {
	wall []time.Duration
	cpu  time.Duration // of all times together
}

func (t *took) time(work func()) {
	start, cpu := time.Now(), cpuTime()
	work()
	t.wall, t.cpu = append(t.wall, time.Since(start)), t.cpu+cpuTime()-cpu
}

// slowest is the 95th of a hundred, ms.
func (t *took) slowest() float64 {
	slices.Sort(t.wall)
	return float64(t.wall[len(t.wall)*95/100].Microseconds()) / 1000
}

// The panel: 20 × 15 tiles of 70 px, 6 px apart, on white paper.
const benchW, benchH, benchTile, benchPitch, benchX, benchY = 1680, 1190, 70, 76, 80, 25

// benchPanel is a panel whose gaps are found, and its photo.
func benchPanel(b *testing.B) (*panel, []byte) {
	s, err := Open(Options{Folder: b.TempDir()})
	require.NoError(b, err)
	b.Cleanup(s.Close)
	data := benchPhoto(b)
	f, err := s.store.temp()
	require.NoError(b, err)
	defer s.store.dropTemp(f)
	_, err = f.Write(data)
	require.NoError(b, err)
	as := plainSettings()
	as.Size, as.Bed = "1520x1140mm", "white"
	p, err := s.add(context.Background(), &form{photo: f, name: "bench.png"}, as)
	require.NoError(b, err)
	for p.state().Task != nil {
		time.Sleep(10 * time.Millisecond)
	}
	require.Nil(b, p.state().Fault)
	return p, data
}

// benchPhoto draws it, with a little noise, so that no two pixels are alike.
func benchPhoto(b *testing.B) []byte {
	colours := []color.RGBA{{40, 90, 110, 255}, {180, 120, 60, 255}, {60, 120, 80, 255}, {200, 190, 170, 255}}
	r := rand.New(rand.NewPCG(1, 2))
	img := image.NewRGBA(image.Rect(0, 0, benchW, benchH))
	for y := range benchH {
		for x := range benchW {
			c := color.RGBA{232, 230, 226, 255}
			if i, j := (x-benchX)/benchPitch, (y-benchY)/benchPitch; x >= benchX && y >= benchY && i < 20 && j < 15 &&
				(x-benchX)%benchPitch < benchTile && (y-benchY)%benchPitch < benchTile {
				c = colours[(i+2*j)%4]
			}
			n := uint8(r.IntN(9))
			img.SetRGBA(x, y, color.RGBA{c.R + n, c.G + n, c.B + n, 255})
		}
	}
	var out bytes.Buffer
	require.NoError(b, png.Encode(&out, img))
	return out.Bytes()
}

// benchStroke is a movement of a hand somewhere on the panel: a gap across a tile or
// a joint that is closed.
func benchStroke(r *rand.Rand) stroke {
	x, y := benchX+100+r.Float64()*1200, benchY+100+r.Float64()*900
	return stroke{Mark: []string{"gap", "tile"}[r.IntN(2)], Radius: 4, Points: []point{{x, y}, {x + 30*r.Float64(), y + 60*r.Float64()}}}
}

// benchPicture draws a preview as it would be sent.
func benchPicture(b *testing.B, p *panel, i, wide int) {
	id := p.now().Settings.Shades[i].ID
	err := p.s.light.do(context.Background(), func() error {
		_, _, err := p.picture(view{name: "shade-" + id, wide: wide, vision: colormath.Normal})
		return err
	})
	require.NoError(b, err)
}

// benchFloor is the floor.
func benchFloor(b *testing.B, data []byte) {
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(b, err)
	for range 6 {
		require.NoError(b, jpeg.Encode(io.Discard, img, &jpeg.Options{Quality: 88}))
	}
}
