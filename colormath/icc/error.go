package icc

// Reason says why a profile could not be used.
type Reason int

// The reasons.
const (
	Broken Reason = iota // not an ICC profile, cut short, or senseless numbers
	Table                // built from look-up tables (A2B tags only)
	Space                // for CMYK or another space than RGB and grey
	HDR                  // a transfer of high dynamic range video
)

// Error is a profile that was declined. It is never a reason to refuse a
// photo: the caller takes sRGB instead and says so.
type Error struct {
	Reason Reason
	Text   string // plain words, lower case, no full stop
}

// Error gives the plain words.
func (e *Error) Error() string { return e.Text }

func broken(text string) *Error { return &Error{Broken, "broken colour profile: " + text} }
