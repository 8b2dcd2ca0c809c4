package grout

import (
	"gapshade/colormath"
	"gapshade/preview/light"
)

// Joint is how the grout will lie in the gaps. The zero value is flush with the
// faces and plain.
type Joint struct {
	DepthPx float64    // how far it lies below the faces, px
	Lamp    light.Lamp // what throws shadows on it
	GrainPx float64    // the size of a grain of its sand, px; 0 = plain
	Seed    uint64     // of the grain's pattern

	// Of tiles that let light pass (segment.Map.Through, or all of them by guess):
	HeightPx float64             // how high they stand on the bed, px
	Bed      colormath.LinearRGB // the bed as the photo shows it in the middle of the light
	Clear    bool                // all tiles let some light pass, as glass mostly does
}

// State is a look of the joint.
type State string

// The states. Cured is dry; damp is how it looks on the day, while it cures, and
// whenever it gets wet; enhanced is under a sealer that wets the look for good.
const (
	Cured    State = "cured"
	Damp     State = "damp"
	Enhanced State = "enhanced"
)

// Film is what lies on a joint in this state, nil for nothing; ok is false for a
// word that is no state.
func (s State) Film() (f *colormath.Film, ok bool) {
	switch s {
	case Cured, "":
		return nil, true
	case Damp:
		f := colormath.Water
		return &f, true
	case Enhanced:
		f := colormath.Enhancer
		return &f, true
	}
	return nil, false
}

// Look is the shade's colour in this state, linear.
func (s State) Look(shade Shade) colormath.LinearRGB {
	c := shade.Lab.LinearRGB()
	if f, _ := s.Film(); f != nil {
		c = f.Damp(c)
	}
	return c
}
