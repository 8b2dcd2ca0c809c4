package segment_test

import (
	"encoding/json"
	"image"
	_ "image/jpeg"
	_ "image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/colormath/imgdiff"
	"gapshade/segment"
)

// known is a picture with its truth.
type known struct {
	name    string
	pic     *colormath.Picture
	corners *segment.Quad // nil: the whole picture
	panel   []bool        // nil: the whole picture
	gap     []uint8       // what grout will cover
	ids     []uint16      // tile numbers; nil: numbered from gap
	tiles   int
}

// scene reads a layout with its truth.
func scene(t *testing.T, dir, bed string) known {
	b, err := os.ReadFile(filepath.Join(dir, "scene.json"))
	require.NoError(t, err)
	var facts struct {
		Tiles   int
		Corners struct{ Panel [4][2]float64 } `json:"corners_px"`
	}
	require.NoError(t, json.Unmarshal(b, &facts))
	k := known{name: filepath.Base(dir) + " " + bed, tiles: facts.Tiles, corners: new(segment.Quad),
		pic: imgdiff.FromImage(decode(t, filepath.Join(dir, "photo_"+bed+".jpg"))),
		gap: grey(t, filepath.Join(dir, "tiles_grout.png")),
		ids: numbers(t, filepath.Join(dir, "ids.png"))}
	for i, c := range facts.Corners.Panel {
		k.corners[i] = segment.Point{X: c[0], Y: c[1]}
	}
	for i, tile := range k.gap {
		k.gap[i] = 255 - tile
	}
	for _, p := range grey(t, filepath.Join(dir, "panel.png")) {
		k.panel = append(k.panel, p >= 128)
	}
	return k
}

func decode(t *testing.T, path string) image.Image {
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	img, _, err := image.Decode(f)
	require.NoError(t, err, path)
	return img
}

func grey(t *testing.T, path string) []uint8 {
	g, ok := decode(t, path).(*image.Gray)
	require.True(t, ok, "%s is not 8-bit grey", path)
	return g.Pix
}

func numbers(t *testing.T, path string) []uint16 {
	g, ok := decode(t, path).(*image.Gray16)
	require.True(t, ok, "%s is not 16-bit grey", path)
	n := make([]uint16, len(g.Pix)/2)
	for i := range n {
		n[i] = uint16(g.Pix[2*i])<<8 | uint16(g.Pix[2*i+1])
	}
	return n
}
