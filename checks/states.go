package checks

import (
	"fmt"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// A CircuitState is one state of the valves with air and electricity on, and what a cylinder does in it.
type CircuitState struct {
	Says      string
	Positions map[string]string // of valves, by the pilot that brings it about: "12", "14", "10", or "centre"
}

// CircuitStates are those that the valves of each cylinder can be given. There are none where the circuit can't be followed.
func CircuitStates(m *schema.Machine) []CircuitState {
	if !m.Air.Given() {
		return nil
	}
	x := &examiner{m: m, air: followAir(m), motion: move(m)}
	b, err := x.behave(func(circuit.Network) {})
	if err != nil {
		return nil
	}
	var all []CircuitState
	seen := map[string]bool{}
	for _, name := range sorted(m.Cylinders) {
		for _, r := range b[name][circuit.Normal] {
			s := CircuitState{Says: strings.TrimSpace(fmt.Sprintf("%s %s %s", name, said(r), from(r))), Positions: map[string]string{}}
			for _, at := range r.At {
				s.Positions[at.Component] = at.Position
			}
			if !seen[s.Says] {
				seen[s.Says] = true
				all = append(all, s)
			}
		}
	}
	return all
}
