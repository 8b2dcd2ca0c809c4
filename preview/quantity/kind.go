package quantity

import (
	"fmt"
	"strings"
)

// Upper joint widths, mm. Unsanded to 1/8 in is common practice (KindRule; TILE
// Letter gives the same step for job mixes); a fine CG2 goes to 4 mm
// (FineSheet); coarser sand from 3/8 in, a wide-joint mix from 1/2 in.
const (
	UnsandedToMm = 3.2
	FineToMm     = 4.0
	CoarseFromMm = 3.0 / 8 * MmPerInch
	WideFromMm   = 1.0 / 2 * MmPerInch
)

// KindFor decides by the measured 90th percentile of the joints, mm, and not by
// the nominal joint: beginners' gaps are wider than they believe.
func KindFor(p90 float64) Kind {
	if p90 > UnsandedToMm {
		return Sanded
	}
	return Unsanded
}

// Choice is what to ask for in the shop.
type Choice struct {
	Kind  Kind
	Why   Line
	Class string // EN 13888 and ISO 13007-3 word, such as "CG2 WA"
	Note  Line   // why this class, and the American grade
}

// choose settles kind and class. Asking for unsanded in joints that it cannot
// hold is refused.
func (in *Input) choose() (Choice, error) {
	c := Choice{Kind: in.Kind}
	p90 := in.Joint.P90
	switch {
	case in.Kind == Unsanded && p90 > UnsandedToMm:
		return c, &Error{What: fmt.Sprintf("unsanded grout shrinks and cracks in joints over %s, and %s",
			in.Units.Length(UnsandedToMm), in.widest("one in ten is over ")), Next: "use sanded, or auto", Flag: "kind"}
	case in.Kind == Auto:
		c.Kind = KindFor(p90)
	}
	c.Why = in.why(c.Kind)
	c.Class, c.Note = in.class()
	return c, nil
}

// widest says how wide the joints are: all of them, or nine in ten of measured
// ones.
func (in *Input) widest(measured string) string {
	if in.Joint.P10 == in.Joint.P90 {
		return "the joints are " + in.Units.Length(in.Joint.P90)
	}
	return measured + in.Units.Length(in.Joint.P90)
}

// capital is a sentence's capital letter.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (in *Input) why(k Kind) Line {
	limit := in.Units.Length(UnsandedToMm)
	switch {
	case in.Joint.P90 == 0:
		return line("No joint width is known; "+string(k)+" is a guess. Unsanded serves to "+limit+", sanded above.", KindRule, CommonPractice)
	case k == Sanded && in.Joint.P90 <= UnsandedToMm:
		return line("Sanded as you asked; unsanded would serve, since "+in.widest("nine joints in ten are at most ")+".", KindRule, StudioSanded)
	case k == Sanded:
		return line(capital(in.widest("one joint in ten is over "))+"; over "+limit+" sanded shrinks less.", KindRule, CommonPractice)
	}
	return line(capital(in.widest("nine joints in ten are at most "))+"; unsanded serves to "+limit+".", KindRule, CommonPractice)
}

// class gives the class word. Tiles that drink no more than 3 % need an improved
// grout to grip (TileInstitute); W and A are for wet and outdoor places.
func (in *Input) class() (string, Line) {
	tight := one(in.Material, Glass, Porcelain, Metal, Mixed, Stone)
	grip := "Pieces that drink over 3 % water let ordinary grout grip"
	word, sources := "CG1", []Source{EN13888, TileInstitute}
	if tight {
		word, grip = "CG2", "Pieces that drink 3 % water or less (glass, porcelain, metal, dense stone) need an improved grout to grip"
	}
	grade := "American grade ANSI A118.6 or better."
	if in.Place != Indoor {
		word, grade = "CG2 WA", "W is low water uptake, A resists wear. American grade ANSI A118.7. RG, a resin grout, is the other choice; its own sheet rules."
		return word, Line{grip + "; " + string(in.Place) + " places ask for more. " + grade, append(sources, A1187)}
	}
	return word, Line{grip + ". " + grade, append(sources, A1186)}
}

// kindRemarks are the warnings that go with the choice.
func (in *Input) kindRemarks(k Kind) (out []Remark) {
	if k == Sanded && one(in.Material, Glass, Metal, Stone, Mixed, Glazed) {
		text := "Sand scratches glass, polished marble, metal and soft glazes: try it on a spare piece first."
		if in.Joint.P90 <= FineToMm {
			text += fmt.Sprintf(" A fine CG2 grout takes joints to %s without sand.", in.Units.Length(FineToMm))
		}
		out = append(out, Remark{"scratch", line(text, GlassPage, StoneManual, FineSheet)})
	}
	switch p := in.Joint.P90; {
	case p > WideFromMm:
		out = append(out, Remark{"wide-joints", line("Joints over "+in.Units.Length(WideFromMm)+" need a wide-joint mix; ordinary sanded grout ends there.", WideSheet, KindRule)})
	case p > CoarseFromMm:
		out = append(out, Remark{"wide-joints", line("Joints over "+in.Units.Length(CoarseFromMm)+" need coarser sand; ask for it.", KindRule)})
	}
	return out
}
