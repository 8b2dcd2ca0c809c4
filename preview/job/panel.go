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
var panelGreys = color.Palette{color.Gray{255}, color.Gray{205}, color.Gray{245}, color.Gray{0}}

// DrawNarrow draws where gaps are hard to fill: black on the panel, tiles grey.
// It returns nil when no gap is, since then there is nothing to show.
func DrawNarrow(n *quantity.Narrows, u quantity.Units) (*Picture, error) {
	if n.Share == 0 {
		return nil, nil
	}
	pic := image.NewPaletted(image.Rect(0, 0, n.W, n.H), panelGreys)
	for i, c := range n.Cell {
		pic.Pix[i] = uint8(c)
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, pic); err != nil {
		return nil, fmt.Errorf("picture of the narrow gaps: %w", err)
	}
	return &Picture{PNG: buf.Bytes(), W: n.W, H: n.H,
		Caption: "Black: gaps under " + u.Length(quantity.HardToFillMm) + ", hard to fill. Grey: pieces."}, nil
}
