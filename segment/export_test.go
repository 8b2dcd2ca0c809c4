package segment

import "slices"

// Watch has the coverage shown after every step that follows the network, as the map
// would have it if that step were the last.
func (o *Options) Watch(see func(step string, gap []uint8)) {
	o.after = func(step string, a *Analysis) {
		m := *a.m
		if m.Gap != nil {
			see(step, slices.Clone(m.Gap))
			return
		}
		m.Gap = make([]uint8, m.W*m.H)
		m.cover(a.ev, a.all(), a.threads)
		see(step, m.Gap)
	}
}

// WithholdBed keeps from the network what the bed looks like, and from the finder what
// follows of it.
func (o *Options) WithholdBed() { o.noBed = true }
