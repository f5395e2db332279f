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
	grip                *linkage.Grip // likewise
	thrust              float64       // on it, N
	loads               []string      // what may be absent, and acts here
	pose                *linkage.Pose // its Stroke is that of the cylinder
	time                float64       // since its valve shifted, s
	speed, acceleration float64       // of its rod, outward positive
	arrives             float64       // of an arrival: the speed that its stop takes, m/s
	forces              linkage.Forces
	// next is where it lies next to a dead point: only the stretch of the parts says how much it is there. Nothing for all others.
	next *deadStretch
	// reverses says that the tool turns back in it: see noBound.
	reverses bool
}

// allMoments are those of one machine, with the pivots that their forces are about.
type allMoments struct {
	list   []moment
	joints []linkage.Joint
	why    string // they are not known
	unrun  string // the strokes are not, but what it carries at rest is
	// from are, for each cylinder, the values that the size of what it moves or presses comes from.
	from map[string][]schema.Input
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
	all.from = make(map[string][]schema.Input, len(mo.cylinders))
	for _, name := range mo.cylinders {
		zone, _ := x.air.at(name)
		all.from[name] = thrustFrom(x.m.Cylinders[name], zone)
	}
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

// presses has each cylinder that moves alone push and pull against what holds a tool: in poses all along its stroke, where the tool gets most
// between two dead points, and all that stands for what is next to one.
func (m *momenter) presses() {
	mo := m.x.motion
	g := m.x.grips()
	for i := range g.all {
		one := &g.all[i]
		if !one.sampled {
			continue
		}
		for _, thrust := range m.thrustsOf(one.Pose.Lead) {
			g.statics.PressGrip(&one.Grip, thrust, &m.forces[0])
			m.all.list = append(m.all.list, moment{kind: inPress, cylinder: mo.cylinders[one.Pose.Lead], inward: thrust < 0, tool: mo.points[one.Point], grip: &one.Grip, thrust: thrust, pose: one.Pose, forces: m.forces[0].Clone(), next: one.next, reverses: one.reverses})
		}
	}
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
	from, arrives := len(m.all.list), math.Abs(end.Speed)
	at(end, atArrival, kind)
	end.Speed = 0 // where the stop has given most it is still
	at(end, atArrival, kind)
	for i := range m.all.list[from:] {
		m.all.list[from+i].arrives = arrives
	}
}

// near says where it counts: away from dead points (0), next to one where it is known of what does not carry what the tool gets (1), or for what
// is known of nothing (2).
func (m *moment) near() int {
	switch {
	case m.next == nil:
		return 0
	case m.next.turns && !m.reverses:
		return 1
	}
	return 2
}

// scene is what its forces were computed for, with its loads in some room.
func (mo *motion) scene(m *moment, room []linkage.Load) linkage.Scene {
	s := linkage.Scene{Pose: m.pose, Speed: m.speed, Acceleration: m.acceleration, Loads: room[:0]}
	for _, f := range mo.forces {
		if slices.Contains(m.loads, f.name) {
			s.Loads = append(s.Loads, f.load.Loads...)
		}
	}
	return s
}

// borne goes through all moments in which the machine carries what it is built to, but for presses and arrivals.
func (a *allMoments) borne(do func(m *moment)) {
	for i := range a.list {
		if m := &a.list[i]; m.kind != inPress && m.kind != atArrival && !m.airLost() {
			do(m)
		}
	}
}

// stopped goes through those in which a stop takes the speed.
func (a *allMoments) stopped(do func(m *moment)) {
	for i := range a.list {
		if m := &a.list[i]; m.kind == atArrival && !m.airLost() {
			do(m)
		}
	}
}

// as is what is borne in a moment.
func (a *allMoments) as(m *moment) carried {
	return carried{pose: m.pose, in: m, from: a.from[m.cylinder]}
}

// leaveUnrun notes what the moments stand on, and leaves a fact open that passes in all that is known, where the strokes or the weights are not.
func (x *examiner) leaveUnrun(s *Subject, measured, allowed string) {
	why := x.carried.why + x.carried.unrun
	s.Assumed = append(s.Assumed, x.carried.assumed...)
	f, a := s.Facts[measured], s.Facts[allowed]
	if why == "" || f.Kind != Quantity || f.SI > a.SI {
		return
	}
	s.open(fmt.Sprintf("%s. In all that is known it comes to %s of %s at most", why, f, a), measured)
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

// A foothold is a link at a point, with what may come onto it there: what its joints carry, or where no other turns with it what is carried or pulls there.
type foothold struct {
	link   int // -1: fixed
	point  int
	joints []int
	loads  []string
}

func (x *examiner) foothold(link, point string) foothold {
	mo := x.motion
	f := foothold{link: mo.link(link), point: mo.point(point)}
	ground := x.m.Links[link].Ground.Value
	if ground {
		f.link = -1
	}
	for i, j := range x.carried.joints {
		if j.Point == f.point && (j.Body == f.link || ground && x.m.Links[mo.links[j.Body]].Ground.Value) {
			f.joints = append(f.joints, i)
		}
	}
	if !ground && len(f.joints) == 0 {
		for _, load := range sorted(x.m.Loads) {
			if x.m.Loads[load].At.Value == point {
				f.loads = append(f.loads, load)
			}
		}
	}
	return f
}

// footholds are those of a link at some points.
func (x *examiner) footholds(link schema.Text, points []schema.Text) (all []foothold) {
	for _, p := range points {
		all = append(all, x.foothold(link.Value, p.Value))
	}
	return all
}

// on is the force that comes onto a link at a point in a moment, as drawn: what the pin, a cylinder's end or a carried load puts there,
// turned back with the link.
func (x *examiner) on(m *moment, f *foothold) r2.Vec {
	var sum r2.Vec
	for _, i := range f.joints {
		sum = r2.Add(sum, m.forces.Reactions[i])
	}
	if f.link < 0 {
		return sum
	}
	for _, load := range f.loads {
		l := x.m.Loads[load]
		if l.Mass.Given() {
			a := r2.Add(r2.Scale(m.acceleration, m.pose.Velocity[f.point]), r2.Scale(m.speed*m.speed, m.pose.Acceleration[f.point]))
			sum = r2.Add(sum, r2.Scale(l.Mass.SI, r2.Sub(r2.Vec{Y: -standardGravity}, a)))
		} else if slices.Contains(m.loads, load) {
			sum = r2.Add(sum, r2.Scale(l.Force.SI, r2.Vec{X: math.Cos(l.Towards.SI), Y: math.Sin(l.Towards.SI)}))
		}
	}
	return r2.Rotate(sum, -m.pose.Angles[f.link], r2.Vec{})
}
