package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/schema"
)

const (
	step    = 26.0 // px between the ports of a valve, and the unit of all symbols
	rowGap  = 34.0 // between two rows of symbols, with one tube that runs across
	track   = 12.0 // between two tubes that run across
	besides = 30.0 // between two symbols
)

// A direction is the way that a tube leaves a port.
type direction int

const (
	down direction = iota
	up
)

// A connection is a port of a symbol, from the symbol's middle.
type connection struct {
	x, y float64
	way  direction
}

// A node is a part of the circuit with its symbol.
type node struct {
	name  string
	ports map[string]connection
	// half the width and height of the symbol; what is written beside it counts as well.
	halfWidth, halfHeight float64
	writing               float64
	shift                 float64 // by how far the boxes of a valve are to the right of where they rest
	paint                 func(p *pen, x, y float64)
	row                   int
	x, y                  float64
}

// A tube joins two ports.
type tube struct {
	run                string
	a, b               string // parts; the air goes from a to b
	portA, portB       string
	ax, bx             float64
	channelA, channelB int // the room between two rows that it enters from a and from b
	trackA, trackB     int
	lane               int // to the right of all, where it has to pass a row
	straight           bool
}

// A diagram lays a circuit out: rows of symbols from the supply upwards to the cylinders, and tubes between them that run square.
type diagram struct {
	m       *schema.Machine
	id      string
	at      map[string]string // positions of valves that are not at rest
	nodes   map[string]*node
	tubes   []*tube
	hung    map[string][]hanging // by the part that they hang on
	rows    [][]*node
	tracks  []int     // how many each channel has; channel i lies above row i-1 and below row i
	channel []float64 // px of the upper edge of each
	lanes   int
	width   float64
	height  float64
}

// A hanging is a part that ends a way, drawn at the port that it is fitted to.
type hanging struct {
	port string
	part string
}

// Circuit draws the air's way with the symbols of ISO 1219-1. In a state, says tells of it, and the boxes of the valves are shifted to the
// positions that they have in it; without positions it is at rest.
func Circuit(m *schema.Machine, id, says string, positions map[string]string) (Picture, error) {
	d := &diagram{m: m, id: id, at: positions, nodes: map[string]*node{}, hung: map[string][]hanging{}}
	d.join()
	d.rank()
	d.symbols()
	if err := d.order(); err != nil {
		return Picture{}, err
	}
	d.route()
	return d.draw("Pneumatic circuit, symbols of ISO 1219-1: " + says + ". Thick lines are joined to the supply."), nil
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

// order places the symbols: in each row beside each other in the order of what they are joined to below, as near above it as they can be.
func (d *diagram) order() error {
	for _, name := range keys(d.nodes) {
		n := d.nodes[name]
		for len(d.rows) <= n.row {
			d.rows = append(d.rows, nil)
		}
		d.rows[n.row] = append(d.rows[n.row], n)
	}
	if len(d.rows) == 0 {
		return fmt.Errorf("there are no parts")
	}
	// Twice up and down: rows below are moved under what they feed as well.
	for pass := range 4 {
		upwards := pass%2 == 0
		for i := range d.rows {
			row := d.rows[i]
			if !upwards {
				row = d.rows[len(d.rows)-1-i]
			}
			wish := map[*node]float64{}
			for _, n := range row {
				wish[n] = d.wish(n, upwards)
			}
			slices.SortFunc(row, func(a, b *node) int { return cmp.Or(cmp.Compare(wish[a], wish[b]), cmp.Compare(a.name, b.name)) })
			spreadOut(row, wish)
			d.uncross(row)
		}
	}
	least := math.Inf(1)
	for _, n := range d.nodes {
		least = min(least, n.x-n.halfWidth)
	}
	for _, name := range keys(d.nodes) {
		n := d.nodes[name]
		n.x += 24 - least
		d.width = max(d.width, n.x+n.halfWidth+n.writing)
	}
	return nil
}

// uncross sets the ports of manifolds and receivers, all of which are joined inside, in the order of what they feed.
func (d *diagram) uncross(row []*node) {
	for _, n := range row {
		if kind := d.m.Air.Parts[n.name].Kind.Value; kind != "manifold" && kind != "receiver" {
			continue
		}
		leads := map[string]float64{}
		var above []string
		var places []connection
		for _, port := range keys(n.ports) {
			if n.ports[port].way != up {
				continue
			}
			above, places = append(above, port), append(places, n.ports[port])
			leads[port] = n.x + n.ports[port].x
			for _, t := range d.tubes {
				if t.a == n.name && t.portA == port {
					leads[port] = d.nodes[t.b].x + d.nodes[t.b].ports[t.portB].x
				}
			}
		}
		slices.SortFunc(places, func(a, b connection) int { return cmp.Compare(a.x, b.x) })
		slices.SortStableFunc(above, func(a, b string) int { return cmp.Compare(leads[a], leads[b]) })
		for i, port := range above {
			n.ports[port] = places[i]
		}
	}
}

// wish is where a symbol would stand so that its tubes to the row below, or above, run straight.
func (d *diagram) wish(n *node, upwards bool) float64 {
	sum, count := 0.0, 0.0
	for _, t := range d.tubes {
		if upwards && t.b == n.name {
			sum += d.nodes[t.a].x + d.nodes[t.a].ports[t.portA].x - n.ports[t.portB].x
			count++
		}
		if !upwards && t.a == n.name {
			sum += d.nodes[t.b].x + d.nodes[t.b].ports[t.portB].x - n.ports[t.portA].x
			count++
		}
	}
	if count == 0 {
		return n.x
	}
	return sum / count
}

// spreadOut moves the symbols of a row apart until none overlap, and no farther than they must: groups that touch share what they miss.
func spreadOut(row []*node, wish map[*node]float64) {
	type group struct {
		members []*node
		offsets []float64
		x       float64 // of the first
	}
	var groups []group
	for _, n := range row {
		groups = append(groups, group{[]*node{n}, []float64{0}, wish[n]})
		for len(groups) > 1 {
			last, before := &groups[len(groups)-1], &groups[len(groups)-2]
			end := before.members[len(before.members)-1]
			edge := before.x + before.offsets[len(before.offsets)-1] + end.halfWidth + end.writing + besides
			if last.x-last.members[0].halfWidth >= edge {
				break
			}
			from := edge + last.members[0].halfWidth - before.x
			for i, member := range last.members {
				before.members = append(before.members, member)
				before.offsets = append(before.offsets, from+last.offsets[i])
			}
			sum := 0.0
			for i, member := range before.members {
				sum += wish[member] - before.offsets[i]
			}
			before.x = sum / float64(len(before.members))
			groups = groups[:len(groups)-1]
		}
	}
	for _, g := range groups {
		for i, n := range g.members {
			n.x = g.x + g.offsets[i]
		}
	}
}

// route gives each tube its way: out of a port into the room between two rows, across it, and into the other port. One that has to pass a
// row goes by a lane to the right of all.
func (d *diagram) route() {
	d.tracks = make([]int, len(d.rows)+1)
	type across struct {
		t        *tube
		from, to float64
		low      float64 // where it comes from below, and from above; NaN for neither
		high     float64
		second   bool
	}
	rooms := make([][]across, len(d.rows)+1)
	for _, t := range d.tubes {
		a, b := d.nodes[t.a], d.nodes[t.b]
		ca, cb := a.ports[t.portA], b.ports[t.portB]
		t.ax, t.bx = a.x+ca.x, b.x+cb.x
		t.channelA, t.channelB = channelOf(a, ca), channelOf(b, cb)
		if t.channelA == t.channelB {
			if t.straight = math.Abs(t.ax-t.bx) < 0.5 && ca.way != cb.way; !t.straight {
				one := across{t: t, from: min(t.ax, t.bx), to: max(t.ax, t.bx), low: math.NaN(), high: math.NaN()}
				for _, end := range []struct {
					x   float64
					way direction
				}{{t.ax, ca.way}, {t.bx, cb.way}} {
					if end.way == down {
						one.high = end.x
					} else {
						one.low = end.x
					}
				}
				rooms[t.channelA] = append(rooms[t.channelA], one)
			}
			continue
		}
		t.lane = d.lanes
		d.lanes++
		for k, end := range []struct {
			channel int
			x       float64
			way     direction
		}{{t.channelA, t.ax, ca.way}, {t.channelB, t.bx, cb.way}} {
			one := across{t: t, from: end.x, to: d.laneAt(t.lane), low: math.NaN(), high: math.NaN(), second: k == 1}
			if end.way == down {
				one.high = end.x
			} else {
				one.low = end.x
			}
			rooms[end.channel] = append(rooms[end.channel], one)
		}
	}
	for i, room := range rooms {
		// One that is entered from above where another is entered from below must lie above it.
		slices.SortStableFunc(room, func(a, b across) int {
			switch {
			case math.Abs(a.high-b.low) < 1:
				return -1
			case math.Abs(a.low-b.high) < 1:
				return 1
			}
			return cmp.Compare(a.from, b.from)
		})
		var ends [][]across
		for _, one := range room {
			k := 0
			for ; k < len(ends); k++ {
				free := !slices.ContainsFunc(ends[k], func(o across) bool { return one.from < o.to+track && o.from < one.to+track })
				ordered := !slices.ContainsFunc(slices.Concat(ends[k+1:]...), func(o across) bool { return math.Abs(o.high-one.low) < 1 })
				if free && ordered {
					break
				}
			}
			if k == len(ends) {
				ends = append(ends, nil)
			}
			ends[k] = append(ends[k], one)
			if one.second {
				one.t.trackB = k
			} else {
				one.t.trackA, one.t.trackB = k, k
			}
		}
		d.tracks[i] = len(ends)
	}
	d.heights()
}

func channelOf(n *node, c connection) int {
	if c.way == up {
		return n.row + 1
	}
	return n.row
}

func (d *diagram) laneAt(lane int) float64 { return d.width + 14 + float64(lane)*track }

// heights sets the rows one above the other, with as much room between as their tubes and what hangs there ask for.
func (d *diagram) heights() {
	y := 34.0
	d.channel = make([]float64, len(d.rows)+1)
	for i := len(d.rows); i >= 0; i-- {
		hangs, above := 0.0, 0.0 // what hangs from the row above, and what stands on the one below
		if i < len(d.rows) {
			for _, n := range d.rows[i] {
				for _, h := range d.hung[n.name] {
					if n.ports[h.port].way == down {
						hangs = max(hangs, hangingHeight)
					}
				}
			}
		}
		if i > 0 {
			for _, n := range d.rows[i-1] {
				for _, h := range d.hung[n.name] {
					if n.ports[h.port].way == up {
						above = hangingHeight
					}
				}
			}
		}
		hangs += above
		d.channel[i] = y + hangs + rowGap/2
		y += hangs + rowGap + float64(max(0, d.tracks[i]-1))*track
		if i > 0 {
			high := 0.0
			for _, n := range d.rows[i-1] {
				high = max(high, n.halfHeight)
			}
			for _, n := range d.rows[i-1] {
				n.y = y + high
			}
			y += 2 * high
		}
	}
	d.height = y + 10
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

func (d *diagram) wayOf(t *tube) [][2]float64 {
	a, b := d.nodes[t.a], d.nodes[t.b]
	ay, by := a.y+a.ports[t.portA].y, b.y+b.ports[t.portB].y
	if t.straight {
		return [][2]float64{{t.ax, ay}, {t.bx, by}}
	}
	ya := d.channel[t.channelA] + float64(t.trackA)*track
	if t.channelA == t.channelB {
		return [][2]float64{{t.ax, ay}, {t.ax, ya}, {t.bx, ya}, {t.bx, by}}
	}
	x, yb := d.laneAt(t.lane), d.channel[t.channelB]+float64(t.trackB)*track
	return [][2]float64{{t.ax, ay}, {t.ax, ya}, {x, ya}, {x, yb}, {t.bx, yb}, {t.bx, by}}
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
