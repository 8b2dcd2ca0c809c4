package segment

import "math"

// Lamp is where the stronger light comes from, as seen in the picture: a
// direction in the picture's plane towards it (x right, y down) whose length
// says how one-sided the light is. Zero is light from all round.
type Lamp struct{ X, Y float64 }

// Strength is the length: about 0.1 under a soft box, 0.2 to 0.4 at a window or
// under a lamp.
func (l Lamp) Strength() float64 { return math.Hypot(l.X, l.Y) }

// Rim pixels, by tile coverage: still tile, but on its rounded or bevelled edge;
// and clean tile.
const (
	leastRim  = 0.65
	mostRim   = 0.98
	cleanTile = 0.98
)

// towardsLamp reads the lamp from the rims of the tiles: a rim that faces the
// lamp is lighter than its tile, one that faces away darker. It fits
// log(rim ÷ tile) = c + X·nx + Y·ny over all rims, n pointing outwards. The
// shadows in the gaps would tell the same, but between thick tiles every gap is
// dark all through.
func (ev *evidence) towardsLamp() Lamp {
	w, h := ev.w, ev.h
	label, core := ev.coreLight()
	var fit planeFit
	for y := 2; y < h-2; y++ {
		for x := 2; x < w-2; x++ {
			i := y*w + x
			p := ev.tile.v[i]
			if p < leastRim || p > mostRim || label[i] == 0 || core[label[i]] == 0 {
				continue
			}
			nx, ny := ev.tile.outwards(i)
			l := math.Hypot(nx, ny)
			r := math.Log(max(ev.luminance(i), 3e-4) / core[label[i]])
			if l < .25 || math.Abs(r) > 1 {
				continue // no clear edge, or a glint
			}
			fit.add(nx/l, ny/l, r)
		}
	}
	return fit.slope()
}

// outwards is minus the gradient of the tile coverage over five pixels: it
// points from the tile into the gap.
func (p *plane) outwards(i int) (x, y float64) {
	v := func(k int) float64 { return float64(p.v[i+k]) }
	x = v(-2) - v(2) + v(-1) - v(1) + (v(-1-p.w)-v(1-p.w)+v(-1+p.w)-v(1+p.w))/2
	y = v(-2*p.w) - v(2*p.w) + v(-p.w) - v(p.w) + (v(-p.w-1)-v(p.w-1)+v(-p.w+1)-v(p.w+1))/2
	return x, y
}

// luminance of one view pixel, linear (BT.709 weights).
func (v *view) luminance(i int) float64 {
	p := v.lin[3*i : 3*i+3 : 3*i+3]
	return .2126*float64(p[0]) + .7152*float64(p[1]) + .0722*float64(p[2])
}

// coreLight labels the view's tiles and gives the mean luminance of each one's
// clean pixels, by label; 0 where a tile has none.
func (ev *evidence) coreLight() (label []int32, mean []float64) {
	in := ev.lay.panel
	runs, n := components(ev.w, ev.h, func(i int) bool { return in[i] && ev.tile.v[i] > .5 })
	label = make([]int32, ev.w*ev.h)
	mean = make([]float64, n+1)
	count := make([]float64, n+1)
	for _, r := range runs {
		for i := r.y*ev.w + r.x0; i < r.y*ev.w+r.x1; i++ {
			label[i] = r.id
			if ev.tile.v[i] > cleanTile {
				mean[r.id] += ev.luminance(i)
				count[r.id]++
			}
		}
	}
	for id := range mean {
		mean[id] /= max(count[id], 1)
	}
	return label, mean
}

// planeFit gathers the normal equations of r = c + X·x + Y·y.
type planeFit struct{ n, x, y, xx, xy, yy, r, rx, ry float64 }

func (f *planeFit) add(x, y, r float64) {
	f.n, f.x, f.y = f.n+1, f.x+x, f.y+y
	f.xx, f.xy, f.yy = f.xx+x*x, f.xy+x*y, f.yy+y*y
	f.r, f.rx, f.ry = f.r+r, f.rx+r*x, f.ry+r*y
}

// slope is X and Y; zero when too few rims were seen or they all face one way.
func (f *planeFit) slope() Lamp {
	if f.n < 200 {
		return Lamp{}
	}
	xx, xy, yy := f.xx-f.x*f.x/f.n, f.xy-f.x*f.y/f.n, f.yy-f.y*f.y/f.n
	rx, ry := f.rx-f.r*f.x/f.n, f.ry-f.r*f.y/f.n
	det := xx*yy - xy*xy
	if det < 1e-3*f.n*f.n {
		return Lamp{}
	}
	return Lamp{(rx*yy - ry*xy) / det, (ry*xx - rx*xy) / det}
}
