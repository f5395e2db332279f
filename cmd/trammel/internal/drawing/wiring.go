package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	apart        = 62.0 // px between wires at a joint
	outputsApart = 46.0 // px between a controller's outputs
	markHigh     = 11.0 // height of what is written beside a wire
	lineHigh     = 12.0 // of what is written beside a symbol
)

// A wiringDiagram lays the coil circuit out: current flows from plus above to minus below.
type wiringDiagram struct {
	m       *schema.Machine
	id      string
	solved  *checks.CoilCircuit
	numbers map[string]int      // of the wires, as the list of wires has them
	uses    map[string][]string // wires at each terminal
	most    float64             // of all currents, A
	layout
}

// Wiring draws the circuit that switches the coils, with symbols after IEC 60617; false for a machine without.
func Wiring(m *schema.Machine, id string) (Picture, bool) {
	solved := checks.CoilCircuitOf(m)
	if solved == nil {
		return Picture{}, false
	}
	d := layWiring(m, id, solved)
	if d == nil {
		return Picture{}, false
	}
	return d.draw(), true
}

// layWiring sets the circuit's symbols and wires in their places; nil where there are none.
func layWiring(m *schema.Machine, id string, solved *checks.CoilCircuit) *wiringDiagram {
	d := &wiringDiagram{m: m, id: id, solved: solved, numbers: map[string]int{}, uses: map[string][]string{}, layout: layout{nodes: map[string]*node{}, besides: 14, rowGap: 40, passes: 12}}
	for i, name := range keys(m.Wiring.Wires) {
		w := m.Wiring.Wires[name]
		d.most = max(d.most, solved.Amps[name])
		d.numbers[name] = i + 1
		for _, end := range []string{w.From.Value, w.To.Value} {
			d.uses[end] = append(d.uses[end], name)
		}
	}
	d.symbols()
	d.join()
	d.rank()
	d.pass()
	if len(d.nodes) == 0 {
		return nil
	}
	d.order()
	d.route()
	return d
}

// class is how a wire is drawn: one that carries next to nothing is thin.
func (d *wiringDiagram) class(wire string) string {
	if d.solved.Amps[wire] > 0.01*d.most {
		return "fed"
	}
	return "thin"
}

// above reports whether a terminal lies higher than another, by their voltages, else as they are written.
func (d *wiringDiagram) above(a, b string) bool {
	va, vb := d.solved.Volts[a], d.solved.Volts[b]
	return !(vb > va+1e-9)
}

// symbols gives everything in the wiring its symbol.
func (d *wiringDiagram) symbols() {
	w := d.m.Wiring
	kind := map[string]string{"dc": "DC", "ac": "AC"}[w.Supply.Kind.Value]
	d.add("supply.+", 5, 5, []string{"+ " + schema.Format(schema.VoltageDim, w.Supply.Volts.SI) + " " + kind, "up to " + schema.Format(schema.CurrentDim, w.Supply.Current.SI)}, terminalSymbol).ports["supply.+"] = connection{0, 5, down}
	d.add("supply.-", 5, 5, []string{"−"}, terminalSymbol).ports["supply.-"] = connection{0, -5, up}
	for _, name := range keys(w.Fuses) {
		f := w.Fuses[name]
		d.through(name, name+".1", name+".2", 8, 16, []string{name, schema.Format(schema.CurrentDim, f.Current.SI)}, fuseSymbol)
	}
	for _, name := range keys(w.Contacts) {
		opens := w.Contacts[name].Opens.Value
		d.through(name, name+".1", name+".2", 12, 16, []string{name, opens + " opens"}, func(p *pen, x, y float64) { contactSymbol(p, x, y, opens) }).left = 14
	}
	for _, name := range keys(w.Drivers) {
		t := w.Drivers[name]
		upper, lower := name+".out", name+".common"
		if t.Side.Value == "high" {
			upper, lower = lower, upper
		}
		n := d.through(name, upper, lower, 20, 20, []string{name, t.Side.Value + " side", d.amps(name)}, driverSymbol)
		n.ports[name+".in"] = connection{-20, -20, up}
	}
	for _, name := range keys(w.Diodes) {
		zener := w.Diodes[name].Clamps.Given()
		says := []string{name}
		if zener {
			says = append(says, schema.Format(schema.VoltageDim, w.Diodes[name].Clamps.SI))
		}
		n := d.through(name, name+".K", name+".A", 12, 16, says, nil)
		up := n.ports[name+".K"].way == up
		n.paint = d.named(n, says, func(p *pen, x, y float64) { diodeSymbol(p, x, y, up, zener) })
	}
	for _, name := range keys(w.Controllers) {
		k := w.Controllers[name]
		outputs := keys(k.Outputs)
		n := d.add(name, max(60, outputsApart*float64(len(outputs)+1)/2), 26, nil, nil)
		n.ports[name+".+"], n.ports[name+".-"] = connection{-n.halfWidth + 14, -26, up}, connection{-n.halfWidth + 14, 26, down}
		for i, o := range outputs {
			n.ports[name+"."+o] = connection{-n.halfWidth + outputsApart*float64(i+1), 26, down}
		}
		says := []string{short(name, 18)}
		if k.Draws.Given() {
			says = append(says, "draws "+schema.Format(schema.CurrentDim, k.Draws.SI))
		}
		n.paint = func(p *pen, x, y float64) {
			p.rect("void", x-n.halfWidth, y-26, 2*n.halfWidth, 52)
			for i, s := range says {
				p.text(x, y-10+12*float64(i), "middle", []string{"small strong", "small"}[i], s)
			}
			p.text(x-n.halfWidth+8, y-17, "start", "port", "+")
			p.text(x-n.halfWidth+8, y+23, "start", "port", "−")
			for i, o := range outputs {
				p.text(x-n.halfWidth+outputsApart*float64(i+1), y+22, "middle", "port", short(o, 9))
			}
		}
	}
	for _, name := range keys(w.Loads) {
		d.through(name, name+".+", name+".-", 14, 16, []string{name, "draws " + schema.Format(schema.CurrentDim, w.Loads[name].Draws.SI)}, func(p *pen, x, y float64) { p.rect("void", x-14, y-16, 28, 32) })
	}
	for _, joint := range w.Joints {
		n := d.add(joint.Value, 5, 1, []string{joint.Value}, nil)
		n.joined = true
		n.paint = func(p *pen, x, y float64) {
			p.line("bar", x-n.halfWidth, y, x+n.halfWidth, y)
			p.text(x+n.halfWidth+5, y+4, "start", "small strong", short(joint.Value, 18))
		}
	}
	for _, c := range d.m.CoilsOf() {
		says := []string{c.Name, "gets no voltage"}
		if v, ok := d.solved.Coils[c.Name]; ok {
			says = []string{c.Name, "cold " + schema.Format(schema.VoltageDim, math.Round(v[0]*100)/100), "warm " + schema.Format(schema.VoltageDim, math.Round(v[1]*100)/100)}
		}
		inside := d.m.Air.Parts[c.Valve].Coil.Suppressed.Value
		if inside != "none" {
			says = append(says, inside+" built in")
		}
		d.through(c.Name, c.Plus, c.Minus, 18, 18, says, solenoidSymbol)
	}
}

// amps is the most that flows through something; "" where that is not known.
func (d *wiringDiagram) amps(name string) string {
	a, ok := d.solved.Amps[name]
	if !ok || a < 1e-6 {
		return ""
	}
	if a < 0.9995 {
		return fmt.Sprintf("%.3g mA", 1e3*a)
	}
	return fmt.Sprintf("%.3g A", a)
}

// add gives a thing its node, with its names and figures written to the right of it.
func (d *wiringDiagram) add(name string, halfWidth, halfHeight float64, says []string, paint func(p *pen, x, y float64)) *node {
	n := &node{name: name, ports: map[string]connection{}, halfWidth: halfWidth, halfHeight: halfHeight}
	for _, s := range says {
		n.writing = max(n.writing, 8+6.2*float64(len([]rune(short(s, 18)))))
	}
	n.high = lineHigh * float64(len(says)) / 2
	n.paint = d.named(n, says, paint)
	d.nodes[name] = n
	return n
}

func (d *wiringDiagram) named(n *node, says []string, paint func(p *pen, x, y float64)) func(p *pen, x, y float64) {
	return func(p *pen, x, y float64) {
		paint(p, x, y)
		for i, s := range says {
			class := "small"
			if i == 0 {
				class = "small strong"
			}
			p.text(x+n.halfWidth+5, y+4+lineHigh*(float64(i)-float64(len(says)-1)/2), "start", class, short(s, 18))
		}
	}
}

// through is a thing with one terminal above and one below: the one with the higher voltage is above.
func (d *wiringDiagram) through(name, upper, lower string, halfWidth, halfHeight float64, says []string, paint func(p *pen, x, y float64)) *node {
	if !d.above(upper, lower) {
		upper, lower = lower, upper
	}
	n := d.add(name, halfWidth, halfHeight, slices.DeleteFunc(says, func(s string) bool { return s == "" }), paint)
	n.ports[upper], n.ports[lower] = connection{0, -halfHeight, up}, connection{0, halfHeight, down}
	return n
}

// holder is the node on which a terminal is.
func (d *wiringDiagram) holder(terminal string) *node {
	if n := d.nodes[terminal]; n != nil {
		return n // a pole of the supply, or a joint
	}
	for _, c := range d.m.CoilsOf() {
		if terminal == c.Plus || terminal == c.Minus {
			return d.nodes[c.Name]
		}
	}
	part, _ := split(terminal)
	return d.nodes[part]
}

// join makes a line of each wire, from the lower of its nodes to the upper.
func (d *wiringDiagram) join() {
	for _, name := range keys(d.m.Wiring.Wires) {
		w := d.m.Wiring.Wires[name]
		from, to := w.From.Value, w.To.Value
		a, b := d.holder(from), d.holder(to)
		if a == b {
			continue
		}
		t := &tube{run: name, a: a.name, b: b.name, portA: from, portB: to}
		if !d.lower(a, b, from, to) {
			t.a, t.b, t.portA, t.portB = b.name, a.name, to, from
		}
		for _, end := range []struct {
			n    *node
			port *string
			way  direction
		}{{d.nodes[t.a], &t.portA, up}, {d.nodes[t.b], &t.portB, down}} {
			if end.n.joined { // each wire has its place on it
				*end.port = name
				end.n.ports[name] = connection{way: end.way}
			}
		}
		d.tubes = append(d.tubes, t)
	}
	for _, joint := range d.m.Wiring.Joints {
		d.spread(d.nodes[joint.Value])
	}
}

// lower reports whether the first of two nodes lies below the other, by the terminals that a wire joins.
func (d *wiringDiagram) lower(a, b *node, from, to string) bool {
	switch {
	case a.joined && b.joined:
		return !d.above(from, to)
	case a.joined:
		return b.ports[to].way == down
	case b.joined:
		return a.ports[from].way == up
	}
	return a.ports[from].way == up || b.ports[to].way == down
}

// spread gives a joint's wires their places beside each other, above and below.
func (d *wiringDiagram) spread(n *node) {
	var sides [2][]string
	for _, port := range keys(n.ports) {
		way := n.ports[port].way
		sides[way] = append(sides[way], port)
	}
	n.halfWidth = max(5, apart*float64(max(len(sides[up]), len(sides[down]))-1)/2+3)
	for way, ports := range sides {
		for i, port := range ports {
			n.ports[port] = connection{x: apart * (float64(i) - float64(len(ports)-1)/2), way: direction(way)}
		}
	}
}

// rank puts each node above all that its current goes on to, and what lies beside something in one row with it.
func (d *wiringDiagram) rank() {
	for range 2 * len(d.nodes) {
		changed := false
		for _, t := range d.tubes {
			a, b := d.nodes[t.a], d.nodes[t.b]
			least := a.row
			if a.ports[t.portA].way == up && b.ports[t.portB].way == down {
				least++
			} else if a.row < b.row {
				a.row, changed = b.row, true
				continue
			}
			if b.row < least {
				b.row, changed = least, true
			}
		}
		if !changed {
			break
		}
	}
}

// pass leads wires that go by a row through it.
func (d *wiringDiagram) pass() {
	for _, t := range d.tubes {
		a, b := d.nodes[t.a], d.nodes[t.b]
		if a.ports[t.portA].way != up || b.ports[t.portB].way != down {
			continue
		}
		for row := a.row + 1; row < b.row; row++ {
			run := t.run
			n := &node{name: fmt.Sprintf("wire %s, row %d", run, row), row: row, halfWidth: 1, halfHeight: 1, wire: true, ports: map[string]connection{"below": {0, 1, down}, "above": {0, -1, up}}}
			n.paint = func(p *pen, x, y float64) { p.line(d.class(run), x, y-1, x, y+1) }
			d.nodes[n.name] = n
			d.tubes = append(d.tubes, &tube{run: t.run, a: t.a, portA: t.portA, b: n.name, portB: "below"})
			t.a, t.portA = n.name, "above"
		}
	}
}

func (d *wiringDiagram) draw() Picture {
	width := d.width + 10
	if d.lanes > 0 {
		width = d.laneAt(d.lanes) + 10
	}
	p := &pen{}
	title := "Coil circuit, symbols after IEC 60617"
	width = max(width, 300)
	p.begin(d.id, title, d.inWords(), width, d.height)
	var taken []box
	for _, t := range d.tubes {
		line := d.wayOf(t)
		p.path(d.class(t.run), false, line...)
		for i := 1; i < len(line); i++ {
			taken = append(taken, boxOf(line[i-1], line[i]))
		}
	}
	for _, name := range keys(d.nodes) {
		n := d.nodes[name]
		if n.wire {
			n.paint(p, n.x, n.y)
			continue
		}
		taken = append(taken, box{n.x - n.halfWidth - n.left, n.y - n.halfHeight, n.x + n.halfWidth, n.y + n.halfHeight},
			box{n.x + n.halfWidth, n.y - n.high, n.x + n.halfWidth + n.writing, n.y + n.high})
		p.open("g", "data-part", name)
		n.paint(p, n.x, n.y)
		for _, port := range keys(n.ports) {
			if c := n.ports[port]; !n.joined && len(d.uses[port]) > 1 || n.joined {
				p.circle("full", n.x+c.x, n.y+c.y, 2.6)
			}
		}
		p.close("g")
	}
	d.marks(p, taken, width)
	return Picture{d.id, title + ". Thick lines carry current. Beside each wire stand its number and the most that flows in it; beside each coil the least that it gets", p.end()}
}

// A box is the room that something takes.
type box struct{ left, top, right, bottom float64 }

func boxOf(a, b [2]float64) box {
	return box{min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])}
}

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

// marks writes each wire's number, and where there is room its current, beside the longest piece of it that has room.
func (d *wiringDiagram) marks(p *pen, taken []box, width float64) {
	pieces := map[string][]box{}
	for _, t := range d.tubes {
		line := d.wayOf(t)
		for i := 1; i < len(line); i++ {
			if b := boxOf(line[i-1], line[i]); b.bottom-b.top >= markHigh {
				pieces[t.run] = append(pieces[t.run], b)
			}
		}
	}
	for _, wire := range keys(pieces) {
		number := fmt.Sprint(d.numbers[wire])
		says := []string{number}
		if amps := d.amps(wire); amps != "" {
			says = []string{number + ": " + amps, number}
		}
		mark(p, says, pieces[wire], &taken, width)
	}
}

func mark(p *pen, says []string, pieces []box, taken *[]box, width float64) {
	slices.SortStableFunc(pieces, func(a, b box) int { return cmp.Compare(b.bottom-b.top, a.bottom-a.top) })
	for _, s := range says {
		wide := 6*float64(len([]rune(s))) + 1
		for _, piece := range pieces {
			for y := piece.top + 1; y+markHigh <= piece.bottom; y += 4 {
				for _, x := range []float64{piece.right + 3, piece.left - 3 - wide} {
					room := box{x, y, x + wide, y + markHigh}
					if x > 0 && x+wide < width && !slices.ContainsFunc(*taken, room.meets) {
						*taken = append(*taken, room)
						p.text(x, y+9, "start", "flow", s)
						return
					}
				}
			}
		}
	}
	if len(pieces) > 0 { // on the line itself, with a rim
		p.text(pieces[0].left, (pieces[0].top+pieces[0].bottom)/2, "middle", "flow label", says[len(says)-1])
	}
}

// inWords tells the circuit to whom the picture says nothing.
func (d *wiringDiagram) inWords() string {
	var says []string
	for _, name := range keys(d.m.Wiring.Wires) {
		w := d.m.Wiring.Wires[name]
		one := fmt.Sprintf("wire %d %s from %s to %s", d.numbers[name], name, w.From.Value, w.To.Value)
		if amps := d.amps(name); amps != "" {
			one += ", " + amps
		}
		says = append(says, one)
	}
	for _, c := range d.m.CoilsOf() {
		if v, ok := d.solved.Coils[c.Name]; ok {
			says = append(says, fmt.Sprintf("coil %s gets %s cold and %s warm", c.Name, schema.Format(schema.VoltageDim, math.Round(v[0]*100)/100), schema.Format(schema.VoltageDim, math.Round(v[1]*100)/100)))
		}
	}
	return "From plus above to minus below: " + strings.Join(says, "; ") + "."
}

func terminalSymbol(p *pen, x, y float64) { p.circle("void", x, y, 5) }

// A fuse is a box with the line through it.
func fuseSymbol(p *pen, x, y float64) {
	p.rect("void", x-7, y-16, 14, 32)
	p.line("thin", x, y-16, x, y+16)
}

// A contact that is shut in normal service and opened by what stands at the end of the dashed line: a stop's mushroom, a guard's roller, a hand.
func contactSymbol(p *pen, x, y float64, opens string) {
	p.line("line", x, y-16, x, y-7)
	p.line("line", x, y-7, x+7, y-7)
	p.line("line", x, y+16, x, y+9)
	p.line("line", x, y+9, x+6, y-10)
	p.tag("line", "class", "thin", "x1", x+2.0, "y1", y, "x2", x-18, "y2", y, "stroke-dasharray", "3 2")
	switch opens {
	case "stop":
		p.tag("path", "class", "line", "d", fmt.Sprintf("M%s %sA8 8 0 0 0 %s %sZ", num(x-18), num(y-8), num(x-18), num(y+8)))
	case "guard":
		p.circle("line", x-22, y, 4)
	default:
		p.line("line", x-18, y-6, x-18, y+6)
	}
}

// A transistor in a box: its base on the left, the way that it switches straight down.
func driverSymbol(p *pen, x, y float64) {
	p.rect("void", x-20, y-20, 40, 40)
	p.line("thin", x, y-20, x, y-9)
	p.line("thin", x, y-9, x-7, y-4)
	p.line("line", x-7, y-9, x-7, y+9)
	p.line("thin", x-7, y+4, x, y+9)
	p.line("thin", x, y+9, x, y+20)
	p.path("full", true, [2]float64{x, y + 9}, [2]float64{x - 6, y + 8}, [2]float64{x - 3, y + 3})
	p.path("thin", false, [2]float64{x - 20, y - 20}, [2]float64{x - 14, y - 14}, [2]float64{x - 14, y}, [2]float64{x - 7, y})
}

func diodeSymbol(p *pen, x, y float64, cathodeUp, zener bool) {
	s := 1.0
	if cathodeUp {
		s = -1
	}
	p.line("thin", x, y-16, x, y+16)
	p.path("void", true, [2]float64{x - 8, y - 6*s}, [2]float64{x + 8, y - 6*s}, [2]float64{x, y + 7*s})
	bar := [][2]float64{{x - 8, y + 7*s}, {x + 8, y + 7*s}}
	if zener {
		bar = [][2]float64{{x - 8, y + 11*s}, {x - 8, y + 7*s}, {x + 8, y + 7*s}, {x + 8, y + 3*s}}
	}
	p.path("line", false, bar...)
}

// A coil is a box with a stroke across: an operating device that moves a valve.
func solenoidSymbol(p *pen, x, y float64) {
	p.rect("void", x-18, y-10, 36, 20)
	p.line("thin", x-10, y+10, x+10, y-10)
	p.line("thin", x, y-18, x, y-10)
	p.line("thin", x, y+10, x, y+18)
}
