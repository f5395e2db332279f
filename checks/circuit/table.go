package circuit

import "slices"

// MostStates is how many start states one branch may have. A table has up to nine rows for each, of some hundred bytes.
const MostStates = 1 << 12

// An Event is what happens to the machine, from a state with air and electricity on.
type Event int

const (
	Normal           Event = iota // nothing happens: where the state brings the rod to, from anywhere
	ElectricityLost               // no coil has current; hand valves that spring back are let go, as in all events but Normal
	AirLost                       // the line at the compressor is open; coils keep their current
	AirBackUnpowered              // after the loss of both, the air comes back
	AirBackPowered                // after the loss of air alone, it comes back
	StopPressed                   // the coils that the stop names lose their current
	IsolatedForWork               // every isolator is shut and no coil has current
	ControllerReset               // no coil has current, then the controller gives its start
	StopReleased                  // after the stop, the coils that it names have the current again that they had before; no rows where it names none
)

func (e Event) String() string {
	return name([]string{"normal", "electricity lost", "air lost", "air back without electricity", "air back with electricity", "stop pressed", "isolated for work", "controller reset", "stop released"}, int(e))
}

// Events are all of them, in order.
func Events() []Event {
	return []Event{Normal, ElectricityLost, AirLost, AirBackUnpowered, AirBackPowered, StopPressed, IsolatedForWork, ControllerReset, StopReleased}
}

// A Setting is a valve and the position that operation or memory chooses for it.
type Setting struct{ Component, Position string }

// A Row is what one cylinder does on one event, from one state of the valves that it hangs on.
type Row struct {
	Cylinder string
	Event    Event
	// From has every valve that the cylinder hangs on and that is operated or remembers, by name, before the event.
	From []Setting
	// At has the positions of all components of the branch after the event, by name.
	At []Setting
	Outcome
	// RearBleeds and FrontBleeds are the hand valves that can let out what is trapped in a chamber, sorted. They say nothing of their marking.
	RearBleeds, FrontBleeds []string
}

// A Store is what holds in a receiver on one event, from one state. One that is cut off with air in it is Supplied, by itself: what counts is whether
// its High is above zero.
type Store struct {
	Receiver string
	Event    Event
	From     []Setting
	Condition
	Bleeds []string
}

// A Table is the behaviour of a whole circuit. Rows are sorted by cylinder, event and state, stores by receiver, event and state.
type Table struct {
	Rows   []Row
	Stores []Store
}

// Table judges every cylinder and receiver over every event and every state of what they hang on. The error is Faults of kind TooManyStates.
func (c *Circuit) Table() (Table, error) {
	var t Table
	var faults Faults
	for i := range c.comps {
		part := &c.comps[i]
		if part.Kind != CylinderKind && part.Kind != Receiver {
			continue
		}
		b := c.branch(c.chambers(part)...)
		if f := b.tooLarge(); f != nil {
			faults = append(faults, *f)
			continue
		}
		if part.Kind == Receiver {
			t.Stores = append(t.Stores, b.stores(part)...)
		} else {
			t.Rows = b.rows(t.Rows, part)
		}
	}
	if len(faults) > 0 {
		return t, faults
	}
	return t, nil
}

// Depends names the valves whose state a cylinder or receiver hangs on: those of which several states are judged for it.
func (c *Circuit) Depends(name string) []string {
	i, ok := c.index[name]
	if !ok {
		return nil
	}
	return c.branch(c.chambers(&c.comps[i])...).chosen()
}

// A Pair is where two cylinders can come to rest in one normal state of the valves, and that state.
type Pair struct {
	A, B Span
	From []Setting
}

// Together finds where two cylinders can come to rest in each normal state of the valves that either hangs on. The error is Faults.
func (c *Circuit) Together(first, second string) ([]Pair, error) {
	var nets []int
	for _, name := range []string{first, second} {
		i, ok := c.index[name]
		if !ok || c.comps[i].Kind != CylinderKind {
			return nil, Faults{{Kind: UnknownComponent, Components: []string{name}, What: "as a cylinder"}}
		}
		nets = append(nets, c.chambers(&c.comps[i])...)
	}
	b := c.branch(nets...)
	if f := b.tooLarge(); f != nil {
		return nil, Faults{*f}
	}
	var pairs []Pair
	b.each(func(choice []int) {
		s := b.settle(choice, surroundings{air: true, powered: always}, nil)
		one := b.outcome(&c.comps[c.index[first]], s, anywhere)
		two := b.outcome(&c.comps[c.index[second]], s, anywhere)
		pairs = append(pairs, Pair{one.After, two.After, b.settings(choice)})
	})
	return pairs, nil
}

var anywhere = Span{0, 1}

func always(int) bool { return true }
func never(int) bool  { return false }

// chambers are the nets of a cylinder's or receiver's ports.
func (c *Circuit) chambers(part *component) []int {
	var nets []int
	for _, p := range part.ports() {
		if part.Kind == CylinderKind || p == "1" {
			nets = append(nets, part.port[p])
		}
	}
	return nets
}

func (b *branch) chosen() []string {
	var n []string
	for i := range b.comps {
		if b.comps[i].choices > 1 {
			n = append(n, b.comps[i].name)
		}
	}
	return n
}

func (b *branch) tooLarge() *Fault {
	if b.states() <= MostStates {
		return nil
	}
	return &Fault{Kind: TooManyStates, Components: b.chosen()}
}

// each calls do with every choice of positions. The slice is not to be kept.
func (b *branch) each(do func(choice []int)) {
	choice := make([]int, len(b.comps))
	for {
		do(choice)
		i := 0
		for ; i < len(choice); i++ {
			if choice[i]++; choice[i] < b.comps[i].choices {
				break
			}
			choice[i] = 0
		}
		if i == len(choice) {
			return
		}
	}
}

func (b *branch) settings(choice []int) []Setting {
	var s []Setting
	for i := range b.comps {
		if b.comps[i].choices > 1 {
			s = append(s, Setting{b.comps[i].name, b.comps[i].positions[choice[i]].name})
		}
	}
	return s
}

func (b *branch) positions(s *settled) []Setting {
	var all []Setting
	for i := range b.comps {
		if len(b.comps[i].positions) > 1 {
			all = append(all, Setting{b.comps[i].name, b.comps[i].positions[s.position[i]].name})
		}
	}
	return all
}

// steps are the surroundings that an event goes through.
func (c *Circuit) steps(e Event) []surroundings {
	unpowered := surroundings{air: true, powered: never, handsOff: true}
	stopped := surroundings{air: true, powered: func(id int) bool { return !c.stop[id] }, handsOff: true}
	switch e {
	case ElectricityLost:
		return []surroundings{unpowered}
	case AirLost:
		return []surroundings{{powered: always, handsOff: true}}
	case AirBackUnpowered:
		return []surroundings{{powered: never, handsOff: true}, unpowered}
	case AirBackPowered:
		return []surroundings{{powered: always, handsOff: true}, {air: true, powered: always, handsOff: true}}
	case StopPressed:
		return []surroundings{stopped}
	case StopReleased:
		return []surroundings{stopped, {air: true, powered: always, handsOff: true}}
	case IsolatedForWork:
		return []surroundings{{air: true, powered: never, handsOff: true, isolated: true}}
	case ControllerReset:
		return []surroundings{unpowered, {air: true, powered: always, handsOff: true, controlled: true}}
	}
	return nil
}

// happen calls do with every event and start state, and the states that the branch passes through, from the start to the end.
func (b *branch) happen(do func(e Event, choice []int, passed []*settled)) {
	var starts []*settled
	b.each(func(choice []int) {
		starts = append(starts, b.settle(choice, surroundings{air: true, powered: always}, nil))
	})
	for _, e := range Events() {
		if e == StopReleased && !slices.Contains(b.c.stop, true) {
			continue // nothing was stopped
		}
		steps := b.c.steps(e)
		next := 0
		b.each(func(choice []int) {
			passed := []*settled{starts[next]}
			next++
			for _, around := range steps {
				passed = append(passed, b.settle(choice, around, passed[len(passed)-1]))
			}
			do(e, choice, passed)
		})
	}
}

// rows appends those of a cylinder.
func (b *branch) rows(rows []Row, part *component) []Row {
	b.happen(func(e Event, choice []int, passed []*settled) {
		r := Row{Cylinder: part.name, Event: e, From: b.settings(choice)}
		place := anywhere
		for _, s := range passed[:len(passed)-1] {
			place = b.outcome(part, s, place).After
		}
		last := passed[len(passed)-1]
		r.At = b.positions(last)
		r.Outcome = b.outcome(part, last, place)
		for i, p := range []string{"rear", "front"} {
			if n, ok := part.port[p]; ok {
				*[]*[]string{&r.RearBleeds, &r.FrontBleeds}[i] = b.bleeds(n, last)
			}
		}
		rows = append(rows, r)
	})
	return rows
}

func (b *branch) stores(part *component) []Store {
	var stores []Store
	n := part.port["1"]
	b.happen(func(e Event, choice []int, passed []*settled) {
		last := passed[len(passed)-1]
		stores = append(stores, Store{part.name, e, b.settings(choice), b.condition(last, n), b.bleeds(n, last)})
	})
	return stores
}

// outcome judges a cylinder in a state of the branch.
func (b *branch) outcome(part *component, s *settled, place Span) Outcome {
	condition := func(port string) Condition {
		if n, ok := part.port[port]; ok {
			return b.condition(s, n)
		}
		return Condition{Status: Exhausted}
	}
	return part.Cylinder.move(condition("rear"), condition("front"), place)
}

// bleeds are the hand valves that let out, in another position, what is kept in a net.
func (b *branch) bleeds(n int, last *settled) []string {
	i := b.local[n]
	if last.high[i] == 0 || last.status[i] != Trapped && !slices.Contains(last.feeds, true) {
		return nil
	}
	var found []string
	for _, hand := range b.c.hands {
		s := b.c.seeker(false, func(n int, _ bool) bool { return b.c.nets[n].open != shut })
		for id := range b.c.comps {
			switch place := b.place[id]; {
			case id == hand:
				s.position[id] = anyPosition
			case place >= 0:
				s.position[id] = last.position[place]
			case len(b.c.comps[id].positions) > 1 && !b.c.comps[id].Valve.Service:
				s.position[id] = noPosition // where it stands is not known here
			}
		}
		if s.beyond(n, false) {
			found = append(found, b.c.comps[hand].name)
		}
	}
	return found
}

// Check finds what is wrong with the way of the air: what can be told of any state. It is sorted by kind and name.
func (c *Circuit) Check() Faults {
	var faults Faults
	supplied := func(n int) bool { return c.canReach(n, true, func(n *net) bool { return n.source > 0 }) }
	for i := range c.nets {
		n := &c.nets[i]
		if len(n.outputs) > 1 {
			faults = append(faults, Fault{Kind: OutputsJoined, Components: names(n.outputs...), Ports: sortedPorts(n.outputs)})
		}
		if len(n.unjoined) > 0 && supplied(i) {
			faults = append(faults, Fault{Kind: OpenPort, Components: names(n.unjoined...), Ports: sortedPorts(n.unjoined)})
		}
	}
	for i := range c.comps {
		part := &c.comps[i]
		var dry []Port
		comes := false
		for _, p := range part.ports() {
			s := supplied(part.port[p])
			comes = comes || s
			pilot := part.Kind == ValveKind && slices.Contains(part.Valve.pilots(), p) || part.Kind == PilotCheck && p == "12"
			if (pilot || part.Kind == CylinderKind) && !s {
				dry = append(dry, Port{part.name, p})
			}
		}
		switch {
		case part.Kind == Silencer || part.Kind == ExhaustThrottle || part.Kind == Plug:
		case !comes && slices.ContainsFunc(part.ports(), func(p string) bool { return c.letsOut(part, p) }):
		case !comes:
			faults = append(faults, Fault{Kind: NoSupply, Components: []string{part.name}})
		case len(dry) > 0:
			faults = append(faults, Fault{Kind: NoSupply, Components: []string{part.name}, Ports: dry})
		}
		if part.Kind != CylinderKind {
			continue
		}
		for _, p := range part.ports() {
			if n := part.port[p]; supplied(n) && !c.canReach(n, false, func(n *net) bool { return n.open != shut }) {
				faults = append(faults, Fault{Kind: NoExhaust, Components: []string{part.name}, Ports: []Port{{part.name, p}}})
			}
		}
	}
	slices.SortStableFunc(faults, func(a, b Fault) int {
		if a.Kind != b.Kind {
			return int(a.Kind - b.Kind)
		}
		return slices.Compare(a.Components, b.Components)
	})
	return faults
}

// letsOut tells whether a port of a component that may stand in an exhaust leads to one that is made as such.
func (c *Circuit) letsOut(part *component, port string) bool {
	switch part.Kind {
	case Tee, Manifold, Filter, Check, FlowControl, Gauge:
		return c.canReach(part.port[port], false, func(n *net) bool { return n.open != shut && len(n.unjoined) == 0 })
	}
	return false
}

func sortedPorts(ports []Port) []Port {
	p := slices.Clone(ports)
	slices.SortFunc(p, func(a, b Port) int {
		return slices.Compare([]string{a.Component, a.Name}, []string{b.Component, b.Name})
	})
	return p
}
