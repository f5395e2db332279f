package circuit

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const bar = 1e5

// A 25 mm bore with a 10 mm rod, as in ISO 6432.
var (
	boreArea = math.Pi / 4 * 0.025 * 0.025
	rodArea  = math.Pi / 4 * 0.010 * 0.010
)

func cylinder(load ...float64) Component {
	return Component{Kind: CylinderKind, Cylinder: Cylinder{Rear: boreArea, Front: boreArea - rodArea, Load: load, Friction: 5}}
}

func valve(v Valve) Component { return Component{Kind: ValveKind, Valve: v} }

// runs reads "a.1-b.2 b.1-c.1".
func runs(text string) map[string]Run {
	all := map[string]Run{}
	for _, field := range strings.Fields(text) {
		a, b, _ := strings.Cut(field, "-")
		port := func(s string) Port {
			c, p, _ := strings.Cut(s, ".")
			return Port{c, p}
		}
		all[field] = Run{port(a), port(b)}
	}
	return all
}

// supply is a compressor, a dumping isolator and a regulator at 6 bar; what follows is joined to line.2.
func supply(more map[string]Component) map[string]Component {
	parts := map[string]Component{
		"source":  {Kind: Compressor, Pressure: 8 * bar},
		"shutoff": {Kind: Isolator, Exhausts: true},
		"line":    {Kind: Regulator, Pressure: 6 * bar, Relieving: true},
	}
	maps.Copy(parts, more)
	return parts
}

const supplyRuns = "source.1-shutoff.1 shutoff.2-line.1 "

func build(t testing.TB, n Network) *Circuit {
	t.Helper()
	c, err := New(n)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func table(t testing.TB, n Network) Table {
	t.Helper()
	all, err := build(t, n).Table()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// said puts a row in words: what it does, where it comes to rest and what is in its chambers.
func said(r Row) string {
	does := "stays"
	switch {
	case r.Out != Rests && r.In != Rests:
		does = r.Out.String() + " out or " + r.In.String() + " in"
	case r.Out != Rests:
		does = r.Out.String() + " out"
	case r.In != Rests:
		does = r.In.String() + " in"
	}
	return fmt.Sprintf("%s %.2g-%.2g %s/%s", does, r.After.From, r.After.To, r.Rear.Status, r.Front.Status)
}

func from(r Row) string {
	var s []string
	for _, f := range r.From {
		s = append(s, f.Component+"="+f.Position)
	}
	return strings.Join(s, " ")
}

func find(t testing.TB, all Table, cylinder string, e Event, state string) Row {
	t.Helper()
	for _, r := range all.Rows {
		if r.Cylinder == cylinder && r.Event == e && from(r) == state {
			return r
		}
	}
	t.Fatalf("no row of %s on %s from %q", cylinder, e, state)
	return Row{}
}

// lifter is one double-acting cylinder behind one 5/2 or 5/3 valve, metered out both ways.
func lifter(v Valve, load ...float64) Network {
	return Network{
		Components: supply(map[string]Component{
			"shift": valve(v), "lift": cylinder(load...),
			"raise": {Kind: FlowControl, Throttles: From1To2}, "lower": {Kind: FlowControl, Throttles: From1To2},
			"quietUp": {Kind: Silencer}, "quietDown": {Kind: Silencer},
		}),
		Runs: runs(supplyRuns + "line.2-shift.1 shift.4-raise.2 raise.1-lift.rear shift.2-lower.2 lower.1-lift.front shift.5-quietUp.1 shift.3-quietDown.1"),
	}
}

func swapped(n Network) Network {
	n.Runs = maps.Clone(n.Runs)
	n.Runs["shift.4-raise.2"] = Run{Port{"shift", "2"}, Port{"raise", "2"}}
	n.Runs["shift.2-lower.2"] = Run{Port{"shift", "4"}, Port{"lower", "2"}}
	return n
}

// Textbook circuits, worked by hand from the symbols of ISO 1219-1 and the port numbers of ISO 5599 (from memory): at rest a 5/2 with a
// spring joins 1 to 2 and 4 to 5, moved 1 to 4 and 2 to 3; a bistable one keeps its position without current; a 5/3 is named by its centre.
// The weight of 50 N pulls the rod in.
func TestTextbook(t *testing.T) {
	single := Valve{Ways: FiveTwo}
	memory := Valve{Ways: FiveTwo, Return: Remembers}
	for _, c := range []struct {
		what  string
		n     Network
		event Event
		from  string
		want  string
	}{
		{"single solenoid, at rest", lifter(single, -50, -50), Normal, "shift=12", "moves in 0-0 exhausted/supplied"},
		{"single solenoid, moved", lifter(single, -50, -50), Normal, "shift=14", "moves out 1-1 supplied/exhausted"},
		{"its spring brings it back", lifter(single, -50, -50), ElectricityLost, "shift=14", "moves in 0-0 exhausted/supplied"},
		{"and it stays in from rest", lifter(single, -50, -50), ElectricityLost, "shift=12", "stays 0-0 exhausted/supplied"},
		// With no pilot air the spring returns it, and the front is let out through the empty supply.
		{"air lost, the weight falls", lifter(single, -50, -50), AirLost, "shift=14", "falls in 0-0 exhausted/exhausted"},
		{"air back with current throws it out again", lifter(single, -50, -50), AirBackPowered, "shift=14", "moves out 1-1 supplied/exhausted"},
		{"air back without current does not", lifter(single, -50, -50), AirBackUnpowered, "shift=14", "stays 0-0 exhausted/supplied"},
		{"swapped tubes invert the rest state", swapped(lifter(single, -50, -50)), ElectricityLost, "shift=14", "moves out 1-1 supplied/exhausted"},
		{"swapped tubes throw it out when the air is back", swapped(lifter(single, -50, -50)), AirBackUnpowered, "shift=14", "moves out 1-1 supplied/exhausted"},
		{"a bistable valve remembers out", lifter(memory, -50, -50), ElectricityLost, "shift=14", "stays 1-1 supplied/exhausted"},
		{"a bistable valve remembers in", lifter(memory, -50, -50), ElectricityLost, "shift=12", "stays 0-0 exhausted/supplied"},
		{"it falls without air", lifter(memory, -50, -50), AirLost, "shift=14", "falls in 0-0 exhausted/exhausted"},
		{"and is thrown out by air alone", lifter(memory, -50, -50), AirBackUnpowered, "shift=14", "moves out 1-1 supplied/exhausted"},
		{"isolated, the weight falls", lifter(memory, -50, -50), IsolatedForWork, "shift=14", "falls in 0-0 exhausted/exhausted"},
		{"without load it stays", lifter(memory), IsolatedForWork, "shift=14", "stays 1-1 exhausted/exhausted"},
		{"less than the friction stays", lifter(memory, -4, -4), IsolatedForWork, "shift=14", "stays 1-1 exhausted/exhausted"},
		{"over a dead point it falls both ways", lifter(memory, -50, 50), IsolatedForWork, "shift=14", "stays 1-1 exhausted/exhausted"},

		{"closed centre shuts the air in", lifter(Valve{Ways: FiveThree}, -50, -50), ElectricityLost, "shift=14", "drifts in 0-1 trapped/trapped"},
		{"exhaust centre lets it fall", lifter(Valve{Ways: FiveThree, Centre: ExhaustCentre}, -50, -50), ElectricityLost, "shift=14", "falls in 0-0 exhausted/exhausted"},
		{"exhaust centre without load", lifter(Valve{Ways: FiveThree, Centre: ExhaustCentre}), ElectricityLost, "shift=14", "stays 1-1 exhausted/exhausted"},
		// 6 bar on the rod's 78.5 mm² is 47.1 N, which lifts 40 N over 5 N of friction and not 50 N.
		{"pressure centre creeps out", lifter(Valve{Ways: FiveThree, Centre: PressureCentre}, -40, -40), ElectricityLost, "shift=12", "moves out 1-1 supplied/supplied"},
		{"pressure centre under a weight", lifter(Valve{Ways: FiveThree, Centre: PressureCentre}, -50, -50), ElectricityLost, "shift=12", "stays 0-0 supplied/supplied"},
	} {
		if got := said(find(t, table(t, c.n), "lift", c.event, c.from)); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// TestPressureCentre: the net force of a single-rod cylinder with equal pressure on both sides is p(A - a), with the annulus a: p times the
// rod's area. Handbooks of cylinders have it as the force of a regenerative or differential circuit.
func TestPressureCentre(t *testing.T) {
	r := find(t, table(t, lifter(Valve{Ways: FiveThree, Centre: PressureCentre})), "lift", Normal, "shift=centre")
	want := 6 * bar * rodArea
	if math.Abs(r.AtIn.Least-want) > 1e-9 || r.AtIn != r.AtOut || r.AtIn.Least != r.AtIn.Most {
		t.Errorf("net force %v and %v N, want %g", r.AtIn, r.AtOut, want)
	}
}

// TestLoadThatTurns: where a force that is straight over the stroke equals the friction, in closed form.
func TestLoadThatTurns(t *testing.T) {
	// The load is zero at 0.4 of the stroke and drives towards it from both sides. It falls 100 N over the stroke, so 5 N of friction hold it from
	// 0.05 before to 0.05 behind.
	y := cylinder(40, -60).Cylinder
	empty := Condition{Status: Exhausted}
	o := y.move(empty, empty, Span{0, 1})
	if math.Abs(o.After.From-0.35) > 1e-12 || math.Abs(o.After.To-0.45) > 1e-12 || o.Out != Falls || o.In != Falls {
		t.Errorf("comes to rest at %v, %v out, %v in; want 0.35 to 0.45, falling both ways", o.After, o.Out, o.In)
	}
}

// TestWays: the ways of air traced by hand through the drawing, valve passages as in TestTextbook.
func TestWays(t *testing.T) {
	all := table(t, lifter(Valve{Ways: FiveTwo}, -50, -50))
	r := find(t, all, "lift", Normal, "shift=14")
	want := Condition{Status: Supplied, Low: 6 * bar, High: 6 * bar, Supply: []string{"raise", "shift", "line", "shutoff", "source"}}
	if d := cmp.Diff(want, r.Rear); d != "" {
		t.Errorf("rear: %s", d)
	}
	want = Condition{Status: Exhausted, Exhaust: []string{"lower", "shift", "quietDown"}, ExhaustThrottled: true}
	if d := cmp.Diff(want, r.Front); d != "" {
		t.Errorf("front: %s", d)
	}
	// After isolating, the way out of the rear is by the valve's own exhaust, that of the front back through the regulator and the isolator.
	r = find(t, all, "lift", IsolatedForWork, "shift=14")
	want = Condition{Status: Exhausted, Exhaust: []string{"lower", "shift", "line", "shutoff"}, ExhaustThrottled: true}
	if d := cmp.Diff(want, r.Front); d != "" {
		t.Errorf("front when isolated: %s", d)
	}
}

// Single-acting cylinders: a 3/2 that is shut at rest lets them out at rest (ISO 1219-1, from memory).
func TestSingleActing(t *testing.T) {
	for _, c := range []struct {
		open bool
		from string
		want string
	}{
		{false, "shift=12", "moves in 0-0 exhausted/exhausted"},
		{true, "shift=10", "moves out 1-1 supplied/exhausted"},
	} {
		y := Component{Kind: CylinderKind, Cylinder: Cylinder{Acting: Pushing, Rear: boreArea, Spring: [2]float64{-20, -40}, Friction: 5}}
		all := table(t, Network{
			Components: supply(map[string]Component{"shift": valve(Valve{Ways: ThreeTwo, Open: c.open}), "eject": y}),
			Runs:       runs(supplyRuns + "line.2-shift.1 shift.2-eject.rear"),
		})
		if got := said(find(t, all, "eject", ElectricityLost, c.from)); got != c.want {
			t.Errorf("open %v: %s, want %s", c.open, got, c.want)
		}
		if r := find(t, all, "eject", Normal, "shift=12"); r.Rear.Status != Supplied || math.Abs(r.AtOut.Least-(6*bar*boreArea-40)) > 1e-9 {
			t.Errorf("open %v, joined to the supply: %v with %v N", c.open, r.Rear.Status, r.AtOut)
		}
	}
}

// TestQuickExhaust: a quick exhaust valve fills from 1 to 2 and empties from 2 to 3 (ISO 1219-1, from memory).
func TestQuickExhaust(t *testing.T) {
	n := Network{
		Components: supply(map[string]Component{
			"shift": valve(Valve{Ways: FiveTwo}), "strike": cylinder(), "quick": {Kind: QuickExhaust}, "slow": {Kind: FlowControl}, "loud": {Kind: Silencer},
		}),
		Runs: runs(supplyRuns + "line.2-shift.1 shift.4-quick.1 quick.2-strike.rear quick.3-loud.1 shift.2-slow.1 slow.2-strike.front"),
	}
	all := table(t, n)
	r := find(t, all, "strike", Normal, "shift=14")
	if d := cmp.Diff([]string{"quick", "shift", "line", "shutoff", "source"}, r.Rear.Supply); d != "" || r.Rear.Status != Supplied {
		t.Errorf("filling: %v %s", r.Rear.Status, d)
	}
	// The air goes out at the cylinder, free, and not by the valve.
	r = find(t, all, "strike", Normal, "shift=12")
	if d := cmp.Diff(Condition{Status: Exhausted, Exhaust: []string{"quick", "loud"}}, r.Rear); d != "" {
		t.Errorf("emptying: %s", d)
	}
}

// Pilot-operated check valves at the cylinder, each opened by the other line, hold it when a valve with an exhaust centre takes the pressure off
// their pilots; behind a closed centre the pilots stay under pressure and the checks open (handbook practice, from memory).
func TestPilotCheck(t *testing.T) {
	for _, c := range []struct {
		centre      Centre
		rear, front Status
		high        float64
		at          string
	}{
		{ExhaustCentre, Trapped, Exhausted, 6 * bar, "shut"},
		{ClosedCentre, Trapped, Trapped, 6 * bar, "12"},
	} {
		n := Network{
			Components: supply(map[string]Component{
				"shift": valve(Valve{Ways: FiveThree, Centre: c.centre}), "lift": cylinder(-50, -50), "hold": {Kind: PilotCheck}, "fork": {Kind: Tee},
				"bleed": valve(Valve{Ways: TwoTwo, Moved: ByHand, Service: true}), "drain": {Kind: Tee}, "out": {Kind: Silencer},
			}),
			Runs: runs(supplyRuns + "line.2-shift.1 shift.4-hold.1 hold.2-drain.1 drain.2-lift.rear drain.3-bleed.1 bleed.2-out.1 shift.2-fork.1 fork.2-lift.front fork.3-hold.12"),
		}
		all := table(t, n)
		r := find(t, all, "lift", ElectricityLost, "shift=14")
		if r.Rear.Status != c.rear || r.Front.Status != c.front || r.Rear.High != c.high || r.In != Drifts || r.After != (Span{0, 1}) {
			t.Errorf("centre %v: %s, rear up to %g Pa", c.centre, said(r), r.Rear.High)
		}
		if !slices.Equal(r.RearBleeds, []string{"bleed"}) {
			t.Errorf("centre %v: bled by %v", c.centre, r.RearBleeds)
		}
		r = find(t, all, "lift", Normal, "shift=12")
		if !slices.Contains(r.At, Setting{"hold", "12"}) || r.Rear.Status != Exhausted {
			t.Errorf("lowering: %v, rear %v", r.At, r.Rear.Status)
		}
		// Isolated and let out, the check still holds what is behind it.
		r = find(t, all, "lift", IsolatedForWork, "shift=14")
		if r.Rear.Status != Trapped || r.Rear.High != 6*bar {
			t.Errorf("isolated: rear %v up to %g Pa", r.Rear.Status, r.Rear.High)
		}
	}
}

// An isolator that does not let out (ISO 4414 asks for one that does, from memory) leaves everything behind it under pressure.
func TestIsolatorThatKeeps(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo}, -50, -50)
	n.Components["shutoff"] = Component{Kind: Isolator}
	r := find(t, table(t, n), "lift", IsolatedForWork, "shift=12")
	if r.Front.Status != Trapped || r.Front.High != 6*bar || r.Front.Low != 0 {
		t.Errorf("front %+v", r.Front)
	}
}

// A shuttle lets either of two valves push the rod out, and neither leaks by the other's exhaust: the OR of textbooks.
func TestShuttle(t *testing.T) {
	button := valve(Valve{Ways: ThreeTwo, Moved: ByHand})
	y := Component{Kind: CylinderKind, Cylinder: Cylinder{Acting: Pushing, Rear: boreArea, Spring: [2]float64{-20, -40}}}
	all := table(t, Network{
		Components: supply(map[string]Component{"left": button, "right": button, "either": {Kind: Shuttle}, "eject": y, "fork": {Kind: Tee}}),
		Runs:       runs(supplyRuns + "line.2-fork.1 fork.2-left.1 fork.3-right.1 left.2-either.1 right.2-either.3 either.2-eject.rear"),
	})
	for state, want := range map[string]string{
		"left=10 right=10": "moves in 0-0 exhausted/exhausted", "left=12 right=10": "moves out 1-1 supplied/exhausted",
		"left=10 right=12": "moves out 1-1 supplied/exhausted", "left=12 right=12": "moves out 1-1 supplied/exhausted",
	} {
		if got := said(find(t, all, "eject", Normal, state)); got != want {
			t.Errorf("%s: %s, want %s", state, got, want)
		}
		// Both buttons spring back when they are let go.
		if got := find(t, all, "eject", StopPressed, state); got.Rear.Status != Exhausted {
			t.Errorf("%s, let go: rear %v", state, got.Rear.Status)
		}
	}
}

// Indirect control by two buttons and a bistable valve, the memory circuit of textbooks: the later signal wins, both together change nothing.
func TestPneumaticMemory(t *testing.T) {
	button := valve(Valve{Ways: ThreeTwo, Moved: ByHand})
	all := table(t, Network{
		Components: supply(map[string]Component{
			"out": button, "in": button, "memory": valve(Valve{Ways: FiveTwo, Moved: ByAir, Return: Remembers}), "rod": cylinder(), "feed": {Kind: Manifold, Ports: 4},
		}),
		Runs: runs(supplyRuns + "line.2-feed.1 feed.2-out.1 feed.3-in.1 feed.4-memory.1 out.2-memory.14 in.2-memory.12 memory.4-rod.rear memory.2-rod.front"),
	})
	for state, want := range map[string]Span{
		"in=10 memory=12 out=12": {1, 1}, "in=12 memory=14 out=10": {0, 0},
		"in=12 memory=12 out=12": {0, 0}, "in=12 memory=14 out=12": {1, 1},
		"in=10 memory=12 out=10": {0, 0}, "in=10 memory=14 out=10": {1, 1},
	} {
		if got := find(t, all, "rod", Normal, state); got.After != want {
			t.Errorf("%s: rests at %v, want %v", state, got.After, want)
		}
	}
	// A 5/3 moved by air goes to its centre under both signals as under none.
	n := lifter(Valve{Ways: FiveThree, Moved: ByAir})
	n.Components["out"], n.Components["in"], n.Components["feed"] = button, button, Component{Kind: Manifold, Ports: 4}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-feed.1 feed.2-out.1 feed.3-in.1 feed.4-shift.1 out.2-shift.14 in.2-shift.12"))
	for state, want := range map[string]string{"in=10 out=10": "centre", "in=12 out=12": "centre", "in=10 out=12": "14", "in=12 out=10": "12"} {
		if got := find(t, table(t, n), "lift", Normal, state); !slices.Contains(got.At, Setting{"shift", want}) {
			t.Errorf("%s: %v, want %s", state, got.At, want)
		}
	}
	// Pressed, then let go: what it did stays done, with and without current.
	if got := find(t, all, "rod", ElectricityLost, "in=10 memory=12 out=12"); !got.Stays() || got.After != (Span{1, 1}) {
		t.Errorf("let go: %s", said(got))
	}
}

// Common practice, no source: a valve that springs back does so without air; one that only air returns stays where it is, and its cylinder is thrown the same way again.
func TestReturnByAir(t *testing.T) {
	for _, c := range []struct {
		back Return
		want string
	}{{BySpring, "12"}, {ByItsAir, "14"}} {
		n := lifter(Valve{Ways: FiveTwo, Return: c.back})
		r := find(t, table(t, n), "lift", AirLost, "shift=14")
		if !slices.Contains(r.At, Setting{"shift", c.want}) {
			t.Errorf("return %v: %v, want %s", c.back, r.At, c.want)
		}
	}
}

// Common practice, no source: a dump valve in the supply that the stop lets go takes the air from everything; without a stop chain nothing changes.
func TestStop(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo, Return: Remembers}, -50, -50)
	n.Components["dump"] = valve(Valve{Ways: ThreeTwo, Pilot: Direct})
	n.Components["gently"] = Component{Kind: SoftStart}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-dump.1 dump.2-gently.1 gently.2-shift.1"))
	if got := said(find(t, table(t, n), "lift", StopPressed, "dump=12 shift=14")); got != "stays 1-1 supplied/exhausted" {
		t.Errorf("no stop chain: %s", got)
	}
	n.Stop = []string{"dump"}
	all := table(t, n)
	r := find(t, all, "lift", StopPressed, "dump=12 shift=14")
	if got := said(r); got != "falls in 0-0 exhausted/exhausted" {
		t.Errorf("stop: %s", got)
	}
	if !find(t, all, "lift", Normal, "dump=12 shift=14").Rear.SupplyStarted {
		t.Error("the soft start is not seen")
	}
	n.Start = map[string]string{"dump": "12", "shift": "12"}
	if got := said(find(t, table(t, n), "lift", ControllerReset, "dump=12 shift=14")); got != "stays 0-0 exhausted/supplied" {
		t.Errorf("reset: %s", got) // fell in when the outputs went off, and is held there
	}
}

// Common practice, no source: a receiver behind a check valve feeds on when the air is lost; one in front of it is emptied with the line.
func TestReceiver(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo}, -50, -50)
	n.Components["keep"], n.Components["tank"] = Component{Kind: Check}, Component{Kind: Receiver}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-keep.1 keep.2-tank.1 tank.2-shift.1"))
	all := table(t, n)
	r := find(t, all, "lift", AirLost, "shift=14")
	if got := said(r); got != "stays 1-1 supplied/exhausted" || !slices.Equal(r.Rear.Supply, []string{"raise", "shift", "tank"}) {
		t.Errorf("behind the check: %s by %v", got, r.Rear.Supply)
	}
	for _, s := range all.Stores {
		if s.Event == IsolatedForWork && (s.High != 6*bar || s.Status != Supplied) {
			t.Errorf("isolated, the tank has %+v", s.Condition)
		}
	}
	n.Runs["line.2-keep.1"], n.Runs["keep.2-tank.1"], n.Runs["tank.2-shift.1"] = Run{Port{"line", "2"}, Port{"tank", "1"}}, Run{Port{"tank", "2"}, Port{"keep", "1"}}, Run{Port{"keep", "2"}, Port{"shift", "1"}}
	all = table(t, n)
	for _, s := range all.Stores {
		if s.Event == AirLost && s.Status != Exhausted {
			t.Errorf("before the check, the tank is %v", s.Status)
		}
	}
}

// By hand from the least of the limits: a relief valve below the regulator's setting limits what is behind it, and not what is before the regulator.
func TestRelief(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo})
	n.Components["limit"], n.Components["fork"], n.Components["tank"] = Component{Kind: ReliefValve, Pressure: 4 * bar}, Component{Kind: Tee}, Component{Kind: Receiver}
	delete(n.Runs, "line.2-shift.1")
	delete(n.Runs, "shutoff.2-line.1")
	maps.Copy(n.Runs, runs("shutoff.2-tank.1 tank.2-line.1 line.2-fork.1 fork.2-limit.1 fork.3-shift.1"))
	all := table(t, n)
	if r := find(t, all, "lift", Normal, "shift=14"); r.Rear.High != 4*bar || r.Rear.Status != Supplied {
		t.Errorf("rear %+v, want 4 bar", r.Rear)
	}
	if tank := all.Stores[0]; tank.Event != Normal || tank.High != 8*bar {
		t.Errorf("the tank before the regulator has %+v, want 8 bar", tank)
	}
}

// A valve open at rest that its own output shuts never comes to rest: the oscillator of pneumatic logic (from memory).
func TestOscillator(t *testing.T) {
	y := Component{Kind: CylinderKind, Cylinder: Cylinder{Acting: Pushing, Rear: boreArea}}
	all := table(t, Network{
		Components: supply(map[string]Component{"flip": valve(Valve{Ways: ThreeTwo, Moved: ByAir, Open: true}), "fork": {Kind: Tee}, "rod": y}),
		Runs:       runs(supplyRuns + "line.2-flip.1 flip.2-fork.1 fork.2-flip.10 fork.3-rod.rear"),
	})
	r := find(t, all, "rod", Normal, "")
	if r.Rear.Status != Unsettled || r.Rear.Low != 0 || r.Rear.High != 6*bar {
		t.Errorf("rear %+v", r.Rear)
	}
}

// TestTogether: all pairs of ends for valves of their own, equal ends on one valve; by hand.
func TestTogether(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo})
	n.Components["second"], n.Components["clamp"], n.Components["fork"] = valve(Valve{Ways: FiveTwo}), cylinder(), Component{Kind: Tee}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-fork.1 fork.2-shift.1 fork.3-second.1 second.4-clamp.rear second.2-clamp.front"))
	c := build(t, n)
	pairs, err := c.Together("lift", "clamp")
	if err != nil {
		t.Fatal(err)
	}
	met := map[[2]float64]bool{}
	for _, p := range pairs {
		met[[2]float64{p.A.From, p.B.From}] = true
	}
	if len(met) != 4 {
		t.Errorf("two valves give %v, want all four pairs of ends", met)
	}
	// With one valve for both, one is out when the other is.
	delete(n.Components, "second")
	n.Components["both"], n.Components["neither"] = Component{Kind: Tee}, Component{Kind: Tee}
	n.Runs = runs(supplyRuns + "line.2-shift.1 shift.4-both.1 both.2-lift.rear both.3-clamp.rear shift.2-neither.1 neither.2-lift.front neither.3-clamp.front")
	delete(n.Components, "fork")
	pairs, err = build(t, n).Together("lift", "clamp")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pairs {
		if p.A != p.B {
			t.Errorf("on one valve, at %v and %v", p.A, p.B)
		}
	}
	if _, err := c.Together("lift", "shift"); err == nil {
		t.Error("a valve is taken for a cylinder")
	}
}

// TestThrottles: a flow control turned round throttles the air on its way in and lets it out freely (ISO 1219-1: the check beside the throttle).
func TestThrottles(t *testing.T) {
	for _, c := range []struct {
		way     Throttles
		in, out bool
	}{{From1To2, false, true}, {From2To1, true, false}, {BothWays, true, true}} {
		n := lifter(Valve{Ways: FiveTwo})
		n.Components["raise"] = Component{Kind: FlowControl, Throttles: c.way}
		all := table(t, n)
		in, out := find(t, all, "lift", Normal, "shift=14").Rear, find(t, all, "lift", Normal, "shift=12").Rear
		if in.SupplyThrottled != c.in || out.ExhaustThrottled != c.out {
			t.Errorf("way %v: supply throttled %v, exhaust throttled %v", c.way, in.SupplyThrottled, out.ExhaustThrottled)
		}
	}
}

// TestLeaks: a nozzle behind a throttle leaves a freely fed line its pressure, an open one does not; a line that can empty freely gets none through a
// throttle; between two throttles nothing is certain (common practice, no source).
func TestLeaks(t *testing.T) {
	for _, c := range []struct {
		feed, nozzle Component
		status       Status
		low, high    float64
	}{
		{Component{Kind: Filter}, Component{Kind: ExhaustThrottle}, Supplied, 6 * bar, 6 * bar},
		{Component{Kind: Filter}, valve(Valve{Ways: TwoTwo, Moved: ByHand, Open: true}), Contested, 0, 6 * bar},
		{Component{Kind: FlowControl}, valve(Valve{Ways: TwoTwo, Moved: ByHand, Open: true}), Exhausted, 0, 0},
		{Component{Kind: FlowControl}, Component{Kind: ExhaustThrottle}, Contested, 0, 6 * bar},
	} {
		n := lifter(Valve{Ways: FiveTwo})
		n.Components["feed"], n.Components["nozzle"], n.Components["fork"] = c.feed, c.nozzle, Component{Kind: Tee}
		delete(n.Runs, "line.2-shift.1")
		maps.Copy(n.Runs, runs("line.2-feed.1 feed.2-fork.1 fork.2-nozzle.1 fork.3-shift.1"))
		r := find(t, table(t, n), "lift", ElectricityLost, strings.TrimPrefix(map[bool]string{true: "nozzle=12 "}[c.nozzle.Kind == ValveKind]+"shift=14", " "))
		if r.Front.Status != c.status || r.Front.Low != c.low || r.Front.High != c.high {
			t.Errorf("%v and %v: front %+v, want %v", c.feed.Kind, c.nozzle.Kind, r.Front, c.status)
		}
	}
}

// TestBehindALeak: a check valve behind a line on which air blows off passes no more than the line has.
func TestBehindALeak(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo})
	n.Components["hole"], n.Components["keep"] = Component{Kind: Tee}, Component{Kind: Check}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-hole.1 hole.2-keep.1 keep.2-shift.1"))
	if r := find(t, table(t, n), "lift", Normal, "shift=12"); r.Front.Status != Trapped || r.Front.High != 0 {
		t.Errorf("behind an open pipe: front %+v", r.Front) // what is open for good has no pressure to pass on
	}
	n.Components["valve"], n.Components["out"] = valve(Valve{Ways: TwoTwo, Moved: ByHand, Return: Remembers}), Component{Kind: Silencer}
	maps.Copy(n.Runs, runs("hole.3-valve.1 valve.2-out.1"))
	if r := find(t, table(t, n), "lift", Normal, "shift=12 valve=12"); r.Front.Status != Contested || r.Front.Low != 0 || r.Front.High != 6*bar {
		t.Errorf("behind an open valve: front %+v", r.Front)
	}
}

// TestShutInElsewhere: air that another valve has shut in comes back to an emptied line when that valve opens, though the other valve can neither feed
// nor empty the line and is not judged with it.
func TestShutInElsewhere(t *testing.T) {
	y := Component{Kind: CylinderKind, Cylinder: Cylinder{Acting: Pushing, Rear: boreArea}}
	direct := Valve{Ways: TwoTwo, Pilot: Direct}
	opens := direct
	opens.Open = true
	c := build(t, Network{
		Components: supply(map[string]Component{"in": valve(direct), "out": valve(direct), "keep": valve(opens), "rod": y, "other": y, "fork": {Kind: Manifold, Ports: 4}, "loud": {Kind: Silencer}}),
		Runs:       runs(supplyRuns + "line.2-in.1 in.2-fork.1 fork.2-out.1 out.2-loud.1 fork.3-keep.1 keep.2-other.rear fork.4-rod.rear"),
	})
	all, err := c.Table()
	if err != nil {
		t.Fatal(err)
	}
	r := find(t, all, "rod", ElectricityLost, "in=10 out=12")
	if r.Rear.Status != Trapped || r.Rear.High != 6*bar {
		t.Errorf("rear %+v, want trapped with up to 6 bar", r.Rear)
	}
}

// TestBleedsElsewhere: a bleed behind another valve, which may or may not lead to it, is not counted on.
func TestBleedsElsewhere(t *testing.T) {
	n := lifter(Valve{Ways: FiveTwo})
	n.Components["shutoff"] = Component{Kind: Isolator}
	n.Components["second"], n.Components["clamp"] = valve(Valve{Ways: FiveTwo, Return: Remembers}), cylinder()
	n.Components["bleed"], n.Components["fork"], n.Components["drain"] = valve(Valve{Ways: TwoTwo, Moved: ByHand, Service: true}), Component{Kind: Tee}, Component{Kind: Tee}
	delete(n.Runs, "line.2-shift.1")
	maps.Copy(n.Runs, runs("line.2-fork.1 fork.2-shift.1 fork.3-second.1 second.4-drain.1 drain.2-clamp.rear drain.3-bleed.1 second.2-clamp.front"))
	all := table(t, n)
	if r := find(t, all, "lift", IsolatedForWork, "shift=12"); r.Front.Status != Trapped || len(r.FrontBleeds) > 0 {
		t.Errorf("front %v, bled by %v", r.Front.Status, r.FrontBleeds)
	}
	if r := find(t, all, "clamp", IsolatedForWork, "second=14"); !slices.Equal(r.RearBleeds, []string{"bleed"}) {
		t.Errorf("rear %v, bled by %v", r.Rear.Status, r.RearBleeds)
	}
}

// TestBackThroughRegulator: common practice, no source: with the line before it let out, a regulator lets its air back, and one with a check keeps it.
func TestBackThroughRegulator(t *testing.T) {
	for keeps, want := range map[bool]Status{false: Exhausted, true: Trapped} {
		n := lifter(Valve{Ways: FiveTwo})
		n.Components["line"] = Component{Kind: Regulator, Pressure: 6 * bar, NoReturn: keeps}
		if r := find(t, table(t, n), "lift", IsolatedForWork, "shift=12"); r.Front.Status != want {
			t.Errorf("with a check %v: front %v, want %v", keeps, r.Front.Status, want)
		}
	}
}

// A relieving regulator lets out what comes in behind it above its setting; one that doesn't relieve leaves it.
func TestRelieving(t *testing.T) {
	for relieving, want := range map[bool]float64{true: 6 * bar, false: 8 * bar} {
		n := lifter(Valve{Ways: FiveTwo})
		n.Components["line"] = Component{Kind: Regulator, Pressure: 6 * bar, Relieving: relieving}
		n.Components["before"], n.Components["behind"], n.Components["bypass"] = Component{Kind: Tee}, Component{Kind: Tee}, Component{Kind: Check}
		n.Runs = maps.Clone(n.Runs)
		for _, r := range []string{"shutoff.2-line.1", "line.2-shift.1"} {
			delete(n.Runs, r)
		}
		maps.Copy(n.Runs, runs("shutoff.2-before.1 before.2-line.1 before.3-bypass.1 bypass.2-behind.1 line.2-behind.2 behind.3-shift.1"))
		if r := find(t, table(t, n), "lift", Normal, "shift=14"); r.Rear.High != want {
			t.Errorf("relieving %v: rear %g Pa, want %g", relieving, r.Rear.High, want)
		}
	}
}
