package stroke

import "fmt"

// A Lowest holds the lowest pressures of the supply, Pa absolute, at which the mechanism moves towards its end at all, and at which it
// gets there within the time limit. Reached and Moved report whether the supply's own pressure does.
type Lowest struct {
	Moves, Arrives float64
	Moved, Reached bool
}

// LowestPressure finds them by bisection between the pressure of the air around and that of the supply, to within the share precision of
// the difference. A chamber that starts above the pressure tried starts with that pressure: it was filled from the same supply.
func LowestPressure(m Machine, o Options, precision float64) (Lowest, error) {
	if !(precision >= 1e-6 && precision <= 0.5) {
		return Lowest{}, fmt.Errorf("the precision must be from 1e-6 to 0.5, found %g", precision)
	}
	o.Samples = 0
	try := func(p float64) (moves, arrives bool, err error) {
		n := m
		n.Supply.Pressure = p
		n.Cap.Pressure = min(n.Cap.Pressure, p)
		n.Rod.Pressure = min(n.Rod.Pressure, p)
		r, err := Run(n, o)
		if err != nil {
			return false, false, err
		}
		return r.Forward > 0, r.Verdict == Arrives, nil
	}
	var l Lowest
	var err error
	if l.Moved, l.Reached, err = try(m.Supply.Pressure); err != nil {
		return l, err
	}
	low, high := m.Air.Pressure, m.Supply.Pressure
	width := precision * (high - low)
	l.Moves, l.Arrives = high, high
	fails := low // the highest pressure known at which it doesn't arrive
	narrow := func(low float64, bound *float64, ok func(moves, arrives bool) bool) error {
		for *bound-low > width {
			p := (low + *bound) / 2
			moves, arrives, err := try(p)
			if err != nil {
				return err
			}
			if ok(moves, arrives) {
				*bound = p
			} else {
				low = p
			}
			if arrives {
				l.Arrives = min(l.Arrives, p)
			} else {
				fails = max(fails, p)
			}
		}
		return nil
	}
	if l.Moved {
		if err = narrow(low, &l.Moves, func(moves, _ bool) bool { return moves }); err != nil {
			return l, err
		}
	}
	if l.Reached {
		err = narrow(fails, &l.Arrives, func(_, arrives bool) bool { return arrives })
	}
	return l, err
}
