package drawing

import (
	"cmp"
	"math"
	"slices"
)

const (
	step  = 26.0 // px between the ports of a valve, and the unit of all symbols
	track = 12.0 // between two lines that run across
	// beside is how near two lines that run up and down look like one.
	beside = 5.0
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
	writing, high         float64 // px to the right of the symbol, and over and under its middle
	left                  float64 // what the symbol has to the left of half its width
	wire                  bool    // it only leads a line through its row
	below, above          float64 // room for what hangs on its ports there
	joined                bool    // all its ports are one inside: they may change places
	shift                 float64 // by how far the boxes of a valve are to the right of where they rest
	paint                 func(p *pen, x, y float64)
	row                   int
	x, y                  float64
}

// A tube joins two ports.
type tube struct {
	run                string
	a, b               string // nodes, from the lower one to the upper
	portA, portB       string
	ax, bx             float64
	channelA, channelB int // the room between two rows that it enters from a and from b
	trackA, trackB     int
	lane               int // to the right of all, where it has to pass a row
	straight           bool
}

// A layout is rows of symbols, one above the other, and lines between their ports that run square.
type layout struct {
	nodes   map[string]*node
	tubes   []*tube
	besides float64 // px between two symbols
	rowGap  float64 // px between two rows of symbols, with one line that runs across
	top     float64 // px above all
	passes  int     // up and down through the rows to set symbols above each other
	rows    [][]*node
	tracks  []int     // how many each channel has; channel i lies above row i-1 and below row i
	channel []float64 // px of the upper edge of each
	lanes   int
	width   float64
	height  float64
}

// order places the symbols: in each row beside each other in the order of what they are joined to below, as near above it as they can be.
func (l *layout) order() {
	for _, name := range keys(l.nodes) {
		n := l.nodes[name]
		for len(l.rows) <= n.row {
			l.rows = append(l.rows, nil)
		}
		l.rows[n.row] = append(l.rows[n.row], n)
	}
	// Up and down by turns: rows below are moved under what they feed as well.
	for pass := range l.passes {
		upwards := pass%2 == 0
		for i := range l.rows {
			row := l.rows[i]
			if !upwards {
				row = l.rows[len(l.rows)-1-i]
			}
			wish := map[*node]float64{}
			for _, n := range row {
				wish[n] = l.wish(n, upwards)
			}
			slices.SortFunc(row, func(a, b *node) int { return cmp.Or(cmp.Compare(wish[a], wish[b]), cmp.Compare(a.name, b.name)) })
			l.spreadOut(row, wish)
			l.uncross(row)
		}
	}
	least := math.Inf(1)
	for _, n := range l.nodes {
		least = min(least, n.x-n.halfWidth)
	}
	for _, name := range keys(l.nodes) {
		n := l.nodes[name]
		n.x += 24 - least
		l.width = max(l.width, n.x+n.halfWidth+n.writing)
	}
}

// uncross sets the ports of manifolds and receivers, all of which are joined inside, in the order of what they feed.
func (l *layout) uncross(row []*node) {
	for _, n := range row {
		if !n.joined {
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
			for _, t := range l.tubes {
				if t.a == n.name && t.portA == port {
					leads[port] = l.nodes[t.b].x + l.nodes[t.b].ports[t.portB].x
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
func (l *layout) wish(n *node, upwards bool) float64 {
	sum, count := 0.0, 0.0
	for _, t := range l.tubes {
		if upwards && t.b == n.name {
			sum += l.nodes[t.a].x + l.nodes[t.a].ports[t.portA].x - n.ports[t.portB].x
			count++
		}
		if !upwards && t.a == n.name {
			sum += l.nodes[t.b].x + l.nodes[t.b].ports[t.portB].x - n.ports[t.portA].x
			count++
		}
	}
	if count == 0 {
		return n.x
	}
	return sum / count
}

// spreadOut moves the symbols of a row apart until none overlap, and no farther than they must: groups that touch share what they miss.
func (l *layout) spreadOut(row []*node, wish map[*node]float64) {
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
			edge := before.x + before.offsets[len(before.offsets)-1] + end.halfWidth + end.writing + l.besides
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
func (l *layout) route() {
	l.tracks = make([]int, len(l.rows)+1)
	type across struct {
		t        *tube
		from, to float64
		low      float64 // where it comes from below, and from above; NaN for neither
		high     float64
		second   bool
	}
	rooms := make([][]across, len(l.rows)+1)
	for _, t := range l.tubes {
		a, b := l.nodes[t.a], l.nodes[t.b]
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
		t.lane = l.lanes
		l.lanes++
		for k, end := range []struct {
			channel int
			x       float64
			way     direction
		}{{t.channelA, t.ax, ca.way}, {t.channelB, t.bx, cb.way}} {
			one := across{t: t, from: end.x, to: l.laneAt(t.lane), low: math.NaN(), high: math.NaN(), second: k == 1}
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
			case math.Abs(a.high-b.low) < beside:
				return -1
			case math.Abs(a.low-b.high) < beside:
				return 1
			}
			return cmp.Compare(a.from, b.from)
		})
		var ends [][]across
		for _, one := range room {
			k := 0
			for ; k < len(ends); k++ {
				free := !slices.ContainsFunc(ends[k], func(o across) bool { return one.from < o.to+track && o.from < one.to+track })
				ordered := !slices.ContainsFunc(slices.Concat(ends[k+1:]...), func(o across) bool { return math.Abs(o.high-one.low) < beside })
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
		l.tracks[i] = len(ends)
	}
	l.heights()
}

func channelOf(n *node, c connection) int {
	if c.way == up {
		return n.row + 1
	}
	return n.row
}

func (l *layout) laneAt(lane int) float64 { return l.width + 14 + float64(lane)*track }

// heights sets the rows one above the other, with as much room between as their tubes and what hangs there ask for.
func (l *layout) heights() {
	y := l.top
	l.channel = make([]float64, len(l.rows)+1)
	for i := len(l.rows); i >= 0; i-- {
		hangs, above := 0.0, 0.0 // what hangs from the row above, and what stands on the one below
		if i < len(l.rows) {
			for _, n := range l.rows[i] {
				hangs = max(hangs, n.below)
			}
		}
		if i > 0 {
			for _, n := range l.rows[i-1] {
				above = max(above, n.above)
			}
		}
		hangs += above
		l.channel[i] = y + hangs + l.rowGap/2
		y += hangs + l.rowGap + float64(max(0, l.tracks[i]-1))*track
		if i > 0 {
			high := 0.0
			for _, n := range l.rows[i-1] {
				high = max(high, n.halfHeight)
			}
			for _, n := range l.rows[i-1] {
				n.y = y + high
			}
			y += 2 * high
		}
	}
	l.height = y + 10
}

func (l *layout) wayOf(t *tube) [][2]float64 {
	a, b := l.nodes[t.a], l.nodes[t.b]
	ay, by := a.y+a.ports[t.portA].y, b.y+b.ports[t.portB].y
	if t.straight {
		return [][2]float64{{t.ax, ay}, {t.bx, by}}
	}
	ya := l.channel[t.channelA] + float64(t.trackA)*track
	if t.channelA == t.channelB {
		return [][2]float64{{t.ax, ay}, {t.ax, ya}, {t.bx, ya}, {t.bx, by}}
	}
	x, yb := l.laneAt(t.lane), l.channel[t.channelB]+float64(t.trackB)*track
	return [][2]float64{{t.ax, ay}, {t.ax, ya}, {x, ya}, {x, yb}, {t.bx, yb}, {t.bx, by}}
}
