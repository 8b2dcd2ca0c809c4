package quantity

import "math"

// MinBatchKg is the smallest mix worth making: a pound (SmallBatches).
const MinBatchKg = KgPerPound

// maxBatchKg is what one person stirs in a bucket, ours.
const maxBatchKg = 10

// Minutes that a batch may take to spread: 20–30 is common practice without a
// source; by touch 25, so that the first place is wiped before its half hour is
// over. A bucket that serves up to 2½ h is a mosaic studio's practice on large
// panels; it bounds a pot life that is longer still.
const (
	spreadWindow = 30
	touchWindow  = 25
	bucketWindow = 150
)

// Batches are equal mixes that together cover the need.
type Batches struct {
	Count     int
	EachKg    float64 // powder
	WaterKg   float64 // for one
	Litres    float64 // one, mixed
	SpreadMin float64 // to spread one
	WindowMin float64 // what a batch may take to spread
}

// TotalKg is the powder of all batches.
func (b *Batches) TotalKg() float64 { return float64(b.Count) * b.EachKg }

// spreadMinutes is how long one person spreads the whole panel. A small mosaic
// takes 20 min, 0.2 m² take 30 (common practice in studios, no source). The
// rest is ours: 10 min more for each further 0.1 m², and for wall and floor
// tile 8 min per m², at least 10.
func (in *Input) spreadMinutes() float64 {
	m2 := in.PanelMm2 / 1e6
	if in.Work == Tiling {
		return max(10, 8*m2)
	}
	return max(20, 10+100*m2)
}

// window is how long a batch may take to spread. The bag's pot life runs from
// the water, so stirring and slaking come off it; it overrules both clocks, but
// by touch the wipe of the first place comes before a longer one is used up.
func (in *Input) window() float64 {
	warm := min(1, in.factor())
	usual, longest := float64(spreadWindow), float64(bucketWindow)
	if in.Clock == ByTouch {
		usual = max(10, touchWindow*warm)
		longest = usual
	}
	if in.PotLifeMin == 0 {
		return usual
	}
	return max(5, min(in.PotLifeMin*warm-stirMin-slakeMin, longest))
}

// batches splits the need: as many as the spreading takes windows and as a
// bucket holds, but none under the smallest mix worth making. Each is rounded
// up to what the scale shows, which adds less than 2 %.
func (in *Input) batches(kind Kind, need float64) Batches {
	spread, window := in.spreadMinutes(), in.window()
	n := max(math.Ceil(spread/window-1e-9), math.Ceil(need/maxBatchKg), 1)
	n = max(1, min(n, math.Floor(need/MinBatchKg)))
	each := in.Units.roundUp(max(need/n, MinBatchKg))
	return Batches{Count: int(n), EachKg: each, WaterKg: each * WaterRatio(kind), Litres: each / Density(kind),
		SpreadMin: spread / n, WindowMin: window}
}
