package grout

import (
	"image"

	"gapshade/colormath"
)

// Draw returns the panel grouted with one shade in a state, at full size.
func (f *Fill) Draw(s Shade, st State) *image.RGBA {
	out := f.Canvas()
	f.Paint(out, s, st)
	return out
}

// Canvas returns a copy of the photo to paint on.
func (f *Fill) Canvas() *image.RGBA {
	out := &image.RGBA{Pix: make([]uint8, len(f.base.Pix)), Stride: f.base.Stride, Rect: f.base.Rect}
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		copy(out.Pix[y0*out.Stride:y1*out.Stride], f.base.Pix[y0*out.Stride:y1*out.Stride])
	})
	return out
}

// Paint grouts a canvas of this panel with one shade in a state. It writes the joint and its
// edges only, and all of them, so a canvas can be painted again with another
// shade; copying the photo each time took longer than painting.
func (f *Fill) Paint(canvas *image.RGBA, s Shade, st State) {
	f.paint(canvas, s, st, 0, f.m.H)
}

// Repaint brings rows y0…y1−1 of a canvas up to date after a Renew, to what Draw gives.
func (f *Fill) Repaint(canvas *image.RGBA, s Shade, st State, y0, y1 int) {
	copy(canvas.Pix[y0*canvas.Stride:y1*canvas.Stride], f.base.Pix[y0*canvas.Stride:y1*canvas.Stride])
	f.paint(canvas, s, st, y0, y1)
}

// paint grouts rows first…last−1.
func (f *Fill) paint(canvas *image.RGBA, s Shade, st State, first, last int) {
	grout := f.lit(st.Look(s))
	var table [3][]uint8
	for c, g := range grout {
		table[c] = make([]uint8, levels)
		for i := range table[c] {
			table[c][i] = colormath.Encode8(g * float32(i) / levelStep)
		}
	}
	colormath.Rows(last-first, f.threads, func(a, b int) {
		for y := first + a; y < first+b; y++ {
			row := canvas.Pix[y*canvas.Stride : (y+1)*canvas.Stride]
			for i := f.rows[y].joint; i < f.rows[y+1].joint; i++ {
				j := &f.joint[i]
				p := row[4*int(j.x) : 4*int(j.x)+3 : 4*int(j.x)+3]
				p[0], p[1], p[2] = table[0][j.level[0]], table[1][j.level[1]], table[2][j.level[2]]
			}
			for i := f.rows[y].edge; i < f.rows[y+1].edge; i++ {
				e := &f.edge[i]
				for c, g := range grout {
					l := e.gap * float32(e.level[c]) / levelStep
					row[4*int(e.x)+c] = colormath.Encode8((1-e.gap)*e.tile[c] + l*g)
				}
			}
		}
	})
}

// lit is a linear colour in the light of the panel's middle.
func (f *Fill) lit(c colormath.LinearRGB) [3]float32 {
	return [3]float32{f.light[0] * float32(c.R), f.light[1] * float32(c.G), f.light[2] * float32(c.B)}
}
