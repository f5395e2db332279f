package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// keptArm is the part of a cylinder's least lever that a remedy for something else may not go below.
	keptArm = 0.8
	// mostTurn is how far one cylinder turns a link well: at a third of a turn its lever is half of what it is in the middle, at best.
	mostTurn = 120 * math.Pi / 180
	// keptStroke is the part of the stroke by which another anchor may shift the pose as drawn.
	keptStroke = 0.1
	// anchorTries is how often the solver is run to find a better place for an anchor.
	anchorTries = 150
)

// leastArm is the least moment arm of a cylinder over the runs in which it moves, and where.
func (mo *motion) leastArm(l linkage.Lever) (arm float64, pose *linkage.Pose) {
	arm = math.Inf(1)
	mo.everyPose(func(r *run, p *linkage.Pose) {
		if r.moves(l.Cylinder) {
			if a := math.Abs(l.Arm(p)); a < arm {
				arm, pose = a, p
			}
		}
	})
	return arm, pose
}

// leastArms are those of all levers, in the solver's order.
func (mo *motion) leastArms() []float64 {
	levers := mo.solver.Levers()
	arms := make([]float64, len(levers))
	for i, l := range levers {
		arms[i], _ = mo.leastArm(l)
	}
	return arms
}

// turned is how far a link turns in one run of the cylinder alone, at most.
func (mo *motion) turned(l linkage.Lever) float64 {
	most := 0.0
	for k := range mo.runs {
		r := &mo.runs[k]
		if n := len(r.Poses); n > 0 && r.Lead == l.Cylinder && mo.leads(r) {
			most = max(most, math.Abs(r.Poses[n-1].Angles[l.Body]-r.Poses[0].Angles[l.Body]))
		}
	}
	return most
}

// levers judges each pivot about which a cylinder turns a link.
func (x *examiner) levers() {
	mo := x.motion
	if mo.unknown() != "" || len(mo.cylinders) == 0 {
		return // the facts of the links say so
	}
	for i, l := range mo.solver.Levers() {
		name := mo.cylinders[l.Cylinder]
		y := x.m.Cylinders[name]
		s := newSubject(x.m, "lever", fmt.Sprintf("%s on %s at %s", name, mo.links[l.Body], mo.points[l.Pivot]), y.At)
		x.add(s)
		arm, pose := mo.leastArm(l)
		if pose == nil {
			continue
		}
		eye := x.m.Points[mo.points[l.Eye]]
		s.set("arm", schema.LengthDim, arm, eye.X, eye.Y)
		s.worst("arm", mo.when(pose), rodsOut(pose)...)
		turned := mo.turned(l)
		s.set("turns", schema.AngleDim, turned, y.Stroke)
		s.text("link", mo.links[l.Body])
		if turned > mostTurn {
			s.text("remedyAnchor", x.betterAnchor(i, l))
		}
	}
}

// An anchoring is a place for the end of a cylinder that is not on the link that it turns, and the machine with it.
type anchoring struct {
	end string // rear or front
	to  r2.Vec
	*motion
	linkage.Lever // in that machine
}

// bestAnchor finds the place of the cylinder's other end at which something is least: near where it is, so that the pose as drawn keeps its place
// in the stroke, the rod makes all of it and the machine does what it must. lever is the lever's place in the solver's order. Its motion is
// nil where no place was found.
func (x *examiner) bestAnchor(lever int, l linkage.Lever, worth func(d *motion, l linkage.Lever) float64) anchoring {
	mo := x.motion
	c := mo.mechanism.Cylinders[l.Cylinder]
	end, at := "rear", c.Rear
	if l.Eye == c.Rear {
		end, at = "front", c.Front
	}
	start, eye := mo.mechanism.Points[at], mo.mechanism.Points[l.Eye]
	long, box := r2.Norm(r2.Sub(start, eye)), farthestShift*mo.size()
	// Round the eye by up to the box, and along the cylinder by a little, so that the pose as drawn keeps its place in the stroke.
	where := func(v []float64) r2.Vec {
		far := long + v[1]*keptStroke*c.Stroke
		return r2.Add(eye, r2.Rotate(r2.Scale(far/long, r2.Sub(start, eye)), v[0]*box/long, r2.Vec{}))
	}
	place := func(n int, to r2.Vec) *motion {
		if r2.Norm(r2.Sub(to, start)) < fitOfDrawing {
			return mo
		}
		d := mo.redrawn(n, func(d *motion) { d.pin(l.Cylinder, end, to) })
		if d == nil || len(d.solver.Levers()) <= lever || !x.reachesKept(d) {
			return nil
		}
		return d
	}
	problem := optimize.Problem{Func: func(v []float64) float64 {
		if math.Max(math.Abs(v[0]), math.Abs(v[1])) > 1 {
			return math.Inf(1)
		}
		d := place(trialPoses, where(v))
		if d == nil {
			return math.Inf(1)
		}
		return worth(d, d.solver.Levers()[lever])
	}}
	out := anchoring{end: end}
	result, err := optimize.Minimize(problem, []float64{0, 0}, &optimize.Settings{FuncEvaluations: anchorTries}, &optimize.NelderMead{SimplexSize: 0.2})
	if err != nil && result == nil {
		return out
	}
	// To whole millimetres, where they can be met.
	least := math.Inf(1)
	for k := range 9 {
		to := inWholes(r2.Add(where(result.X), r2.Scale(wholeShift, r2.Vec{X: float64(k%3 - 1), Y: float64(k/3 - 1)})))
		d := place(posesPerStroke, to)
		if d == nil || d == mo {
			continue
		}
		if v := worth(d, d.solver.Levers()[lever]); v < least {
			least = v
			out.to, out.motion, out.Lever = to, d, d.solver.Levers()[lever]
		}
	}
	return out
}

// betterAnchor says with which anchor a cylinder turns a link no more than it does well, and has the longest lever.
func (x *examiner) betterAnchor(lever int, l linkage.Lever) string {
	mo := x.motion
	a := x.bestAnchor(lever, l, func(d *motion, l linkage.Lever) float64 {
		arm, _ := d.leastArm(l)
		return -arm
	})
	if a.motion == nil || a.turned(a.Lever) > mostTurn || !a.useful(a.Lever) {
		return x.longerLever(lever, l, a.end)
	}
	mm := func(v float64) string { return schema.Format(schema.LengthDim, v) }
	before, _ := mo.leastArm(l)
	arm, _ := a.leastArm(a.Lever)
	return fmt.Sprintf("Put the %s pin of %s at %s: its lever is %s or more then, instead of %s, and it turns %s by %s",
		a.end, mo.cylinders[l.Cylinder], placeText(a.to), mm(arm), mm(before), mo.links[l.Body], schema.Format(schema.AngleDim, a.turned(a.Lever)))
}

const (
	// keptTurn is the part of what a cylinder turns that a better anchor must keep where nobody says what must be reached.
	keptTurn = 0.9
	// usefulArm is the least moment arm, as a part of the way from pivot to eye, of a cylinder's place that a remedy names: with less it hardly
	// turns the link.
	usefulArm = 0.2
	// worthwhile is the part of a load that is left of it where another anchor is worth naming.
	worthwhile = 0.95
)

// evenAnchor says with which anchor the rod of a machine's only cylinder has the least to push and pull; "" where none is worth naming.
// The thrusts are those that it has going out and coming in.
func (x *examiner) evenAnchor(cylinder int, thrustOut, thrustIn float64) string {
	mo := x.motion
	levers := mo.solver.Levers()
	lever := slices.IndexFunc(levers, func(l linkage.Lever) bool { return l.Cylinder == cylinder })
	if lever < 0 || len(mo.cylinders) > 1 || len(mo.weights.Pins)+len(mo.weights.Friction) > 0 {
		return ""
	}
	before := mo.turned(levers[lever])
	ratio := func(d *motion) float64 {
		var r rod
		d.everyUsablePose(func(_ *run, p *linkage.Pose) { d.thrusts(p, &r) })
		most := r.out / thrustOut
		if thrustIn > 0 {
			most = max(most, r.in/thrustIn)
		}
		return most
	}
	a := x.bestAnchor(lever, levers[lever], func(d *motion, l linkage.Lever) float64 {
		if len(x.m.Reaches) == 0 && d.turned(l) < keptTurn*before {
			return math.Inf(1)
		}
		return ratio(d)
	})
	if a.motion == nil || ratio(a.motion) > min(1, worthwhile*ratio(mo)) || len(x.m.Reaches) == 0 && a.turned(a.Lever) < keptTurn*before {
		return ""
	}
	return fmt.Sprintf("or put its %s pin at %s, where the load is %s of the thrust and it turns %s by %s", a.end, placeText(a.to),
		schema.Format(schema.NumberDim, ratio(a.motion)), mo.links[levers[lever].Body], schema.Format(schema.AngleDim, a.turned(a.Lever)))
}

// useful reports whether a lever keeps an arm that turns its link well.
func (mo *motion) useful(l linkage.Lever) bool {
	arm, _ := mo.leastArm(l)
	points := mo.mechanism.Points
	return arm >= usefulArm*r2.Norm(r2.Sub(points[l.Eye], points[l.Pivot]))
}

// longerLever moves the cylinder's pin on the link away from the pivot, and its other end alike, until it turns the link by no more than it
// does well.
func (x *examiner) longerLever(lever int, l linkage.Lever, end string) string {
	mo := x.motion
	c := mo.mechanism.Cylinders[l.Cylinder]
	other, eyeEnd := c.Rear, "front"
	if end == "front" {
		other, eyeEnd = c.Front, "rear"
	}
	eye := mo.mechanism.Points[l.Eye]
	out := r2.Unit(r2.Sub(eye, mo.mechanism.Points[l.Pivot]))
	mm := func(v float64) string { return schema.Format(schema.LengthDim, v) }
	for far := wholeShift; far < farthestShift*mo.size(); far += wholeShift {
		by := inWholes(r2.Scale(far, out))
		good := func(n int) *motion {
			d := mo.redrawn(n, func(d *motion) {
				d.pin(l.Cylinder, end, r2.Add(mo.mechanism.Points[other], by))
				d.pin(l.Cylinder, eyeEnd, r2.Add(eye, by))
			})
			if d == nil || len(d.solver.Levers()) <= lever || d.turned(d.solver.Levers()[lever]) > mostTurn || !d.useful(d.solver.Levers()[lever]) || !x.reachesKept(d) {
				return nil
			}
			return d
		}
		if good(trialPoses) == nil {
			continue
		}
		if d := good(posesPerStroke); d != nil {
			moved := d.solver.Levers()[lever]
			arm, _ := d.leastArm(moved)
			return fmt.Sprintf("Put both pins of %s farther from %s, the %s one at %s and the %s one at %s: its lever is %s or more then, and it turns %s by %s", mo.cylinders[l.Cylinder], mo.points[l.Pivot],
				eyeEnd, placeText(r2.Add(eye, by)), end, placeText(r2.Add(mo.mechanism.Points[other], by)), mm(arm), mo.links[l.Body], schema.Format(schema.AngleDim, d.turned(moved)))
		}
	}
	return fmt.Sprintf("Nothing was found near where %s is that gives it a lever that lasts: turn %s by %s at most with it, and the rest with a second cylinder or a pair of gears", mo.cylinders[l.Cylinder], mo.links[l.Body], schema.Format(schema.AngleDim, mostTurn))
}
