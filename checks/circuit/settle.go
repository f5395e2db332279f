package circuit

import (
	"math"
	"slices"
)

// Status tells what is joined to a net.
type Status int

const (
	Supplied Status = iota
	Exhausted
	Trapped
	Contested // joined to a source and to the open air, or fed only through a place that is
	Unsettled // changes without end: pilots chase each other
)

func (s Status) String() string {
	return name([]string{"supplied", "exhausted", "trapped", "contested", "unsettled"}, int(s))
}

// A Condition is what holds in a chamber, receiver or net.
type Condition struct {
	Status Status
	// Low and High bound the pressure, gauge, Pa.
	Low, High float64
	// Supply names what the air passes on its way here, the nearest first, down to the source: the shortest way that brings this pressure, or
	// all that are equally short. Throttled and soft ways count as such only when no free one brings the same pressure.
	Supply                         []string
	SupplyThrottled, SupplyStarted bool // SupplyStarted: through a soft start
	// Exhaust names what the air passes on its shortest way out, the nearest first, with the silencers; a free one, if there is one.
	Exhaust          []string
	ExhaustThrottled bool
}

// surroundings are what holds for the whole circuit at one time.
type surroundings struct {
	air        bool
	powered    func(id int) bool // the coil of a valve gets its current
	isolated   bool
	handsOff   bool // nobody holds a hand valve that springs back
	controlled bool // coils follow the start, not the state
}

// A settled is a branch at rest in one state.
type settled struct {
	status             []Status // by place in the branch
	low, high          []float64
	position           []int  // by component of the branch
	way                []int  // how open the way out is: shut, throttled, free
	empty              []bool // whatever comes through a throttle
	feeds              []bool // by receivers that are cut off from the supply
	edges              []edge
	supply, free, hard []float64 // pressures over all ways, over free ones, over those without a soft start
	firm               []float64 // what comes by ways on which nothing blows off
	sure               []int     // how open the way out is where nothing blows off
	most               []float64 // what relief lets stand; nil without relief
}

// settle finds the state that a branch comes to. choice has what operation or memory chooses for each component; before is the state it
// comes from, nil for none.
func (b *branch) settle(choice []int, around surroundings, before *settled) *settled {
	previous := choice
	if before != nil {
		previous = before.position
	}
	s := b.room()
	pressure := make([]float64, len(b.nets))
	if before != nil {
		copy(pressure, before.high)
	}
	rounds := 4 + 2*b.c.piloted // the longest chain of pilots, from either side
	var swing *settled
	for round := 0; ; round++ {
		steady := round > 0
		for i := range b.comps {
			p := b.comps[i].resolve(choice[i], previous[i], around, pressure)
			if p != s.position[i] {
				s.position[i], steady = p, false
			}
		}
		if steady {
			break
		}
		b.follow(s, around, before)
		copy(pressure, s.high)
		if round >= rounds {
			// All that is met in as many rounds again belongs to the swing.
			if swing == nil {
				swing = b.room()
				copy(swing.status, s.status)
				copy(swing.low, s.low)
				copy(swing.high, s.high)
			}
			for i := range s.status {
				if s.status[i] != swing.status[i] || s.low[i] != swing.low[i] || s.high[i] != swing.high[i] {
					swing.status[i] = Unsettled
				}
				swing.low[i] = min(swing.low[i], s.low[i])
				swing.high[i] = max(swing.high[i], s.high[i])
			}
		}
		if round > 3*rounds {
			break
		}
	}
	if swing != nil {
		s.status, s.low, s.high = swing.status, swing.low, swing.high
	}
	return s
}

// without leaves edges out. What it returns holds until it is called again.
func (b *branch) without(edges []edge, out func(edge) bool) []edge {
	b.some = b.some[:0]
	for _, e := range edges {
		if !out(e) {
			b.some = append(b.some, e)
		}
	}
	return b.some
}

func (b *branch) room() *settled {
	n := len(b.nets)
	numbers, ways, marks := make([]float64, 6*n), make([]int, 2*n), make([]bool, 2*n)
	return &settled{
		status: make([]Status, n), edges: make([]edge, 0, b.passages), position: filled(len(b.comps)), way: ways[:n], sure: ways[n:], feeds: marks[:n], empty: marks[n:],
		low: numbers[:n], high: numbers[n : 2*n], supply: numbers[2*n : 3*n], free: numbers[3*n : 4*n], hard: numbers[4*n : 5*n], firm: numbers[5*n:],
	}
}

// resolve is the position that a component takes under some pressures.
func (p *branchPart) resolve(choice, previous int, around surroundings, pressure []float64) int {
	on := func(net int) bool { return net >= 0 && pressure[net] > 0 }
	first := func(is bool) int {
		if is {
			return 1
		}
		return 0
	}
	switch p.Kind {
	case Isolator:
		return first(around.isolated)
	case PilotCheck, QuickExhaust:
		return first(on(p.there))
	case Shuttle:
		switch one, three := pressure[p.there], pressure[p.back]; {
		case three > one:
			return 2
		case one > 0:
			return 1
		}
		return 0
	case ValveKind:
		return p.shift(choice, previous, around, on)
	}
	return 0
}

func (p *branchPart) shift(choice, previous int, around surroundings, on func(net int) bool) int {
	v := p.Valve
	memory := v.Return == Remembers && v.Ways != FiveThree
	wanted := 0
	switch v.Moved {
	case ByHand:
		switch {
		case v.Return == Remembers && !v.Service:
			return choice
		case !v.Service && !around.handsOff:
			wanted = choice
		}
	case ByAir:
		there, back := on(p.there), on(p.back)
		switch {
		case there && !back:
			wanted = 1
		case back && !there && v.Ways == FiveThree:
			wanted = 2
		case back && !there:
			return 0
		case memory:
			return previous
		}
	case ByCoil:
		if around.controlled {
			choice = p.start
		}
		works := around.powered(p.id) && (v.Pilot == Direct || on(p.there))
		if memory {
			if works && choice >= 0 {
				return choice
			}
			return previous
		}
		if works && choice > 0 {
			wanted = choice
		}
	}
	if wanted == 0 && v.Return == ByItsAir && v.Ways != FiveThree && v.Moved != ByHand && !on(p.air) {
		return previous
	}
	return wanted
}

// follow finds the pressures for the positions in s.
func (b *branch) follow(s *settled, around surroundings, before *settled) {
	s.edges = s.edges[:0]
	for i := range b.comps {
		if p := s.position[i]; p < len(b.comps[i].edges) {
			s.edges = append(s.edges, b.comps[i].edges[p]...)
		}
	}
	for i, n := range b.nets {
		net := &b.c.nets[n]
		s.way[i], s.supply[i] = net.open, 0
		if net.source > 0 && !around.air {
			s.way[i] = free
		} else if around.air {
			s.supply[i] = net.source
		}
	}
	b.relieve(s)
	b.freely(s)
	empty := func(i int) bool { return s.empty[i] }
	widen(s.supply, s.edges, s.most, empty)

	// What is neither supplied nor let out keeps its air, and a receiver then feeds what it is joined to.
	stores := false
	for i, n := range b.nets {
		s.high[i], s.feeds[i] = 0, false
		if s.supply[i] > 0 || s.way[i] != shut {
			continue
		}
		s.high[i] = b.c.nets[n].bound
		if before != nil && !b.c.nets[n].taking {
			s.high[i] = before.high[i]
		}
		s.feeds[i] = s.high[i] > 0 && len(b.c.nets[n].receivers) > 0
		stores = stores || s.feeds[i]
	}
	if stores {
		for i := range b.nets {
			if s.feeds[i] {
				s.supply[i] = s.high[i]
			}
		}
		widen(s.supply, s.edges, s.most, empty)
	}
	widen(s.high, s.edges, s.most, empty)
	blown := false
	for i := range b.nets {
		p := s.supply[i]
		switch {
		case empty(i) || p == 0 && s.way[i] != shut:
			s.status[i], s.low[i], s.high[i], s.supply[i] = Exhausted, 0, 0, 0
		case s.way[i] != shut:
			s.status[i], s.low[i], s.high[i] = Contested, 0, p
		case p > 0:
			s.status[i], s.low[i], s.high[i] = Supplied, p, p
		default:
			s.status[i], s.low[i] = Trapped, 0
		}
		blown = blown || s.status[i] == Contested
	}
	if !blown {
		return
	}
	// What is fed only through where air blows off has no more certainty than that.
	blows := func(i int) bool { return s.status[i] == Contested || s.empty[i] }
	b.fed(s, s.firm)
	for i := range s.firm {
		if blows(i) {
			s.firm[i] = 0
		}
	}
	widen(s.firm, s.edges, s.most, blows)
	for i := range b.nets {
		if s.status[i] == Supplied && s.firm[i] < s.supply[i] {
			s.status[i], s.low[i] = Contested, s.firm[i]
		}
	}
}

// fed sets p to what sources and receivers put straight into their nets, and 0 elsewhere.
func (b *branch) fed(s *settled, p []float64) {
	for i, n := range b.nets {
		p[i] = min(b.c.nets[n].source, s.supply[i])
		if s.feeds[i] {
			p[i] = s.supply[i]
		}
	}
}

// freely follows what is not throttled, finds which nets are empty whatever comes through a throttle, and sets how open each way out is.
//
// A net that a free way feeds holds its pressure against a throttled way out, and one that a free way empties stays empty before a throttled way
// in. Neither passes on what is throttled. Where both ways are free, neither the one nor the other is sure, nor is it beyond.
func (b *branch) freely(s *settled) {
	open := func(i int) bool { return b.c.nets[b.nets[i]].open == free }
	for i := range s.empty {
		s.empty[i] = open(i)
	}
	if !b.throttles && !b.bleeding {
		b.drain(s.way, s.edges, never)
		return
	}
	for i := range s.way {
		if s.way[i] == throttled {
			s.way[i] = shut
		}
	}
	copy(s.free, s.supply)
	copy(s.firm, s.supply)
	copy(s.sure, s.way)
	edges := b.without(s.edges, func(e edge) bool { return e.throttled })
	widen(s.free, edges, s.most, open)
	b.drain(s.way, edges, never)
	blows := func(i int) bool { return s.free[i] > 0 && s.way[i] == free && !open(i) }
	for i := range s.firm {
		if blows(i) {
			s.firm[i], s.sure[i] = 0, shut
		}
	}
	widen(s.firm, edges, s.most, func(i int) bool { return open(i) || blows(i) })
	b.drain(s.sure, edges, blows)
	for i, n := range b.nets {
		s.empty[i] = open(i) || s.sure[i] == free && s.free[i] == 0
		if b.c.nets[n].open == throttled && s.way[i] == shut && s.firm[i] == 0 {
			s.way[i] = throttled
		}
	}
	for i := range s.sure {
		s.sure[i] = s.way[i]
	}
	b.drain(s.way, s.edges, func(i int) bool { return s.firm[i] > 0 && s.sure[i] != free })
}

// drain finds how open the way out of each net is. Nets that hold keep theirs.
func (b *branch) drain(way []int, edges []edge, holds func(n int) bool) {
	for changed := true; changed; {
		changed = false
		for _, e := range edges {
			out := way[e.to]
			if e.throttled {
				out = min(out, throttled)
			}
			if out > way[e.from] && !holds(e.from) {
				way[e.from], changed = out, true
			}
		}
	}
}

// relieve finds the most that the relief valves let stand in each net. A regulator or throttle in between keeps the pressure up before it.
func (b *branch) relieve(s *settled) {
	if !b.relief {
		return
	}
	if s.most == nil {
		s.most = make([]float64, len(b.nets))
	}
	for i, n := range b.nets {
		s.most[i] = math.Inf(1)
		if limit := b.c.nets[n].relief; limit > 0 {
			s.most[i] = limit
		}
	}
	for changed := true; changed; {
		changed = false
		for _, e := range s.edges {
			if !e.throttled && math.IsInf(e.limit, 1) && s.most[e.to] < s.most[e.from] && b.c.nets[b.nets[e.from]].open != free {
				s.most[e.from], changed = s.most[e.to], true
			}
		}
	}
}

// condition describes a net of the branch.
func (b *branch) condition(s *settled, n int) Condition {
	i := b.local[n]
	c := Condition{Status: s.status[i], Low: s.low[i], High: s.high[i]}
	if c.Status == Supplied || c.Status == Contested {
		b.supplyWay(s, i, &c)
	}
	if c.Status == Exhausted || c.Status == Contested {
		b.exhaustWay(s, i, &c)
	}
	return c
}

func (b *branch) supplyWay(s *settled, i int, c *Condition) {
	b.sourcesOnly(s, s.free, func(e edge) bool { return e.throttled })
	b.sourcesOnly(s, s.hard, func(e edge) bool { return e.soft })
	p := s.supply[i]
	c.SupplyThrottled, c.SupplyStarted = s.free[i] < p, s.hard[i] < p
	pressure := s.supply
	if !c.SupplyThrottled {
		pressure = s.free
	}
	steps := b.without(s.edges, func(e edge) bool { return pressure[e.from] < p || e.limit < p || e.throttled && !c.SupplyThrottled })
	for k, e := range steps {
		steps[k].from, steps[k].to = e.to, e.from
	}
	c.Supply = b.walk(i, steps, func(n int) (bool, []int) {
		net := &b.c.nets[b.nets[n]]
		switch {
		case s.feeds[n] && pressure[n] >= p:
			return true, net.receivers
		case net.source >= p && pressure[n] >= p:
			return true, []int{net.from}
		}
		return false, nil
	})
}

// sourcesOnly carries the pressures of what feeds the branch over the edges that are not left out.
func (b *branch) sourcesOnly(s *settled, p []float64, out func(edge) bool) {
	b.fed(s, p)
	widen(p, b.without(s.edges, out), s.most, func(i int) bool { return s.status[i] == Exhausted })
}

func (b *branch) exhaustWay(s *settled, i int, c *Condition) {
	c.ExhaustThrottled = s.way[i] != free
	steps := b.without(s.edges, func(e edge) bool { return s.way[e.to] < s.way[i] || e.throttled && !c.ExhaustThrottled })
	c.Exhaust = b.walk(i, steps, func(n int) (bool, []int) {
		net := &b.c.nets[b.nets[n]]
		return net.open >= s.way[i] || net.source > 0 && s.way[n] == free && s.supply[n] == 0, net.openers
	})
}

// walk names the components on the shortest ways from a net to where they end, the nearest first and by name where they are equally near.
// end tells whether a net is one, and the components there.
func (b *branch) walk(start int, steps []edge, end func(n int) (bool, []int)) []string {
	far := len(b.nets) + 1
	left := b.left[:0] // passages to the nearest end
	for n := range b.nets {
		left = append(left, far)
		if yes, _ := end(n); yes {
			left[n] = 0
		}
	}
	for changed := true; changed; {
		changed = false
		for _, e := range steps {
			if left[e.to]+1 < left[e.from] {
				left[e.from], changed = left[e.to]+1, true
			}
		}
	}
	b.left = left
	met, level, deeper, vias := b.met[:0], append(b.level[:0], start), b.deeper[:0], b.vias[:0]
	for len(level) > 0 {
		deeper, vias = deeper[:0], vias[:0]
		for _, n := range level {
			if left[n] == 0 {
				_, there := end(n)
				vias = append(vias, there...)
				continue
			}
			for _, e := range steps {
				if e.from == n && left[e.to] < left[n] {
					vias = append(vias, e.via)
					if !slices.Contains(deeper, e.to) {
						deeper = append(deeper, e.to)
					}
				}
			}
		}
		slices.Sort(vias)
		for _, id := range vias {
			if !slices.Contains(met, id) {
				met = append(met, id)
			}
		}
		level, deeper = deeper, level
	}
	b.met, b.level, b.deeper, b.vias = met, level, deeper, vias
	if len(met) == 0 {
		return nil
	}
	names := make([]string, len(met))
	for i, id := range met {
		names[i] = b.c.comps[id].name
	}
	return names
}
