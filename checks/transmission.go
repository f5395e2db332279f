package checks

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// leastTransmission is the angle from which a link passes force on well. Common practice: 40°, or 30° for light duty (R. L. Norton, Design
// of Machinery, chapter 3; K. H. Hunt, from memory).
const leastTransmission = 40 * math.Pi / 180

// leastInLine is the angle from which a link comes so near to lying in line with what drives it that it holds by itself. Common practice: at
// 10° the force is six times that which drives it.
const leastInLine = 10 * math.Pi / 180

// A passing is the worst angle at which a link passes force on at one of its pivots.
type passing struct {
	body, pivot int
	angle       float64
	pose        *linkage.Pose
}

// passings are the least angles of all links between two others, at the end where the force leaves (driven) or enters. Those at pivots that
// are meant to come into line are left out. Runs in which cylinders move together that need not are left out too: there no end is the driven one.
func (mo *motion) passings(driven bool, toggles []int) (list []passing) {
	at := map[[2]int]int{}
	for k := range mo.runs {
		r := &mo.runs[k]
		if !mo.leads(r) {
			continue
		}
		for _, c := range mo.solver.Couplers(r.Lead) {
			if c.Driven < 0 {
				continue
			}
			end := c.Driven
			if !driven {
				end = 1 - end
			}
			key := [2]int{c.Body, c.Pivots[end]}
			if slices.Contains(toggles, key[1]) {
				continue
			}
			i, known := at[key]
			if !known {
				i = len(list)
			}
			for j := range r.Poses {
				p := &r.Poses[j]
				if r2.Norm(p.Velocity[c.Pivots[0]])+r2.Norm(p.Velocity[c.Pivots[1]]) < stillRate {
					continue // another cylinder moves it
				}
				if !driven && c.Transmission(p, c.Driven) < leastInLine {
					continue // all in one line: no toggle, but a change point
				}
				if a := c.Transmission(p, end); i == len(list) {
					at[key] = i
					list = append(list, passing{c.Body, key[1], a, p})
				} else if a < list[i].angle {
					list[i].angle, list[i].pose = a, p
				}
			}
		}
	}
	return list
}

// leads reports whether one cylinder leads a run, alone or with those that it shares its freedom with.
func (mo *motion) leads(r *run) bool {
	return len(r.With) == 0
}

// toggles are the points that are meant to come into line.
func (x *examiner) toggles() (points []int) {
	for _, t := range x.m.Toggles {
		points = append(points, x.motion.point(t.Value))
	}
	return points
}

// transmission sets at which angles a link passes force on.
func (x *examiner) transmission(s *Subject, body int, driven, driving []passing) {
	mo := x.motion
	for _, p := range driven {
		if f, ok := s.Facts["transmission"]; p.body != body || ok && f.SI <= p.angle {
			continue
		}
		from := x.m.Points[mo.points[p.pivot]].X
		s.text("transmissionAt", mo.points[p.pivot])
		if p.angle < leastTransmission {
			moved := x.betterPassing(s, p)
			from = x.m.Points[mo.points[moved]].X
		}
		s.set("transmission", schema.AngleDim, p.angle, from)
		s.worst("transmission", mo.when(p.pose), rodsOut(p.pose)...)
	}
	for _, p := range driving {
		if f, ok := s.Facts["inLine"]; p.body != body || ok && f.SI <= p.angle {
			continue
		}
		s.set("inLine", schema.AngleDim, p.angle, x.m.Points[mo.points[p.pivot]].X)
		s.worst("inLine", mo.when(p.pose), rodsOut(p.pose)...)
		s.text("inLineAt", mo.points[p.pivot])
		s.text("inLineWhen", mo.when(p.pose))
	}
}

// betterPassing finds the least shift of one pivot with which no link passes force on worse than it should, or than it does, and no lever
// of a cylinder becomes much shorter. It gives the point to change.
func (x *examiner) betterPassing(s *Subject, bad passing) int {
	mo := x.motion
	before, arms := mo.passings(true, x.toggles()), mo.leastArms()
	good := func(d *motion) bool {
		after := d.passings(true, x.toggles())
		for _, p := range before {
			i := slices.IndexFunc(after, func(q passing) bool { return q.body == p.body && q.pivot == p.pivot })
			if i < 0 || after[i].angle < leastTransmission && (p.body == bad.body || after[i].angle < p.angle) {
				return false
			}
		}
		for i, arm := range d.leastArms() {
			if arm < keptArm*arms[i] {
				return false
			}
		}
		return x.reachesKept(d)
	}
	best, found := mo.leastShift(mo.joints(bad.body), good)
	if found == nil {
		s.text("remedyTransmission", "No shift of one pivot by up to "+schema.Format(schema.LengthDim, farthestShift*mo.size())+" was found that brings 40°: take a shorter stroke, or links of other lengths")
		return bad.pivot
	}
	angle := math.Inf(1)
	for _, p := range found.passings(true, x.toggles()) {
		if p.body == bad.body {
			angle = min(angle, p.angle)
		}
	}
	s.text("remedyTransmission", "Move "+best.text(mo)+": the angle is "+schema.Format(schema.AngleDim, angle)+" or more then, over the whole stroke")
	return best.point
}
