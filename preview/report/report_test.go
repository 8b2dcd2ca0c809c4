package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/segment"
)

// Oracle: testdata/report.json was written by hand from canned: areas are px²
// times .25 mm², so tiles of 100 and 200 mm² with a tenth of the way between
// them at 110, and 500 px² of gap make 125 mm². Two tiles on 2,000 px² stand
// √1000 px = 15.81 mm apart, 4 cycles per degree from 3.62 m; the second tile's
// centre lies .71 of the way across, the first one's .21.
func TestJSONIsTheHandWrittenOne(t *testing.T) {
	want, err := os.ReadFile("testdata/report.json")
	require.NoError(t, err)
	var got bytes.Buffer
	require.NoError(t, JSON(&got, FromProof(canned(), cannedFiles)))
	assert.Equal(t, string(want), got.String())
}

func TestJSONReadsBack(t *testing.T) {
	r := FromProof(canned(), cannedFiles)
	r.Notes = append(r.Notes, Note{"odd", "a list in a text: [\n1,\n 2\n] <b> & \u2028"})
	var buf bytes.Buffer
	require.NoError(t, JSON(&buf, r))
	assert.Contains(t, buf.String(), "<b> &", "readable, not \\u003c")
	var back Report
	require.NoError(t, json.Unmarshal(buf.Bytes(), &back))
	assert.Equal(t, r, back)
}

// Two photos say so, and the second one is named.
func TestReportOfTwoPhotos(t *testing.T) {
	p := canned()
	p.Second = &preview.SecondPhoto{Name: "black.png", Format: "png", Profile: "sRGB", SHA256: strings.Repeat("ab", 32), W: 51, H: 41}
	r := FromProof(p, cannedFiles)
	assert.Equal(t, "two photos", r.Gaps.Method)
	assert.Equal(t, &Photo{Name: "black.png", Width: 51, Height: 41, Format: "png", Profile: "sRGB", SHA256: strings.Repeat("ab", 32)}, r.Second)
	c := schemaChecker(t)
	v := reportValue(t, r)
	assert.NoError(t, c.check(c.root, v))
	v["second_photo"].(object)["sha256"] = "00"
	assert.Error(t, c.check(c.root, v))
}

// Without a size lengths are pixels and millimetres are null or left out.
func TestReportWithoutASize(t *testing.T) {
	p := canned()
	p.Frame.MmPerPx = 0
	var buf bytes.Buffer
	require.NoError(t, JSON(&buf, FromProof(p, nil)))
	text := buf.String()
	assert.Contains(t, text, `"mm_per_px": null`)
	assert.Contains(t, text, `"area_mm2": null`)
	assert.Contains(t, text, `"width_px"`)
	assert.Contains(t, text, `"area_px"`)
	assert.NotContains(t, text, `"width_mm"`)
	p.Map.Sure = segment.Sureness{}
	buf.Reset()
	require.NoError(t, JSON(&buf, FromProof(p, nil)))
	assert.NotContains(t, buf.String(), `"weak"`, "left out when there is none")
	assert.Contains(t, text, `"view": null`)
	assert.NotContains(t, text, `"preview"`)
}

// Nothing measured is left out; it is never 0 and never "NaN".
func TestReportWithoutWidths(t *testing.T) {
	p := canned()
	nan := math.NaN()
	p.Map.GapWidthPx = colormath.Spread{P10: nan, P50: nan, P90: nan}
	var buf bytes.Buffer
	require.NoError(t, JSON(&buf, FromProof(p, nil)))
	assert.NotContains(t, buf.String(), "width_")
	p.TileLab[0].L, p.Light.Unevenness = 0, math.Inf(1)
	assert.Error(t, JSON(&buf, FromProof(p, nil)), "a number that is not finite is a fault, not a file")
}

func TestNumbersAreRoundedOnce(t *testing.T) {
	assert.Equal(t, 1.235, round(1.23456, 3))
	assert.False(t, math.Signbit(round(-.0001, 3)), "no minus zero")
	assert.Equal(t, 0.364415, significant(.36441486, 6))
	assert.Equal(t, -1.23457e-7, significant(-1.234567e-7, 6))
	assert.Equal(t, 1e-320, significant(1e-320, 6), "too small to scale stays as it is")
}

// Oracle: the canned numbers, read back by a CSV reader; areas times .25.
func TestCSVReadsBack(t *testing.T) {
	var buf bytes.Buffer
	require.NoError(t, CSV(&buf, canned()))
	assert.Equal(t, 5, strings.Count(buf.String(), "\r\n"), "RFC 4180 line ends")
	rows, err := csv.NewReader(&buf).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, [][]string{
		{"tile", "x", "y", "area_mm2", "L", "a", "b", "shade", "delta_l", "hyab", "de00", "merges", "group"},
		{"1", "10.3", "20.0", "100.00", "60.00", "1.00", "2.00", "mid-warm", "1.05", "3.31", "2.20", "1", "0"},
		{"1", "10.3", "20.0", "100.00", "60.00", "1.00", "2.00", "near-black", "-34.74", "36.98", "30.10", "1", "1"},
		{"2", "35.0", "20.0", "200.00", "30.00", "-1.00", "-2.00", "mid-warm", "31.05", "37.54", "28.30", "0", "0"},
		{"2", "35.0", "20.0", "200.00", "30.00", "-1.00", "-2.00", "near-black", "-4.74", "6.98", "4.05", "1", "1"},
	}, rows)
}

func TestCSVWithoutASize(t *testing.T) {
	p := canned()
	p.Frame.MmPerPx = 0
	var buf bytes.Buffer
	require.NoError(t, CSV(&buf, p))
	assert.Contains(t, buf.String(), ",area_px,")
	assert.Contains(t, buf.String(), ",800.00,")
	assert.Error(t, CSV(failing{}, p))
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, assert.AnError }

// Written by hand from canned.
const cannedText = `lemons.jpg: 2 tiles (1 cut), gaps 25 % of the panel, middle gap 3.0 mm

  #  shade         L* contrast   HyAB no outline  pieces  score
  1  mid-warm    61.0 clear      20.0       33 %       2   70.0
  2  near-black  25.3 clear      22.0      100 %       1   40.0

first choice: mid-warm
  Lighter than every piece.
  From about 3.6 m on the joints tint the panel rather than outline the tiles.

note: too little bed shows

sheet.jpg shows all side by side, report.html tells the rest; both are in
lemons-grout
`

func TestText(t *testing.T) {
	var buf bytes.Buffer
	require.NoError(t, Text(&buf, FromProof(canned(), cannedFiles), "lemons-grout"))
	assert.Equal(t, cannedText, buf.String())
}

// Nothing a file name, a shade file or a note holds makes a line too wide or
// steers the terminal.
func TestTextStaysInItsColumns(t *testing.T) {
	r := FromProof(canned(), nil)
	r.Photo.Name = strings.Repeat("very-long-", 12) + "\x1b[31m\u202e.jpg"
	r.Shades[1].ID = strings.Repeat("ab-", 13)
	r.Notes[0].Text = strings.Repeat("many words ", 40) + "\x1b]0;title\x07"
	var buf bytes.Buffer
	require.NoError(t, Text(&buf, r, ""))
	for line := range strings.Lines(buf.String()) {
		assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimRight(line, "\n")), 80, line)
		assert.Equal(t, strings.TrimRight(line, " \n")+"\n", line, "no blanks at the end")
	}
	assert.NotContains(t, buf.String(), "\x1b")
	assert.NotContains(t, buf.String(), "\u202e")
	assert.NotContains(t, buf.String(), "sheet.jpg", "no folder, no word of files")
}

func TestWords(t *testing.T) {
	r := FromProof(canned(), nil)
	assert.Equal(t, "lighter than the tiles", r.Shades[0].side())
	assert.Equal(t, "darker than the tiles", r.Shades[1].side())
	r.Shades[0].Contrast.DeltaL.P10 = -1
	assert.Equal(t, "between light and dark tiles", r.Shades[0].side())
	assert.Equal(t, "+3", signed(2.6))
	assert.Equal(t, "−3", signed(-2.6))
	assert.Equal(t, "0", signed(-.4))
}
