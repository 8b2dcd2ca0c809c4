package photo

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// update rewrites what the tests themselves can make; the files of other
// encoders are made by hand, see testdata/photos/README.md.
var update = flag.Bool("update", false, "rewrite testdata/photos/panel.png")

const fixtures = "../../testdata/photos/"

const panelW, panelH = 256, 192

// panel paints a small mosaic: 5 × 4 tiles on a grey bed, none like another,
// the first black and the second white. Flat tiles survive any lossy encoder,
// so formats can be compared; the gaps are wider than what 4:2:0 smears.
func panel() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, panelW, panelH))
	for y := range panelH {
		for x := range panelW {
			img.SetRGBA(x, y, panelAt(x, y))
		}
	}
	return img
}

func panelAt(x, y int) color.RGBA {
	column, row := x/50, y/48
	if x%50 < 8 || y%48 < 8 || column > 4 {
		return color.RGBA{150, 148, 144, 255}
	}
	tiles := [...]uint32{
		0x000000, 0xffffff, 0xb04a32, 0x7d8a5c, 0xd9c7a0,
		0x35506e, 0xc98a4b, 0x5a4036, 0x9fb4c2, 0x808080,
		0x8c2f39, 0xe6d36f, 0x2f5d50, 0xd7d2cb, 0x6b5b7b,
		0x44484d, 0xa9603f, 0xf0e6d8, 0x3d6b8f, 0x99a07f,
	}
	v := tiles[row*5+column]
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

func fixture(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(fixtures, name))
	require.NoError(t, err)
	return b
}

func pngBytes(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// open reads bytes that must be readable.
func open(t testing.TB, b []byte) *Photo {
	t.Helper()
	p, err := Open(t.Context(), "test", bytes.NewReader(b), Limits{})
	require.NoError(t, err)
	return p
}

// The other fixtures are encoded from panel.png, so it must be this picture.
func TestPanelFixture(t *testing.T) {
	if *update {
		require.NoError(t, os.MkdirAll(fixtures, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(fixtures, "panel.png"), pngBytes(t, panel()), 0o644))
		t.Log("rewrote panel.png")
	}
	samePixels(t, panel(), open(t, fixture(t, "panel.png")).RGBA(), "panel.png")
}

// samePixels compares to the last bit, and names the first difference only.
func samePixels(t testing.TB, want, got *image.RGBA, name string) {
	t.Helper()
	require.Equal(t, want.Rect, got.Rect, name)
	for i := range want.Pix {
		if want.Pix[i] != got.Pix[i] {
			x, y := i/4%want.Rect.Dx(), i/4/want.Rect.Dx()
			require.Failf(t, "pixels differ", "%s at %d, %d: %v against %v", name, x, y, got.RGBAAt(x, y), want.RGBAAt(x, y))
		}
	}
}
