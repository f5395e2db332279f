package checks

import (
	"fmt"
	"math"

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
		s.worst("arm", mo.when(pose))
		turned := mo.turned(l)
		s.set("turns", schema.AngleDim, turned, y.Stroke)
		s.text("link", mo.links[l.Body])
		if turned > mostTurn {
			s.text("remedyAnchor", x.betterAnchor(i, l))
		}
	}
}

// betterAnchor finds the place of the cylinder's other end at which its least lever is longest: within a box about where it is, so that
// the rod makes its whole stroke from the pose as drawn and the machine does what it must. lever is its place in the solver's order.
func (x *examiner) betterAnchor(lever int, l linkage.Lever) string {
	mo := x.motion
	c := mo.mechanism.Cylinders[l.Cylinder]
	end, at := "rear", c.Rear
	if l.Eye == c.Rear {
		end, at = "front", c.Front
	}
	start, box := mo.mechanism.Points[at], farthestShift*mo.size()
	place := func(n int, to r2.Vec) *motion {
		if r2.Norm(r2.Sub(to, start)) < fitOfDrawing {
			return mo
		}
		d := mo.redrawn(n, func(d *motion) { d.anchor(l.Cylinder, end, to) })
		if d == nil || len(d.solver.Levers()) <= lever || !x.reachesKept(d) {
			return nil
		}
		return d
	}
	problem := optimize.Problem{Func: func(v []float64) float64 {
		if math.Max(math.Abs(v[0]), math.Abs(v[1])) > 1 {
			return math.Inf(1)
		}
		d := place(trialPoses, r2.Add(start, r2.Vec{X: v[0] * box, Y: v[1] * box}))
		if d == nil {
			return math.Inf(1)
		}
		arm, _ := d.leastArm(d.solver.Levers()[lever])
		return -arm
	}}
	before, _ := mo.leastArm(l)
	mm := func(v float64) string { return schema.Format(schema.LengthDim, v) }
	result, err := optimize.Minimize(problem, []float64{0, 0}, &optimize.Settings{FuncEvaluations: anchorTries}, &optimize.NelderMead{SimplexSize: 0.1})
	if err != nil && result == nil {
		return x.longerLever(lever, l, end)
	}
	to := inWholes(r2.Add(start, r2.Vec{X: result.X[0] * box, Y: result.X[1] * box}))
	if d := place(posesPerStroke, to); d != nil {
		moved := d.solver.Levers()[lever]
		if arm, _ := d.leastArm(moved); d.turned(moved) <= mostTurn {
			return fmt.Sprintf("Put the %s pin of %s at %s: its lever is %s or more then, instead of %s, and it turns %s by %s",
				end, mo.cylinders[l.Cylinder], placeText(to), mm(arm), mm(before), mo.links[l.Body], schema.Format(schema.AngleDim, d.turned(moved)))
		}
	}
	return x.longerLever(lever, l, end)
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
				d.anchor(l.Cylinder, end, r2.Add(mo.mechanism.Points[other], by))
				d.anchor(l.Cylinder, eyeEnd, r2.Add(eye, by))
			})
			if d == nil || len(d.solver.Levers()) <= lever || d.turned(d.solver.Levers()[lever]) > mostTurn || !x.reachesKept(d) {
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
