package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/fastening"
	"trammel.example/checks/standing"
	"trammel.example/schema"
)

const (
	// tipReserve and slideReserve are by how much what keeps a base down and still must be above what tips and shifts it, and leanLeast the
	// slope (rad) on which it must still stand by its weight. Common practice, no source.
	tipReserve, slideReserve = 1.5, 1.5
	leanLeast                = 10 * math.Pi / 180
	// testedReserve is by how much a screw's tested strength must be above its load in a base that shakes. Common practice, no source.
	testedReserve = 3
)

// mounting holds what the machine puts on its base against what keeps that on its bench.
func (x *examiner) mounting() {
	b := x.m.Base
	if !b.Given() {
		return
	}
	s := newSubject(x.m, "base", "base", b.At)
	x.add(s)
	all := x.moments()
	s.Assumed = append(s.Assumed, all.assumed...)
	if why := all.unknown(); why != "" {
		s.open(why, "reserve", "slides", "leans", "pull")
		return
	}
	feet := standing.Feet{From: b.Feet.From.SI, To: b.Feet.To.SI, Y: b.Feet.Y.SI, Friction: b.Friction.SI}
	pressed := map[string]bool{}
	for i := range x.carried.list {
		if m := &x.carried.list[i]; m.kind == inPress {
			pressed[m.tool] = true
		}
	}
	if len(b.Caught) == 0 && len(pressed) > 0 {
		s.Assumed = append(s.Assumed, schema.Assumption{Path: b.Path + ".caught", Value: "nothing", Source: "common practice: what holds the tools stands on the same base, so that a press pushes nothing across"})
	}
	for _, at := range b.Caught {
		if !pressed[at.Value] {
			s.open(fmt.Sprintf("what pushes on something that catches %s is not known: no cylinder that moves alone presses there", at.Value), "reserve", "slides", "pull")
			return
		}
	}
	if b.Bench.Given() { // beyond its edge nothing bears
		feet.From, feet.To = max(feet.From, b.Bench.From.SI), min(feet.To, b.Bench.To.SI)
	}
	if b.Screws.Given() {
		x.baseScrews(s, feet)
		return
	}
	x.stands(s, feet)
	if len(b.Clamps) == 0 {
		x.leans(s, feet)
	}
}

// caught reports whether a moment is a press against something beside the base.
func (x *examiner) caught(m *moment) bool {
	return m.kind == inPress && slices.ContainsFunc(x.m.Base.Caught, func(p schema.Text) bool { return p.Value == m.tool })
}

// onBase reports whether a moment counts for what holds the base; of presses next to a dead point, nextOnBase does.
func (x *examiner) onBase(m *moment) bool {
	return !m.airLost() && (m.kind != inPress || m.next == nil && x.caught(m))
}

func (x *examiner) nextOnBase(m *moment) bool { return m.next != nil && x.caught(m) }

// deadOnBase are the stretches next to dead points of what something beside the base may catch.
func (x *examiner) deadOnBase() (dead []*deadStretch) {
	for i := range x.carried.list {
		if m := &x.carried.list[i]; x.nextOnBase(m) && !slices.Contains(dead, m.next) {
			dead = append(dead, m.next)
		}
	}
	return dead
}

// resting is the weight of what does not move: base, ballast, and links that are fixed.
func (x *examiner) resting() (pushes []standing.Push) {
	b, mo := x.m.Base, x.motion
	down := func(at float64, y, mass float64) {
		pushes = append(pushes, standing.Push{At: r2.Vec{X: at, Y: y}, Force: r2.Vec{Y: -mass * standardGravity}})
	}
	down(b.Centre.X.SI, b.Centre.Y.SI, b.Mass.SI)
	for _, w := range b.Ballast {
		down(w.X.SI, b.Feet.Y.SI, w.Mass.SI)
	}
	for i, name := range mo.links {
		if l := x.m.Links[name]; l.Ground.Value && l.Mass.SI > 0 {
			centre := mo.mechanism.Bodies[i].Centre
			down(centre.X, centre.Y, l.Mass.SI)
		}
	}
	return pushes
}

// pushed adds to what rests all forces on machine and base in a moment, without what holds it.
func (x *examiner) pushed(m *moment, pushes []standing.Push) []standing.Push {
	b, mo := x.m.Base, x.motion
	// Apart, since the one holds the base down and the other may tip it.
	weight, inertia := mo.solver.OnGround(m.pose, &mo.weights, m.speed, m.acceleration)
	pushes = append(pushes, standing.Push{Force: weight.Force, Moment: weight.Moment}, standing.Push{Force: inertia.Force, Moment: inertia.Moment})
	if m.kind == inPress { // what is caught pushes back
		pushes = append(pushes, standing.Push{At: m.pose.Points[mo.point(m.tool)], Force: r2.Scale(-m.forces.Tool, m.grip.Along)})
	}
	for _, name := range m.loads {
		if slices.ContainsFunc(b.Within, func(w schema.Text) bool { return w.Value == name }) {
			continue
		}
		l := x.m.Loads[name]
		force := r2.Scale(l.Force.SI, r2.Vec{X: math.Cos(l.Towards.SI), Y: math.Sin(l.Towards.SI)})
		pushes = append(pushes, standing.Push{At: m.pose.Points[mo.point(l.At.Value)], Force: force})
	}
	return pushes
}

// stands judges a base that stands freely or under clamps.
func (x *examiner) stands(s *Subject, feet standing.Feet) {
	b := x.m.Base
	held := func(pushes []standing.Push) []standing.Push {
		for _, c := range b.Clamps {
			pushes = append(pushes, standing.Push{At: r2.Vec{X: c.X.SI, Y: feet.Y}, Force: r2.Vec{Y: -c.Force.SI}})
		}
		return pushes
	}
	// judge finds the worst with something more that presses down in the middle of the feet.
	pushes := x.resting()
	rest := len(pushes)
	judge := func(more float64, counts func(*moment) bool) (tips, slides standing.Result, tipsIn, slidesIn *moment) {
		for i := range x.carried.list {
			m := &x.carried.list[i]
			if !counts(m) {
				continue
			}
			pushes = held(x.pushed(m, pushes[:rest]))
			pushes = append(pushes, standing.Push{At: r2.Vec{X: (feet.From + feet.To) / 2, Y: feet.Y}, Force: r2.Vec{Y: -more}})
			r, err := feet.Stand(pushes)
			if err != nil {
				continue
			}
			if tipsIn == nil || r.Reserve() < tips.Reserve()*(1-tieBreak) {
				tips, tipsIn = r, m
			}
			if slidesIn == nil || r.Across*slideReserve-feet.Slides(r) > slides.Across*slideReserve-feet.Slides(slides)+tieBreak {
				slides, slidesIn = r, m
			}
		}
		return tips, slides, tipsIn, slidesIn
	}
	tips, slides, tipsIn, slidesIn := judge(0, x.onBase)
	if tipsIn == nil || slidesIn == nil {
		s.open("the feet stand nowhere on the bench", "reserve", "slides")
		return
	}
	first := []schema.Input{b.Feet.To}
	if tips.Left {
		first = []schema.Input{b.Feet.From}
	}
	clamp, ballast := schema.Input(schema.Force{}), schema.Input(b.Mass)
	if len(b.Clamps) > 0 {
		clamp = b.Clamps[0].Force
	}
	reserve := min(tips.Reserve(), 1000)
	s.set("reserve", schema.NumberDim, reserve, append([]schema.Input{clamp, ballast}, first...)...)
	s.worst("reserve", x.whenIn(tipsIn), rodsOut(tipsIn.pose)...)
	x.push(feet, s.Facts["reserve"], tips.Left, held(x.pushed(tipsIn, x.resting())))
	s.set("holds", schema.TorqueDim, tips.Holds)
	s.set("tips", schema.TorqueDim, tips.Tips)
	edge := feet.To
	if tips.Left {
		edge = feet.From
	}
	s.set("toEdge", schema.LengthDim, math.Abs(edge-b.Centre.X.SI), first...)
	across := []schema.Input{b.Friction, clamp, b.Mass}
	if slidesIn.kind == inPress {
		across = append(across, x.carried.from[slidesIn.cylinder]...)
	}
	s.set("slides", schema.ForceDim, slides.Across, across...)
	s.worst("slides", x.whenIn(slidesIn), rodsOut(slidesIn.pose)...)
	s.set("slidesAllowed", schema.ForceDim, feet.Slides(slides)/slideReserve, b.Friction, b.Mass)
	if dead := x.deadOnBase(); len(dead) > 0 {
		tipsNext, slidesNext, _, _ := judge(0, x.nextOnBase)
		if tipsNext.Reserve() < tips.Reserve()*(1-tieBreak) {
			if f := s.Facts["reserve"]; f.SI < tipReserve {
				f.Worst += ", and less next to a dead point, " + nearAll(dead)
				s.Facts["reserve"] = f
			} else {
				s.open(fmt.Sprintf("%s. In all else what keeps the base down is %s times what tips it", nextToDead(dead), f), "reserve")
			}
		}
		if beyond(slidesNext.Across*slideReserve-feet.Slides(slidesNext), slides.Across*slideReserve-feet.Slides(slides)) {
			leaveOpen(s, dead, "slides", "slidesAllowed")
		}
	}
	does := func(more float64) bool {
		tips, slides, _, _ := judge(more, x.onBase)
		return tips.Reserve() >= tipReserve && feet.Slides(slides) >= slideReserve*slides.Across
	}
	if does(0) {
		return
	}
	// What it takes grows evenly with the force: halve until it is known to a newton.
	low, high := 0.0, 10.0
	for !does(high) && high < 1e6 {
		low, high = high, 2*high
	}
	for high-low > 1 {
		if middle := (low + high) / 2; does(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	needed := math.Ceil(high/10) * 10
	s.text("remedyHold", fmt.Sprintf("Press it onto the bench with %s in all in the middle of its feet, by clamps beside what there is, or lay %s on it there; computed again, it then neither tips nor slides",
		schema.Format(schema.ForceDim, needed), schema.Format(schema.MassDim, math.Ceil(2*needed/standardGravity)/2)))
}

// A Standing is a machine on its base in the moment in which that is worst off.
type Standing struct {
	Base *Subject
	// Down and Across (along x) are all that pushes machine and base together, clamps too, N; At is the x at which its line comes to the feet, m.
	Down, Across, At float64
	Left             bool // it would tip over the edge with the smaller x
	Rods             []float64
	Worst            string
}

// push sums up what pushes machine and base in the moment of a fact.
func (x *examiner) push(feet standing.Feet, worst Fact, left bool, pushes []standing.Push) {
	var force r2.Vec
	moment := 0.0
	for _, p := range pushes {
		force = r2.Add(force, p.Force)
		moment += p.Moment + r2.Cross(r2.Sub(p.At, r2.Vec{Y: feet.Y}), p.Force)
	}
	if math.Abs(force.Y) > tieBreak*r2.Norm(force) {
		x.standing = &Standing{Down: -force.Y, Across: force.X, At: moment / force.Y, Left: left, Rods: worst.Rods, Worst: worst.Worst}
	}
}

// leans is the slope on which it tips by its weight alone, along the bench and across.
func (x *examiner) leans(s *Subject, feet standing.Feet) {
	b := x.m.Base
	least, worst, across := math.Inf(1), (*moment)(nil), false
	var height, near float64
	for i := range x.carried.list {
		m := &x.carried.list[i]
		if m.kind != atRest || len(m.loads) > 0 {
			continue
		}
		weight, at, up := 0.0, 0.0, 0.0
		add := func(mass, px, py float64) {
			weight, at, up = weight+mass, at+mass*px, up+mass*(py-feet.Y)
		}
		add(b.Mass.SI, b.Centre.X.SI, b.Centre.Y.SI)
		for _, w := range b.Ballast {
			add(w.Mass.SI, w.X.SI, b.Feet.Y.SI)
		}
		x.motion.solver.EachMass(m.pose, &x.motion.weights, func(mass float64, at r2.Vec) { add(mass, at.X, at.Y) })
		at, up = at/weight, up/weight
		for _, way := range []struct {
			near   float64
			across bool
		}{{min(at-feet.From, feet.To-at), false}, {b.Feet.Across.SI / 2, true}} {
			if angle := standing.Tilt(way.near, up); angle < least-tieBreak {
				least, worst, across, height, near = angle, m, way.across, up, way.near
			}
		}
	}
	if worst == nil {
		return
	}
	from := schema.Input(b.Feet.To)
	if across {
		from = b.Feet.Across
	}
	s.set("leans", schema.AngleDim, max(0, least), from, b.Mass)
	s.worst("leans", x.whenIn(worst), rodsOut(worst.pose)...)
	s.text("leansWay", map[bool]string{true: "across the drawing", false: "along the drawing"}[across])
	s.set("centreUp", schema.LengthDim, height, b.Centre.Y)
	s.set("feetFarther", schema.LengthDim, max(0, height*math.Tan(leanLeast)-near))
}

// baseScrews judges screws that hold the base.
func (x *examiner) baseScrews(s *Subject, feet standing.Feet) {
	b := x.m.Base
	w := b.Screws
	var allowed float64
	var from []schema.Input
	why := ""
	friction := 0.0 // where clamping must not be lost, what slides takes of it by friction
	switch {
	case w.Withstands.Given():
		allowed, from = w.Withstands.SI/testedReserve, []schema.Input{w.Withstands}
	case w.Wood.Given():
		mean, err := fastening.Withdrawal(grain(w.Wood), w.Wood.Diameter.SI, w.Wood.Thread.SI, w.Wood.Gravity.SI)
		if err != nil {
			why = err.Error()
		}
		allowed, from = mean/fastening.UsualWoodReserve, []schema.Input{w.Wood.Thread, w.Wood.Diameter, w.Wood.Gravity}
	default:
		f := x.m.Fastenings[w.Fastening.Value]
		t, err := tighten(f, f.Screw.Thread.Value, f.Torque.SI)
		if err != nil {
			why = err.Error()
		} else if !f.Torque.Given() {
			why = fmt.Sprintf("the tightening torque of %s is not given: add `torque: Nm: …`", w.Fastening.Value)
		}
		allowed, from, friction = t.kept/pullReserve, []schema.Input{f.Torque, f.NutFactor}, b.Friction.SI
	}
	if why != "" {
		s.open(why, "pull")
		return
	}
	across := b.Feet.Across.SI / 2
	group := fastening.Group{Foot: [2]fastening.Place{{U: feet.From, W: -across}, {U: feet.To, W: across}}, Ring: 1}
	for _, a := range w.At {
		group.Screws = append(group.Screws, fastening.Place{U: a.X.SI, W: a.Z.SI})
	}
	pushes := x.resting()
	rest := len(pushes)
	var shares []fastening.Share
	var onto []fastening.Onto
	bear := func(counts func(*moment) bool) (worst float64, at *moment, err error) {
		for i := range x.carried.list {
			m := &x.carried.list[i]
			if !counts(m) {
				continue
			}
			pushes, onto = x.pushed(m, pushes[:rest]), onto[:0]
			for _, p := range pushes {
				// A couple is a pair of forces a metre apart.
				onto = append(onto, fastening.Onto{U: p.Force.X, N: p.Force.Y, At: fastening.Place{U: p.At.X}, Height: p.At.Y - feet.Y},
					fastening.Onto{N: p.Moment, At: fastening.Place{U: 1}}, fastening.Onto{N: -p.Moment})
			}
			if shares, err = group.Bear(onto, shares); err != nil {
				return 0, nil, err
			}
			for _, one := range shares {
				load := math.Hypot(max(0, one.Tension), one.Shear())
				if friction > 0 {
					load = max(0, one.Tension) + one.Shear()/friction
				}
				if at == nil || load > worst*(1+tieBreak) {
					worst, at = load, m
				}
			}
		}
		return worst, at, nil
	}
	worst, at, err := bear(x.onBase)
	if err != nil {
		s.open(err.Error(), "pull")
		return
	}
	if at == nil {
		return
	}
	if at.kind == inPress {
		from = slices.Concat(from, x.carried.from[at.cylinder])
	}
	s.set("pull", schema.ForceDim, worst, from...)
	s.worst("pull", x.whenIn(at), rodsOut(at.pose)...)
	s.set("pullAllowed", schema.ForceDim, allowed, from...)
	x.push(feet, s.Facts["pull"], false, x.pushed(at, x.resting()))
	if dead := x.deadOnBase(); len(dead) > 0 {
		if next, _, err := bear(x.nextOnBase); err == nil && beyond(next, worst) {
			leaveOpen(s, dead, "pull", "pullAllowed")
		}
	}
	if worst <= allowed {
		return
	}
	n := len(w.At)
	ways := []string{fmt.Sprintf("put in %d of them over the same spread in place of %d", int(math.Ceil(float64(n)*worst/allowed)), n)}
	if w.Wood.Given() {
		ways = append(ways, fmt.Sprintf("take screws with %s of thread in the wood", schema.Format(schema.LengthDim, math.Ceil(w.Wood.Thread.SI*worst/allowed*1e3)/1e3)))
	} else if friction > 0 {
		ways = append(ways, fmt.Sprintf("tighten them until %s is left of the clamping", schema.Format(schema.ForceDim, math.Ceil(worst*pullReserve))))
	} else {
		ways = append(ways, fmt.Sprintf("take some that bear %s", schema.Format(schema.ForceDim, math.Ceil(worst*testedReserve))))
	}
	s.text("remedyScrews", capital(strings.Join(ways, ", or ")))
}
