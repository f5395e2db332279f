package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/frames"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// stiffest is the most that a part is made stiffer in a remedy.
const stiffest = 50

// A springing is how far a tool gives way in all that the machine is looked at in while it stands: by its links, which bend, and by the frame.
type springing struct {
	x       *examiner
	tool    int
	parts   []string // links by their name, and the frame
	links   []int    // bodies of those that are links
	levers  map[leverAt]func(p *linkage.Pose) (levers []r2.Vec, ok bool)
	known   map[leverIn][2]r2.Vec
	states  []sprung
	forces  linkage.Forces
	result  frames.Result
	members []linkage.Member
}

// A leverAt is a point of a body, shifted along x and y.
type leverAt struct{ body, point int }

// A leverIn is one in a pose: several moments have the same.
type leverIn struct {
	leverAt
	pose *linkage.Pose
}

// A sprung state of the machine, with what each part adds, m.
type sprung struct {
	in     *moment
	by     []r2.Vec
	levers []footing // where the machine stands on a frame
}

// A footing is a fixed point of the machine that is a joint of its frame: where the tool goes for a shift of 1 of it along x and y.
type footing struct {
	joint int
	along [2]r2.Vec
}

func (s *sprung) sum(part func(i int) float64) r2.Vec {
	var sum r2.Vec
	for i, v := range s.by {
		sum = r2.Add(sum, r2.Scale(part(i), v))
	}
	return sum
}

// asBuilt takes each part as stiff as it is.
func asBuilt(int) float64 { return 1 }

// springings judge how far each tool gives way under what the machine carries: where links have a section, or the machine stands on a frame.
func (x *examiner) springings() {
	mo := x.motion
	var links []int
	for i, name := range mo.links {
		if l := x.m.Links[name]; l.Section.Given() && !l.Ground.Value {
			links = append(links, i)
		}
	}
	if len(mo.cylinders) == 0 || len(links) == 0 && !x.m.Frame.Given() {
		return
	}
	for _, t := range x.toolPoints() {
		s := newSubject(x.m, "tool under load", t.point, x.m.Points[t.point].At)
		x.add(s)
		y := &springing{tool: mo.point(t.point), links: links, x: x, levers: map[leverAt]func(p *linkage.Pose) ([]r2.Vec, bool){}, known: map[leverIn][2]r2.Vec{}}
		if why := y.follow(); why != "" {
			s.open(why, "springs")
			continue
		}
		y.judge(s)
	}
}

// follow finds what each part adds in each state.
func (y *springing) follow() (why string) {
	x, mo := y.x, y.x.motion
	for _, body := range y.links {
		y.parts = append(y.parts, mo.links[body])
	}
	all := x.moments()
	if all.why != "" {
		return all.why
	}
	for _, r := range mo.runs {
		if r.Closing != nil || r.Extending != nil {
			return mo.cylinders[r.Lead] + " meets a dead point within its stroke, next to which a shift of a pivot has no bounds at the tool"
		}
	}
	var stiff *frames.Stiff
	if x.m.Frame.Given() {
		if x.bears == nil {
			return "how far the frame gives way is not known, which is told of the frame"
		}
		y.parts = append(y.parts, "the frame")
		stiff, _ = x.stood.stiff() // as it was when it bore all that
	}
	for i := range all.list {
		m := &all.list[i]
		if m.kind != atRest && m.kind != inPress {
			continue
		}
		state := sprung{in: m}
		for _, body := range y.links {
			by, why := y.bent(m, body)
			if why != "" {
				return why
			}
			state.by = append(state.by, by)
		}
		if stiff != nil {
			if state.levers, why = y.footings(m); why != "" {
				return why
			}
			state.by = append(state.by, y.shifted(&state, stiff))
		}
		y.states = append(y.states, state)
	}
	return ""
}

// lever is where the tool goes for a shift of 1 of a point of a body along x and y, with the body as drawn.
func (y *springing) lever(p *linkage.Pose, body, point int) (along [2]r2.Vec, why string) {
	at := leverAt{body, point}
	if along, known := y.known[leverIn{at, p}]; known {
		return along, ""
	}
	of := y.levers[at]
	if of == nil {
		if of, why = y.x.lever(y.tool, y.x.motion.onPin(body, point)); why != "" {
			return along, why
		}
		y.levers[at] = of
	}
	levers, ok := of(p)
	if !ok {
		return along, "the linkage has no lever " + y.x.motion.when(p) + ", where a shift of a pivot has no bounds at the tool"
	}
	along = [2]r2.Vec(levers)
	y.known[leverIn{at, p}] = along
	return along, ""
}

// bent is what the bending of a link adds: each of its points lies elsewhere than drawn, seen from its outermost pivots.
func (y *springing) bent(m *moment, body int) (by r2.Vec, why string) {
	x, mo := y.x, y.x.motion
	statics, names, err := mo.cases()
	if err != nil {
		return by, "the forces are not known: " + err.Error()
	}
	link, ok := mo.supported(statics[0], body)
	if !ok {
		return by, ""
	}
	points := mo.mechanism.Bodies[body].Points
	aside := make([]r2.Vec, len(points))
	section := x.m.Links[mo.links[body]].Section
	stiffness := x.elasticity(section) * section.Moment.SI
	for i, s := range statics {
		switch {
		case m.kind == inPress:
			if i > 0 {
				continue
			}
			s.PressGrip(m.grip, m.thrust, &y.forces)
		case i > 0 && !slices.Contains(m.loads, names[i]):
			continue
		default:
			if err := s.Hold(m.pose, linkage.Standing, &y.forces); err != nil {
				return by, "the forces are not known: " + err.Error()
			}
		}
		y.members = s.Members(body, linkage.Scene{Pose: m.pose}, &y.forces, y.members)
		link.follow(y.members, stiffness)
		for k, p := range points {
			aside[k] = r2.Add(aside[k], link.way[p])
		}
	}
	for k, p := range points {
		if r2.Norm(aside[k]) < fitOfDrawing*tieBreak {
			continue
		}
		along, why := y.lever(m.pose, body, p)
		if why != "" {
			return by, why
		}
		by = r2.Add(by, r2.Add(r2.Scale(aside[k].X, along[0]), r2.Scale(aside[k].Y, along[1])))
	}
	return by, ""
}

// footings are the levers of all joints of the frame that are fixed points of the machine.
func (y *springing) footings(m *moment) (list []footing, why string) {
	d, mo := y.x.stood, y.x.motion
	for body, name := range mo.links {
		if !y.x.m.Links[name].Ground.Value {
			continue
		}
		for _, p := range mo.mechanism.Bodies[body].Points {
			if joint := indexOf(d.joints, mo.points[p]); joint >= 0 {
				along, why := y.lever(m.pose, body, p)
				if why != "" {
					return nil, why
				}
				list = append(list, footing{joint, along})
			}
		}
	}
	return list, ""
}

// shifted is what the frame adds: each fixed point goes along with its joint, and what a press is held by goes along with the anvil.
func (y *springing) shifted(state *sprung, stiff *frames.Stiff) (by r2.Vec) {
	d, m := y.x.stood, state.in
	if d.put(m) != "" || stiff.Bear(d.loads, &y.result) != nil {
		return r2.Vec{X: math.NaN()} // never: the frame has borne all that
	}
	for _, f := range state.levers {
		way := y.result.Moves[f.joint].Way
		by = r2.Add(by, r2.Add(r2.Scale(way.X, f.along[0]), r2.Scale(way.Y, f.along[1])))
	}
	if m.kind == inPress && d.anvil >= 0 {
		arm := r2.Sub(m.pose.Points[y.x.motion.point(m.tool)], d.frame.Nodes[d.anvil].At)
		move := y.result.Moves[d.anvil]
		by = r2.Sub(by, r2.Add(move.Way, r2.Scale(move.Turn, r2.Vec{X: -arm.Y, Y: arm.X})))
	}
	return by
}

// judge sets the facts of the worst state.
func (y *springing) judge(s *Subject) {
	x := y.x
	way := 0.0
	for _, run := range x.motion.runs {
		length := 0.0
		for i := 1; i < len(run.Poses); i++ {
			length += r2.Norm(r2.Sub(run.Poses[i].Points[y.tool], run.Poses[i-1].Points[y.tool]))
		}
		way = max(way, length)
	}
	if way < stillRate {
		return // it stands still
	}
	allowed := strokePart * way
	most, at := y.worst(false, asBuilt)
	if at == nil {
		return
	}
	first, share := 0, math.Inf(-1)
	for i, v := range at.by {
		if of := r2.Dot(v, r2.Unit(at.sum(asBuilt))); of > share {
			first, share = i, of
		}
	}
	var from []schema.Input
	var remedy string
	if first < len(y.links) {
		from = []schema.Input{x.m.Links[y.parts[first]].Section.Moment}
		if most > allowed && !x.briefly {
			remedy = y.remedy(first, allowed)
		}
	} else {
		enough := func(*borneBy) (float64, bool) {
			stiff, err := x.stood.stiff()
			if err != nil {
				return 0, false
			}
			for i := range y.states {
				y.states[i].by[first] = y.shifted(&y.states[i], stiff)
			}
			by, _ := y.worst(false, asBuilt)
			return by, by <= allowed
		}
		from = x.stood.blamed(x.bears, enough)
		if most > allowed {
			remedy = x.stood.stiffer("lets "+s.Name+" spring", x.bears, enough)
		}
		enough(nil) // as it is
	}
	s.set("springs", schema.LengthDim, most, append(from, x.carried.from[at.in.cylinder]...)...)
	s.worst("springs", x.whenIn(at.in), rodsOut(at.in.pose)...)
	s.set("way", schema.LengthDim, way)
	s.set("springsAllowed", schema.LengthDim, allowed)
	s.text("springsMost", y.named(first))
	s.set("springsShare", schema.LengthDim, max(0, share))
	if remedy != "" {
		s.text("remedySprings", remedy)
	}
	if by, next := y.worst(true, asBuilt); next != nil && beyond(by, most) {
		leaveOpen(s, []*deadStretch{next.in.next}, "springs", "springsAllowed")
	}
}

// worst is the state in which the tool gives way most, of those next to dead points or of all others.
func (y *springing) worst(next bool, part func(i int) float64) (most float64, at *sprung) {
	for i := range y.states {
		if one := &y.states[i]; (one.in.next != nil) == next {
			if by := r2.Norm(one.sum(part)); at == nil || by > most*(1+tieBreak) {
				most, at = by, one
			}
		}
	}
	return most, at
}

// remedy is how many times as stiff the part must be that gives most, or all of them.
func (y *springing) remedy(first int, allowed float64) string {
	left := func(part func(i int) float64) float64 {
		by, _ := y.worst(false, part)
		return by
	}
	alone := func(times float64) func(i int) float64 {
		return func(i int) float64 {
			if i == first {
				return 1 / times
			}
			return 1
		}
	}
	if left(alone(stiffest)) <= allowed {
		low, high := 1.0, float64(stiffest)
		for high > low*1.001 {
			if middle := math.Sqrt(low * high); left(alone(middle)) <= allowed {
				high = middle
			} else {
				low = middle
			}
		}
		times := math.Ceil(high*10) / 10
		return fmt.Sprintf("Make %s %s times as stiff%s: it gives way by %s then", y.named(first), schema.Format(schema.NumberDim, times), y.moment(first, times), schema.Format(schema.LengthDim, left(alone(times))))
	}
	times := math.Ceil(left(asBuilt)/allowed*10) / 10
	if times > stiffest {
		return fmt.Sprintf("Bring what loads it nearer to what holds it, or lessen it: all of it would have to be %s times as stiff", schema.Format(schema.NumberDim, times))
	}
	var all []string
	for i := range y.parts {
		all = append(all, y.named(i)+y.moment(i, times))
	}
	return fmt.Sprintf("Make %s %s times as stiff: it gives way by %s then", inWords(all), schema.Format(schema.NumberDim, times), schema.Format(schema.LengthDim, left(asBuilt)/times))
}

func (y *springing) named(part int) string {
	if part < len(y.links) {
		return "`" + y.parts[part] + "`"
	}
	return y.parts[part]
}

// moment is the second moment of area with which a link is so many times as stiff.
func (y *springing) moment(part int, times float64) string {
	if part >= len(y.links) {
		return ""
	}
	return fmt.Sprintf(" (a section with %s)", schema.Format(schema.MomentDim, times*y.x.m.Links[y.parts[part]].Section.Moment.SI))
}
