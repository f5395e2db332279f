package checks

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// A LinkBending is what bends a moving link most in all that the machine does: along the straight bars between its points. Where the section is
// given it is the moment in which the edge of the section is stressed most. Lengths in m.
type LinkBending struct {
	Link   string
	Points []LinkPoint
	Bars   []BentBar
	Most   linkage.Moment // on the bar MostOn
	MostOn int
	Along  float64 // the largest force along that bar then, N: a pull positive
	Stress float64 // at the edge, Pa; 0 where the section is not given
	When   string
	// Cut says that poses next to a dead point are left out.
	Cut bool
}

// A LinkPoint is a point of a link as drawn.
type LinkPoint struct {
	Name string
	At   r2.Vec
}

// A BentBar is a bar between two of the points, with what bends it: positive where it is stretched on the right, on the way from From, N m.
type BentBar struct {
	From, To int
	Moments  []linkage.Moment
}

// leastBending is the moment below which nothing is said to bend a link, N m.
const leastBending = 1e-3

// passingGain is what a link carries at least next to a dead point, by the thrust, if it is in line there.
const passingGain = 10

// linksBent are the moving links of a machine that anything bends, by name; none where the forces are not known.
func (x *examiner) linksBent() []LinkBending {
	mo := x.motion
	if len(mo.cylinders) == 0 || mo.whyNot() != "" || len(mo.unweighed) > 0 {
		return nil
	}
	statics, _, err := mo.cases()
	if err != nil {
		return nil
	}
	all, worst := make([]LinkBending, len(mo.links)), make([]float64, len(mo.links))
	var members []linkage.Member
	look := func(scene linkage.Scene, f *linkage.Forces, as carried, m *press) {
		for body, name := range mo.links {
			one, sec := &all[body], x.m.Links[name].Section
			members = statics[0].Members(body, scene, f, members)
			for k := range members {
				b := &members[k]
				along := max(b.Tension, b.Compression)
				if gain := max(along, b.Shear); m != nil && (gain > mostGain*math.Abs(m.thrust) || m.next != nil && gain > passingGain*math.Abs(m.thrust)) {
					one.Cut = true
					continue
				}
				size, stress := math.Abs(b.Bending), 0.0
				if sec.Depth.Given() {
					stress = along/sec.Area.SI + size*sec.Edge()/sec.Moment.SI
					size = stress
				}
				if size <= worst[body]*(1+tieBreak) {
					continue
				}
				worst[body] = size
				one.Most, one.MostOn, one.Along, one.Stress, one.When = linkage.Moment{X: b.BendingAt, Bending: b.Bending}, k, along, stress, x.when(as)
				if b.Compression > b.Tension {
					one.Along = -along
				}
				if one.Bars == nil {
					one.Bars = make([]BentBar, len(members))
				}
				for i, from := range members {
					one.Bars[i] = BentBar{from.From, from.To, append(one.Bars[i].Moments[:0], from.Moments...)}
				}
			}
		}
	}
	x.presses(func(m *press) { look(linkage.Scene{Pose: m.Pose}, &m.forces, m.carried(), m) })
	moments := x.moments()
	moments.borne(func(m *moment) { look(mo.scene(m, nil), &m.forces, moments.as(m), nil) })
	var bent []LinkBending
	for i, b := range all {
		if math.Abs(b.Most.Bending) < leastBending {
			continue
		}
		b.Link = mo.links[i]
		index := map[int]int{}
		for _, p := range mo.mechanism.Bodies[i].Points {
			index[p] = len(b.Points)
			b.Points = append(b.Points, LinkPoint{mo.points[p], mo.mechanism.Points[p]})
		}
		for k, bar := range b.Bars {
			b.Bars[k].From, b.Bars[k].To = index[bar.From], index[bar.To]
		}
		bent = append(bent, b)
	}
	return bent
}
