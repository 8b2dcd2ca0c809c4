package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Hand arithmetic with the exact definitions of inch and pound.
func TestUnitsPrint(t *testing.T) {
	for want, got := range map[string]string{
		"135 g":        Metric.Mass(0.1352),
		"1 kg":         Metric.Mass(0.9996),
		"1.35 kg":      Metric.Mass(1.352),
		"12.4 kg":      Metric.Mass(12.38),
		"1 lb":         US.Mass(KgPerPound),
		"4 3/4 oz":     US.Mass(4.75 * KgPerOunce),
		"1 lb 3 oz":    US.Mass(19 * KgPerOunce),
		"1/2 oz":       US.Mass(0.5 * KgPerOunce),
		"83 mL":        Metric.Volume(0.0832),
		"1.2 L":        Metric.Volume(1.2),
		"2 3/4 fl oz":  US.Volume(2.75 * LitresPerOz),
		"3 US qt":      US.Volume(3 * LitresPerQt),
		"4 mm":         Metric.Length(4),
		"1/8 in":       US.Length(3.175),
		"0.16 in":      US.Length(4),
		"2.4 mm":       Metric.Length(2.36),
		"15 3/4 in":    US.Length(400),
		"300 × 400 mm": Metric.Size(300, 400),
		"21 °C":        Metric.Temperature(21),
		"70 °F":        US.Temperature(21),
		"0.12 m²":      Metric.Area(120000),
		"900 cm²":      Metric.Area(90000),
		"1.29 ft²":     US.Area(120000),
		"1 lb/ft²":     US.PerArea(BenchHigh),
		"2.44 kg/m²":   Metric.PerArea(BenchLow),

		"1.6 kg of powder per litre":      Metric.PerVolume(1.60),
		"13.4 lb of powder per US gallon": US.PerVolume(1.60), // 1.6 × 3.7854 / 0.45359 = 13.353
	} {
		assert.Equal(t, want, got)
	}
}

// What is rounded for the scale is printed without another rounding, and is
// never less than what is needed.
func TestRoundUpIsWhatIsPrinted(t *testing.T) {
	for _, kg := range []float64{0.1, 0.4536, 0.4999, 0.9999, 1.2345, 4.5351, 4.9999, 7.7, 9.999, 23.456} {
		for _, u := range []Units{Metric, US} {
			r := u.roundUp(kg)
			assert.GreaterOrEqual(t, r, kg-1e-9)
			assert.LessOrEqual(t, r-kg, max(0.01*kg, KgPerOunce/4))
			assert.InDelta(t, r, u.roundUp(r), 1e-9, "rounding twice changes nothing")
		}
	}
	assert.Equal(t, "4 oz", US.Mass(4*KgPerOunce))
	assert.Equal(t, "500 g", Metric.Mass(Metric.roundUp(0.4999)))
	assert.Equal(t, "1 lb 1/4 oz", US.Mass(US.roundUp(KgPerPound+0.001)))
}
