package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// stockStrokes are the strokes in which cylinders are kept, m: the series of ISO 4393, from memory.
var stockStrokes = []float64{0.025, 0.050, 0.080, 0.100, 0.125, 0.160, 0.200, 0.250, 0.320, 0.400, 0.500}

// What should be left of a stroke once the machine has done what it must: the adjustment of a rod end, and a share for what is made a
// little longer or shorter. Common practice, no source.
const (
	spareLeast = 2e-3
	spareShare = 0.03
)

// An attained is what a point or a link does over all runs.
type attained struct{ rises, travels, turns float64 }

// attain measures the point or the link of a name. A run may be cut off at a pose.
func (mo *motion) attain(name string, poses func(r *run) []linkage.Pose) (a attained) {
	point, link := mo.point(name), mo.link(name)
	low, high, least, most := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for k := range mo.runs {
		ps := poses(&mo.runs[k])
		for i := range ps {
			if point >= 0 {
				low, high = min(low, ps[i].Points[point].Y), max(high, ps[i].Points[point].Y)
			}
			if link >= 0 {
				least, most = min(least, ps[i].Angles[link]), max(most, ps[i].Angles[link])
			}
		}
		if point >= 0 && len(ps) > 0 {
			a.travels = max(a.travels, r2.Norm(r2.Sub(ps[len(ps)-1].Points[point], ps[0].Points[point])))
		}
	}
	a.turns = most - least
	if low <= high {
		a.rises = high - low
	}
	return a
}

func whole(r *run) []linkage.Pose { return r.Poses }

// does reports whether all that a reach asks for is done.
func (a attained) does(r schema.Reach) bool {
	return !(r.Rises.Given() && a.rises < r.Rises.SI || r.Travels.Given() && a.travels < r.Travels.SI || r.Turns.Given() && a.turns < r.Turns.SI)
}

func (a attained) text(r schema.Reach) string {
	var parts []string
	if r.Rises.Given() {
		parts = append(parts, "rises by "+schema.Format(schema.LengthDim, a.rises))
	}
	if r.Travels.Given() {
		parts = append(parts, "travels "+schema.Format(schema.LengthDim, a.travels))
	}
	if r.Turns.Given() {
		parts = append(parts, "turns by "+schema.Format(schema.AngleDim, a.turns))
	}
	return inWords(parts)
}

// reachesKept reports whether a machine redrawn still does what it must, as far as it does now.
func (x *examiner) reachesKept(d *motion) bool {
	for name, r := range x.m.Reaches {
		if x.motion.attain(name, whole).does(r) && !d.attain(name, whole).does(r) {
			return false
		}
	}
	return true
}

// reaches holds what the machine must do against what it does.
func (x *examiner) reaches() {
	for _, name := range sorted(x.m.Reaches) {
		r := x.m.Reaches[name]
		s := newSubject(x.m, "reach", name, r.At)
		x.add(s)
		if why := x.motion.unknown(); why != "" || len(x.motion.cylinders) == 0 {
			if why == "" {
				why = "nothing moves the machine: it has no cylinder"
			}
			for _, f := range []struct {
				name  string
				given bool
			}{{"rises", r.Rises.Given()}, {"travels", r.Travels.Given()}, {"turns", r.Turns.Given()}} {
				if f.given {
					s.open(why, f.name)
				}
			}
			continue
		}
		a := x.motion.attain(name, whole)
		var strokes []schema.Input
		for _, c := range x.motion.movers(name) {
			for _, stop := range sorted(x.m.Stops) {
				if x.m.Stops[stop].Cylinder.Value == c {
					strokes = append(strokes, x.m.Stops[stop].At) // which leaves less of the stroke
				}
			}
			strokes = append(strokes, x.m.Cylinders[c].Stroke)
		}
		if r.Rises.Given() {
			s.set("rises", schema.LengthDim, a.rises, strokes...)
			s.set("risesNeeded", schema.LengthDim, r.Rises.SI, r.Rises)
		}
		if r.Travels.Given() {
			s.set("travels", schema.LengthDim, a.travels, strokes...)
			s.set("travelsNeeded", schema.LengthDim, r.Travels.SI, r.Travels)
		}
		if r.Turns.Given() {
			s.set("turns", schema.AngleDim, a.turns, strokes...)
			s.set("turnsNeeded", schema.AngleDim, r.Turns.SI, r.Turns)
		}
		if !a.does(r) {
			s.text("remedyStroke", x.longerStroke(name, r))
		} else {
			x.spare(s, name, r)
		}
	}
}

// movers are the cylinders, first the one that alone moves a point or a link the most.
func (mo *motion) movers(name string) []string {
	moved := map[string]float64{}
	for i, c := range mo.cylinders {
		a := mo.attain(name, func(r *run) []linkage.Pose {
			if r.Lead != i || len(r.others()) > 0 {
				return nil
			}
			return r.Poses
		})
		moved[c] = a.rises + a.travels + a.turns // of a point or of a link, so that they never add up
	}
	list := slices.Clone(mo.cylinders)
	slices.SortStableFunc(list, func(a, b string) int { return cmp.Compare(moved[b], moved[a]) })
	return list
}

// spare is what is left of a stroke, from the rod in, once all is done that must be.
func (x *examiner) spare(s *Subject, name string, r schema.Reach) {
	best, cylinder := math.Inf(-1), 0
	for k := range x.motion.runs {
		ran := &x.motion.runs[k]
		done := func(n int) bool {
			return x.motion.attain(name, func(other *run) []linkage.Pose {
				if other != ran {
					return nil
				}
				return ran.Poses[:n+1]
			}).does(r)
		}
		n := len(ran.Poses)
		if n == 0 || !done(n-1) {
			continue
		}
		first := sort.Search(n, done) // what is done stays done, but for a point that travels there and back
		if left := ran.Poses[n-1].Stroke - ran.Poses[first].Stroke; left > best {
			best, cylinder = left, ran.Lead
		}
	}
	if math.IsInf(best, -1) {
		return // it takes several cylinders, one after the other
	}
	y := x.m.Cylinders[x.motion.cylinders[cylinder]]
	s.set("strokeSpare", schema.LengthDim, best, y.Stroke)
	s.set("strokeSpareAdvised", schema.LengthDim, max(spareLeast, spareShare*y.Stroke.SI), y.Stroke)
	s.text("cylinder", x.motion.cylinders[cylinder])
	if best < max(spareLeast, spareShare*y.Stroke.SI) {
		s.text("remedyStroke", x.longerStroke(name, r))
	}
}

// longerStroke finds the next stock stroke with which the machine does what it must. A cylinder with a longer stroke is as much longer
// when closed, so that its anchor goes back along its line.
func (x *examiner) longerStroke(name string, r schema.Reach) string {
	mo := x.motion
	for i, c := range mo.cylinders {
		y := mo.mechanism.Cylinders[i]
		if between := mo.ranges[i]; between[1]-between[0] < y.Stroke {
			d := mo.redrawn(posesPerStroke, func(d *motion) { d.ranges[i] = [2]float64{0, y.Stroke} })
			if d != nil && d.attain(name, whole).does(r) {
				return fmt.Sprintf("Move the stops of %s: with its whole stroke %s %s", c, name, d.attain(name, whole).text(r))
			}
		}
		for _, stock := range stockStrokes {
			if stock <= y.Stroke+fitOfDrawing {
				continue
			}
			var pin string
			d := mo.redrawn(posesPerStroke, func(d *motion) {
				longer := &d.mechanism.Cylinders[i]
				more := stock - longer.Stroke
				longer.Stroke, longer.Closed = stock, longer.Closed+more
				if d.ranges[i][1] >= y.Stroke {
					d.ranges[i][1] = stock
				}
				pin = d.pushBack(i, more)
			})
			if d == nil || !d.attain(name, whole).does(r) || !x.reachesKept(d) {
				continue
			}
			return fmt.Sprintf("Take %s with a stroke of %s, as much longer when closed, and put its %s: %s %s then", c, schema.Format(schema.LengthDim, stock), pin, name, d.attain(name, whole).text(r))
		}
	}
	return "No stock stroke up to " + schema.Format(schema.LengthDim, stockStrokes[len(stockStrokes)-1]) + " does it with the cylinders where they are: put a cylinder's pin nearer to the pivot on which it works, or lengthen the link"
}

// shorterStroke finds the longest stock stroke that the links let a cylinder take, with its anchor as much nearer as it is shorter when closed;
// else stops that keep it within what they do.
func (x *examiner) shorterStroke(cylinder int, reached float64) string {
	mo := x.motion
	name, y := mo.cylinders[cylinder], mo.mechanism.Cylinders[cylinder]
	for _, stock := range slices.Backward(stockStrokes) {
		if stock > reached || stock >= y.Stroke-fitOfDrawing {
			continue
		}
		var pin string
		d := mo.redrawn(posesPerStroke, func(d *motion) {
			shorter := &d.mechanism.Cylinders[cylinder]
			shorter.Stroke, shorter.Closed = stock, shorter.Closed-(y.Stroke-stock)
			d.ranges[cylinder][1] = min(d.ranges[cylinder][1], stock)
			pin = d.pushBack(cylinder, stock-y.Stroke)
		})
		if d != nil && x.reachesKept(d) {
			return fmt.Sprintf("Take %s with a stroke of %s, as much shorter when closed and in its barrel, and put its %s: it makes the whole stroke then", name, schema.Format(schema.LengthDim, stock), pin)
		}
	}
	var r *run
	for k := range mo.runs {
		if got := &mo.runs[k]; got.Lead == cylinder && len(got.Poses) > 0 && (got.Closing != nil || got.Extending != nil) {
			r = got
			break
		}
	}
	if r == nil {
		return "Move the pins of " + name + ", or keep the cylinders from where the links do not let them go"
	}
	between := mo.ranges[cylinder]
	var where []string
	if r.Closing != nil {
		between[0] = math.Ceil((r.Closing.Stroke+spareLeast)/stopStep) * stopStep
		where = append(where, "before it closes below "+schema.Format(schema.LengthDim, between[0]))
	}
	if r.Extending != nil {
		between[1] = math.Floor((r.Extending.Stroke-spareLeast)/stopStep) * stopStep
		where = append(where, "at "+schema.Format(schema.LengthDim, between[1])+" of its stroke")
	}
	if !(between[0] < between[1]) || mo.redrawn(posesPerStroke, func(d *motion) { d.ranges[cylinder] = between }) == nil {
		return "Move the pins of " + name + ", or keep the cylinders from where the links do not let them go"
	}
	return fmt.Sprintf("Stop %s %s, %s clear of that point, or take one with less stroke", name, inWords(where), schema.Format(schema.LengthDim, spareLeast))
}

// pushBack moves the fixed end of a cylinder away from the other along its line, on a pin of its own, and says where that is.
func (mo *motion) pushBack(cylinder int, by float64) string {
	c := mo.mechanism.Cylinders[cylinder]
	fixed, other, end := c.Rear, c.Front, "rear"
	if !mo.grounded(c.Rear) && mo.grounded(c.Front) {
		fixed, other, end = c.Front, c.Rear, "front"
	}
	away := r2.Unit(r2.Sub(mo.mechanism.Points[fixed], mo.mechanism.Points[other]))
	to := r2.Add(mo.mechanism.Points[fixed], r2.Scale(by, away))
	tenths := func(v float64) float64 { return math.Round(v*1e4) / 1e4 } // of a millimetre, as drawings have them
	to = r2.Vec{X: tenths(to.X), Y: tenths(to.Y)}
	mo.pin(cylinder, end, to)
	return end + " pin at " + placeText(to)
}

func placeText(p r2.Vec) string {
	return fmt.Sprintf("x %s and y %s", schema.Format(schema.LengthDim, p.X), schema.Format(schema.LengthDim, p.Y))
}

func (mo *motion) grounded(point int) bool {
	return slices.ContainsFunc(mo.mechanism.Bodies, func(b linkage.Body) bool { return b.Ground && slices.Contains(b.Points, point) })
}

// pin puts an end of a cylinder on a new point of the link that it is on: of the fixed one, if there is one, else of the first.
func (mo *motion) pin(cylinder int, end string, to r2.Vec) {
	c := &mo.mechanism.Cylinders[cylinder]
	at := &c.Rear
	if end == "front" {
		at = &c.Front
	}
	holder := -1
	for i, b := range mo.mechanism.Bodies {
		if slices.Contains(b.Points, *at) && (holder < 0 || b.Ground && !mo.mechanism.Bodies[holder].Ground) {
			holder = i
		}
	}
	*at = len(mo.mechanism.Points)
	mo.mechanism.Points = append(mo.mechanism.Points, to)
	mo.mechanism.Bodies[holder].Points = append(mo.mechanism.Bodies[holder].Points, *at)
}
