package preview

import (
	"context"
	"fmt"
	"image"
	"math"
	"sync"

	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Make does the main job on one photo. Errors are *Fault, or ctx's error when
// cancelled.
func Make(ctx context.Context, ph *photo.Photo, s Settings) (*Proof, error) {
	b, err := Prepare(ctx, ph, s)
	if err != nil {
		return nil, err
	}
	p, v := b.start, b.view // without b: what strokes would need can go
	r := p.read(v)
	p.near(v, r)
	f, err := p.filler(ctx, v, r)
	if err != nil {
		return nil, err
	}
	fill := f.Fill // without f: the linear picture can go too
	p.fill = func() *grout.Fill { return fill }
	return &p, p.far(ctx)
}

// readings are what the photo tells beside its tiles: its light, and how good it is.
type readings struct {
	light   light.Reading
	quality quality
}

func (p *Proof) read(v *view) *readings {
	r := &readings{}
	var beside sync.WaitGroup
	beside.Go(func() { r.quality = newQuality(v, p.Map) })
	r.light = light.Measure(v.pic, p.Map, p.bed(), p.Settings.Threads)
	beside.Wait()
	return r
}

// near does everything that follows once the gaps are found and the photo is read, but
// for what distance makes of it, and the drawing.
func (p *Proof) near(v *view, r *readings) {
	p.noteMap()
	p.noteMarks()
	p.noteBed()
	p.Light = newLight(r.light)
	p.Light.Cast = p.castWith(p.Light.Cast)
	p.noteLight(r.light)
	p.measure(v.pic, r.light.Field)
	p.noteQuality(v, &r.quality)
	p.noteBurnt()
	p.rank()
}

// filler prepares the drawing. Errors are ctx's.
func (p *Proof) filler(ctx context.Context, v *view, r *readings) (*grout.Filler, error) {
	return grout.NewFiller(ctx, p.Base(), v.pic, p.Map, r.light.Field, p.joint(v, r.light), p.Settings.Threads)
}

// far looks from each distance. Errors are ctx's.
func (p *Proof) far(ctx context.Context) error {
	p.views = nil
	if p.Frame.MmPerPx > 0 {
		p.views = p.Panel.From(ctx, p.Settings.DistancesM, p.Frame.MmPerPx, p.Settings.Threads)
	}
	for i := range p.Trials {
		p.Trials[i].At = p.seen(p.Trials[i].Shade.Lab)
	}
	return ctx.Err()
}

// rank tries the shades.
func (p *Proof) rank() {
	p.untied = len(p.Notes)
	p.noteJoint()
	p.Trials = try(p, p.Settings)
	p.noteTies()
}

// Base is the bare layout as the frame shows it, 8-bit sRGB: the photo itself,
// or balanced and straightened where that was asked for. It is shared; copy it
// before painting on it.
func (p *Proof) Base() *image.RGBA {
	if p.base == nil {
		return p.Photo.RGBA()
	}
	return p.base
}

// Draw gives the panel with the shade of Trials[i] at full size. Calls for
// different shades may run at the same time.
func (p *Proof) Draw(i int) *image.RGBA { return p.DrawAs(i, p.Settings.Joint.State) }

// DrawAs does the same in another state.
func (p *Proof) DrawAs(i int, s grout.State) *image.RGBA { return p.fill().Draw(p.Trials[i].Shade, s) }

// Canvas and Paint do the same in two steps, so that one picture's memory serves
// for many shades: a canvas may be painted again and again.
func (p *Proof) Canvas() *image.RGBA { return p.fill().Canvas() }

// Paint puts the shade of Trials[i] on a canvas of this proof.
func (p *Proof) Paint(canvas *image.RGBA, i int) {
	p.fill().Paint(canvas, p.Trials[i].Shade, p.Settings.Joint.State)
}

// options turns what the person said into what the finder takes.
func (s *Settings) options() segment.Options {
	o := segment.Options{Panel: s.Corners, Strict: s.Strict, Threads: s.Threads, PanelMm2: s.WidthMm * s.HeightMm,
		ShoulderMm: s.ShoulderMm, Strokes: s.Marks, Bed: s.Bed.reflectance()}
	if px := s.mmPerPx(s.Corners); s.GapMm > 0 && px > 0 {
		o.GapPx = s.GapMm / px
	} else {
		o.GapMm = s.GapMm
	}
	return o
}

// mmPerPx is the scale of a panel whose size is known, 0 otherwise: the root of
// area over area, which a slight tilt hardly moves. Of a free outline both are the box
// round it.
func (s *Settings) mmPerPx(q *segment.Quad) float64 {
	if q == nil || s.WidthMm == 0 || s.HeightMm == 0 {
		return 0
	}
	return math.Sqrt(s.WidthMm * s.HeightMm / math.Abs(q.Area()))
}

func newFrame(v *view, m *segment.Map, s Settings) Frame {
	f := Frame{W: v.pic.W, H: v.pic.H, PhotoToFrame: v.toFrame,
		MmPerPx: s.mmPerPx(&m.Panel), Panel: m.Panel, Free: m.Free, Outline: m.Outline, Holes: m.Holes}
	if !m.Free {
		f.ToPanel = s.toPanel(m.Panel)
	}
	return f
}

func newLight(r light.Reading) Light {
	return Light{BedLab: r.Bed.Lab(), BedKnown: r.Known, Unevenness: r.Unevenness, Cast: r.Cast}
}

// note adds a remark.
func (p *Proof) note(code, format string, args ...any) {
	p.Notes = append(p.Notes, Note{code, fmt.Sprintf(format, args...)})
}
