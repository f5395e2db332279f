package fastening

// Slot nut and lip under load.
//
//	use = factor x max(preload, working load) / capacity
//
// Symbols: preload the greatest clamping force of tightening N; working load what pulls along one screw N;
// capacity the strip load of the nut's thread, or the force that tears the lips open, N. Up to 1 it holds.
//
// Range: a preloaded joint that does not gape: the screw feels the larger of the two forces, not their sum.
// A slot nut is thin, so its thread strips long before the screw breaks: it is judged by load, not by the
// engagement that breaks the screw.
//
// Source: common practice, no source; factor 1.5 is usual. The lip's force is the maker's figure.

// UsualSlotFactor is the reserve against stripping a slot nut or opening its slot, no unit. Less, and the
// scatter of one tightening to the next is no longer covered.
const UsualSlotFactor = 1.5

// Load is what pulls along one screw, in N.
type Load struct {
	Preload float64 // at its greatest
	Working float64
}

// ThreadUse returns the share of a thread's strip load that a load with its factor takes: +Inf where no
// thread holds. It returns an error for a negative load or a factor not above zero.
func ThreadUse(strip StripLoads, load Load, factor float64) (float64, error) {
	return load.use(strip.Weakest(), factor)
}

// LipUse returns the share of the lip's pull-out force in N that a load with its factor takes.
// It returns an error for a force or factor not above zero or a negative load.
func LipUse(pullOut float64, load Load, factor float64) (float64, error) {
	if err := positive(quantity{"pull-out force", pullOut}); err != nil {
		return 0, err
	}
	return load.use(pullOut, factor)
}

func (l Load) use(capacity, factor float64) (float64, error) {
	if err := notNegative(quantity{"preload", l.Preload}, quantity{"working load", l.Working},
		quantity{"strip load", capacity}); err != nil {
		return 0, err
	}
	if err := positive(quantity{"factor", factor}); err != nil {
		return 0, err
	}
	pull := factor * max(l.Preload, l.Working)
	if pull == 0 {
		return 0, nil
	}
	return pull / capacity, nil
}
