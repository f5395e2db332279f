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
	// spacingAllowed in m is by how much the pivots of a link may be made nearer or farther than drawn: what a saw and a ruler give.
	// Common practice, no source.
	spacingAllowed = 0.5e-3
	// cutStep is to what a cut length is given, and toleranceStep its tolerance. m.
	cutStep       = 0.1e-3
	toleranceStep = 0.01e-3
)

// An asMade is the linkage with its links as they are cut and put together.
type asMade struct {
	motion  *motion
	m       *schema.Machine
	links   []string // of each spacing
	parts   made.Parts
	machine *made.Machine
	why     string // why there is none
	stops   bool   // with these lengths it does not go through its stroke
}

// made judges the links as they are cut and put together against the drawing, and what the machine does with them.
func (x *examiner) made() {
	a := &asMade{motion: x.motion, m: x.m}
	for _, name := range x.motion.links {
		if l := x.m.Links[name]; l.Made.Given() {
			sp := x.spacing(name, l)
			a.links, a.parts.Spacings = append(a.links, name), append(a.parts.Spacings, sp)
			x.madeLink(name, l, sp)
		}
		x.sheetLink(name)
	}
	if a.why = x.motion.whyNot(); a.why == "" && len(a.links) > 0 {
		m, err := made.New(x.motion.solver, a.parts)
		if err != nil {
			a.why = err.Error()
		}
		a.machine = m
	}
	x.madeLinkage(a)
	x.tools(a)
}

func (a *asMade) drawn(sp made.Spacing) float64 {
	at := a.motion.solver.Mechanism().Points
	return r2.Norm(r2.Sub(at[sp.To], at[sp.From]))
}

// inputs are the sizes of one spacing first, then the other cut lengths.
func (a *asMade) inputs(first int) []schema.Input {
	of := a.m.Links[a.links[first]].Made
	from := []schema.Input{of.Cut}
	for _, add := range of.Adds {
		from = append(from, add)
	}
	for i, link := range a.links {
		if i != first {
			from = append(from, a.m.Links[link].Made.Cut)
		}
	}
	return from
}

// worstOff is the spacing that may be farthest from the drawing, and by how much.
func (a *asMade) worstOff() (first int, off float64) {
	for i, sp := range a.parts.Spacings {
		as, drawn := sp.Made(), a.drawn(sp)
		if o := max(math.Abs(as.Most-drawn), math.Abs(as.Least-drawn)); o > off*(1+tieBreak) {
			first, off = i, o
		}
	}
	return first, off
}

// nearer are the spacings with all that they are off, tolerances too, brought to a part.
func (a *asMade) nearer(part float64) made.Parts {
	var p made.Parts
	for _, sp := range a.parts.Spacings {
		as, drawn := sp.Made(), a.drawn(sp)
		to := func(v float64) float64 { return drawn + part*(v-drawn) }
		p.Spacings = append(p.Spacings, made.Spacing{Body: sp.Body, From: sp.From, To: sp.To, Cut: made.Span{Nominal: to(as.Nominal), Least: to(as.Least), Most: to(as.Most)}})
	}
	return p
}

// within finds how far off the worst spacing may be, with the others in proportion, for what is asked to hold. It is given in steps, and
// 0 where none will do.
func (a *asMade) within(holds func(m *made.Machine) bool) float64 {
	_, off := a.worstOff()
	good := func(step int) bool {
		m, err := made.New(a.motion.solver, a.nearer(float64(step)*toleranceStep/off))
		return err == nil && holds(m)
	}
	low, high := 0, int(math.Ceil(off/toleranceStep))
	for high-low > 1 {
		if middle := (low + high) / 2; good(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return float64(low) * toleranceStep
}

// madeLinkage judges whether the linkage goes together and moves with the lengths as made.
func (x *examiner) madeLinkage(a *asMade) {
	mo := x.motion
	if mo.solver == nil || len(mo.cylinders) == 0 {
		return // which is told of the linkage as drawn
	}
	repeats := mo.solver.Mobility().Redundant
	if len(a.links) == 0 && repeats == 0 {
		return
	}
	s := newSubject(x.m, "made linkage", x.m.Name, x.m.At)
	x.add(s)
	switch {
	case a.why != "":
		s.open(a.why, "takesStroke", "clearanceNeeded")
		return
	case len(a.links) == 0:
		s.open(fmt.Sprintf("links repeat each other at %s, so that they bind if they are unequal, and how long they are made is not written: add `made: {cut: …, adds: […]}` to each",
			mo.names(mo.solver.Mobility().Repeats, mo.points)), "clearanceNeeded")
		return
	}
	first, off := a.worstOff()
	blocked, where, err := a.blocked(a.machine)
	if err != nil {
		s.open(err.Error(), "takesStroke", "clearanceNeeded")
		return
	}
	a.stops = blocked
	s.flag("takesStroke", !blocked, a.inputs(first)...)
	s.set("offMost", schema.LengthDim, off, a.inputs(first)...)
	if blocked {
		s.text("stopsAt", where)
		a.remedy(s, first, func(m *made.Machine) bool {
			blocked, _, err := a.blocked(m)
			return err == nil && !blocked
		})
		return
	}
	if repeats > 0 {
		x.binding(s, a)
	}
}

// blocked reports whether there is a pose that the linkage can't take with sizes at their limits, and which.
func (a *asMade) blocked(m *made.Machine) (bool, string, error) {
	body := slices.IndexFunc(a.motion.links, func(l string) bool { return !a.m.Links[l].Ground.Value })
	some := made.Tool{Point: a.motion.point(a.m.Links[a.motion.links[body]].Points[0].Value), Body: body}
	for _, poses := range a.motion.samples() {
		aim, err := m.Aim(poses, some)
		if err != nil {
			return false, "", err
		}
		if len(aim.Blocked) > 0 {
			b := aim.Blocked[0]
			var sizes []string
			for i, link := range a.links {
				sizes = append(sizes, link+" "+schema.Format(schema.LengthDim, b.Sizes[i]))
			}
			return true, fmt.Sprintf("With the rod of %s out by %s, and %s from pivot to pivot", a.motion.cylinders[poses[0].Lead], schema.Format(schema.LengthDim, b.Stroke), inWords(sizes)), nil
		}
	}
	return false, "", nil
}

// binding compares what unequal links need with the clearances of the pivots.
func (x *examiner) binding(s *Subject, a *asMade) {
	mo := x.motion
	on := made.Pivots{Play: make([]float64, len(mo.points))}
	for i, point := range mo.points {
		hub := x.hub(point)
		others := slices.DeleteFunc(slices.Clone(mo.links), func(l string) bool { return l == hub || !goesThrough(x.m.Links[l], point) })
		if len(others) == 0 {
			continue
		}
		onHub, why := x.clearance(point, hub)
		least := math.Inf(1)
		for _, body := range others {
			c, whyNot := x.clearance(point, body)
			if why == "" {
				why = whyNot
			}
			least = min(least, c.Nominal+onHub.Nominal)
		}
		if why != "" {
			s.open(why, "clearanceNeeded")
			return
		}
		on.Play[i] = least / 2
	}
	worst := func(m *made.Machine) (need made.Need, at *linkage.Pose, err error) {
		for _, poses := range mo.samples() {
			fit, err := m.Fit(poses, on)
			if err != nil {
				return need, nil, err
			}
			if fit.Worst.Play > need.Play {
				need, at = fit.Worst, poseOutBy(poses, fit.Worst.PlayAt)
			}
		}
		return need, at, nil
	}
	need, at, err := worst(a.machine)
	if err != nil {
		s.open(err.Error(), "clearanceNeeded")
		return
	}
	first, _ := a.worstOff()
	s.set("gap", schema.LengthDim, need.Gap, a.inputs(first)...)
	s.set("clearanceNeeded", schema.LengthDim, 2*need.Play, a.inputs(first)...)
	if at != nil {
		s.worst("clearanceNeeded", mo.when(at), rodsOut(at)...)
	}
	has := 0.0
	switch {
	case need.Share == 0:
		has = 2 * slices.Max(on.Play)
	case !math.IsInf(need.Share, 1):
		has = 2 * need.Play / need.Share
	}
	s.set("clearance", schema.LengthDim, has)
	s.text("repeats", mo.names(mo.solver.Mobility().Repeats, mo.points))
	if need.Share > 1 {
		a.remedy(s, first, func(m *made.Machine) bool {
			need, _, err := worst(m)
			return err == nil && need.Share <= 1
		})
	}
}

// remedy says how near to the drawing the lengths must be made for what is asked to hold.
func (a *asMade) remedy(s *Subject, first int, holds func(m *made.Machine) bool) {
	within := a.within(holds)
	s.set("within", schema.LengthDim, within, a.inputs(first)...)
	text := "Make the pivot spacings to within " + schema.Format(schema.LengthDim, within) + " of the drawing (drill links that shall be alike together, in one clamping)"
	if within == 0 {
		text = "Drill the links together, in one clamping, so that their pivots are alike"
	}
	s.text("remedyLengths", text)
}

// spacing is how the distance between two pivots of a link comes about, by the indexes of the linkage.
func (x *examiner) spacing(name string, l schema.Link) made.Spacing {
	between := l.Made.Between
	if len(between) == 0 {
		between = l.Points
	}
	s := made.Spacing{
		Body: x.motion.link(name), From: x.motion.point(between[0].Value), To: x.motion.point(between[1].Value),
		Cut: made.Span{Nominal: l.Made.Cut.SI, Least: l.Made.Cut.Least, Most: l.Made.Cut.Most},
	}
	for _, a := range l.Made.Adds {
		s.Adds = append(s.Adds, made.Span{Nominal: a.SI, Least: a.Least, Most: a.Most})
	}
	return s
}

func (x *examiner) madeLink(name string, l schema.Link, sp made.Spacing) {
	s := newSubject(x.m, "made link", name, l.Made.At)
	x.add(s)
	from := []schema.Input{l.Made.Cut}
	for _, a := range l.Made.Adds {
		from = append(from, a)
	}
	between := []string{x.motion.points[sp.From], x.motion.points[sp.To]}
	a, b := x.m.Points[between[0]], x.m.Points[between[1]]
	drawn := math.Hypot(a.X.SI-b.X.SI, a.Y.SI-b.Y.SI)
	as := sp.Made()
	ends := as.Nominal - sp.Cut.Nominal
	off := as.Nominal - drawn
	s.text("between", inWords(between))
	s.set("drawn", schema.LengthDim, drawn, a.X, a.Y, b.X, b.Y)
	s.set("cut", schema.LengthDim, sp.Cut.Nominal, l.Made.Cut)
	s.set("ends", schema.LengthDim, ends, from[1:]...)
	s.set("made", schema.LengthDim, as.Nominal, from...)
	s.set("off", schema.LengthDim, math.Abs(off), from...)
	s.text("offWay", map[bool]string{true: "too long", false: "too short"}[off > 0])
	play := 0.0
	for _, point := range between {
		if c, why := x.clearance(point, name); why == "" {
			play += c.Least / 2
		}
	}
	allowed := max(spacingAllowed, play)
	s.set("offAllowed", schema.LengthDim, allowed)
	s.text("remedyCut", remedyCut(sp, drawn))
	if math.Abs(off) > allowed {
		return // the tolerance matters once the length is right
	}
	s.set("offMost", schema.LengthDim, max(as.Most-drawn, drawn-as.Least), from...)
	s.text("remedyTolerance", remedyTolerance(sp, drawn, allowed))
}

// remedyCut is the length to cut for the drawn spacing. It is given as a saw is set; where that misses by too much, as it comes out.
func remedyCut(sp made.Spacing, drawn float64) string {
	ends := sp.Made().Nominal - sp.Cut.Nominal
	cut := drawn - ends
	if cut < spacingAllowed {
		return fmt.Sprintf("Take ends that add less: what they add, %s, leaves nothing to cut of the %s drawn",
			schema.Format(schema.LengthDim, ends), schema.Format(schema.LengthDim, drawn))
	}
	sp.Cut = made.Exactly(math.Round(cut/cutStep) * cutStep)
	if math.Abs(sp.Made().Nominal-drawn) > spacingAllowed {
		sp.Cut = made.Exactly(cut)
	}
	return "Cut it " + schema.Format(schema.LengthDim, sp.Cut.Nominal) + " long"
}

// remedyTolerance says how well the cut, and if need be the ends, must be held for a spacing within what is allowed.
func remedyTolerance(sp made.Spacing, drawn, allowed float64) string {
	down := func(v float64) float64 { return math.Floor(v/toleranceStep+1e-6) * toleranceStep }
	fits := func(sp made.Spacing) bool {
		as := sp.Made()
		return max(as.Most-drawn, drawn-as.Least) <= allowed+rounding
	}
	ends := sp
	ends.Cut = made.Exactly(sp.Cut.Nominal)
	as := ends.Made()
	if hold := down(allowed - max(as.Most-drawn, drawn-as.Least)); hold > toleranceStep {
		ends.Cut = made.Within(sp.Cut.Nominal, hold)
		if fits(ends) {
			return "Hold the cut length within ±" + schema.Format(schema.LengthDim, hold)
		}
	}
	hold := down((allowed - math.Abs(as.Nominal-drawn)) / float64(len(sp.Adds)+1))
	all := made.Spacing{Cut: made.Within(sp.Cut.Nominal, hold)}
	for _, a := range sp.Adds {
		all.Adds = append(all.Adds, made.Within(a.Nominal, hold))
	}
	if hold < toleranceStep || !fits(all) {
		return remedyCut(sp, drawn) + ", and hold it and what the ends add closer"
	}
	return "Hold the cut length and each of what its ends add within ±" + schema.Format(schema.LengthDim, hold)
}

// clearance is by how much larger than the pin the hole of a body is at a point, on the diameter; of several layers the tightest. A body
// that is screwed to the pin, or clamped on it, has none.
func (x *examiner) clearance(point, body string) (c made.Span, why string) {
	p, ok := x.m.Pivots[point]
	if !ok {
		return c, fmt.Sprintf("how the pivot at %s is built is not written: add `pivots: %s: {pin: {…}, stack: […]}`", point, point)
	}
	found := false
	for _, m := range x.members(p) {
		if m.body != body {
			continue
		}
		hole, pin := m.Hole, p.Pin.Diameter
		switch {
		case m.Block.Given():
			hole = m.Block.Bore
		case m.Cylinder.Given():
			if hole = m.end.Hole; m.end.Rework.Open.Given() {
				hole = m.end.Rework.Open
			}
		}
		if m.runs && p.Sleeve.Given() {
			pin = p.Sleeve.Outside
		}
		of := made.Span{Nominal: (hole.Least+hole.Most)/2 - (pin.Least+pin.Most)/2, Least: hole.Least - pin.Most, Most: hole.Most - pin.Least}
		switch {
		case m.Screwed.Value, !m.runs && p.Pin.Torque.Given():
			of = made.Span{}
		case !hole.Given():
			return c, fmt.Sprintf("the hole of %s at %s is not given: add `hole: {mm: …, fit: \"H9\"}` to its layer", m.what, point)
		}
		of.Least, of.Nominal, of.Most = max(0, of.Least), max(0, of.Nominal), max(0, of.Most)
		if !found || of.Most < c.Most {
			c, found = of, true
		}
	}
	if !found {
		return c, fmt.Sprintf("the pivot at %s does not have %s in its stack", point, body)
	}
	return c, ""
}
