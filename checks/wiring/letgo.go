package wiring

import (
	"fmt"
	"math"
)

// A Coil is a resistance and an inductance in series.
type Coil struct {
	A, B    int
	Ohms    float64
	Henries float64
	Amps    float64 // from A to B at the beginning
}

// A LetGo is what follows when currents must find another way.
type LetGo struct {
	Volts []float64 // of each node in the first moment, when the currents are largest; NaN for one that hangs on nothing
	Time  []float64 // until each coil's current is down to the share that was asked for, s; infinite where it never is
}

const (
	// leak is a resistance beside each coil over its own, so that no coil's current is without a way while diodes are tried; it takes a
	// millionth.
	leak = 1e6
	// noWay is a voltage that only the leak has, V: nothing else takes the current.
	noWay = 1e4
)

// halvings are how often a span of the currents is cut in two to find where a diode changes over.
const halvings = 8

// LetGo finds what coils do in a network that was switched at time 0, when their currents must find another way:
//
//	L di/dt = v(i) − R i
//
// What is round the coils answers their currents with voltages that go in straight lines between those currents at which a diode changes
// over; along a line from i₀ to i₁ the current takes
//
//	t = L (i₀ − i₁) ln(w₀ / w₁) / (w₀ − w₁)    with w = R i − v
//
// All currents are taken to fall alike, which is exact for one coil and for several of one kind. Others bear on each other only by the
// wires and diodes that they share, which have little beside a coil.
func (n *Network) LetGo(coils []Coil, share float64) (*LetGo, error) {
	out := &LetGo{Time: make([]float64, len(coils))}
	for k, c := range coils {
		if !(c.Henries > 0) || !(c.Ohms > 0) {
			return nil, fmt.Errorf("coil %d has %g Ω and %g H: both are above zero", k, c.Ohms, c.Henries)
		}
	}
	at := *n
	at.Resistors = n.Resistors[:len(n.Resistors):len(n.Resistors)]
	for _, c := range coils {
		at.Resistors = append(at.Resistors, Resistor{c.A, c.B, leak * c.Ohms})
	}
	// against is what stands against each coil's current when all are at a share of what they were: w.
	against := func(share float64) ([]float64, error) {
		at.sources = nil
		for _, c := range coils {
			at.sources = append(at.sources, source{c.A, c.B, share * c.Amps})
		}
		s, err := at.Solve()
		if err != nil {
			return nil, err
		}
		if out.Volts == nil {
			out.Volts = s.Volts
		}
		w := make([]float64, len(coils))
		for k, c := range coils {
			v := s.Volts[c.A] - s.Volts[c.B]
			if math.Abs(v) > noWay {
				v = math.NaN()
			}
			w[k] = c.Ohms*share*c.Amps - v
		}
		return w, nil
	}
	first, err := against(1)
	if err != nil {
		return nil, err
	}
	last, err := against(share)
	if err != nil {
		return nil, err
	}
	var along func(from, to float64, w0, w1 []float64, left int) error
	along = func(from, to float64, w0, w1 []float64, left int) error {
		middle := (from + to) / 2
		w, err := against(middle)
		if err != nil {
			return err
		}
		straight := true
		for k := range coils {
			straight = straight && !(math.Abs(w[k]-(w0[k]+w1[k])/2) > 1e-6*math.Abs(w[k]))
		}
		if !straight && left > 0 {
			if err := along(from, middle, w0, w, left-1); err != nil {
				return err
			}
			return along(middle, to, w, w1, left-1)
		}
		for k, c := range coils {
			out.Time[k] += c.Henries * math.Abs(c.Amps) * (from - to) / mean(w0[k]*sign(c.Amps), w1[k]*sign(c.Amps))
		}
		return nil
	}
	if err := along(1, share, first, last, halvings); err != nil {
		return nil, err
	}
	for k, t := range out.Time {
		if math.IsNaN(t) {
			out.Time[k] = math.Inf(1)
		}
	}
	return out, nil
}

func sign(x float64) float64 { return math.Copysign(1, x) }

// mean is the logarithmic mean; NaN unless both are above zero.
func mean(a, b float64) float64 {
	switch {
	case !(a > 0) || !(b > 0):
		return math.NaN()
	case math.Abs(a-b) < 1e-9*a:
		return a
	}
	return (a - b) / math.Log(a/b)
}
