package contrast

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
)

// around scatters n colours about a middle, by a few units.
func around(rng *rand.Rand, n int, c colormath.Lab, by float64) []colormath.Lab {
	out := make([]colormath.Lab, n)
	for i := range out {
		out[i] = colormath.Lab{L: c.L + by*rng.NormFloat64(), A: c.A + by*rng.NormFloat64(), B: c.B + by*rng.NormFloat64()}
	}
	return out
}

// Four well separate colours, one of them on three tiles of four hundred: four
// clusters, every tile with its own.
func TestClustersAreTheColours(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	kinds := []struct {
		n int
		c colormath.Lab
	}{{260, colormath.Lab{L: 30, A: -11, B: -12}}, {90, colormath.Lab{L: 76, A: 6, B: 62}}, {47, colormath.Lab{L: 90, A: 0, B: 6}}, {3, colormath.Lab{L: 45, A: 60, B: 35}}}
	var labs []colormath.Lab
	var kind []int
	for k, c := range kinds {
		labs = append(labs, around(rng, c.n, c.c, 3)...)
		for range c.n {
			kind = append(kind, k)
		}
	}
	areas := make([]float64, len(labs))
	for i := range areas {
		areas[i] = 1
	}
	p := NewPanel(row(areas...), labs, nil, 1)
	require.Len(t, p.Clusters, 4)
	for i, k := range p.Of {
		assert.Equal(t, kind[i], k, "tile %d", i+1)
	}
	for k, c := range p.Clusters {
		assert.Equal(t, kinds[k].n, c.Tiles)
		assert.InDelta(t, float64(kinds[k].n)/400, c.AreaShare, 1e-12)
		assert.Less(t, colormath.DeltaE76(kinds[k].c, c.Lab), 4.5)
	}
	assert.Equal(t, []string{"dark teal", "yellow", "white", "red"}, []string{p.Clusters[0].Name, p.Clusters[1].Name, p.Clusters[2].Name, p.Clusters[3].Name})
}

// One colour is one cluster, however it is scattered; a rainbow is a handful, and
// together they hold every tile.
func TestClustersAreAHandful(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	whites := around(rng, 300, colormath.Lab{L: 85, A: 0, B: 5}, 5)
	areas := make([]float64, 300)
	for i := range areas {
		areas[i] = 1 + rng.Float64()
	}
	assert.Len(t, NewPanel(row(areas...), whites, nil, 1).Clusters, 1)
	rainbow := make([]colormath.Lab, 300)
	for i := range rainbow {
		rainbow[i] = colormath.Tinted(30+50*rng.Float64(), 10+50*rng.Float64(), 360*rng.Float64())
	}
	p := NewPanel(row(areas...), rainbow, nil, 1)
	require.Len(t, p.Clusters, mostClusters)
	tiles, share := 0, 0.0
	names := map[string]bool{}
	for _, c := range p.Clusters {
		tiles, share = tiles+c.Tiles, share+c.AreaShare
		names[c.Name] = true
	}
	assert.Equal(t, 300, tiles)
	assert.InDelta(t, 1, share, 1e-9)
	assert.Len(t, names, mostClusters, "no two alike")
	for i, k := range p.Of { // every tile went to the nearest middle
		for _, c := range p.Clusters {
			assert.LessOrEqual(t, colormath.DeltaE76(rainbow[i], p.Clusters[k].Lab), colormath.DeltaE76(rainbow[i], c.Lab)+1e-9)
		}
	}
}

// The order and the numbers of the tiles change nothing, to the last bit.
func TestClustersInAnyOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	labs, areas := make([]colormath.Lab, 120), make([]float64, 120)
	for i := range labs {
		labs[i] = colormath.Tinted(20+70*rng.Float64(), 60*rng.Float64(), 360*rng.Float64())
		areas[i] = 1 + rng.Float64()
	}
	want := NewPanel(row(areas...), labs, nil, 1)
	for range 10 {
		order := rng.Perm(len(labs))
		mixed, sizes := make([]colormath.Lab, len(labs)), make([]float64, len(labs))
		for i, j := range order {
			mixed[i], sizes[i] = labs[j], areas[j]
		}
		got := NewPanel(row(sizes...), mixed, nil, 1)
		require.Len(t, got.Clusters, len(want.Clusters))
		for k := range want.Clusters {
			assert.Equal(t, want.Clusters[k].Lab, got.Clusters[k].Lab)
			assert.Equal(t, want.Clusters[k].Tiles, got.Clusters[k].Tiles)
			assert.Equal(t, want.Clusters[k].Name, got.Clusters[k].Name)
		}
		for i, j := range order {
			assert.Equal(t, want.Of[j], got.Of[i])
		}
	}
}

// A tile without a colour is in no cluster.
func TestBurntTilesAreInNoCluster(t *testing.T) {
	p := NewPanel(row(1, 1, 1), greys(20, 100, 21), []bool{false, true, false}, 1)
	assert.Equal(t, []int{0, -1, 0}, p.Of)
	require.Len(t, p.Clusters, 1)
	assert.Equal(t, 2, p.Clusters[0].Tiles)
}

// Everyday things under the words people use for them (Lab from the sRGB colours
// of the web's plain names, and from greys).
func TestColourWords(t *testing.T) {
	for hex, want := range map[string]string{
		"#ffffff": "white", "#f5f5f0": "white", "#c8c8c8": "light grey", "#808080": "mid grey", "#505050": "dark grey", "#101010": "black",
		"#ff0000": "red", "#8b0000": "dark red", "#ffb6c1": "pink", "#ff1493": "pink", "#ffa500": "light orange", "#ff6600": "orange",
		"#ffff00": "light yellow", "#d4b020": "yellow", "#f5f0d0": "cream", "#d2b48c": "beige", "#8b4513": "brown", "#3b2a1a": "dark brown",
		"#6b6b20": "olive", "#008000": "green", "#004d00": "dark green", "#90ee90": "light green", "#9acd32": "yellow-green", "#008080": "teal", "#0e3b43": "dark teal",
		"#0000ff": "dark blue", "#4169e1": "blue", "#add8e6": "greyish light teal", "#800080": "dark purple", "#9370db": "purple",
	} {
		c, err := colormath.ParseHex(hex)
		require.NoError(t, err)
		got := ColourWords(c.Lab())
		if hex == "#add8e6" { // a pale sky: light and greyish, whatever the hue is called
			assert.Contains(t, []string{"light greyish teal", "light greyish blue", "light teal", "light blue"}, got)
			continue
		}
		assert.Equal(t, want, got, "%s, L* %.0f, C* %.0f, h %.0f", hex, c.Lab().L, c.Lab().Chroma(), c.Lab().Hue())
	}
	// The ground and the fruit of the lemons panel, from its recipe.
	assert.Equal(t, "dark teal", ColourWords(colormath.Lab{L: 27, A: -11.5, B: -12}))
	assert.Equal(t, "yellow", ColourWords(colormath.Lab{L: 76, A: 6, B: 62}))
}

// No two clusters bear the same name.
func TestNamesDiffer(t *testing.T) {
	c := []Cluster{{Lab: colormath.Lab{L: 50, B: -40}}, {Lab: colormath.Lab{L: 65, B: -40}}, {Lab: colormath.Lab{L: 90}}}
	nameAll(c)
	assert.Equal(t, []string{"darker blue", "lighter blue", "white"}, []string{c[0].Name, c[1].Name, c[2].Name})
	c = []Cluster{{Lab: colormath.Lab{L: 50, B: -40}}, {Lab: colormath.Lab{L: 50, B: -64}}}
	nameAll(c)
	assert.NotEqual(t, c[0].Name, c[1].Name)
}

// Where tiles lie, on a panel of 10 by 10: read off the coordinates.
func TestWhere(t *testing.T) {
	m := &segment.Map{Panel: segment.Quad{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 100}, {X: 0, Y: 100}}}
	for y := range 10 {
		for x := range 10 {
			m.Tiles = append(m.Tiles, segment.Tile{AreaPx: 50, Centre: segment.Point{X: 5 + 10*float64(x), Y: 5 + 10*float64(y)}})
		}
	}
	p := NewPanel(m, make([]colormath.Lab, 100), nil, 1)
	for want, in := range map[string]func(x, y int) bool{
		"all over the panel": func(x, y int) bool { return (x+y)%2 == 0 },
		"in the upper left":  func(x, y int) bool { return x < 4 && y < 3 },
		"in the lower right": func(x, y int) bool { return x > 5 && y > 5 },
		"in the upper half":  func(x, y int) bool { return y < 4 },
		"in the right half":  func(x, y int) bool { return x > 6 },
		"in the middle":      func(x, y int) bool { return x > 2 && x < 7 && y > 2 && y < 7 },
		"along the edge":     func(x, y int) bool { return x == 0 || y == 0 || x == 9 || y == 9 },
	} {
		assert.Equal(t, want, p.where(func(i int) bool { return in(i%10, i/10) }))
	}
	c := Cluster{Tiles: 64, Name: "dark teal", Where: "in the upper left"}
	assert.Equal(t, "the 64 dark teal tiles in the upper left", c.Phrase())
	c.Tiles = 1
	assert.Equal(t, "the one dark teal tile in the upper left", c.Phrase())
}

// A panel seen at a slant: its corners stay its corners, its middle its middle.
func TestPlaceOnATiltedPanel(t *testing.T) {
	p := &Panel{Map: &segment.Map{Panel: segment.Quad{{X: 20, Y: 10}, {X: 90, Y: 0}, {X: 110, Y: 100}, {X: 0, Y: 80}}}}
	for i, want := range [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
		u, v := p.place(p.Map.Panel[i])
		assert.InDelta(t, want[0], u, 1e-9)
		assert.InDelta(t, want[1], v, 1e-9)
	}
	u, v := p.place(segment.Point{X: 55, Y: 47})
	assert.InDelta(t, .5, u, .08)
	assert.InDelta(t, .5, v, .08)
}
