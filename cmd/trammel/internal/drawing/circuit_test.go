package drawing

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// symbol is the part of a picture that shows one part of the circuit.
func symbol(t *testing.T, root element, part string) element {
	t.Helper()
	var found *element
	root.each(func(e element) {
		if e.attr("data-part") == part {
			found = &e
		}
	})
	if found == nil {
		t.Fatalf("%s is not drawn", part)
	}
	return *found
}

func text(value string) schema.Text {
	return schema.Text{Origin: schema.Origin{Path: value}, Value: value}
}

func flag(value bool) schema.Flag {
	return schema.Flag{Origin: schema.Origin{Path: "flag"}, Value: value}
}

// circuit makes a machine of parts and runs, as "a.1 b.2".
func circuit(parts map[string]schema.AirPart, cylinders map[string]schema.Cylinder, runs ...string) *schema.Machine {
	m := &schema.Machine{Name: "m", Cylinders: cylinders, Air: schema.Air{Origin: schema.Origin{Path: "air"}, Parts: parts, Runs: map[string]schema.Run{}}}
	for _, r := range runs {
		from, to, _ := strings.Cut(r, " ")
		m.Air.Runs[r] = schema.Run{From: text(from), To: text(to)}
	}
	return m
}

func ofKind(kind string) schema.AirPart {
	return schema.AirPart{Origin: schema.Origin{Path: kind}, Kind: text(kind)}
}

// TestSymbols lists what each symbol must show. Source: ISO 1219-1:2012, graphic symbols, clause 6 to 8 (from memory): the descriptions of
// the symbols, counted here in the shapes that are drawn.
func TestSymbols(t *testing.T) {
	valve := func(function, moved, returns, rest, centre string) schema.AirPart {
		p := ofKind("valve")
		p.Function, p.Moved, p.Returns, p.Rest, p.Centre = text(function), text(moved), text(returns), text(rest), text(centre)
		return p
	}
	oneWay := ofKind("flow control")
	oneWay.Throttles.Enters = text("1")
	relieving := ofKind("regulator")
	relieving.Relieving = flag(true)
	exhausting := ofKind("isolator")
	exhausting.Exhausts = flag(true)
	receiver := ofKind("receiver")
	receiver.Ports = map[string]schema.Port{"1": {}, "2": {}}
	type shapes struct {
		element, class string
		n              int
	}
	for _, c := range []struct {
		name string
		part schema.AirPart
		runs []string // besides "source.1 x.1"
		more map[string]schema.AirPart
		must []shapes
	}{
		{"compressor: a circle with a hollow triangle that points outwards", ofKind("filter"), nil, nil, nil},
		{"receiver: an oblong with round ends", receiver, nil, nil, []shapes{{"rect", "void", 1}}},
		{"filter: a square on its corner, with a dashed line across the flow", ofKind("filter"), nil, nil, []shapes{{"path", "void", 1}, {"line", "thin", 1}}},
		{"dryer: a square on its corner, with a line on either side of the flow", ofKind("dryer"), nil, nil, []shapes{{"path", "void", 1}, {"line", "dryer", 2}}},
		{"lubricator: a square on its corner, with a short line into it from the corner beside the flow", ofKind("lubricator"), nil, nil, []shapes{{"path", "void", 1}, {"line", "oil", 1}}},
		{"check valve: a ball in a seat, without a frame", ofKind("check valve"), nil, nil, []shapes{{"circle", "ball", 1}, {"path", "seat", 1}, {"rect", "void", 0}}},
		{"pilot-operated check valve: in one frame a ball in a seat and the dashed line of its pilot", ofKind("pilot-operated check valve"), nil, nil,
			[]shapes{{"circle", "ball", 1}, {"path", "seat", 1}, {"path", "pilot", 1}, {"rect", "void", 1}}},
		{"shuttle valve: in one frame a ball between two seats, an inlet behind each", ofKind("shuttle valve"), nil, nil,
			[]shapes{{"circle", "ball", 1}, {"path", "seat", 2}, {"rect", "void", 1}, {"path", "thin", 4}}},
		{"pressure regulator: a square with an arrow, an adjustable spring, the outlet as pilot", ofKind("regulator"), nil, nil, []shapes{{"rect", "void", 1}, {"path", "full", 2}, {"path", "thin", 2}, {"path", "void", 0}}},
		{"the same, relieving: with an exhaust triangle", relieving, nil, nil, []shapes{{"path", "void", 1}}},
		{"one-way flow control: an adjustable throttle beside a check valve, in one frame", oneWay, []string{"x.2 last.1"}, map[string]schema.AirPart{"last": ofKind("filter")},
			[]shapes{{"rect", "void", 1}, {"path", "throttle", 1}, {"path", "full", 1}, {"circle", "ball", 1}, {"path", "seat", 1}}},
		{"shut-off valve, open in service: two boxes, a hand control, a catch", ofKind("isolator"), nil, nil, []shapes{{"rect", "void", 2}, {"line", "hand", 1}, {"path", "detent", 1}, {"path", "full", 1}}},
		{"the same with exhaust: 2 to 3 when it is shut", exhausting, nil, nil, []shapes{{"rect", "void", 2}, {"path", "full", 2}, {"path", "void", 1}}},
		{"quick exhaust: two seats and one body between them", ofKind("quick exhaust"), nil, nil, []shapes{{"circle", "ball", 1}, {"path", "seat", 2}}},
		{"soft start: a throttle in a frame", ofKind("soft start"), nil, nil, []shapes{{"path", "throttle", 1}, {"rect", "void", 1}}},
		{"2/2 valve, shut at rest, solenoid and spring", valve("2/2", "coil", "spring", "shut", ""), nil, nil, []shapes{{"rect", "void", 3}, {"line", "coil", 1}, {"path", "full", 1}}},
		{"3/2 valve, open at rest", valve("3/2", "coil", "spring", "open", ""), nil, nil, []shapes{{"rect", "void", 3}, {"path", "full", 2}}},
		{"5/2 valve, solenoid and spring: two boxes of two arrows and a shut port", valve("5/2", "coil", "spring", "", ""), nil, nil, []shapes{{"rect", "void", 3}, {"line", "coil", 1}, {"path", "full", 4}}},
		{"5/2 valve that stays: a solenoid on either side", valve("5/2", "coil", "nothing", "", ""), nil, nil, []shapes{{"rect", "void", 4}, {"line", "coil", 2}}},
		{"5/2 hand valve that stays: a catch", valve("5/2", "hand", "nothing", "", ""), nil, nil, []shapes{{"line", "hand", 1}, {"path", "detent", 1}, {"line", "coil", 0}}},
		{"5/2 valve moved and returned by air: hollow triangles that point at it", valve("5/2", "air", "air", "", ""), nil, nil, []shapes{{"path", "pilot", 2}}},
		{"5/3 valve, closed centre: three boxes, springs on both sides", valve("5/3", "coil", "spring", "", "closed"), nil, nil, []shapes{{"rect", "void", 5}, {"line", "coil", 2}, {"path", "full", 4}, {"path", "thin", 2}}},
		{"5/3 valve, exhaust centre", valve("5/3", "coil", "spring", "", "exhaust"), nil, nil, []shapes{{"path", "full", 6}}},
		{"5/3 valve, pressure centre", valve("5/3", "coil", "spring", "", "pressure"), nil, nil, []shapes{{"path", "full", 6}}},
		{"silencer: a box with lines across the flow, and the exhaust triangle", valve("3/2", "coil", "spring", "shut", ""), []string{"x.3 end.1"}, map[string]schema.AirPart{"end": ofKind("silencer")}, nil},
	} {
		parts := map[string]schema.AirPart{"source": ofKind("compressor"), "x": c.part}
		maps.Copy(parts, c.more)
		p, ok := Circuit(circuit(parts, nil, append(c.runs, "source.1 x.1")...), "m", "", nil)
		if !ok {
			t.Fatal("no circuit")
		}
		root := read(t, p)
		x := symbol(t, root, "x")
		for _, must := range c.must {
			if n := x.count(must.element, must.class); n != must.n {
				t.Errorf("%s: %d %s of class %s, want %d", c.name, n, must.element, must.class, must.n)
			}
		}
		switch {
		case strings.HasPrefix(c.name, "compressor"):
			source := symbol(t, root, "source")
			if source.count("circle", "void") != 1 || source.count("path", "void") != 1 || source.count("path", "full") != 0 {
				t.Errorf("%s: it is not that", c.name)
			}
		case strings.HasPrefix(c.name, "silencer"):
			end := symbol(t, root, "end")
			if end.count("rect", "void") != 1 || end.count("line", "thin") < 3 || end.count("path", "void") != 1 {
				t.Errorf("%s: it is not that", c.name)
			}
		}
	}
	for _, c := range []struct {
		kind, name string
		must       []shapes
	}{
		{"gauge", "pressure gauge: a circle with a pointer", []shapes{{"circle", "void", 1}, {"path", "full", 1}}},
		{"plug", "plugged port: a cross", []shapes{{"path", "line", 2}}},
		{"relief valve", "relief valve: a square whose arrow lies beside its ports, a spring, the exhaust triangle", []shapes{{"rect", "void", 1}, {"path", "full", 1}, {"path", "thin", 1}, {"path", "void", 1}}},
		{"flow control", "throttle into the open: adjustable, with the exhaust triangle", []shapes{{"path", "throttle", 1}, {"path", "full", 1}, {"path", "void", 1}}},
	} {
		manifold := ofKind("manifold")
		manifold.Ports = map[string]schema.Port{"1": {}, "2": {}}
		p, ok := Circuit(circuit(map[string]schema.AirPart{"source": ofKind("compressor"), "rail": manifold, "end": ofKind(c.kind)}, nil, "source.1 rail.1", "rail.2 end.1"), "m", "", nil)
		if !ok {
			t.Fatal("no circuit")
		}
		end := symbol(t, read(t, p), "end")
		for _, must := range c.must {
			if n := end.count(must.element, must.class); n != must.n {
				t.Errorf("%s: %d %s of class %s, want %d", c.name, n, must.element, must.class, must.n)
			}
		}
	}
	for _, c := range []struct {
		name    string
		acting  string
		ports   []string
		springs int
		joined  string
	}{
		{"double-acting cylinder", "double", []string{"rear", "front"}, 0, "rear"},
		{"single-acting cylinder that air pushes", "single", []string{"rear"}, 1, "rear"},
		{"single-acting cylinder that air pulls", "single", []string{"front"}, 1, "front"},
	} {
		y := schema.Cylinder{Origin: schema.Origin{Path: "y"}, Acting: text(c.acting), Ports: map[string]schema.Port{}}
		for _, port := range c.ports {
			y.Ports[port] = schema.Port{Origin: schema.Origin{Path: port}}
		}
		p, ok := Circuit(circuit(map[string]schema.AirPart{"source": ofKind("compressor")}, map[string]schema.Cylinder{"y": y}, "source.1 y."+c.joined), "m", "", nil)
		if !ok {
			t.Fatal("no circuit")
		}
		shown := symbol(t, read(t, p), "y")
		if rects, springs := shown.count("rect", "void"), shown.count("path", "thin"); rects != 3 || springs != c.springs {
			t.Errorf("%s: %d rectangles for barrel, piston and rod, %d springs, want 3 and %d", c.name, rects, springs, c.springs)
		}
	}
}

// TestPositions holds what the boxes of valves show against what the positions join. Source: ISO 5599-1 and ISO 11727 (from memory): 12
// joins 1 to 2, 14 joins 1 to 4, 10 shuts 1 off, and in a 5/2 the outlet that is not fed is joined to its exhaust, 2 to 3 and 4 to 5.
func TestPositions(t *testing.T) {
	for _, c := range []struct {
		function, rest, centre string
		at                     string
		want                   []passage
	}{
		{"2/2", "shut", "", "10", []passage{{"1", ""}, {"2", ""}}},
		{"2/2", "open", "", "12", []passage{{"1", "2"}}},
		{"3/2", "shut", "", "10", []passage{{"2", "3"}, {"1", ""}}},
		{"3/2", "shut", "", "12", []passage{{"1", "2"}, {"3", ""}}},
		{"5/2", "", "", "12", []passage{{"1", "2"}, {"4", "5"}, {"3", ""}}},
		{"5/2", "", "", "14", []passage{{"1", "4"}, {"2", "3"}, {"5", ""}}},
		{"5/3", "", "closed", "centre", []passage{{"1", ""}, {"2", ""}, {"3", ""}, {"4", ""}, {"5", ""}}},
		{"5/3", "", "exhaust", "centre", []passage{{"4", "5"}, {"2", "3"}, {"1", ""}}},
		{"5/3", "", "pressure", "centre", []passage{{"1", "4"}, {"1", "2"}, {"5", ""}, {"3", ""}}},
	} {
		p := ofKind("valve")
		p.Function, p.Rest, p.Centre = text(c.function), text(c.rest), text(c.centre)
		boxes, names, rest := positions(p)
		i := slices.Index(names, c.at)
		if i < 0 || !slices.Equal(boxes[i], c.want) {
			t.Errorf("%s %s%s at %s: %v in %v", c.function, c.rest, c.centre, c.at, boxes, names)
		}
		// At rest: 12 of a 5/2, the centre of a 5/3, and by `rest` the others.
		if resting := map[string]string{"2/2shut": "10", "2/2open": "12", "3/2shut": "10", "5/2": "12", "5/3": "centre"}[c.function+c.rest]; names[rest] != resting {
			t.Errorf("%s %s rests at %s, want %s", c.function, c.rest, names[rest], resting)
		}
	}
}

// TestFedTubes demands of every state that the solver of the circuit knows that air comes to the end of the cylinder that pushes the rod the
// way it goes, and not to the other.
func TestFedTubes(t *testing.T) {
	compared := 0
	for name, m := range examples(t) {
		for _, s := range checks.CircuitStates(m) {
			cylinder, rest, _ := strings.Cut(s.Says, " ")
			if m.Cylinders[cylinder].Acting.Value != "double" {
				continue
			}
			way := strings.Fields(rest)
			if len(way) < 2 || way[0] != "moves" {
				continue
			}
			d := newDiagram(m, "m", s.Positions)
			d.join()
			d.rank()
			d.symbols()
			fed := d.fed()
			for _, tube := range d.tubes {
				if tube.b != cylinder {
					continue
				}
				compared++
				want := (tube.portB == "rear") == (way[1] == "out")
				if fed[tube.run] != want {
					t.Errorf("%s: %s: the tube to %s.%s is fed: %v", name, s.Says, cylinder, tube.portB, fed[tube.run])
				}
			}
		}
	}
	if compared < 12 {
		t.Errorf("only %d tubes were compared", compared)
	}
}

// TestTubesRunSquare demands of all examples that tubes run square, end at their ports, and lie on no other and on no symbol; that no two
// symbols overlap, and that every run and every part is drawn.
func TestTubesRunSquare(t *testing.T) {
	for name, m := range examples(t) {
		d := newDiagram(m, "m", nil)
		d.join()
		d.rank()
		d.symbols()
		d.order()
		d.route()
		hung := 0
		for _, list := range d.hung {
			hung += len(list)
		}
		if got := len(d.tubes) + hung; got != len(m.Air.Runs) {
			t.Errorf("%s: %d runs are drawn of %d", name, got, len(m.Air.Runs))
		}
		if got := len(d.nodes) + hung; got != len(m.Air.Parts)+len(m.Cylinders) {
			t.Errorf("%s: %d parts are drawn of %d", name, got, len(m.Air.Parts)+len(m.Cylinders))
		}
		runSquare(t, name, &d.layout)
	}
}

// runSquare demands that lines run square, and lie on no symbol, and on no other line that does not end at the same port; and that no two
// symbols overlap.
func runSquare(t *testing.T, name string, l *layout) {
	t.Helper()
	type stretch struct {
		a, b [2]float64
		of   *tube
	}
	var all []stretch
	for _, tube := range l.tubes {
		way := l.wayOf(tube)
		for i := range len(way) - 1 {
			a, b := way[i], way[i+1]
			if math.Abs(a[0]-b[0]) > 0.5 && math.Abs(a[1]-b[1]) > 0.5 {
				t.Errorf("%s: %s runs askew from %v to %v", name, tube.run, a, b)
			}
			all = append(all, stretch{a, b, tube})
		}
	}
	ends := func(t *tube) [][2]string { return [][2]string{{t.a, t.portA}, {t.b, t.portB}} }
	for i, s := range all {
		for _, o := range all[:i] {
			if s.of.run == o.of.run || slices.ContainsFunc(ends(s.of), func(e [2]string) bool { return slices.Contains(ends(o.of), e) }) {
				continue
			}
			for k := range 2 { // both along axis 1-k, in one line, and with some length in common
				inLine := math.Abs(s.a[k]-s.b[k]) < 0.5 && math.Abs(o.a[k]-o.b[k]) < 0.5 && math.Abs(s.a[k]-o.a[k]) < 2
				from, to := max(min(s.a[1-k], s.b[1-k]), min(o.a[1-k], o.b[1-k])), min(max(s.a[1-k], s.b[1-k]), max(o.a[1-k], o.b[1-k]))
				if inLine && to-from > 1 {
					t.Errorf("%s: %s lies on %s", name, s.of.run, o.of.run)
				}
			}
		}
		for part, n := range l.nodes {
			inX := max(min(s.a[0], s.b[0]), n.x-n.halfWidth) < min(max(s.a[0], s.b[0]), n.x+n.halfWidth)
			inY := max(min(s.a[1], s.b[1]), n.y-n.halfHeight+1) < min(max(s.a[1], s.b[1]), n.y+n.halfHeight-1)
			if (inX || s.a[0] == s.b[0] && math.Abs(s.a[0]-n.x) < n.halfWidth) && inY {
				t.Errorf("%s: %s runs through %s", name, s.of.run, part)
			}
		}
	}
	for a, n := range l.nodes {
		for b, o := range l.nodes {
			if a < b && math.Abs(n.y-o.y) < n.halfHeight+o.halfHeight && max(n.x-n.halfWidth, o.x-o.halfWidth) < min(n.x+n.halfWidth+n.writing, o.x+o.halfWidth+o.writing) {
				t.Errorf("%s: %s lies on %s", name, a, b)
			}
		}
	}
}

// TestLoops draws circuits that are odd, and wrong: nothing is lost, and nothing runs on for ever.
func TestLoops(t *testing.T) {
	manifold := ofKind("manifold")
	manifold.Ports = map[string]schema.Port{"1": {}, "2": {}, "3": {}, "4": {}}
	for name, m := range map[string]*schema.Machine{
		"ring":        circuit(map[string]schema.AirPart{"a": manifold, "b": manifold, "c": manifold}, nil, "a.1 b.1", "b.2 c.1", "c.2 a.2"),
		"twice":       circuit(map[string]schema.AirPart{"s": ofKind("compressor"), "a": manifold, "b": manifold}, nil, "s.1 a.1", "a.2 b.1", "a.3 b.2"),
		"to itself":   circuit(map[string]schema.AirPart{"a": manifold}, nil, "a.1 a.2"),
		"two ends":    circuit(map[string]schema.AirPart{"a": ofKind("silencer"), "b": ofKind("plug")}, nil, "a.1 b.1"),
		"alone":       circuit(map[string]schema.AirPart{"a": ofKind("valve")}, nil),
		"common exit": circuit(map[string]schema.AirPart{"s": ofKind("compressor"), "v": func() schema.AirPart { p := ofKind("valve"); p.Function = text("5/2"); return p }(), "a": manifold, "e": ofKind("silencer")}, nil, "s.1 v.1", "v.3 a.1", "v.5 a.2", "a.3 e.1"),
	} {
		p, ok := Circuit(m, "m", "", nil)
		if !ok {
			t.Errorf("%s: no circuit", name)
			continue
		}
		if useful.MatchString(p.SVG) {
			t.Errorf("%s: %s", name, p.SVG)
		}
		root := read(t, p)
		for part := range m.Air.Parts {
			symbol(t, root, part)
		}
	}
}

// TestEveryKindHasASymbol goes through the kinds that a spec can name.
func TestEveryKindHasASymbol(t *testing.T) {
	file, err := schema.Files.ReadFile("air.cue")
	if err != nil {
		t.Fatal(err)
	}
	kinds := regexp.MustCompile(`(?m)^\tkind: +"([^"]+)"`).FindAllStringSubmatch(string(file), -1)
	if len(kinds) < 18 {
		t.Fatalf("only %d kinds were found", len(kinds))
	}
	for _, k := range kinds {
		rail, x := ofKind("manifold"), ofKind(k[1])
		rail.Ports = map[string]schema.Port{"1": {}, "2": {}}
		x.Ports = map[string]schema.Port{"1": {}, "2": {}}
		p, ok := Circuit(circuit(map[string]schema.AirPart{"source": ofKind("compressor"), "rail": rail, "x": x}, nil, "source.1 rail.1", "rail.2 x.1"), "m", "", nil)
		if !ok {
			t.Fatal("no circuit")
		}
		shown := symbol(t, read(t, p), "x")
		shapes := 0
		for _, name := range []string{"rect", "circle", "path", "line"} {
			shapes += shown.count(name)
		}
		if words := shown.count("text", "small") - shown.count("text", "strong"); shapes == 0 || words > 0 {
			t.Errorf("a %s is drawn with %d shapes and %d words", k[1], shapes, words)
		}
	}
}

// TestSeatsPointAtWhereAirComesFrom: ISO 1219-1 (from memory): the ball lies in the opening of its seat, on the side to which the air passes freely, 2.
func TestSeatsPointAtWhereAirComesFrom(t *testing.T) {
	for _, kind := range []string{"check valve", "pilot-operated check valve"} {
		for _, port := range []string{"1", "2"} {
			p, ok := Circuit(circuit(map[string]schema.AirPart{"source": ofKind("compressor"), "x": ofKind(kind)}, nil, "source.1 x."+port), "m", "", nil)
			if !ok {
				t.Fatal("no circuit")
			}
			var ball, point, edge float64
			symbol(t, read(t, p), "x").each(func(e element) {
				switch {
				case strings.Contains(e.attr("class"), "ball"):
					ball, _ = strconv.ParseFloat(e.attr("cy"), 64)
				case strings.Contains(e.attr("class"), "seat"):
					if _, err := fmt.Sscanf(e.attr("d"), "M%f %fL%f %f", new(float64), &edge, new(float64), &point); err != nil {
						t.Fatal(err)
					}
				}
			})
			// Air from the source comes from below, where y is more.
			if below := port == "1"; ball != edge || (point > edge) != below {
				t.Errorf("%s fed at %s: the seat goes from %g to its point at %g, the ball lies at %g", kind, port, edge, point, ball)
			}
		}
	}
}
