package circuit

import (
	"cmp"
	"math"
	"slices"
)

// mostPorts keeps a slip of the pen from filling the memory.
const mostPorts = 1000

// How open a net, a way out or a way in is.
const (
	shut = iota
	throttled
	free
)

// A net is all ports that are always joined.
type net struct {
	open      int     // to the air: shut, throttled or free
	openers   []int   // the silencers and exhaust throttles on it
	source    float64 // Pa, 0 for none
	from      int     // the compressor
	receivers []int
	relief    float64 // Pa, what relief lets stand; 0 for none
	bound     float64 // Pa, the most that can come to it in any state
	taking    bool    // a component that doesn't act on it can still give it air that was shut in
	touching  []int   // components with a passage to it, in order
	unjoined  []Port  // ports of it that are open though they are no exhausts
	outputs   []Port
}

// An edge is a passage of a component in one position.
type edge struct {
	from, to, via   int
	limit           float64 // Pa, +Inf for none
	throttled, soft bool
}

type component struct {
	Component
	name      string
	positions []position
	edges     [][]edge // by position
	choices   int
	port      map[string]int // to its net
	// The nets whose pressure brings about the second position, the first or third, and the return by air; -1 for none.
	there, back, air int
	start            int // the position that the controller gives, or -1
}

// A Circuit is a network that can be judged. It does not change after New, so that several goroutines may use it.
type Circuit struct {
	comps   []component // by name
	index   map[string]int
	nets    []net
	stop    []bool          // by component: the stop takes its coil's current
	hands   []int           // hand valves
	piloted int             // how many components hang on a pressure
	acts    map[[2]int]bool // by net and component: whether anything can come or leave through it
}

// New builds a circuit. The error is Faults: what is wrong with names, numbers and runs. What is wrong with the way of the air is found by
// Check.
func New(n Network) (*Circuit, error) {
	c := &Circuit{index: map[string]int{}}
	var faults Faults
	for _, name := range sortedKeys(n.Components) {
		part := n.Components[name]
		if f := part.wrong(name); len(f) > 0 {
			faults = append(faults, f...)
		}
		c.index[name] = len(c.comps)
		c.comps = append(c.comps, component{Component: part, name: name, port: map[string]int{}, start: -1})
	}
	if len(faults) > 0 {
		return nil, faults
	}
	faults = append(faults, c.commands(n)...)

	// Ports get ids, then ids are joined into nets.
	id := map[Port]int{}
	var ports []Port
	for i := range c.comps {
		for _, p := range c.comps[i].ports() {
			id[Port{c.comps[i].name, p}] = len(ports)
			ports = append(ports, Port{c.comps[i].name, p})
		}
	}
	sets := newSets(len(ports))
	joints := newSets(len(ports)) // of runs, tees and manifolds alone
	for i := range c.comps {
		part := &c.comps[i]
		own := part.ports()
		for _, p := range own[1:] {
			switch part.Kind {
			case Tee, Manifold:
				joints.join(id[Port{part.name, own[0]}], id[Port{part.name, p}])
				sets.join(id[Port{part.name, own[0]}], id[Port{part.name, p}])
			case Filter, Receiver:
				sets.join(id[Port{part.name, own[0]}], id[Port{part.name, p}])
			}
		}
	}
	taken := map[Port][]string{}
	for _, run := range sortedKeys(n.Runs) {
		r := n.Runs[run]
		known := true
		for _, p := range []Port{r.A, r.B} {
			if _, ok := c.index[p.Component]; !ok {
				faults = append(faults, Fault{Kind: UnknownComponent, Components: []string{p.Component}, Runs: []string{run}})
				known = false
			} else if _, ok := id[p]; !ok {
				faults = append(faults, Fault{Kind: UnknownPort, Components: []string{p.Component}, Ports: []Port{p}, Runs: []string{run}})
				known = false
			}
		}
		if !known {
			continue
		}
		taken[r.A] = append(taken[r.A], run)
		if r.B != r.A {
			taken[r.B] = append(taken[r.B], run)
		}
		if !joints.join(id[r.A], id[r.B]) {
			parts, runs := c.ring(n, run)
			faults = append(faults, Fault{Kind: Loop, Components: parts, Runs: runs})
		}
		sets.join(id[r.A], id[r.B])
	}
	for _, p := range ports {
		if len(taken[p]) > 1 {
			faults = append(faults, Fault{Kind: PortTwice, Components: []string{p.Component}, Ports: []Port{p}, Runs: taken[p]})
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}

	number := map[int]int{}
	for i, p := range ports {
		root := sets.root(i)
		if _, ok := number[root]; !ok {
			number[root] = len(c.nets)
			c.nets = append(c.nets, net{})
		}
		part := &c.comps[c.index[p.Component]]
		part.port[p.Name] = number[root]
		c.mark(&c.nets[number[root]], part, p, len(taken[p]) > 0)
	}
	c.passages()
	c.bounds()
	c.influence()
	return c, nil
}

// ring names what a run closes a ring with: the tees and manifolds, and the runs before it by name that lead from its one end to the other.
func (c *Circuit) ring(n Network, closing string) (parts, runs []string) {
	end := n.Runs[closing]
	came := map[string]string{end.A.Component: ""} // the run by which each was come to
	for queue := []string{end.A.Component}; len(queue) > 0; queue = queue[1:] {
		for _, run := range sortedKeys(n.Runs) {
			if run >= closing {
				break
			}
			a, b := n.Runs[run].A.Component, n.Runs[run].B.Component
			if b == queue[0] {
				a, b = b, a
			}
			if _, seen := came[b]; a != queue[0] || seen {
				continue
			}
			if i, ok := c.index[b]; ok && (c.comps[i].Kind == Tee || c.comps[i].Kind == Manifold) {
				came[b] = run
				queue = append(queue, b)
			}
		}
	}
	parts, runs = names(end.A, end.B), []string{closing}
	for at := end.B.Component; came[at] != ""; {
		run := n.Runs[came[at]]
		runs = append(runs, came[at])
		parts = append(parts, names(run.A, run.B)...)
		if at == run.A.Component {
			at = run.B.Component
		} else {
			at = run.A.Component
		}
	}
	slices.Sort(parts)
	slices.Sort(runs)
	return slices.Compact(parts), runs
}

// mark notes what a port makes of its net.
func (c *Circuit) mark(n *net, part *component, p Port, joined bool) {
	i := c.index[p.Component]
	if !joined && part.Kind != Plug && part.Kind != Silencer && part.Kind != ExhaustThrottle {
		n.open = free
		if !part.isExhaust(p.Name) {
			n.unjoined = append(n.unjoined, p)
		}
	}
	if part.isOutput(p.Name) {
		n.outputs = append(n.outputs, p)
	}
	switch part.Kind {
	case Silencer:
		n.open = free
		n.openers = append(n.openers, i)
	case ExhaustThrottle:
		n.open = max(n.open, throttled)
		n.openers = append(n.openers, i)
	case Compressor:
		if part.Pressure > n.source {
			n.source, n.from = part.Pressure, i
		}
	case Receiver:
		if p.Name == "1" {
			n.receivers = append(n.receivers, i)
		}
	case ReliefValve:
		n.limit(part.Pressure)
	case Regulator:
		if p.Name == "2" && part.Relieving {
			n.limit(part.Pressure)
		}
	}
}

func (n *net) limit(p float64) {
	if n.relief == 0 || p < n.relief {
		n.relief = p
	}
}

// passages turns the components' joints into edges between nets.
func (c *Circuit) passages() {
	for i := range c.comps {
		part := &c.comps[i]
		part.positions = part.Component.positionsOf()
		if part.Kind == ValveKind && part.Valve.Moved == ByHand {
			c.hands = append(c.hands, i)
		}
		part.choices = part.Component.choicesOf()
		for _, p := range part.positions {
			var edges []edge
			for _, j := range p.joints {
				e := edge{from: part.port[j.from], to: part.port[j.to], via: i, limit: math.Inf(1), throttled: j.throttled, soft: j.soft}
				if j.limit > 0 {
					e.limit = j.limit
				}
				if e.from == e.to {
					continue
				}
				edges = append(edges, e)
				for _, n := range []int{e.from, e.to} {
					if t := c.nets[n].touching; len(t) == 0 || t[len(t)-1] != i {
						c.nets[n].touching = append(t, i)
					}
				}
			}
			part.edges = append(part.edges, edges)
		}
		c.pilots(part)
		if max(part.there, part.back, part.air) >= 0 {
			c.piloted++
		}
	}
}

// pilots notes the nets that a component's position hangs on.
func (c *Circuit) pilots(part *component) {
	part.there, part.back, part.air = -1, -1, -1
	switch part.Kind {
	case PilotCheck:
		part.there = part.port["12"]
	case QuickExhaust:
		part.there = part.port["1"]
	case Shuttle:
		part.there, part.back = part.port["1"], part.port["3"]
	case ValveKind:
		v := part.Valve
		if v.Moved == ByCoil && v.Pilot == InternalPilot {
			part.there = part.port["1"]
		}
		if v.Moved != ByHand && v.Return == ByItsAir && v.Ways != FiveThree {
			part.air = part.port["1"]
		}
		for i, p := range v.pilots() {
			*[]*int{&part.there, &part.back}[i] = part.port[p]
		}
	}
}

// bounds finds the most pressure that can come to each net, with every passage of every position there at once.
func (c *Circuit) bounds() {
	var edges []edge
	for i := range c.comps {
		edges = append(edges, slices.Concat(c.comps[i].edges...)...)
	}
	p := make([]float64, len(c.nets))
	for i := range c.nets {
		p[i] = c.nets[i].source
	}
	widen(p, edges, nil, func(n int) bool { return c.nets[n].open == free })
	for i := range c.nets {
		c.nets[i].bound = p[i]
	}
}

// widen carries pressures along the edges until nothing rises: the widest path. No net gets more than most has for it (nil for no limit),
// and a net that blocks passes nothing on.
func widen(p []float64, edges []edge, most []float64, blocks func(n int) bool) {
	for i := range most {
		p[i] = min(p[i], most[i])
	}
	for changed := true; changed; {
		changed = false
		for _, e := range edges {
			v := min(p[e.from], e.limit)
			if most != nil {
				v = min(v, most[e.to])
			}
			if v > p[e.to] && !blocks(e.from) {
				p[e.to], changed = v, true
			}
		}
	}
}

// commands reads what the stop and the start do.
func (c *Circuit) commands(n Network) Faults {
	var faults Faults
	c.stop = make([]bool, len(c.comps))
	for _, name := range n.Stop {
		i, ok := c.index[name]
		if !ok {
			faults = append(faults, Fault{Kind: UnknownComponent, Components: []string{name}, What: "named by the stop"})
			continue
		}
		if !c.comps[i].hasCoil() {
			faults = append(faults, Fault{Kind: UnknownPosition, Components: []string{name}, What: "named by the stop"})
		}
		c.stop[i] = true
	}
	for _, name := range sortedKeys(n.Start) {
		i, ok := c.index[name]
		if !ok {
			faults = append(faults, Fault{Kind: UnknownComponent, Components: []string{name}, What: "named by the start"})
			continue
		}
		if c.comps[i].hasCoil() {
			c.comps[i].start = slices.IndexFunc(c.comps[i].Valve.positions(), func(p position) bool { return p.name == n.Start[name] })
		}
		if c.comps[i].start < 0 {
			faults = append(faults, Fault{Kind: UnknownPosition, Components: []string{name}, What: n.Start[name]})
		}
	}
	return faults
}

func (c Component) hasCoil() bool { return c.Kind == ValveKind && c.Valve.Moved == ByCoil }

// wrong finds what is wrong with a component by itself.
func (c Component) wrong(name string) Faults {
	var faults Faults
	add := func(kind FaultKind, what string, value float64) {
		faults = append(faults, Fault{Kind: kind, Components: []string{name}, What: what, Value: value})
	}
	positive := func(what string, value float64) {
		if !(value > 0) || math.IsInf(value, 0) {
			add(NotPositive, what, value)
		}
	}
	within := func(what string, value, last int) {
		if value < 0 || value > last {
			add(NotAKind, what, float64(value))
		}
	}
	if c.Kind.String() == "" {
		add(NotAKind, "kind", float64(c.Kind))
	}
	switch c.Kind {
	case Compressor, Regulator, ReliefValve:
		positive("pressure", c.Pressure)
	case Manifold, Receiver:
		if positive("ports", float64(c.count())); c.count() > mostPorts {
			add(NotAKind, "more ports than any block has", float64(c.count()))
		}
	case FlowControl:
		within("way of throttling", int(c.Throttles), int(From2To1))
	case ValveKind:
		within("ways", int(c.Valve.Ways), int(FiveThree))
		within("what moves it", int(c.Valve.Moved), int(ByAir))
		within("return", int(c.Valve.Return), int(Remembers))
		within("centre", int(c.Valve.Centre), int(PressureCentre))
		within("pilot", int(c.Valve.Pilot), int(Direct))
		if c.Valve.Service && c.Valve.Moved != ByHand {
			add(NotAKind, "a valve for service that no hand moves", float64(c.Valve.Moved))
		}
	case CylinderKind:
		y := c.Cylinder
		within("acting", int(y.Acting), int(Pulling))
		if y.Acting != Pulling {
			positive("rear area", y.Rear)
		}
		if y.Acting != Pushing {
			positive("front area", y.Front)
		}
		if !(y.Friction >= 0) || math.IsInf(y.Friction, 0) {
			add(NotFinite, "friction", y.Friction)
		}
		for _, f := range slices.Concat(y.Spring[:], y.Load) {
			if math.IsInf(f, 0) || math.IsNaN(f) {
				add(NotFinite, "spring or load", f)
			}
		}
		if len(y.Load) == 1 {
			add(NotFinite, "load at one end alone", y.Load[0])
		}
	}
	return faults
}

// sets joins numbers into disjoint sets.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) root(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// join reports whether the two were apart.
func (s sets) join(i, j int) bool {
	i, j = s.root(i), s.root(j)
	s[max(i, j)] = min(i, j)
	return i != j
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func names(ports ...Port) []string {
	var n []string
	for _, p := range ports {
		n = append(n, p.Component)
	}
	slices.Sort(n)
	return slices.Compact(n)
}
