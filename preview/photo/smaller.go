package photo

import (
	"math"

	"gapshade/colormath"
)

// SmallerSize is the size of a photo of w × h px on at most so many: as many as its
// shape allows. Every new pixel is a square of w/sw px; the last row may stand over
// the lower edge.
func SmallerSize(w, h, maxPixels int) (sw, sh int) {
	if w*h <= maxPixels {
		return w, h
	}
	sw = min(w, int(math.Sqrt(float64(maxPixels)*float64(w)/float64(h)))+1)
	for {
		if sh = ceilDiv(h*sw, w); sw == 1 || sw*sh <= maxPixels {
			return sw, sh
		}
		sw--
	}
}

// Smaller gives the photo in SmallerSize, each pixel the mean light of the square
// below it, with everything else that is known about the photo; the photo itself
// when it is small enough. Unlike Reduced it comes as near to maxPixels as it can,
// for gaps that are few pixels wide.
func (p *Photo) Smaller(maxPixels int) *Photo {
	if p.W*p.H <= maxPixels {
		return p
	}
	w, h := SmallerSize(p.W, p.H, maxPixels)
	side := float64(p.W) / float64(w)
	pic, columns := colormath.NewPicture(w, h), squares(p.W, w)
	var t *toLinear
	if p.Picture == nil {
		t = newToLinear(p.profile)
	}
	colormath.Rows(h, p.threads, func(y0, y1 int) {
		line, sums := make([]float32, 3*p.W), make([]float64, 3*w+3)
		for y := y0; y < y1; y++ {
			clear(sums)
			top, end := float64(y)*side, min(float64(y+1)*side, float64(p.H))
			for sy := int(top); float64(sy) < end; sy++ {
				weight := min(float64(sy+1), end) - max(float64(sy), top)
				addShares(sums, p.linearRow(sy, line, t), columns, weight)
			}
			for i := range 3 * w {
				pic.Pix[3*w*y+i] = float32(sums[i] / (side * (end - top)))
			}
		}
	})
	return &Photo{Name: p.Name, Format: p.Format, Profile: p.Profile, SHA256: p.SHA256, W: w, H: h,
		Picture: pic, Notes: p.Notes, threads: p.threads}
}

// square says in which new pixel an old one lies, and with what share of it; the
// rest lies in the next.
type square struct {
	at    int
	share float64
}

// squares lays n old pixels on m new ones, m ≤ n.
func squares(n, m int) []square {
	out := make([]square, n)
	for i := range out {
		at := i * m / n
		out[i] = square{at, min(1, float64((at+1)*n-i*m)/float64(m))}
	}
	return out
}

// addShares adds a row to the sums of the squares that it lies in.
func addShares(sums []float64, row []float32, columns []square, weight float64) {
	for x, c := range columns {
		from, to := row[3*x:3*x+3], sums[3*c.at:3*c.at+6]
		here := weight * c.share
		for k, v := range from {
			to[k] += here * float64(v)
			to[k+3] += (weight - here) * float64(v)
		}
	}
}
