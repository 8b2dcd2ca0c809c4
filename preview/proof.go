package preview

import (
	"image"

	"gapshade/colormath"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Proof is the whole answer for one photo: what was found, and every shade
// measured and ranked. Pictures are drawn from it on demand, one at a time, so
// that eleven shades of a large photo never lie in memory together.
type Proof struct {
	Settings Settings
	Photo    *photo.Photo
	Second   *SecondPhoto // nil without a second photo
	Frame    Frame
	Light    Light
	Map      *segment.Map
	TileLab  []colormath.Lab // TileLab[i] is the colour of tile number i+1, D50, under the balanced light
	Panel    *contrast.Panel // the tiles as shades are held against them
	Trials   []Trial         // best first
	Notes    []Note

	base *image.RGBA        // the bare layout in the frame; nil = the photo
	card *light.Balance     // what a neutral card told; nil = none was marked
	fill func() *grout.Fill // waits where it is being prepared

	views  []contrast.View // from each distance
	doubt  *contrast.Doubt // what the photo can't tell
	untied int             // how many notes there were before the shades were ranked
}

// Frame is the picture that previews are drawn in.
type Frame struct {
	W, H         int
	PhotoToFrame [9]float64 // row-major homography, upright photo px → frame px
	MmPerPx      float64    // in the mean; 0 when the panel's size is not known

	// ToPanel takes frame px to mm on the panel; zero when its size is not known, or
	// when it has no corners that would tell of perspective.
	ToPanel colormath.Homography

	Panel   segment.Quad      // frame px; of a free outline the box round it
	Free    bool              // the outline has no four corners
	Outline []segment.Point   // frame px
	Holes   [][]segment.Point // openings in it, frame px
}

// Light is what the bed tells about the light.
type Light struct {
	BedLab     colormath.Lab // the bed as the photo shows it in the middle of the light, D50
	BedKnown   bool          // whether the bed's own colour was given
	Unevenness float64       // (brightest − darkest) ÷ mean of the light over the panel
	Cast       [3]float64    // light's R, G, B over its mean, as the photo was taken (before any card's balance); 1, 1, 1 is neutral or not known
}

// Trial is one shade tried on the panel.
type Trial struct {
	Shade grout.Shade
	contrast.Stats
	Rank   int             // 1 is best
	Score  float64         // 0…100, higher is better
	Terms  contrast.Terms  // what the score is made of
	Worst  contrast.Worst  // the cluster that fares worst
	Ties   []string        // ids of shades too close to call, best first
	Reason string          // one plain sentence
	At     []contrast.Seen // from each distance; none without a size
	Damp   colormath.Lab   // the shade when wet
}

// Note is a remark the person should read: a code for machines, a sentence for
// people.
type Note struct{ Code, Text string }
