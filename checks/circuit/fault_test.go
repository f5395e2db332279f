package circuit

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestBadInput: each mistake in the lifter's circuit is found, alone, and names what it concerns.
func TestBadInput(t *testing.T) {
	single := Valve{Ways: FiveTwo}
	ports := func(text string) []Port {
		var all []Port
		for _, f := range strings.Fields(text) {
			c, p, _ := strings.Cut(f, ".")
			all = append(all, Port{c, p})
		}
		return all
	}
	for _, c := range []struct {
		what   string
		change func(*Network)
		want   []Fault
		says   string
	}{
		{"nothing", func(n *Network) {}, nil, ""},
		{"a port used twice", func(n *Network) { n.Runs["extra"] = Run{Port{"lift", "rear"}, Port{"spare", "1"}} },
			[]Fault{{Kind: PortTwice, Components: []string{"lift"}, Ports: ports("lift.rear"), Runs: []string{"extra", "raise.1-lift.rear"}}},
			"two runs go to one port: lift.rear (runs extra, raise.1-lift.rear)"},
		{"a port that there is not", func(n *Network) { n.Runs["shift.3-quietDown.1"] = Run{Port{"shift", "6"}, Port{"quietDown", "1"}} },
			[]Fault{{Kind: UnknownPort, Components: []string{"shift"}, Ports: ports("shift.6"), Runs: []string{"shift.3-quietDown.1"}}},
			"there is no such port: shift.6 (runs shift.3-quietDown.1)"},
		{"a component that there is not", func(n *Network) { delete(n.Components, "quietUp") },
			[]Fault{{Kind: UnknownComponent, Components: []string{"quietUp"}, Runs: []string{"shift.5-quietUp.1"}}}, ""},
		{"a run to itself", func(n *Network) {
			n.Components["fork"] = Component{Kind: Tee}
			n.Runs["round"] = Run{Port{"fork", "1"}, Port{"fork", "1"}}
		}, []Fault{{Kind: Loop, Components: []string{"fork"}, Runs: []string{"round"}}}, "runs form a ring with nothing but tees in it: fork (runs round)"},
		{"a ring of tees", func(n *Network) {
			n.Components["a"], n.Components["b"] = Component{Kind: Tee}, Component{Kind: Tee}
			n.Runs["one"], n.Runs["two"] = Run{Port{"a", "1"}, Port{"b", "1"}}, Run{Port{"a", "2"}, Port{"b", "2"}}
		}, []Fault{{Kind: Loop, Components: []string{"a", "b"}, Runs: []string{"one", "two"}}}, ""},
		{"no pressure", func(n *Network) { n.Components["line"] = Component{Kind: Regulator, Pressure: math.NaN()} },
			[]Fault{{Kind: NotPositive, Components: []string{"line"}, What: "pressure", Value: math.NaN()}}, "a number must be above zero and finite, pressure, found NaN: line"},
		{"no area", func(n *Network) { n.Components["lift"] = Component{Kind: CylinderKind, Cylinder: Cylinder{Rear: 1e-4}} },
			[]Fault{{Kind: NotPositive, Components: []string{"lift"}, What: "front area"}}, ""},
		{"one load", func(n *Network) { n.Components["lift"] = cylinder(7) }, []Fault{{Kind: NotFinite, Components: []string{"lift"}, What: "load at one end alone", Value: 7}}, ""},
		{"an infinite load", func(n *Network) { n.Components["lift"] = cylinder(7, math.Inf(1)) },
			[]Fault{{Kind: NotFinite, Components: []string{"lift"}, What: "spring or load", Value: math.Inf(1)}}, ""},
		{"a manifold without ports", func(n *Network) { n.Components["block"] = Component{Kind: Manifold} },
			[]Fault{{Kind: NotPositive, Components: []string{"block"}, What: "ports"}}, ""},
		{"a manifold with too many ports", func(n *Network) { n.Components["block"] = Component{Kind: Manifold, Ports: 1 << 40} },
			[]Fault{{Kind: NotAKind, Components: []string{"block"}, What: "more ports than any block has", Value: 1 << 40}}, ""},
		{"no kind", func(n *Network) { n.Components["spare"] = Component{} }, []Fault{{Kind: NotAKind, Components: []string{"spare"}, What: "kind"}}, ""},
		{"no such valve", func(n *Network) { n.Components["shift"] = valve(Valve{Ways: 9}) }, []Fault{{Kind: NotAKind, Components: []string{"shift"}, What: "ways", Value: 9}}, ""},
		{"a bleed that a coil moves", func(n *Network) { n.Components["spare"] = valve(Valve{Service: true}) },
			[]Fault{{Kind: NotAKind, Components: []string{"spare"}, What: "a valve for service that no hand moves"}}, ""},
		{"a stop of nothing", func(n *Network) { n.Stop = []string{"dump", "line"} }, []Fault{
			{Kind: UnknownComponent, Components: []string{"dump"}, What: "named by the stop"}, {Kind: UnknownPosition, Components: []string{"line"}, What: "named by the stop"}}, ""},
		{"a start in no position", func(n *Network) { n.Start = map[string]string{"shift": "10"} },
			[]Fault{{Kind: UnknownPosition, Components: []string{"shift"}, What: "10"}}, "no coil brings about that position, 10: shift"},

		{"an open output", func(n *Network) { delete(n.Runs, "shift.2-lower.2") }, []Fault{
			{Kind: OpenPort, Components: []string{"shift"}, Ports: ports("shift.2")}, {Kind: NoSupply, Components: []string{"lift"}, Ports: ports("lift.front")},
			{Kind: NoSupply, Components: []string{"lower"}}}, "the port is open and gets under pressure: shift.2"},
		{"outputs joined through tees", func(n *Network) {
			n.Components["second"], n.Components["fork"], n.Components["feed"] = valve(single), Component{Kind: Tee}, Component{Kind: Tee}
			delete(n.Runs, "shift.4-raise.2")
			delete(n.Runs, "line.2-shift.1")
			n.Components["end"] = Component{Kind: Plug}
			maps.Copy(n.Runs, runs("line.2-feed.1 feed.2-shift.1 feed.3-second.1 shift.4-fork.1 second.4-fork.2 fork.3-raise.2 second.2-end.1"))
		}, []Fault{{Kind: OutputsJoined, Components: []string{"second", "shift"}, Ports: ports("second.4 shift.4")}},
			"outputs are joined: each lets out what the other supplies: second.4, shift.4"},
		{"a pilot that nothing feeds", func(n *Network) { n.Components["shift"] = valve(Valve{Ways: FiveTwo, Moved: ByAir}) },
			[]Fault{{Kind: NoSupply, Components: []string{"shift"}, Ports: ports("shift.14")}}, "no air comes to it in any state: shift.14"},
		{"no supply at all", func(n *Network) { delete(n.Runs, "source.1-shutoff.1") }, []Fault{
			{Kind: OpenPort, Components: []string{"source"}, Ports: ports("source.1")},
			{Kind: NoSupply, Components: []string{"lift"}}, {Kind: NoSupply, Components: []string{"line"}},
			{Kind: NoSupply, Components: []string{"shift"}}, {Kind: NoSupply, Components: []string{"shutoff"}}}, ""},
		{"a check valve towards the cylinder", func(n *Network) {
			n.Components["raise"] = Component{Kind: Check}
			n.Runs["shift.4-raise.2"], n.Runs["raise.1-lift.rear"] = Run{Port{"shift", "4"}, Port{"raise", "1"}}, Run{Port{"raise", "2"}, Port{"lift", "rear"}}
		}, []Fault{{Kind: NoExhaust, Components: []string{"lift"}, Ports: ports("lift.rear")}}, "its air can leave in no state: lift.rear"},
	} {
		n := lifter(single)
		n.Components["spare"] = Component{Kind: Plug}
		c.change(&n)
		built, err := New(n)
		var got Faults
		if err == nil {
			got = built.Check()
		} else if !errors.As(err, &got) {
			t.Errorf("%s: %v is no Faults", c.what, err)
		}
		if d := cmp.Diff(Faults(c.want), got, cmp.Comparer(func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) })); d != "" {
			t.Errorf("%s: %s", c.what, d)
		}
		if c.says != "" && (len(got) == 0 || got[0].Error() != c.says) {
			t.Errorf("%s: says %q, want %q", c.what, got.Error(), c.says)
		}
	}
}

// TestPluggedExhaust: the fault that makes a cylinder stay is no mistake of wiring; the table shows the chamber shut in.
func TestPluggedExhaust(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo})
	n.Components["quietUp"] = Component{Kind: Plug}
	r := find(t, table(t, n), "lift", Normal, "shift=12")
	if r.Rear.Status != Trapped || r.In != Drifts {
		t.Errorf("%s, want the rear trapped", said(r))
	}
}

func TestTooManyStates(t *testing.T) {
	n := Network{Components: map[string]Component{"source": {Kind: Compressor, Pressure: 6 * bar}, "rod": {Kind: CylinderKind, Cylinder: Cylinder{Acting: Pushing, Rear: boreArea}}}, Runs: map[string]Run{}}
	last := Port{"source", "1"}
	for i := range 13 {
		name := string(rune('a' + i))
		n.Components[name] = valve(Valve{Ways: TwoTwo, Moved: ByHand})
		n.Runs[name] = Run{last, Port{name, "1"}}
		last = Port{name, "2"}
	}
	n.Runs["end"] = Run{last, Port{"rod", "rear"}}
	_, err := build(t, n).Table()
	var faults Faults
	if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Kind != TooManyStates || len(faults[0].Components) != 13 {
		t.Errorf("%v", err)
	}
	// One fewer is judged: only with all open does the rod get air.
	delete(n.Components, "m")
	delete(n.Runs, "m")
	n.Runs["end"] = Run{Port{"l", "2"}, Port{"rod", "rear"}}
	supplied := 0
	for _, r := range table(t, n).Rows {
		if r.Event == Normal && r.Rear.Status == Supplied {
			supplied++
		}
	}
	if supplied != 1 {
		t.Errorf("%d states supply the rod, want 1", supplied)
	}
}

// TestIndependent: cylinders on one supply hang on their own valves and the dump before them all, also with throttled common exhausts, quick
// exhausts and regulators of their own, and not on each other.
func TestIndependent(t *testing.T) {
	c := build(t, eight())
	for _, name := range []string{"cylinder1", "cylinder8"} {
		want := []string{"dump", "valve" + name[len("cylinder"):]}
		if got := c.Depends(name); !slices.Equal(got, want) {
			t.Errorf("%s hangs on %v, want %v", name, got, want)
		}
	}
	if f := c.Check(); len(f) > 0 {
		t.Error(f)
	}
}
