package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/made"
	"trammel.example/schema"
)

const (
	// everyPose is how many poses of a stroke one is taken of where lengths are solved at all of their limits. Eleven are left of a stroke:
	// a largest value between two of them is missed by a part in four hundred at most where it is round.
	everyPose = 20
	// nudge in m is by how much a pivot is shifted to see what that does to the tool.
	nudge = 0.1e-3
	// playDirections is how many ways, of half a turn, play is added up in: 16 find the worst to 1 − cos(π/32), half a per cent.
	playDirections = 16
	// goodFit in m is what a running fit leaves on the diameter at most: H7 on h6 above 6 up to 10 mm, rounded up (ISO 286-2).
	goodFit = 0.03e-3
	// tieBreak is the part by which one effect must be larger than another to come first: mirrored machines have the same answer.
	tieBreak = 1e-6
)

// samples are some of the poses of each sweep, both ends among them but for poses at a stop: there made lengths may have none.
func (mo *motion) samples() (sets [][]linkage.Pose) {
	for _, sweep := range mo.runs {
		all := sweep.Poses
		if len(all) == 0 {
			continue
		}
		if sweep.Closing != nil {
			all = all[1:]
		}
		if sweep.Extending != nil {
			all = all[:len(all)-1]
		}
		poses := make([]linkage.Pose, 0, len(all)/everyPose+2)
		for i := range all {
			if i%everyPose == 0 || i == len(all)-1 {
				poses = append(poses, all[i])
			}
		}
		if len(poses) > 0 {
			sets = append(sets, poses)
		}
	}
	return sets
}

// whyNot says what keeps the motion of any cylinder from being known; "" when all are known.
func (mo *motion) whyNot() string {
	for _, c := range mo.cylinders {
		if why := mo.why(c); why != "" {
			return why
		}
	}
	return ""
}

// A tool is a point that a load acts on or that must reach somewhere, on a link that moves.
type tool struct{ point, link string }

func (x *examiner) toolPoints() []tool {
	asked := map[string]bool{}
	for name := range x.m.Reaches {
		asked[name] = true
	}
	for _, l := range x.m.Loads {
		asked[l.At.Value] = true
	}
	var tools []tool
	for _, point := range x.motion.points {
		if !asked[point] {
			continue
		}
		i := slices.IndexFunc(x.motion.links, func(name string) bool {
			return !x.m.Links[name].Ground.Value && goesThrough(x.m.Links[name], point)
		})
		if i >= 0 {
			tools = append(tools, tool{point, x.motion.links[i]})
		}
	}
	return tools
}

// tools judges where made lengths and the play of pivots leave each tool.
func (x *examiner) tools(a *asMade) {
	if len(x.motion.cylinders) == 0 {
		return
	}
	for _, t := range x.toolPoints() {
		s := newSubject(x.m, "tool", t.point, x.m.Points[t.point].At)
		x.add(s)
		why := x.motion.whyNot()
		if why != "" {
			s.open(why, "play")
		} else {
			x.play(s, t)
		}
		switch {
		case len(a.links) == 0 || a.stops:
		case a.why != "":
			s.open(a.why, "miss", "turn")
		default:
			x.miss(s, t, a)
		}
	}
}

// miss is where the tool ends up with the lengths as made.
func (x *examiner) miss(s *Subject, t tool, a *asMade) {
	distance, turn, err := a.aim(t)
	if err != nil {
		s.open(err.Error(), "miss", "turn")
		return
	}
	s.set("miss", schema.LengthDim, distance.size, a.inputs(distance.first)...)
	s.worst("miss", distance.when, distance.rods...)
	s.set("turn", schema.AngleDim, turn.size, a.inputs(turn.first)...)
	s.worst("turn", turn.when, turn.rods...)
	s.text("link", t.link)
	for _, e := range []struct {
		fact string
		of   effect
		dim  schema.Dimension
	}{{"remedyMiss", distance, schema.LengthDim}, {"remedyTurn", turn, schema.AngleDim}} {
		sp := a.parts.Spacings[e.of.first]
		s.text(e.fact, fmt.Sprintf("Bring %s nearest to the drawing first, %s from %s to %s: it alone makes %s, and the rest leaves %s",
			a.links[e.of.first], schema.Format(schema.LengthDim, a.drawn(sp)), x.motion.points[sp.From], x.motion.points[sp.To],
			schema.Format(e.dim, e.of.alone), schema.Format(e.dim, e.of.rest)))
	}
}

// An effect is by how much made lengths put a tool off at most, and the link that does most of it.
type effect struct {
	size  float64 // m or rad
	when  string
	rods  []float64
	first int     // of the spacings
	alone float64 // what that one does alone
	rest  float64 // what the others do without it
}

// aim finds both effects over all strokes.
func (a *asMade) aim(t tool) (distance, turn effect, err error) {
	over := func(p made.Parts) (distance, turn effect, err error) {
		m, err := made.New(a.motion.solver, p)
		if err != nil {
			return distance, turn, err
		}
		for _, poses := range a.motion.samples() {
			aim, err := m.Aim(poses, made.Tool{Point: a.motion.point(t.point), Body: a.motion.link(t.link)})
			if err != nil {
				return distance, turn, err
			}
			if d := aim.Worst.Distance; d > distance.size {
				p := poseOutBy(poses, aim.Worst.DistanceAt)
				distance.size, distance.when, distance.rods = d, a.motion.when(p), rodsOut(p)
			}
			if d := math.Abs(aim.Worst.Turn); d > turn.size {
				p := poseOutBy(poses, aim.Worst.TurnAt)
				turn.size, turn.when, turn.rods = d, a.motion.when(p), rodsOut(p)
			}
		}
		return distance, turn, nil
	}
	if distance, turn, err = over(a.parts); err != nil {
		return distance, turn, err
	}
	for i := range a.parts.Spacings {
		d, u, err := over(made.Parts{Spacings: a.parts.Spacings[i : i+1]})
		if err != nil {
			return distance, turn, err
		}
		if d.size > distance.alone*(1+tieBreak) {
			distance.first, distance.alone = i, d.size
		}
		if u.size > turn.alone*(1+tieBreak) {
			turn.first, turn.alone = i, u.size
		}
	}
	without := func(i int) made.Parts {
		return made.Parts{Spacings: slices.Delete(slices.Clone(a.parts.Spacings), i, i+1)}
	}
	d, u, err := over(without(distance.first))
	if distance.rest = d.size; err == nil && turn.first != distance.first {
		_, u, err = over(without(turn.first))
	}
	turn.rest = u.size
	return distance, turn, err
}

// poseOutBy is that of some poses which has a stroke.
func poseOutBy(poses []linkage.Pose, stroke float64) *linkage.Pose {
	i := slices.IndexFunc(poses, func(p linkage.Pose) bool { return p.Stroke == stroke })
	return &poses[max(i, 0)]
}

// A slack is what the play of one body on a pin, or of a cylinder's end, does to the tool.
type slack struct {
	point     string
	clearance float64 // on the diameter: so far the body can be pushed to and fro, m
	from      schema.Input
	of        func(p *linkage.Pose) (levers []r2.Vec, ok bool)
}

// play adds up how far the tool can be pushed to and fro with the cylinders still: all clearances at their largest, each times the lever
// with which it reaches the tool.
func (x *examiner) play(s *Subject, t tool) {
	slacks, why := x.slacks(x.motion.point(t.point))
	if why != "" {
		s.open(why, "play")
		return
	}
	most, worst := 0.0, ""
	var when *linkage.Pose
	share, left := 0.0, 0.0
	var from []schema.Input
	reach := make([][playDirections]float64, len(slacks))
	for _, r := range x.motion.runs {
		if r.Closing != nil || r.Extending != nil {
			s.open(x.motion.cylinders[r.Lead]+" meets a dead point within its stroke, next to which play has no end", "play")
			return
		}
	}
	for _, poses := range x.motion.samples() {
		for i := range poses {
			sums := [playDirections]float64{}
			for k, one := range slacks {
				levers, ok := one.of(&poses[i])
				if !ok {
					s.open("the linkage has no lever "+x.motion.when(&poses[i])+", where play has no end", "play")
					return
				}
				for d := range playDirections {
					sin, cos := math.Sincos(math.Pi * float64(d) / playDirections)
					squares := 0.0
					for _, l := range levers {
						squares += (cos*l.X + sin*l.Y) * (cos*l.X + sin*l.Y)
					}
					reach[k][d] = math.Sqrt(squares)
					sums[d] += one.clearance * reach[k][d]
				}
			}
			for d, sum := range sums {
				if sum <= most*(1+tieBreak) {
					continue
				}
				most, when = sum, &poses[i]
				share, worst = 0, ""
				for _, one := range slacks {
					of, tightened := 0.0, 0.0
					var inputs []schema.Input
					for k, other := range slacks {
						if other.point == one.point {
							of += other.clearance * reach[k][d]
							tightened += min(other.clearance, goodFit) * reach[k][d]
							inputs = append(inputs, other.from)
						}
					}
					if of > share*(1+tieBreak) {
						share, worst, left, from = of, one.point, sum-of+tightened, inputs
					}
				}
			}
		}
	}
	s.set("play", schema.LengthDim, most, from...)
	if when != nil {
		s.worst("play", x.motion.when(when), rodsOut(when)...)
	}
	s.text("playAt", worst)
	s.set("playShare", schema.LengthDim, share, from...)
	s.set("playLeft", schema.LengthDim, left, from...)
}

// slacks lists the clearances of all pivots, with what they do to a point.
func (x *examiner) slacks(tool int) (list []slack, why string) {
	mo := x.motion
	for i, point := range mo.points {
		hub := x.hub(point)
		if hub == "" {
			continue
		}
		var of []string
		for _, link := range mo.links {
			if l := x.m.Links[link]; link != hub && goesThrough(l, point) && !(l.Ground.Value && x.m.Links[hub].Ground.Value) {
				of = append(of, link)
			}
		}
		ends := 0
		for _, c := range mo.cylinders {
			for _, end := range []schema.CylinderEnd{x.m.Cylinders[c].Rear, x.m.Cylinders[c].Front} {
				if end.At.Value == point && !pinless(end) {
					of = append(of, c)
					ends++
				}
			}
		}
		if len(of) == 0 {
			continue
		}
		onHub, why := x.clearance(point, hub)
		if why != "" {
			return nil, why
		}
		for k, body := range of {
			c, why := x.clearance(point, body)
			if why != "" {
				return nil, why
			}
			one := slack{point: point, clearance: c.Most + onHub.Most, from: x.m.Pivots[point].Pin.Diameter}
			shifts := mo.onPin(mo.link(body), i)
			if k >= len(of)-ends {
				shifts = mo.ofCylinder(indexOf(mo.cylinders, body))
			}
			if one.of, why = x.lever(tool, shifts); why != "" {
				return nil, why
			}
			list = append(list, one)
		}
	}
	return list, ""
}

// hub is the link that a point's pin counts to: a fixed one, else the first.
func (x *examiner) hub(point string) string {
	first := ""
	for _, link := range x.motion.links {
		l := x.m.Links[link]
		if !goesThrough(l, point) {
			continue
		}
		if l.Ground.Value {
			return link
		}
		if first == "" {
			first = link
		}
	}
	return first
}

// lever solves the linkage with a body shifted on its pin, or a cylinder made longer, to and fro, and sees where the tool goes for a shift
// of 1 along each of the axes that count.
func (x *examiner) lever(tool int, shifts []nudged) (func(p *linkage.Pose) (levers []r2.Vec, ok bool), string) {
	var shifted [][2]*linkage.Variant
	for _, s := range shifts {
		var pair [2]*linkage.Variant
		for way, by := range []float64{nudge, -nudge} {
			v, err := x.motion.solver.Variant(s(by))
			if err != nil {
				return nil, "the linkage can't be solved with play: " + err.Error()
			}
			pair[way] = v
		}
		shifted = append(shifted, pair)
	}
	var forth, back linkage.Pose
	levers := make([]r2.Vec, len(shifts))
	return func(p *linkage.Pose) ([]r2.Vec, bool) {
		for i, v := range shifted {
			if v[0].Pose(p, &forth) != nil || v[1].Pose(p, &back) != nil {
				return nil, false
			}
			levers[i] = r2.Scale(1/(2*nudge), r2.Sub(forth.Points[tool], back.Points[tool]))
		}
		return levers, true
	}, ""
}

// A nudged linkage has a body shifted on its pin, or a cylinder made longer, by so much (m): what a variant is made from.
type nudged func(by float64) (places []linkage.Place, longer []float64)

// onPin shifts a body on its pin in either direction.
func (mo *motion) onPin(body, point int) []nudged {
	drawn := mo.solver.Mechanism().Points[point]
	along := func(axis r2.Vec) nudged {
		return func(by float64) ([]linkage.Place, []float64) {
			return []linkage.Place{{Body: body, Point: point, At: r2.Add(drawn, r2.Scale(by, axis))}}, nil
		}
	}
	return []nudged{along(r2.Vec{X: 1}), along(r2.Vec{Y: 1})}
}

// ofCylinder takes play at a cylinder's end for a change of its length: what it does across does not reach the tool.
func (mo *motion) ofCylinder(cylinder int) []nudged {
	return []nudged{func(by float64) ([]linkage.Place, []float64) {
		longer := make([]float64, len(mo.cylinders))
		longer[cylinder] = by
		return nil, longer
	}}
}
