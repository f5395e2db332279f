package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// A rod is what a cylinder must give along its rod at most, over all that the machine does: pushing (out) and pulling (in), N.
type rod struct {
	out, in         float64
	outWhen, inWhen string
	outAt, inAt     []float64 // how far all rods are out then, m
	jams            string    // where friction holds it, however hard it pushes
	why             string    // why all of this is not known
}

func (r *rod) push(thrust float64, p *linkage.Pose, when func() string) {
	if thrust > r.out*(1+tieBreak) {
		r.out, r.outWhen, r.outAt = thrust, when(), rodsOut(p)
	}
}

func (r *rod) pull(thrust float64, p *linkage.Pose, when func() string) {
	if thrust > r.in*(1+tieBreak) {
		r.in, r.inWhen, r.inAt = thrust, when(), rodsOut(p)
	}
}

// rods computes the forces along all rods. Weights are always there. A force may be absent, so that each counts only where it works
// against the motion.
func (x *examiner) rods() []rod {
	mo := x.motion
	if len(mo.cylinders) == 1 && len(mo.weights.Pins)+len(mo.weights.Friction) == 0 {
		rods := make([]rod, 1)
		mo.everyUsablePose(func(_ *run, p *linkage.Pose) { mo.thrusts(p, &rods[0]) })
		return rods
	}
	return x.held(1)
}

// held computes the forces along all rods with a part of the friction that is given.
func (x *examiner) held(friction float64) []rod {
	mo := x.motion
	rods := make([]rod, len(mo.cylinders))
	if mo.solver == nil {
		return rods
	}
	h, err := x.holder(friction)
	if err != nil {
		for i := range rods {
			rods[i].why = "the forces are not known: " + err.Error()
		}
		return rods
	}
	mo.everyUsablePose(func(r *run, p *linkage.Pose) { h.pose(r, p, rods) })
	return rods
}

// thrusts are the forces of a machine's only cylinder.
func (mo *motion) thrusts(p *linkage.Pose, r *rod) {
	out, in, absentOut, absentIn := mo.against(p)
	r.push(out, p, func() string { return atStroke(p) + without(absentOut) })
	r.pull(in, p, func() string { return atStroke(p) + without(absentIn) })
}

// against is the thrust, without friction, with which the cylinder that leads a run holds what works against its motion, going out and
// coming in, by virtual work; below zero that helps. It names the forces that do not count, since they help.
func (mo *motion) against(p *linkage.Pose) (out, in float64, absentOut, absentIn []string) {
	weights := mo.solver.HoldingThrust(p, &mo.weights)
	out, in = weights, -weights
	for _, f := range mo.forces {
		if hold := mo.solver.HoldingThrust(p, &f.load); hold > 0 {
			out += hold
			absentIn = append(absentIn, f.name)
		} else if hold < 0 {
			in -= hold
			absentOut = append(absentOut, f.name)
		}
	}
	return out, in, absentOut, absentIn
}

var wayText = map[linkage.Way]string{linkage.Extending: "Going out, ", linkage.Closing: "Coming in, "}

func without(loads []string) string {
	if len(loads) == 0 {
		return ""
	}
	return " and without " + inWords(loads)
}

// A holder computes the thrusts of several cylinders, and those that friction asks for.
type holder struct {
	mo      *motion
	areas   []float64 // of the pistons: cylinders that move together share the load by them
	weights linkage.Case
	statics map[uint64]*linkage.Statics // by the forces that are there
	f       linkage.Forces
}

// mostForces may be absent or there: a bit of statics' keys for each.
const mostForces = 64

// holder prepares one with a part of the friction that is given.
func (x *examiner) holder(friction float64) (*holder, error) {
	mo := x.motion
	if len(mo.forces) > mostForces {
		return nil, fmt.Errorf("with friction or several cylinders, at most %d loads may be forces, and there are %d", mostForces, len(mo.forces))
	}
	h := &holder{mo: mo, weights: mo.weights, statics: map[uint64]*linkage.Statics{}}
	h.weights.Pins, h.weights.Friction = slices.Clone(mo.weights.Pins), slices.Clone(mo.weights.Friction)
	for i := range h.weights.Pins {
		h.weights.Pins[i].Coefficient *= friction
	}
	for i := range h.weights.Friction {
		h.weights.Friction[i].Coefficient *= friction
	}
	for _, name := range mo.cylinders {
		push, _ := pistonAreas(x.m.Cylinders[name])
		h.areas = append(h.areas, push)
	}
	_, err := h.of(0)
	return h, err
}

// of gives the statics with some of the forces.
func (h *holder) of(forces uint64) (*linkage.Statics, error) {
	if t, ok := h.statics[forces]; ok {
		return t, nil
	}
	c := h.weights
	c.Loads = slices.Clone(c.Loads)
	for k, f := range h.mo.forces {
		if forces>>k&1 == 1 {
			c.Loads = append(c.Loads, f.load.Loads...)
		}
	}
	t, err := h.mo.solver.Statics(c)
	h.statics[forces] = t
	return t, err
}

// pose adds to the rods what one pose asks of them. A cylinder at rest at an end of its stroke needs no air against what presses it there.
func (h *holder) pose(r *run, p *linkage.Pose, rods []rod) {
	var against [2]uint64 // forces that work against the motion, going out and coming in
	for k, f := range h.mo.forces {
		hold := h.mo.solver.HoldingThrust(p, &f.load)
		if hold > 0 {
			against[0] |= 1 << k
		} else if hold < 0 {
			against[1] |= 1 << k
		}
	}
	for k, way := range []linkage.Way{linkage.Extending, linkage.Closing} {
		when := func() string { return h.mo.when(p) + h.absent(against[1-k]) }
		t, err := h.of(against[k])
		if err != nil {
			rods[r.Lead].why = "the forces are not known: " + err.Error()
			continue
		}
		if err := t.Hold(p, way, &h.f); err != nil {
			if lead := &rods[r.Lead]; lead.jams == "" {
				lead.jams = wayText[way] + when()
			}
			continue
		}
		for i := range rods {
			thrust := h.share(r, p, i)
			between := h.mo.ranges[i]
			pushes, pulls := true, true
			switch at := p.Cylinders[i].Stroke; {
			case r.moves(i):
				pushes, pulls = way == linkage.Extending, way == linkage.Closing
			case at <= between[0]+fitOfDrawing:
				pushes = false
			case at >= between[1]-fitOfDrawing:
				pulls = false
			}
			if pushes {
				rods[i].push(thrust, p, when)
			}
			if pulls {
				rods[i].pull(-thrust, p, when)
			}
		}
	}
}

// share is the thrust of a cylinder for the forces computed last. Cylinders that share a freedom bear by their pistons what together
// they hold by virtual work: how they really do depends on air and play.
func (h *holder) share(r *run, p *linkage.Pose, cylinder int) float64 {
	for _, set := range h.mo.solver.Mobility().Tied {
		if !slices.Contains(set, cylinder) || !r.moves(cylinder) {
			continue
		}
		work, area := 0.0, 0.0
		for _, j := range set {
			rate := p.Cylinders[j].Rate
			work += h.f.Thrust[j] * rate
			area += h.areas[j] * rate
		}
		return work * h.areas[cylinder] / area
	}
	return h.f.Thrust[cylinder]
}

func (h *holder) absent(forces uint64) string {
	var names []string
	for k, f := range h.mo.forces {
		if forces>>k&1 == 1 {
			names = append(names, f.name)
		}
	}
	return without(names)
}

// jam sets whether friction holds the machine, and with how much less of it it moves.
func (x *examiner) jam(s *Subject, name string, r rod) {
	mo := x.motion
	if mo.unknown() != "" || len(mo.weights.Pins)+len(mo.weights.Friction) == 0 {
		return
	}
	var from []schema.Input
	for _, l := range sorted(x.m.Slides) {
		from = append(from, x.m.Slides[l].Friction)
	}
	for _, p := range sorted(x.m.Pivots) {
		from = append(from, x.m.Pivots[p].Friction)
	}
	s.flag("jams", r.jams != "", from...)
	if r.jams == "" {
		return
	}
	s.text("jamsWhen", r.jams)
	cylinder := indexOf(mo.cylinders, name)
	low, high := 0.0, 1.0
	for high-low > 0.005 {
		middle := (low + high) / 2
		if x.jamsAt(middle, cylinder) {
			high = middle
		} else {
			low = middle
		}
	}
	percent := math.Floor(100 * low)
	s.text("remedyJam", fmt.Sprintf("With %g %% of the friction that is given it moves, with ever less force the less it is: rollers or ball bearings, thinner pins, points of a guide farther apart, or the cylinder's line nearer to the guide", percent))
}

// jamsAt reports whether a cylinder jams with a part of the friction.
func (x *examiner) jamsAt(friction float64, cylinder int) bool {
	h, err := x.holder(friction)
	if err != nil {
		return true
	}
	rods := make([]rod, len(x.motion.cylinders))
	for k := range x.motion.runs {
		r := &x.motion.runs[k]
		for i := range r.Poses {
			if h.pose(r, &r.Poses[i], rods); rods[cylinder].jams != "" {
				return true
			}
		}
	}
	return false
}

// force sets the rod forces that the loads ask for.
func (x *examiner) force(s *Subject, name string, r rod) {
	names := []string{"loadOut", "loadIn"}
	if why := x.motion.why(name); why != "" {
		s.open(why, names...)
		return
	}
	if r.why != "" {
		s.open(r.why, names...)
		return
	}
	if len(x.motion.unweighed) > 0 {
		l := x.motion.unweighed
		s.open(fmt.Sprintf("the weight of %s is not given: add `mass: kg: …` to each (an estimate will do, nothing will not)", strings.Join(l, ", ")), names...)
		return
	}
	var from []schema.Input
	for _, l := range sorted(x.m.Loads) {
		from = append(from, x.m.Loads[l].Mass, x.m.Loads[l].Force)
	}
	for _, k := range sorted(x.m.Springs) {
		from = append(from, x.m.Springs[k].Rate, x.m.Springs[k].Free)
	}
	for _, l := range x.motion.links {
		if !x.m.Links[l].Ground.Value {
			from = append(from, x.m.Links[l].Mass)
		}
	}
	s.set("loadOut", schema.ForceDim, r.out, from...)
	s.worst("loadOut", r.outWhen, r.outAt...)
	s.set("loadIn", schema.ForceDim, r.in, from...)
	s.worst("loadIn", r.inWhen, r.inAt...)
}
