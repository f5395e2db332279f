package fastening

// Window of screw lengths, worst case.
//
//	least: L,min(least) = grip,max + reach,least
//	most:  L,max(most)  = grip,min + reach,most
//	engagement = min(L,min - grip,max - before,max - u, thread,min)
//	tip clearance = floor,min - (L,max - grip,min)
//	protrusion = (L,min - grip,max - before,max - thread,max)/P
//	empty if reach,least + spread(grip) + spread(L) > reach,most, or needed > thread,min
//
// Symbols: L nominal length with its limits L,min and L,max; grip all that is clamped between head and joint
// face; reach, before, thread, floor, u, P as in into.go. All in m.
//
// Range: sizes independent of each other; a screw with thread as far as the joint needs it. No spring in the
// stack and no crushing.
//
// Source: geometry; limits of size at their worst as in any tolerance chain. Each corner is also tried one by
// one in the tests.

import (
	"fmt"
	"math"
	"slices"
)

// rounding in m is what sums of decimal sizes may be off in the last bit. A greater value would let a length
// pass that is measurably wrong, a smaller one would refuse a length that fits exactly.
const rounding = 1e-13

// Joint is a screw, what it clamps, and what it goes into. The stack holds all layers from the head to the
// joint face.
type Joint struct {
	Stack []Span
	Screw Screw
	Into  Into
}

// Shortage says which of two things no screw length can give.
type Shortage string

const (
	// ShortThread: the thread of the nut or hole is itself shorter than the engagement needed.
	ShortThread Shortage = "thread"
	// ShortRoom: what the screw needs past the joint face, with all tolerances, is more than there is.
	ShortRoom Shortage = "room"
)

// Conflict is why no length fits. Both numbers in m. No washer changes it.
type Conflict struct {
	Short             Shortage
	Needed, Available float64
}

// Window holds the nominal screw lengths that fit, in m. Most is +Inf where nothing limits it. Where Conflict
// is set no length fits, and Least and Most say only what each end asks for.
type Window struct {
	Least, Most float64
	Conflict    *Conflict
	actual      Span // the same ends for the screw in hand
	screw       Screw
}

func (j Joint) check() error {
	for i, layer := range j.Stack {
		if err := layer.check(fmt.Sprintf("layer %d of the stack", i+1)); err != nil {
			return err
		}
	}
	if err := j.Screw.check(); err != nil {
		return err
	}
	if j.Into == nil {
		return fmt.Errorf("the joint does not say what the screw goes into")
	}
	return j.Into.check()
}

// Window returns the screw lengths that fit whatever the sizes are within their limits.
// It returns an error for sizes that cannot exist; that nothing fits is no error but a Conflict.
func (j Joint) Window() (Window, error) {
	if err := j.check(); err != nil {
		return Window{}, err
	}
	grip, seat := Sum(j.Stack...), j.Into.seat(j.Screw)
	w := Window{
		actual: Span{grip.Max + seat.least, grip.Min + seat.most},
		screw:  j.Screw,
	}
	var err error
	if w.Least, err = j.Screw.shortestOver(w.actual.Min - rounding/2); err != nil {
		return Window{}, err
	}
	if w.Most, err = j.Screw.longestUnder(w.actual.Max + rounding/2); err != nil {
		return Window{}, err
	}
	shortest, err := j.Screw.limits(w.Least)
	if err != nil {
		return Window{}, err
	}
	switch {
	case seat.needed > seat.thread.Min+rounding:
		w.Conflict = &Conflict{ShortThread, seat.needed, seat.thread.Min}
	case shortest.Max > w.actual.Max+rounding:
		w.Conflict = &Conflict{ShortRoom, seat.least + grip.Spread() + shortest.Spread(), seat.most}
	}
	return w, nil
}

// Holds reports whether screws of a nominal length in m fit, whatever their own tolerance.
// It returns an error for a length that is not above zero, or whose limits do not hold it.
func (w Window) Holds(nominal float64) (bool, error) {
	if err := positive(quantity{"screw length", nominal}); err != nil {
		return false, err
	}
	l, err := w.screw.limits(nominal)
	if err != nil {
		return false, err
	}
	return w.Conflict == nil && l.Min >= w.actual.Min-rounding && l.Max <= w.actual.Max+rounding, nil
}

// Stock returns those of the lengths in m that fit, shortest first. Errors are those of Holds.
func (w Window) Stock(lengths []float64) ([]float64, error) {
	var fitting []float64
	for _, l := range lengths {
		ok, err := w.Holds(l)
		if err != nil {
			return nil, err
		}
		if ok {
			fitting = append(fitting, l)
		}
	}
	slices.Sort(fitting)
	return slices.Compact(fitting), nil
}

// shortestOver is the least nominal length whose lower limit reaches a length. Every step adds the tolerance
// of the length found before, so it climbs to the least one and never past it.
func (s Screw) shortestOver(length float64) (float64, error) {
	nominal := length
	for range 100 {
		l, err := s.limits(nominal)
		if err != nil {
			return 0, err
		}
		next := length + (nominal - l.Min)
		if next <= nominal+rounding/1000 {
			return max(next, nominal), nil
		}
		nominal = next
	}
	return 0, fmt.Errorf("no screw length reaches %g: its tolerance grows as fast as the length", length)
}

// longestUnder is the greatest nominal length whose upper limit stays within a length. The upper limit never
// falls as the length grows, so halving finds it, also where the tolerance steps.
func (s Screw) longestUnder(length float64) (float64, error) {
	if math.IsInf(length, 1) {
		return length, nil
	}
	top, err := s.limits(length)
	if err != nil {
		return 0, err
	}
	lo, hi := length-(top.Max-length), length
	for range 40 {
		middle := (lo + hi) / 2
		l, err := s.limits(middle)
		if err != nil {
			return 0, err
		}
		if l.Max <= length {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo, nil
}

// Fit is what a screw of one length does in a joint at worst.
type Fit struct {
	Engagement float64 // least length of full thread that holds, m
	// TipClearance is the least distance in m from the tip to what it can touch, below zero where it touches:
	// the floor of a slot, the end of a blind thread, or what is behind. +Inf where nothing is.
	TipClearance float64
	// Protrusion is by how many pitches the tip passes the far end of the thread at least. Below zero the
	// tip ends within the thread.
	Protrusion float64
}

// Fit returns what a screw of a nominal length in m does in the joint at worst.
// It returns an error for sizes that cannot exist.
func (j Joint) Fit(nominal float64) (Fit, error) {
	if err := j.check(); err != nil {
		return Fit{}, err
	}
	if err := positive(quantity{"screw length", nominal}); err != nil {
		return Fit{}, err
	}
	length, err := j.Screw.limits(nominal)
	if err != nil {
		return Fit{}, err
	}
	grip, seat := Sum(j.Stack...), j.Into.seat(j.Screw)
	reach := Span{length.Min - grip.Max, length.Max - grip.Min}
	return Fit{
		Engagement:   max(0, min(reach.Min-seat.before.Max-j.Screw.Point, seat.thread.Min)),
		TipClearance: seat.floor - reach.Max,
		Protrusion:   (reach.Min - seat.before.Max - seat.thread.Max) / j.Screw.Pitch,
	}, nil
}

// Choice is a stock length that fits, with so many washers more under the head than the joint has.
type Choice struct {
	Washers int
	Length  float64 // m
}

// Choose returns the fewest extra washers, up to a greatest number, with which one of the stock lengths in m
// fits, and the shortest such length. It reports false where none does.
// It returns an error for sizes that cannot exist.
func (j Joint) Choose(stock []float64, washer Span, mostWashers int) (Choice, bool, error) {
	if err := washer.check("washer"); err != nil {
		return Choice{}, false, err
	}
	for n := range max(0, mostWashers) + 1 {
		padded := j
		padded.Stack = append(slices.Clone(j.Stack), washer.Times(n))
		w, err := padded.Window()
		if err != nil {
			return Choice{}, false, err
		}
		fitting, err := w.Stock(stock)
		if err != nil {
			return Choice{}, false, err
		}
		if len(fitting) > 0 {
			return Choice{n, fitting[0]}, true, nil
		}
	}
	return Choice{}, false, nil
}
