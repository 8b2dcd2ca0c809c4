package colormath

import "math"

// Warp resamples pic once, in linear light, into a picture of w × h px in which
// the place toFrame(x, y) shows what pic shows at (x, y). Places beyond pic's
// edge repeat its edge pixels: a margin of bed goes on as bed.
//
// Where the picture grows or keeps its size, values between pixels come from
// the cubic of Catmull and Rom, held between the four nearest pixels so that no
// halo is drawn beside an edge; where it shrinks, every pixel is the mean of a
// grid of such values, fine enough that each source pixel counts.
func Warp(pic *Picture, toFrame Homography, w, h, threads int) (*Picture, error) {
	back, ok := toFrame.Inverse()
	if !ok {
		return nil, errNoMap
	}
	out := NewPicture(w, h)
	Rows(h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			// Along a row the stretch only grows or only falls.
			n := fineness(max(back.stretch(0, float64(y)), back.stretch(float64(w-1), float64(y))))
			for x := range w {
				warpPixel(out.Pix[3*(y*w+x):][:3], pic, &back, float64(x), float64(y), n)
			}
		}
	})
	return out, nil
}

// finest bounds the grid per pixel; a panel reduced by more than this has other
// troubles.
const finest = 8

// fineness is how many places a side are read for a pixel that covers so many.
func fineness(stretch float64) int {
	// A hair over 1 is a rounding, not a reduction.
	if !(stretch > 1.001) {
		return 1
	}
	return int(min(math.Ceil(stretch), finest))
}

// warpPixel fills one pixel from the places that it covers, n × n of them.
func warpPixel(to []float32, pic *Picture, back *Homography, x, y float64, n int) {
	if n == 1 {
		u, v := back.Apply(x, y)
		c := readBetween(pic, u, v)
		copy(to, c[:])
		return
	}
	var sum [3]float32
	for j := range n {
		for i := range n {
			u, v := back.Apply(x+(float64(i)+.5)/float64(n)-.5, y+(float64(j)+.5)/float64(n)-.5)
			c := readBetween(pic, u, v)
			sum[0], sum[1], sum[2] = sum[0]+c[0], sum[1]+c[1], sum[2]+c[2]
		}
	}
	k := 1 / float32(n*n)
	to[0], to[1], to[2] = sum[0]*k, sum[1]*k, sum[2]*k
}

// readBetween reads a picture between its pixels.
func readBetween(pic *Picture, x, y float64) (out [3]float32) {
	// A place at infinity is an edge pixel too.
	x, y = min(max(x, 0), float64(pic.W-1)), min(max(y, 0), float64(pic.H-1))
	ix, iy := int(x), int(y)
	kx, ky := cubic(float32(x-float64(ix))), cubic(float32(y-float64(iy)))
	var edge [12]float32
	var c, lo, hi [3]float32
	for j := range 4 {
		row := pic.Pix[3*pic.W*min(max(iy+j-1, 0), pic.H-1):][:3*pic.W]
		p := &edge
		if ix > 0 && ix+2 < pic.W {
			p = (*[12]float32)(row[3*(ix-1):])
		} else {
			for i := range 4 {
				copy(edge[3*i:3*i+3], row[3*min(max(ix+i-1, 0), pic.W-1):])
			}
		}
		for k := range 3 {
			// Not fused: the same on every processor.
			v := float32(float32(kx[0]*p[k])+float32(kx[1]*p[3+k])) + float32(float32(kx[2]*p[6+k])+float32(kx[3]*p[9+k]))
			c[k] += float32(ky[j] * v)
		}
		switch j {
		case 1:
			for k := range 3 {
				lo[k], hi[k] = min(p[3+k], p[6+k]), max(p[3+k], p[6+k])
			}
		case 2:
			for k := range 3 {
				lo[k], hi[k] = min(lo[k], p[3+k], p[6+k]), max(hi[k], p[3+k], p[6+k])
			}
		}
	}
	for k := range c {
		out[k] = min(max(c[k], lo[k]), hi[k])
	}
	return out
}

// cubic gives the weights of the pixels at −1, 0, 1, 2 for a place t between 0
// and 1 (Catmull, Rom, 1974; the cubic convolution of Keys, 1981, with a = −1/2).
func cubic(t float32) [4]float32 {
	t2 := float32(t * t)
	t3 := float32(t2 * t)
	return [4]float32{
		(float32(2*t2) - t3 - t) / 2,
		(float32(3*t3) - float32(5*t2) + 2) / 2,
		(float32(4*t2) - float32(3*t3) + t) / 2,
		(t3 - t2) / 2,
	}
}
