package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// mostGain is by how much more than the thrust a link may carry before only the stretch of the parts says how much it is.
	mostGain = 200
	// passingGain is what a link carries at least at the pose next to a dead point that its tool goes through, if it is in line there.
	passingGain = 10
	// settingStep is how finely a regulator can be set, Pa.
	settingStep = 1e3
)

// A stall is the most that a link carries while a cylinder pushes or pulls against something that holds a tool.
type stall struct {
	force, gain float64 // N, and as a part of the thrust
	cylinder    string
	tool        string
	pose        *linkage.Pose
	from        []schema.Input
}

// stalls judges what the links carry when the machine meets something: levers and toggles give them more than the thrust.
func (x *examiner) stalls() {
	mo := x.motion
	var asked []int
	for i, name := range mo.links {
		if l := x.m.Links[name]; l.Withstands.Given() && !l.Ground.Value {
			asked = append(asked, i)
		}
	}
	tools := x.toolPoints()
	if len(asked) == 0 || len(tools) == 0 || len(mo.cylinders) == 0 {
		return
	}
	worst, why := x.stalled()
	for _, i := range asked {
		l := x.m.Links[mo.links[i]]
		s := newSubject(x.m, "stall", mo.links[i], l.Withstands.At)
		x.add(s)
		s.set("withstands", schema.ForceDim, l.Withstands.SI, l.Withstands)
		if why != "" {
			s.open(why, "force")
			continue
		}
		w := worst[i]
		if w.gain > mostGain {
			s.open(fmt.Sprintf("%s it is so near to a dead point that it carries over %d times the thrust, and only the stretch of the parts says how much: write the stop that keeps %s short of it in `stops`, or measure it", mo.when(w.pose), mostGain, w.cylinder), "force")
			continue
		}
		if w.pose == nil {
			s.open("no tool moves that could meet something: name a point in `reaches` or `loads`", "force")
			continue
		}
		s.set("force", schema.ForceDim, w.force, append(w.from, l.Withstands)...)
		s.worst("force", mo.when(w.pose), rodsOut(w.pose)...)
		s.text("cylinder", w.cylinder)
		s.text("tool", w.tool)
		s.set("gain", schema.NumberDim, w.gain)
		zone, _ := x.air.at(w.cylinder)
		s.set("setForStall", schema.PressureDim, math.Floor(zone.pressure*l.Withstands.SI/w.force/settingStep)*settingStep, zone.from...)
	}
}

// stalled finds the worst for each link; why says what keeps it from being known.
func (x *examiner) stalled() (worst []stall, why string) {
	worst = make([]stall, len(x.motion.links))
	why = x.presses(func(m *press) {
		for k, j := range m.joints {
			force := r2.Norm(m.forces.Reactions[k])
			if m.turnedBack && force > passingGain*math.Abs(m.thrust) {
				force = math.Inf(1)
			}
			if w := &worst[j.Body]; force > w.force*(1+tieBreak) {
				*w = stall{force, force / math.Abs(m.thrust), m.cylinder, m.tool, m.pose, append([]schema.Input{x.m.Cylinders[m.cylinder].Bore}, m.from...)}
			}
		}
	})
	return worst, why
}

// A press is a pose in which a cylinder pushes or pulls with all of its thrust, and something holds a tool.
type press struct {
	pose       *linkage.Pose
	cylinder   string
	tool       string
	thrust     float64        // N, negative pulls
	turnedBack bool           // the tool came to stand between the pose before and this one
	from       []schema.Input // of the pressure
	statics    *linkage.Statics
	joints     []linkage.Joint
	forces     linkage.Forces
}

// A gripped is a pose with a tool that is held.
type gripped struct {
	linkage.Grip
	turnedBack bool
}

// grips are all poses with each tool held, and what computes their forces.
type grips struct {
	statics *linkage.Statics
	all     []gripped
	why     string // they are not known
}

// grips finds them once: they do not hang on any pressure.
func (x *examiner) grips() *grips {
	mo := x.motion
	if mo.gripped != nil {
		return mo.gripped
	}
	g := &grips{}
	mo.gripped = g
	if g.why = mo.unknown(); g.why != "" {
		return g
	}
	statics, _, err := mo.cases()
	if err != nil {
		g.why = "the forces are not known: " + err.Error()
		return g
	}
	g.statics = statics[0]
	var points []int
	for _, t := range x.toolPoints() {
		points = append(points, mo.point(t.point))
	}
	poses := 0
	mo.everyUsablePose(func(*run, *linkage.Pose) { poses++ })
	g.all = make([]gripped, 0, poses*len(points))
	var forces linkage.Forces
	var here []linkage.Grip
	before, last := (*run)(nil), make([]r2.Vec, len(mo.points))
	mo.everyUsablePose(func(r *run, p *linkage.Pose) {
		if len(r.others()) > 0 {
			return // what one of several that move together carries, it carries alone too
		}
		here = g.statics.Grips(here[:0], p, points, &forces)
		for _, h := range here {
			g.all = append(g.all, gripped{h, r == before && r2.Dot(p.Velocity[h.Point], last[h.Point]) < 0})
		}
		for _, point := range points {
			last[point] = p.Velocity[point]
		}
		before = r
	})
	return g
}

// presses goes through all presses of the machine. What do is given is good until it returns. why says what keeps them from being known.
func (x *examiner) presses(do func(m *press)) (why string) {
	mo, g := x.motion, x.grips()
	if g.why != "" {
		return g.why
	}
	zones, thrusts := make([]airZone, len(mo.cylinders)), make([][]float64, len(mo.cylinders))
	for i, name := range mo.cylinders {
		zone, why := x.air.at(name)
		if why+zone.why != "" {
			return why + zone.why
		}
		zones[i], thrusts[i] = zone, thrustsAt(x.m.Cylinders[name], zone.pressure)
	}
	m := press{statics: g.statics, joints: g.statics.Joints()}
	for i := range g.all {
		h := &g.all[i]
		lead := h.Pose.Lead
		m.pose, m.tool, m.turnedBack, m.cylinder, m.from = h.Pose, mo.points[h.Point], h.turnedBack, mo.cylinders[lead], zones[lead].from
		for _, m.thrust = range thrusts[lead] {
			g.statics.PressGrip(&h.Grip, m.thrust, &m.forces)
			do(&m)
		}
	}
	return ""
}

// thrustsAt are those of a cylinder at a pressure (Pa, gauge), in N: what it pushes with, and below zero what it pulls with, where the air does.
func thrustsAt(y schema.Cylinder, pressure float64) []float64 {
	push, pull := pistonAreas(y)
	if y.Acting.Value != "double" || math.IsNaN(pull) {
		return []float64{pressure * push}
	}
	return []float64{pressure * push, -pressure * pull}
}
