package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/columns"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// linkReserve is by how much a link's yield strength must be above its stress: common practice for what swings and knocks. Of prints, whose layers hold
// on each other as it comes out, printReserve.
const linkReserve, printReserve = 2, 3

// A laden is a moving link with its section, and the poses in which it is pressed and stressed most.
type laden struct {
	body        int
	section     schema.Section
	yield       float64 // Pa, 0 where it is not known
	reserve     float64
	compression spread[peak[carried]]  // N
	stress      spread[peak[stressed]] // Pa
	swings      spread[swing[carried]]
}

// A stressed is what a link carries where its stress is largest.
type stressed struct {
	carried
	bending float64 // N m
	along   float64 // N
}

// carrying holds the links whose section is given against what they carry when the machine meets something.
func (x *examiner) carrying() {
	mo := x.motion
	var all []*laden
	for i, name := range mo.links {
		l := x.m.Links[name]
		if !l.Section.Given() || l.Ground.Value || len(mo.cylinders) == 0 {
			continue
		}
		d := &laden{body: i, section: l.Section, yield: l.Section.Yield.SI, reserve: linkReserve}
		if l.Printed.Given() {
			d.reserve = printReserve
		}
		if row, err := x.m.Material(l.Section.Material.Value); err == nil {
			d.yield = row.Yield
		}
		all = append(all, d)
	}
	tools := x.toolPoints()
	if len(all) == 0 || len(tools) == 0 {
		return
	}
	var moments []linkage.Moment
	why := x.presses(func(m *press) {
		for _, d := range all {
			member := m.statics.Member(d.body, &m.forces)
			along := max(member.Tension, member.Compression)
			force := max(along, member.Shear)
			as := carried{pose: m.Pose, cylinder: m.cylinder, tool: m.tool, pulls: m.thrust < 0, from: m.from}
			if w := d.compression.of(m, force); w.raised(member.Compression) {
				w.in = as
			}
			if !d.section.Depth.Given() {
				continue
			}
			if w := d.stress.of(m, force); w.raised(along/d.section.Area.SI + d.edge(member.Bending)) {
				w.in = stressed{as, member.Bending, along}
			}
			if x.m.Cycle.Cycles.Given() {
				moments = d.swing(m, d.swings.of(m, force), member, as, moments)
			}
		}
	})
	for _, d := range all {
		x.member(d, why)
	}
}

// swing follows the stress along the link. What goes along it is taken to be the largest everywhere.
func (d *laden) swing(m *press, w *swing[carried], member linkage.Member, as carried, room []linkage.Moment) []linkage.Moment {
	pull := member.Tension
	if member.Compression > pull {
		pull = -member.Compression
	}
	if room = m.statics.Moments(d.body, &m.forces, room); len(room) == 0 {
		return room
	}
	for i := range swingPlaces {
		bends := momentAt(room, float64(i)/(swingPlaces-1)*room[len(room)-1].X)
		w.add(i, pull/d.section.Area.SI, bends*d.section.Edge()/d.section.Moment.SI, as)
	}
	// The worst place lies where something acts, which is seldom one of these.
	most := member.Bending * d.section.Edge() / d.section.Moment.SI
	w.add(swingPlaces-1, pull/d.section.Area.SI, most, as)
	return room
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
	s := newSubject(x.m, "member", x.motion.links[d.body], sec.At)
	x.add(s)
	if why != "" {
		s.open(why, "compression")
		if sec.Depth.Given() {
			s.open(why, "stress")
		}
		return
	}
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
	if !sec.Depth.Given() {
		return
	}
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
	if x.m.Cycle.Cycles.Given() {
		x.linkTires(s, d, from)
	}
	if len(next) > 0 {
		leaveOpen(s, next, "stress", "stressAllowed")
	}
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
	s.text("remedyStress", fmt.Sprintf("Take a section with %s or more at the same depth, or a material with a yield strength of %s",
		schema.Format(schema.MomentDim, needed), schema.Format(schema.StressDim, math.Ceil(d.reserve*stress.most*1e-6)*1e6)))
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
	counts, next := d.swings.settle(func(w *swing[carried]) float64 { by, _, _, _, _ := w.worst(); return by })
	for _, w := range counts[1:] {
		counts[0].with(w)
	}
	by, low, high, lowIn, highIn := counts[0].worst()
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
