package photo

import "gapshade/colormath"

// Reduced gives the picture made smaller by a whole factor, so that it has at
// most maxPixels, by averaging squares of pixels in linear light; the factor
// is 1 for photos that are small enough. Edge squares may be narrower. It
// needs no full-size linear picture, so it is the cheap start for analysis.
func (p *Photo) Reduced(maxPixels int) (pic *colormath.Picture, factor int) {
	factor = 1
	// Whole factors only: each result pixel is then a plain mean, with no
	// filter whose choice would have to be defended.
	for ceilDiv(p.W, factor)*ceilDiv(p.H, factor) > max(maxPixels, 1) {
		factor++
	}
	if factor == 1 {
		return p.Linear(), 1
	}
	pic = colormath.NewPicture(ceilDiv(p.W, factor), ceilDiv(p.H, factor))
	var t *toLinear
	if p.Picture == nil {
		t = newToLinear(p.profile)
	}
	colormath.Rows(pic.H, p.threads, func(y0, y1 int) {
		line, sums := make([]float32, 3*p.W), make([]float64, 3*pic.W)
		for y := y0; y < y1; y++ {
			clear(sums)
			last := min((y+1)*factor, p.H)
			for sy := y * factor; sy < last; sy++ {
				addRow(sums, p.linearRow(sy, line, t), factor)
			}
			p.average(pic.Pix[3*y*pic.W:3*(y+1)*pic.W], sums, factor, last-y*factor)
		}
	})
	return pic, factor
}

// linearRow gives one row in linear light; line is scratch space.
func (p *Photo) linearRow(y int, line []float32, t *toLinear) []float32 {
	if t == nil {
		return p.Picture.Pix[3*y*p.W : 3*(y+1)*p.W]
	}
	from := p.codes.Pix[y*p.codes.Stride : (y+1)*p.codes.Stride]
	if p.profile.SRGB() {
		t.look(line, from)
	} else {
		t.mix(line, from)
	}
	return line
}

// addRow adds a row to the sums of its squares, in float64 so that the order
// of adding cannot show.
func addRow(sums []float64, row []float32, factor int) {
	for x, i := 0, 0; i < len(row); x++ {
		r, g, b := sums[3*x], sums[3*x+1], sums[3*x+2]
		for range factor {
			if i >= len(row) {
				break
			}
			r, g, b = r+float64(row[i]), g+float64(row[i+1]), b+float64(row[i+2])
			i += 3
		}
		sums[3*x], sums[3*x+1], sums[3*x+2] = r, g, b
	}
}

// average divides the sums by the number of pixels in each square, fewer at
// the right and lower edge.
func (p *Photo) average(to []float32, sums []float64, factor, rows int) {
	for i, s := range sums {
		columns := min(factor, p.W-i/3*factor)
		to[i] = float32(s / float64(rows*columns))
	}
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }
