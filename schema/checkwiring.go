package schema

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// A CoilOf is a coil of a valve, by the position that it brings about, with its two terminals.
type CoilOf struct {
	Valve, Position string
	Name            string // that of the valve, where it has one coil
	Plus, Minus     string
}

// CoilsOf are the coils of all valves that have a coil's data, in the order of their names.
func (m *Machine) CoilsOf() (all []CoilOf) {
	for _, valve := range sorted(m.Air.Parts) {
		p := m.Air.Parts[valve]
		if !p.Coil.Given() {
			continue
		}
		positions := p.Coils()
		for _, position := range positions {
			c := CoilOf{Valve: valve, Position: position, Name: valve, Plus: valve + ".+", Minus: valve + ".-"}
			if len(positions) > 1 {
				c.Name = valve + "." + position
				c.Plus, c.Minus = c.Name+"+", c.Name+"-"
			}
			all = append(all, c)
		}
	}
	return all
}

// Terminals are those of everything in the wiring, by its name; a joint is one itself.
func (m *Machine) Terminals() map[string][]string {
	w := m.Wiring
	all := map[string][]string{"supply": {"supply.+", "supply.-"}}
	of := func(name string, terminals ...string) {
		for _, t := range terminals {
			all[name] = append(all[name], name+"."+t)
		}
	}
	for name := range w.Fuses {
		of(name, "1", "2")
	}
	for name := range w.Contacts {
		of(name, "1", "2")
	}
	for name := range w.Drivers {
		of(name, "in", "out", "common")
	}
	for name, k := range w.Controllers {
		of(name, append([]string{"+", "-"}, sorted(k.Outputs)...)...)
	}
	for name := range w.Diodes {
		of(name, "A", "K")
	}
	for name := range w.Loads {
		of(name, "+", "-")
	}
	for _, joint := range w.Joints {
		all[joint.Value] = []string{joint.Value}
	}
	for _, c := range m.CoilsOf() {
		all[c.Valve] = append(all[c.Valve], c.Plus, c.Minus)
	}
	return all
}

func (c *checker) wiring() {
	for _, name := range sorted(c.m.Air.Parts) {
		coil := c.m.Air.Parts[name].Coil
		if !coil.Given() {
			continue
		}
		c.one(coil.Origin, choice{"watts", coil.Watts.Given()}, choice{"current", coil.Current.Given()}, choice{"ohms", coil.Ohms.Given()})
		if p := c.m.Air.Parts[name]; p.Moved.Value != "coil" {
			c.add(coil.Origin, "%s is of a valve that is moved by %s: leave it out", coil.Path, p.Moved.Value)
		}
	}
	for _, name := range sorted(c.m.Air.Parts) {
		coil := c.m.Air.Parts[name].Coil
		switch in := coil.Inrush; {
		case !in.Given():
		case coil.Kind.Value != "ac":
			c.add(in.Origin, "%s is that of a coil for alternating current, and this one is for direct current, which takes no more at first: leave it out, or write `kind: \"ac\"`", in.Path)
		case in.SI < coil.Current.SI:
			c.add(in.Origin, "%s is %v, and held the coil takes %v: it takes more until its core is shut", in.Path, in, coil.Current)
		}
		switch clamps := coil.Clamps; {
		case !clamps.Given():
		case coil.Suppressed.Value != "varistor":
			c.add(clamps.Origin, "%s is that of a varistor, and the coil has %s: write `suppressed: \"varistor\"`, or leave it out", clamps.Path, map[string]string{"none": "none built in", "diode": "a diode built in"}[coil.Suppressed.Value])
		case clamps.SI <= coil.Volts.SI:
			c.add(clamps.Origin, "%s is %v, and the coil is for %v: a varistor takes the current only above that", clamps.Path, clamps, coil.Volts)
		}
	}
	w := c.m.Wiring
	if !w.Given() {
		return
	}
	seen := map[string]string{"supply": "the supply"}
	once := func(name, kind string, o Origin) {
		if other, twice := seen[name]; twice {
			c.add(o, "%s has the name of %s: each thing in the wiring has its own", o.Path, other)
		}
		seen[name] = "a " + kind
	}
	for _, name := range sorted(c.m.Air.Parts) {
		if c.m.Air.Parts[name].Coil.Given() {
			seen[name] = "a valve with a coil"
		}
	}
	for _, name := range sorted(w.Fuses) {
		once(name, "fuse", w.Fuses[name].Origin)
	}
	for _, name := range sorted(w.Contacts) {
		once(name, "contact", w.Contacts[name].Origin)
	}
	for _, name := range sorted(w.Drivers) {
		once(name, "driver", w.Drivers[name].Origin)
	}
	for _, name := range sorted(w.Controllers) {
		once(name, "controller", w.Controllers[name].Origin)
	}
	for _, name := range sorted(w.Diodes) {
		once(name, "diode", w.Diodes[name].Origin)
	}
	for _, name := range sorted(w.Loads) {
		once(name, "load", w.Loads[name].Origin)
	}
	for _, joint := range w.Joints {
		once(joint.Value, "joint", joint.Origin)
		if strings.Contains(joint.Value, ".") {
			c.add(joint.Origin, "%s is `%s`: a joint's name has no dot, since that parts a thing from its terminal", joint.Path, joint.Value)
		}
	}
	terminals := c.m.Terminals()
	used := map[string]bool{}
	for _, name := range sorted(w.Wires) {
		wire := w.Wires[name]
		if kind, other := seen[name]; other && (kind == "a fuse" || kind == "a contact" || kind == "a driver") {
			c.add(wire.Origin, "%s has the name of %s: both carry current, and each has its own name", wire.Path, kind)
		}
		c.one(wire.Origin, choice{"area", wire.Area.Given()}, choice{"awg", wire.AWG.Given()})
		for _, end := range []Text{wire.From, wire.To} {
			c.terminal(end, terminals)
			used[end.Value] = true
		}
		if wire.From.Given() && wire.From.Value == wire.To.Value {
			c.add(wire.To.Origin, "%s leads from `%s` to itself", wire.Path, wire.From.Value)
		}
	}
	for _, coil := range c.m.CoilsOf() {
		for _, t := range []string{coil.Plus, coil.Minus} {
			if !used[t] {
				c.add(c.m.Air.Parts[coil.Valve].Coil.Origin, "no wire leads to `%s`, a coil of `%s`: add one to `wiring.wires`", t, coil.Valve)
			}
		}
	}
	c.shorted()
	if w.Supply.Kind.Value == "ac" {
		c.alternating()
	}
}

// alternating finds what can't be on a supply of alternating current: a diode that lets through every other half wave, and a coil of which the
// current does not follow from what is written.
func (c *checker) alternating() {
	w := c.m.Wiring
	peak := math.Sqrt2 * w.Supply.Volts.SI * (1 + w.Supply.Tolerance.SI)
	const instead = "a coil for alternating current gets a varistor, `suppressed: \"varistor\"`, or a suppressor diode for both ways"
	for _, name := range sorted(w.Diodes) {
		d := w.Diodes[name]
		if !d.Clamps.Given() {
			c.add(d.Origin, "%s is on a supply of alternating current, and shorts or lets through every other half wave: leave it out; %s", d.Path, instead)
		} else if d.Clamps.SI <= peak {
			c.add(d.Clamps.Origin, "%s is %v, and the supply of alternating current comes to %s at the top of each half wave: take one for more", d.Clamps.Path, d.Clamps, Format(VoltageDim, peak))
		}
	}
	for _, name := range sorted(w.Drivers) {
		if s := w.Drivers[name].Suppressed; s.Value {
			c.add(s.Origin, "%s is true, and the supply gives alternating current, which a built-in diode would short: %s", s.Path, instead)
		}
	}
	for _, name := range sorted(c.m.Air.Parts) {
		coil := c.m.Air.Parts[name].Coil
		if coil.Kind.Value != "ac" {
			continue // that it is for another kind of current is judged
		}
		if coil.Suppressed.Value == "diode" {
			c.add(coil.Suppressed.Origin, "%s is a diode, and the coil is for alternating current, which it would short: %s", coil.Suppressed.Path, instead)
		}
		if coil.Clamps.Given() && coil.Clamps.SI <= peak {
			c.add(coil.Clamps.Origin, "%s is %v, and the supply of alternating current comes to %s at the top of each half wave: take one for more", coil.Clamps.Path, coil.Clamps, Format(VoltageDim, peak))
		}
		for _, q := range []Quantity{coil.Watts.Quantity, coil.Ohms.Quantity} {
			if q.Given() {
				c.add(q.Origin, "%s does not say what a coil for alternating current takes, since current and voltage are out of step: write `current: A: …`, the volt-amperes on its plate for holding over its volts", q.Path)
			}
		}
	}
}

func (c *checker) terminal(end Text, terminals map[string][]string) {
	if !end.Given() {
		return
	}
	name, _, dotted := strings.Cut(end.Value, ".")
	of, ok := terminals[name]
	if p, part := c.m.Air.Parts[name]; !ok && part {
		if !p.Kind.Given() {
			return // what the part is has its own sentence
		}
		c.add(end.Origin, "%s names `%s`, and the %s `%s` has no coil: add `coil: {volts: V: 12, watts: W: 3}` to a valve that a coil moves", end.Path, end.Value, p.Kind.Value, name)
		return
	}
	if !ok {
		c.add(end.Origin, "%s names `%s`, which is not in the wiring: %s", end.Path, name, meant(name, slices.Collect(maps.Keys(terminals))))
		return
	}
	if !slices.Contains(of, end.Value) {
		hint := "it has " + andList(quoted(of))
		if !dotted && len(of) > 1 {
			hint = fmt.Sprintf("name one of its terminals, %s", orList(quoted(of)))
		}
		c.add(end.Origin, "%s names the terminal `%s`: %s", end.Path, end.Value, hint)
	}
}

func quoted(names []string) []string {
	var all []string
	for _, n := range names {
		all = append(all, "`"+n+"`")
	}
	return all
}

// shorted finds wires that lead from plus to minus through nothing but fuses and contacts.
func (c *checker) shorted() {
	w := c.m.Wiring
	with := map[string]string{} // the terminal from which a terminal is reached
	join := func(a, b string) bool {
		_, has := with[a]
		if _, there := with[b]; has && !there {
			with[b] = a
			return true
		}
		return false
	}
	with["supply.+"] = ""
	for grown := true; grown; {
		grown = false
		for _, name := range sorted(w.Wires) {
			a, b := w.Wires[name].From.Value, w.Wires[name].To.Value
			grown = join(a, b) || join(b, a) || grown
		}
		for _, names := range [][]string{sorted(w.Fuses), sorted(w.Contacts)} {
			for _, name := range names {
				grown = join(name+".1", name+".2") || join(name+".2", name+".1") || grown
			}
		}
	}
	if _, short := with["supply.-"]; !short {
		return
	}
	var way []string
	for at := "supply.-"; at != ""; at = with[at] {
		way = append(way, "`"+at+"`")
	}
	slices.Reverse(way)
	c.add(w.Origin, "wiring shorts the supply: from plus to minus go %s, and nothing between them takes current", strings.Join(way, ", "))
}
