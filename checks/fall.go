package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

func wayOf(inward bool) string {
	if inward {
		return "in"
	}
	return "out"
}

// falls are the ways on which the load carries the rod of a double-acting cylinder from the end at which only air holds it. That of a
// single-acting one goes home on every stroke as it does on loss of air.
func (d *driven) falls() (inward []bool) {
	if d.single {
		return nil
	}
	if d.poses[len(d.poses)-1].Load > 0 {
		inward = append(inward, true)
	}
	if d.poses[0].Load < 0 {
		inward = append(inward, false)
	}
	return inward
}

// unfed is a stroke with nothing in the supply: the air that held the rod leaves by its exhaust, and the other end draws from the room.
func (d *driven) unfed(inward bool) stroke.Machine {
	m := d.machine(inward, false)
	m.Supply.Pressure = m.Air.Pressure
	return m
}

// judgeFall sets how hard a load that has lost its air comes to its end.
func (d *driven) judgeFall(s *Subject, going *goingStroke) {
	<-going.done
	r, m := going.result, going.machine
	if going.err != nil || r.Verdict == stroke.OutOfSteps {
		s.open("how the load falls can't be computed: see whether a volume, a mass or a conductance is out of all proportion", "fallSpeed")
		return
	}
	if r.Verdict != stroke.Arrives {
		s.set("fallSpeed", schema.SpeedDim, 0, d.inputs()...) // friction holds it, or it creeps down
		return
	}
	rated := d.y.Cushion.Energy
	soft := func(r *stroke.Result) bool {
		if rated.Given() {
			return r.EntryEnergy <= rated.SI
		}
		return math.Abs(r.Last.Speed) <= endSpeedMost
	}
	control, port := d.control(m.Inward)
	s.text("way", wayOf(m.Inward))
	s.set("fallTime", schema.TimeDim, r.Arrived, d.inputs()...)
	if rated.Given() {
		s.set("fallEnergy", schema.EnergyDim, r.EntryEnergy, d.inputs(control, port)...)
		s.set("fallRated", schema.EnergyDim, rated.SI, rated)
	} else {
		s.set("fallSpeed", schema.SpeedDim, math.Abs(r.Last.Speed), d.inputs(control, port)...)
	}
	if soft(r) {
		s.text("softer", "Close the flow control further")
		return
	}
	do, c, then := d.heldBack(m, soft)
	if c > 0 {
		s.set("setting", schema.ConductanceDim, c, d.inputs()...)
		do += fmt.Sprintf(": computed again, it comes down in %s and ends at %s", schema.Format(schema.TimeDim, then.Arrived), schema.Format(schema.SpeedDim, math.Abs(then.Last.Speed)))
		if rated.Given() {
			do += ", with " + schema.Format(schema.EnergyDim, then.EntryEnergy) + " for the cushion"
		}
	} else {
		do = "No flow control on the air that leaves does it: hold the load with a lock or a pin, or take it off with a counterweight or a spring"
	}
	s.text("softer", do)
}

// A sharer is a stroke whose air leaves by a silencer.
type sharer struct {
	d      *driven
	inward bool
}

func (s sharer) name() string { return s.d.name + " " + wayOf(s.inward) }

// silenced lists the strokes by the silencer that their air leaves by.
func silenced(begun []begunStroke) map[string][]sharer {
	by := map[string][]sharer{}
	for _, b := range begun {
		if b.driven == nil {
			continue
		}
		for _, inward := range []bool{false, true} {
			_, _, out, _ := b.driven.sides(inward)
			for _, p := range out {
				if b.driven.x.m.Air.Parts[p.Name].Kind.Value == "silencer" {
					by[p.Name] = append(by[p.Name], sharer{b.driven, inward})
				}
			}
		}
	}
	return by
}

// together are the most strokes of different cylinders among some that go at one moment of the timing plan, the given one with them;
// without a plan, one of each cylinder.
func (x *examiner) together(one sharer, all []sharer) (names []string) {
	length := func(s sharer) float64 {
		if f, ok := x.subject("stroke", s.name()).Facts["time"]; ok && f.Kind == Quantity {
			return f.SI
		}
		return 0
	}
	step := func(s sharer) (at []float64) {
		for _, p := range x.m.Cycle.ByCylinder()[s.d.name] {
			if p.Goes.Value == wayOf(s.inward) {
				at = append(at, p.At.SI)
			}
		}
		return at
	}
	period := x.m.Cycle.Period.SI
	seen := map[string]bool{one.d.name: true}
	for _, other := range all {
		if seen[other.d.name] || other.d.rear.valve == one.d.rear.valve { // of one valve, they have their shares already
			continue
		}
		meets := !x.m.Cycle.Given()
		for _, a := range step(one) {
			for _, b := range step(other) {
				later := math.Mod(b-a+period, period)
				meets = meets || later < length(one) || period-later < length(other)
			}
		}
		if meets {
			seen[other.d.name] = true
			names = append(names, other.name())
		}
	}
	return names
}

// silencersShared computes strokes again that share a silencer with others at the same moment: each has its part of it.
func (x *examiner) silencersShared() {
	by := silenced(x.begun)
	for _, silencer := range sorted(by) {
		all := by[silencer]
		for _, one := range all {
			s := x.subject("stroke", one.name())
			f, timed := s.Facts["time"]
			with := x.together(one, all)
			if len(with) == 0 || !timed || f.Kind != Quantity {
				continue
			}
			share := func(part float64) func(n *stroke.Machine, c float64) {
				return func(n *stroke.Machine, c float64) {
					l := &throttleable(n).Line
					l.Valve = slices.Clone(l.Valve)
					for i := range l.Valve {
						if e := &l.Valve[i]; e.Name == silencer {
							e.Out.C = c / part
						}
					}
				}
			}
			part := x.m.Air.Parts[silencer]
			m := one.d.machine(one.inward, false)
			c := 0.0
			for _, e := range throttleable(&m).Line.Valve {
				if e.Name == silencer {
					c = e.Out.C
				}
			}
			n := float64(len(with) + 1)
			shared := m
			share(n)(&shared, c)
			r := one.d.try(shared)
			own := f.SI
			s.text("sharedSilencer", silencer)
			s.text("sharedWith", inWords(with))
			blame := []schema.Input{part.Passage.C, part.Passage.Nominal, part.Passage.Kv, part.Passage.Cv}
			if r.Verdict != stroke.Arrives {
				continue // out of steps: a silencer alone stops no stroke
			}
			s.set("sharedTime", schema.TimeDim, max(own, r.Arrived), blame...)
			s.set("sharedMost", schema.TimeDim, late*own, blame...)
			if r.Arrived <= late*own {
				s.text("remedyShared", "Give each a silencer of its own")
				continue
			}
			wide, then := one.d.search(m, c, 1.2, func(r *stroke.Result) bool { return r.Arrived <= (1+(late-1)/2)*own }, share(n))
			text := "Give each a silencer of its own"
			if wide > 0 {
				text += fmt.Sprintf(", or take one that lets through %s or more: computed again, the stroke takes %s", schema.Format(schema.ConductanceDim, wide), schema.Format(schema.TimeDim, then.Arrived))
			}
			s.text("remedyShared", text)
		}
	}
}
