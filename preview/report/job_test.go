package report

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
	"gapshade/preview/quantity"
)

// planned is the canned report with the rest of its job.
func planned(t *testing.T) (Report, quantity.Plan) {
	t.Helper()
	r := FromProof(canned(), cannedFiles)
	in, ok := r.Measured(quantity.Default())
	require.True(t, ok)
	p, err := quantity.Make(in)
	require.NoError(t, err)
	r.Job = new(p.Block("Lemons", time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)))
	return r, p
}

// By hand from canned: a quarter of 2000 px² of .25 mm² is 125 mm² of gap in 500;
// the outline is 49 + 48.6 + 43.8 px of half a millimetre.
func TestMeasured(t *testing.T) {
	r := FromProof(canned(), nil)
	said := quantity.Default()
	said.EdgeMm, said.WidthMm = 8, 25
	in, ok := r.Measured(said)
	require.True(t, ok)
	assert.InDelta(t, 125, in.GapMm2, 1e-9)
	assert.InDelta(t, 500, in.PanelMm2, 1e-9)
	assert.InDelta(t, (49+48.600+43.829)/2, in.PerimeterMm, 1e-3)
	assert.Equal(t, quantity.Widths{P10: 2, P50: 3, P90: 4}, in.Joint)
	assert.InDelta(t, 150, in.TileMm2, 1e-9)
	assert.InDelta(t, 8, in.EdgeMm, 0, "what was said stays")
	assert.InDelta(t, 25, in.WidthMm, 0)

	for name, spoil := range map[string]func(*Report){
		"no size": func(r *Report) { r.Frame.MmPerPx = nil },
		"no area": func(r *Report) { r.Gaps.AreaMm2 = nil },
		"no gap":  func(r *Report) { r.Gaps.AreaMm2, r.Gaps.Share = new(0.), 0 },
	} {
		r := FromProof(canned(), nil)
		spoil(&r)
		in, ok := r.Measured(said)
		assert.False(t, ok, name)
		assert.Equal(t, said, in, name)
	}
}

// Two tiles of 20 × 39 px with 2 px between them at half a millimetre: a joint of
// 1 mm is narrow, and nothing is without a mask, an outline or a scale.
func TestNarrows(t *testing.T) {
	r := FromProof(canned(), nil)
	r.Frame.Outline = [][2]float64{{0, 0}, {42, 0}, {42, 39}, {0, 39}}
	gap := make([]uint8, 50*40)
	for i := range gap {
		if x := i % 50; x >= 20 && x < 22 {
			gap[i] = 255
		}
	}
	n, ok := r.Narrows(gap, 0)
	require.True(t, ok)
	assert.InDelta(t, 1, n.Share, .1, "all of it but its mouths")
	assert.Equal(t, []quantity.Cell{quantity.Tile, quantity.NarrowGap, quantity.Outside}, []quantity.Cell{n.Cell[20*50+10], n.Cell[20*50+21], n.Cell[20*50+46]})
	_, ok = r.Narrows(gap[1:], 0)
	assert.False(t, ok)
	_, ok = r.Narrows(nil, 0)
	assert.False(t, ok)
	r.Frame.Outline = r.Frame.Outline[:2]
	_, ok = r.Narrows(gap, 0)
	assert.False(t, ok)
	r.Frame.MmPerPx = nil
	_, ok = r.Narrows(gap, 0)
	assert.False(t, ok)
}

// Twice the length is four times the area, and half the scale comes from a
// quarter of it.
func TestRescale(t *testing.T) {
	r := FromProof(canned(), nil) // 49 × 39 px at half a millimetre: 24.5 × 19.5 mm
	require.NoError(t, r.Rescale(49, 39))
	assert.InDelta(t, 1, *r.Frame.MmPerPx, 1e-4)
	assert.InDelta(t, 500, *r.Gaps.AreaMm2, .1)
	assert.InDelta(t, 6, r.Gaps.WidthMm.P50, 1e-3)
	assert.InDelta(t, 600, r.Tiles.AreaMm2.P50, .1)

	p := canned()
	p.Frame.MmPerPx = 0
	r = FromProof(p, nil)
	require.NoError(t, r.Rescale(24.5, 19.5))
	assert.InDelta(t, .5, *r.Frame.MmPerPx, 1e-4)
	assert.InDelta(t, 3, r.Gaps.WidthMm.P50, 1e-3)
	assert.InDelta(t, 150, r.Tiles.AreaMm2.P50, .1)
	assert.InDelta(t, .25*.25*49*39/2, *r.Gaps.AreaMm2, .1, "the outline is a triangle, half the panel")
	assert.Nil(t, r.Gaps.WidthPx)
	assert.Nil(t, r.Tiles.AreaPx)
	c := schemaChecker(t)
	assert.NoError(t, c.check(c.root, reportValue(t, r)))

	r.Frame.Panel = [4][2]float64{}
	var f *preview.Fault
	assert.ErrorAs(t, r.Rescale(1, 1), &f)
}

func TestReadBackWithItsJob(t *testing.T) {
	r, _ := planned(t)
	var buf bytes.Buffer
	require.NoError(t, JSON(&buf, r))
	back, err := Read(&buf, "report.json")
	require.NoError(t, err)
	assert.Equal(t, r, back)
	in, title, start, err := back.Said()
	require.NoError(t, err)
	assert.Equal(t, quantity.Default(), in)
	assert.Equal(t, "Lemons", title)
	assert.Equal(t, time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC), start)

	back.Job.NarrowShare = new(.25)
	in, _, _, err = back.Said()
	require.NoError(t, err)
	assert.InDelta(t, .25, in.NarrowShare, 0, "what the mask told is kept")

	back.Job.Given.Start = "soon"
	_, _, _, err = back.Said()
	assert.Error(t, err)
	back.Job = nil
	in, _, start, err = back.Said()
	require.NoError(t, err)
	assert.Equal(t, quantity.Default(), in)
	assert.True(t, start.IsZero())
}

func TestReadRefuses(t *testing.T) {
	for name, text := range map[string]string{"empty": "", "no JSON": "\x89PNG", "list": "[]", "other": `{"schema":"gapshade.report/2"}`, "none": "{}", "cut": `{"schema":"gapshade.report/1","photo":{`} {
		_, err := Read(strings.NewReader(text), "x.json")
		var f *preview.Fault
		if assert.ErrorAs(t, err, &f, name) {
			assert.Equal(t, preview.CodePhoto, f.Code)
			assert.True(t, strings.HasPrefix(f.Error(), "x.json: it"), f.Error())
			assert.NotEmpty(t, f.Next)
		}
	}
	_, err := Read(io.MultiReader(strings.NewReader("{"), failingReader{}), "x.json")
	assert.Error(t, err)
}

type failingReader struct{}

func (failingReader) Read([]byte) (int, error) { return 0, errors.New("unplugged") }

// The job alone is what stands in the report, moved out by one level.
func TestJobJSON(t *testing.T) {
	r, _ := planned(t)
	var whole, alone bytes.Buffer
	require.NoError(t, JSON(&whole, r))
	require.NoError(t, JobJSON(&alone, *r.Job))
	assert.Contains(t, whole.String(), `"job": `+strings.ReplaceAll(strings.TrimSpace(alone.String()), "\n", "\n  ")+",\n")
	assert.Contains(t, alone.String(), `"bench": [0.0012, 0.0024]`)
	assert.Contains(t, alone.String(), `"batches": [0.455]`)
}

// By hand: 125 mm² × 4 mm = 0.5 mL, 0.8 g; nothing on this scale but the least
// batch and the 100 g to keep.
func TestTextTellsTheJob(t *testing.T) {
	r, _ := planned(t)
	var buf bytes.Buffer
	require.NoError(t, Text(&buf, r, "lemons-grout"))
	text := buf.String()
	assert.Contains(t, text, "\ngrout to buy: 555 g, sanded, CG2\n  1 g lie in the joints, 1 g with waste; small work really takes 1 g to 2 g\n"+
		"  mix 455 g powder and 104 g water, on the unhurried clock\n  Sand scratches")
	assert.Contains(t, text, "job.html (or job.pdf) is the sheet to work by; all are in\nlemons-grout\n")
	r.Job.PowderKg.Small, r.Job.Given.Units = false, quantity.US
	r.Job.Batches = []float64{quantity.KgPerPound, quantity.KgPerPound}
	r.Job.WaterKg = quantity.KgPerPound
	buf.Reset()
	require.NoError(t, Text(&buf, r, ""))
	assert.NotContains(t, buf.String(), "small work")
	assert.Contains(t, buf.String(), "mix 2 batches of 1 lb powder and 8 oz water")
}

func TestHTMLTellsTheJob(t *testing.T) {
	r, p := planned(t)
	page := cannedPage()
	assert.NotContains(t, render(t, r, page), "The rest of the job")
	page.Plan = &p
	text := render(t, r, page)
	elements(t, text)
	for _, want := range []string{"The rest of the job", quantity.Overrule, "555 g", "sanded, CG2", "rim included", "Sand scratches glass", "unhurried"} {
		assert.True(t, strings.Contains(text, want), want)
	}
}
