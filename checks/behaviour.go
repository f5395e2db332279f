package checks

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// behaviours judges the circuit, and each cylinder on each event.
func (x *examiner) behaviours() {
	var behaves behaviour
	var closed []string // that have no way out at all
	why := "the circuit can't be followed: put right what is wrong with it first"
	if x.m.Air.Given() {
		c, err := circuit.New(x.network(0))
		var faults circuit.Faults
		if err == nil {
			faults = x.newFaults(c.Check())
			behaves, err = x.behave(func(circuit.Network) {})
			x.behaves = behaves
			x.stores(c)
		}
		var more circuit.Faults
		if errors.As(err, &more) {
			faults = append(faults, more...)
		}
		x.circuitFaults(faults)
		for _, f := range faults {
			if f.Kind == circuit.NoExhaust {
				closed = append(closed, f.Components...)
			}
		}
		if err == nil {
			why = ""
		}
	}
	for _, name := range sorted(x.m.Cylinders) {
		x.behaviour(name, x.m.Cylinders[name], behaves, slices.Contains(closed, name), why)
	}
}

// newFaults leaves out those of parts that no air reaches at all, for which the cylinders that they were to feed speak, and of what lies
// beyond a regulator or check valve fitted backward, which has a finding of its own.
func (x *examiner) newFaults(all circuit.Faults) circuit.Faults {
	turned := map[string]bool{}
	for _, way := range x.air.ways {
		for _, name := range way.Backward {
			turned[name] = true
		}
	}
	all = slices.DeleteFunc(all, func(f circuit.Fault) bool {
		return slices.ContainsFunc(f.Components, func(name string) bool {
			if turned[name] || x.air.beyond(name) != "" {
				return true
			}
			_, why := x.air.at(name)
			_, cylinder := x.m.Cylinders[name]
			return why != "" && (f.Kind == circuit.NoExhaust || f.Kind == circuit.NoSupply && !(cylinder && x.airRunsAt(name) > 0))
		})
	})
	for _, name := range sorted(turned) {
		if x.m.Air.Parts[name].Kind.Value == "check valve" {
			all = append(all, circuit.Fault{Kind: circuit.NoSupply, Components: []string{name}})
		}
	}
	return all
}

// A behaviour is what each cylinder does, by its name: on each event, one row for each state of the valves before it.
type behaviour map[string]map[circuit.Event][]circuit.Row

// behave solves the circuit with a change, with the load of every sweep.
func (x *examiner) behave(change func(n circuit.Network)) (behaviour, error) {
	sweeps := 1
	for _, name := range x.motion.cylinders {
		sweeps = max(sweeps, len(x.sweepsLed(name)))
	}
	all := behaviour{}
	for k := range sweeps {
		n := x.network(k)
		change(n)
		c, err := circuit.New(n)
		if err != nil {
			return nil, err
		}
		t, err := c.Table()
		if err != nil {
			return nil, err
		}
		for _, r := range t.Rows {
			if all[r.Cylinder] == nil {
				all[r.Cylinder] = map[circuit.Event][]circuit.Row{}
			}
			all[r.Cylinder][r.Event] = append(all[r.Cylinder][r.Event], r)
		}
	}
	return all, nil
}

// away reports whether a rod leaves its harmless end, driven or carried by its load. That it gives as shut-in air leaks is not counted.
func away(r circuit.Row, harmless string) bool {
	motion := r.Out
	if harmless == "out" {
		motion = r.In
	}
	return motion == circuit.Moves || motion == circuit.Falls
}

// stuck reports whether a rod may be left elsewhere than at its harmless end, though nothing drives it from there.
func stuck(r circuit.Row, harmless string) bool {
	if away(r, harmless) {
		return false
	}
	if harmless == "out" {
		return r.After.From < 1
	}
	return r.After.To > 0
}

// rowOf is the first row of which something holds.
func rowOf(rows []circuit.Row, holds func(r circuit.Row) bool) *circuit.Row {
	if i := slices.IndexFunc(rows, holds); i >= 0 {
		return &rows[i]
	}
	return nil
}

// judgedEvents are the events on which what the valves do is judged, and not the load.
var judgedEvents = []circuit.Event{circuit.ElectricityLost, circuit.StopPressed, circuit.AirBackUnpowered}

// calm reports whether a cylinder goes to its harmless end when electricity is lost, and leaves it on no event that is judged.
func (b behaviour) calm(name, harmless string) bool {
	for _, e := range judgedEvents {
		if rowOf(b[name][e], func(r circuit.Row) bool { return away(r, harmless) }) != nil {
			return false
		}
	}
	return rowOf(b[name][circuit.ElectricityLost], func(r circuit.Row) bool { return stuck(r, harmless) }) == nil
}

// A cure is a change of the circuit with which a cylinder is calm.
type cure struct {
	text    string
	blame   schema.Input
	crosses bool // the tubes alone are to blame
}

// cure looks for the least change that makes a cylinder calm and no other one less so. Each is solved.
func (x *examiner) cure(name string, y schema.Cylinder, before behaviour) *cure {
	works := func(change func(n circuit.Network)) bool {
		after, err := x.behave(change)
		if err != nil || !after.calm(name, y.Harmless.Value) {
			return false
		}
		for other, o := range x.m.Cylinders {
			if o.Harmless.Given() && before.calm(other, o.Harmless.Value) && !after.calm(other, o.Harmless.Value) {
				return false
			}
		}
		return true
	}
	swap, swapText, tube := x.swap(name)
	if swap != nil && works(swap) {
		return &cure{text: capital(swapText), blame: tube, crosses: true}
	}
	for _, valve := range x.valvesOf(before[name][circuit.ElectricityLost]) {
		p := x.m.Air.Parts[valve]
		if p.Function.Value == "5/3" || p.Returns.Value == "spring" {
			continue
		}
		spring := func(n circuit.Network) {
			c := n.Components[valve]
			c.Valve.Return = circuit.BySpring
			n.Components[valve] = c
		}
		text := fmt.Sprintf("Use a valve that a spring brings back for %s", valve)
		if works(spring) {
			return &cure{text: text, blame: p.Returns}
		}
		if swap != nil && works(func(n circuit.Network) { spring(n); swap(n) }) {
			return &cure{text: text + ", and " + swapText, blame: p.Returns}
		}
	}
	for _, valve := range x.valvesOf(before[name][circuit.ElectricityLost]) {
		p := x.m.Air.Parts[valve]
		if p.Function.Value != "5/3" {
			continue
		}
		single := func(n circuit.Network) {
			c := n.Components[valve]
			c.Valve.Ways, c.Valve.Return = circuit.FiveTwo, circuit.BySpring
			n.Components[valve] = c
		}
		text := fmt.Sprintf("Use a 5/2 that a spring brings back for %s", valve)
		if works(single) {
			return &cure{text: text, blame: p.Function}
		}
		if swap != nil && works(func(n circuit.Network) { single(n); swap(n) }) {
			return &cure{text: text + ", and " + swapText, blame: p.Function}
		}
	}
	return nil
}

// swap exchanges the two tubes that lead to a valve's outlets from a double-acting cylinder: there they are easiest to change.
func (x *examiner) swap(name string) (change func(n circuit.Network), text string, tube schema.Input) {
	type end struct {
		run  string
		at   schema.Text
		port circuit.Port
	}
	outlet := func(from string) *end {
		for came := ""; ; {
			run, here, there := "", schema.Text{}, schema.Text{}
			for _, r := range sorted(x.m.Air.Runs) {
				if r == came {
					continue
				}
				if t := x.m.Air.Runs[r]; t.From.Value == from {
					run, here, there = r, t.From, t.To
				} else if t.To.Value == from {
					run, here, there = r, t.To, t.From
				}
			}
			if run == "" || !here.Given() {
				return nil
			}
			port := circuitPort(there.Value)
			switch x.m.Air.Parts[port.Component].Kind.Value {
			case "valve":
				return &end{run, there, port}
			case "flow control":
				from, came = port.Component+"."+map[string]string{"1": "2", "2": "1"}[port.Name], run
			default:
				return nil
			}
		}
	}
	rear, front := outlet(name+".rear"), outlet(name+".front")
	if rear == nil || front == nil || rear.port.Component != front.port.Component {
		return nil, "", nil
	}
	change = func(n circuit.Network) {
		for run, r := range n.Runs {
			for _, p := range []*circuit.Port{&r.A, &r.B} {
				switch *p {
				case rear.port:
					*p = front.port
				case front.port:
					*p = rear.port
				}
			}
			n.Runs[run] = r
		}
	}
	text = fmt.Sprintf("swap the tubes at %s: %s to port %s, which leads to the rear of the cylinder, and %s to port %s", rear.port.Component, rear.run, front.port.Name, front.run, rear.port.Name)
	return change, text, rear.at
}

// valvesOf are the valves that rows hang on.
func (x *examiner) valvesOf(rows []circuit.Row) []string {
	valves := map[string]bool{}
	for _, r := range rows {
		for _, s := range r.At {
			if x.m.Air.Parts[s.Component].Kind.Value == "valve" {
				valves[s.Component] = true
			}
		}
	}
	return sorted(valves)
}

// said puts a row in words.
func said(r circuit.Row) string {
	verbs := map[circuit.Motion]string{circuit.Moves: "moves", circuit.Falls: "falls", circuit.Drifts: "drifts"}
	out, in := verbs[r.Out], verbs[r.In]
	switch {
	case out != "" && in != "":
		return fmt.Sprintf("%s out or %s in", out, in)
	case out != "":
		return out + " out"
	case in != "":
		return in + " in"
	}
	return "stays"
}

// from says in which state the valves were.
func from(r circuit.Row) string {
	var states []string
	for _, s := range r.From {
		states = append(states, s.Component+" at "+s.Position)
	}
	if len(states) == 0 {
		return ""
	}
	return "with " + inWords(states)
}

// does says what the rod does from every state.
func does(rows []circuit.Row) string {
	if len(rows) > 0 && !slices.ContainsFunc(rows, func(r circuit.Row) bool { return said(r) != said(rows[0]) }) {
		return said(rows[0])
	}
	var all []string
	for _, r := range rows {
		text := strings.TrimSpace(said(r) + " " + from(r))
		if !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	return strings.Join(all, "; ")
}

// behaviour judges one cylinder on each event. What the valves do to its chambers is known where the circuit is solved; how the rod goes
// asks for its load too.
func (x *examiner) behaviour(name string, y schema.Cylinder, all behaviour, closed bool, why string) {
	if _, dry := x.air.at(name); dry != "" && !y.Harmless.Given() {
		return // which has a finding of its own
	}
	solved := why == ""
	if why == "" {
		why = x.unknownBehaviour(name, y)
	}
	judged := y.Harmless.Given() && why == ""
	var healed *cure
	if judged && !all.calm(name, y.Harmless.Value) {
		healed = x.cure(name, y, all)
	}
	var plugs []string
	for _, e := range circuit.Events() {
		if (e == circuit.StopPressed || e == circuit.StopReleased) && len(x.m.Air.Stop) == 0 {
			continue
		}
		s := newSubject(x.m, "behaviour", name+" on "+e.String(), y.At)
		x.add(s)
		s.text("cylinder", name)
		s.text("event", e.String())
		if f := eventFacts[e]; why != "" && y.Harmless.Given() && f != nil {
			s.open(why, f...)
		}
		if !solved {
			continue
		}
		rows := all[name][e]
		x.assumedOf(s, rows)
		if why == "" {
			s.text("does", does(rows))
			is := func(m circuit.Motion) bool {
				return rowOf(rows, func(r circuit.Row) bool { return r.Out == m || r.In == m }) != nil
			}
			s.flag("moves", is(circuit.Moves))
			s.flag("falls", is(circuit.Falls))
			s.flag("drifts", is(circuit.Drifts))
		}
		switch e {
		case circuit.Normal:
			if !closed { // which has a finding of its own
				plugs = x.shutIn(s, name, rows)
			}
			if slices.ContainsFunc(x.valvesOf(rows), func(v string) bool { return x.m.Air.Parts[v].Moved.Value == "coil" }) {
				s.flag("declared", y.Harmless.Given(), y.Harmless)
			}
			if why == "" {
				x.inTheMiddle(s, name, y, rows)
				x.springBack(s, name, y)
			}
		case circuit.StopReleased:
			if r := x.m.Air.Resumes; r.Assumed != "" {
				x.assume(s, r.Path, fmt.Sprint(r.Value), r.Assumed)
			}
		case circuit.IsolatedForWork:
			if !closed {
				x.trapped(s, name, y, rows, plugs)
			}
		}
		if judged && e != circuit.Normal {
			x.againstHarmless(s, name, y, e, all, healed)
		}
	}
}

// eventFacts are what is judged on an event.
var eventFacts = map[circuit.Event][]string{
	circuit.ElectricityLost:  {"awayOnPower", "stuck", "crossed"},
	circuit.StopPressed:      {"awayOnPower"},
	circuit.AirLost:          {"fallsAway"},
	circuit.AirBackUnpowered: {"awayOnReturn"},
	circuit.ControllerReset:  {"awayOnStart"},
	circuit.StopReleased:     {"awayOnRelease"},
}

// assumedOf lists the properties of valves that the builder left to the defaults.
func (x *examiner) assumedOf(s *Subject, rows []circuit.Row) {
	for _, valve := range x.valvesOf(rows) {
		p := x.m.Air.Parts[valve]
		of := []schema.Text{p.Moved}
		switch p.Function.Value {
		case "5/3":
			of = append(of, p.Centre)
		case "5/2":
			of = append(of, p.Returns)
		default:
			of = append(of, p.Returns, p.Rest)
		}
		for _, v := range of {
			if v.Assumed != "" {
				x.assume(s, v.Path, v.Value, v.Assumed)
			}
		}
	}
}

// againstHarmless holds what a cylinder does against the end at which it harms nobody.
func (x *examiner) againstHarmless(s *Subject, name string, y schema.Cylinder, e circuit.Event, b behaviour, healed *cure) {
	harmless := y.Harmless.Value
	s.text("harmless", harmless)
	leaves := func(e circuit.Event) *circuit.Row {
		return rowOf(b[name][e], func(r circuit.Row) bool { return away(r, harmless) })
	}
	crossed := healed != nil && healed.crosses
	blame := []schema.Input{y.Harmless}
	text := fmt.Sprintf("Check `harmless: %q`: if the rod harms nobody there, choose valves that bring it there without electricity", harmless)
	if healed != nil {
		blame, text = []schema.Input{healed.blame, y.Harmless}, healed.text
	}
	lost := leaves(circuit.ElectricityLost)
	row := leaves(e)
	left := rowOf(b[name][e], func(r circuit.Row) bool { return stuck(r, harmless) })
	if weak := cmp.Or(row, left); weak != nil && healed == nil {
		if held := x.heldTooWeakly(name, y, harmless, weak); held != "" {
			blame, text = []schema.Input{y.Bore, y.Harmless}, held
		}
	}
	if e == circuit.AirLost {
		row = rowOf(b[name][e], func(r circuit.Row) bool {
			return away(r, harmless) && (r.Out == circuit.Falls || r.In == circuit.Falls)
		})
	}
	switch e {
	case circuit.ElectricityLost:
		s.flag("crossed", crossed && lost != nil, blame...)
		s.flag("awayOnPower", lost != nil && !crossed, blame...)
		s.flag("stuck", left != nil && lost == nil && !x.springYields(name, y), blame...)
		if row == nil {
			row = left
		}
	case circuit.StopPressed:
		s.flag("awayOnPower", row != nil && lost == nil, blame...)
	case circuit.AirBackUnpowered:
		s.flag("awayOnReturn", row != nil && lost == nil && leaves(circuit.StopPressed) == nil, blame...)
		if row == nil {
			row = x.returnsLate(s, name, y, b)
		}
	case circuit.AirLost:
		s.flag("fallsAway", row != nil, y.Harmless)
		x.toHold(s, name, harmless)
	case circuit.ControllerReset:
		away := row != nil && lost == nil
		s.flag("awayOnStart", away)
		if away {
			blame, text = x.startless(name, y)
			s.flag("awayOnStart", away, blame...)
		}
	case circuit.StopReleased:
		away := row != nil && x.m.Air.Resumes.Value && leaves(circuit.StopPressed) == nil
		s.flag("awayOnRelease", away, x.m.Air.Resumes)
		text = "Let the stop take the command away with the current (`resumes: false`): the coils come on again only when the start is given by hand, after the stop is let go"
	}
	if row != nil {
		s.text("remedyRest", text)
		s.text("when", strings.TrimSpace(said(*row)+" "+from(*row)))
	}
}

// heldTooWeakly says what holds a rod at its harmless end where the valve does bring air there, and the load is too much for it; "" where no
// air holds it.
func (x *examiner) heldTooWeakly(name string, y schema.Cylinder, harmless string, row *circuit.Row) string {
	push, pull := pistonAreas(y)
	area, own, other := pull, row.Front, row.Rear
	if harmless == "out" {
		area, own, other = push, row.Rear, row.Front
	}
	load, friction := x.loadFrom(name, harmless), breakaway*push
	held := own.Low * area
	if math.IsNaN(area) || other.High > 0 || own.Low <= breakaway || load <= 0 || load+friction <= held {
		return ""
	}
	rod := y.Bore.SI*y.Bore.SI - 4/math.Pi*area // squared, of the side that has it
	bore := math.Sqrt((4/math.Pi*load + own.Low*rod) / (own.Low - breakaway))
	return fmt.Sprintf("The valve does bring air there, but the %s of its pressure are less than %s of load with %s of friction: take a bore of %s or more with the same rod, or a counterweight or spring that takes %s off the load",
		schema.Format(schema.ForceDim, held), schema.Format(schema.ForceDim, load), schema.Format(schema.ForceDim, friction), schema.Format(schema.LengthDim, math.Ceil(bore*1e4)/1e4), schema.Format(schema.ForceDim, load+friction-held))
}

// loadFrom is the most with which loads drive a rod from its harmless end, N.
func (x *examiner) loadFrom(name, harmless string) float64 {
	most := 0.0
	for k := range x.sweepsLed(name) {
		for _, load := range x.loadOn(name, k) {
			if harmless == "out" {
				load = -load
			}
			most = max(most, load)
		}
	}
	return most
}

// toHold sets what a lock must bear that keeps the rod from leaving its harmless end under its load.
func (x *examiner) toHold(s *Subject, name, harmless string) {
	most := x.loadFrom(name, harmless)
	var from []schema.Input
	for _, l := range sorted(x.m.Loads) {
		from = append(from, x.m.Loads[l].Mass)
	}
	for _, l := range x.motion.links {
		from = append(from, x.m.Links[l].Mass)
	}
	s.set("hold", schema.ForceDim, most, from...)
	s.set("holdAdvised", schema.ForceDim, 1.5*most, from...)
}

// trapped sets what air stays in a chamber when the machine is shut off for work. Air that a better shut-off valve or an exhaust without
// its plug would let out is their fault, which has a finding of its own.
func (x *examiner) trapped(s *Subject, name string, y schema.Cylinder, rows []circuit.Row, plugs []string) {
	left := kept(y, rows)
	if len(left) > 0 {
		if b, err := x.behave(func(n circuit.Network) {
			exhausting(n)
			for _, plug := range plugs {
				n.Components[plug] = circuit.Component{Kind: circuit.Silencer}
			}
		}); err == nil {
			left = kept(y, b[name][circuit.IsolatedForWork])
		}
	}
	valves := x.valvesOf(rows)
	var blame []schema.Input
	for _, v := range valves {
		blame = append(blame, x.m.Air.Parts[v].Function)
	}
	s.flag("trapped", len(left) > 0, blame...)
	if len(left) == 0 {
		return
	}
	worst := left[0]
	var chambers []string
	for _, k := range left {
		chambers = append(chambers, k.chamber)
		if k.force > worst.force {
			worst = k
		}
	}
	s.text("trappedIn", worst.chamber)
	s.set("trappedPressure", schema.PressureDim, worst.pressure, blame...)
	s.set("trappedForce", schema.ForceDim, worst.force, append(blame, y.Bore)...)
	s.text("remedyTrapped", x.untrap(name, y, chambers, valves))
}

// exhausting makes every shut-off valve let out what is behind it.
func exhausting(n circuit.Network) {
	for part, c := range n.Components {
		if c.Kind == circuit.Isolator {
			c.Exhausts = true
			n.Components[part] = c
		}
	}
}

// untrap says how the air gets out of chambers, each way solved: bleeds, or a centre that lets it out where no load falls then.
func (x *examiner) untrap(name string, y schema.Cylinder, chambers, valves []string) string {
	var ways []string
	bled, err := x.behave(func(n circuit.Network) {
		exhausting(n)
		for _, chamber := range chambers {
			bleed(n, circuit.Port{Component: name, Name: chamber})
		}
	})
	if err == nil && len(kept(y, bled[name][circuit.IsolatedForWork])) == 0 {
		ways = append(ways, fmt.Sprintf("fit a hand valve (2/2, shut at rest) on a manifold in the tube at the %s of %s, to let the air out by", inWords(chambers), name))
	}
	for _, v := range valves {
		p := x.m.Air.Parts[v]
		if p.Function.Value != "5/3" || p.Centre.Value == "exhaust" {
			continue
		}
		b, err := x.behave(func(n circuit.Network) {
			exhausting(n)
			c := n.Components[v]
			c.Valve.Centre = circuit.ExhaustCentre
			n.Components[v] = c
		})
		if err != nil || len(kept(y, b[name][circuit.IsolatedForWork])) > 0 {
			continue
		}
		falls := func(r circuit.Row) bool { return r.Out == circuit.Falls || r.In == circuit.Falls }
		if rowOf(b[name][circuit.ElectricityLost], falls) == nil {
			ways = append(ways, fmt.Sprintf("use a valve with an exhaust centre for %s", v))
		}
	}
	if len(ways) == 0 {
		return fmt.Sprintf("Give the air at the %s of %s a way out that a hand can open", inWords(chambers), name)
	}
	return capital(strings.Join(ways, ", or "))
}

// bleed puts a hand valve that lets out into the tube at a port. The names have a character that no part's name may have.
func bleed(n circuit.Network, at circuit.Port) {
	tee, valve := "."+at.Name+" tee", "."+at.Name+" bleed"
	n.Components[tee] = circuit.Component{Kind: circuit.Tee}
	n.Components[valve] = circuit.Component{Kind: circuit.ValveKind, Valve: circuit.Valve{Ways: circuit.TwoTwo, Moved: circuit.ByHand, Service: true}}
	n.Components[valve+" out"] = circuit.Component{Kind: circuit.Silencer}
	for run, r := range n.Runs {
		for _, p := range []*circuit.Port{&r.A, &r.B} {
			if *p == at {
				*p = circuit.Port{Component: tee, Name: "1"}
			}
		}
		n.Runs[run] = r
	}
	n.Runs[tee] = circuit.Run{A: circuit.Port{Component: tee, Name: "2"}, B: at}
	n.Runs[valve] = circuit.Run{A: circuit.Port{Component: tee, Name: "3"}, B: circuit.Port{Component: valve, Name: "1"}}
	n.Runs[valve+" out"] = circuit.Run{A: circuit.Port{Component: valve, Name: "2"}, B: circuit.Port{Component: valve + " out", Name: "1"}}
}

func isTrapped(c circuit.Condition) bool { return c.Status == circuit.Trapped && c.High > 0 }

// A keeping is air that stays in a chamber, and the force that it can give to the piston.
type keeping struct {
	chamber         string
	pressure, force float64
}

// kept are the chambers in which air is shut in that no hand valve lets out, each with the highest pressure.
func kept(y schema.Cylinder, rows []circuit.Row) []keeping {
	push, pull := pistonAreas(y)
	if math.IsNaN(pull) {
		pull = push // without a rod given, the most that it can be
	}
	rear, front := keeping{chamber: "rear"}, keeping{chamber: "front"}
	for _, r := range rows {
		if isTrapped(r.Rear) && len(r.RearBleeds) == 0 {
			rear.pressure = max(rear.pressure, r.Rear.High)
		}
		if isTrapped(r.Front) && len(r.FrontBleeds) == 0 {
			front.pressure = max(front.pressure, r.Front.High)
		}
	}
	rear.force, front.force = rear.pressure*push, front.pressure*pull
	return slices.DeleteFunc([]keeping{rear, front}, func(k keeping) bool { return k.pressure <= 0 })
}

// shutIn finds a chamber that is shut in though every valve stands where it should let its air out: a plugged exhaust, as a rule. It
// names the plugs without which the air leaves.
func (x *examiner) shutIn(s *Subject, name string, rows []circuit.Row) (plugs []string) {
	shut := func(r circuit.Row) bool {
		meant := slices.ContainsFunc(r.At, func(p circuit.Setting) bool { // a centre, or a 2/2, may be there to shut in
			f := x.m.Air.Parts[p.Component].Function.Value
			return f == "2/2" || f == "5/3" && p.Position == "centre"
		})
		return !meant && (isTrapped(r.Rear) || isTrapped(r.Front))
	}
	row := rowOf(rows, shut)
	s.flag("shutIn", row != nil)
	if row == nil {
		return nil
	}
	chamber := "rear"
	if isTrapped(row.Front) {
		chamber = "front"
	}
	here := func(r circuit.Row) bool {
		return shut(r) && (chamber == "rear" && isTrapped(r.Rear) || chamber == "front" && isTrapped(r.Front))
	}
	s.text("shutInWhere", chamber)
	s.text("when", cmp.Or(from(*row), "whatever is done"))
	var plugged []string
	var blame []schema.Input
	for _, run := range sorted(x.m.Air.Runs) {
		r := x.m.Air.Runs[run]
		for _, ends := range [][2]schema.Text{{r.From, r.To}, {r.To, r.From}} {
			port, plug := circuitPort(ends[0].Value), circuitPort(ends[1].Value).Component
			if (port.Name != "3" && port.Name != "5") || x.m.Air.Parts[plug].Kind.Value != "plug" || !slices.Contains(x.valvesOf(rows), port.Component) {
				continue
			}
			freed, err := x.behave(func(n circuit.Network) { n.Components[plug] = circuit.Component{Kind: circuit.Silencer} })
			if err == nil && rowOf(freed[name][circuit.Normal], here) == nil {
				plugged = append(plugged, ends[0].Value)
				plugs = append(plugs, plug)
				blame = append(blame, ends[1])
			}
		}
	}
	s.flag("shutIn", true, blame...)
	s.text("remedyShutIn", fmt.Sprintf("Give the air at the %s of %s a way out in that position: no check valve or plug on the way to the valve's exhaust", chamber, name))
	if len(plugged) > 0 {
		s.text("remedyShutIn", fmt.Sprintf("Take the plug out of %s and put a silencer there", plugged[0]))
	}
	return plugs
}
