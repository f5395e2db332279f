package checks

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// A LinkBending is what bends a moving link most, of all that it carries where the machine meets something or holds its loads: along the bar
// between the two of its points that are farthest apart. Where the section is given it is the pose in which the edge of the section is
// stressed most. Lengths in m.
type LinkBending struct {
	Link    string
	Points  []LinkPoint // in order along the bar
	Length  float64
	Moments []linkage.Moment // positive where the bar is stretched on the right, on the way from its first point; N m
	Most    linkage.Moment
	Along   float64 // the largest force along it then, N: a pull positive
	Stress  float64 // at the edge, Pa; 0 where the section is not given
	When    string
	// Cut says that poses next to a dead point are left out.
	Cut bool
}

// A LinkPoint lies so far along a link's bar, and beside it to the left.
type LinkPoint struct {
	Name          string
	Along, Beside float64
}

// leastBending is the moment below which nothing is said to bend a link, N m.
const leastBending = 1e-3

// passingGain is what a link carries at least next to a dead point, by the thrust, if it is in line there.
const passingGain = 10

// LinksBent are the moving links of a machine that anything bends, by name; none where the forces are not known.
func LinksBent(m *schema.Machine) []LinkBending {
	x := &examiner{m: m, air: followAir(m), motion: move(m)}
	mo := x.motion
	if len(mo.cylinders) == 0 || mo.whyNot() != "" || len(mo.unweighed) > 0 {
		return nil
	}
	statics, _, err := mo.cases()
	if err != nil {
		return nil
	}
	all := make([]LinkBending, len(mo.links))
	worst := make([]float64, len(mo.links))
	look := func(body int, t *linkage.Statics, f *linkage.Forces, thrust float64, next bool, when func() string) {
		member := t.Member(body, f)
		along := member.Tension
		if member.Compression > along {
			along = -member.Compression
		}
		one := &all[body]
		if gain := math.Abs(along) / thrust; gain > mostGain || next && gain > passingGain {
			one.Cut = true
			return
		}
		size, stress := math.Abs(member.Bending), 0.0
		if sec := x.m.Links[mo.links[body]].Section; sec.Depth.Given() {
			stress = math.Abs(along)/sec.Area.SI + size*sec.Edge()/sec.Moment.SI
			size = stress
		}
		if size > worst[body]*(1+tieBreak) {
			worst[body] = size
			one.Most, one.Along, one.Stress, one.When = linkage.Moment{X: member.BendingAt, Bending: member.Bending}, along, stress, when()
			one.Moments = t.Moments(body, f, one.Moments)
		}
	}
	moving := func(do func(body int)) {
		for i, name := range mo.links {
			if !x.m.Links[name].Ground.Value {
				do(i)
			}
		}
	}
	x.presses(func(m *press) {
		moving(func(body int) {
			look(body, m.statics, &m.forces, math.Abs(m.thrust), m.next != nil, func() string {
				return x.when(carried{pose: m.Pose, cylinder: m.cylinder, tool: m.tool, pulls: m.thrust < 0})
			})
		})
	})
	full := mo.weights
	var loads []string
	for _, f := range mo.forces {
		full.Loads = append(slices.Clip(full.Loads), f.load.Loads...)
		loads = append(loads, f.name)
	}
	if holds, err := mo.solver.Statics(full); err == nil {
		var forces linkage.Forces
		for _, poses := range mo.samples() {
			for k := range poses {
				if holds.Hold(&poses[k], linkage.Standing, &forces) != nil {
					continue
				}
				moving(func(body int) {
					look(body, holds, &forces, math.Inf(1), false, func() string {
						return x.when(carried{pose: &poses[k], loads: append([]string{"the weights"}, loads...)})
					})
				})
			}
		}
	}
	var bent []LinkBending
	points := mo.solver.Mechanism().Points
	for i, b := range all {
		if math.Abs(b.Most.Bending) < leastBending {
			continue
		}
		b.Link = mo.links[i]
		from, to := statics[0].Bar(i)
		axis := r2.Unit(r2.Sub(points[to], points[from]))
		b.Length = r2.Norm(r2.Sub(points[to], points[from]))
		for _, p := range mo.mechanism.Bodies[i].Points {
			arm := r2.Sub(points[p], points[from])
			b.Points = append(b.Points, LinkPoint{mo.points[p], r2.Dot(axis, arm), r2.Cross(axis, arm)})
		}
		slices.SortStableFunc(b.Points, func(a, c LinkPoint) int { return cmp.Compare(a.Along, c.Along) })
		bent = append(bent, b)
	}
	return bent
}

// At is the moment at a place along the bar; of two at one place the larger.
func (b *LinkBending) At(x float64) float64 { return momentAt(b.Moments, x) }
