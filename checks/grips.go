package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// mostGain is by how much more than the thrust a tool or a part may get before only the stretch of the parts says how much it is.
	mostGain = 200
	// noBound is the force, by the thrust, that stands for one without bound: what carries a hundred-thousandth of it bears as much as the
	// thrust, and rounding makes a millionth of that of it. No tool gets so much: a link that is shorter by a part e of its length takes two
	// links out of line by √(2 e), where they bring 1/√(8 e) of the thrust, 1100 at a ten-millionth.
	noBound = 1e5
	// aStopStep is to what the place of a stop is rounded, away from a dead point, and giveStep what a tool must give way there, m.
	aStopStep, giveStep = 0.1e-3, 0.01e-3
)

// A press is a pose in which a cylinder pushes or pulls with all of its thrust, and something holds a tool.
type press struct {
	*gripped
	cylinder string
	tool     string
	thrust   float64        // N, negative pulls
	from     []schema.Input // of the thrust
	statics  *linkage.Statics
	joints   []linkage.Joint
	forces   linkage.Forces
}

// carried is what is borne in it.
func (m *press) carried() carried {
	return carried{pose: m.Pose, cylinder: m.cylinder, tool: m.tool, pulls: m.thrust < 0, from: m.from}
}

// A gripped is a pose with a tool that is held.
type gripped struct {
	linkage.Grip
	next     *deadStretch // where it lies next to a dead point
	reverses bool         // the tool turns back in it: noBound times the thrust stands for what it gets
	sampled  bool         // it is among the few that stand for the whole stroke
	around   [2]float64   // the strokes of the poses before and after, m
	whole    [2]float64   // and of the first and the last
}

// A deadStretch is a part of a cylinder's stroke next to a dead point of a tool: it turns back there, or gets more than mostGain times the thrust.
type deadStretch struct {
	cylinder, tool string
	from, to       float64    // m, of the last pose before and the first after it
	whole          [2]float64 // the stroke's ends, m
	travel         float64    // m, that the tool moves within it
	turns          bool       // the tool turns back within it
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
	for i := range mo.runs {
		poses += len(mo.runs[i].usable())
	}
	g.all = make([]gripped, 0, poses*len(points))
	var here []linkage.Grip
	var forces linkage.Forces
	for i := range mo.runs {
		r := &mo.runs[i]
		poses := r.usable()
		if len(r.others()) > 0 || len(poses) == 0 {
			continue // what one of several that move together carries, it carries alone too
		}
		parts, now := make([][]stretch, len(points)), make([]int, len(points))
		for k, point := range points {
			parts[k] = mo.stretches(r, poses, point)
		}
		for i := range poses {
			here = g.statics.Grips(here[:0], &poses[i], points, &forces)
			h := 0
			for k, point := range points {
				if i == parts[k][now[k]].to {
					now[k]++
				}
				if h == len(here) || here[h].Point != point {
					continue // it stands still
				}
				s := &parts[k][now[k]]
				one := gripped{Grip: here[h], next: s.next, around: [2]float64{poses[max(0, i-1)].Stroke, poses[min(i+1, len(poses)-1)].Stroke}, whole: wholeOf(poses)}
				one.sampled = i%everyPose == 0 || i == len(poses)-1 || i == s.hardest || s.next != nil && (i == s.from || i == s.to-1)
				g.all = append(g.all, one)
				h++
			}
		}
		for k, point := range points {
			for _, s := range parts[k] {
				if s.next != nil {
					g.reversals(mo, r, poses, s, point, &forces)
				}
			}
		}
	}
	return g
}

// reversals adds what a tool does that turns back within a stretch: it gets a force without bound there, that the cylinder's thrust has no part in.
func (g *grips) reversals(mo *motion, r *run, poses []linkage.Pose, s stretch, tool int, forces *linkage.Forces) {
	at := func(p *linkage.Pose, way r2.Vec) {
		s.next.turns = true
		s.next.reached(p.Points[tool], poses, s, tool)
		for _, sign := range []float64{1, -1} {
			grip := g.statics.ReversedGrip(p, tool, r2.Scale(sign, r2.Unit(way)), noBound, forces)
			g.all = append(g.all, gripped{Grip: grip, next: s.next, reverses: true, sampled: true, around: [2]float64{s.next.from, s.next.to}})
		}
	}
	var follower *linkage.Follower
	for i := max(1, s.from); i <= min(s.to, len(poses)-1); i++ {
		a, b := &poses[i-1], &poses[i]
		va, vb := rateOf(a, tool), rateOf(b, tool)
		switch {
		case va >= stillRate && vb < stillRate:
			at(b, a.Velocity[tool])
		case va < stillRate && vb >= stillRate:
			at(a, b.Velocity[tool])
		case va >= stillRate && turnsBack(poses, i, tool):
			if follower == nil {
				follower = mo.solver.Follow(r.Sweep)
			}
			p, ok := follower.Reversal(tool, a, b)
			if !ok {
				p = *a // never less
			}
			if ok && rateOf(&p, tool) >= stillRate { // round a narrow bend
				for _, grip := range g.statics.Grips(nil, &p, []int{tool}, forces) {
					g.all = append(g.all, gripped{Grip: grip, next: s.next, sampled: true, around: [2]float64{a.Stroke, b.Stroke}})
				}
			} else {
				at(&p, r2.Sub(b.Velocity[tool], a.Velocity[tool]))
			}
		}
	}
}

// A stretch of poses, from the first up to but without the last, is all next to a dead point of a tool or all away from it. In the hardest the
// tool gets most.
type stretch struct {
	from, to, hardest int
	next              *deadStretch
}

// stretches divides the poses of a sweep: next to a dead point the thrust comes to more than mostGain times itself, or the tool turns back.
func (mo *motion) stretches(r *run, poses []linkage.Pose, tool int) (all []stretch) {
	for i := range poses {
		dead := rateOf(&poses[i], tool) < 1.0/mostGain || turnsBack(poses, i, tool) || turnsBack(poses, i+1, tool)
		if n := len(all); n == 0 || (all[n-1].next != nil) != dead {
			one := stretch{from: i, hardest: i}
			if dead {
				one.next = &deadStretch{cylinder: mo.cylinders[r.Lead], tool: mo.points[tool], from: poses[max(0, i-1)].Stroke, whole: wholeOf(poses)}
			}
			all = append(all, one)
		}
		s := &all[len(all)-1]
		s.to = i + 1
		if rateOf(&poses[i], tool) < rateOf(&poses[s.hardest], tool)*(1-tieBreak) {
			s.hardest = i
		}
		if dead {
			s.next.to = poses[min(s.to, len(poses)-1)].Stroke
		}
	}
	for _, s := range all {
		if s.next != nil {
			s.next.reached(poses[s.hardest].Points[tool], poses, s, tool)
		}
	}
	return all
}

func rateOf(p *linkage.Pose, tool int) float64 { return r2.Norm(p.Velocity[tool]) }

// turnsBack reports whether a tool turns back on the way to a pose from the one before.
func turnsBack(poses []linkage.Pose, i, tool int) bool {
	return i > 0 && i < len(poses) && r2.Dot(poses[i-1].Velocity[tool], poses[i].Velocity[tool]) < 0
}

// wholeOf is from where to where a stroke goes.
func wholeOf(poses []linkage.Pose) [2]float64 {
	return [2]float64{poses[0].Stroke, poses[len(poses)-1].Stroke}
}

// reached notes a place that the tool comes to within the stretch.
func (d *deadStretch) reached(place r2.Vec, poses []linkage.Pose, s stretch, tool int) {
	for _, i := range [2]int{max(0, s.from-1), min(s.to, len(poses)-1)} {
		d.travel = max(d.travel, r2.Norm(r2.Sub(place, poses[i].Points[tool])))
	}
}

// presses goes through all presses of the machine. What do is given is good until it returns. why says what keeps them from being known.
func (x *examiner) presses(do func(m *press)) (why string) {
	mo, g := x.motion, x.grips()
	if g.why != "" {
		return g.why
	}
	from, thrusts := make([][]schema.Input, len(mo.cylinders)), make([][]float64, len(mo.cylinders))
	for i, name := range mo.cylinders {
		zone, why := x.air.at(name)
		if why+zone.why != "" {
			return why + zone.why
		}
		y := x.m.Cylinders[name]
		from[i], thrusts[i] = thrustFrom(y, zone), thrustsAt(y, zone.pressure)
	}
	m := press{statics: g.statics, joints: g.statics.Joints()}
	for i := range g.all {
		m.gripped = &g.all[i]
		lead := m.Pose.Lead
		m.tool, m.cylinder, m.from = mo.points[m.Point], mo.cylinders[lead], from[lead]
		for _, m.thrust = range thrusts[lead] {
			g.statics.PressGrip(&m.Grip, m.thrust, &m.forces)
			do(&m)
		}
	}
	return ""
}

// thrustFrom are the values that the thrust of a cylinder comes from.
func thrustFrom(y schema.Cylinder, zone airZone) []schema.Input {
	return append([]schema.Input{y.Bore}, zone.from...)
}

// thrustsAt are those of a cylinder at a pressure (Pa, gauge), in N: what it pushes with, and below zero what it pulls with, where the air does.
func thrustsAt(y schema.Cylinder, pressure float64) []float64 {
	push, pull := pistonAreas(y)
	if y.Acting.Value != "double" || math.IsNaN(pull) {
		return []float64{pressure * push}
	}
	return []float64{pressure * push, -pressure * pull}
}

// nextToDead says where only the stretch of the parts says how much something bears, and how to keep out of there.
func nextToDead(all []*deadStretch) string {
	var where []string
	for _, d := range together(all) {
		where = append(where, fmt.Sprintf("%s, where something holds %s", d.between(), d.tool))
	}
	return fmt.Sprintf("%s, it goes through a dead point or so near to one that over %d times its thrust comes about, and only the stretch of the parts says how much of that: %s",
		strings.Join(where, ", or "), mostGain, avoidAll(all))
}

// avoidAll says how to keep out of them.
func avoidAll(all []*deadStretch) string {
	var ways []string
	for _, d := range together(all) {
		if way := d.avoid(); !slices.Contains(ways, way) {
			ways = append(ways, way)
		}
	}
	return strings.Join(ways, "; ")
}

// together makes one of those that meet: a machine has a dead point in much the same place with its other cylinders in and out.
func together(all []*deadStretch) (apart []deadStretch) {
	for _, d := range all {
		one := *d
		for k := 0; k < len(apart); {
			o := &apart[k]
			if !one.meets(o.cylinder, o.tool, o.from, o.to) {
				k++
				continue
			}
			one.widen(o.from, o.to)
			one.travel = max(one.travel, o.travel)
			apart = slices.Delete(apart, k, k+1)
		}
		apart = append(apart, one)
	}
	return apart
}

// between says where it lies.
func (d *deadStretch) between() string {
	return fmt.Sprintf("with %s out between %s and %s", d.cylinder, schema.Format(schema.LengthDim, d.from), schema.Format(schema.LengthDim, d.to))
}

// nearAll says where they lie.
func nearAll(all []*deadStretch) string {
	var where []string
	for _, d := range together(all) {
		where = append(where, d.between())
	}
	return strings.Join(where, ", or ")
}

// avoid says how to keep out of it.
func (d *deadStretch) avoid() string {
	var ways []string
	out := func(at float64) string { return schema.Format(schema.LengthDim, at) }
	if at := math.Floor(d.from/aStopStep+1e-6) * aStopStep; at > d.whole[0]+aStopStep {
		ways = append(ways, "at "+out(at)+" on its way out")
	}
	if at := math.Ceil(d.to/aStopStep-1e-6) * aStopStep; at < d.whole[1]-aStopStep {
		ways = append(ways, "at "+out(at)+" on its way in")
	}
	text := fmt.Sprintf("write a stop in `stops` that ends the stroke of %s %s", d.cylinder, strings.Join(ways, " or "))
	if len(ways) == 0 {
		text = fmt.Sprintf("make the stroke of %s end elsewhere", d.cylinder)
	}
	if d.travel > 0 {
		text += fmt.Sprintf(", or let what %s meets give way by %s or more", d.tool, schema.Format(schema.LengthDim, math.Ceil(d.travel/giveStep)*giveStep))
	}
	return text
}

// beyond reports whether something bears more next to dead points than anywhere else, so that how much is not known.
func beyond(next, elsewhere float64) bool { return next > elsewhere*(1+tieBreak)+tieBreak }

// leaveOpen leaves facts open that pass in all poses but those next to a dead point, where they get worse: which they are, and how they do else,
// follows. What fails already is so much the worse.
func leaveOpen(s *Subject, all []*deadStretch, measured, allowed string) {
	f, a := s.Facts[measured], s.Facts[allowed]
	if f.SI > a.SI {
		f.Worst += fmt.Sprintf(", and more next to a dead point, %s, which to keep out of comes first: %s", nearAll(all), avoidAll(all))
		s.Facts[measured] = f
		return
	}
	s.open(fmt.Sprintf("%s. In all else it comes to %s of %s at most", nextToDead(all), f, a), measured)
}

// A peak is the most of something, and what goes with it.
type peak[T any] struct {
	most float64
	in   T
}

// raised reports whether a value is more than all before, and keeps it then; what goes with it is to be written.
func (p *peak[T]) raised(value float64) bool {
	if !(value > p.most*(1+tieBreak)) {
		return false
	}
	p.most = value
	return true
}

// A spread is what something bears in all presses: away from dead points, and in each stretch next to one.
type spread[P any] struct {
	known P
	near  []nearby[P]
}

// A nearby is what something bears next to a dead point: in its poses as far as they can be computed, and with a force there that stands for one
// without bound.
type nearby[P any] struct {
	next            *deadStretch // of the tool; nil where the tool gets less, and this alone so much
	span            deadStretch
	finite, noBound P
	over            bool // it carries more than mostGain times the thrust, in one of the poses
}

// of is what a press counts for, with the force that it brings; without one it is a moment of another kind.
func (s *spread[P]) of(m *press, force float64) *P {
	if m == nil {
		return &s.known
	}
	over := m.thrust != 0 && force > mostGain*math.Abs(m.thrust)
	if m.next == nil && !over {
		return &s.known
	}
	k := slices.IndexFunc(s.near, func(n nearby[P]) bool {
		return n.next == m.next && (n.next != nil || n.span.meets(m.cylinder, m.tool, m.around[0], m.around[1]))
	})
	if k < 0 {
		k = len(s.near)
		n := nearby[P]{next: m.next}
		if m.next != nil {
			n.span = *m.next
		} else {
			n.span = deadStretch{cylinder: m.cylinder, tool: m.tool, from: m.around[0], to: m.around[1], whole: m.whole}
		}
		s.near = append(s.near, n)
	}
	n := &s.near[k]
	if m.reverses {
		return &n.noBound
	}
	n.span.widen(m.around[0], m.around[1])
	n.over = n.over || over
	return &n.finite
}

// meets reports whether another part of the same stroke touches it.
func (d *deadStretch) meets(cylinder, tool string, from, to float64) bool {
	return d.cylinder == cylinder && d.tool == tool && from <= d.to && d.from <= to
}

func (d *deadStretch) widen(from, to float64) { d.from, d.to = min(d.from, from), max(d.to, to) }

// settle divides what is borne: counts are all that is known, away from dead points and next to those that have no part in it, and open where
// the rest is, of which only the stretch of the parts says how much.
func (s *spread[P]) settle(size func(*P) float64) (counts []*P, open []*deadStretch) {
	counts = []*P{&s.known}
	if len(s.near) == 0 {
		return counts, nil
	}
	most := size(&s.known)
	for i := range s.near {
		n := &s.near[i]
		finite := size(&n.finite)
		if !beyond(size(&n.noBound), max(most, finite)) && !(n.over && beyond(finite, most)) {
			counts = append(counts, &n.finite)
			continue
		}
		open = append(open, &n.span)
	}
	return counts, open
}

// settle gives the largest of what is known, and where it is not.
func settle[T any](s *spread[peak[T]]) (most *peak[T], open []*deadStretch) {
	counts, open := s.settle(func(p *peak[T]) float64 { return p.most })
	most = counts[0]
	for _, p := range counts[1:] {
		if p.most > most.most*(1+tieBreak) {
			most = p
		}
	}
	return most, open
}
