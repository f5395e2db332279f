package checks

import (
	"fmt"
	"slices"
	"strings"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A seated is what a head or a nut presses on, through washers or not.
type seated struct {
	what    string // "head", "nut"
	at      int    // layer of the stack
	wide    float64
	bare    float64 // without any washer
	allowed float64
	washer  int // layer of the washer next to it, −1 for none
}

// seatsOf are the parts of a fastening on which its head and its nut press, where it is written what they are of.
func (x *examiner) seatsOf(j *joining) (all []seated) {
	stack := j.f.Stack
	add := func(what string, bare float64, order []int) {
		first := slices.IndexFunc(order, func(k int) bool { return stack[k].Part.Given() })
		if first < 0 {
			return
		}
		part := stack[order[first]]
		if part.Sleeve.Value || !part.Material.Given() {
			return
		}
		row, err := x.m.Material(part.Material.Value)
		if err != nil {
			return
		}
		seat := seated{what: what, at: order[first], wide: bare, bare: bare, allowed: row.Pressed, washer: -1}
		for _, k := range order[:first] {
			if w := stack[k].Washer; outsideOf(w) > 0 {
				seat.wide = fastening.Spread(seat.wide, outsideOf(w), w.SI, row.Pressed)
			}
			seat.washer = k
		}
		all = append(all, seat)
	}
	down := make([]int, len(stack))
	for i := range down {
		down[i] = i
	}
	if head, err := standards.HeadFor(j.f.Screw.Head.Value, j.thread.Name); err == nil {
		bare := max(head.Bearing, 1.4*j.thread.Nominal)
		if j.f.Screw.Head.Value == "countersunk" {
			bare = head.Across // its cone lies in the part
		}
		add("head", bare, down)
	}
	if j.f.Into.Nut.Given() {
		if hex, err := standards.HeadFor("hex", j.thread.Name); err == nil { // nuts press over the same as hexagon heads
			slices.Reverse(down)
			add("nut", hex.Bearing, down)
		}
	}
	return all
}

// outsideOf is how wide a standard washer is; of one of which only the thickness is known, 0.
func outsideOf(w schema.Washer) float64 {
	if !w.Thread.Given() {
		return 0
	}
	series := w.Series.Value
	if series == "" {
		series = "plain"
	}
	row, err := standards.WasherFor(series, w.Thread.Value)
	if err != nil {
		return 0
	}
	return row.Outer
}

// heads holds what head and nut press on against what that bears for long.
func (x *examiner) heads(s *Subject, j *joining) {
	hole, err := standards.ClearanceHoleFor(j.thread.Name)
	if err != nil {
		return
	}
	worst, pressure := seated{}, 0.0 // by the share of what is allowed, for 1 N
	for _, seat := range x.seatsOf(j) {
		if p, err := fastening.Under(1, seat.wide, hole.Medium); err == nil && p/seat.allowed > pressure*(1+tieBreak) {
			worst, pressure = seat, p/seat.allowed
		}
	}
	if pressure == 0 {
		return
	}
	layer := j.f.Stack[worst.at]
	perForce := j.f.NutFactor.SI * j.thread.Nominal
	s.set("torqueForPressure", schema.TorqueDim, perForce/pressure, layer.Material)
	s.text("pressedPart", layer.Part.Value, layer.Part)
	s.text("presses", worst.what)
	s.set("headPressureAllowed", schema.StressDim, worst.allowed, layer.Material)
	if !j.f.Torque.Given() {
		s.open("the tightening torque is not given: add `torque: Nm: …`", "headPressure")
		return
	}
	clamp := j.f.Torque.SI / perForce
	s.set("headPressure", schema.StressDim, pressure*worst.allowed*clamp, j.f.Torque, layer.Material, j.f.NutFactor, j.f.Screw.Thread)
	if pressure*clamp > 1 {
		s.text("remedyPressure", x.softer(j, worst, clamp, hole.Medium, s.mostTorque("")), j.f.Torque)
	}
}

// softer names what presses less on a part: a wider washer, a tube that takes the clamping through what creeps, less torque. Each is tried.
func (x *examiner) softer(j *joining, seat seated, clamp, hole, most float64) string {
	var ways []string
	layer := j.f.Stack[seat.at]
	if large, err := standards.WasherFor("large", j.thread.Name); err == nil && j.f.Screw.Head.Value != "countersunk" {
		p, err := fastening.Under(clamp, fastening.Spread(seat.bare, large.Outer, large.Thick, seat.allowed), hole)
		changed := j.joint
		changed.Stack = slices.Clone(j.stack)
		how := fmt.Sprintf("put a large %s washer (ISO 7093-1) under the %s", j.thread.Name, seat.what)
		if as := (fastening.Span{Min: large.ThickMin, Max: large.ThickMax}); seat.washer >= 0 {
			changed.Stack[seat.washer] = as
			how += " in place of the one there"
		} else {
			changed.Stack = append(changed.Stack, as)
		}
		if w, err2 := changed.Window(); err == nil && err2 == nil && w.Conflict == nil && p <= seat.allowed && j.f.Screw.Length.SI >= w.Least && j.f.Screw.Length.SI <= w.Most {
			ways = append(ways, fmt.Sprintf("%s, which leaves %s", how, schema.Format(schema.StressDim, p)))
		}
	}
	if row, err := x.m.Material(layer.Material.Value); err == nil && row.Pressed < row.Yield {
		ways = append(ways, fmt.Sprintf("put a metal tube of %s through %s, which takes the clamping (`sleeve: true`)", schema.Format(schema.LengthDim, layer.Thick.SI), layer.Part.Value))
	}
	ways = append(ways, fmt.Sprintf("tighten with %s or less", schema.Format(schema.TorqueDim, most)))
	return capital(strings.Join(ways, ", or "))
}
