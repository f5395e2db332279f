package circuit

import (
	"fmt"
	"strings"
)

// A FaultKind says what is wrong with a circuit.
type FaultKind int

const (
	// Of names, numbers and runs, found by New.

	UnknownComponent FaultKind = iota // a run, the stop or the start names a component that there is none of
	UnknownPort                       // a run goes to a port that the component does not have
	UnknownPosition                   // the start gives a valve a position that it does not have, or a component that no coil moves one
	PortTwice                         // two runs go to one port
	Loop                              // a run closes a ring of nothing but runs and tees, or goes from a port to itself
	NotPositive                       // a pressure, area or count that is not above zero and finite
	NotFinite                         // a force that is none, a friction below zero, or one load without another
	NotAKind                          // a kind or property that there is none of

	// Of the way of the air, found by Check, but for the last, which Table and Together find.

	OutputsJoined // outputs of valves or regulators are joined: each lets out what the other supplies
	OpenPort      // a port that is no exhaust is open to the air and gets under pressure in some state
	NoSupply      // air comes to it in no state
	NoExhaust     // a chamber's air can leave in no state
	TooManyStates // more states of one branch than MostStates
)

var faultText = map[FaultKind]string{
	UnknownComponent: "there is no such component",
	UnknownPort:      "there is no such port",
	UnknownPosition:  "no coil brings about that position",
	PortTwice:        "two runs go to one port",
	Loop:             "runs form a ring with nothing but tees in it",
	NotPositive:      "a number must be above zero and finite",
	NotFinite:        "a force must be finite, a friction not below zero, and loads given for both ends of the stroke at least",
	NotAKind:         "there is no such kind of component",
	OutputsJoined:    "outputs are joined: each lets out what the other supplies",
	OpenPort:         "the port is open and gets under pressure",
	NoSupply:         "no air comes to it in any state",
	NoExhaust:        "its air can leave in no state",
	TooManyStates:    fmt.Sprintf("valves that act on each other have more than %d states together", MostStates),
}

// A Fault is one mistake in a circuit, with the names of what it concerns.
type Fault struct {
	Kind       FaultKind
	Components []string // sorted
	Ports      []Port   // of those components, where ports are to blame
	Runs       []string // sorted, where runs are to blame
	What       string   // the position, or what number it is
	Value      float64  // the number that is wrong
}

func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(faultText[f.Kind])
	if f.What != "" {
		fmt.Fprintf(&b, ", %s", f.What)
	}
	if f.Kind == NotPositive || f.Kind == NotFinite {
		fmt.Fprintf(&b, ", found %g", f.Value)
	}
	if len(f.Ports) > 0 {
		b.WriteString(":")
		for i, p := range f.Ports {
			fmt.Fprintf(&b, "%s %s.%s", []string{"", ","}[min(i, 1)], p.Component, p.Name)
		}
	} else if len(f.Components) > 0 {
		fmt.Fprintf(&b, ": %s", strings.Join(f.Components, ", "))
	}
	if len(f.Runs) > 0 {
		fmt.Fprintf(&b, " (runs %s)", strings.Join(f.Runs, ", "))
	}
	return b.String()
}

// Faults are all mistakes found in a circuit.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.Error()
	}
	return strings.Join(lines, "; ")
}
