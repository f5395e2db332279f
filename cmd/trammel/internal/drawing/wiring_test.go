package drawing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// An odd circuit: a high-side driver and one with a path of its own, two coils on one valve, of which one gets its plus from the other, a
// suppressor diode, a lamp, contacts for a hand and a guard, a controller fed past a joint, a fuse that nothing is joined to.
const oddWiring = `package odd

import "trammel.example/schema"

machines: odd: schema.#Machine & {
	title: "A valve with two coils"
	points: {A: {x: mm: 0, y: mm: 0}, B: {x: mm: 100, y: mm: 0}}
	links: post: {points: ["A", "B"], ground: true}
	air: parts: source: schema.#Compressor & {switches: {on: bar: 7, off: bar: 8}, relief: set: bar: 10, ports: "1": thread: "G1/8", source: "plate"}
	air: runs: a: {from: "source.1", to: "shift.1"}
	air: parts: shift: schema.#Valve & {
		function: "5/2"
		returns:  "nothing"
		coil: {volts: V: 24, watts: W: 4}
		ports: {for p in ["1", "2", "3", "4", "5"] {(p): thread: "G1/8"}}
		source: "invented"
	}
	wiring: {
		supply: {volts: V: 24, current: A: 2}
		fuses: {main: current: A: 1, spare: current: A: 1}
		contacts: {door: {opens: "guard", current: A: 2}, bench: {opens: "hand", current: A: 2}}
		drivers: {up: {side: "high", current: A: 1, blocks: V: 60}, low: {side: "low", current: A: 1, blocks: V: 60, suppressed: true}}
		controllers: brain: {outputs: {a: {current: mA: 10, atReset: "low"}, b: {current: mA: 10, atReset: "low"}}, draws: mA: 50}
		diodes: fast: {current: A: 1, blocks: V: 60, clamps: V: 24}
		loads: lamp: draws: A: 0.1
		joints: ["minus", "other minus"]
		wires: {
			a: {from: "supply.+", to: "main.1", length: m: 1, area: mm2: 0.5}
			b: {from: "door.1", to: "main.2", length: m: 1, area: mm2: 0.5}
			c: {from: "door.2", to: "bench.2", length: m: 1, area: mm2: 0.5}
			d: {from: "bench.1", to: "up.common", length: m: 1, area: mm2: 0.5}
			e: {from: "up.out", to: "shift.14+", length: m: 1, area: mm2: 0.5}
			f: {from: "shift.14+", to: "shift.12-", length: m: 1, area: mm2: 0.5}
			g: {from: "shift.14-", to: "minus", length: m: 1, area: mm2: 0.5}
			h: {from: "shift.12+", to: "low.out", length: m: 1, area: mm2: 0.5}
			i: {from: "low.common", to: "minus", length: m: 1, area: mm2: 0.5}
			j: {from: "minus", to: "other minus", length: m: 1, area: mm2: 0.5}
			k: {from: "other minus", to: "supply.-", length: m: 1, area: mm2: 0.5}
			l: {from: "brain.+", to: "main.2", length: m: 1, area: mm2: 0.5}
			m: {from: "brain.-", to: "other minus", length: m: 1, area: mm2: 0.5}
			n: {from: "brain.a", to: "up.in", length: m: 1, area: mm2: 0.25}
			o: {from: "brain.b", to: "low.in", length: m: 1, area: mm2: 0.25}
			p: {from: "fast.A", to: "shift.14-", length: m: 1, area: mm2: 0.5}
			q: {from: "fast.K", to: "shift.14+", length: m: 1, area: mm2: 0.5}
			r: {from: "lamp.+", to: "main.2", length: m: 1, area: mm2: 0.5}
			s: {from: "lamp.-", to: "minus", length: m: 1, area: mm2: 0.5}
		}
	}
}
`

func wired(t *testing.T) map[string]*schema.Machine {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "odd.cue"), []byte(oddWiring), 0o600); err != nil {
		t.Fatal(err)
	}
	all := map[string]*schema.Machine{"odd": load(t, dir, ".")}
	for name, m := range examples(t) {
		if m.Wiring.Given() {
			all[name] = m
		}
	}
	if len(all) < 4 {
		t.Fatalf("only %d machines have a wiring", len(all))
	}
	return all
}

// TestWiresRunSquare demands of the wiring what runSquare does, and that every wire is drawn from its one terminal to its other.
func TestWiresRunSquare(t *testing.T) {
	for name, m := range wired(t) {
		d := layWiring(m, "m", checks.CoilCircuitOf(m))
		runSquare(t, name, &d.layout)
		drawn := map[string]map[string]bool{}
		for _, tube := range d.tubes {
			for _, end := range [][2]string{{tube.a, tube.portA}, {tube.b, tube.portB}} {
				if drawn[tube.run] == nil {
					drawn[tube.run] = map[string]bool{}
				}
				n := d.nodes[end[0]]
				if _, has := n.ports[end[1]]; !has {
					t.Errorf("%s: %s ends at %s, which has no %s", name, tube.run, end[0], end[1])
				}
				if n.joined {
					end[1] = n.name
				}
				if !n.wire {
					drawn[tube.run][end[1]] = true
				}
			}
		}
		for wire, w := range m.Wiring.Wires {
			if !drawn[wire][w.From.Value] || !drawn[wire][w.To.Value] || len(drawn[wire]) != 2 {
				t.Errorf("%s: %s is drawn between %v", name, wire, drawn[wire])
			}
		}
	}
}

// TestCurrentFlowsDown: what carries a current is drawn from a higher voltage above to a lower one below (IEC 61082-1, from memory: from the
// top down), and the symbols of one machine are all there.
func TestCurrentFlowsDown(t *testing.T) {
	for name, m := range wired(t) {
		solved := checks.CoilCircuitOf(m)
		d := layWiring(m, "m", solved)
		for wire, w := range m.Wiring.Wires {
			from, to := d.holder(w.From.Value), d.holder(w.To.Value)
			drop := solved.Volts[w.From.Value] - solved.Volts[w.To.Value]
			if math.Abs(drop) > 1e-6 && from.row != to.row && (drop > 0) != (from.y < to.y) {
				t.Errorf("%s: %s carries its current up: %g V, %g to %g px", name, wire, drop, from.y, to.y)
			}
		}
		w := m.Wiring
		want := 2 + len(w.Fuses) + len(w.Contacts) + len(w.Drivers) + len(w.Controllers) + len(w.Diodes) + len(w.Loads) + len(w.Joints) + len(m.CoilsOf())
		p, ok := Wiring(m, "m")
		if got := strings.Count(p.SVG, "<g data-part="); !ok || got != want {
			t.Errorf("%s: %d symbols, want %d", name, got, want)
		}
	}
}

// TestWiresAreMarked: each wire's number is in the picture once, and its current beside it where there is room.
func TestWiresAreMarked(t *testing.T) {
	for name, m := range wired(t) {
		p, _ := Wiring(m, "m")
		root := read(t, p)
		numbers := map[string]int{}
		currents := 0
		root.each(func(e element) {
			if strings.HasPrefix(e.attr("class"), "flow") {
				number, _, current := strings.Cut(e.Text, ": ")
				numbers[number]++
				if current {
					currents++
				}
			}
		})
		for i := range len(m.Wiring.Wires) {
			if n := numbers[fmt.Sprint(i+1)]; n != 1 {
				t.Errorf("%s: wire %d is marked %d times", name, i+1, n)
			}
		}
		if currents < len(m.Wiring.Wires)/2 {
			t.Errorf("%s: only %d of %d wires have their current", name, currents, len(m.Wiring.Wires))
		}
	}
	if _, ok := Wiring(&schema.Machine{}, "m"); ok {
		t.Error("a machine without wiring has a picture of it")
	}
}

// TestElectricSymbols lists what each symbol must show. Source: IEC 60617 (from memory): the descriptions of the symbols, counted here in the
// shapes that are drawn.
func TestElectricSymbols(t *testing.T) {
	p, _ := Wiring(wired(t)["odd"], "m")
	root := read(t, p)
	type shapes struct {
		element, class string
		n              int
	}
	for _, c := range []struct {
		says, part string
		must       []shapes
	}{
		{"terminal: a circle", "supply.+", []shapes{{"circle", "void", 1}}},
		{"fuse: an oblong with the line through it", "main", []shapes{{"rect", "void", 1}, {"line", "thin", 1}}},
		{"break contact: a moving stroke that lies on a fixed one, and a dashed line to the roller that opens it", "door", []shapes{{"line", "line", 4}, {"line", "thin", 1}, {"circle", "line", 1}}},
		{"the same, opened by hand: a stroke across the end of the dashed line", "bench", []shapes{{"line", "line", 5}, {"line", "thin", 1}}},
		{"operating device: an oblong, with a stroke across", "shift.14", []shapes{{"rect", "void", 1}, {"line", "thin", 3}}},
		{"transistor, NPN: a base, two strokes from it, and on the emitter's an arrow", "low", []shapes{{"line", "line", 1}, {"path", "full", 1}, {"line", "thin", 4}, {"path", "thin", 1}}},
		{"Zener diode: a triangle on the line, and a bar at its tip with a hook at each end", "fast", []shapes{{"path", "void", 1}, {"path", "line", 1}, {"line", "thin", 1}}},
		{"joint: a dot for each of the wires g, i, j and s", "minus", []shapes{{"circle", "full", 4}}},
	} {
		s := symbol(t, root, c.part)
		for _, m := range c.must {
			if got := s.count(m.element, m.class); got != m.n {
				t.Errorf("%s: %s has %d %s of class %s, want %d", c.says, c.part, got, m.element, m.class, m.n)
			}
		}
	}
	// The triangle's tip, its third corner, points the way that the current may go: from A, at the coil's lower end, up to K.
	var corners [6]float64
	for _, e := range symbol(t, root, "fast").Children {
		if e.attr("class") == "void" {
			if _, err := fmt.Sscanf(strings.NewReplacer("M", "", "L", " ", "Z", "").Replace(e.attr("d")), "%g %g %g %g %g %g", &corners[0], &corners[1], &corners[2], &corners[3], &corners[4], &corners[5]); err != nil {
				t.Fatal(err)
			}
		}
	}
	if !(corners[5] < corners[1]) || corners[1] != corners[3] {
		t.Errorf("the diode points down: %v", corners)
	}
}

// TestAnyWiringIsDrawn joins terminals as chance has it: whatever comes of that, it is drawn, once each, in the picture, and in the end.
func TestAnyWiringIsDrawn(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	m := wired(t)["odd"]
	var terminals []string
	for _, of := range keys(m.Terminals()) {
		terminals = append(terminals, m.Terminals()[of]...)
	}
	for round := range 100 {
		m.Wiring.Wires = map[string]schema.Wire{}
		for i := range 1 + random.IntN(40) {
			var w schema.Wire
			w.Origin = schema.Origin{Path: "w"}
			w.From, w.To = text(terminals[random.IntN(len(terminals))]), text(terminals[random.IntN(len(terminals))])
			w.Length.SI, w.Area.SI = 1, 0.5e-6
			m.Wiring.Wires[fmt.Sprintf("w%02d", i)] = w
		}
		p, ok := Wiring(m, "m")
		if !ok {
			t.Fatalf("round %d is not drawn", round)
		}
		root := read(t, p)
		if bad := useful.FindString(p.SVG); bad != "" {
			t.Fatalf("round %d has %s in it", round, bad)
		}
		joined := 0
		for _, w := range m.Wiring.Wires {
			if a, b := thing(m, w.From.Value), thing(m, w.To.Value); a != b {
				joined++
			}
		}
		marks := 0
		root.each(func(e element) {
			if strings.HasPrefix(e.attr("class"), "flow") {
				marks++
			}
		})
		if marks != joined {
			t.Errorf("round %d: %d of %d wires are marked", round, marks, joined)
		}
	}
}

// thing is what a terminal is on.
func thing(m *schema.Machine, terminal string) string {
	for _, c := range m.CoilsOf() {
		if terminal == c.Plus || terminal == c.Minus {
			return c.Name
		}
	}
	if strings.HasPrefix(terminal, "supply.") {
		return terminal
	}
	part, _ := split(terminal)
	return part
}
