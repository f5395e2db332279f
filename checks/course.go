package checks

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// A Course is how a machine moves and what it carries over the stroke of one cylinder, while the others rest or move along. Each list has
// one value for each pose, evenly spaced from closed to extended. Lengths are m, angles rad, forces N, with all loads as written and
// without friction.
type Course struct {
	Cylinder  string
	Others    string // where the other cylinders are, in words: "with flap out by 50 mm"; "" where there are none
	Why       string // it is not known; there are no poses then
	Stroke    []float64
	Thrust    []float64 // holds the machine at rest, positive pushes
	Points    []PointCourse
	Links     []LinkCourse
	Cylinders []CylinderCourse
	Pivots    []PivotCourse
	// Out and In hold the leading cylinder's thrust against what it has to give, going each way.
	Out, In  Effort
	Passings []PassingCourse
}

// An Effort is what a rod must give at each pose, with friction and with the loads that are forces only where they hold it back, and what
// the air at the set pressure gives in slow motion, seals' friction taken off. Both N; Given is NaN where it is not known.
type Effort struct {
	Needed []float64
	Given  float64
}

// A PassingCourse is the transmission angle of a link at the pivot where it passes force on.
type PassingCourse struct {
	Link, Point string
	Angle       []float64
}

// A PointCourse is where a point that moves is, and its way by the rod's: the ratio of their speeds.
type PointCourse struct {
	Name        string
	X, Y, Ratio []float64
}

// A LinkCourse is how far a moving link has turned from where it is drawn.
type LinkCourse struct {
	Name string
	Turn []float64
}

// A CylinderCourse is a cylinder's length from pin to pin and its angle against x.
type CylinderCourse struct {
	Name          string
	Length, Angle []float64
}

// A PivotCourse is the force between a pin and one of the links on it.
type PivotCourse struct {
	Point, Link string
	Force       []float64
}

// Courses computes all that a machine's cylinders do, at a number of poses each, two or more.
func Courses(m *schema.Machine, poses int) []Course {
	x := &examiner{m: m, air: followAir(m), motion: move(m)}
	mo := x.motion
	var all []Course
	for i, name := range mo.cylinders {
		if why := mo.why(name); why != "" {
			all = append(all, Course{Cylinder: name, Why: why})
			continue
		}
		for k := range mo.runs {
			if r := &mo.runs[k]; r.Lead == i {
				c := Course{Cylinder: name, Others: mo.rest(r)}
				c.fill(x, r.Drive, poses)
				all = append(all, c)
			}
		}
	}
	return all
}

// fixed reports whether a point is on a link that stands still.
func fixed(m *schema.Machine, point string) bool {
	for _, l := range m.Links {
		if l.Ground.Value && goesThrough(l, point) {
			return true
		}
	}
	return false
}

func (c *Course) fill(x *examiner, drive linkage.Drive, poses int) {
	m, mo := x.m, x.motion
	sweep, err := mo.solver.Sweep(drive, poses)
	if err != nil {
		c.Why = err.Error()
		return
	}
	all := mo.weights
	for _, f := range mo.forces {
		all.Loads = append(all.Loads[:len(all.Loads):len(all.Loads)], f.load.Loads...)
	}
	statics, err := mo.solver.Statics(all)
	if err != nil {
		c.Why = err.Error()
		return
	}
	joints := statics.Joints()
	c.Pivots = make([]PivotCourse, len(joints))
	for k, j := range joints {
		c.Pivots[k].Point, c.Pivots[k].Link = mo.points[j.Point], mo.links[j.Body]
	}
	for _, name := range mo.points {
		if !fixed(m, name) {
			c.Points = append(c.Points, PointCourse{Name: name})
		}
	}
	for _, name := range mo.links {
		if !m.Links[name].Ground.Value {
			c.Links = append(c.Links, LinkCourse{Name: name})
		}
	}
	for _, name := range mo.cylinders {
		c.Cylinders = append(c.Cylinders, CylinderCourse{Name: name})
	}
	c.efforts(x, &run{drive, sweep})
	c.passings(x, &run{drive, sweep})
	var forces linkage.Forces
	for i := range sweep.Poses {
		p := &sweep.Poses[i]
		c.Stroke = append(c.Stroke, p.Stroke)
		known := statics.Hold(p, linkage.Standing, &forces) == nil
		thrust := math.NaN()
		if known {
			thrust = forces.Thrust[drive.Lead]
		}
		c.Thrust = append(c.Thrust, thrust)
		for k := range c.Pivots {
			force := math.NaN()
			if known {
				force = r2.Norm(forces.Reactions[k])
			}
			c.Pivots[k].Force = append(c.Pivots[k].Force, force)
		}
		for k := range c.Points {
			at := mo.point(c.Points[k].Name)
			c.Points[k].X = append(c.Points[k].X, p.Points[at].X)
			c.Points[k].Y = append(c.Points[k].Y, p.Points[at].Y)
			c.Points[k].Ratio = append(c.Points[k].Ratio, r2.Norm(p.Velocity[at]))
		}
		for k := range c.Links {
			c.Links[k].Turn = append(c.Links[k].Turn, p.Angles[mo.link(c.Links[k].Name)])
		}
		for k := range c.Cylinders {
			c.Cylinders[k].Length = append(c.Cylinders[k].Length, p.Cylinders[k].Length)
			c.Cylinders[k].Angle = append(c.Cylinders[k].Angle, p.Cylinders[k].Angle)
		}
	}
}

// efforts holds what the leading rod can give against what it must.
func (c *Course) efforts(x *examiner, r *run) {
	y := x.m.Cylinders[c.Cylinder]
	push, pull := pistonAreas(y)
	given := math.NaN()
	if zone, why := x.air.at(c.Cylinder); why+zone.why == "" {
		given = y.Efficiency.SI * zone.pressure
	}
	c.Out.Given, c.In.Given = given*push, given*pull
	if y.Acting.Value == "single" {
		c.In.Given = math.NaN()
	}
	h, err := x.holder(1)
	if err != nil || len(x.motion.unweighed) > 0 {
		return
	}
	alone := len(x.motion.cylinders) == 1 && len(x.motion.weights.Pins)+len(x.motion.weights.Friction) == 0
	for i := range r.Poses {
		rods := make([]rod, len(x.motion.cylinders))
		if alone {
			x.motion.thrusts(&r.Poses[i], &rods[0])
		} else {
			h.pose(r, &r.Poses[i], rods)
		}
		lead := rods[r.Lead]
		if lead.jams != "" || lead.why != "" {
			lead.out, lead.in = math.NaN(), math.NaN()
		}
		c.Out.Needed, c.In.Needed = append(c.Out.Needed, lead.out), append(c.In.Needed, lead.in)
	}
}

// passings follows the transmission angles that are judged.
func (c *Course) passings(x *examiner, r *run) {
	mo := x.motion
	if !mo.leads(r) {
		return
	}
	toggles := x.toggles()
	for _, k := range mo.solver.Couplers(r.Lead) {
		if k.Driven < 0 || slices.Contains(toggles, k.Pivots[k.Driven]) {
			continue
		}
		one := PassingCourse{Link: mo.links[k.Body], Point: mo.points[k.Pivots[k.Driven]]}
		moves := false
		for i := range r.Poses {
			p := &r.Poses[i]
			angle := math.NaN()
			if r2.Norm(p.Velocity[k.Pivots[0]])+r2.Norm(p.Velocity[k.Pivots[1]]) >= stillRate {
				angle, moves = k.Transmission(p, k.Driven), true
			}
			one.Angle = append(one.Angle, angle)
		}
		if moves {
			c.Passings = append(c.Passings, one)
		}
	}
}
