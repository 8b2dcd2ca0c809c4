package contrast

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// alike is a doubt about nothing but the strength of the light, 3 % either way, and
// half a pixel of edge that changes no colour.
func alike(p *Panel) *Doubt {
	return NewDoubt(p, [][2]colormath.LinearRGB{{{R: 1.03, G: 1.03, B: 1.03}, {R: .97, G: .97, B: .97}}}, p.Lab)
}

// A near-tie is called a tie: half a step of L* between two shades is less than 3 %
// of light can tell. Twenty steps are not.
func TestNearTieIsATie(t *testing.T) {
	p := NewPanel(row(1, 1, 1, 1, 1, 1), greys(20, 22, 30, 34, 60, 62), nil, 1)
	d := alike(p)
	for _, aim := range aims {
		close := func(a, b float64) bool {
			x, y := colormath.Lab{L: a}, colormath.Lab{L: b}
			return TooClose(p.Terms(aim, x).Score(aim), p.Terms(aim, y).Score(aim), d.Score(aim, x), d.Score(aim, y))
		}
		assert.True(t, close(90, 90), aim)
		assert.True(t, close(90, 90.4), aim)
		assert.True(t, close(45, 45.2), aim)
		assert.False(t, close(90, 61), aim)
		assert.False(t, close(28, 48), aim)
		assert.Equal(t, close(61, 60), close(60, 61), aim)
	}
}

// A score's own doubt, by hand as below: one tile, one shade.
func TestOwnDoubt(t *testing.T) {
	p := NewPanel(row(1), greys(50), nil, 1)
	w := Weights("outline")
	assert.InDelta(t, 116./3*.03*.568/35*100*(w.Tiles+w.WorstCluster), alike(p).Score("outline", colormath.Lab{L: 70}).Own(), .15)
}

// By hand, one grey tile of L* 50 under outline from 5 to 40: at 20 and 24 units of
// distance the scores of both shades move together when the light does, and their
// difference stays; on either side of the tile they move apart.
func TestDoubtIsAboutTheDifference(t *testing.T) {
	p := NewPanel(row(1), greys(50), nil, 1)
	d := alike(p)
	again := func(l float64) Again { return d.Score("outline", colormath.Lab{L: l}) }
	assert.Less(t, again(70).Apart(again(74)), .5, "both lighter than the tile")
	two := again(70).Apart(again(30))
	// 3 % of light is 0.75 L* at L* 50 (116/3 · 0.03 · Y^⅓), 2.1 points of 35 units;
	// opposite ways it is twice that, with the weight of tiles and worst cluster.
	step := 116. / 3 * .03 * .568 / 35 * 100
	w := Weights("outline")
	assert.InDelta(t, 2*step*(w.Tiles+w.WorstCluster), two, .3)
	assert.Equal(t, two, again(30).Apart(again(70)))
	assert.Zero(t, again(70).Apart(again(70)))
}

// Half a pixel of edge: the rim of a square tile of 100 px² is 4 · 10 · ½ = 20 px²,
// and the joints' share of the panel grows by all rims.
func TestEdgeDoubt(t *testing.T) {
	m := row(100, 100)
	m.PanelPx, m.GapShare = 400, .5
	p := NewPanel(m, greys(40, 60), nil, 1)
	deeper := greys(42, 60)
	q, r := p.edged(deeper, .5), p.edged(deeper, -.5)
	assert.Equal(t, []float64{80, 80}, q.area)
	assert.Equal(t, []float64{120, 120}, r.area)
	assert.InDelta(t, .6, q.share, 1e-12)
	assert.InDelta(t, .4, r.share, 1e-12)
	assert.Equal(t, greys(41, 60), q.Lab)
	assert.Equal(t, greys(39, 60), r.Lab)
	require.Len(t, q.Clusters, 2)
	assert.InDelta(t, .5, q.Clusters[0].AreaShare, 1e-12)
	assert.Equal(t, greys(40, 60), p.Lab, "the panel itself stays")
	assert.InDelta(t, .5, p.Clusters[0].AreaShare, 1e-12)
}
