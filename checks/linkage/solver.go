package linkage

import (
	"math"
	"slices"
)

// A Solver computes the poses of one mechanism. It doesn't change: several goroutines may use it.
type Solver struct {
	mechanism Mechanism
	*system
	mobility Mobility
}

// New checks a mechanism and prepares its equations. The error is of type Faults and holds every mistake found.
func New(m Mechanism) (*Solver, error) {
	size, faults := check(m)
	if len(faults) > 0 {
		return nil, faults
	}
	m.Points, m.Slides, m.Cylinders = slices.Clone(m.Points), slices.Clone(m.Slides), slices.Clone(m.Cylinders)
	m.Bodies = slices.Clone(m.Bodies)
	for i := range m.Bodies {
		m.Bodies[i].Points = slices.Clone(m.Bodies[i].Points)
	}
	s := &Solver{mechanism: m, system: build(m, size, nil)}
	s.mobility = mobility(s.system.newState(new(Work)), tolerance(m, size))
	s.mobility.Coincident = coincident(m, size)
	return s, nil
}

// Mobility tells how the linkage can move.
func (s *Solver) Mobility() Mobility { return s.mobility }

// movable refuses a linkage that has no single way to go for each set of strokes. The error is a Fault.
func (s *Solver) movable() error {
	m := s.mobility
	switch {
	case m.Freedoms == 0 && len(m.Spins) == s.moving:
		return Fault{Kind: Undriven, Bodies: m.Spins, Points: m.Coincident}
	case m.Freedoms == 0:
		return s.locked()
	case m.Undriven > 0:
		return Fault{Kind: Undriven, Bodies: m.Loose, Points: m.Coincident}
	case m.singular:
		f := m.drawn
		for _, c := range f.Cylinders {
			f.Points = append(f.Points[:len(f.Points):len(f.Points)], s.ends[c][:]...)
		}
		return f
	}
	return nil
}

// locked names the pivots that repeat others as drawn, and so may bind, else all that hold moving bodies.
func (s *Solver) locked() Fault {
	f := Fault{Kind: Locked, Bodies: slices.Clone(s.bodies), Points: s.mobility.drawn.Points}
	if len(f.Points) == 0 {
		for _, p := range s.pivots {
			f.Points = append(f.Points, p.point)
		}
		f.Points = append(f.Points, s.slidePoint...)
		slices.Sort(f.Points)
		f.Points = slices.Compact(f.Points)
	}
	return f
}

// asin is math.Asin for values that rounding may have carried past 1.
func asin(v float64) float64 { return math.Asin(max(-1, min(1, v))) }

// Mechanism is what the solver was made for. It must not be changed.
func (s *Solver) Mechanism() Mechanism { return s.mechanism }
