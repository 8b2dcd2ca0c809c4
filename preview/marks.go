package preview

import (
	"context"
	"errors"
	"image"
	"io/fs"
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// OpenMarks reads what a person painted to help the finder: a PNG in the shape of
// the upright photo, any size, in which red strokes lie on gaps, blue strokes on
// tiles and green ones on what is no part of the panel. Everything else in it is ignored: other colours, and whatever of the
// photo shows under the strokes, so that a painted copy of the photo serves as
// well as an empty picture. PNG only, because JPEG smears strokes over their
// surroundings. The strokes come back in px of the upright photo, tiles first:
// where both meet, the joint that was painted stays open.
//
// Errors are *Fault, or ctx's error when cancelled.
func OpenMarks(ctx context.Context, path string, ph *photo.Photo, l photo.Limits) ([]segment.Stroke, error) {
	marks, err := photo.OpenFile(ctx, path, l)
	if err != nil {
		return nil, marksFault(err)
	}
	if marks.Format != "png" {
		return nil, &Fault{Code: CodePhoto, What: "--marks " + marks.Name, Why: "it is a " + marks.Format + " picture, and strokes are read from PNG only",
			Next: "save the painted picture as PNG from the start; a JPEG that is saved as PNG later keeps its smears"}
	}
	scale := float64(ph.W) / float64(marks.W)
	if off := scale * float64(marks.H) / float64(ph.H); math.Abs(off-1) > shapeSlack {
		return nil, usage("--marks %s is %d x %d px, which is not the shape of the photo, %d x %d px upright",
			"paint on a copy of the upright photo, or on an empty picture of its size, and save it whole as PNG",
			marks.Name, marks.W, marks.H, ph.W, ph.H)
	}
	b := readMarks(marks.RGBA(), ph.RGBA())
	if n := len(b.shows); 2*b.painted > n {
		return nil, usage("--marks %s: red, blue and green cover %.0f %% of it, so they can't be strokes on something else",
			"paint on a copy of the photo, or on an empty picture, a few plain strokes", marks.Name, 100*float64(b.painted)/float64(n))
	}
	strokes := slices.Concat(b.strokes(segment.ShowsTile), b.strokes(segment.ShowsGap), b.strokes(segment.ShowsOutside))
	switch n := len(strokes); {
	case n == 0:
		return nil, usage("--marks %s holds no red, blue or green strokes",
			"paint gaps in plain red (#ff0000), tiles in plain blue (#0000ff) and what is no panel in plain green (#00ff00); other colours are ignored", marks.Name)
	case n > mostStrokes:
		return nil, usage("--marks %s holds %d separate strokes, and %d are read at most",
			"paint a few strokes where the gaps went wrong; the rest is found without them", marks.Name, n, mostStrokes)
	}
	return moved(strokes, colormath.Homography{scale, 0, (scale - 1) / 2, 0, scale, (scale - 1) / 2, 0, 0, 1}), nil
}

// marksFault dresses an error of reading the marks, whose way out is another than a
// photo's.
func marksFault(err error) error {
	f, ok := errors.AsType[*Fault](FromPhoto(err))
	if !ok {
		return err
	}
	g := *f
	g.What = "--marks " + f.What
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case f.Code == CodeLimit:
		g.Next = "save the painted picture smaller; it needs the photo's shape, not its size"
	default:
		g.Next = "save the painted picture as PNG, and give that file"
	}
	return &g
}

// shapeSlack is how far the proportions of two sizes of one picture may differ;
// rounding a thumbnail of 150 px takes 0.7 %.
const shapeSlack = 0.01

// mostStrokes is more than a hand paints and few enough to answer in seconds.
const mostStrokes = 2000

// markBoard is where strokes are looked for: the marks, reduced to blocks of step
// × step px so that thinning them takes no more than moments.
type markBoard struct {
	step, w, h int
	shows      []segment.Shows // of each block: any pixel of it painted
	painted    int             // blocks
}

// boardPx is about how many blocks a large picture is reduced to.
const boardPx = 2e6

func readMarks(marks, ph *image.RGBA) *markBoard {
	w, h := marks.Rect.Dx(), marks.Rect.Dy()
	step := int(math.Ceil(math.Sqrt(float64(w) * float64(h) / boardPx)))
	b := &markBoard{step: step, w: (w + step - 1) / step, h: (h + step - 1) / step}
	b.shows = make([]segment.Shows, b.w*b.h)
	below := newBelow(ph, w, h)
	for y := range h {
		for x := range w {
			p := marks.Pix[y*marks.Stride+4*x:]
			shows := markOf(p[0], p[1], p[2])
			if shows == 0 || below.shows(x, y, p) {
				continue
			}
			if at := &b.shows[y/step*b.w+x/step]; *at == 0 {
				*at = shows
				b.painted++
			}
		}
	}
	return b
}

// Red, blue and green as paint programs have them, also half see-through over grey: hue
// in degrees of the colour circle, largest less smallest code, and that over the
// largest. Orange begins at about 23°, turquoise ends at about 195°; green is
// plain green only, because tiles are green too (ours).
const (
	redFrom, redTo     = 338, 22
	blueFrom, blueTo   = 195, 256
	greenFrom, greenTo = 105, 135
	leastChroma        = 90
	leastSaturation    = 0.45
)

// markOf says what a colour means, 0 for nothing.
func markOf(r, g, b uint8) segment.Shows {
	hi, lo := max(r, g, b), min(r, g, b)
	if chroma := float64(hi) - float64(lo); chroma < leastChroma || chroma < leastSaturation*float64(hi) {
		return 0
	}
	switch h := hue(float64(r), float64(g), float64(b)); {
	case h >= redFrom || h <= redTo:
		return segment.ShowsGap
	case h >= blueFrom && h <= blueTo:
		return segment.ShowsTile
	case h >= greenFrom && h <= greenTo:
		return segment.ShowsOutside
	}
	return 0
}

// hue of a colour that has one, degrees (the hexagon of HSV; A. R. Smith, "Color
// gamut transform pairs", SIGGRAPH 1978).
func hue(r, g, b float64) float64 {
	c := max(r, g, b) - min(r, g, b)
	var h float64
	switch max(r, g, b) {
	case r:
		h = (g - b) / c
	case g:
		h = 2 + (b-r)/c
	default:
		h = 4 + (r-g)/c
	}
	return math.Mod(60*h+360, 360)
}

// below is the photo under the marks: a red tile is no red stroke.
type below struct {
	ph     *image.RGBA
	sx, sy float64 // px of the photo per px of the marks
	reach  int     // how far round a place the photo may show there, px
}

// sameColour is the distance of codes below which a colour is the photo's own, in a
// copy that was resized or has been through another program.
const sameColour = 40

func newBelow(ph *image.RGBA, w, h int) *below {
	b := &below{ph: ph, sx: float64(ph.Rect.Dx()) / float64(w), sy: float64(ph.Rect.Dy()) / float64(h)}
	if b.sx != 1 || b.sy != 1 {
		b.reach = int(math.Ceil(max(b.sx, b.sy, 1)))
	}
	return b
}

// shows says whether the photo has this colour here. Where the marks were painted
// on a copy of another size, it may be one from next to here, or a mixture of the
// lightest and the darkest there.
func (b *below) shows(x, y int, p []uint8) bool {
	cx, cy := int((float64(x)+.5)*b.sx), int((float64(y)+.5)*b.sy)
	mark := [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
	var dark, light [3]float64
	least, most := math.Inf(1), -1.0
	for j := max(cy-b.reach, 0); j <= min(cy+b.reach, b.ph.Rect.Dy()-1); j++ {
		for i := max(cx-b.reach, 0); i <= min(cx+b.reach, b.ph.Rect.Dx()-1); i++ {
			q := b.ph.Pix[j*b.ph.Stride+4*i:]
			c := [3]float64{float64(q[0]), float64(q[1]), float64(q[2])}
			if away(mark, c, c) < sameColour {
				return true
			}
			if sum := c[0] + c[1] + c[2]; sum > most {
				most, light = sum, c
			}
			if sum := c[0] + c[1] + c[2]; sum < least {
				least, dark = sum, c
			}
		}
	}
	return b.reach > 0 && away(mark, dark, light) < sameColour
}

// away is the distance of a colour from the straight way between two others.
func away(c, a, b [3]float64) float64 {
	var dot, length float64
	for k := range c {
		dot += (c[k] - a[k]) * (b[k] - a[k])
		length += (b[k] - a[k]) * (b[k] - a[k])
	}
	t := 0.0
	if length > 0 {
		t = min(max(dot/length, 0), 1)
	}
	var sum float64
	for k := range c {
		d := c[k] - a[k] - t*(b[k]-a[k])
		sum += d * d
	}
	return math.Sqrt(sum)
}

// strokes are those of one kind, in px of the marks.
func (b *markBoard) strokes(shows segment.Shows) []segment.Stroke {
	s := segment.StrokesOf(b.w, b.h, func(i int) bool { return b.shows[i] == shows }, shows)
	k := float64(b.step)
	return moved(s, colormath.Homography{k, 0, (k - 1) / 2, 0, k, (k - 1) / 2, 0, 0, 1})
}

// moved takes strokes from one picture to another; radii grow as areas do.
func moved(strokes []segment.Stroke, to colormath.Homography) []segment.Stroke {
	var out []segment.Stroke
	for _, s := range strokes {
		m := segment.Stroke{Shows: s.Shows}
		for _, d := range s.Path {
			x, y := to.Apply(d.X, d.Y)
			rx, ry := to.Apply(d.X+1, d.Y)
			dx, dy := to.Apply(d.X, d.Y+1)
			area := math.Abs((rx-x)*(dy-y) - (ry-y)*(dx-x))
			m.Path = append(m.Path, segment.Dab{Point: segment.Point{X: x, Y: y}, R: d.R * math.Sqrt(area)})
		}
		out = append(out, m)
	}
	return out
}

// noteMarks says what was taken from the person's marks.
func (p *Proof) noteMarks() {
	var n [segment.ShowsOutside + 1]int
	for _, s := range p.Settings.Marks {
		n[s.Shows]++
	}
	if red, blue := n[segment.ShowsGap], n[segment.ShowsTile]; red+blue > 0 {
		p.note("marks", "%d red and %d blue strokes were followed; gaps.png shows what came of them", red, blue)
	}
	if green := n[segment.ShowsOutside]; green > 0 {
		p.note("marks-outside", "%d green strokes took places out of the panel; they count in no share and take no grout", green)
	}
}
