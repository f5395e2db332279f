package circuit

import (
	"math"
	"slices"
)

// patience bounds the search for ways through one component. When it runs out, the component counts as acting: branches get larger than
// they need be, never wrong.
const patience = 20000

// What a seeker may do with a component.
const (
	anyPosition = -1
	noPosition  = -2 // not to be passed
)

// A seeker looks for one way through the circuit, with each component in one position all along it.
type seeker struct {
	c        *Circuit
	position []int // or anyPosition or noPosition
	passed   []bool
	left     int
	back     bool // against the flow
	found    func(net int, limited bool) bool
}

func (c *Circuit) seeker(back bool, found func(net int, limited bool) bool) *seeker {
	s := &seeker{c: c, position: make([]int, len(c.comps)), passed: make([]bool, len(c.nets)), left: patience, back: back, found: found}
	for i := range s.position {
		s.position[i] = anyPosition
		if c.comps[i].Valve.Service {
			s.position[i] = 0
		}
	}
	return s
}

// through tells whether a way from a net through a component gets to what is sought, in any positions.
func (s *seeker) through(n, via int, limited bool) bool {
	if s.left--; s.left < 0 {
		return true
	}
	was := s.position[via]
	defer func() { s.position[via] = was }()
	for p, edges := range s.c.comps[via].edges {
		if was != anyPosition && was != p {
			continue
		}
		s.position[via] = p
		for _, e := range edges {
			from, to := e.from, e.to
			if s.back {
				from, to = to, from
			}
			if from != n || s.passed[to] {
				continue
			}
			if s.beyond(to, limited || !math.IsInf(e.limit, 1)) {
				return true
			}
		}
	}
	return false
}

// beyond tells whether a net is what is sought, or any way on from it leads there.
func (s *seeker) beyond(n int, limited bool) bool {
	if s.found(n, limited) {
		return true
	}
	s.passed[n] = true
	defer func() { s.passed[n] = false }()
	for _, via := range s.c.nets[n].touching {
		if s.through(n, via, limited) {
			return true
		}
	}
	return false
}

// influence finds which components can change the nets that they touch.
func (c *Circuit) influence() {
	c.acts = map[[2]int]bool{}
	// When the supply is lost, a source lets air out, so both ways end at one. Relief counts only where no regulator is in between.
	leaves := func(n int, limited bool) bool {
		return c.nets[n].open != shut || c.nets[n].source > 0 || c.nets[n].relief > 0 && !limited
	}
	comes := func(n int, _ bool) bool { return c.nets[n].source > 0 || len(c.nets[n].receivers) > 0 }
	for n := range c.nets {
		for _, via := range c.nets[n].touching {
			acts := false
			for _, s := range []*seeker{c.seeker(false, leaves), c.seeker(true, comes)} {
				s.passed[n] = true
				acts = acts || s.through(n, via, false)
			}
			c.acts[[2]int{n, via}] = acts
			for _, e := range slices.Concat(c.comps[via].edges...) {
				c.nets[n].taking = c.nets[n].taking || !acts && e.to == n
			}
		}
	}
}

// canReach tells whether, in some state, a way with or against the flow leads from a net to one of a property, itself included.
func (c *Circuit) canReach(n int, back bool, is func(n *net) bool) bool {
	return c.seeker(back, func(n int, _ bool) bool { return is(&c.nets[n]) }).beyond(n, false)
}

// A branch is the part of a circuit that what happens in some nets hangs on.
type branch struct {
	c     *Circuit
	nets  []int        // of the circuit, sorted by when they were met
	local []int        // by net of the circuit: its place in nets, or -1
	comps []branchPart // by name
	place []int        // by component of the circuit: its place in comps, or -1
	// What of these there is; bleeding: an opening that is throttled.
	relief, throttles, bleeding bool
	passages                    int // how many edges there can be at once
	// To be used again: by without, and by walk.
	some                           []edge
	left, met, level, deeper, vias []int
}

type branchPart struct {
	*component
	id               int
	edges            [][]edge // between places in nets
	there, back, air int      // places in nets, or -1
}

// branch collects what acts on some nets.
func (c *Circuit) branch(nets ...int) *branch {
	b := &branch{c: c, local: filled(len(c.nets)), place: filled(len(c.comps))}
	in := make([]bool, len(c.comps))
	add := func(n int) {
		if n >= 0 && b.local[n] < 0 {
			b.local[n] = len(b.nets)
			b.nets = append(b.nets, n)
		}
	}
	for _, n := range nets {
		add(n)
	}
	for i := 0; i < len(b.nets); i++ {
		n := b.nets[i]
		if c.nets[n].open == free {
			continue // what is open to the air stays so
		}
		for _, via := range c.nets[n].touching {
			part := &c.comps[via]
			if !c.acts[[2]int{n, via}] {
				continue
			}
			in[via] = true
			add(part.there)
			add(part.back)
			add(part.air)
			for _, edges := range part.edges {
				for _, e := range edges {
					if e.from == n || e.to == n {
						add(e.from)
						add(e.to)
					}
				}
			}
		}
	}
	at := func(n int) int {
		if n < 0 {
			return -1
		}
		return b.local[n]
	}
	for id := range c.comps {
		if !in[id] {
			continue
		}
		part := branchPart{component: &c.comps[id], id: id, there: at(c.comps[id].there), back: at(c.comps[id].back), air: at(c.comps[id].air)}
		most := 0
		for _, edges := range part.component.edges {
			var inside []edge
			for _, e := range edges {
				if e.from, e.to = b.local[e.from], b.local[e.to]; e.from >= 0 && e.to >= 0 {
					inside = append(inside, e)
					b.throttles = b.throttles || e.throttled
				}
			}
			part.edges = append(part.edges, inside)
			most = max(most, len(inside))
		}
		b.passages += most
		b.place[id] = len(b.comps)
		b.comps = append(b.comps, part)
	}
	for _, n := range b.nets {
		b.relief = b.relief || c.nets[n].relief > 0
		b.bleeding = b.bleeding || c.nets[n].open == throttled
	}
	return b
}

// states is how many start states a branch has.
func (b *branch) states() float64 {
	n := 1.0
	for i := range b.comps {
		n *= float64(b.comps[i].choices)
	}
	return n
}

func filled(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = -1
	}
	return s
}
