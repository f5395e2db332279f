package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/people"
	"trammel.example/checks/space"
	"trammel.example/schema"
)

const (
	// placesApart in m is how far apart the places of an edge lie at which gaps are followed, beside its corners and the middles of rounds. Between two of
	// them the gap of what is straight is a line.
	placesApart = 10e-3
	// mostSteps of a stroke at which gaps are looked at. One that is least between two is taken for too wide by h²/8 times its curvature: by
	// 0.04 mm in a stroke of 100 mm whose gap follows a round of 100 mm.
	mostSteps = 17
	// benchThick in m is how thick the top of what the machine stands on is drawn: only its upper side counts.
	benchThick = 20e-3
)

// A pinch is a gap between two parts that people reach, and the place at which it closes on the largest part of the body, or comes nearest
// to doing so.
type pinch struct {
	parts  [2]string
	from   []schema.Input
	run    int
	strike space.Narrowing
	s      []float64 // stroke of the rod that leads the run, by step
	poses  []linkage.Pose
	step   int // of the least gap
	opens  float64
	least  float64
	enters people.Gap
	stop   float64 // stroke of the rod that leads at which all places of the gap are still wide enough; NaN where it closes the other way
}

// closingGaps gives the gaps that people reach, by zone: no pressure changes them. A zone with a guard has none.
func (x *examiner) closingGaps() map[string][]pinch {
	all := map[string][]pinch{}
	open := false
	for _, z := range x.m.People {
		open = open || !z.Guard.Given()
	}
	if !open || len(x.motion.cylinders) == 0 || x.motion.unknown() != "" {
		return all // that the motion is not known is said elsewhere
	}
	w := x.scenery(x.flat())
	w.hairs()
	w.bench()
	far := w.reachOf()
	for _, name := range sorted(x.m.People) {
		z := x.m.People[name]
		if z.Guard.Given() || !far.touches(x, z) {
			continue
		}
		all[name] = w.closings(z)
	}
	return all
}

// A Closing is a gap between two parts that closes on a part of the body which a zone's people can put into it.
type Closing struct {
	Zone    string
	Between string
	On      [2]r2.Vec // a place of each part where the gap is least, m
	Least   float64   // m
	Needed  float64   // for what gets in, m
	Part    string    // of the body
	When    string    // it is least
}

// Closings are the gaps of a machine without room for what gets into them, by zone, the tightest first.
func Closings(m *schema.Machine) []Closing {
	x := &examiner{m: m, motion: move(m)}
	if len(x.motion.faults) > 0 {
		return nil
	}
	var all []Closing
	gaps := x.closingGaps()
	for _, zone := range sorted(gaps) {
		all = append(all, x.narrow(zone, gaps[zone])...)
	}
	return all
}

// narrow are those of a zone's gaps that leave no room for what gets into them.
func (x *examiner) narrow(zone string, gaps []pinch) []Closing {
	var all []Closing
	for i := range gaps {
		if c := &gaps[i]; c.short() > 0 {
			all = append(all, Closing{zone, c.between(), c.strike.On[c.step], c.least, c.enters.Least, bodyPart(c.enters.Part), x.motion.rodOut(c.run, c.s[c.step])})
		}
	}
	slices.SortStableFunc(all, func(a, b Closing) int { return cmp.Compare(b.Needed-b.Least, a.Needed-a.Least) })
	return all
}

// bench draws the top of what the machine stands on.
func (w *scenery) bench() {
	b := w.x.m.Base
	if !b.Given() {
		return
	}
	from, to := b.Feet.From.SI, b.Feet.To.SI
	if b.Bench.Given() {
		from, to = b.Bench.From.SI, b.Bench.To.SI
	}
	on := w.standing("the bench")
	if on < 0 {
		return
	}
	y := b.Feet.Y.SI
	outline, err := space.Polygon(w.placed(on, []r2.Vec{{X: from, Y: y - benchThick}, {X: to, Y: y - benchThick}, {X: to, Y: y}, {X: from, Y: y}})...)
	if err == nil {
		w.figures = append(w.figures, figure{part: "the bench", carrier: on, outline: outline, blame: b.Feet.Y})
	}
}

// An extent is the box around all that is drawn, over all strokes.
type extent struct{ low, high r2.Vec }

func (w *scenery) reachOf() extent {
	e := extent{r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	sizes := make([]float64, len(w.carriers))
	for i := range w.figures {
		f := &w.figures[i]
		sizes[f.carrier] = max(sizes[f.carrier], f.outline.Farthest())
	}
	for run := range w.x.motion.runs {
		for _, poses := range w.motionOf(run).Poses {
			for i, p := range poses {
				size := r2.Vec{X: sizes[i], Y: sizes[i]}
				low, high := r2.Sub(p.At, size), r2.Add(p.At, size)
				e.low = r2.Vec{X: min(e.low.X, low.X), Y: min(e.low.Y, low.Y)}
				e.high = r2.Vec{X: max(e.high.X, high.X), Y: max(e.high.Y, high.Y)}
			}
		}
	}
	return e
}

// touches says whether people of a zone can get to anything in the box at all.
func (e extent) touches(x *examiner, z schema.Zone) bool {
	if len(z.Reaches) > 0 {
		return true
	}
	if z.Stays.Given() {
		from := x.motion.mechanism.Points[x.motion.point(z.Stays.From.Value)]
		farthest := math.Hypot(max(from.X-e.low.X, e.high.X-from.X), max(from.Y-e.low.Y, e.high.Y-from.Y))
		if !(farthest < z.Stays.Away.SI) {
			return true
		}
	}
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, c := range z.Area {
		low = r2.Vec{X: min(low.X, c.X.SI), Y: min(low.Y, c.Y.SI)}
		high = r2.Vec{X: max(high.X, c.X.SI), Y: max(high.Y, c.Y.SI)}
	}
	return low.X <= e.high.X && high.X >= e.low.X && low.Y <= e.high.Y && high.Y >= e.low.Y
}

// A group is what moves as one part: a link with the heads and nuts that turn with it, a barrel, a rod's tube, and what sits on its end.
type group struct {
	name    string
	carrier *carrier
	on      int     // the same, as poses count; the carriers of one part move as one
	tube    bool    // of a rod
	thick   float64 // widest of its bars, m: places are in their middle
	size    float64 // how far it gets from its frame's origin, m
	shapes  []int
	blame   []schema.Input
}

// groups sorts the figures by what they move with. No layer of one that has none keeps others away.
func (w *scenery) groups() (space.Scene, []group) {
	all := interval{-1, 1}
	figures := slices.Clone(w.figures)
	for i := range figures {
		if len(figures[i].layers) == 0 {
			figures[i].layers = []interval{all}
		}
	}
	scene, of := w.scene(figures)
	var groups []group
	for i, k := range of {
		f := &figures[k]
		c := &w.carriers[f.carrier]
		tube := c.rod && f.width == 0
		name := c.body
		if c.turns {
			name += map[bool]string{true: " rod", false: " barrel"}[c.rod]
		}
		at := slices.IndexFunc(groups, func(g group) bool { return g.name == name && g.tube == tube })
		if at < 0 {
			at = len(groups)
			groups = append(groups, group{name: name, carrier: c, on: f.carrier, tube: tube})
		}
		g := &groups[at]
		g.shapes, g.size = append(g.shapes, i), max(g.size, f.outline.Farthest())
		g.thick = max(g.thick, f.width/2)
		if f.blame != nil && len(g.blame) == 0 {
			g.blame = []schema.Input{f.blame}
		}
	}
	return scene, groups
}

// closings are the gaps that a zone's people reach, one for each two parts.
func (w *scenery) closings(z schema.Zone) []pinch {
	scene, groups := w.groups()
	reach, widest := w.x.reached(z), people.Largest(atRisk(z))+ofInterest
	worst := map[[2]int]*pinch{}
	for run := range w.x.motion.runs {
		if len(w.x.motion.runs[run].Poses) < 2 {
			continue
		}
		motion := everyOther(w.motionOf(run), mostSteps)
		edges, err := space.NewEdges(scene, motion, placesApart)
		if err != nil {
			continue // the same scene and motion went through the search for parts that hit each other, which says so
		}
		poses := w.posesAt(run, motion.S)
		var within []int // the groups that they get to
		for i := range groups {
			g := &groups[i]
			for k, p := range motion.Poses {
				if reach.near(p[g.on].At, widest+g.size, &poses[k]) {
					within = append(within, i)
					break
				}
			}
		}
		for n, i := range within {
			for _, k := range within[:n] {
				a, b := &groups[k], &groups[i]
				switch {
				case a.carrier.ground && b.carrier.ground:
					continue
				case a.carrier.body == b.carrier.body && (a.carrier.rod == b.carrier.rod || a.tube || b.tube):
					continue // they are one, or a rod in its barrel
				case !nears(motion.Poses, a, b, widest):
					continue
				}
				c := pinching(edges, motion.S, poses, a, b, atRisk(z), widest, reach)
				if known := worst[[2]int{k, i}]; c != nil && (known == nil || c.short() > known.short()) {
					c.run, c.parts, c.from = run, [2]string{a.name, b.name}, slices.Concat(a.blame, b.blame)
					worst[[2]int{k, i}] = c
				}
			}
		}
	}
	var found []pinch
	for i := range groups {
		for k := range i {
			c := worst[[2]int{k, i}]
			if c == nil {
				continue
			}
			at := slices.IndexFunc(found, func(o pinch) bool { return o.parts == c.parts }) // a rod's tube and its end have one name
			switch {
			case at < 0:
				found = append(found, *c)
			case c.short() > found[at].short():
				found[at] = *c
			}
		}
	}
	return found
}

// everyOther leaves out steps of a motion between its ends, to a number at most.
func everyOther(m space.Motion, most int) space.Motion {
	last := len(m.S) - 1
	if last < most {
		return m
	}
	var out space.Motion
	for i := range most {
		k := i * last / (most - 1)
		out.S, out.Poses = append(out.S, m.S[k]), append(out.Poses, m.Poses[k])
	}
	return out
}

// nears says whether two parts move against each other, and may come nearer than a distance.
func nears(steps [][]space.Pose, a, b *group, distance float64) bool {
	moves, nearest := false, math.Inf(1)
	for _, poses := range steps {
		p, q := poses[a.on], poses[b.on]
		moves = moves || p != steps[0][a.on] || q != steps[0][b.on]
		nearest = min(nearest, r2.Norm(r2.Sub(q.At, p.At)))
	}
	return moves && nearest < a.size+b.size+distance
}

// short is what the gap lacks, below zero where it is wide enough.
func (c *pinch) short() float64 { return c.enters.Least - c.least }

// atRisk is the largest part of the body that gets to a zone's gaps: an arm of who only touches points.
func atRisk(z schema.Zone) string {
	switch {
	case z.AtRisk.Given():
		return z.AtRisk.Value
	case len(z.Area) == 0 && !z.Stays.Given():
		return "arm"
	}
	return "body"
}

func bodyPart(part string) string {
	switch part {
	case "body":
		return "the whole body"
	case "toes":
		return part
	case "arm":
		return "an arm"
	}
	return "a " + part
}

// pinching follows the gap of two parts over a run, up to a width.
func pinching(edges *space.Edges, strokes []float64, poses []linkage.Pose, a, b *group, atRisk string, widest float64, reach *reached) *pinch {
	margin := widest + max(a.thick, b.thick)
	places, err := edges.Narrowings(a.shapes, b.shapes, widest, func(k int, at r2.Vec) bool { return reach.near(at, margin, &poses[k]) })
	if err != nil {
		return nil // not with shapes of the scene itself
	}
	var worst *pinch
	tight := make([]int, 0, len(strokes))
	stop, stops := math.Inf(1), true
	for _, p := range places {
		opens, tight := 0.0, tight[:0] // steps
		for k, g := range p.Gap {
			if math.IsNaN(g) {
				continue
			}
			opens = max(opens, g)
			if g < widest {
				tight = append(tight, k)
			}
		}
		part, enters := people.Enters(opens, atRisk)
		if !enters {
			continue
		}
		slices.SortStableFunc(tight, func(k, l int) int { return cmp.Compare(p.Gap[k], p.Gap[l]) })
		first := slices.IndexFunc(tight, func(k int) bool { return reach.line(p.On[k][0], p.On[k][1], &poses[k]) })
		if first < 0 {
			continue // they don't get to where there is not room for all
		}
		step := tight[first]
		least := p.Gap[step]
		if opens-least < tolerance {
			continue // nothing closes
		}
		c := pinch{strike: p, s: strokes, poses: poses, step: step, opens: opens, least: least, enters: part}
		if c.short() > tolerance {
			last := c.wideUntil()
			stops, stop = stops && !math.IsNaN(last), min(stop, last)
		}
		if worst == nil || c.short() > worst.short()+tolerance {
			worst = &c
		}
	}
	if worst != nil {
		worst.stop = stop
		if !stops {
			worst.stop = math.NaN()
		}
	}
	return worst
}

// posesAt are the poses of a run at the strokes of its steps.
func (w *scenery) posesAt(run int, strokes []float64) []linkage.Pose {
	all := w.x.motion.runs[run].Poses
	out := make([]linkage.Pose, len(strokes))
	for i, s := range strokes {
		k, _ := slices.BinarySearchFunc(all, s, func(p linkage.Pose, s float64) int { return cmp.Compare(p.Stroke, s) })
		out[i] = all[min(k, len(all)-1)]
	}
	return out
}

// wideUntil is the stroke up to which the rod may come out for the gap to stay wide enough; NaN where that is not what closes it.
func (c *pinch) wideUntil() float64 {
	g, need := c.strike.Gap, c.enters.Least
	for k := range g {
		if math.IsNaN(g[k]) || g[k] >= need {
			continue
		}
		if k == 0 || math.IsNaN(g[k-1]) {
			return math.NaN()
		}
		return c.s[k-1] + (c.s[k]-c.s[k-1])*(g[k-1]-need)/(g[k-1]-g[k])
	}
	return math.NaN()
}

// A reached says where a zone's people get to: where they stand, from how near they come on, or with a hand round a point that they touch.
type reached struct {
	area    *space.Outline
	corners []r2.Vec // its own
	middle  r2.Vec   // of a circle around it
	radius  float64
	kept    int // point that they keep away from
	away    float64
	stays   bool
	touched []int // points
}

func (x *examiner) reached(z schema.Zone) *reached {
	r := &reached{stays: z.Stays.Given(), away: z.Stays.Away.SI}
	if len(z.Area) > 0 {
		corners := make([]r2.Vec, len(z.Area))
		for i, c := range z.Area {
			corners[i] = r2.Vec{X: c.X.SI, Y: c.Y.SI}
		}
		if o, err := space.Polygon(corners...); err == nil {
			r.area, r.corners = &o, corners
			for _, c := range corners {
				r.middle = r2.Add(r.middle, r2.Scale(1/float64(len(corners)), c))
			}
			for _, c := range corners {
				r.radius = max(r.radius, r2.Norm(r2.Sub(c, r.middle)))
			}
		}
	}
	if r.stays {
		r.kept = x.motion.point(z.Stays.From.Value)
	}
	for _, p := range z.Reaches {
		r.touched = append(r.touched, x.motion.point(p.Value))
	}
	return r
}

// line says whether they get to a line between two parts in a pose.
func (r *reached) line(from, to r2.Vec, pose *linkage.Pose) bool {
	if r.area != nil && r.area.Within(from, to) <= 0 {
		return true
	}
	if r.stays && max(r2.Norm(r2.Sub(from, pose.Points[r.kept])), r2.Norm(r2.Sub(to, pose.Points[r.kept]))) >= r.away {
		return true
	}
	return slices.ContainsFunc(r.touched, func(i int) bool { return fromLine(pose.Points[i], from, to) <= people.HandReach })
}

// near says whether they get within a distance of a point in a pose. Where they reach a gap of that width, they get so near to both of its sides.
func (r *reached) near(at r2.Vec, distance float64, pose *linkage.Pose) bool {
	if r.stays && r2.Norm(r2.Sub(at, pose.Points[r.kept])) >= r.away-distance {
		return true
	}
	for _, i := range r.touched {
		if r2.Norm(r2.Sub(at, pose.Points[i])) <= people.HandReach+distance {
			return true
		}
	}
	return r.area != nil && r2.Norm(r2.Sub(at, r.middle)) <= r.radius+distance && r.area.Within(at, at) <= distance
}

// closing gives the facts of the gap of a zone that lacks most, with what the cylinders do there at the pressure set, and names the others.
func (x *examiner) closing(s *Subject, zone string, z schema.Zone) {
	if x.closings == nil {
		x.closings = x.closingGaps()
	}
	gaps := x.closings[zone]
	if len(gaps) == 0 {
		return
	}
	if !z.AtRisk.Given() {
		x.assume(s, "people."+zone+".atRisk", atRisk(z), "common practice: an arm of who only touches points, else all of who is there")
	}
	// The one to speak of: of those that squeeze too hard, or else of all, the one that lacks most.
	c, held := &gaps[0], x.squeezed(&gaps[0], z)
	for i := range gaps[1:] {
		o := &gaps[1+i]
		if h := x.squeezed(o, z); h.hard() != held.hard() && h.hard() || h.hard() == held.hard() && o.short() > c.short() {
			c, held = o, h
		}
	}
	s.Closings = x.narrow(zone, gaps)
	from := append([]schema.Input{whereabouts(z)}, c.from...)
	s.set("gapLeast", schema.LengthDim, c.least, from...)
	s.worst("gapLeast", x.motion.rodOut(c.run, c.s[c.step]), x.motion.rodsAt(c.run, c.s[c.step])...)
	s.set("gapOpens", schema.LengthDim, c.opens, from...)
	s.set("gapNeeded", schema.LengthDim, c.enters.Least)
	s.text("gapPart", bodyPart(c.enters.Part))
	s.text("gapBetween", c.between())
	s.text("gapNear", x.nearPoint(c))
	s.text("gapStrikes", x.strikes(s, c, &held, z))
	s.text("gapRemedy", x.gapRemedy(c, &held, z))
	var more []string
	for i := range gaps {
		if o := &gaps[i]; o != c && o.short() > 0 {
			more = append(more, fmt.Sprintf("%s (%s to %s)", o.between(), schema.Format(schema.LengthDim, o.opens), schema.Format(schema.LengthDim, o.least)))
		}
	}
	text := "No other gap there closes so far"
	if len(more) > 0 {
		text = "So do others there: " + strings.Join(more, ", ")
	}
	s.text("gapsMore", text)
}

func (c *pinch) between() string { return c.parts[0] + " and " + c.parts[1] }

// nearPoint says where a gap closes: how far from the nearest named point.
func (x *examiner) nearPoint(c *pinch) string {
	on := c.strike.On[c.step]
	middle := r2.Scale(0.5, r2.Add(on[0], on[1]))
	name, least := "", math.Inf(1)
	for i, p := range c.poses[c.step].Points {
		if d := r2.Norm(r2.Sub(p, middle)); d < least-tolerance {
			name, least = x.motion.points[i], d
		}
	}
	return schema.Format(schema.LengthDim, least) + " from point " + name
}

// whereabouts is the value that says where a zone's people are, or who touches points.
func whereabouts(z schema.Zone) schema.Input {
	switch {
	case len(z.Area) > 0:
		return z.Area[0].X
	case z.Stays.Given():
		return z.Stays.Away
	}
	return z.Who
}

// A squeeze is how hard and how fast a gap closes where it is too narrow for what it lets in, at the pressure set.
type squeeze struct {
	force float64 // N, where it is worst against what the part of the body there bears
	holds people.Hold
	speed float64        // m/s, the highest
	paced []schema.Input // what that comes from; nothing where it is not known
	why   string         // the force is not known
	from  []schema.Input
}

// hard says whether it is known to be more than a body bears.
func (q *squeeze) hard() bool { return q.why == "" && q.force > q.holds.Limit }

// squeezed follows a gap that lacks room; one that leaves it squeezes nothing.
func (x *examiner) squeezed(c *pinch, z schema.Zone) squeeze {
	var q squeeze
	if c.short() <= 0 {
		return q
	}
	r := &x.motion.runs[c.run]
	paces := x.pacesOf(r)
	// The fastest that the rod is between two of its strokes, and in the poses on both sides of them.
	between := func(low, high float64) (fastest pace) {
		pose := func(s float64) int {
			return sort.Search(len(r.Poses), func(i int) bool { return r.Poses[i].Stroke >= s })
		}
		for _, p := range paces[max(0, pose(low)-1):min(len(paces), pose(high)+1)] {
			if p.rod > fastest.rod {
				fastest = p
			}
		}
		return fastest
	}
	q.holds, _ = people.Held(c.opens, c.least, atRisk(z))
	for k := 0; k+1 < len(c.s); k++ {
		g, h := c.strike.Gap[k], c.strike.Gap[k+1]
		if math.IsNaN(g) || math.IsNaN(h) || min(g, h) > c.enters.Least {
			continue
		}
		rate := (h - g) / (c.s[k+1] - c.s[k])
		if math.Abs(rate) < stillRate {
			continue
		}
		if p := between(c.s[k], c.s[k+1]); p.rod*math.Abs(rate) > q.speed {
			q.speed, q.paced = p.rod*math.Abs(rate), p.from
		}
		// By virtual work: the gap closes on the way out where it falls, and on the way in where it grows.
		pushed := 0.0
		for i, name := range x.motion.cylinders {
			if !r.moves(i) {
				continue
			}
			y := x.m.Cylinders[name]
			way := (c.poses[k+1].Cylinders[i].Stroke - c.poses[k].Cylinders[i].Stroke) / (c.s[k+1] - c.s[k])
			thrust, from, why := x.thrustThere(name, (rate < 0) == (way > 0))
			if why != "" {
				q.why = why
				continue
			}
			pushed += thrust * math.Abs(way)
			q.from = append(append(q.from, y.Bore), from...)
		}
		force := pushed / math.Abs(rate)
		if held, ok := people.Held(c.opens, min(g, h), atRisk(z)); ok && force*q.holds.Limit > q.force*held.Limit {
			q.force, q.holds = force, held
		}
	}
	q.from = slices.Compact(q.from)
	return q
}

// thrustThere is what a cylinder pushes with at the pressure set, N, on the way out or in; or why that is not known.
func (x *examiner) thrustThere(cylinder string, out bool) (float64, []schema.Input, string) {
	y := x.m.Cylinders[cylinder]
	zone, why := x.air.at(cylinder)
	if why += zone.why; why != "" {
		return 0, nil, why
	}
	push, pull := pistonAreas(y)
	switch {
	case out:
		return zone.pressure * push, zone.from, ""
	case y.Acting.Value == "single" && !y.Compressed.Given():
		return 0, nil, "no air brings the rod of " + cylinder + " back, and what its spring pushes with, pressed, is not given"
	case y.Acting.Value == "single":
		return y.Compressed.SI, []schema.Input{y.Compressed}, ""
	case math.IsNaN(pull):
		return 0, nil, "the rod of " + cylinder + " is not given: add `rod: mm: …`"
	}
	return zone.pressure * pull, zone.from, ""
}

// strikes gives the facts of how fast and how hard a gap closes where it is too narrow for what it lets in, and says so in words.
func (x *examiner) strikes(s *Subject, c *pinch, q *squeeze, z schema.Zone) string {
	s.flag("gapGentle", !q.hard(), whereabouts(z))
	if c.short() <= 0 {
		return "and leaves it room"
	}
	words := "with a force that is not known (" + q.why + ")"
	if q.why != "" {
		s.open(q.why, "gapForce")
	} else {
		s.set("gapForce", schema.ForceDim, q.force, append([]schema.Input{whereabouts(z)}, q.from...)...)
		s.worst("gapForce", x.motion.rodOut(c.run, c.s[c.step]), x.motion.rodsAt(c.run, c.s[c.step])...)
		s.set("gapForceMost", schema.ForceDim, q.holds.Limit)
		s.text("gapHolds", q.holds.Name)
		words = "with " + schema.Format(schema.ForceDim, q.force)
	}
	if len(q.paced) == 0 {
		const unknown = "how long the stroke takes is not given: add `time: s: …` as you set it with the flow controls"
		s.open(unknown, "gapSpeed")
		return words
	}
	s.set("gapSpeed", schema.SpeedDim, q.speed, q.paced...)
	return words + ", at up to " + schema.Format(schema.SpeedDim, q.speed)
}

// gapRemedy names what meets the least gap.
func (x *examiner) gapRemedy(c *pinch, q *squeeze, z schema.Zone) string {
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	leave := "Leave " + mm(c.enters.Least) + " or more between them there"
	if way := c.s[len(c.s)-1] - c.s[0]; c.stop > c.s[0]+way/2 && c.stop <= c.s[len(c.s)-1] {
		at := math.Floor(c.stop/step) * step
		leave += ", as stopping the rod of " + x.motion.cylinders[x.motion.runs[c.run].Lead] + " at " + mm(at) + " does"
	}
	offers := []string{leave}
	// A smaller part that gets in may be left room enough by what is left.
	if limit, ok := people.NextAbove(c.least, atRisk(z)); ok && c.short() > 0 {
		offers = append(offers, "keep it from opening as far as "+mm(limit.Least))
	}
	if p := pressureFor(q.force, q.holds.Limit, q.from); q.hard() && p > 0 {
		offers = append(offers, "set "+schema.Format(schema.PressureDim, math.Floor(p/pressureStep)*pressureStep)+" or less, if the load allows, for "+q.holds.Name)
	}
	return strings.Join(append(offers, "put up "+guardAdvice(z)), ", or ")
}
