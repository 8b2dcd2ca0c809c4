package preview

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// What can't be a pair by its name alone is refused before any work.
func TestSecondPhotoIsChecked(t *testing.T) {
	ph := &photo.Photo{Name: "a.jpg", SHA256: "aa", W: 300, H: 200}
	second := &photo.Photo{Name: "b.jpg", SHA256: "bb", W: 300, H: 200}
	bed := func(l float64) Bed { return Bed{Known: true, Lab: colormath.Lab{L: l}} }
	for _, c := range []struct {
		set  func(s *Settings)
		what string // "" is fine
	}{
		{func(*Settings) {}, ""},
		{func(s *Settings) { s.Second = second }, ""},
		{func(s *Settings) { s.Second, s.SecondBed = second, bed(14) }, ""},
		{func(s *Settings) { s.Second, s.Bed, s.SecondBed = second, bed(93), bed(14) }, ""},
		{func(s *Settings) { s.SecondBed = bed(14) }, "--second-bed is about a photo that isn't there"},
		{func(s *Settings) { s.Second = &photo.Photo{Name: "c.jpg", SHA256: "aa"} }, "--second c.jpg is the first photo again: both files hold the same bytes"},
		{func(s *Settings) { s.Second, s.Bed, s.SecondBed = second, bed(93), bed(90) }, "--bed and --second-bed name the same paper"},
	} {
		s := Default()
		c.set(&s)
		err := s.Validate(ph)
		if c.what == "" {
			assert.NoError(t, err)
			continue
		}
		var f *Fault
		require.ErrorAs(t, err, &f)
		assert.Equal(t, CodeUsage, f.Code)
		assert.Equal(t, c.what, f.Error())
		assert.NotEmpty(t, f.Next)
	}
}

// Every reason why two photos are no pair has a code and a way out.
func TestPairFaults(t *testing.T) {
	for fault, code := range map[segment.PairFault]int{
		segment.OtherShape: CodeUsage, segment.OtherLayout: CodeNoGaps, segment.TilesMoved: CodeNoGaps, segment.SamePaper: CodeNoGaps,
	} {
		cause := &segment.PairError{Fault: fault, Why: "seen"}
		var f *Fault
		require.ErrorAs(t, faultOf(cause), &f)
		assert.Equal(t, code, f.Code)
		assert.Equal(t, "the second photo doesn't go with the first: seen", f.Error())
		assert.NotEmpty(t, f.Next)
		assert.ErrorIs(t, f, cause)
	}
}

// Papers that were named the wrong way round; without two names, or with names too
// much alike, nothing is said.
func TestOrderOfBeds(t *testing.T) {
	bed := func(l float64) Bed { return Bed{Known: l > 0, Lab: colormath.Lab{L: l}} }
	for _, c := range []struct {
		first, second float64
		lighter, bad  bool
	}{
		{93, 14, false, false}, {14, 93, true, false}, {93, 14, true, true}, {14, 93, false, true},
		{0, 14, true, false}, {93, 0, true, false}, {60, 66, false, false},
	} {
		p := &Proof{Map: &segment.Map{Pair: &segment.PairReading{Lighter: c.lighter}}}
		p.Settings.Bed, p.Settings.SecondBed = bed(c.first), bed(c.second)
		assert.Equal(t, c.bad, p.orderOfBeds() != nil, "%+v", c)
		p.Map.Pair = nil
		assert.NoError(t, p.orderOfBeds(), "one photo")
	}
}

// The words of the note, by hand: 5 px aside, a degree and a half, a tenth darker.
func TestNoteOfAPair(t *testing.T) {
	p := &Proof{Photo: &photo.Photo{W: 400, H: 300, Notes: []photo.Note{{Code: "profile-assumed", Text: "same"}}},
		Second: &SecondPhoto{W: 400, H: 300, Notes: []photo.Note{{Code: "profile-assumed", Text: "same"}, {Code: "cut-short", Text: "the file ends early"}}},
		Map:    &segment.Map{Tiles: make([]segment.Tile, 30)}}
	p.Frame.PhotoToFrame = [9]float64{2, 0, 10, 0, 2, 20, 0, 0, 1}
	// a turn by 1.5° about the middle, then 3 px right and 4 px down, then into the frame
	const c, s = .999657, .026177
	turn := colormath.Homography{c, -s, 203 - 200*c + 150*s, s, c, 154 - 200*s - 150*c, 0, 0, 1}
	p.Map.Pair = &segment.PairReading{ToPicture: colormath.Homography(p.Frame.PhotoToFrame).After(turn), Exposure: [3]float64{.9, .9, .9}, Through: 12}
	p.notePair()
	assert.Equal(t, []Note{
		{"second-cut-short", "second photo: the file ends early"},
		{"two-photos", "the second photo, on darker paper, was laid over the first: moved by 5 px, turned by 1.5°, made 10 % darker"},
		{"see-through", "the bed shows through 12 of 30 tiles; over adhesive of another colour than this paper they will look different"},
	}, p.Notes)
	p.Notes, p.Map.Pair = nil, nil
	p.notePair()
	assert.Empty(t, p.Notes)
}
