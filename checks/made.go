package checks

import (
	"fmt"
	"math"

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

// made judges the links as they are cut and put together against the drawing.
func (x *examiner) made() {
	for _, name := range x.motion.links {
		if l := x.m.Links[name]; l.Made.Given() {
			x.madeLink(name, l, x.spacing(name, l))
		}
	}
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
	allowed := spacingAllowed
	play := 0.0
	for _, point := range between {
		if c, why := x.clearance(point, name); why == "" {
			play += c.Least / 2
		}
	}
	allowed = max(allowed, play)
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
