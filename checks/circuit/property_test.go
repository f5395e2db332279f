package circuit

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// randomNetwork joins ports of random components at random; some ports stay open, some are plugged. With plain, nothing in it is moved by
// pressure or stores air.
func randomNetwork(r *rand.Rand, plain bool) Network {
	for {
		n := Network{Components: map[string]Component{"source": {Kind: Compressor, Pressure: 7 * bar}, "feed": {Kind: Manifold, Ports: 4}}, Runs: map[string]Run{}}
		add := func(part Component) {
			n.Components[fmt.Sprintf("%c%d", "kmpqx"[r.IntN(5)], len(n.Components))] = part
		}
		for range 1 + r.IntN(4) {
			add(valve(randomValve(r, plain)))
		}
		for range 1 + r.IntN(2) {
			y := cylinder(float64(r.IntN(120)-60), float64(r.IntN(120)-60))
			y.Cylinder.Acting = Acting(r.IntN(3))
			add(y)
		}
		others := []Component{{Kind: Tee}, {Kind: Tee}, {Kind: Check}, {Kind: FlowControl, Throttles: Throttles(r.IntN(3))}, {Kind: Isolator, Exhausts: r.IntN(2) == 0}, {Kind: Silencer}, {Kind: ExhaustThrottle}}
		if !plain {
			others = append(others, Component{Kind: Shuttle}, Component{Kind: QuickExhaust}, Component{Kind: PilotCheck}, Component{Kind: Receiver}, Component{Kind: SoftStart},
				Component{Kind: Regulator, Pressure: float64(2+r.IntN(4)) * bar, Relieving: r.IntN(2) == 0, NoReturn: r.IntN(2) == 0},
				Component{Kind: ReliefValve, Pressure: float64(3+r.IntN(3)) * bar})
		}
		for range r.IntN(6) {
			add(others[r.IntN(len(others))])
		}
		var ports []Port
		for _, name := range sortedKeys(n.Components) {
			for _, p := range n.Components[name].ports() {
				ports = append(ports, Port{name, p})
			}
		}
		r.Shuffle(len(ports), func(i, j int) { ports[i], ports[j] = ports[j], ports[i] })
		for i := 0; i+1 < len(ports); i += 2 {
			a, b := ports[i], ports[i+1]
			switch r.IntN(8) {
			case 0: // both stay open
			case 1:
				for _, p := range []Port{a, b} {
					plug := fmt.Sprintf("plug%d", len(n.Components))
					n.Components[plug] = Component{Kind: Plug}
					n.Runs[plug] = Run{p, Port{plug, "1"}}
				}
			default:
				n.Runs[fmt.Sprintf("run%d", i)] = Run{a, b}
			}
		}
		for _, name := range sortedKeys(n.Components) {
			if part := n.Components[name]; part.hasCoil() && r.IntN(2) == 0 {
				n.Stop = append(n.Stop, name)
				if n.Start == nil {
					n.Start = map[string]string{}
				}
				positions := part.Valve.positions()
				n.Start[name] = positions[r.IntN(len(positions))].name
			}
		}
		if _, err := New(n); err == nil {
			return n
		}
	}
}

func randomValve(r *rand.Rand, plain bool) Valve {
	v := Valve{Ways: Ways(r.IntN(4)), Moved: Moved(r.IntN(3)), Return: Return(r.IntN(3)), Centre: Centre(r.IntN(3)), Open: r.IntN(2) == 0, Pilot: Pilot(r.IntN(3))}
	v.Service = v.Moved == ByHand && r.IntN(4) == 0
	if plain {
		v.Service = false
		v.Moved, v.Pilot, v.Return = Moved(r.IntN(2)), Direct, []Return{BySpring, Remembers}[r.IntN(2)]
	}
	return v
}

// key is a row's cylinder, event and state, the state in an order of its own names.
func key(cylinder string, e Event, from []Setting) string {
	from = slices.Clone(from)
	slices.SortFunc(from, func(a, b Setting) int { return strings.Compare(a.Component, b.Component) })
	return fmt.Sprint(cylinder, e, from)
}

// TestDecomposition: judging a cylinder over its own branch gives what all states of the whole circuit give. The whole circuit is every
// component and every net, nothing left out, over all 2^n states.
func TestDecomposition(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	states, smaller := 0, 0
	for round := range 400 {
		n := randomNetwork(r, false)
		c := build(t, n)
		got, err := c.Table()
		if err != nil {
			t.Fatal(err)
		}
		whole := build(t, n)
		for k := range whole.acts {
			whole.acts[k] = true
		}
		var every []int
		for i := range whole.nets {
			every = append(every, i)
		}
		rows := map[string]Row{}
		for _, row := range got.Rows {
			rows[key(row.Cylinder, row.Event, row.From)] = row
		}
		b := whole.branch(every...)
		for i := range whole.comps {
			part := &whole.comps[i]
			if part.Kind != CylinderKind {
				continue
			}
			own := c.Depends(part.name)
			if len(own) < len(b.chosen()) {
				smaller++
			}
			for _, row := range b.rows(nil, part) {
				states++
				var of []Setting
				for _, s := range row.From {
					if slices.Contains(own, s.Component) {
						of = append(of, s)
					}
				}
				k := key(row.Cylinder, row.Event, of)
				if d := cmp.Diff(row.Outcome, rows[k].Outcome); d != "" {
					t.Fatalf("round %d, %s, whole state %v: the whole circuit (-) and the branch (+) differ:\n%s%+v", round, k, row.From, d, n)
				}
			}
		}
	}
	if states < 10000 || smaller < 100 {
		t.Errorf("only %d states compared, only %d branches smaller than the whole", states, smaller)
	}
}

// passages in the words of ISO 1219-1 and ISO 5599, written again for the check below.
var joins = map[Ways]map[string]string{
	TwoTwo:    {"10": "", "12": "1=2"},
	ThreeTwo:  {"10": "2=3", "12": "1=2"},
	FiveTwo:   {"12": "1=2 4=5", "14": "1=4 2=3"},
	FiveThree: {"12": "1=2 4=5", "14": "1=4 2=3"},
}

// TestFloods: in circuits of coils, hand valves, checks and throttles, the state of each chamber is found again by flooding from port to port,
// without nets, edges or branches.
func TestFloods(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	met := map[Status]int{}
	for round := range 400 {
		n := randomNetwork(r, true)
		c := build(t, n)
		got, err := c.Table()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range got.Rows {
			if row.Event != Normal {
				continue
			}
			at := map[string]string{}
			for _, s := range row.From {
				at[s.Component] = s.Position
			}
			for port, condition := range map[string]Condition{"rear": row.Rear, "front": row.Front} {
				p := Port{row.Cylinder, port}
				if !slices.Contains(n.Components[row.Cylinder].ports(), port) {
					continue
				}
				want := flooded(n, at, p)
				met[want]++
				if condition.Status != want {
					t.Fatalf("round %d: %v is %v, by flooding %v, with %v in\n%+v", round, p, condition.Status, want, at, n)
				}
			}
		}
	}
	for _, s := range []Status{Supplied, Exhausted, Trapped, Contested} {
		if met[s] < 20 {
			t.Errorf("only %d chambers are %v", met[s], s)
		}
	}
}

// flooded is the status of a port. at has the valves that its state hangs on: the position of others must not matter, so they stay shut.
func flooded(n Network, at map[string]string, start Port) Status {
	type pair struct {
		a, b      Port
		throttled bool
	}
	var passages []pair
	taken := map[Port]bool{}
	two := func(a, b Port) { passages = append(passages, pair{a, b, false}, pair{b, a, false}) }
	for _, run := range n.Runs {
		two(run.A, run.B)
		taken[run.A], taken[run.B] = true, true
	}
	open, source := map[Port]bool{}, map[Port]bool{}
	for name, part := range n.Components {
		port := func(p string) Port { return Port{name, p} }
		for _, p := range part.ports() {
			open[port(p)] = !taken[port(p)] && part.Kind != Plug
		}
		switch part.Kind {
		case Compressor:
			source[port("1")] = true
		case Tee, Manifold:
			for _, p := range part.ports() {
				two(port("1"), port(p))
			}
		case Check:
			passages = append(passages, pair{port("1"), port("2"), false})
		case FlowControl:
			passages = append(passages, pair{port("1"), port("2"), part.Throttles != From2To1}, pair{port("2"), port("1"), part.Throttles != From1To2})
		case Isolator:
			two(port("1"), port("2"))
		case Silencer, ExhaustThrottle:
			open[port("1")] = true
		case ValveKind:
			joined := joins[part.Valve.Ways][at[name]]
			if at[name] == "centre" {
				joined = []string{"", "4=5 2=3", "1=4 1=2"}[part.Valve.Centre]
			}
			for _, j := range strings.Fields(joined) {
				a, b, _ := strings.Cut(j, "=")
				two(port(a), port(b))
			}
		}
	}
	// What is open for good is empty, with all that is always joined to it, and passes nothing on.
	empty := map[Port]bool{}
	for p, is := range open {
		if is && n.Components[p.Component].Kind != ExhaustThrottle {
			empty[p] = true
		}
	}
	for range n.Runs {
		for _, x := range passages {
			joint := x.a.Component != x.b.Component || slices.Contains([]Kind{Tee, Manifold}, n.Components[x.a.Component].Kind)
			if joint && empty[x.a] {
				empty[x.b] = true
			}
		}
	}
	// flood tells whether a way leads from a port to one that is sought. It does not go on through what stops it.
	flood := func(from Port, forward, freeOnly bool, sought, stops func(Port) bool) bool {
		seen := map[Port]bool{from: true}
		for grown := true; grown; {
			grown = false
			for _, x := range passages {
				a, b := x.a, x.b
				if !forward {
					a, b = b, a
				}
				if seen[a] && !seen[b] && !stops(b) && !(freeOnly && x.throttled) {
					seen[b], grown = true, true
				}
			}
		}
		for p := range seen {
			if sought(p) {
				return true
			}
		}
		return false
	}
	isEmpty := func(p Port) bool { return empty[p] }
	isSource := func(p Port) bool { return source[p] }
	isOpen := func(p Port) bool { return open[p] }
	nowhere := func(Port) bool { return false }
	comesFreely := once(func(p Port) bool { return flood(p, false, true, isSource, isEmpty) })
	leavesFreely := once(func(p Port) bool { return flood(p, true, true, isEmpty, nowhere) })
	// What is fed freely holds against a throttled way out; what is emptied freely stays empty before a throttled way in. Neither is sure by a way
	// on which air blows freely.
	blows := func(p Port) bool { return comesFreely(p) && leavesFreely(p) && !empty[p] }
	stopped := func(p Port) bool { return empty[p] || blows(p) }
	holds := once(func(p Port) bool { return !leavesFreely(p) && flood(p, false, true, isSource, stopped) })
	drained := once(func(p Port) bool { return empty[p] || !comesFreely(p) && flood(p, true, true, isEmpty, blows) })
	contested := once(func(p Port) bool {
		return !drained(p) && !holds(p) && flood(p, true, false, isOpen, holds) && flood(p, false, false, isSource, drained)
	})
	leaves := !holds(start) && flood(start, true, false, isOpen, holds)
	comes := flood(start, false, false, isSource, drained)
	switch {
	case drained(start):
		return Exhausted
	case contested(start):
		return Contested
	case leaves:
		return Exhausted
	case comes && !flood(start, false, false, isSource, func(p Port) bool { return drained(p) || contested(p) }):
		return Contested
	case comes:
		return Supplied
	}
	return Trapped
}

// once remembers what is asked of a port.
func once(is func(Port) bool) func(Port) bool {
	known := map[Port]bool{}
	return func(p Port) bool {
		if _, ok := known[p]; !ok {
			known[p] = is(p)
		}
		return known[p]
	}
}

// TestNames: other names in another order change nothing but the names, and the order of what is named.
func TestNames(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		n := randomNetwork(r, false)
		old := map[string]string{}
		renamed := Network{Components: map[string]Component{}, Runs: map[string]Run{}, Start: map[string]string{}}
		names := sortedKeys(n.Components)
		to := map[string]string{}
		for i, k := range r.Perm(len(names)) {
			to[names[i]] = fmt.Sprintf("n%03d", k)
			old[to[names[i]]] = names[i]
			renamed.Components[to[names[i]]] = n.Components[names[i]]
		}
		for name, run := range n.Runs {
			renamed.Runs[fmt.Sprint(r.Int64(), name)] = Run{Port{to[run.B.Component], run.B.Name}, Port{to[run.A.Component], run.A.Name}}
		}
		for _, name := range n.Stop {
			renamed.Stop = append(renamed.Stop, to[name])
		}
		for name, p := range n.Start {
			renamed.Start[to[name]] = p
		}
		compare(t, n, renamed, func(name string) string { return old[name] })
	}
}

// TestTeesAndRuns: a tee with a plug, or a filter, in the middle of a run changes nothing.
func TestTeesAndRuns(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		n := randomNetwork(r, false)
		more := Network{Components: maps.Clone(n.Components), Runs: map[string]Run{}, Stop: n.Stop, Start: n.Start}
		for name, run := range n.Runs {
			switch r.IntN(3) {
			case 0:
				more.Runs[name] = run
			case 1:
				more.Components["tee"+name], more.Components["end"+name] = Component{Kind: Tee}, Component{Kind: Plug}
				more.Runs[name+"a"], more.Runs[name+"b"] = Run{run.A, Port{"tee" + name, "2"}}, Run{Port{"tee" + name, "3"}, run.B}
				more.Runs[name+"c"] = Run{Port{"tee" + name, "1"}, Port{"end" + name, "1"}}
			case 2:
				more.Components["clean"+name] = Component{Kind: Filter}
				more.Runs[name+"a"], more.Runs[name+"b"] = Run{run.A, Port{"clean" + name, "2"}}, Run{Port{"clean" + name, "1"}, run.B}
			}
		}
		compare(t, n, more, func(name string) string { return name })
	}
}

// compare judges two circuits whose names differ.
func compare(t *testing.T, one, two Network, old func(string) string) {
	t.Helper()
	settings := func(s []Setting, name func(string) string) []Setting {
		var all []Setting
		for _, x := range s {
			all = append(all, Setting{name(x.Component), x.Position})
		}
		slices.SortFunc(all, func(a, b Setting) int { return strings.Compare(a.Component, b.Component) })
		return all
	}
	list := func(s []string, name func(string) string) []string {
		var all []string
		for _, x := range s {
			all = append(all, name(x))
		}
		slices.Sort(all)
		return all
	}
	read := func(n Network, name func(string) string) map[string]Row {
		rows := map[string]Row{}
		for _, row := range table(t, n).Rows {
			row.Cylinder = name(row.Cylinder)
			row.From, row.At = settings(row.From, name), settings(row.At, name)
			row.RearBleeds, row.FrontBleeds = list(row.RearBleeds, name), list(row.FrontBleeds, name)
			for _, c := range []*Condition{&row.Rear, &row.Front} {
				c.Supply, c.Exhaust = list(c.Supply, name), list(c.Exhaust, name)
			}
			rows[key(row.Cylinder, row.Event, row.From)] = row
		}
		return rows
	}
	a, b := read(one, func(n string) string { return n }), read(two, old)
	if !reflect.DeepEqual(a, b) {
		t.Fatalf("%s\n%+v\n%+v", cmp.Diff(a, b), one, two)
	}
}
