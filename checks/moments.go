package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

const (
	// strokeMoments is every how many samples of a stroke one is followed into the parts: 21 of 101, beside the fastest, the hardest and
	// the last one.
	strokeMoments = 5
	// bumper in m is how far the end of a cylinder gives when its piston arrives: the rubber rings in the heads of small ones. Common
	// practice, no source.
	bumper = 1e-3
	// noBound is the force, by the thrust, that stands for one without bound: what carries a hundred-thousandth of it bears as much as the
	// thrust, and rounding makes a millionth of that of it.
	noBound = 1e5
)

// A momentKind is what goes on while the machine carries its forces.
type momentKind int

const (
	atRest    momentKind = iota // standing still with its loads, anywhere on its way
	inPress                     // a cylinder pushes or pulls with all it has, and something holds a tool
	inRun                       // a stroke from the other end
	inFirst                     // the first stroke, from empty
	inFall                      // a stroke after the air has gone
	atArrival                   // the end of one of these, when the stop takes the speed
)

// A moment is one in which the machine carries something, with what its pivots bear then. This is the one list of forces for all that
// holds a machine together: pins, joints, links, its base. It is computed once for each examination, by moments.
type moment struct {
	kind                momentKind
	of                  momentKind // of an arrival: the stroke that ends
	cylinder            string     // that moves or presses
	inward              bool
	tool                string        // what is held, where it presses
	way                 r2.Vec        // of the tool, of length 1
	loads               []string      // what may be absent, and acts here
	pose                *linkage.Pose // its Stroke is that of the cylinder
	time                float64       // since its valve shifted, s
	speed, acceleration float64       // of its rod, outward positive
	forces              linkage.Forces
	// next are how far the rod is out before and after a dead point, m, of a moment between: only the stretch of the parts says how much it
	// is there. Nothing for all others.
	next *[2]float64
}

// allMoments are those of one machine, with the pivots that their forces are about.
type allMoments struct {
	list   []moment
	joints []linkage.Joint
	why    string // they are not known
	unrun  string // the strokes are not, but what it carries at rest is
	// assumed is what stands in for what a stop gives.
	assumed []schema.Assumption
}

// moments are all that the machine is looked at in: standing in some of its poses under its weights and each set of its loads, inPress in
// them what holds a tool, and on its strokes, with what its masses set against their acceleration. The strokes have their speeds and
// accelerations from the air, with all loads against them; what they carry is then computed without those loads and with them.
func (x *examiner) moments() *allMoments {
	if x.carried != nil {
		return x.carried
	}
	x.carried = &allMoments{}
	all, mo := x.carried, x.motion
	all.why = mo.whyNot()
	if all.why == "" && len(mo.unweighed) > 0 {
		all.why = fmt.Sprintf("the weight of %s is not given: add `mass: kg: …` to each (an estimate will do, nothing will not)", strings.Join(mo.unweighed, ", "))
	}
	if all.why != "" || len(mo.cylinders) == 0 {
		return all
	}
	statics, names, err := mo.cases()
	if err != nil {
		all.why = "the forces are not known: " + err.Error()
		return all
	}
	all.joints = statics[0].Joints()
	const usual = 128 // moments, which are large: room for them from the start
	all.list = make([]moment, 0, usual)
	m := momenter{x: x, all: all, statics: statics, loads: names[1:], forces: make([]linkage.Forces, len(statics)), thrusts: map[int][]float64{}}
	for _, poses := range mo.samples() {
		for i := range poses {
			m.add(moment{kind: atRest, pose: &poses[i]})
		}
	}
	m.presses()
	for _, b := range x.begun {
		if b.driven == nil {
			all.unrun = fmt.Sprintf("the strokes of %s are not known: %s", b.name, b.why)
			continue
		}
		m.run(b.driven, b.driven.outward, inRun)
		m.run(b.driven, b.driven.inward, inRun)
		m.run(b.driven, b.driven.fromEmpty, inFirst)
		for _, g := range b.driven.falling {
			m.run(b.driven, g, inFall)
		}
	}
	return all
}

// unknown says why what the machine does in all of them is not known.
func (a *allMoments) unknown() string {
	switch {
	case a.why != "":
		return a.why
	case len(a.list) == 0:
		return "no cylinder moves anything"
	}
	return a.unrun
}

type momenter struct {
	x       *examiner
	all     *allMoments
	statics []*linkage.Statics // the weights, and each load that is a force
	loads   []string
	forces  []linkage.Forces // of each
	thrusts map[int][]float64
}

// thrustsOf are those of a cylinder, by its index; none where the pressure there is not known.
func (m *momenter) thrustsOf(lead int) []float64 {
	if list, done := m.thrusts[lead]; done {
		return list
	}
	name := m.x.motion.cylinders[lead]
	zone, why := m.x.air.at(name)
	if why += zone.why; why != "" {
		m.all.unrun = why
	} else {
		m.thrusts[lead] = thrustsAt(m.x.m.Cylinders[name], zone.pressure)
	}
	return m.thrusts[lead]
}

// add keeps a moment with the weights alone, and with each set of the loads; of many loads with each alone, and with all.
func (m *momenter) add(one moment) {
	for i, s := range m.statics {
		var err error
		if i == 0 {
			err = s.Move(one.pose, one.speed, one.acceleration, &m.forces[i])
		} else {
			err = s.Hold(one.pose, linkage.Standing, &m.forces[i])
		}
		if err != nil {
			m.all.why = "the forces are not known: " + err.Error()
			return
		}
	}
	const few = 3
	n := len(m.loads)
	sets := 1 << min(n, few)
	if n > few {
		sets = n + 2 // none, each alone, all
	}
	for set := range sets {
		next := one
		next.forces = m.forces[0].Clone()
		for i, name := range m.loads {
			if n <= few && set>>i&1 == 0 || n > few && set != i+1 && set != n+1 {
				continue
			}
			next.loads = append(next.loads, name)
			next.forces.Add(&m.forces[i+1])
		}
		m.all.list = append(m.all.list, next)
	}
}

// presses has each cylinder that moves alone push and pull against what holds a tool: in poses all along its stroke, and where the tool gets
// most between two dead points. What it has next to a dead point is kept apart, and there too what the dead point itself does.
func (m *momenter) presses() {
	mo := m.x.motion
	var last *run
	var poses []*linkage.Pose
	done := func() {
		if len(poses) == 0 {
			return
		}
		for _, t := range m.x.toolPoints() {
			tool := mo.point(t.point)
			for _, s := range stretches(poses, tool) {
				var next *[2]float64
				if s.dead {
					next = &[2]float64{poses[max(0, s.from-1)].Stroke, poses[min(s.to, len(poses)-1)].Stroke}
				}
				for i := s.from; i < s.to; i++ {
					if i%everyPose == 0 || i == len(poses)-1 || i == s.hardest || s.dead && (i == s.from || i == s.to-1) {
						m.press(t.point, poses[i], next)
					}
				}
				if s.dead {
					m.reversals(last, poses, s, tool, next)
				}
			}
		}
		poses = poses[:0]
	}
	mo.everyUsablePose(func(r *run, p *linkage.Pose) {
		if r != last {
			done()
			last = r
		}
		if len(r.others()) == 0 { // what one of several that move together presses, it presses alone too
			poses = append(poses, p)
		}
	})
	done()
}

// A stretch of poses, from the first up to but without the last, is all next to a dead point of a tool or all away from it. In the hardest the
// tool gets most.
type stretch struct {
	from, to, hardest int
	dead              bool
}

// stretches divides the poses of a sweep: next to a dead point the thrust comes to more than mostGain times itself, or the tool turns back.
func stretches(poses []*linkage.Pose, tool int) (all []stretch) {
	for i := range poses {
		dead := rateOf(poses[i], tool) < 1.0/mostGain || turnsBack(poses, i, tool) || turnsBack(poses, i+1, tool)
		if n := len(all); n == 0 || all[n-1].dead != dead {
			all = append(all, stretch{i, i, i, dead})
		}
		s := &all[len(all)-1]
		s.to = i + 1
		if rateOf(poses[i], tool) < rateOf(poses[s.hardest], tool)*(1-tieBreak) {
			s.hardest = i
		}
	}
	return all
}

func rateOf(p *linkage.Pose, tool int) float64 { return r2.Norm(p.Velocity[tool]) }

// turnsBack reports whether a tool turns back on the way to a pose from the one before.
func turnsBack(poses []*linkage.Pose, i, tool int) bool {
	return i > 0 && i < len(poses) && r2.Dot(poses[i-1].Velocity[tool], poses[i].Velocity[tool]) < 0
}

// press adds what a cylinder presses with against what holds a tool in a pose.
func (m *momenter) press(tool string, p *linkage.Pose, next *[2]float64) {
	mo := m.x.motion
	at := mo.point(tool)
	for _, thrust := range m.thrustsOf(p.Lead) {
		if m.statics[0].Press(p, linkage.Press{Thrust: thrust, Point: at}, false, &m.forces[0]) != nil {
			continue // the tool stands still there
		}
		m.all.list = append(m.all.list, moment{kind: inPress, cylinder: mo.cylinders[p.Lead], inward: thrust < 0, tool: tool, way: r2.Unit(p.Velocity[at]), pose: p, forces: m.forces[0].Clone(), next: next})
	}
}

// reversals adds what a tool does that stands still within a stretch: it gets a force without bound there, one way and the other, that the
// cylinder's thrust has no part in. In its place stands one so large that what carries any of it comes to bear more than ever else.
func (m *momenter) reversals(r *run, poses []*linkage.Pose, s stretch, tool int, next *[2]float64) {
	mo := m.x.motion
	thrusts := m.thrustsOf(r.Lead)
	if len(thrusts) == 0 || thrusts[0] == 0 {
		return
	}
	at := func(p *linkage.Pose, way r2.Vec) {
		way = r2.Unit(way)
		for _, force := range []float64{noBound * thrusts[0], -noBound * thrusts[0]} {
			m.statics[0].Resist(p, tool, r2.Scale(-force, way), &m.forces[0])
			forces := m.forces[0].Clone()
			forces.Tool = force
			m.all.list = append(m.all.list, moment{kind: inPress, cylinder: mo.cylinders[r.Lead], inward: force < 0, tool: mo.points[tool], way: way, pose: p, forces: forces, next: next})
		}
	}
	var follower *linkage.Follower
	for i := max(1, s.from); i <= min(s.to, len(poses)-1); i++ {
		a, b := poses[i-1], poses[i]
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
				m.press(mo.points[tool], &p, next)
			} else {
				at(&p, r2.Sub(b.Velocity[tool], a.Velocity[tool]))
			}
		}
	}
}

// nextToDead says in which poses only the stretch of the parts says how much something bears.
func (x *examiner) nextToDead(m *moment) string {
	return fmt.Sprintf("%s, where something holds %s, it goes through a dead point or so near to one that over %d times its thrust comes about, and only the stretch of the parts says how much of that: write the stop that keeps it out of there in `stops`",
		m.between(), m.tool, mostGain)
}

// between says which poses lie next to a dead point.
func (m *moment) between() string {
	return fmt.Sprintf("with %s out between %s and %s", m.cylinder, schema.Format(schema.LengthDim, m.next[0]), schema.Format(schema.LengthDim, m.next[1]))
}

// run follows a stroke into the parts.
func (m *momenter) run(d *driven, g *goingStroke, kind momentKind) {
	if g == nil {
		return
	}
	<-g.done
	if g.err != nil || g.result.Verdict == stroke.OutOfSteps {
		m.all.unrun = fmt.Sprintf("the strokes of %s can't be computed", d.name)
		return
	}
	r := g.result
	poses := m.x.motion.alone(d.name)
	at := func(s stroke.Sample, kind, of momentKind) {
		if math.IsNaN(s.Stroke) || math.IsNaN(s.Acceleration) {
			return // it never moved
		}
		i, _ := slices.BinarySearch(d.strokes, s.Stroke)
		if i = min(i, len(poses)-1); i > 0 && s.Stroke-d.strokes[i-1] < d.strokes[i]-s.Stroke {
			i--
		}
		m.add(moment{kind: kind, of: of, cylinder: d.name, inward: g.machine.Inward, pose: &poses[i], time: s.Time, speed: s.Speed, acceleration: s.Acceleration})
	}
	for i := 0; i < len(r.Course); i += strokeMoments {
		at(r.Course[i], kind, kind)
	}
	at(r.PeakSpeed, kind, kind)
	at(r.PeakAcceleration, kind, kind)
	if r.Verdict != stroke.Arrives {
		return
	}
	// A stop that gives evenly, F = k x, brakes hardest at its end, where it has given d: a = v²/d.
	end, gives := r.Last, bumper
	if cushion := d.y.Cushion; cushion.Given() && !cushion.Needle.Given() && !math.IsNaN(r.Entry.Speed) {
		end, gives = r.Entry, cushion.Length.SI // its braking is not in the stroke
	} else if a := (schema.Assumption{Path: d.y.Path + ".cushion", Value: "gives " + schema.Format(schema.LengthDim, bumper) + " at the end", Source: "common practice: the rubber rings of a small cylinder"}); !slices.Contains(m.all.assumed, a) {
		m.all.assumed = append(m.all.assumed, a)
	}
	end.Stroke = r.Last.Stroke
	end.Time = r.Last.Time
	end.Acceleration = -math.Copysign(end.Speed*end.Speed/gives, end.Speed)
	at(end, atArrival, kind)
	end.Speed = 0 // where the stop has given most it is still
	at(end, atArrival, kind)
}

// beyond reports whether something bears more next to dead points than anywhere else, so that how much is not known.
func beyond(next, elsewhere float64) bool { return next > elsewhere*(1+tieBreak)+tieBreak }

// leaveOpen leaves facts open that pass in all poses but those next to a dead point, where they get worse: which they are, and how they do else,
// follows. What fails already is so much the worse.
func (x *examiner) leaveOpen(s *Subject, m *moment, measured, allowed string) {
	f, a := s.Facts[measured], s.Facts[allowed]
	if f.SI > a.SI {
		f.Worst += ", and more next to a dead point, " + m.between()
		s.Facts[measured] = f
		return
	}
	s.open(fmt.Sprintf("%s. In all else it comes to %s of %s at most", x.nextToDead(m), f, a), measured)
}

// airLost reports whether it is in a fall after the air has gone, which is a fault that has rules of its own.
func (m *moment) airLost() bool { return m.kind == inFall || m.of == inFall }

// whenIn says which moment it is.
func (x *examiner) whenIn(m *moment) string {
	var text string
	way := "out"
	if m.inward {
		way = "in"
	}
	of := map[momentKind]string{inRun: "stroke", inFirst: "first stroke, from empty,", inFall: "fall without air"}
	switch m.kind {
	case atRest:
		text = "standing"
	case inPress:
		return fmt.Sprintf("%s, where %s %s and something holds %s", x.motion.when(m.pose), m.cylinder, map[bool]string{false: "pushes", true: "pulls"}[m.inward], m.tool)
	case atArrival:
		text = fmt.Sprintf("at the end of the %s %s of %s, %s after its valve shifts, when its stop takes the speed", of[m.of], way, m.cylinder, schema.Format(schema.TimeDim, m.time))
	default:
		text = fmt.Sprintf("in the %s %s of %s, %s after its valve shifts", of[m.kind], way, m.cylinder, schema.Format(schema.TimeDim, m.time))
	}
	text += " " + x.motion.when(m.pose)
	if len(m.loads) > 0 {
		text += ", with " + inWords(m.loads)
	}
	return text
}

// on is the force that comes onto a link at a point in a moment, as drawn: what the pin, a cylinder's end or a carried load puts there,
// turned back with the link.
func (x *examiner) on(m *moment, link, point string) r2.Vec {
	mo := x.motion
	var sum r2.Vec
	ground, pivot := x.m.Links[link].Ground.Value, false
	for i, j := range x.carried.joints {
		if mo.points[j.Point] == point && (mo.links[j.Body] == link || ground && x.m.Links[mo.links[j.Body]].Ground.Value) {
			sum, pivot = r2.Add(sum, m.forces.Reactions[i]), true
		}
	}
	if ground {
		return sum
	}
	if !pivot {
		at := mo.point(point)
		for _, load := range sorted(x.m.Loads) {
			l := x.m.Loads[load]
			if l.At.Value != point {
				continue
			}
			if l.Mass.Given() {
				a := r2.Add(r2.Scale(m.acceleration, m.pose.Velocity[at]), r2.Scale(m.speed*m.speed, m.pose.Acceleration[at]))
				sum = r2.Add(sum, r2.Scale(l.Mass.SI, r2.Sub(r2.Vec{Y: -standardGravity}, a)))
			} else if slices.Contains(m.loads, load) {
				sum = r2.Add(sum, r2.Scale(l.Force.SI, r2.Vec{X: math.Cos(l.Towards.SI), Y: math.Sin(l.Towards.SI)}))
			}
		}
	}
	return r2.Rotate(sum, -m.pose.Angles[mo.link(link)], r2.Vec{})
}

// momentFrom are the values that the size of a moment comes from.
func (x *examiner) momentFrom(m *moment) []schema.Input {
	if m.kind == atRest {
		return nil
	}
	zone, _ := x.air.at(m.cylinder)
	return append([]schema.Input{x.m.Cylinders[m.cylinder].Bore}, zone.from...)
}
