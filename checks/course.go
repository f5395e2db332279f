package checks

import (
	"math"

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
	mo := move(m)
	var all []Course
	for i, name := range mo.cylinders {
		if why := mo.why(name); why != "" {
			all = append(all, Course{Cylinder: name, Why: why})
			continue
		}
		for k := range mo.runs {
			if r := &mo.runs[k]; r.Lead == i {
				c := Course{Cylinder: name, Others: mo.rest(r)}
				c.fill(m, mo, r.Drive, poses)
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

func (c *Course) fill(m *schema.Machine, mo *motion, drive linkage.Drive, poses int) {
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
