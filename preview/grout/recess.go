package grout

import (
	"image"
	"math"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// RecessMm is how far cured grout lies below the faces: struck by a sponge, about
// 0.8 mm (common practice, no source). Where the panel's size is not known, this
// share of the middle gap width stands in: 0.8 mm of a 2 mm joint.
const (
	RecessMm    = 0.8
	RecessShare = 0.4
)

// A wall keeps off the sky behind it and shines itself: it hides wallHides of what
// it covers of the sky and sends on wallSends of what its face sends. Both lie
// between a wall in full light and one in the dark, and that the second is larger
// is the lamp on the walls across. On ten path-traced panels every pair from .4 and
// .3 to .8 and .7 serves as well within ΔE00 .06; without either it is .2 more.
// The edge of a tile is rounded, and the shadow begins below it: edgeLeft of the
// depth counts for the lamp (ours; without it shadows came out half as long again).
// On the bed the rim of a shadow is blurred by what the walls send down there; on the
// joint softLeft of it is left (ours).
const (
	wallHides = 0.7
	wallSends = 0.8
	edgeLeft  = 0.75
	softLeft  = 0.7
)

// recess is the light on a joint that lies below the faces, against that on the
// faces: the wall on the lamp's side throws a shadow, and the walls all round hide
// part of the sky and shine in its stead.
//
// On the floor of a long groove of width w and depth h an even sky gives, at a
// distance x from one wall, ½(x/√(x²+h²) + (w−x)/√((w−x)²+h²)) (view factor of an
// infinite groove; Hottel's crossed strings, 1954). The gap coverage under a
// Gaussian of σ = h comes near that for w ≥ 2h, edge and middle, and needs no
// widths: it serves crossings, pebbles and open spaces alike.
type recess struct {
	pic     *colormath.Picture
	m       *segment.Map
	depth   float64 // px
	lamp    light.Lamp
	threads int

	sky   *grid      // share of the sky that is seen; nil = all of it, everywhere
	lit   *grid      // share of the lamp that is seen; nil = no lamp
	share [3]float32 // of the lamp in the light
	glow  [3]*grid   // what the walls shine, linear light as the photo shows it
}

// newRecess measures a recess of depth px; none at 0.
func newRecess(pic *colormath.Picture, m *segment.Map, depth float64, lamp light.Lamp, threads int) *recess {
	if depth <= 0 {
		return &recess{}
	}
	r := &recess{pic: pic, m: m, depth: depth, lamp: lamp, threads: threads}
	coarse := max(2, int(math.Ceil(depth/2)))
	r.sky = newGrid(m, coarse)
	for c := range r.glow {
		r.glow[c] = newGrid(m, coarse)
		r.share[c] = float32(lamp.Share[c])
	}
	if lamp.Reach > 0 {
		r.lamp.Soft *= softLeft
		r.lit = newGrid(m, max(1, int(edgeLeft*depth/3)))
	}
	r.renew(image.Rect(0, 0, m.W, m.H))
	return r
}

// renew measures again what a box of the map has a part in, and gives the box of the
// picture where the light may have changed.
func (r *recess) renew(box image.Rectangle) image.Rectangle {
	if r.sky == nil {
		return box
	}
	near := r.sky.reached(box, 3*r.depth+float64(r.sky.step))
	sky, walls := open(r.m), []*grid{r.sky, r.glow[0], r.glow[1], r.glow[2]}
	soften(walls, r.m, near, r.depth, r.threads, func(x0, y0, x1, y1 int, out []float32) {
		out[0] = sky(x0, y0, x1, y1)
		for c, v := range faces(r.pic, r.m, x0, y0, x1, y1) {
			out[1+c] = wallSends * v
		}
	})
	seen := r.sky.seenFrom(near)
	if r.lit != nil {
		seen = seen.Union(r.lit.seenFrom(r.underLamp(box)))
	}
	return seen
}

// underLamp finds the share of the lamp that is seen below the edges, where a box of
// the map has a part in it, and gives its cells.
func (r *recess) underLamp(box image.Rectangle) image.Rectangle {
	m, depth, fine := r.m, edgeLeft*r.depth, r.lit.step
	far := r.lamp.Far(depth)
	above := newGrid(m, fine)
	above.fill(m, above.reached(box, 2*far+float64(4*fine)), r.threads, open(m))
	way := above.newRay(r.lamp.X, r.lamp.Y, far)
	cells := r.lit.reached(box, far+float64(2*fine))
	r.lit.fill(m, cells, r.threads, func(x0, y0, x1, y1 int) float32 {
		if !anyGap(m, x0, y0, x1, y1) {
			return 1 // nobody looks here
		}
		return float32(r.lamp.Lit(above.away(way, x0/fine, y0/fine, far), depth))
	})
	return cells
}

// anyGap says whether a box holds any gap.
func anyGap(m *segment.Map, x0, y0, x1, y1 int) bool {
	for y := y0; y < y1; y++ {
		for _, g := range m.Gap[y*m.W+x0 : y*m.W+x1] {
			if g > 0 {
				return true
			}
		}
	}
	return false
}

// open is the share of a cell where no tile stands: the gaps', and all that lies
// outside the panel.
func open(m *segment.Map) cell {
	return func(x0, y0, x1, y1 int) float32 {
		sum := 0
		for y := y0; y < y1; y++ {
			for i := y*m.W + x0; i < y*m.W+x1; i++ {
				if g := m.Gap[i]; g > 0 || m.Label[i] > 0 {
					sum += int(g)
				} else {
					sum += 255
				}
			}
		}
		return float32(sum) / float32(255*(x1-x0)*(y1-y0))
	}
}

// faces is the light of the tiles' faces in a box, nothing where none stands.
func faces(pic *colormath.Picture, m *segment.Map, x0, y0, x1, y1 int) (sum [3]float32) {
	for y := y0; y < y1; y++ {
		for i := y*m.W + x0; i < y*m.W+x1; i++ {
			if m.Label[i] > 0 {
				k, p := float32(255-m.Gap[i])/255, pic.Pix[3*i:3*i+3]
				sum[0], sum[1], sum[2] = sum[0]+k*p[0], sum[1]+k*p[1], sum[2]+k*p[2]
			}
		}
	}
	n := float32((x1 - x0) * (y1 - y0))
	return [3]float32{sum[0] / n, sum[1] / n, sum[2] / n}
}

// row is the recess at one row of the picture.
type row struct {
	of       *recess
	sky, lit line
	glow     [3]line
}

// row reads the recess at row y, into b's memory.
func (r *recess) row(y int, b *row) {
	b.of = r
	if r.sky == nil {
		return
	}
	b.sky = r.sky.line(y, b.sky.v)
	if r.lit != nil {
		b.lit = r.lit.line(y, b.lit.v)
	}
	for c := range r.glow {
		b.glow[c] = r.glow[c].line(y, b.glow[c].v)
	}
}

// on is the light on the joint at x, where that on the faces is face.
func (b *row) on(x int, face [3]float32) [3]float32 {
	if b.of.sky == nil {
		return face
	}
	sky, lit := 1-wallHides*(1-b.sky.at(x)), float32(0)
	if b.of.lit != nil {
		lit = b.lit.at(x)
	}
	for c, s := range b.of.share {
		face[c] = (s*lit+(1-s)*sky)*face[c] + b.glow[c].at(x)
	}
	return face
}
