package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/wiring"
	"trammel.example/schema"
)

const (
	// contactOhms is what a contact in good order has. Common practice, no source.
	contactOhms = 0.05
	// fuseDrop is what is lost in a fuse at its rated current, V. Common practice, no source.
	fuseDrop = 0.1
	// bridgeOhms is what stands in for a fuse that is bridged, Ω.
	bridgeOhms = 1e-3
	// inrush is how much more an alternating current's coil takes while its core is open. Common practice, no source.
	inrush = 5
	// inHand is what a supply has over what is drawn from it. Common practice, no source; rules/wiring.cue has it too.
	inHand = 1.25
	// wireLost is the share of the voltage that wires may lose. Common practice, no source; rules/wiring.cue has it too.
	wireLost = 0.05
	// live is the share of its voltage from which a coil may stay pulled in. Common practice, no source: it lets go at 0.1 to 0.4.
	live = 0.1
	// felt is the share of the supply's voltage by which a driver is known for a coil's: less than what a diode takes that is turned round.
	felt = 0.02
)

// fuseSizes are rated currents of IEC 60127, A.
var fuseSizes = []float64{0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10}

// fusesMade are the rated currents of IEC 60127-2 and, for blade fuses, ISO 8820-3, A; both from memory.
var fusesMade = []float64{0.032, 0.04, 0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3, 3.15, 4, 5, 6.3, 7.5, 8, 10, 15, 20, 25, 30}

// An electric is the wiring of a machine made ready for the solver.
type electric struct {
	x     *examiner
	w     schema.Wiring
	nodes map[string]int
	coils []schema.CoilOf
	area  map[string]float64 // of wires in place of their own, m²
	// drivenBy are the drivers through which a coil gets its current, by the coil's name; a coil with none hangs on contacts alone.
	drivenBy map[string][]string
	let      map[letKey]lettingGo
	solved   map[string]*wired          // by the state and what stands in for something else
	nets     map[netKey]map[string]bool // what hangs together, once it is asked
	sets     []energised                // coils that are on together
	planned  map[string][]spell         // by the coil's name
	bridged  string                     // a fuse in whose place a wire is: it shows what the fuse would have to carry
	pulls    string                     // a coil of alternating current whose core is still open
	flipped  map[string]bool            // coils whose minus is at the higher voltage when they are on
	turned   map[string]bool            // coils whose plus and minus are exchanged: what else is computed leaves their diodes out
}

// A wireState is one way in which the circuit stands.
type wireState struct {
	volts   float64
	warm    bool // coils are as warm as they get
	drivers map[string]bool
	opens   string // the contacts that are open
	// Of coils that are let go: those of which the current drives what is round them, and a diode of a drop across one of them in the place
	// of what takes its current.
	lets    map[string]bool
	across  schema.CoilOf
	drop    float64
	without quench
}

// A wired is the solution of a state, by the names of what stands in it.
type wired struct {
	coils   map[string]float64 // voltage from plus to minus
	current map[string]float64 // of wires, fuses and drivers, without sign
	drop    map[string]float64 // of wires, V
	lost    map[string]float64 // of fuses, contacts and drivers, V
	volts   func(terminal string) float64
	supply  float64
}

// wiring examines the circuit; nil without one.
func (x *examiner) wiring() *electric {
	if !x.m.Wiring.Given() {
		return nil
	}
	e := &electric{x: x, w: x.m.Wiring, nodes: map[string]int{}, coils: x.m.CoilsOf(), area: map[string]float64{}, drivenBy: map[string][]string{}, solved: map[string]*wired{}, nets: map[netKey]map[string]bool{}, flipped: map[string]bool{}, turned: map[string]bool{}, let: map[letKey]lettingGo{}}
	for _, name := range sorted(x.m.Terminals()) {
		for _, t := range x.m.Terminals()[name] {
			e.nodes[t] = len(e.nodes)
		}
	}
	for _, c := range e.coils {
		for _, d := range sorted(e.w.Drivers) {
			s, err := e.solve(wireState{volts: e.w.Supply.Volts.SI, drivers: map[string]bool{d: true}})
			without, err2 := e.solve(wireState{volts: e.w.Supply.Volts.SI})
			if err == nil && err2 == nil && math.Abs(s.coils[c.Name]) > felt*e.w.Supply.Volts.SI && math.Abs(without.coils[c.Name]) <= felt*e.w.Supply.Volts.SI {
				e.drivenBy[c.Name] = append(e.drivenBy[c.Name], d)
			}
		}
	}
	for _, c := range e.coils {
		s, err := e.solve(wireState{volts: e.w.Supply.Volts.SI, drivers: e.driversFor([]string{c.Name})})
		e.flipped[c.Name] = err == nil && s.coils[c.Name] < 0
		e.turned[c.Name] = e.flipped[c.Name] && e.coilOf(c).Suppressed.Value == "diode"
	}
	clear(e.solved) // some with diodes that are left out from here on
	e.planned, e.sets = e.together()
	for _, c := range e.coils {
		e.coil(c)
	}
	for _, name := range sorted(e.w.Drivers) {
		e.driver(name)
	}
	for _, name := range sorted(e.w.Wires) {
		e.wire(name)
	}
	for _, name := range sorted(e.w.Fuses) {
		e.fuse(name)
	}
	for _, name := range sorted(e.w.Contacts) {
		e.contact(name)
	}
	for _, name := range sorted(e.w.Controllers) {
		e.controller(name)
	}
	e.source()
	return e
}

func ohmsOf(c schema.Coil) float64 {
	switch {
	case c.Ohms.Given():
		return c.Ohms.SI
	case c.Current.Given():
		return c.Volts.SI / c.Current.SI
	}
	return c.Volts.SI * c.Volts.SI / c.Watts.SI
}

func (e *electric) coilOf(c schema.CoilOf) schema.Coil { return e.x.m.Air.Parts[c.Valve].Coil }

func (e *electric) ohmsOfWire(name string) float64 {
	w := e.w.Wires[name]
	perMetre := 0.0
	switch area, other := e.area[name]; {
	case other:
		perMetre = wiring.OhmsPerMetre(area)
	case w.AWG.Given():
		perMetre = wiring.OhmsPerMetreAWG(w.AWG.SI)
	default:
		perMetre = wiring.OhmsPerMetre(w.Area.SI)
	}
	return wiring.Warm(perMetre*w.Length.SI, e.x.m.Site.Warmest.SI)
}

func (e *electric) areaOf(name string) float64 {
	w := e.w.Wires[name]
	if area, other := e.area[name]; other {
		return area
	}
	if w.AWG.Given() {
		return wiring.AreaOfAWG(w.AWG.SI)
	}
	return w.Area.SI
}

// network is the circuit in a state, with the resistors of what has a name, and which of them are wires' copper. Coils are cold, at 20 °C, when they take
// the most, unless it says that they are warm.
func (e *electric) network(state wireState) (n wiring.Network, named map[string]int, wires map[string]bool) {
	n = wiring.Network{Nodes: len(e.nodes), Plus: e.nodes["supply.+"], Minus: e.nodes["supply.-"], Volts: state.volts}
	add := func(a, b string, ohms float64) int {
		n.Resistors = append(n.Resistors, wiring.Resistor{A: e.nodes[a], B: e.nodes[b], Ohms: ohms})
		return len(n.Resistors) - 1
	}
	named, wires = map[string]int{}, map[string]bool{}
	for _, name := range sorted(e.w.Wires) {
		w := e.w.Wires[name]
		named[name], wires[name] = add(w.From.Value, w.To.Value, e.ohmsOfWire(name)+w.Plugs.SI), true
	}
	for _, name := range sorted(e.w.Fuses) {
		f := e.w.Fuses[name]
		ohms := fuseDrop / f.Current.SI
		if f.Ohms.Given() {
			ohms = f.Ohms.SI
		}
		if name == e.bridged {
			ohms = bridgeOhms
		}
		named[name] = add(name+".1", name+".2", ohms)
	}
	for _, name := range sorted(e.w.Contacts) {
		if state.opens == "" || e.w.Contacts[name].Opens.Value != state.opens {
			named[name] = add(name+".1", name+".2", contactOhms)
		}
	}
	for _, name := range sorted(e.w.Drivers) {
		d := e.w.Drivers[name]
		if state.drivers[name] {
			named[name] = add(name+".out", name+".common", d.Ohms.SI)
		}
		if d.Suppressed.Value && !state.without.drivers {
			path := wiring.Diode{A: e.nodes[name+".out"], K: n.Plus}
			if d.Side.Value == "high" {
				path = wiring.Diode{A: n.Minus, K: e.nodes[name+".out"]}
			}
			n.Diodes = append(n.Diodes, path)
		}
	}
	for _, name := range sorted(e.w.Controllers) {
		if draws := e.w.Controllers[name].Draws; draws.Given() {
			add(name+".+", name+".-", e.w.Supply.Volts.SI/draws.SI)
		}
	}
	for _, name := range sorted(e.w.Loads) {
		add(name+".+", name+".-", e.w.Supply.Volts.SI/e.w.Loads[name].Draws.SI)
	}
	for _, c := range e.coils {
		coil, plus, minus := e.coilOf(c), e.nodes[c.Plus], e.nodes[c.Minus]
		ohms := ohmsOf(coil)
		if state.warm {
			ohms = e.warmOhms(c)
		}
		switch {
		case state.lets[c.Name]:
		case c.Name == e.pulls && coil.Kind.Value == "ac":
			add(c.Plus, c.Minus, ohms/inrushOf(coil))
		default:
			add(c.Plus, c.Minus, ohms)
		}
		switch {
		case state.drop > 0 && c == state.across: // it takes the current whichever pole is plus
			n.Diodes = append(n.Diodes, wiring.Diode{A: minus, K: plus, Drop: state.drop})
			if e.flipped[c.Name] {
				n.Diodes[len(n.Diodes)-1].A, n.Diodes[len(n.Diodes)-1].K = plus, minus
			}
		case coil.Suppressed.Value == "diode" && !e.turned[c.Name]:
			n.Diodes = append(n.Diodes, wiring.Diode{A: minus, K: plus})
		case coil.Suppressed.Value == "varistor":
			at := varistorAt * coil.Volts.SI
			if coil.Clamps.Given() {
				at = coil.Clamps.SI
			}
			n.Diodes = append(n.Diodes, wiring.Diode{A: minus, K: plus, Drop: at}, wiring.Diode{A: plus, K: minus, Drop: at})
		}
	}
	for _, name := range sorted(e.w.Diodes) {
		if d := e.w.Diodes[name]; !slices.Contains(state.without.diodes, name) {
			one := wiring.Diode{A: e.nodes[name+".A"], K: e.nodes[name+".K"]}
			if d.Clamps.Given() {
				one.Drop = d.Clamps.SI + forward
			}
			n.Diodes = append(n.Diodes, one)
		}
	}
	return n, named, wires
}

// solve finds the voltages. What is asked again is not solved again: of each wire its current is asked, in the same states.
func (e *electric) solve(state wireState) (*wired, error) {
	if len(e.area) > 0 {
		return e.solveAnew(state)
	}
	key := fmt.Sprint(state.volts, state.warm, state.opens, e.bridged, e.pulls, sorted(state.drivers))
	if s, done := e.solved[key]; done {
		return s, nil
	}
	s, err := e.solveAnew(state)
	if err == nil {
		e.solved[key] = s
	}
	return s, err
}

func (e *electric) solveAnew(state wireState) (*wired, error) {
	n, named, wires := e.network(state)
	s, err := n.Solve()
	if err != nil {
		return nil, err
	}
	out := &wired{coils: map[string]float64{}, current: map[string]float64{}, drop: map[string]float64{}, lost: map[string]float64{}, supply: s.Supply}
	out.volts = func(terminal string) float64 { return s.Volts[e.nodes[terminal]] }
	for name, i := range named {
		out.current[name] = math.Abs(s.Currents[i])
	}
	for name, i := range named {
		amps := math.Abs(s.Currents[i])
		if wires[name] {
			plugs := e.w.Wires[name].Plugs
			out.drop[name] = amps * (n.Resistors[i].Ohms - plugs.SI)
			if plugs.Given() {
				out.lost[plugsOf+name] = amps * plugs.SI
				out.current[plugsOf+name] = amps
			}
		} else {
			out.lost[name] = amps * n.Resistors[i].Ohms
		}
	}
	for _, c := range e.coils {
		v := out.volts(c.Plus) - out.volts(c.Minus)
		if math.IsNaN(v) {
			v = 0
		}
		out.coils[c.Name] = v
	}
	return out, nil
}

// plugsOf begins the name under which a wire's plugs are counted.
const plugsOf = "the plugs of "

// driversFor are those that are on when some coils are wanted.
func (e *electric) driversFor(coils []string) map[string]bool {
	on := map[string]bool{}
	for _, c := range coils {
		for _, d := range e.drivenBy[c] {
			on[d] = true
		}
	}
	return on
}

func (e *electric) coil(c schema.CoilOf) {
	coil, supply := e.coilOf(c), e.w.Supply
	s := newSubject(e.x.m, "coil", c.Name, coil.At)
	e.x.add(s)
	if a := coil.Suppressed; a.Assumed != "" {
		e.x.assume(s, a.Path, a.Value, a.Assumed)
	}
	if coil.Kind.Value == "ac" && !coil.Inrush.Given() {
		e.x.assume(s, coil.Path+".inrush", fmt.Sprintf("%d times its current", inrush), "common practice: a coil for alternating current, until its core is shut")
	}
	amps := coil.Volts.SI / ohmsOf(coil)
	s.set("rated", schema.VoltageDim, coil.Volts.SI, coil.Volts)
	s.set("takes", schema.CurrentDim, amps, coil.Watts, coil.Current, coil.Ohms)
	s.text("plus", c.Plus)
	s.text("minus", c.Minus)
	s.flag("otherKind", coil.Kind.Value != supply.Kind.Value, coil.Kind, supply.Kind)
	s.text("supplyKind", supply.Kind.Value)
	if pin, output := e.reaches(c, func(t string) bool { return e.isOutput(t) }); pin != "" {
		s.text("pin", pin)
		s.set("pinCurrent", schema.CurrentDim, supply.Volts.SI/ohmsOf(coil), coil.Watts, coil.Current, coil.Ohms)
		s.set("pinLimit", schema.CurrentDim, output.Current.SI, output.Current)
		return // what it gets by a pin that can't bear it is nothing to go by
	}
	low := supply.Volts.SI * (1 - supply.Tolerance.SI)
	e.pulls = c.Name
	lost, set := e.worst(low, e.setsWith(c.Name), func(w *wired, _ energised) float64 { return -math.Abs(w.coils[c.Name]) })
	e.pulls = ""
	lowest := -lost
	alone, err := e.solve(wireState{volts: supply.Volts.SI * (1 + supply.Tolerance.SI), drivers: e.driversFor([]string{c.Name})})
	if err != nil || math.IsInf(lost, 0) {
		s.open(fmt.Sprintf("its voltage can't be computed: %v", err), "lowest")
		return
	}
	from := []schema.Input{supply.Volts, coil.Volts}
	if s.flag("reversed", e.turned[c.Name], coil.Suppressed); e.turned[c.Name] {
		return
	}
	if lowest < live*low {
		s.flag("dead", true, coil.Volts)
		return
	}
	s.flag("dead", false)
	s.set("lowest", schema.VoltageDim, lowest, from...)
	least, most := (1-coil.Tolerance.SI)*coil.Volts.SI, (1+coil.Tolerance.SI)*coil.Volts.SI
	s.set("least", schema.VoltageDim, least, coil.Volts)
	s.worst("lowest", set.String()+", and a supply of "+schema.Format(schema.VoltageDim, low))
	s.set("highest", schema.VoltageDim, math.Abs(alone.coils[c.Name]), from...)
	s.set("most", schema.VoltageDim, most, coil.Volts)
	if w, err := e.solve(wireState{volts: low, warm: true, drivers: e.driversFor(set.coils)}); err == nil {
		warm := math.Abs(w.coils[c.Name])
		s.set("warmVolts", schema.VoltageDim, warm, from...)
		s.set("warmCurrent", schema.CurrentDim, warm/e.warmOhms(c), from...)
	}
	// The supply's own tolerance is not the wires' fault.
	s.set("lostShare", schema.NumberDim, (low-lowest)/low, e.blameWay(c, low)...)
	s.text("remedyWire", e.wider(c, low))
	s.text("remedyLow", e.otherVolts(coil, lowest/low, func(arrives float64) float64 { return 1 - least/arrives }))
	if low >= least {
		s.text("remedyLow", s.Facts["remedyWire"].Text) // what the supply gives would do
	}
	s.text("remedyHigh", e.otherVolts(coil, math.Abs(alone.coils[c.Name])/(supply.Volts.SI*(1+supply.Tolerance.SI)), func(arrives float64) float64 { return most/arrives - 1 }))
	e.quenching(s, c, coil)
	e.resetting(s, c)
	e.stopping(s, c)
	if plan := e.planned[c.Name]; len(plan) > 0 {
		on := onTime(plan, e.x.m.Cycle.Period.SI)
		s.set("onShare", schema.NumberDim, on/e.x.m.Cycle.Period.SI, coil.Duty, e.x.m.Cycle.Period)
		s.set("duty", schema.NumberDim, coil.Duty.SI, coil.Duty)
		s.set("onTime", schema.TimeDim, on, e.x.m.Cycle.Period)
		s.set("period", schema.TimeDim, on/coil.Duty.SI, e.x.m.Cycle.Period)
	}
}

// warmOhms is the resistance of a coil that has been on for long.
func (e *electric) warmOhms(c schema.CoilOf) float64 {
	return wiring.Warm(ohmsOf(e.coilOf(c)), e.x.m.Site.Warmest.SI+coilRise)
}

// coilRise is how much warmer than the room a coil gets that stays on, K. Common practice, no source: 40 to 70.
const coilRise = 60

// way is what the coil's current passes: the wires, fuses, contacts and drivers that carry more when it is on.
func (e *electric) way(c schema.CoilOf) func(name string) bool {
	volts := e.w.Supply.Volts.SI
	on, err := e.solve(wireState{volts: volts, drivers: e.driversFor([]string{c.Name})})
	off, err2 := e.solve(wireState{volts: volts})
	if err != nil || err2 != nil || len(e.drivenBy[c.Name]) == 0 {
		return func(string) bool { return true } // one that is always on
	}
	least := 0.01 * volts / ohmsOf(e.coilOf(c))
	return func(name string) bool { return on.current[name]-off.current[name] > least }
}

// blameWay is what loses most on the coil's way: a wire, or what lies between wires.
func (e *electric) blameWay(c schema.CoilOf, volts float64) []schema.Input {
	s, err := e.solve(wireState{volts: volts, drivers: e.driversFor([]string{c.Name})})
	if err != nil {
		return nil
	}
	way := e.way(c)
	worst := mostOf(s.drop, way)
	if other := mostOf(s.lost, way); other != "" && s.lost[other] > s.drop[worst] {
		return []schema.Input{e.w.Fuses[other].Current, e.w.Contacts[other].Current, e.w.Drivers[other].Ohms, e.w.Wires[strings.TrimPrefix(other, plugsOf)].Plugs}
	}
	w := e.w.Wires[worst]
	return []schema.Input{w.Area, w.AWG, w.Length}
}

// mostOf is the name with the largest value of those that count; like ones go by their names, and not by the last digit.
func mostOf(values map[string]float64, counts func(name string) bool) (most string) {
	for _, name := range sorted(values) {
		if counts(name) && (most == "" || values[name] > 1.000001*values[most]) {
			most = name
		}
	}
	return most
}

// wider makes the wire that loses most the next size, again and again, until the coil has its voltage.
func (e *electric) wider(c schema.CoilOf, low float64) string {
	way := e.way(c)
	e.pulls = c.Name
	defer func() { clear(e.area); e.pulls = "" }()
	var changed []string
	for {
		lost := 0.0
		var at *wired
		for _, set := range e.setsWith(c.Name) {
			s, err := e.solve(wireState{volts: low, drivers: e.driversFor(set.coils)})
			if err != nil {
				return ""
			}
			if v := low - math.Abs(s.coils[c.Name]); v > lost || at == nil {
				lost, at = v, s
			}
		}
		if lost <= wireLost*low {
			if len(changed) == 0 {
				return "Take wires of a larger area"
			}
			var words []string
			for _, name := range changed {
				words = append(words, fmt.Sprintf("%s %s", name, schema.Format(schema.AreaDim, e.area[name])))
			}
			return fmt.Sprintf("Give %s: computed again, the coil has %s then", inWords(words), schema.Format(schema.VoltageDim, low-lost))
		}
		worst := mostOf(at.drop, way)
		other := mostOf(at.lost, way)
		if wire, plugs := strings.CutPrefix(other, plugsOf); plugs && at.lost[other] > at.drop[worst] {
			return fmt.Sprintf("Most of it, %s, is lost in the plugs of %s and not in the copper: make them anew, or solder or screw it", schema.Format(schema.VoltageDim, at.lost[other]), wire)
		}
		if other != "" && at.lost[other] > at.drop[worst] {
			return fmt.Sprintf("Most of it, %s, is lost in %s and not in the wires: take one for more current", schema.Format(schema.VoltageDim, at.lost[other]), other)
		}
		next := slices.IndexFunc(wiring.Areas(), func(a float64) bool { return a > 1.001*e.areaOf(worst) })
		if next < 0 {
			return "No usual wire does: bring the supply nearer, or take a higher voltage for supply and coils"
		}
		e.area[worst] = wiring.Areas()[next]
		if !slices.Contains(changed, worst) {
			changed = append(changed, worst)
		}
	}
}

// otherVolts is a supply of the coil's own voltage that stays near enough to it, or the voltage of supply or coil that fits.
func (e *electric) otherVolts(coil schema.Coil, share float64, within func(supply float64) float64) string {
	supply := e.w.Supply.Volts.SI
	if near := within(supply * share); near > 0 && math.Abs(supply/coil.Volts.SI-1) < 0.01 {
		return fmt.Sprintf("Take a supply that keeps its %s within %.1f %%", schema.Format(schema.VoltageDim, supply), math.Floor(1000*near)/10)
	}
	if ratio := supply * share / coil.Volts.SI; ratio > 0.8 && ratio < 1.2 {
		return fmt.Sprintf("Set the supply to %s", schema.Format(schema.VoltageDim, coil.Volts.SI/share))
	}
	return fmt.Sprintf("Take coils for %s, or a supply of %s for these", schema.Format(schema.VoltageDim, supply), schema.Format(schema.VoltageDim, coil.Volts.SI))
}

// What a way along the circuit may go through beside wires.
type through int

const (
	fuses through = 1 << iota
	contacts
	takers // coils, drivers, loads and controllers, which may fail as a short
)

// net are the terminals that hang together with one by wires and what is given. It goes through no taker from a terminal where it ends.
func (e *electric) net(from string, over through, ends map[string]bool) map[string]bool {
	key := netKey{from, over, ends != nil}
	if e.nets[key] == nil {
		e.nets[key] = e.follow(from, over, ends)
	}
	return e.nets[key]
}

// A netKey is what is asked of the wiring's ways; where they end at all is the same each time.
type netKey struct {
	from string
	over through
	ends bool
}

func (e *electric) follow(from string, over through, ends map[string]bool) map[string]bool {
	seen := map[string]bool{from: true}
	for grown := true; grown; {
		grown = false
		join := func(a, b string) {
			if seen[a] != seen[b] {
				seen[a], seen[b], grown = true, true, true
			}
		}
		taker := func(a, b string) {
			if over&takers != 0 && (seen[a] && !ends[a] || seen[b] && !ends[b]) {
				join(a, b)
			}
		}
		for _, w := range e.w.Wires {
			join(w.From.Value, w.To.Value)
		}
		if over&fuses != 0 {
			for name := range e.w.Fuses {
				join(name+".1", name+".2")
			}
		}
		if over&contacts != 0 {
			for name := range e.w.Contacts {
				join(name+".1", name+".2")
			}
		}
		for name := range e.w.Drivers {
			taker(name+".out", name+".common")
		}
		for name := range e.w.Controllers {
			taker(name+".+", name+".-")
		}
		for name := range e.w.Loads {
			taker(name+".+", name+".-")
		}
		for _, c := range e.coils {
			taker(c.Plus, c.Minus)
		}
	}
	return seen
}

func (e *electric) isOutput(terminal string) bool {
	name, out, _ := strings.Cut(terminal, ".")
	k, ok := e.w.Controllers[name]
	if !ok {
		return false
	}
	_, ok = k.Outputs[out]
	return ok
}

// reaches finds the controller's output to which a coil is joined with nothing between.
func (e *electric) reaches(c schema.CoilOf, is func(string) bool) (string, schema.Output) {
	for _, terminal := range []string{c.Plus, c.Minus} {
		net := e.net(terminal, fuses|contacts, nil)
		if net["supply.+"] || net["supply.-"] {
			continue
		}
		for _, t := range sorted(net) {
			if is(t) {
				name, out, _ := strings.Cut(t, ".")
				return t, e.w.Controllers[name].Outputs[out]
			}
		}
	}
	return "", schema.Output{}
}

// quenching looks for the way of the coil's current when a driver lets go.
func (e *electric) quenching(s *Subject, c schema.CoilOf, coil schema.Coil) {
	if coil.Kind.Value != "dc" || len(e.drivenBy[c.Name]) == 0 {
		return
	}
	quenched := coil.Suppressed.Value != "none"
	for _, d := range e.drivenBy[c.Name] {
		quenched = quenched || e.w.Drivers[d].Suppressed.Value
	}
	for _, name := range e.across(c) {
		d := e.w.Diodes[name]
		quenched = true
		s.text("diode", name)
		s.set("diodeCurrent", schema.CurrentDim, d.Current.SI, d.Current)
		s.set("diodeBlocks", schema.VoltageDim, d.Blocks.SI, d.Blocks)
		s.set("blocksLeast", schema.VoltageDim, 2*e.w.Supply.Volts.SI, e.w.Supply.Volts)
	}
	s.flag("bare", !quenched, coil.Suppressed)
	s.set("blocksAdvised", schema.VoltageDim, 2*e.w.Supply.Volts.SI)
	s.text("drivers", inWords(e.drivenBy[c.Name]))
}

// across are the diodes that take a coil's current when a driver lets go: from the end that was lower to the one that was higher.
func (e *electric) across(c schema.CoilOf) (diodes []string) {
	high, low := c.Plus, c.Minus
	if e.flipped[c.Name] {
		high, low = low, high
	}
	above, below := e.net(high, fuses|contacts, nil), e.net(low, 0, nil)
	for _, name := range sorted(e.w.Diodes) {
		if above[name+".K"] && below[name+".A"] {
			diodes = append(diodes, name)
		}
	}
	return diodes
}

// resetting looks whether a coil may come on while the controller starts.
func (e *electric) resetting(s *Subject, c schema.CoilOf) {
	if e.x.m.Air.Start[c.Valve].Value == c.Position {
		return // it is meant to, and the behaviour is judged with it
	}
	for _, d := range e.drivenBy[c.Name] {
		driver := e.w.Drivers[d]
		for _, t := range sorted(e.net(d+".in", 0, nil)) {
			if !e.isOutput(t) {
				continue
			}
			name, out, _ := strings.Cut(t, ".")
			k := e.w.Controllers[name]
			output := k.Outputs[out]
			floats := output.AtReset.Value == "floats" && !driver.Pulled.Value
			on := output.AtReset.Value == k.Active.Value
			s.flag("firesAtReset", floats || on, output.AtReset, k.Active)
			s.text("output", t)
			s.text("atReset", map[bool]string{true: "hangs in the air", false: "is " + output.AtReset.Value}[output.AtReset.Value == "floats"])
			s.text("remedyReset", fmt.Sprintf("Pull the input of %s to its off level with a resistor of 10 kΩ (`pulled: true`)", d))
			if on {
				s.text("remedyReset", fmt.Sprintf("Take an output that is %s while the controller starts, or turn the sense of %s round", map[string]string{"high": "low", "low": "high"}[k.Active.Value], d))
			}
		}
	}
}

// stopping looks what a stop and a guard take from a coil whose driver is on.
func (e *electric) stopping(s *Subject, c schema.CoilOf) {
	on := map[string]bool{}
	for d := range e.w.Drivers {
		on[d] = true
	}
	left := func(opens string) (float64, bool) {
		solved, err := e.solve(wireState{volts: e.w.Supply.Volts.SI, drivers: on, opens: opens})
		if err != nil {
			return 0, false
		}
		return math.Abs(solved.coils[c.Name]), true
	}
	var stops, guards []string
	for _, name := range sorted(e.w.Contacts) {
		switch e.w.Contacts[name].Opens.Value {
		case "stop":
			stops = append(stops, name)
		case "guard":
			guards = append(guards, name)
		}
	}
	valve := e.x.m.Air.Parts[c.Valve]
	limit := live * valve.Coil.Volts.SI
	if v, ok := left("stop"); ok {
		s.flag("stopLeaves", v > limit, e.blameStop(stops)...)
		s.set("leftByStop", schema.VoltageDim, v)
		listed := slices.ContainsFunc(e.x.m.Air.Stop, func(t schema.Text) bool { return t.Value == c.Valve })
		s.flag("stopDiffers", listed != (v <= limit), e.stopInputs(c.Valve)...)
		s.text("stopSays", map[bool]string{true: "`air.stop` lists it, and the contacts of the stop leave it its current", false: "the contacts of the stop take its current, and `air.stop` does not list it"}[listed])
		s.text("stops", "no contact that the stop opens")
		if len(stops) > 0 {
			s.text("stops", inWords(stops))
		}
	}
	if len(guards) == 0 {
		return
	}
	if v, ok := left("guard"); ok {
		s.flag("guardLeaves", v > limit, e.blameStop(guards)...)
		s.text("guards", inWords(guards))
	}
}

func (e *electric) blameStop(contacts []string) []schema.Input {
	for _, name := range contacts {
		return []schema.Input{e.w.Contacts[name].Opens}
	}
	return nil
}

func (e *electric) stopInputs(valve string) []schema.Input {
	for _, t := range e.x.m.Air.Stop {
		if t.Value == valve {
			return []schema.Input{t}
		}
	}
	return nil
}

func (e *electric) driver(name string) {
	d := e.w.Drivers[name]
	s := newSubject(e.x.m, "driver", name, d.At)
	e.x.add(s)
	amps, set := e.worst(e.w.Supply.Volts.SI*(1+e.w.Supply.Tolerance.SI), e.sets, func(w *wired, _ energised) float64 { return w.current[name] })
	if math.IsInf(amps, 0) {
		return
	}
	s.set("current", schema.CurrentDim, amps, d.Current)
	s.worst("current", set.String())
	s.set("limit", schema.CurrentDim, d.Current.SI, d.Current)
	s.set("share", schema.NumberDim, amps/d.Current.SI, d.Current)
	s.set("advised", schema.CurrentDim, amps/0.7, d.Current)
	s.set("heat", schema.PowerDim, amps*amps*d.Ohms.SI, d.Ohms)
	e.input(s, name, d)
}

// input holds what a driver's input takes against the controller's output that it hangs on. An output that is active low leaves it open at
// which voltage the driver conducts.
func (e *electric) input(s *Subject, name string, d schema.Driver) {
	output, pin := e.outputOf(name)
	if pin == "" || !d.Input.Given() {
		return
	}
	s.text("output", pin, output.Current)
	if d.Input.Volts.Given() && output.active == "high" {
		if output.Volts.Given() {
			s.set("inputVolts", schema.VoltageDim, output.Volts.SI, output.Volts)
			s.set("inputWanted", schema.VoltageDim, d.Input.Volts.SI, d.Input.Volts)
		} else {
			s.open(fmt.Sprintf("what `%s` has when it is high is not given: add `volts: V: …` to it", pin), "inputVolts")
		}
	}
	if !d.Input.Current.Given() {
		return
	}
	taken, with := 0.0, []string(nil)
	for _, other := range sorted(e.w.Drivers) {
		if _, same := e.outputOf(other); same == pin && e.w.Drivers[other].Input.Current.Given() {
			taken, with = taken+e.w.Drivers[other].Input.Current.SI, append(with, other)
		}
	}
	s.set("inputCurrent", schema.CurrentDim, taken, d.Input.Current, output.Current)
	s.set("outputGives", schema.CurrentDim, output.Current.SI, output.Current)
	s.text("inputs", inWords(with))
}

// A pinOut is a controller's output, with the level at which it switches on.
type pinOut struct {
	schema.Output
	active string
}

// outputOf is the controller's output that a driver hangs on; pin is "" where it is none.
func (e *electric) outputOf(driver string) (output pinOut, pin string) {
	for _, t := range sorted(e.net(driver+".in", 0, nil)) {
		if e.isOutput(t) {
			name, out, _ := strings.Cut(t, ".")
			return pinOut{e.w.Controllers[name].Outputs[out], e.w.Controllers[name].Active.Value}, t
		}
	}
	return output, ""
}

// mostCurrent is the largest current through a wire, a fuse or a contact.
func (e *electric) mostCurrent(name string) float64 {
	amps, _ := e.worst(e.w.Supply.Volts.SI*(1+e.w.Supply.Tolerance.SI), e.sets, func(w *wired, _ energised) float64 { return w.current[name] })
	return amps
}

func (e *electric) wire(name string) {
	w := e.w.Wires[name]
	s := newSubject(e.x.m, "wire", name, w.At)
	e.x.add(s)
	carries := wiring.Carries(e.areaOf(name))
	s.set("current", schema.CurrentDim, e.mostCurrent(name), w.Area, w.AWG)
	s.set("carries", schema.CurrentDim, carries, w.Area, w.AWG)
	if w.Area.Given() {
		if off, near, ok := nearestMade(schema.AreaDim, w.Area.SI, wiring.Made()); ok {
			if wiring.IsGauge(w.Area.SI) {
				off = 0
			}
			s.set("areaOff", schema.AreaDim, off, w.Area)
			s.text("areasMade", near)
		}
	}
	protection, fused := e.protection(name)
	s.flag("unfused", len(fused) == 0, w.Area, w.AWG)
	s.set("protection", schema.CurrentDim, protection, w.Area, w.AWG)
	text := fmt.Sprintf("Fuse it with %s or less where it begins", schema.Format(schema.CurrentDim, fuseBelow(carries)))
	for _, area := range wiring.Areas() {
		if wiring.Carries(area) >= protection {
			text += ", or take a wire of " + schema.Format(schema.AreaDim, area) + " or more"
			break
		}
	}
	s.text("remedyFuse", text)
}

// fuseBelow is the largest rated current of IEC 60127 up to a current.
func fuseBelow(amps float64) float64 {
	largest := fuseSizes[0]
	for _, a := range fuseSizes {
		if a <= amps {
			largest = a
		}
	}
	return largest
}

// protection is the most that flows in a wire for long: what the controller's output gives of which it is the signal, or the largest of
// the fuses behind which it lies, or with none what the supply can give.
func (e *electric) protection(wire string) (amps float64, fused []string) {
	w := e.w.Wires[wire]
	touches := func(net map[string]bool) bool { return net[w.From.Value] || net[w.To.Value] }
	for t := range e.net(w.From.Value, 0, nil) {
		if e.isOutput(t) {
			name, out, _ := strings.Cut(t, ".")
			return e.w.Controllers[name].Outputs[out].Current.SI, nil
		}
	}
	returns := e.net("supply.-", 0, nil)
	if open := e.net("supply.+", contacts|takers, returns); !touches(open) {
		before := e.net("supply.+", contacts, nil)
		for _, name := range sorted(e.w.Fuses) {
			for _, end := range []string{name + ".1", name + ".2"} {
				if !before[end] && touches(e.net(end, contacts|takers, returns)) {
					fused = append(fused, name)
					amps = max(amps, e.w.Fuses[name].Current.SI)
				}
			}
		}
	}
	if len(fused) == 0 {
		amps = e.w.Supply.Current.SI
	}
	return amps, fused
}

func (e *electric) fuse(name string) {
	f := e.w.Fuses[name]
	s := newSubject(e.x.m, "fuse", name, f.At)
	e.x.add(s)
	if !f.Ohms.Given() {
		e.x.assume(s, f.Path+".ohms", schema.Format(schema.ResistanceDim, fuseDrop/f.Current.SI), "common practice: 0.1 V is lost in a fuse at its current")
	}
	e.bridged = name
	amps := e.mostCurrent(name)
	e.bridged = ""
	s.set("current", schema.CurrentDim, amps, f.Current)
	s.set("rated", schema.CurrentDim, f.Current.SI, f.Current)
	if off, near, ok := nearestMade(schema.CurrentDim, f.Current.SI, fusesMade); ok {
		s.set("ratedOff", schema.CurrentDim, off, f.Current)
		s.text("ratingsMade", near)
	}
	s.set("share", schema.NumberDim, amps/f.Current.SI, f.Current)
	next := slices.IndexFunc(fuseSizes, func(a float64) bool { return a >= amps/0.75 })
	if next < 0 {
		next = len(fuseSizes) - 1
	}
	s.set("advised", schema.CurrentDim, fuseSizes[next], f.Current)
	thinnest, least := "", math.Inf(1)
	for _, wire := range sorted(e.w.Wires) {
		_, fused := e.protection(wire)
		if carries := wiring.Carries(e.areaOf(wire)); slices.Contains(fused, name) && carries < least {
			thinnest, least = wire, carries
		}
	}
	if thinnest == "" {
		return
	}
	// What the supply can't give can't flow.
	s.set("lets", schema.CurrentDim, min(f.Current.SI, e.w.Supply.Current.SI), f.Current)
	s.set("carried", schema.CurrentDim, least, f.Current)
	s.text("thinnest", thinnest)
	s.set("largest", schema.CurrentDim, fuseBelow(least), f.Current)
}

func (e *electric) contact(name string) {
	k := e.w.Contacts[name]
	s := newSubject(e.x.m, "contact", name, k.At)
	e.x.add(s)
	e.x.assume(s, k.Path, schema.Format(schema.ResistanceDim, contactOhms)+" when it is shut", "common practice: a contact in good order")
	s.set("current", schema.CurrentDim, e.mostCurrent(name), k.Current)
	s.set("rated", schema.CurrentDim, k.Current.SI, k.Current)
}

// controller looks how far the coils pull the voltage of what thinks down.
func (e *electric) controller(name string) {
	k := e.w.Controllers[name]
	if !k.Draws.Given() {
		return
	}
	s := newSubject(e.x.m, "controller", name, k.At)
	e.x.add(s)
	low := e.w.Supply.Volts.SI * (1 - e.w.Supply.Tolerance.SI)
	across := func(w *wired) float64 { return w.volts(name+".+") - w.volts(name+".-") }
	idle, err := e.solve(wireState{volts: low})
	lost, set := e.worst(low, e.sets, func(w *wired, _ energised) float64 { return -across(w) })
	if err != nil || math.IsNaN(across(idle)) || math.IsInf(lost, 0) || math.IsNaN(lost) {
		s.open(fmt.Sprintf("no voltage comes to %s: join its + and - to the supply", name), "dipShare")
		return
	}
	on, err := e.solve(wireState{volts: low, drivers: e.driversFor(set.coils)})
	if err != nil {
		return // worst has solved it
	}
	worst := ""
	for _, wire := range sorted(e.w.Wires) {
		// Those that the controller's own current passes.
		if idle.current[wire] > 0.01*k.Draws.SI && (worst == "" || on.drop[wire] > 1.000001*on.drop[worst]) {
			worst = wire
		}
	}
	w := e.w.Wires[worst]
	s.set("lowest", schema.VoltageDim, -lost, k.Least, w.Area, w.AWG)
	s.worst("lowest", set.String())
	if k.Least.Given() {
		s.set("least", schema.VoltageDim, k.Least.SI, k.Least)
	}
	s.set("dipShare", schema.NumberDim, (across(idle)+lost)/across(idle), w.Area, w.AWG)
	s.text("shared", worst)
}

func (e *electric) source() {
	supply := e.w.Supply
	s := newSubject(e.x.m, "electric supply", "supply", supply.At)
	e.x.add(s)
	idle, err := e.solve(wireState{volts: supply.Volts.SI})
	if err != nil {
		s.open("what it gives can't be computed", "needed")
		return
	}
	drawn, set := e.worst(supply.Volts.SI, e.sets, func(w *wired, set energised) float64 {
		return idle.supply + e.pulling(set)*(w.supply-idle.supply)
	})
	if math.IsInf(drawn, 0) {
		s.open("what it gives can't be computed", "needed")
		return
	}
	s.set("drawn", schema.CurrentDim, drawn, supply.Current)
	s.set("needed", schema.CurrentDim, inHand*drawn, supply.Current)
	s.set("gives", schema.CurrentDim, supply.Current.SI, supply.Current)
	s.worst("drawn", set.String())
	s.text("on", inWords(set.coils))
	s.text("onWhen", set.when)
}

// A CoilCircuit is what a picture of the wiring says of it.
type CoilCircuit struct {
	Volts map[string]float64    // of each terminal with everything on, V; NaN where nothing brings one
	Amps  map[string]float64    // the most that each wire, fuse, contact and driver carries, A
	Coils map[string][2]float64 // the least that each coil gets, cold and warm, V; none where it gets nothing, or by a pin
}

// CoilCircuitOf solves the wiring of a machine; nil where it has none.
func CoilCircuitOf(m *schema.Machine) *CoilCircuit {
	e := (&examiner{m: m, air: followAir(m), motion: move(m)}).wiring()
	if e == nil {
		return nil
	}
	out := &CoilCircuit{Volts: map[string]float64{}, Amps: map[string]float64{}, Coils: map[string][2]float64{}}
	for _, s := range e.x.subjects {
		if amps, ok := s.Facts["current"]; ok {
			out.Amps[s.Name] = amps.SI
		}
		if warm, ok := s.Facts["warmVolts"]; ok {
			out.Coils[s.Name] = [2]float64{s.Facts["lowest"].SI, warm.SI}
		}
	}
	all := map[string]bool{}
	for d := range e.w.Drivers {
		all[d] = true
	}
	solved, err := e.solve(wireState{volts: e.w.Supply.Volts.SI, drivers: all})
	for t := range e.nodes {
		if out.Volts[t] = math.NaN(); err == nil {
			out.Volts[t] = solved.volts(t)
		}
	}
	return out
}
