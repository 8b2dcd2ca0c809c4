package sheet

import (
	"image"
	"math"

	"gapshade/preview"
)

// Limits of the sheet, px: small enough to send, large enough that tiles stay
// readable when it is opened on its own.
const (
	maxSide    = 4000
	maxPicture = 900 // width of one picture; 12 of them make a sheet of 12 MP
	minPicture = 480 // below that, captions no longer fit; a long sheet grows taller instead
)

// layout is where things stand on the sheet, px.
type layout struct {
	w, h    int
	cols    int
	pic     image.Point // size of one picture
	unit    float64     // text and spacing scale: 1 at pictures 900 px wide
	margin  int         // round the sheet
	gutter  int         // between pictures
	head    int         // height of the title
	caption int         // height under each picture
}

// newLayout gives a layout without closing lines; those make it a little taller.
// It chooses the grid for n pictures of the crop's shape: the largest
// pictures that fit, then few empty places, then a sheet near 4:3.
func newLayout(n int, crop image.Rectangle) layout {
	best, bestScore := layout{}, math.Inf(-1)
	for cols := 1; cols <= n; cols++ {
		l := fit(n, cols, crop)
		empty := float64(cols*((n+cols-1)/cols) - n)
		shape := math.Abs(math.Log(float64(l.w) / float64(l.h) * 3 / 4))
		score := float64(l.pic.X)/maxPicture - .06*empty - .1*shape
		if l.w <= maxSide && score > bestScore {
			best, bestScore = l, score
		}
	}
	return best
}

// fit makes the pictures as wide as the sheet allows with so many columns.
func fit(n, cols int, crop image.Rectangle) layout {
	top := min(maxPicture, max(minPicture, crop.Dx()))
	for w := top; ; w -= 4 {
		l := newGrid(n, cols, w, crop)
		if w <= minPicture || l.w <= maxSide && l.h <= maxSide {
			return l
		}
	}
}

func newGrid(n, cols, w int, crop image.Rectangle) layout {
	u := float64(w) / maxPicture
	l := layout{cols: cols, unit: u, pic: image.Pt(w, heightOf(crop, w))}
	l.margin, l.gutter = scaled(72, u), scaled(44, u)
	l.head, l.caption = scaled(190, u), scaled(172, u)
	rows := (n + cols - 1) / cols
	l.w = 2*l.margin + cols*w + (cols-1)*l.gutter
	l.h = 2*l.margin + l.head + rows*(l.pic.Y+l.caption) + (rows-1)*l.gutter
	return l
}

// cell is where picture number k (0 is the bare layout) stands.
func (l *layout) cell(k int) image.Rectangle {
	at := image.Pt(
		l.margin+(k%l.cols)*(l.pic.X+l.gutter),
		l.margin+l.head+(k/l.cols)*(l.pic.Y+l.caption+l.gutter))
	return image.Rectangle{Min: at, Max: at.Add(l.pic)}
}

func scaled(v, u float64) int { return int(math.Round(v * u)) }

// heightOf is the height that keeps the crop's shape at width w.
func heightOf(crop image.Rectangle, w int) int {
	return max(1, (w*crop.Dy()+crop.Dx()/2)/crop.Dx())
}

// marginShare of the panel's longer side is left round it in every crop, so
// that the edge of the panel is seen against what it lies on.
const marginShare = 0.02

// Crop is the part of the frame that the sheet shows, px: the panel and a
// small margin.
func Crop(p *preview.Proof) image.Rectangle {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range p.Frame.Panel {
		x0, x1 = math.Min(x0, c.X), math.Max(x1, c.X)
		y0, y1 = math.Min(y0, c.Y), math.Max(y1, c.Y)
	}
	m := marginShare * math.Max(x1-x0, y1-y0)
	frame := image.Rect(0, 0, p.Frame.W, p.Frame.H)
	box := image.Rect(
		int(math.Floor(x0-m)), int(math.Floor(y0-m)),
		int(math.Ceil(x1+m))+1, int(math.Ceil(y1+m))+1).Intersect(frame)
	if box.Empty() {
		return frame
	}
	return box
}
