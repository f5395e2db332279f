package drawing

import (
	"fmt"
	"slices"
	"strings"

	"trammel.example/schema"
)

// A diagram lays a circuit out: rows of symbols from the supply upwards to the cylinders, and tubes between them that run square.
type diagram struct {
	m    *schema.Machine
	id   string
	at   map[string]string    // positions of valves that are not at rest
	hung map[string][]hanging // by the part that they hang on
	layout
}

// A hanging is a part that ends a way, drawn at the port that it is fitted to.
type hanging struct {
	port string
	part string
}

// Circuit draws the air's way with the symbols of ISO 1219-1. In a state, says tells of it, and the boxes of the valves are shifted to the
// positions that they have in it; without positions it is at rest. False without parts that could stand in it.
func Circuit(m *schema.Machine, id, says string, positions map[string]string) (Picture, bool) {
	d := newDiagram(m, id, positions)
	d.join()
	d.rank()
	if len(d.nodes) == 0 {
		return Picture{}, false
	}
	d.symbols()
	d.order()
	d.route()
	return d.draw("Pneumatic circuit, symbols of ISO 1219-1: " + says + ". Thick lines are joined to the supply."), true
}

func newDiagram(m *schema.Machine, id string, positions map[string]string) *diagram {
	return &diagram{m: m, id: id, at: positions, hung: map[string][]hanging{}, layout: layout{nodes: map[string]*node{}, besides: 30, rowGap: 34, top: 34, passes: 4}}
}

func split(port string) (part, name string) {
	part, name, _ = strings.Cut(port, ".")
	return part, name
}

// ends reports whether a part only ends a way: it hangs on what it is fitted to.
func (d *diagram) ends(part string) bool {
	switch d.m.Air.Parts[part].Kind.Value {
	case "silencer", "plug", "gauge", "relief valve":
		return true
	case "flow control":
		return d.runsAt(part) == 1
	}
	return false
}

func (d *diagram) runsAt(part string) (n int) {
	for _, r := range d.m.Air.Runs {
		for _, end := range []string{r.From.Value, r.To.Value} {
			if of, _ := split(end); of == part {
				n++
			}
		}
	}
	return n
}

// join makes the tubes, and hangs what ends a way.
func (d *diagram) join() {
	for _, name := range keys(d.m.Air.Runs) {
		r := d.m.Air.Runs[name]
		t := &tube{run: name}
		t.a, t.portA = split(r.From.Value)
		t.b, t.portB = split(r.To.Value)
		switch {
		case d.ends(t.b) && !d.ends(t.a):
			d.hung[t.a] = append(d.hung[t.a], hanging{t.portA, t.b})
		case d.ends(t.a) && !d.ends(t.b):
			d.hung[t.b] = append(d.hung[t.b], hanging{t.portB, t.a})
		default:
			d.tubes = append(d.tubes, t)
		}
	}
}

// rank puts each part in a row: above all that it gets its air from.
func (d *diagram) rank() {
	var all []string
	for _, t := range d.tubes {
		for _, part := range []string{t.a, t.b} {
			if d.nodes[part] == nil {
				d.nodes[part] = &node{name: part, ports: map[string]connection{}}
				all = append(all, part)
			}
		}
	}
	for _, part := range append(keys(d.m.Air.Parts), keys(d.m.Cylinders)...) {
		if d.nodes[part] == nil && !d.ends(part) {
			d.nodes[part] = &node{name: part, ports: map[string]connection{}}
			all = append(all, part)
		}
	}
	slices.Sort(all)
	// How many tubes the air has passed: first from compressors, then from what no compressor reaches.
	far := map[string]int{}
	var queue []string
	spread := func() {
		for len(queue) > 0 {
			part := queue[0]
			queue = queue[1:]
			for _, t := range d.tubes {
				for _, ends := range [][2]string{{t.a, t.b}, {t.b, t.a}} {
					if ends[0] != part {
						continue
					}
					if _, known := far[ends[1]]; !known {
						far[ends[1]] = far[part] + 1
						queue = append(queue, ends[1])
					}
				}
			}
		}
	}
	for _, part := range all {
		if d.m.Air.Parts[part].Kind.Value == "compressor" {
			far[part] = 0
			queue = append(queue, part)
		}
	}
	spread()
	for _, part := range all {
		if _, known := far[part]; !known {
			far[part] = 0
			queue = append(queue, part)
			spread()
		}
	}
	slices.SortStableFunc(all, func(a, b string) int { return far[a] - far[b] })
	at := map[string]int{}
	for i, part := range all {
		at[part] = i
	}
	for _, t := range d.tubes {
		if at[t.a] > at[t.b] {
			t.a, t.b, t.portA, t.portB = t.b, t.a, t.portB, t.portA
		}
	}
	for _, part := range all {
		for _, t := range d.tubes {
			if t.a == part && t.b != part {
				d.nodes[t.b].row = max(d.nodes[t.b].row, d.nodes[part].row+1)
			}
		}
	}
}

func (d *diagram) draw(title string) Picture {
	width := d.width + 24
	if d.lanes > 0 {
		width = d.laneAt(d.lanes) + 10
	}
	width = max(width, 300)
	p := &pen{}
	var says []string
	for _, t := range d.tubes {
		says = append(says, fmt.Sprintf("%s.%s to %s.%s", t.a, t.portA, t.b, t.portB))
	}
	for _, part := range keys(d.hung) {
		for _, h := range d.hung[part] {
			says = append(says, fmt.Sprintf("%s on %s.%s", h.part, part, h.port))
		}
	}
	p.begin(d.id, title, "Joined, from the supply to the cylinders: "+strings.Join(says, "; ")+".", width, d.height)
	fed := d.fed()
	for _, t := range d.tubes {
		class := "thin"
		if fed[t.run] {
			class = "fed"
		}
		p.path(class, false, d.wayOf(t)...)
	}
	for _, name := range keys(d.nodes) {
		n := d.nodes[name]
		p.open("g", "data-part", name)
		n.paint(p, n.x, n.y)
		for _, port := range keys(n.ports) {
			d.portName(p, n, port)
		}
		for _, h := range d.hung[name] {
			d.hang(p, n, h)
		}
		p.close("g")
	}
	return Picture{d.id, title, p.end()}
}

// fed are the tubes that ways through the parts join to a compressor, by their runs.
func (d *diagram) fed() map[string]bool {
	reached := map[[2]string]bool{} // part and port
	var queue [][2]string
	reach := func(part, port string) {
		if at := [2]string{part, port}; !reached[at] {
			reached[at] = true
			queue = append(queue, at)
		}
	}
	for _, name := range keys(d.m.Air.Parts) {
		if d.m.Air.Parts[name].Kind.Value == "compressor" {
			reach(name, "1")
		}
	}
	fed := map[string]bool{}
	for len(queue) > 0 {
		part, port := queue[0][0], queue[0][1]
		queue = queue[1:]
		for _, t := range d.tubes {
			switch {
			case t.a == part && t.portA == port:
				fed[t.run] = true
				reach(t.b, t.portB)
			case t.b == part && t.portB == port:
				fed[t.run] = true
				reach(t.a, t.portA)
			}
		}
		for _, other := range d.through(part, port) {
			reach(part, other)
		}
	}
	return fed
}

// through are the ports of a part that air from one of them comes to.
func (d *diagram) through(part, port string) []string {
	air := d.m.Air.Parts[part]
	switch air.Kind.Value {
	case "filter", "dryer", "lubricator", "regulator", "flow control", "soft start", "isolator":
		if port == "1" {
			return []string{"2"}
		}
		if port == "2" {
			return []string{"1"}
		}
	case "quick exhaust", "check valve", "pilot-operated check valve", "shuttle valve":
		if port == "1" || port == "3" && air.Kind.Value == "shuttle valve" {
			return []string{"2"}
		}
	case "manifold", "receiver":
		return keys(d.nodes[part].ports)
	case "valve":
		boxes, names, rest := positions(air)
		var joined []string
		for _, w := range boxes[d.box(part, names, rest)] {
			if w.to != "" && w.from == port {
				joined = append(joined, w.to)
			} else if w.to == port {
				joined = append(joined, w.from)
			}
		}
		return joined
	}
	return nil
}

// AtRest reports whether no valve of a circuit has left its rest in a state.
func AtRest(m *schema.Machine, at map[string]string) bool {
	for name, part := range m.Air.Parts {
		if part.Kind.Value != "valve" {
			continue
		}
		_, names, rest := positions(part)
		if p, ok := at[name]; ok && p != names[rest] {
			return false
		}
	}
	return true
}

// box is which of a valve's boxes its tubes come to.
func (d *diagram) box(part string, names []string, rest int) int {
	if i := slices.Index(names, d.at[part]); i >= 0 {
		return i
	}
	return rest
}

// portName writes a port's number beside it.
func (d *diagram) portName(p *pen, n *node, port string) {
	c := n.ports[port]
	if d.m.Cylinders[n.name].Given() {
		return
	}
	y := n.y + c.y + 10
	if c.way == up {
		y = n.y + c.y - 3
	}
	p.text(n.x+c.x+3, y, "start", "port", port)
}
