package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// A remedy that moves a point or takes another cylinder is tried on the machine redrawn so, before anybody reads it.

const (
	// trialPoses is how many poses a search looks at. What it finds is solved again in posesPerStroke.
	trialPoses = 25
	// farthestShift of a point that a remedy asks for, as a part of the machine's size: beyond it, it is another machine.
	farthestShift = 0.3
	directions    = 16
	// trialWork is how much may be spent on remedies for one machine, in solutions of a machine of a few points: a second or two.
	trialWork = 4_000
	// wholeShift is what the places that a remedy names are rounded to, m.
	wholeShift = 1e-3
)

// redrawn is the machine with its drawing changed, solved in n poses; nil where it does not move, or not all the way, or where enough has
// been tried.
func (mo *motion) redrawn(n int, change func(d *motion)) *motion {
	points := len(mo.mechanism.Points)
	if *mo.tried += (1 + points*points/250) * (1 + n/(4*trialPoses)); *mo.tried > trialWork {
		return nil
	}
	d := *mo
	d.mechanism.Points = slices.Clone(mo.mechanism.Points)
	d.mechanism.Bodies = slices.Clone(mo.mechanism.Bodies)
	for i := range d.mechanism.Bodies {
		d.mechanism.Bodies[i].Points = slices.Clone(d.mechanism.Bodies[i].Points)
	}
	d.mechanism.Cylinders = slices.Clone(mo.mechanism.Cylinders)
	d.ranges = slices.Clone(mo.ranges)
	d.runs, d.solver, d.gripped, d.loaded, d.loadedBy, d.energies, d.contacts, d.farthest = nil, nil, nil, nil, nil, nil, nil, nil
	d.burdens = map[burdenBy]*burden{}
	change(&d)
	if d.solve(n) != nil || len(d.runs) == 0 || d.stopped() {
		return nil
	}
	return &d
}

// stopped reports whether the linkage keeps a cylinder from making its stroke.
func (mo *motion) stopped() bool {
	return slices.ContainsFunc(mo.runs, func(r run) bool { return len(r.Poses) == 0 || r.Closing != nil || r.Extending != nil })
}

// size is the longest way between two points of the machine as drawn.
func (mo *motion) size() float64 {
	long := 0.0
	for _, p := range mo.mechanism.Points {
		for _, q := range mo.mechanism.Points {
			long = max(long, r2.Norm(r2.Sub(p, q)))
		}
	}
	return long
}

// A shift of a point of the drawing.
type shift struct {
	point int
	by    r2.Vec
}

func (s shift) apply(d *motion) {
	d.mechanism.Points[s.point] = r2.Add(d.mechanism.Points[s.point], s.by)
}

// text says where the point goes.
func (s shift) text(mo *motion) string {
	to := r2.Add(mo.mechanism.Points[s.point], s.by)
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	return fmt.Sprintf("%s by %s, to x %s and y %s", mo.points[s.point], mm(r2.Norm(s.by)), mm(to.X), mm(to.Y))
}

// rounded brings the point to whole millimetres.
func (s shift) rounded(mo *motion) shift {
	from := mo.mechanism.Points[s.point]
	return shift{s.point, r2.Sub(inWholes(r2.Add(from, s.by)), from)}
}

func inWholes(p r2.Vec) r2.Vec {
	return r2.Vec{X: math.Round(p.X/wholeShift) * wholeShift, Y: math.Round(p.Y/wholeShift) * wholeShift}
}

// leastShift finds the smallest shift of one of some points with which the machine is good, and the machine with it; nil when there is none.
func (mo *motion) leastShift(points []int, good func(d *motion) bool) (shift, *motion) {
	size := mo.size()
	best, found := shift{}, (*motion)(nil)
	nearest := farthestShift * size
	try := func(n int, s shift) *motion {
		if d := mo.redrawn(n, s.apply); d != nil && good(d) {
			return d
		}
		return nil
	}
	for _, p := range points {
		for k := range directions {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
			at := func(far float64) shift { return shift{p, r2.Vec{X: far * cos, Y: far * sin}} }
			low := 0.0
			for far := size / 100; low < nearest; far *= 2 {
				far = min(far, nearest)
				if try(trialPoses, at(far)) == nil {
					low = far
					continue
				}
				high := far
				for high-low > wholeShift/2 {
					if middle := (low + high) / 2; try(trialPoses, at(middle)) != nil {
						high = middle
					} else {
						low = middle
					}
				}
				// Rounding and the poses between may ask for a little more.
				for extra := range 4 {
					s := at(high + float64(extra)*wholeShift).rounded(mo)
					if far := r2.Norm(s.by); far < nearest {
						if d := try(posesPerStroke, s); d != nil {
							best, found, nearest = s, d, far
							break
						}
					}
				}
				break
			}
		}
	}
	return best, found
}

// joints are the points of a link, and of the links that it meets, where links meet or are fixed: those that a builder may place.
func (mo *motion) joints(body int) []int {
	m := mo.mechanism
	meet := func(p int) (n int) {
		for _, b := range m.Bodies {
			if slices.Contains(b.Points, p) {
				n++
			}
		}
		return n
	}
	var points []int
	for _, p := range m.Bodies[body].Points {
		for _, b := range m.Bodies {
			if b.Ground || !slices.Contains(b.Points, p) {
				continue
			}
			for _, q := range b.Points {
				if meet(q) > 1 && !slices.Contains(points, q) && !mo.slides(q) {
					points = append(points, q)
				}
			}
		}
	}
	return points
}

// slides reports whether a point is on a slide or spans one: to move it alone would take the slide off its line.
func (mo *motion) slides(p int) bool {
	return slices.ContainsFunc(mo.mechanism.Slides, func(s linkage.Slide) bool { return s.Point == p || s.From == p || s.To == p })
}
