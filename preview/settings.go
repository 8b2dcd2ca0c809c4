package preview

import (
	"math"
	"time"

	"gapshade/colormath"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/preview/quantity"
	"gapshade/segment"
)

// Aim is what the person wants from the grout.
type Aim string

// The aims.
const (
	Outline Aim = "outline" // every piece stands out
	Balance Aim = "balance" // the joint is seen, the picture leads
	Blend   Aim = "blend"   // the joint disappears
)

// Settings is everything a person can say about one photo. Default gives a
// plain run.
type Settings struct {
	Corners    *segment.Quad    // panel corners in upright photo px; nil = find them
	WidthMm    float64          // panel width, 0 = not known
	HeightMm   float64          // panel height, 0 = not known
	Bed        Bed              // what shows in the gaps
	Second     *photo.Photo     // the same layout on another paper; nil = one photo
	SecondBed  Bed              // what shows in its gaps
	Grey       *light.Card      // a neutral card in the photo, upright photo px; nil = none
	Straighten bool             // draw in the panel seen from straight above
	GapMm      float64          // joint width the person expects, 0 = not said
	ShoulderMm float64          // how far the grout reaches beyond the outermost tiles of a panel to be found, 0 = not said
	Marks      []segment.Stroke // gaps and tiles as the person marked them, upright photo px; see OpenMarks
	Shades     []grout.Shade    // candidates; their order doesn't matter
	Aim        Aim
	DistancesM []float64      // from where the panel will be seen, metres; used when the size is known
	Strict     bool           // low confidence is a fault, not a note
	Joint      Joint          // how the grout is shown
	Job        quantity.Input // what is said about the rest of the job; sizes and gaps are measured
	Start      time.Time      // wall clock of the first water; the zero time = not known
	Title      string         // heading of the sheet, the report and the job sheet
	Threads    int            // 0 = one per processor; the result doesn't depend on it
}

// Default is a plain run: find everything, the eleven built-in shades, balance,
// seen from arm's length, from two metres and across the room.
func Default() Settings {
	return Settings{Shades: grout.Palette(), Aim: Balance, DistancesM: []float64{.5, 2, 5}, Joint: Joint{State: grout.Cured}, Job: quantity.Default()}
}

// Bed is what shows in the gaps. The zero value is a bed of unknown colour.
type Bed struct {
	Known bool
	Lab   colormath.Lab // D50
}

// Lightness of the named beds: office paper, a photographer's grey card (18 %
// reflectance is L* 49.5) and black card (common values, no source).
var namedBeds = map[string]float64{"white": 93, "grey": 49.5, "black": 14}

// ParseBed reads auto, white, grey, black or #rrggbb.
func ParseBed(s string) (Bed, error) {
	if s == "" || s == "auto" {
		return Bed{}, nil
	}
	if l, ok := namedBeds[s]; ok {
		return Bed{Known: true, Lab: colormath.Lab{L: l}}, nil
	}
	c, err := colormath.ParseHex(s)
	if err != nil {
		return Bed{}, usage("--bed %q is not a bed", "use auto, white, grey, black or a colour like #c8b090", s)
	}
	return Bed{Known: true, Lab: c.Lab()}, nil
}

// reflectance is the bed in linear light, nil when not known. No bed is so
// black that the light on it could not be told: 0.2 % is kept.
func (b Bed) reflectance() *colormath.LinearRGB {
	if !b.Known {
		return nil
	}
	c := b.Lab.LinearRGB()
	c.R, c.G, c.B = max(c.R, .002), max(c.G, .002), max(c.B, .002)
	return &c
}

// Distances outside these are no way to look at a panel, and more of them fill the
// report without telling more.
const (
	leastDistanceM, mostDistanceM = 0.1, 100.0
	mostDistances                 = 6
)

// Validate checks the settings against the photo. Errors are *Fault with the
// usage code.
func (s *Settings) Validate(ph *photo.Photo) error {
	if len(s.Shades) == 0 {
		return usage("no shades to try", "leave --shades out for the eleven built in")
	}
	if s.Aim != Outline && s.Aim != Balance && s.Aim != Blend {
		return usage("--aim %q is not an aim", "use outline, balance or blend", string(s.Aim))
	}
	if err := s.checkSecond(ph); err != nil {
		return err
	}
	if s.GapMm > 0 && s.WidthMm == 0 {
		return usage("--gap needs to know how large the panel is", "add --size, such as --size 380x300mm")
	}
	if s.ShoulderMm > 0 && s.Corners != nil {
		return usage("--shoulder and --corners both say where the panel ends", "leave one of them out; --corners are taken as they are")
	}
	if s.ShoulderMm > 0 && s.WidthMm == 0 {
		return usage("--shoulder needs to know how large the panel is", "add --size, such as --size 380x300mm")
	}
	for _, d := range s.DistancesM {
		if !(d >= leastDistanceM && d <= mostDistanceM) {
			return usage("--distance %gm is not a distance to look from", "use 0.1m to 100m, such as --distance 0.5m,2m,5m", d)
		}
	}
	if len(s.DistancesM) > mostDistances {
		return usage("--distance lists %d distances", "name six at most, such as --distance 0.5m,2m,5m", len(s.DistancesM))
	}
	if err := s.Joint.check(); err != nil {
		return err
	}
	if err := s.Job.Check(); err != nil {
		return FromJob(err)
	}
	if s.Corners != nil {
		return checkCorners(s.Corners, ph.W, ph.H)
	}
	return nil
}

// checkCorners wants a four-sided, convex outline, clockwise from the top left,
// at least a few pixels large and on the photo.
func checkCorners(q *segment.Quad, w, h int) error {
	order := "give top-left, top-right, bottom-right, bottom-left, in pixels of the upright photo, such as " +
		`--corners "40,30 980,35 975,720 42,716"`
	for _, p := range q {
		if math.IsNaN(p.X+p.Y) || p.X < -1 || p.Y < -1 || p.X > float64(w) || p.Y > float64(h) {
			return usage("--corners: %g,%g lies outside the photo of %d x %d px", order, p.X, p.Y, w, h)
		}
	}
	for i := range q {
		a, b, c := q[i], q[(i+1)%4], q[(i+2)%4]
		if (b.X-a.X)*(c.Y-b.Y)-(b.Y-a.Y)*(c.X-b.X) <= 0 {
			return usage("--corners don't go round a panel clockwise", order)
		}
	}
	if q.Area() < 32*32 {
		return usage("--corners hold only %.0f px; no gap can be seen in that", order, q.Area())
	}
	return nil
}
