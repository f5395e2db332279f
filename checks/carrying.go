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
	body                int
	section             schema.Section
	yield               float64 // Pa, 0 where it is not known
	reserve             float64
	compression, stress float64
	member              linkage.Member // where the stress is largest
	along               float64        // then, N
	pressed, stressed   carried
	swings              swing[carried]
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
	dead := map[int]string{}
	var moments []linkage.Moment
	why := x.presses(func(m *press) {
		for _, d := range all {
			member := m.statics.Member(d.body, &m.forces)
			along := max(member.Tension, member.Compression)
			if gain := along / math.Abs(m.thrust); gain > mostGain || m.turnedBack && gain > passingGain {
				dead[d.body] = mo.when(m.pose)
			}
			as := carried{pose: m.pose, cylinder: m.cylinder, tool: m.tool, pulls: m.thrust < 0}
			if member.Compression > d.compression*(1+tieBreak) {
				d.compression, d.pressed = member.Compression, as
			}
			if !d.section.Depth.Given() {
				continue
			}
			if stress := along/d.section.Area.SI + d.edge(member.Bending); stress > d.stress*(1+tieBreak) {
				d.stress, d.member, d.along, d.stressed = stress, member, along, as
			}
			if x.m.Cycle.Cycles.Given() {
				moments = d.swing(m, member, as, moments)
			}
		}
	})
	for _, d := range all {
		unknown := why
		if when := dead[d.body]; unknown == "" && when != "" {
			unknown = fmt.Sprintf("%s the link is so near to a dead point that it carries over %d times the thrust, and only the stretch of the parts says how much: write the stop that keeps the machine short of it in `stops`", when, mostGain)
		}
		x.member(d, unknown)
	}
}

// swing follows the stress along the link. What goes along it is taken to be the largest everywhere.
func (d *laden) swing(m *press, member linkage.Member, as carried, room []linkage.Moment) []linkage.Moment {
	pull := member.Tension
	if member.Compression > pull {
		pull = -member.Compression
	}
	if room = m.statics.Moments(d.body, &m.forces, room); len(room) == 0 {
		return room
	}
	for i := range swingPlaces {
		bends := momentAt(room, float64(i)/(swingPlaces-1)*room[len(room)-1].X)
		d.swings.add(i, pull/d.section.Area.SI, bends*d.section.Edge()/d.section.Moment.SI, as)
	}
	// The worst place lies where something acts, which is seldom one of these.
	most := member.Bending * d.section.Edge() / d.section.Moment.SI
	d.swings.add(swingPlaces-1, pull/d.section.Area.SI, most, as)
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
	s.set("compression", schema.ForceDim, d.compression, append([]schema.Input{weaker}, x.from(d.pressed)...)...)
	s.worst("compression", x.when(d.pressed), d.pressed.rods()...)
	s.set("compressionAllowed", schema.ForceDim, columns.Gives(e*least, length, columns.BothTurn)/buckleReserve, weaker, sec.Material, sec.Elasticity)
	s.set("momentForBuckling", schema.MomentDim, buckleReserve*d.compression*length*length/(math.Pi*math.Pi*e))
	if !sec.Depth.Given() {
		return
	}
	if d.yield == 0 {
		s.open("the yield strength of the link is not given: add `yield: MPa: …` to its section, or a `material` in place of its elasticity", "stress")
		return
	}
	allowed := d.yield / d.reserve
	from := sectionInputs(sec, false)
	if d.along/sec.Area.SI > d.edge(d.member.Bending) {
		from = sectionInputs(sec, true)
	}
	s.set("stress", schema.StressDim, d.stress, append(from, x.from(d.stressed)...)...)
	s.worst("stress", x.when(d.stressed), d.stressed.rods()...)
	s.set("stressAllowed", schema.StressDim, allowed, sec.Material, sec.Yield)
	s.set("bends", schema.TorqueDim, math.Abs(d.member.Bending))
	if x.m.Cycle.Cycles.Given() {
		x.linkTires(s, d, from)
	}
	if d.stress <= allowed {
		return
	}
	left := allowed - d.along/sec.Area.SI
	if left <= 0 {
		s.text("remedyStress", fmt.Sprintf("Take a section of more than %s, since what pulls or presses along it is too much for it already", schema.Format(schema.AreaDim, d.along/allowed)))
		return
	}
	needed := sec.Moment.SI * d.edge(d.member.Bending) / left
	s.set("momentForStress", schema.MomentDim, needed, sec.Moment)
	s.text("remedyStress", fmt.Sprintf("Take a section with %s or more at the same depth, or a material with a yield strength of %s",
		schema.Format(schema.MomentDim, needed), schema.Format(schema.StressDim, math.Ceil(d.reserve*d.stress*1e-6)*1e6)))
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
	by, low, high, lowIn, highIn := d.swings.worst()
	in := highIn
	if -low > high {
		in = lowIn
	}
	x.tires(s, d.section, by, low, high, x.when(in), append(from, x.from(in)...), func(allowed float64) string {
		size := math.Ceil(math.Sqrt(by/allowed)*100) / 100
		return fmt.Sprintf("Take a section that is %s times as large all round: what bends it then stresses it %s times as little, and what pulls it %s times", schema.Format(schema.NumberDim, size),
			schema.Format(schema.NumberDim, size*size*size), schema.Format(schema.NumberDim, size*size))
	})
}
