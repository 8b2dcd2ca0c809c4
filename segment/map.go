package segment

import "gapshade/colormath"

// Point is a place in the picture: pixel centres at whole numbers, x right,
// y down.
type Point struct{ X, Y float64 }

// Quad is the panel's four corners: top-left, top-right, bottom-right,
// bottom-left.
type Quad [4]Point

// Map is what was found in one picture.
type Map struct {
	W, H int

	// Gap is the share of each pixel that grout will cover, 0 (tile) … 255
	// (gap), row by row; 0 outside the panel. Eight bits are finer than the
	// finder is sure of, and a quarter of the memory of a float.
	Gap []uint8

	// Through is the share of the bed's light that passes each tile pixel, 0
	// (opaque) … 255, row by row; 0 in gaps. It takes two photos to see; nil
	// with one, and when no tile lets light pass.
	Through []uint8

	// Label is the tile number of each pixel, 1…len(Tiles), 0 elsewhere.
	Label []uint16

	Tiles   []Tile   // Tiles[i] has number i+1
	Borders []Border // pairs of tiles that face each other across a gap

	Panel   Quad      // the panel's corners; of a free one the box round it, along the picture's sides
	Free    bool      // the outline has no four corners: round, oval, any
	Outline []Point   // the panel's outline, a closed polygon
	Holes   [][]Point // openings within it that are no part of the panel
	Inside  []Span    // the panel as runs of pixels, top to bottom, without what strokes took out of it

	Pair *PairReading // what the second photo told; nil with one photo

	Lamp Lamp // where the light comes from

	WholePicture bool // no panel stood out, so all of the picture is the panel

	GapShare   float64          // gap area over panel area, 0…1
	PanelPx    float64          // panel area, px²
	GapWidthPx colormath.Spread // widths measured across the gaps, px
	Confidence float64          // 0…1; see check.go
	Sure       Sureness         // the same place by place; see sure.go
}

// Span is a run of panel pixels in row Y from X0 up to but not including X1.
type Span struct{ Y, X0, X1 int }

// Tile is one laid piece as the photo shows it.
type Tile struct {
	AreaPx         float64 // coverage summed, px²
	Centre         Point   // centre of area
	X0, Y0, X1, Y1 int     // box, X1 and Y1 not included
	Cut            bool    // touches the edge of the panel or of the picture
}

// Border joins two tiles (numbers A < B) that face each other across a gap.
type Border struct {
	A, B    int
	Length  int     // number of gap pixels where they meet, px
	WidthPx float64 // median width of the gap between them, px
}

// CutTiles counts the tiles that touch the panel's edge.
func (m *Map) CutTiles() int {
	n := 0
	for _, t := range m.Tiles {
		if t.Cut {
			n++
		}
	}
	return n
}
