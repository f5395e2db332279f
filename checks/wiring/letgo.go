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
	Peak []float64 // the most that each node comes to, V
	Time []float64 // until each coil's current is down to the share that was asked for, s; infinite where it was not by the end
}

// shift is the diagonal of the method below.
var shift = 1 - 1/math.Sqrt2

// LetGo follows coils in a network that was switched at time 0, over a span, in equal steps:
//
//	L di/dt = v − R i
//
// with v from the nodes, by the two-stage, stiffly accurate, singly diagonally implicit Runge-Kutta method of order two (Alexander 1977): it
// damps what is stiff, a diode that takes over a current at once. A stage is a network of resistances, since in it
//
//	i = (i₀ + γ h v / L) / (1 + γ h R / L)
//
// is a conductance beside a source of current.
func (n *Network) LetGo(coils []Coil, share, span float64, steps int) (*LetGo, error) {
	out := &LetGo{Peak: make([]float64, n.Nodes), Time: make([]float64, len(coils))}
	for i := range out.Peak {
		out.Peak[i] = math.Inf(-1)
	}
	now := make([]float64, len(coils))
	for k, c := range coils {
		if !(c.Henries > 0) || !(c.Ohms > 0) {
			return nil, fmt.Errorf("coil %d has %g Ω and %g H: both are above zero", k, c.Ohms, c.Henries)
		}
		now[k], out.Time[k] = c.Amps, math.Inf(1)
	}
	h := span / float64(steps)
	at := *n
	slope := make([]float64, len(coils))
	stage := func(base []float64) ([]float64, error) {
		at.Resistors, at.sources = n.Resistors[:len(n.Resistors):len(n.Resistors)], nil
		for k, c := range coils {
			x := shift * h / c.Henries
			at.Resistors = append(at.Resistors, Resistor{c.A, c.B, (1 + x*c.Ohms) / x})
			at.sources = append(at.sources, source{c.A, c.B, base[k] / (1 + x*c.Ohms)})
		}
		s, err := at.Solve()
		if err != nil {
			return nil, err
		}
		next := make([]float64, len(coils))
		for k, c := range coils {
			v := s.Volts[c.A] - s.Volts[c.B]
			next[k] = s.Currents[len(n.Resistors)+k] + at.sources[k].amps
			slope[k] = (v - c.Ohms*next[k]) / c.Henries
		}
		for i, v := range s.Volts {
			out.Peak[i] = max(out.Peak[i], v)
		}
		return next, nil
	}
	base := make([]float64, len(coils))
	for step := range steps {
		if _, err := stage(now); err != nil {
			return nil, err
		}
		for k := range base {
			base[k] = now[k] + (1-shift)*h*slope[k]
		}
		next, err := stage(base)
		if err != nil {
			return nil, err
		}
		for k, c := range coils {
			if limit := share * math.Abs(c.Amps); math.IsInf(out.Time[k], 1) && math.Abs(next[k]) <= limit {
				from, to := math.Abs(now[k]), math.Abs(next[k])
				out.Time[k] = h * (float64(step) + (from-limit)/(from-to))
			}
		}
		now = next
	}
	return out, nil
}
