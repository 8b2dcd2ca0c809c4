package sheet

import (
	"image"

	"gapshade/preview"
)

// legend is the strip under a merge map: the shade, and what each look means
// with the number of tiles.
type legend struct {
	title, lost string
	items       []legendItem
	h           int
	bold, body  style
}

type legendItem struct {
	look    legendLook
	text    string
	colours int         // shown in the sample
	at      image.Point // of the sample, inside the strip
}

type legendLook int

const (
	lookKept legendLook = iota
	lookAlone
	lookGroup
)

// Sizes inside the strip, px.
const (
	legendPad    = 24
	legendSample = 36
	legendPitch  = 52 // from line to line
	legendGap    = 48 // between items
	sampleGap    = 14 // between a sample and its text
)

// newLegend writes the texts and places the items on as many lines as the
// width needs.
func newLegend(t *preview.Trial, w int) legend {
	pen := newPen()
	l := legend{
		title: shadeCaption(t).name,
		lost:  mergeLine(t),
		bold:  style{font: pen.bold, px: 34, ink: ink},
		body:  style{font: pen.regular, px: 28, ink: ink},
		items: legendItems(t),
	}
	l.h = l.place(w)
	return l
}

// legendItems leaves out the looks that no tile has.
func legendItems(t *preview.Trial) []legendItem {
	kept, alone, joined := tally(t)
	var out []legendItem
	if kept > 0 {
		out = append(out, legendItem{look: lookKept, text: preview.Count(kept, "tile") + " with an outline", colours: 1})
	}
	if alone > 0 {
		out = append(out, legendItem{look: lookAlone, text: preview.Count(alone, "tile") + " without, standing alone", colours: 1})
	}
	if joined > 0 {
		out = append(out, legendItem{look: lookGroup, text: preview.Count(joined, "tile") + " in " + preview.Count(t.Groups, "merged group"),
			colours: min(t.Groups, len(groupColours))})
	}
	return out
}

// place stands the items on as many lines as the width needs and returns the
// height of the strip.
func (l *legend) place(w int) int {
	x, y := legendPad, legendPad+legendPitch
	for i := range l.items {
		need := l.items[i].sampleWidth() + sampleGap + width(l.body, l.items[i].text)
		if x > legendPad && x+need > w-legendPad {
			x, y = legendPad, y+legendPitch
		}
		l.items[i].at = image.Pt(x, y)
		x += need + legendGap
	}
	return y + legendSample + legendPad
}

// tally counts tiles that keep their outline, have lost it but stand alone, or
// belong to a group.
func tally(t *preview.Trial) (kept, alone, joined int) {
	for _, c := range t.Tiles {
		switch {
		case c.Group > 0:
			joined++
		case c.Loses:
			alone++
		default:
			kept++
		}
	}
	return kept, alone, joined
}

// sampleWidth: the groups show the colours they have, in a row; the first six
// groups always get one each.
func (it legendItem) sampleWidth() int {
	return legendSample + (it.colours-1)*legendSample*2/3
}

// draw puts the strip below the map, from row top on.
func (l *legend) draw(img *image.Paletted, top int) {
	room := img.Rect.Dx() - 2*legendPad
	used := write(img, l.bold, legendPad, top+legendPad+30, room, l.title) + legendGap
	write(img, l.body, legendPad+used, top+legendPad+30, room-used, l.lost)
	for _, it := range l.items {
		box := image.Rectangle{Max: image.Pt(it.sampleWidth(), legendSample)}.Add(it.at).Add(image.Pt(0, top))
		it.sample(img, box)
		write(img, l.body, box.Max.X+sampleGap, box.Max.Y-9, img.Rect.Dx()-legendPad-box.Max.X, it.text)
	}
}

// sample paints what a tile of this kind looks like.
func (it legendItem) sample(img *image.Paletted, box image.Rectangle) {
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			rim := x == box.Min.X || y == box.Min.Y || x == box.Max.X-1 || y == box.Max.Y-1
			img.SetColorIndex(x, y, it.place(x-box.Min.X, y, rim))
		}
	}
}

func (it legendItem) place(x, y int, rim bool) uint8 {
	switch it.look {
	case lookKept:
		if rim {
			return onOutline
		}
		return onKept
	case lookAlone:
		if (x+y)%hatchPitch < hatchWidth {
			return onHatch
		}
		return onAlone
	}
	return onGroup + uint8(x*it.colours/it.sampleWidth())
}
