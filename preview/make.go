package preview

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Make does the main job on one photo. Errors are *Fault, or ctx's error when
// cancelled.
func Make(ctx context.Context, ph *photo.Photo, s Settings) (*Proof, error) {
	if err := s.Validate(ph); err != nil {
		return nil, err
	}
	p := &Proof{Settings: s, Photo: ph}
	pic := ph.Linear()
	finder, err := segment.NewFinder()
	if err != nil {
		return nil, err
	}
	p.Map, err = finder.Find(ctx, pic, s.options())
	if err != nil {
		return nil, faultOf(err)
	}
	p.Frame = newFrame(pic, p.Map, s)
	p.noteMap()
	reading := light.Measure(pic, p.Map, s.Bed.reflectance())
	p.Light = newLight(reading)
	p.noteLight(reading)
	p.TileLab = contrast.TileColours(pic, p.Map, reading.Field, s.Threads)
	p.Trials = try(p, s)
	p.fill = grout.NewFill(ph.RGBA(), pic, p.Map, reading.Field, p.recessPx(), s.Threads)
	return p, ctx.Err()
}

// recessPx is the depth of the joint below the faces in frame px, 0 when the
// scale is not known.
func (p *Proof) recessPx() float64 {
	if p.Frame.MmPerPx == 0 {
		return 0
	}
	return grout.RecessMm / p.Frame.MmPerPx
}

// Draw paints the panel with the shade of Trials[i] at full size. Calls for
// different shades may run at the same time.
func (p *Proof) Draw(i int) *image.RGBA { return p.fill.Draw(p.Trials[i].Shade) }

// try measures every shade and ranks them, best first; equals keep the order
// in which they were given.
func try(p *Proof, s Settings) []Trial {
	areas := make([]float64, len(p.Map.Tiles))
	for i := range areas {
		areas[i] = p.Map.Tiles[i].AreaPx
	}
	trials := make([]Trial, len(s.Shades))
	colormath.Rows(len(trials), s.Threads, func(a, b int) {
		for i := a; i < b; i++ {
			t := &trials[i]
			t.Shade = s.Shades[i]
			t.Stats = contrast.Measure(p.TileLab, p.Map, t.Shade.Lab)
			t.Score = contrast.Score(string(s.Aim), &t.Stats, areas)
		}
	})
	slices.SortStableFunc(trials, func(a, b Trial) int { return cmp.Compare(b.Score, a.Score) })
	for i := range trials {
		t := &trials[i]
		t.Rank = i + 1
		if i == 0 {
			t.Reason = contrast.Reason(string(s.Aim), &t.Stats, nil, "")
		} else {
			t.Reason = contrast.Reason(string(s.Aim), &t.Stats, &trials[i-1].Stats, trials[i-1].Shade.ID)
		}
	}
	return trials
}

// options turns what the person said into what the finder takes.
func (s *Settings) options() segment.Options {
	o := segment.Options{Panel: s.Corners, Strict: s.Strict, Threads: s.Threads, PanelMm2: s.WidthMm * s.HeightMm}
	if px := s.mmPerPx(s.Corners); s.GapMm > 0 && px > 0 {
		o.GapPx = s.GapMm / px
	}
	return o
}

// mmPerPx is the scale of a panel whose size is known, 0 otherwise: the root of
// area over area, which a slight tilt hardly moves.
func (s *Settings) mmPerPx(q *segment.Quad) float64 {
	if q == nil || s.WidthMm == 0 || s.HeightMm == 0 {
		return 0
	}
	return math.Sqrt(s.WidthMm * s.HeightMm / math.Abs(q.Area()))
}

func newFrame(pic *colormath.Picture, m *segment.Map, s Settings) Frame {
	return Frame{W: pic.W, H: pic.H, PhotoToFrame: [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1},
		MmPerPx: s.mmPerPx(&m.Panel), Panel: m.Panel, Outline: m.Outline}
}

func newLight(r light.Reading) Light {
	return Light{BedLab: r.Bed.Lab(), BedKnown: r.Known, Unevenness: r.Unevenness, Cast: r.Cast}
}

// note adds a remark.
func (p *Proof) note(code, format string, args ...any) {
	p.Notes = append(p.Notes, Note{code, fmt.Sprintf(format, args...)})
}
