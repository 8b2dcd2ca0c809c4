package job

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"gapshade/preview/quantity"
)

// Greys that stay apart on any printer, in the order of quantity.Cell.
var panelGreys = color.Palette{color.Gray{255}, color.Gray{200}, color.Gray{245}, color.Gray{0}}

// DrawNarrow draws where gaps are hard to fill: black on the panel, tiles grey.
// It returns nil when hardly a gap is, since then there is nothing to show.
func DrawNarrow(n *quantity.Narrows, u quantity.Units) (*Picture, error) {
	if n.Share < quantity.FewNarrow {
		return nil, nil
	}
	box := panelBox(n)
	pic := image.NewPaletted(image.Rect(0, 0, box.Dx(), box.Dy()), panelGreys)
	for y := range box.Dy() {
		row := n.Cell[(y+box.Min.Y)*n.W+box.Min.X:]
		for x := range box.Dx() {
			pic.Pix[y*pic.Stride+x] = uint8(row[x])
		}
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, pic); err != nil {
		return nil, fmt.Errorf("picture of the narrow gaps: %w", err)
	}
	return &Picture{PNG: buf.Bytes(), W: box.Dx(), H: box.Dy(),
		Caption: "Black: gaps under " + u.Length(quantity.HardToFillMm) + ", hard to fill. Grey: pieces."}, nil
}

// panelBox is the panel without the table round it.
func panelBox(n *quantity.Narrows) (box image.Rectangle) {
	for i, c := range n.Cell {
		if c != quantity.Outside {
			box = box.Union(image.Rect(i%n.W, i/n.W, i%n.W+1, i/n.W+1))
		}
	}
	return box
}
