package checks

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// pullsIn is how long a coil of alternating current takes its inrush, s. Common practice, no source: its core is shut within some hundredths.
const pullsIn = 0.1

// An energised is a set of coils that are on together.
type energised struct {
	coils []string
	comes []string // those that have just come on
	when  string
}

func (s energised) String() string {
	if len(s.coils) == 0 {
		return "with no coil on"
	}
	return "with " + inWords(s.coils) + " on " + s.when
}

// A spell is a time during which a coil is on.
type spell struct{ from, long float64 }

func (s spell) at(t, period float64) bool { return math.Mod(t-s.from+period, period) < s.long }

// drives reports whether a coil sends air along a line.
func drives(c schema.CoilOf, l *line) bool {
	return c.Valve == l.valve && (c.Position == "14" && l.outlet == "4" || c.Position == "12" && l.outlet == "2")
}

// A drive is what the coils do while a cylinder is sent one way.
type drive struct {
	on    map[string]bool // coils, by name
	known map[string]bool // valves whose position that way is known, with current or without
}

// drive finds the coils that a cylinder wants to be sent one way: of the valve that its line leads to, and of every other valve that stands
// the same in all states of the behaviour table in which the air sends it that way.
func (e *electric) drive(name, way string, table behaviour) drive {
	d := drive{map[string]bool{}, map[string]bool{}}
	end := map[string]string{"out": "rear", "in": "front"}[way]
	if l, why := e.x.plumber().line(name, end); why == "" {
		for _, c := range e.coils {
			if drives(c, l) {
				d.on[c.Name] = true
			}
		}
		d.known[l.valve] = true
	}
	_, rear := e.x.m.Cylinders[name].Ports["rear"]
	_, front := e.x.m.Cylinders[name].Ports["front"]
	stands, differ := map[string]string{}, map[string]bool{}
	for _, r := range table[name][circuit.Normal] {
		push, pull := rear && r.Rear.Status == circuit.Supplied, front && r.Front.Status == circuit.Supplied
		sent := push && !pull
		switch {
		case way == "in" && front:
			sent = pull && !push
		case way == "in":
			sent = !push // the spring brings it
		case !rear:
			sent = !pull
		}
		if !sent {
			continue
		}
		for _, at := range r.From {
			if was, seen := stands[at.Component]; seen && was != at.Position {
				differ[at.Component] = true
			}
			stands[at.Component] = at.Position
		}
	}
	for valve := range stands {
		d.known[valve] = d.known[valve] || !differ[valve]
	}
	for _, c := range e.coils {
		if stands[c.Valve] == c.Position && !differ[c.Valve] {
			d.on[c.Name] = true
		}
	}
	return d
}

// together are when the plan has each coil on, and the sets of coils that are on at once: one for each moment of the plan at which one comes on,
// by the states of the behaviour table in which the rods go as the plan says, and what the controller switches on as it starts. A valve of which
// neither says anything counts as on all the time. Without a plan nothing keeps any valve from being on with any other.
func (e *electric) together() (planned map[string][]spell, sets []energised) {
	planned = map[string][]spell{}
	steps, period := e.x.m.Cycle.ByCylinder(), e.x.m.Cycle.Period.SI
	known := map[string]bool{}
	var moments []float64
	if len(steps) > 0 {
		table := e.x.behavesOnce()
		for _, name := range sorted(steps) {
			ways := map[string]drive{"out": e.drive(name, "out", table), "in": e.drive(name, "in", table)}
			for _, d := range ways {
				for valve := range d.known {
					known[valve] = true
				}
			}
			for i, s := range steps[name] {
				long := steps[name][(i+1)%len(steps[name])].At.SI - s.At.SI
				if long <= 0 {
					long += period
				}
				on := sorted(ways[s.Goes.Value].on)
				for _, c := range on {
					planned[c] = append(planned[c], spell{s.At.SI, long})
				}
				if len(on) > 0 {
					moments = append(moments, s.At.SI)
				}
			}
		}
	}
	var always []string // one coil of each valve that nothing is said of
	valves := map[string]bool{}
	for _, c := range slices.Backward(e.coils) { // 14 before 12
		if !known[c.Valve] && !valves[c.Valve] {
			valves[c.Valve] = true
			always = append(always, c.Name)
		}
	}
	slices.Sort(always)
	if len(planned) == 0 {
		return planned, []energised{{always, always, "at once, which no plan rules out"}}
	}
	slices.Sort(moments)
	for _, t := range slices.Compact(moments) {
		set := energised{coils: slices.Clone(always)}
		for _, c := range sorted(planned) {
			if slices.ContainsFunc(planned[c], func(s spell) bool { return s.at(t, period) }) {
				set.coils = append(set.coils, c)
			}
			if slices.ContainsFunc(planned[c], func(s spell) bool { return spell{s.from, min(s.long, pullsIn)}.at(t, period) }) && onTime(planned[c], period) < period*(1-1e-9) {
				set.comes = append(set.comes, c)
			}
		}
		slices.Sort(set.coils)
		set.when = "from " + schema.Format(schema.TimeDim, t) + " of the plan, " + e.sent(steps, t)
		if len(always) > 0 {
			set.when += "; of " + inWords(always) + " the plan says nothing, which counts as on"
		}
		sets = append(sets, set)
	}
	var start []string
	for _, c := range e.coils {
		if e.x.m.Air.Start[c.Valve].Value == c.Position {
			start = append(start, c.Name)
		}
	}
	// All coils of the start come on at one moment; of direct current they take no more then than later.
	dc := e.w.Supply.Kind.Value == "dc"
	within := func(s energised) bool {
		return dc && !slices.ContainsFunc(start, func(c string) bool { return !slices.Contains(s.coils, c) })
	}
	if len(start) > 0 && !slices.ContainsFunc(sets, within) {
		sets = append(sets, energised{start, start, "as the controller starts"})
	}
	return planned, sets
}

// onTime is for how long of each period at least one of some spells lasts.
func onTime(spells []spell, period float64) (on float64) {
	byStart := slices.SortedFunc(slices.Values(spells), func(a, b spell) int { return cmp.Compare(a.from, b.from) })
	until := 0.0
	for _, s := range byStart { // what reaches over the end of the period is on at its beginning
		until = max(until, s.from+s.long-period)
	}
	on = until
	for _, s := range byStart {
		end := min(s.from+s.long, period)
		on += max(0, end-max(until, s.from))
		until = max(until, end)
	}
	return on
}

// sent says which way each cylinder of a plan has been sent last at a moment.
func (e *electric) sent(steps map[string][]schema.Step, t float64) string {
	ways := map[string][]string{}
	for _, name := range sorted(steps) {
		last := steps[name][len(steps[name])-1]
		for _, s := range steps[name] {
			if s.At.SI <= t {
				last = s
			}
		}
		ways[last.Goes.Value] = append(ways[last.Goes.Value], name)
	}
	var all []string
	for _, way := range []string{"out", "in"} {
		if len(ways[way]) > 0 {
			all = append(all, inWords(ways[way])+" sent "+way)
		}
	}
	return "with " + strings.Join(all, " and ")
}

// behavesOnce is the behaviour table; empty where the circuit can't be followed, which has a finding of its own.
func (x *examiner) behavesOnce() behaviour {
	if x.behaves == nil && x.m.Air.Given() {
		x.behaves, _ = x.behave(func(circuit.Network) {})
	}
	return x.behaves
}

// with is a set with one more coil, in the place of another of its valve.
func (e *electric) with(set energised, coil string) energised {
	valve := func(name string) string {
		return e.coils[slices.IndexFunc(e.coils, func(c schema.CoilOf) bool { return c.Name == name })].Valve
	}
	set.coils = append(slices.DeleteFunc(slices.Clone(set.coils), func(c string) bool { return valve(c) == valve(coil) }), coil)
	slices.Sort(set.coils)
	set.comes = set.coils
	return set
}

// setsWith are the sets in which a coil is on: of the plan those that have it, without one all, with it.
func (e *electric) setsWith(coil string) (sets []energised) {
	for _, s := range e.sets {
		switch {
		case slices.Contains(s.coils, coil):
			sets = append(sets, s)
		case len(e.planned) == 0:
			sets = append(sets, e.with(s, coil))
		}
	}
	if len(sets) == 0 {
		sets = []energised{{[]string{coil}, []string{coil}, "alone, since the plan never has it on"}}
	}
	return sets
}

// worst goes through sets of coils at a supply voltage, and gives the largest of a value.
func (e *electric) worst(volts float64, sets []energised, value func(*wired, energised) float64) (most float64, set energised) {
	most = math.Inf(-1)
	for _, s := range sets {
		solved, err := e.solve(wireState{volts: volts, drivers: e.driversFor(s.coils)})
		if err != nil {
			continue
		}
		// Of like ones the first counts, and not the last digit.
		if v := value(solved, s); math.IsInf(most, -1) || v > most+1e-6*math.Abs(most) {
			most, set = v, s
		}
	}
	return most, set
}

// inrushOf is how many times its current a coil of alternating current takes until its core is shut.
func inrushOf(c schema.Coil) float64 {
	if c.Inrush.Given() && c.Current.Given() {
		return c.Inrush.SI / c.Current.SI
	}
	return inrush
}

// pulling is how many times their current the coils of a set take as the last of them come on: 1 with direct current.
func (e *electric) pulling(set energised) float64 {
	if e.w.Supply.Kind.Value != "ac" || len(set.coils) == 0 {
		return 1
	}
	held, taken := 0.0, 0.0
	for _, c := range e.coils {
		if !slices.Contains(set.coils, c.Name) {
			continue
		}
		coil := e.coilOf(c)
		amps := coil.Volts.SI / ohmsOf(coil)
		held += amps
		if slices.Contains(set.comes, c.Name) {
			amps *= inrushOf(coil)
		}
		taken += amps
	}
	return taken / held
}
