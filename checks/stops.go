package checks

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// cushionWanted is the part of a cushion that the piston must run into to be braked by it. Common practice, no source: makers give
	// energies for the whole of it.
	cushionWanted = 0.5
	// quickTip is the mean speed of a point, m/s, from which it should be meant to be quick: at its end it is about twice as fast. Common
	// practice, no source.
	quickTip = 0.5
	// freeAir is the pressure at which flows are counted, Pa absolute.
	freeAir = 100e3
	room    = 101.325e3 // pressure of the room, Pa absolute
)

// tip finds the point that moves fastest for the speed of a cylinder's rod; how fast it moves is left open where the time of the stroke is
// not given, until the strokes are computed.
func (x *examiner) tip(s *Subject, name string, y schema.Cylinder) {
	mo := x.motion
	if why := mo.unknown(); why != "" {
		return // which the linkage says
	}
	cylinder := indexOf(mo.cylinders, name)
	ratio, point, when := 0.0, 0, (*linkage.Pose)(nil)
	mo.everyPose(func(r *run, p *linkage.Pose) {
		if r.Lead != cylinder || !mo.leads(r) || r.Closing != nil || r.Extending != nil {
			return // at a dead point the ratio has no bound
		}
		for i, v := range p.Velocity {
			if v := r2.Norm2(v); v > ratio {
				ratio, point, when = v, i, p
			}
		}
	})
	if when == nil {
		return
	}
	s.set("tipRatio", schema.NumberDim, math.Sqrt(ratio))
	s.worst("tipRatio", mo.when(when), rodsOut(when)...)
	s.text("tip", mo.points[point])
	if y.Time.Given() {
		x.tipSpeed(s, name, y, y.Time.SI, y.Time, y.Stroke)
		return
	}
	s.open("how long its stroke takes is neither given nor computed: add `time: s: …`", "tipSpeed")
}

// tipSpeed sets how fast the fastest point moves when a stroke takes a time, s.
func (x *examiner) tipSpeed(s *Subject, name string, y schema.Cylinder, time float64, from ...schema.Input) {
	ratio := s.Facts["tipRatio"]
	reached := x.motion.ranges[indexOf(x.motion.cylinders, name)]
	stroke := reached[1] - reached[0]
	speed := stroke / time * ratio.SI
	s.set("tipSpeed", schema.SpeedDim, speed, from...)
	s.worst("tipSpeed", ratio.Worst, ratio.Rods...)
	time *= speed / quickTip
	s.set("timeForTip", schema.TimeDim, time, from[0])
	if zone, why := x.air.at(name); why == "" && zone.why == "" {
		push, _ := pistonAreas(y)
		s.set("flowForTip", schema.FlowDim, push*stroke/time*(zone.pressure+room)/freeAir, y.Bore, y.Stroke)
	}
}

// stops judges what holds the machine before a cylinder has reached its own end.
func (x *examiner) stops() {
	mo := x.motion
	for _, name := range sorted(x.m.Stops) {
		stop := x.m.Stops[name]
		s := newSubject(x.m, "stop", name, stop.At.At)
		x.add(s)
		y := x.m.Cylinders[stop.Cylinder.Value]
		cylinder := indexOf(mo.cylinders, stop.Cylinder.Value)
		extending := stop.MetGoingOut(y.Stroke.SI)
		gap := stop.At.SI
		if extending {
			gap = y.Stroke.SI - stop.At.SI
		}
		s.text("cylinder", stop.Cylinder.Value)
		s.text("met", map[bool]string{true: "going out", false: "coming in"}[extending])
		s.set("gap", schema.LengthDim, gap, stop.At)
		energy := x.arrives(s, cylinder, extending, y)
		spare := x.stopForce(s, stop, cylinder, extending, y)
		if !y.Cushion.Given() {
			continue
		}
		s.set("cushionUsed", schema.NumberDim, max(0, 1-gap/y.Cushion.Length.SI), stop.At, y.Cushion.Length)
		at := (1 - cushionWanted) * y.Cushion.Length.SI
		if extending {
			at = y.Stroke.SI - at
		}
		var ways []string
		d := mo.redrawn(posesPerStroke, func(d *motion) {
			if extending {
				d.ranges[cylinder][1] = at
			} else {
				d.ranges[cylinder][0] = at
			}
		})
		if d != nil {
			ways = append(ways, "Move the stop to "+schema.Format(schema.LengthDim, at)+" of the stroke")
		}
		damper := y.Cushion.Length.SI
		if energy > 0 && spare > 0 {
			damper = max(damper, energy/spare)
		}
		ways = append(ways, fmt.Sprintf("put a damper with %s of stroke in its place", schema.Format(schema.LengthDim, damper)))
		s.text("remedyCushion", capital(strings.Join(ways, ", or ")))
	}
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// atEnd does something with each pose in which a cylinder arrives at an end, with the run in which it does.
func (mo *motion) atEnd(cylinder int, extending bool, do func(r *run, p *linkage.Pose)) {
	for k := range mo.runs {
		r := &mo.runs[k]
		if r.Lead != cylinder || !mo.leads(r) || len(r.Poses) == 0 {
			continue
		}
		at := 0
		if extending {
			at = len(r.Poses) - 1
		}
		do(r, &r.Poses[at])
	}
}

// arrives is the energy with which the machine meets a stop, J; 0 where it is not known.
func (x *examiner) arrives(s *Subject, cylinder int, extending bool, y schema.Cylinder) float64 {
	mo := x.motion
	if mo.unknown() != "" || len(mo.unweighed) > 0 || !y.Time.Given() {
		return 0
	}
	most := 0.0
	mo.atEnd(cylinder, extending, func(r *run, p *linkage.Pose) {
		speed, _ := x.rodSpeed(r)
		most = max(most, x.kinetic(p, speed))
	})
	s.set("energy", schema.EnergyDim, most, y.Time)
	return most
}

// stopForce sets what presses on a stop when the machine stands against it: the cylinder at the pressure set, with the loads that push the
// same way. It gives what the stop bears beyond that, 0 where it is not known.
func (x *examiner) stopForce(s *Subject, stop schema.Stop, cylinder int, extending bool, y schema.Cylinder) float64 {
	mo := x.motion
	why := mo.unknown()
	zone, whyAir := x.air.at(stop.Cylinder.Value)
	push, pull := pistonAreas(y)
	area := push
	if !extending {
		area = pull
	}
	switch {
	case why != "":
	case whyAir != "":
		why = whyAir
	case zone.why != "":
		why = zone.why
	case math.IsNaN(area):
		why = "the rod's diameter is not given: add `rod: mm: …`, or `standard: \"ISO 6432\"`"
	case len(mo.unweighed) > 0:
		why = "the weight of " + strings.Join(mo.unweighed, ", ") + " is not given: add `mass: kg: …`"
	}
	if !extending && y.Acting.Value == "single" {
		area, why = 0, mo.unknown() // its spring alone closes it
	}
	if why != "" {
		s.open(why, "force")
	}
	if !stop.Withstands.Given() {
		s.open("how much it bears is not given: add `withstands: N: …`", "withstands")
	} else {
		s.set("withstands", schema.ForceDim, stop.Withstands.SI, stop.Withstands)
	}
	if why != "" {
		return 0
	}
	loads, worst := math.Inf(-1), (*linkage.Pose)(nil)
	mo.atEnd(cylinder, extending, func(_ *run, p *linkage.Pose) {
		pressed := -mo.solver.HoldingThrust(p, &mo.weights)
		for _, f := range mo.forces {
			hold := -mo.solver.HoldingThrust(p, &f.load)
			if extending == (hold > 0) {
				pressed += hold
			}
		}
		if !extending {
			pressed = -pressed
		}
		if pressed > loads {
			loads, worst = pressed, p
		}
	})
	if worst == nil {
		s.open("the linkage can't take the stroke of "+stop.Cylinder.Value, "force")
		return 0
	}
	force := max(0, zone.pressure*area+loads)
	s.set("force", schema.ForceDim, force, append([]schema.Input{stop.Withstands, y.Bore}, zone.from...)...)
	s.worst("force", mo.when(worst), rodsOut(worst)...)
	if !stop.Withstands.Given() {
		return 0
	}
	if set := (stop.Withstands.SI - loads) / area; set > 0 && area > 0 {
		s.text("remedyForce", fmt.Sprintf("Set %s or less, or a stop that bears %s", schema.Format(schema.PressureDim, set), schema.Format(schema.ForceDim, force)))
	} else {
		s.text("remedyForce", "The loads alone are too much for it: take a stop that bears "+schema.Format(schema.ForceDim, force))
	}
	return stop.Withstands.SI - force
}
