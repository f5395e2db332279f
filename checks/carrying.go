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

// edge is the stress of a bending moment at the section's edge.
func (d *laden) edge(moment float64) float64 {
	return math.Abs(moment) * d.section.Depth.SI / 2 / d.section.Moment.SI
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
	from := []schema.Input{sec.Moment, sec.Depth, sec.Area}
	if d.along/sec.Area.SI > d.edge(d.member.Bending) {
		from = []schema.Input{sec.Area, sec.Moment, sec.Depth}
	}
	s.set("stress", schema.StressDim, d.stress, append(from, x.from(d.stressed)...)...)
	s.worst("stress", x.when(d.stressed), d.stressed.rods()...)
	s.set("stressAllowed", schema.StressDim, allowed, sec.Material, sec.Yield)
	s.set("bends", schema.TorqueDim, math.Abs(d.member.Bending))
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
