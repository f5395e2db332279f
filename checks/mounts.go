package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
)

const (
	// rodPlay in m is how far a rod may be pushed aside in its bush, rod in, without harm. Common practice, no source.
	rodPlay = 0.05e-3
	// A cylinder without any stroke is as long as deadPlain and deadBore times its bore, for piston, heads and the bush in one of them, and
	// a hole longer for each end with a pin. The shortest there are, compact cylinders, come near to that. Common practice, no source.
	deadPlain = 20e-3
	deadBore  = 0.4
	// sidePart is what a rod's bush bears across the rod, as a part of the thrust, for long. Common practice, no source; data sheets have
	// curves that fall with the stroke.
	sidePart = 0.05
	// stiffBearing is by how much a ball bearing that does not align itself may lie askew, rad: deep groove 2 to 10 minutes of arc by its play,
	// any handbook, from memory.
	stiffBearing = 5. / 60 * math.Pi / 180
	// heightStep is to what heights are rounded down, m.
	heightStep = 10e-6
)

func pinless(e schema.CylinderEnd) bool { return e.Kind.Value == "fixed" }

// leastDeadLength is what a cylinder of this bore and with these ends is longer than its stroke at least.
func leastDeadLength(s *Subject, y schema.Cylinder) {
	least := deadPlain + deadBore*y.Bore.SI + y.Rear.Hole.SI + y.Front.Hole.SI
	s.set("deadLengthLeast", schema.LengthDim, least, y.Bore, y.Rear.Hole, y.Front.Hole)
	s.set("closedLeast", schema.LengthDim, y.Stroke.SI+least, y.Closed, y.Stroke)
}

// fixedEnd is how far a cylinder that is fixed at an end would have to give way sideways over the stroke.
func (x *examiner) fixedEnd(s *Subject, name string, e, other schema.CylinderEnd, against string) {
	if why := x.motion.whyNot(); why != "" {
		s.open(why, "sideways")
		return
	}
	cylinder := indexOf(x.motion.cylinders, name)
	type at struct{ angle, length float64 }
	var poses []at
	low, high := math.Inf(1), math.Inf(-1)
	for _, set := range x.motion.samples() {
		for i := range set {
			angle := x.motion.bodyAngle(&set[i], name) - x.motion.bodyAngle(&set[i], against)
			poses = append(poses, at{angle, set[i].Cylinders[cylinder].Length})
			low, high = min(low, angle), max(high, angle)
		}
	}
	left, right := 0.0, 0.0
	for _, p := range poses {
		aside := p.length * math.Sin(p.angle-(low+high)/2)
		left, right = max(left, aside), min(right, aside)
	}
	s.set("sideways", schema.LengthDim, left-right, e.Kind, e.At)
	allowed := rodPlay
	if !pinless(other) {
		if c, why := x.clearance(other.At.Value, name); why == "" {
			allowed += c.Most
		}
	}
	s.set("sidewaysAllowed", schema.LengthDim, allowed)
}

// hung judges a tool that hangs on nothing but a round rod: it is screwed to it, and joined to nothing else. It can turn about the rod, and
// what acts across the rod is on its bush.
func (x *examiner) hung(s *Subject, name string, y schema.Cylinder) {
	if !pinless(y.Rear) || !pinless(y.Front) || x.motion.solver == nil {
		return
	}
	i := slices.IndexFunc(x.motion.links, func(link string) bool {
		l := x.m.Links[link]
		return !l.Ground.Value && goesThrough(l, y.Front.At.Value)
	})
	if i < 0 {
		return
	}
	link := x.motion.links[i]
	free := slices.Contains(x.motion.solver.Mobility().Spins, i)
	s.flag("turnsFree", free, y.Front.Kind)
	s.text("tool", link)
	if !free {
		return
	}
	l := x.m.Links[link]
	if !l.Mass.Given() {
		s.open(fmt.Sprintf("the weight of %s is not given: add `mass: kg: …`", link), "sideForce")
		return
	}
	rear, front := x.m.Points[y.Rear.At.Value], x.m.Points[y.Front.At.Value]
	along := r2.Unit(r2.Vec{X: front.X.SI - rear.X.SI, Y: front.Y.SI - rear.Y.SI})
	mass, side := l.Mass.SI, 0.0
	from := []schema.Input{l.Mass}
	for _, load := range sorted(x.m.Loads) {
		if o := x.m.Loads[load]; goesThrough(l, o.At.Value) {
			mass += o.Mass.SI
			side += o.Force.SI * math.Abs(r2.Cross(along, r2.Vec{X: math.Cos(o.Towards.SI), Y: math.Sin(o.Towards.SI)}))
			from = append(from, o.Mass, o.Force)
		}
	}
	s.set("sideForce", schema.ForceDim, side+mass*standardGravity*math.Abs(along.X), from...)
	zone, why := x.air.at(name)
	if why += zone.why; why != "" {
		s.open(why, "sideForceAllowed")
		return
	}
	push, _ := pistonAreas(y)
	s.set("sideForceAllowed", schema.ForceDim, sidePart*zone.pressure*push, append([]schema.Input{y.Bore}, zone.from...)...)
}

// ballTilt is how far the pin tilts in the ball of a rod end: with its own pivot, and with the one at the other end of the cylinder where
// no ball takes that up.
func (x *examiner) ballTilt(s *Subject, e, other schema.CylinderEnd) {
	own, far := x.m.Pivots[e.At.Value].Tilt, x.m.Pivots[other.At.Value].Tilt
	tilt := own.SI
	if !other.Tilts.Given() {
		tilt += far.SI
	}
	s.set("tilt", schema.AngleDim, tilt, own, far)
	s.set("tiltAllowed", schema.AngleDim, e.Tilts.SI, e.Tilts)
}

// axes judges pins that three bearings hold, and pivots whose axes are out of square with the plane in which the links move.
func (x *examiner) axes() {
	for _, point := range x.motion.points {
		p, described := x.m.Pivots[point]
		if !described {
			continue
		}
		ms := x.members(p)
		s := newSubject(x.m, "pivot axis", point, p.At)
		x.add(s)
		x.inLine(s, p, ms)
		x.level(s, ms)
		// A ball takes the tilt where nothing else turns on the pin.
		if !p.Tilt.Given() || slices.ContainsFunc(ms, func(m member) bool { return m.end.Tilts.Given() }) &&
			!slices.ContainsFunc(ms, func(m member) bool { return m.runs && m.body != "" && !m.end.Tilts.Given() }) {
			continue
		}
		width := total(ms)
		long := (width.Min + width.Max) / 2
		s.set("tilt", schema.AngleDim, p.Tilt.SI, p.Tilt)
		s.set("stack", schema.LengthDim, long, widths(ms)...)
		s.set("shim", schema.LengthDim, long*math.Tan(p.Tilt.SI), p.Tilt)
	}
}

// inLine counts the bearing blocks of a pin that sit on one body, and finds how well more than two must be in line: within the clearance
// of the tightest. What lets a block turn on a ball does not let it shift.
func (x *examiner) inLine(s *Subject, p schema.Pivot, ms []member) {
	blocks := map[string][]member{}
	most, on := 0, ""
	for _, m := range ms {
		if !m.Block.Given() {
			continue
		}
		body := m.body
		if x.m.Links[body].Ground.Value {
			body = "the ground"
		}
		if blocks[body] = append(blocks[body], m); len(blocks[body]) > most {
			most, on = len(blocks[body]), body
		}
	}
	if most == 0 {
		return
	}
	clearance := math.Inf(1)
	var from []schema.Input
	for _, m := range blocks[on] {
		clearance = min(clearance, max(0, m.Block.Bore.Least-p.Pin.Diameter.Most))
		from = append(from, m.On)
	}
	s.set("blocks", schema.NumberDim, float64(most), from...)
	s.text("blocksOn", on)
	s.set("inLine", schema.LengthDim, clearance, from...)
}

// level is how askew the pin lies in two blocks that stand on one body, by the tolerance of their heights, and what their bearings bear of
// that.
func (x *examiner) level(s *Subject, ms []member) {
	at := middles(ms)
	body := func(m member) string {
		if x.m.Links[m.body].Ground.Value {
			return ground
		}
		return m.body
	}
	worst, off, span, allowed := 0.0, 0.0, 0.0, math.Inf(1)
	var first, second member
	for i, a := range ms {
		for j, b := range ms[:i] {
			if !a.Block.Height.Given() || !b.Block.Height.Given() || body(a) != body(b) {
				continue
			}
			apart, most := math.Abs(at[i]-at[j]), max(a.Block.Height.Most-b.Block.Height.Least, b.Block.Height.Most-a.Block.Height.Least)
			if tilt := math.Atan2(most, apart); tilt > worst {
				worst, off, span, first, second = tilt, most, apart, b, a
			}
			for _, m := range []member{a, b} {
				bears := m.Block.SelfAligning.SI
				if bears == 0 {
					bears = stiffBearing
				}
				allowed = min(allowed, bears)
			}
		}
	}
	if worst == 0 {
		return
	}
	s.set("askew", schema.AngleDim, worst, first.Block.Height, second.Block.Height)
	s.set("askewAllowed", schema.AngleDim, allowed, first.Block.SelfAligning, second.Block.SelfAligning)
	s.set("heightsApart", schema.LengthDim, off)
	s.set("blocksApart", schema.LengthDim, span)
	s.set("heightsAllowed", schema.LengthDim, math.Floor(span*math.Tan(allowed)/heightStep+1e-9)*heightStep)
	s.set("apartNeeded", schema.LengthDim, math.Ceil(off/math.Tan(allowed)*1e3-1e-9)*1e-3)
}
