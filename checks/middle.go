package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// middleOf is the 5/3 valve that stands in its centre in a row, where its centre is of a kind; "" for none.
func (x *examiner) middleOf(r circuit.Row, centre string) string {
	for _, p := range r.At {
		if part := x.m.Air.Parts[p.Component]; p.Position == "centre" && part.Centre.Value == centre {
			return p.Component
		}
	}
	return ""
}

// inTheMiddle judges what a rod does that a 5/3 valve is to keep where it stands: with air on both sides it goes out, since the rod takes
// up part of one side of the piston; shut in, a load presses it on as the air leaks through the valve's spool.
func (x *examiner) inTheMiddle(s *Subject, name string, y schema.Cylinder, rows []circuit.Row) {
	push, _ := pistonAreas(y)
	creeps := func(r circuit.Row) bool {
		return x.middleOf(r, "pressure") != "" && !y.Harmless.Given() && r.Rear.Status == circuit.Supplied && r.Front.Status == circuit.Supplied && !r.Stays()
	}
	row := rowOf(rows, creeps)
	s.flag("creeps", row != nil)
	if row != nil {
		valve := x.middleOf(*row, "pressure")
		centre := x.m.Air.Parts[valve].Centre
		s.flag("creeps", true, centre)
		s.text("middle", valve)
		s.text("creepsHow", said(*row))
		s.set("creepForce", schema.ForceDim, max(math.Abs(row.AtIn.Most), math.Abs(row.AtOut.Least)), centre, y.Bore, y.Rod)
		s.text("remedyCreeps", x.otherCentre(name, valve))
	}

	// What the load does with no air on either side, friction against it.
	load := 0.0
	for k := range x.sweepsLed(name) {
		for _, l := range x.loadOn(name, k) {
			if math.Abs(l) > math.Abs(load) {
				load = l
			}
		}
	}
	sinks := func(r circuit.Row) bool {
		way, end, ahead := r.Out, "out", r.Front
		if load < 0 {
			way, end, ahead = r.In, "in", r.Rear
		}
		checked := slices.ContainsFunc(r.At, func(p circuit.Setting) bool {
			return x.m.Air.Parts[p.Component].Kind.Value == "pilot-operated check valve" && p.Position == "shut"
		})
		return x.middleOf(r, "closed") != "" && way == circuit.Drifts && isTrapped(ahead) && !checked && y.Harmless.Value != end && math.Abs(load) > breakaway*push
	}
	row = rowOf(rows, sinks)
	s.flag("sinks", row != nil)
	if row == nil {
		return
	}
	valve := x.middleOf(*row, "closed")
	s.flag("sinks", true, x.m.Air.Parts[valve].Centre, x.m.Air.Parts[valve].Function)
	way, ahead := "in", "rear"
	if load > 0 {
		way, ahead = "out", "front"
	}
	s.text("middle", valve)
	s.text("sinksWay", way)
	s.set("sinkLoad", schema.ForceDim, math.Abs(load))
	s.set("sinkHold", schema.ForceDim, 1.5*math.Abs(load))
	s.text("remedySinks", x.checked(name, y, ahead, valve))
}

// otherCentre names the centres with which a rod stays, each solved.
func (x *examiner) otherCentre(name, valve string) string {
	var stay []string
	for _, centre := range []string{"exhaust", "closed"} {
		b, err := x.behave(func(n circuit.Network) {
			c := n.Components[valve]
			c.Valve.Centre = centres[centre]
			n.Components[valve] = c
		})
		if err != nil {
			continue
		}
		goes := rowOf(b[name][circuit.Normal], func(r circuit.Row) bool {
			return slices.Contains(r.At, circuit.Setting{Component: valve, Position: "centre"}) && (r.Out == circuit.Moves || r.Out == circuit.Falls || r.In == circuit.Moves || r.In == circuit.Falls)
		})
		if goes == nil {
			stay = append(stay, centre)
		}
	}
	if len(stay) == 0 {
		return fmt.Sprintf("With no other centre of %s does the rod of %s stay, for its load moves it: hold it with a lock, or take a cylinder with a rod of the same diameter at both ends", valve, name)
	}
	return fmt.Sprintf("Take a valve with %s centre for %s: computed again, nothing moves the rod then but what leaks; or a cylinder with a rod of the same diameter at both ends", withArticle(stay), valve)
}

func withArticle(centres []string) string {
	var all []string
	for _, c := range centres {
		article := "a "
		if c == "exhaust" {
			article = "an "
		}
		all = append(all, article+c)
	}
	return strings.Join(all, " or ")
}

// checked offers a pilot-operated check valve at the chamber that bears the load, where the circuit solved with it shuts the air in there
// though the valve's centre lets its own outlets out.
func (x *examiner) checked(name string, y schema.Cylinder, chamber, valve string) string {
	lock := fmt.Sprintf("hold the rod of %s with a lock or a pin", name)
	other := map[string]string{"rear": "front", "front": "rear"}[chamber]
	b, err := x.behave(func(n circuit.Network) {
		c := n.Components[valve]
		c.Valve.Centre = circuit.ExhaustCentre
		n.Components[valve] = c
		pilotCheck(n, circuit.Port{Component: name, Name: chamber}, circuit.Port{Component: name, Name: other})
	})
	if err == nil && y.Acting.Value == "double" {
		held := rowOf(b[name][circuit.Normal], func(r circuit.Row) bool {
			gives := r.In
			if chamber == "front" {
				gives = r.Out
			}
			return slices.Contains(r.At, circuit.Setting{Component: valve, Position: "centre"}) &&
				slices.Contains(r.At, circuit.Setting{Component: ".check", Position: "shut"}) && (gives == circuit.Drifts || gives == circuit.Rests)
		})
		if held != nil {
			return fmt.Sprintf("Screw a pilot-operated check valve into the %s port of %s, its pilot on a manifold in the tube to the %s port, and take an exhaust centre for %s, which lets the pilot empty: computed again, the check valve shuts. It shuts the air in when the machine is shut off for work too, so fit a bleed at that port. Or %s", chamber, name, other, valve, lock)
		}
	}
	return capital(lock)
}

// pilotCheck puts a pilot-operated check valve before a chamber, with its pilot in the line to the other one.
func pilotCheck(n circuit.Network, chamber, other circuit.Port) {
	n.Components[".check"] = circuit.Component{Kind: circuit.PilotCheck}
	n.Components[".pilot tee"] = circuit.Component{Kind: circuit.Tee}
	for run, r := range n.Runs {
		for _, p := range []*circuit.Port{&r.A, &r.B} {
			switch *p {
			case chamber:
				*p = circuit.Port{Component: ".check", Name: "1"}
			case other:
				*p = circuit.Port{Component: ".pilot tee", Name: "1"}
			}
		}
		n.Runs[run] = r
	}
	n.Runs[".check"] = circuit.Run{A: circuit.Port{Component: ".check", Name: "2"}, B: chamber}
	n.Runs[".pilot"] = circuit.Run{A: circuit.Port{Component: ".pilot tee", Name: "3"}, B: circuit.Port{Component: ".check", Name: "12"}}
	n.Runs[".pilot tee"] = circuit.Run{A: circuit.Port{Component: ".pilot tee", Name: "2"}, B: other}
}

// springNeeded is the most that load and friction set against the spring of a single-acting cylinder on its way back.
func (x *examiner) springNeeded(name string, y schema.Cylinder) float64 {
	push, _ := pistonAreas(y)
	most := 0.0
	for k := range x.sweepsLed(name) {
		for _, load := range x.loadOn(name, k) {
			if _, rear := y.Ports["rear"]; !rear {
				load = -load
			}
			most = max(most, load)
		}
	}
	return most + breakaway*push
}

// springYields reports whether the spring of a single-acting cylinder can't bring its load back.
func (x *examiner) springYields(name string, y schema.Cylinder) bool {
	return y.Acting.Value == "single" && y.Spring.SI < x.springNeeded(name, y)
}

// springBack holds the spring of a single-acting cylinder against what it must bring back.
func (x *examiner) springBack(s *Subject, name string, y schema.Cylinder) {
	if y.Acting.Value != "single" || len(x.sweepsLed(name)) == 0 {
		return
	}
	var from []schema.Input
	for _, l := range x.motion.links {
		from = append(from, x.m.Links[l].Mass)
	}
	needed := x.springNeeded(name, y)
	s.set("spring", schema.ForceDim, y.Spring.SI, y.Spring)
	s.set("springNeeded", schema.ForceDim, needed, append(from, y.Bore)...)
	push, _ := pistonAreas(y)
	s.set("springLoad", schema.ForceDim, max(0, y.Spring.SI-breakaway*push), y.Spring)
}

// returnsLate finds the rod that air moves away from its harmless end because its valve was brought back by air, and there was none: the
// valve stands where it was until the pressure is high enough again. It is judged by leaving that valve where it stood.
func (x *examiner) returnsLate(s *Subject, name string, y schema.Cylinder, b behaviour) *circuit.Row {
	s.flag("returnsLate", false)
	for _, valve := range x.valvesOf(b[name][circuit.AirBackUnpowered]) {
		p := x.m.Air.Parts[valve]
		if p.Returns.Value != "air" || p.Function.Value == "5/3" || p.Moved.Value == "hand" {
			continue
		}
		with := func(back circuit.Return) *circuit.Row {
			changed, err := x.behave(func(n circuit.Network) {
				c := n.Components[valve]
				c.Valve.Return = back
				n.Components[valve] = c
			})
			if err != nil {
				return nil
			}
			return rowOf(changed[name][circuit.AirBackUnpowered], func(r circuit.Row) bool { return away(r, y.Harmless.Value) })
		}
		late := with(circuit.Remembers)
		if late == nil || with(circuit.BySpring) != nil {
			continue
		}
		s.flag("returnsLate", true, p.Returns)
		s.text("lateValve", valve)
		return late
	}
	return nil
}

// startless looks for the least of the controller's start that moves a rod from its harmless end; without it, it stays. Solved again.
func (x *examiner) startless(name string, y schema.Cylinder) ([]schema.Input, string) {
	for _, valve := range sorted(x.m.Air.Start) {
		b, err := x.behave(func(n circuit.Network) { delete(n.Start, valve) })
		if err == nil && rowOf(b[name][circuit.ControllerReset], func(r circuit.Row) bool { return away(r, y.Harmless.Value) }) == nil {
			return []schema.Input{x.m.Air.Start[valve]}, fmt.Sprintf("Take %s out of `start`, so that the controller switches its coil on only when it is told to: computed again, the rod stays %s", valve, y.Harmless.Value)
		}
	}
	var all []schema.Input
	for _, valve := range sorted(x.m.Air.Start) {
		all = append(all, x.m.Air.Start[valve])
	}
	return all, fmt.Sprintf("Switch no coil on at the start that moves the rod of %s %s", name, map[string]string{"in": "out", "out": "in"}[y.Harmless.Value])
}

// stores judges what air is left in each receiver when the machine is shut off for work. One before the shut-off valves keeps its air.
func (x *examiner) stores(c *circuit.Circuit) {
	var behind []string
	before := x.air.reached("", func(string) bool { return true })
	for _, name := range sorted(x.m.Air.Parts) {
		if x.m.Air.Parts[name].Kind.Value == "receiver" && !before[name] {
			behind = append(behind, name)
		}
	}
	if len(behind) == 0 {
		return
	}
	left := func(c *circuit.Circuit, name string) (most float64) {
		t, err := c.Table()
		if err != nil {
			return 0 // which has a finding of its own
		}
		for _, s := range t.Stores {
			if s.Receiver == name && s.Event == circuit.IsolatedForWork && len(s.Bleeds) == 0 {
				most = max(most, s.High)
			}
		}
		return most
	}
	for _, name := range behind {
		p := x.m.Air.Parts[name]
		s := newSubject(x.m, "store", name, p.At)
		x.add(s)
		pressure := left(c, name)
		s.flag("keepsAir", pressure > 0, p.Kind)
		if pressure == 0 {
			continue
		}
		s.set("kept", schema.PressureDim, pressure, p.Kind)
		text := "Give its air a way out that a hand can open"
		n := x.network(0)
		bleed(n, circuit.Port{Component: name, Name: "1"})
		if changed, err := circuit.New(n); err == nil && left(changed, name) == 0 {
			text = "Fit a hand valve (2/2, shut at rest) on a manifold at its port 1, or as its drain, that lets out into the room: computed again, the receiver empties by it"
		}
		for _, isolator := range sorted(x.m.Air.Parts) {
			if x.m.Air.Parts[isolator].Kind.Value != "isolator" || x.m.Air.Parts[isolator].Exhausts.Value {
				continue
			}
			n := x.network(0)
			shut := n.Components[isolator]
			shut.Exhausts = true
			n.Components[isolator] = shut
			if changed, err := circuit.New(n); err == nil && left(changed, name) == 0 {
				text += fmt.Sprintf("; or take a shut-off valve for %s that exhausts what is behind it: computed again, the receiver empties by it", isolator)
			}
		}
		s.text("remedyKept", text)
	}
}
