package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/bending"
	"trammel.example/checks/columns"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// linkReserve is by how much a link's yield strength must be above its stress: common practice for what swings and knocks. Of prints, whose layers hold
// on each other as it comes out, printReserve.
const linkReserve, printReserve = 2, 3

// A laden is a link with its section, and the moments in which it is pressed and stressed most.
type laden struct {
	body        int // -1 of a fixed one
	name        string
	section     schema.Section
	yield       float64 // Pa, 0 where it is not known
	reserve     float64
	compression spread[peak[carried]]    // N
	stress      spread[peak[stressed]]   // Pa
	swings      []spread[swing[carried]] // of each of its bars
	at          []int                    // joints of a fixed one
	// stopPresses and stopStress are what it has where stops take the speed.
	stopPresses, stopStress peak[*moment]
}

// A stressed is what a link carries where its stress is largest.
type stressed struct {
	carried
	bending float64 // N m
	along   float64 // N
}

// carrying holds the links whose section is given against what they carry: where the machine meets something, stands, and goes and stops.
func (x *examiner) carrying() {
	mo := x.motion
	var all []*laden
	for i, name := range mo.links {
		l := x.m.Links[name]
		if !l.Section.Given() || len(mo.cylinders) == 0 || l.Ground.Value && !l.Section.Depth.Given() {
			continue
		}
		d := &laden{body: i, name: name, section: l.Section, yield: l.Section.Yield.SI, reserve: linkReserve}
		if l.Printed.Given() {
			d.reserve = printReserve
		}
		if row, err := x.m.Material(l.Section.Material.Value); err == nil {
			d.yield = row.Yield
		}
		if l.Ground.Value {
			d.body = -1
		}
		all = append(all, d)
	}
	if len(all) == 0 {
		return
	}
	why := x.burden(all)
	for _, d := range all {
		x.member(d, why)
	}
}

// burden finds what the links carry at worst.
func (x *examiner) burden(all []*laden) (why string) {
	mo := x.motion
	if why = mo.unknown(); why != "" {
		return why
	}
	statics, _, err := mo.cases()
	if err != nil {
		return "the forces are not known: " + err.Error()
	}
	for _, d := range all {
		if d.body >= 0 {
			d.swings = make([]spread[swing[carried]], len(statics[0].Limbs(d.body)))
			continue
		}
		for j, joint := range statics[0].Joints() {
			if x.m.Links[mo.links[joint.Body]].Ground.Value && goesThrough(x.m.Links[d.name], mo.points[joint.Point]) {
				d.at = append(d.at, j)
			}
		}
	}
	var members []linkage.Member
	note := func(scene linkage.Scene, f *linkage.Forces, as carried, m *press) {
		for _, d := range all {
			if d.body < 0 {
				d.anchors(f, as, m)
				continue
			}
			members = statics[0].Members(d.body, scene, f, members)
			for k := range members {
				d.note(k, &members[k], as, m, x.m.Cycle.Cycles.Given())
			}
		}
	}
	if len(x.toolPoints()) > 0 {
		why = x.presses(func(m *press) { note(linkage.Scene{Pose: m.Pose}, &m.forces, m.carried(), m) })
		if why != "" {
			return why
		}
	}
	var loads []linkage.Load
	carried := x.moments()
	carried.borne(func(m *moment) {
		scene := mo.scene(m, loads)
		loads = scene.Loads
		note(scene, &m.forces, carried.as(m), nil)
	})
	carried.stopped(func(m *moment) {
		scene := mo.scene(m, loads)
		loads = scene.Loads
		for _, d := range all {
			if d.body < 0 {
				for _, j := range d.at {
					d.stops(0, d.edge(d.anchored(r2.Norm(m.forces.Reactions[j]))), m)
				}
				continue
			}
			members = statics[0].Members(d.body, scene, &m.forces, members)
			for _, b := range members {
				stress := 0.0
				if d.section.Depth.Given() {
					stress = max(b.Tension, b.Compression)/d.section.Area.SI + d.edge(b.Bending)
				}
				d.stops(b.Compression, stress, m)
			}
		}
	})
	return ""
}

// stops takes in what it has where a stop takes the speed.
func (d *laden) stops(presses, stress float64, m *moment) {
	if d.stopPresses.raised(presses) {
		d.stopPresses.in = m
	}
	if d.stopStress.raised(stress) {
		d.stopStress.in = m
	}
}

// anchored is the moment of a force at a pivot of a fixed link, across it, N m.
func (d *laden) anchored(force float64) float64 {
	return bending.Moments(force, d.section.Span.SI, heldBy(d.section))
}

// note takes in what a bar of the link carries: in a press, or without one in another moment.
func (d *laden) note(bar int, b *linkage.Member, as carried, m *press, tires bool) {
	along := max(b.Tension, b.Compression)
	force := max(along, b.Shear)
	if w := d.compression.of(m, force); w.raised(b.Compression) {
		w.in = as
	}
	if !d.section.Depth.Given() {
		return
	}
	if w := d.stress.of(m, force); w.raised(along/d.section.Area.SI + d.edge(b.Bending)) {
		w.in = stressed{as, b.Bending, along}
	}
	if !tires || as.in != nil && (as.in.kind == inFirst || as.in.of == inFirst) { // which is not every stroke
		return
	}
	// What goes along it is taken to be the largest everywhere.
	pull := b.Tension
	if b.Compression > pull {
		pull = -b.Compression
	}
	w := d.swings[bar].of(m, force)
	for i := range swingPlaces {
		bends := momentAt(b.Moments, float64(i)/(swingPlaces-1)*b.Length)
		w.add(i, pull/d.section.Area.SI, bends*d.section.Edge()/d.section.Moment.SI, as)
	}
	// The worst place lies where something acts, which is seldom one of these.
	w.add(swingPlaces-1, pull/d.section.Area.SI, b.Bending*d.section.Edge()/d.section.Moment.SI, as)
}

// anchors takes in what a fixed link carries: each force at one of its pivots alone, across it.
func (d *laden) anchors(f *linkage.Forces, as carried, m *press) {
	for _, j := range d.at {
		force := r2.Norm(f.Reactions[j])
		moment := d.anchored(force)
		if w := d.stress.of(m, force); w.raised(d.edge(moment)) {
			w.in = stressed{as, moment, 0}
		}
	}
}

// momentAt is the moment at a place along a link; of two at one place the larger.
func momentAt(moments []linkage.Moment, x float64) (most float64) {
	for i := 1; i < len(moments); i++ {
		from, to := moments[i-1], moments[i]
		if x < from.X-rounding || x > to.X+rounding {
			continue
		}
		m := from.Bending
		if long := to.X - from.X; long > 0 {
			m += (to.Bending - from.Bending) * (x - from.X) / long
		} else if math.Abs(to.Bending) > math.Abs(m) {
			m = to.Bending
		}
		if math.Abs(m) > math.Abs(most) {
			most = m
		}
	}
	return most
}

// sectionInputs are what a section is given by, what pulls first or what bends.
func sectionInputs(sec schema.Section, pulled bool) []schema.Input {
	switch {
	case sec.Shape.Given():
		return []schema.Input{sec.Moment} // which stands where the shape does, as all that follows from it
	case pulled:
		return []schema.Input{sec.Area, sec.Moment, sec.Depth}
	}
	return []schema.Input{sec.Moment, sec.Depth, sec.Area}
}

// edge is the stress of a bending moment at the section's edge.
func (d *laden) edge(moment float64) float64 {
	return math.Abs(moment) * d.section.Edge() / d.section.Moment.SI
}

func (x *examiner) member(d *laden, why string) {
	sec := d.section
	s := newSubject(x.m, "member", d.name, sec.At)
	x.add(s)
	if d.body < 0 && why == "" && !sec.Held.Given() {
		why = heldUnknown
	}
	if why != "" {
		if d.body >= 0 {
			s.open(why, "compression")
		}
		if sec.Depth.Given() {
			s.open(why, "stress")
		}
		return
	}
	if d.body >= 0 {
		x.buckles(s, d)
	}
	if sec.Depth.Given() {
		x.stresses(s, d)
	}
}

// buckles judges what presses along a moving link.
func (x *examiner) buckles(s *Subject, d *laden) {
	sec := d.section
	weaker, least := sec.Moment, sec.Moment.SI
	if sec.Lateral.Given() && sec.Lateral.SI < least {
		weaker, least = sec.Lateral, sec.Lateral.SI
	}
	length := x.barLength(d.body)
	e := x.elasticity(sec)
	pressed, next := settle(&d.compression)
	s.set("compression", schema.ForceDim, pressed.most, append([]schema.Input{weaker}, pressed.in.from...)...)
	s.worst("compression", x.when(pressed.in), pressed.in.rods()...)
	s.set("compressionAllowed", schema.ForceDim, columns.Gives(e*least, length, columns.BothTurn)/buckleReserve, weaker, sec.Material, sec.Elasticity)
	s.set("momentForBuckling", schema.MomentDim, buckleReserve*pressed.most*length*length/(math.Pi*math.Pi*e))
	if len(next) > 0 {
		leaveOpen(s, next, "compression", "compressionAllowed")
	}
	x.leaveUnrun(s, "compression", "compressionAllowed")
	if allowed := s.Facts["compressionAllowed"].SI; allowed > 0 {
		x.stopLoads("link "+d.name, "is pressed along", d.stopPresses.most/allowed, pressed.most/allowed, d.stopPresses.in)
	}
}

// stresses judges the stress of a link at its edge.
func (x *examiner) stresses(s *Subject, d *laden) {
	sec := d.section
	if d.yield == 0 {
		s.open("the yield strength of the link is not given: add `yield: MPa: …` to its section, or a `material` in place of its elasticity", "stress")
		return
	}
	allowed := d.yield / d.reserve
	stress, next := settle(&d.stress)
	bending, along := d.edge(stress.in.bending), stress.in.along/sec.Area.SI
	from := sectionInputs(sec, false)
	if along > bending {
		from = sectionInputs(sec, true)
	}
	s.set("stress", schema.StressDim, stress.most, append(from, stress.in.carried.from...)...)
	s.worst("stress", x.when(stress.in.carried), stress.in.rods()...)
	s.set("stressAllowed", schema.StressDim, allowed, sec.Material, sec.Yield)
	s.set("bends", schema.TorqueDim, math.Abs(stress.in.bending))
	if x.m.Cycle.Cycles.Given() && d.body >= 0 {
		x.linkTires(s, d, from)
	}
	if len(next) > 0 {
		leaveOpen(s, next, "stress", "stressAllowed")
	}
	x.leaveUnrun(s, "stress", "stressAllowed")
	x.stopLoads("link "+d.name, "is stressed", d.stopStress.most/allowed, stress.most/allowed, d.stopStress.in)
	if stress.most <= allowed {
		return
	}
	left := allowed - along
	if left <= 0 {
		s.text("remedyStress", fmt.Sprintf("Take a section of more than %s, since what pulls or presses along it is too much for it already", schema.Format(schema.AreaDim, stress.in.along/allowed)))
		return
	}
	needed := sec.Moment.SI * bending / left
	s.set("momentForStress", schema.MomentDim, needed, sec.Moment)
	s.text("remedyStress", fmt.Sprintf("Take a section with %s or more at the same depth, or a material with a yield strength of %s%s",
		schema.Format(schema.MomentDim, needed), schema.Format(schema.StressDim, math.Ceil(d.reserve*stress.most*1e-6)*1e6), gentler(stress.in.carried)))
}

// barLength is that of a link's bar: between the two of its points that are farthest apart.
func (x *examiner) barLength(body int) float64 {
	most := 0.0
	of := x.motion.mechanism.Bodies[body].Points
	for _, i := range of {
		for _, j := range of {
			most = max(most, r2.Norm(r2.Sub(x.motion.mechanism.Points[i], x.motion.mechanism.Points[j])))
		}
	}
	return most
}

// linkTires judges the range of stress in a link. Its remedy grows the section all round: what pulls lessens with its area, what bends with its
// modulus.
func (x *examiner) linkTires(s *Subject, d *laden, from []schema.Input) {
	var by, low, high float64
	var lowIn, highIn carried
	var next []*deadStretch
	for i := range d.swings {
		counts, open := d.swings[i].settle(func(w *swing[carried]) float64 { by, _, _, _, _ := w.worst(); return by })
		for _, w := range counts[1:] {
			counts[0].with(w)
		}
		if b, l, h, lIn, hIn := counts[0].worst(); b > by*(1+tieBreak) {
			by, low, high, lowIn, highIn = b, l, h, lIn, hIn
		}
		next = append(next, open...)
	}
	in := highIn
	if -low > high {
		in = lowIn
	}
	x.tires(s, d.section, by, low, high, x.when(in), append(from, in.from...), func(allowed float64) string {
		size := math.Ceil(math.Sqrt(by/allowed)*100) / 100
		return fmt.Sprintf("Take a section that is %s times as large all round: what bends it then stresses it %s times as little, and what pulls it %s times", schema.Format(schema.NumberDim, size),
			schema.Format(schema.NumberDim, size*size*size), schema.Format(schema.NumberDim, size*size))
	})
	if len(next) > 0 && s.Facts["stressRange"].Kind == Quantity {
		leaveOpen(s, next, "stressRange", "stressRangeAllowed")
	}
}
