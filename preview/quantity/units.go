package quantity

import (
	"fmt"
	"math"
	"strings"
)

// Units is how figures are printed; inside, everything is metric.
type Units string

// The two systems.
const (
	Metric Units = "metric"
	US     Units = "us"
)

// Exact by definition (international yard and pound agreement 1959; US gallon
// of 231 in³; NIST Handbook 44, appendix C).
const (
	MmPerInch    = 25.4
	KgPerPound   = 0.45359237
	KgPerOunce   = KgPerPound / 16
	LitresPerCup = 0.2365882365
	LitresPerOz  = LitresPerCup / 8
	LitresPerQt  = LitresPerCup * 4
	M2PerFt2     = 0.09290304
)

// Fahrenheit turns °C into °F.
func Fahrenheit(c float64) float64 { return c*9/5 + 32 }

// Celsius turns °F into °C.
func Celsius(f float64) float64 { return (f - 32) * 5 / 9 }

// Mass prints kg: "135 g", "1.35 kg"; "4 3/4 oz", "1 lb 3 oz".
func (u Units) Mass(kg float64) string {
	if u == US {
		return pounds(kg)
	}
	switch {
	case kg < 0.9995:
		return fmt.Sprintf("%.0f g", kg*1000)
	case kg < 9.995:
		return trim(kg, 2) + " kg"
	}
	return trim(kg, 1) + " kg"
}

// pounds prints lb and oz to the quarter ounce, from 10 lb to the ounce.
func pounds(kg float64) string {
	quarters := int(math.Round(kg / KgPerOunce * 4))
	if quarters >= 10*64 {
		quarters = (quarters + 2) / 4 * 4
	}
	lb, rest := quarters/64, quarters%64
	switch {
	case lb == 0:
		return mixed(rest, 4) + " oz"
	case rest == 0:
		return fmt.Sprintf("%d lb", lb)
	}
	return fmt.Sprintf("%d lb %s oz", lb, mixed(rest, 4))
}

// mixed prints n parts as a whole number and a fraction: 19 quarters, "4 3/4".
func mixed(n, parts int) string {
	whole, num := n/parts, n%parts
	den := parts
	for num%2 == 0 && num > 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", num, den)
	}
	return fmt.Sprintf("%d %d/%d", whole, num, den)
}

// Volume prints litres: "83 mL", "1.2 L"; "2 3/4 fl oz", "1.3 US qt".
func (u Units) Volume(litres float64) string {
	switch {
	case u == US && litres < 2*LitresPerQt:
		return mixed(int(math.Round(litres/LitresPerOz*4)), 4) + " fl oz"
	case u == US:
		return trim(litres/LitresPerQt, 1) + " US qt"
	case litres < 0.9995:
		return fmt.Sprintf("%.0f mL", litres*1000)
	}
	return trim(litres, 2) + " L"
}

// Water prints a mass of water so that a scale or a jug will do.
func (u Units) Water(kg float64) string {
	if u == US { // one kg of water is one litre, near enough at the tap
		return pounds(kg) + " by weight (" + u.Volume(kg) + ")"
	}
	return u.Mass(kg) + " (" + u.Volume(kg) + ")"
}

// Length prints mm: "4 mm", "1.5 mm"; inches as a fraction of 1/16 where it
// fits to 0.1 mm, else "0.16 in".
func (u Units) Length(mm float64) string {
	if u != US {
		return trim(mm, 1) + " mm"
	}
	sixteenths := math.Round(mm / MmPerInch * 16)
	if sixteenths > 0 && math.Abs(sixteenths/16*MmPerInch-mm) <= 0.1 {
		return mixed(int(sixteenths), 16) + " in"
	}
	return trim(mm/MmPerInch, 2) + " in"
}

// Size prints width by height.
func (u Units) Size(w, h float64) string {
	a, b := u.Length(w), u.Length(h)
	return strings.TrimSuffix(strings.TrimSuffix(a, " mm"), " in") + " × " + b
}

// Area prints mm² as cm² or m², in² or ft².
func (u Units) Area(mm2 float64) string {
	switch m2 := mm2 / 1e6; {
	case u == US && m2 < M2PerFt2:
		return trim(mm2/(MmPerInch*MmPerInch), 0) + " in²"
	case u == US:
		return trim(m2/M2PerFt2, 2) + " ft²"
	case m2 < 0.1:
		return trim(mm2/100, 0) + " cm²"
	default:
		return trim(m2, 2) + " m²"
	}
}

// PerArea prints kg/m² as such or as lb/ft².
func (u Units) PerArea(kgPerM2 float64) string {
	if u == US {
		return trim(kgPerM2*M2PerFt2/KgPerPound, 2) + " lb/ft²"
	}
	return trim(kgPerM2, 2) + " kg/m²"
}

// PerVolume prints kg per litre as such or as lb per US gallon, which is four
// quarts.
func (u Units) PerVolume(kgPerLitre float64) string {
	if u == US {
		return trim(kgPerLitre*4*LitresPerQt/KgPerPound, 1) + " lb of powder per US gallon"
	}
	return trim(kgPerLitre, 2) + " kg of powder per litre"
}

// Temperature prints °C as "21 °C" or "70 °F".
func (u Units) Temperature(c float64) string {
	if u == US {
		return trim(Fahrenheit(c), 0) + " °F"
	}
	return trim(c, 0) + " °C"
}

// trim prints so many decimals and drops closing zeros; never "-0".
func trim(v float64, decimals int) string {
	s := fmt.Sprintf("%.*f", decimals, v)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// roundUp lifts kg to the next step that is printed in these units, so that what
// stands on the sheet is never less than what is needed: 5 g, 10 g from 1 kg,
// 100 g from 10 kg; 1/4 oz, 1 oz from 10 lb.
func (u Units) roundUp(kg float64) float64 {
	var step float64
	switch {
	case u == US && kg > 10*KgPerPound:
		step = KgPerOunce
	case u == US:
		step = KgPerOunce / 4
	case kg > 10:
		step = 0.1
	case kg > 1:
		step = 0.01
	default:
		step = 0.005
	}
	return math.Ceil(kg/step-1e-9) * step
}
