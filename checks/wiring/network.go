package wiring

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// diodeDrop in V and diodeOhms are those of a silicon diode that conducts.
const (
	diodeDrop = 0.7
	diodeOhms = 0.05
)

// A Resistor joins two nodes.
type Resistor struct {
	A, B int
	Ohms float64 // above zero
}

// A Diode lets current through from A to K.
type Diode struct{ A, K int }

// A Network has the nodes 0 to Nodes-1. Plus and Minus are those of the supply, Minus at 0 V.
type Network struct {
	Nodes       int
	Plus, Minus int
	Volts       float64
	Resistors   []Resistor
	Diodes      []Diode
}

// A Solution has the voltage of each node, NaN for one that hangs on nothing; the current of each resistor from A to B and of each
// diode from A to K; and what the supply gives.
type Solution struct {
	Volts    []float64
	Currents []float64
	Diodes   []float64
	Supply   float64
}

// Solve gives the voltages and currents. It fails for resistances that are not above zero, and where no state of the diodes is in
// keeping with itself.
func (n *Network) Solve() (*Solution, error) {
	for i, r := range n.Resistors {
		if !(r.Ohms > 0) || math.IsInf(r.Ohms, 0) {
			return nil, fmt.Errorf("resistor %d has %g Ω: a resistance is above zero and finite", i, r.Ohms)
		}
	}
	on := make([]bool, len(n.Diodes))
	for range 2*len(n.Diodes) + 2 {
		s, err := n.linear(on)
		if err != nil {
			return nil, err
		}
		changed := false
		for i, d := range n.Diodes {
			across := s.Volts[d.A] - s.Volts[d.K]
			conducts := across > diodeDrop // of one node that hangs on nothing: NaN, and it does not
			if on[i] {
				conducts = s.Diodes[i] > 0
			}
			if conducts != on[i] {
				on[i], changed = conducts, true
			}
		}
		if !changed {
			return s, nil
		}
	}
	return nil, fmt.Errorf("no state of the %d diodes is in keeping with itself", len(n.Diodes))
}

// linear solves with the diodes that conduct as a drop and a resistance.
func (n *Network) linear(on []bool) (*Solution, error) {
	at := make([]int, n.Nodes) // the row of each node that is unknown and hangs on the supply
	for i := range at {
		at[i] = -1
	}
	reached := n.reached(on)
	rows := 0
	for i := range n.Nodes {
		if reached[i] && i != n.Plus && i != n.Minus {
			at[i] = rows
			rows++
		}
	}
	s := &Solution{Volts: make([]float64, n.Nodes), Currents: make([]float64, len(n.Resistors)), Diodes: make([]float64, len(n.Diodes))}
	for i := range s.Volts {
		s.Volts[i] = math.NaN()
	}
	s.Volts[n.Plus], s.Volts[n.Minus] = n.Volts, 0
	if rows > 0 {
		g, c := mat.NewSymDense(rows, nil), mat.NewVecDense(rows, nil)
		stamp := func(a, b int, ohms, drop float64) {
			for _, end := range [][2]int{{a, b}, {b, a}} {
				i, j := at[end[0]], end[1]
				if i < 0 {
					continue
				}
				g.SetSym(i, i, g.At(i, i)+1/ohms)
				sign := 1.0
				if end[0] == b {
					sign = -1
				}
				c.SetVec(i, c.AtVec(i)+sign*drop/ohms)
				switch {
				case at[j] >= 0 && i < at[j]:
					g.SetSym(i, at[j], g.At(i, at[j])-1/ohms)
				case at[j] < 0:
					c.SetVec(i, c.AtVec(i)+s.Volts[j]/ohms)
				}
			}
		}
		for _, r := range n.Resistors {
			if r.A != r.B && reached[r.A] {
				stamp(r.A, r.B, r.Ohms, 0)
			}
		}
		for i, d := range n.Diodes {
			if on[i] && reached[d.A] {
				stamp(d.A, d.K, diodeOhms, diodeDrop)
			}
		}
		var chol mat.Cholesky
		if !chol.Factorize(g) {
			return nil, fmt.Errorf("the equations of the %d nodes can't be solved: resistances are out of all proportion", rows)
		}
		v := mat.NewVecDense(rows, nil)
		if err := chol.SolveVecTo(v, c); err != nil {
			return nil, fmt.Errorf("the equations of the %d nodes can't be solved: %w", rows, err)
		}
		for i, row := range at {
			if row >= 0 {
				s.Volts[i] = v.AtVec(row)
			}
		}
	}
	out := func(node int, current float64) {
		if node == n.Plus {
			s.Supply += current
		}
	}
	for i, r := range n.Resistors {
		if r.A != r.B && reached[r.A] {
			s.Currents[i] = (s.Volts[r.A] - s.Volts[r.B]) / r.Ohms
			out(r.A, s.Currents[i])
			out(r.B, -s.Currents[i])
		}
	}
	for i, d := range n.Diodes {
		if on[i] && reached[d.A] {
			s.Diodes[i] = (s.Volts[d.A] - s.Volts[d.K] - diodeDrop) / diodeOhms
			out(d.A, s.Diodes[i])
			out(d.K, -s.Diodes[i])
		}
	}
	return s, nil
}

// reached are the nodes that hang on the supply by what conducts.
func (n *Network) reached(on []bool) []bool {
	reached := make([]bool, n.Nodes)
	reached[n.Plus], reached[n.Minus] = true, true
	for grown := true; grown; {
		grown = false
		join := func(a, b int) {
			if reached[a] != reached[b] {
				reached[a], reached[b], grown = true, true, true
			}
		}
		for _, r := range n.Resistors {
			join(r.A, r.B)
		}
		for i, d := range n.Diodes {
			if on[i] {
				join(d.A, d.K)
			}
		}
	}
	return reached
}
