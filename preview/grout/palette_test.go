package grout

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// The nine neutrals of the check table, figure by figure, and the two ends:
// Munsell N9 and N2.5 are L* 90.18 and 25.26 (ASTM D1535).
func TestPaletteIsTheTable(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", "neutral_palette.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"id", "depth", "cast", "munsell_value", "L_D50", "a_D50", "b_D50", "sRGB_hex"}, rows[0][:8])
	want := map[string]Shade{
		"near-white": {"near-white", "light", "true", colormath.Lab{L: 90.18}},
		"near-black": {"near-black", "dark", "true", colormath.Lab{L: 25.26}},
	}
	for _, r := range rows[1:] {
		var v [3]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(r[4+i], 64)
			require.NoError(t, err)
		}
		want[r[0]] = Shade{r[0], r[1], r[2], colormath.Lab{L: v[0], A: v[1], B: v[2]}}
		assert.Equal(t, strings.ToLower(r[7]), want[r[0]].Lab.LinearRGB().Hex(), r[0])
	}
	require.Len(t, want, 11)
	got := Palette()
	require.Len(t, got, 11)
	for i, s := range got {
		assert.Equal(t, want[s.ID], s)
		if i > 0 {
			assert.LessOrEqual(t, s.Lab.L, got[i-1].Lab.L, "light to dark")
		}
	}
}

// Every caller gets shades of its own.
func TestPaletteIsACopy(t *testing.T) {
	Palette()[0].ID = "mine"
	assert.Equal(t, "near-white", Palette()[0].ID)
}

func TestPick(t *testing.T) {
	ids := func(arg string) (out []string) {
		s, err := Choose(arg)
		require.NoError(t, err, arg)
		for _, s := range s {
			out = append(out, s.ID)
		}
		return out
	}
	assert.Equal(t, []string{"mid-true"}, ids("mid-true"))
	assert.Equal(t, []string{"near-black", "mid-true"}, ids(" near-black , mid-true"), "the order is the person's")
	assert.Equal(t, []string{"mid-true", "dark-warm"}, ids("mid-true,dark-warm,mid-true"), "twice is once")
	for _, bad := range []string{"", ",", "mid-true,", "Mid-true", "mid-blue", "mid-true;dark-warm", "*"} {
		_, err := Choose(bad)
		require.Error(t, err, bad)
		assert.ErrorContains(t, err, "no built-in shade is called")
		assert.ErrorContains(t, err, "near-white, light-cool", "the error lists what there is")
	}
}

// file writes a shades file and chooses it.
func file(t *testing.T, text string) ([]Shade, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "own.csv")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return Choose(path)
}

func TestShadesFile(t *testing.T) {
	lab := []Shade{
		{"sand", "light", "warm", colormath.Lab{L: 80.5, A: 2, B: 12}},
		{"slate-2", "dark", "cool", colormath.Lab{L: 30, A: -2, B: -6}},
	}
	for name, text := range map[string]string{
		"plain":                  "id,L,a,b\nsand,80.5,2,12\nslate-2,30,-2,-6\n",
		"no line end at the end": "id,L,a,b\nsand,80.5,2,12\nslate-2,30,-2,-6",
		"CR LF":                  "id,L,a,b\r\nsand,80.5,2,12\r\nslate-2,30,-2,-6\r\n",
		"byte order mark":        "\ufeffid,L,a,b\nsand,80.5,2,12\nslate-2,30,-2,-6\n",
		"comments, empty lines":  "# from the sample board\nid,L,a,b\n\nsand,80.5,2,12\n# the dark one\nslate-2,30,-2,-6\n\n",
		"blanks":                 "id, L, a, b\nsand , 80.5 , 2 , 12\n slate-2, 30, -2, -6\n",
		"quotes":                 "\"id\",\"L\",\"a\",\"b\"\n\"sand\",\"80.5\",\"2\",\"12\"\n\"slate-2\",\"30\",\"-2\",\"-6\"\n",
		"other number forms":     "id,L,a,b\nsand,8.05e1,+2,12.0\nslate-2,30.000,-2,-6\n",
	} {
		got, err := file(t, text)
		require.NoError(t, err, name)
		assert.Equal(t, lab, got, name)
	}

	// #808080 is sRGB grey 128: linear 0.21586, L* 53.585 (srgb_to_lab arithmetic:
	// 116·0.21586^(1/3) − 16).
	hex, err := file(t, "id,hex\nplain,#808080\nshort,#FFF\n")
	require.NoError(t, err)
	require.Len(t, hex, 2)
	assert.InDelta(t, 53.585, hex[0].Lab.L, .001)
	assert.InDelta(t, 0, hex[0].Lab.Chroma(), .01)
	assert.InDelta(t, 100, hex[1].Lab.L, .001)
	assert.Equal(t, "mid", hex[0].Depth)
	assert.Equal(t, "true", hex[0].Cast)
}

// Every refusal says in which line and why, in words that a person can act on.
func TestShadesFileRefused(t *testing.T) {
	const head = "id,L,a,b\n"
	many := head
	for i := range 65 {
		many += fmt.Sprintf("s%d,50,0,0\n", i)
	}
	for name, c := range map[string]struct {
		text string
		say  []string
	}{
		"empty":               {"", []string{"it is empty", "id,L,a,b or id,hex"}},
		"head only":           {head, []string{"no shades below its first line"}},
		"no head":             {"sand,80,2,12\n", []string{`its first line is "sand,80,2,12"`, "it should be id,L,a,b or id,hex"}},
		"semicolons":          {"id;L;a;b\nsand;80;2;12\n", []string{`its first line is "id;L;a;b"`}},
		"wrong head":          {"id,l,A,B\nsand,80,2,12\n", []string{"its first line"}},
		"not a number":        {head + "ok,50,0,0\nsand,pale,2,12\n", []string{"line 3", `"pale" is not a number`}},
		"decimal comma":       {head + "sand,\"80,5\",2,12\n", []string{"line 2", `"80,5" is not a number`}},
		"not finite":          {head + "sand,NaN,2,12\n", []string{"line 2", "not a number"}},
		"infinite":            {head + "sand,50,Inf,12\n", []string{"line 2", "not a number"}},
		"beyond floats":       {head + "sand,1e309,2,12\n", []string{"line 2", "not a number"}},
		"below black":         {head + "# comment\nsand,-1,0,0\n", []string{"line 3", "L is -1", "0 (black) to 100 (white)"}},
		"L too large":         {head + "sand,101,0,0\n", []string{"line 2", "L is 101"}},
		"no pigment":          {head + "sand,50,140,100\n", []string{"line 2", "a 140 and b 100"}},
		"id with a blank":     {head + "my sand,50,0,0\n", []string{"line 2", `"my sand" can't be an id`, "a-z, 0-9 and -"}},
		"id with a path":      {head + "../sand,50,0,0\n", []string{"line 2", "can't be an id"}},
		"id in capitals":      {head + "Sand,50,0,0\n", []string{"line 2", "can't be an id"}},
		"no id":               {head + ",50,0,0\n", []string{"line 2", "can't be an id"}},
		"id too long":         {head + strings.Repeat("x", 41) + ",50,0,0\n", []string{"line 2", "can't be an id"}},
		"twice":               {head + "sand,50,0,0\nslate,30,0,0\nsand,60,0,0\n", []string{"line 4", `the id "sand" stands twice`}},
		"field missing":       {head + "ok,50,0,0\nsand,50,0\n", []string{"line 3"}},
		"field too many":      {head + "sand,50,0,0,0\n", []string{"line 2"}},
		"quote left open":     {head + "sand,\"50,0,0\n", []string{"line 2"}},
		"not a colour":        {"id,hex\nsand,#12\n", []string{"line 2", `"#12" is not a colour like #a1a09c`}},
		"colour with a tail":  {"id,hex\nok,#808080\nsand,#808080ff\n", []string{"line 3", "is not a colour"}},
		"more than a run has": {many, []string{"at most 64"}},
	} {
		_, err := file(t, c.text)
		require.Error(t, err, name)
		for _, say := range append(c.say, "own.csv") {
			assert.ErrorContains(t, err, say, name)
		}
		assert.NotContains(t, err.Error(), "strconv", name)
	}
	_, err := Choose(filepath.Join(t.TempDir(), "nosuch.CSV"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// Depth by L*, halfway between the built-in rows; cast by hue from chroma 2.1 on.
func TestDepthAndCast(t *testing.T) {
	for _, c := range []struct {
		lab         colormath.Lab
		depth, cast string
	}{
		{colormath.Lab{L: 72}, "light", "true"},
		{colormath.Lab{L: 71.99}, "mid", "true"},
		{colormath.Lab{L: 45}, "mid", "true"},
		{colormath.Lab{L: 44.99}, "dark", "true"},
		{colormath.Lab{L: 100}, "light", "true"},
		{colormath.Lab{}, "dark", "true"},
		{colormath.Lab{L: 50, B: 2.09}, "mid", "true"},
		{colormath.Lab{L: 50, B: 2.11}, "mid", "warm"},     // yellow, 90°
		{colormath.Lab{L: 50, A: 3}, "mid", "warm"},        // red, 0°
		{colormath.Lab{L: 50, B: -3}, "mid", "cool"},       // blue, 270°
		{colormath.Lab{L: 50, A: -3}, "mid", "cool"},       // green, 180°
		{colormath.Lab{L: 50, A: 3, B: -1}, "mid", "warm"}, // 342°
		{colormath.Lab{L: 50, A: 3, B: -3}, "mid", "cool"}, // violet, 315°
	} {
		s, err := New("x", c.lab)
		require.NoError(t, err)
		assert.Equal(t, [2]string{c.depth, c.cast}, [2]string{s.Depth, s.Cast}, "%v", c.lab)
	}
}

// A file of shades reads back to the last digit.
func TestWriteShadesReadsBack(t *testing.T) {
	want := []Shade{}
	for i, c := range []colormath.Lab{{L: 61.37, A: 1.0625, B: -2.5}, {L: 1.0 / 3, A: -1e-9, B: 0}, {L: 100, A: 1.1e2, B: 7}} {
		s, err := Own(fmt.Sprintf("own-%d", i), c)
		require.NoError(t, err)
		want = append(want, s)
	}
	var b bytes.Buffer
	require.NoError(t, WriteShades(&b, want))
	got, err := file(t, b.String())
	require.NoError(t, err)
	assert.Equal(t, want, got)
	for _, c := range []colormath.Lab{{L: -1}, {L: 101}, {L: math.NaN()}, {L: 50, A: 151}, {L: 50, B: math.NaN()}} {
		_, err := Own("x", c)
		assert.Error(t, err, "%v", c)
	}
}
