package schema

import (
	"math"
	"slices"
)

// motion looks through what says how the machine moves and takes up room.
func (c *checker) motion() {
	points := sorted(c.m.Points)
	guided := map[string]string{}
	for _, name := range sorted(c.m.Slides) {
		s := c.m.Slides[name]
		c.slide(s)
		if other, twice := guided[s.Point.Value]; twice && s.Point.Given() {
			c.add(s.Point.Origin, "%s guides the point `%s`, which %s guides already: a point slides along one line; guide a second point of its link to keep that from turning", s.Path, s.Point.Value, other)
		}
		guided[s.Point.Value] = s.Path
	}
	for _, name := range sorted(c.m.Springs) {
		s := c.m.Springs[name]
		if c.named(s.From, points, "point") && c.named(s.To, points, "point") {
			c.apart(s.Path, s.From, s.To)
		}
	}
	for _, name := range sorted(c.m.Cylinders) {
		y := c.m.Cylinders[name]
		b := y.Barrel
		if b.Length.Given() && y.Closed.Given() && b.Length.SI >= y.Closed.SI {
			c.add(b.Length.Origin, "%s is %s, and the front pin is %s from the rear one with the rod in: the barrel ends before it", b.Length.Path, b.Length, y.Closed)
		}
		if b.Outside.Given() && y.Bore.Given() && b.Outside.SI <= y.Bore.SI {
			c.add(b.Outside.Origin, "%s is %s, and the bore inside is %s", b.Outside.Path, b.Outside, y.Bore)
		}
	}
	for _, name := range sorted(c.m.Stops) {
		s := c.m.Stops[name]
		if !c.named(s.Cylinder, sorted(c.m.Cylinders), "cylinder") {
			continue
		}
		y := c.m.Cylinders[s.Cylinder.Value]
		if !y.Stroke.Given() {
			continue
		}
		if s.At.SI <= 0 || s.At.SI >= y.Stroke.SI {
			c.add(s.At.Origin, "%s is %s, and the stroke of %s is %s: a stop is met between its ends", s.At.Path, s.At, s.Cylinder.Value, y.Stroke)
			continue
		}
		drawn, known := c.drawnStroke(y)
		if !known || drawn < 0 || drawn > y.Stroke.SI {
			continue // a fault of the linkage
		}
		way, beyond := "coming in", s.At.SI-drawn
		if s.MetGoingOut(y.Stroke.SI) {
			way, beyond = "going out", drawn-s.At.SI
		}
		if beyond > drawnFit {
			c.add(s.At.Origin, "%s is %s, met %s, and the machine is drawn with the rod of %s out by %s: draw it within its stops, or write `going: \"out\"` or `going: \"in\"` if it is met the other way",
				s.At.Path, s.At, way, s.Cylinder.Value, Format(LengthDim, drawn))
		}
	}
	for _, name := range sorted(c.m.Reaches) {
		r := c.m.Reaches[name]
		_, isPoint := c.m.Points[name]
		_, isLink := c.m.Links[name]
		switch {
		case !isPoint && !isLink:
			c.add(r.Origin, "reaches names `%s`, which is no point and no link: %s", name, meant(name, append(sorted(c.m.Links), points...)))
		case isPoint && r.Turns.Given():
			c.add(r.Turns.Origin, "%s: a point does not turn; name the link", r.Turns.Path)
		case !isPoint && (r.Rises.Given() || r.Travels.Given()):
			c.add(r.Origin, "%s: which point of the link? Name a point for `rises` and `travels`", r.Path)
		case !r.Rises.Given() && !r.Travels.Given() && !r.Turns.Given():
			c.add(r.Origin, "%s says nothing that trammel can use: give it `rises` or `travels`, or to a link `turns`", r.Path)
		}
	}
	for _, t := range c.m.Toggles {
		c.named(t, points, "point")
	}
	for _, name := range sorted(c.m.Links) {
		l := c.m.Links[name]
		for _, s := range l.Outline.Shapes {
			c.shape(s)
		}
		if l.Outline.Given() && !l.Outline.Width.Given() && len(l.Outline.Shapes) == 0 {
			c.add(l.Outline.Origin, "%s says nothing that trammel can use: give it a `width`, or `shapes`", l.Outline.Path)
		}
		c.made(name, l)
		c.material(l.Printed.Material)
		c.material(l.Sheet.Material)
		if l.Sheet.Given() && l.Printed.Given() {
			c.add(l.Sheet.Origin, "%s is cut out of sheet and `printed` at once: keep one of the two", l.Path)
		}
		for _, made := range []struct {
			as       string
			material Text
		}{{"printed", l.Printed.Material}, {"sheet", l.Sheet.Material}} {
			if s := l.Section.Material; s.Given() && made.material.Given() && s.Value != made.material.Value {
				c.add(s.Origin, "%s is `%s`, and `%s` of the same link says that it is of `%s`: it is made of one material", s.Path, s.Value, made.as, made.material.Value)
			}
		}
		if g := l.Sheet.Grain; g.Given() && l.Sheet.Material.Given() && l.Sheet.Material.Value != "plywood" {
			c.add(g.Origin, "%s is for plywood; %s has no grain that trammel judges: leave it out", g.Path, l.Sheet.Material.Value)
		}
		if s := l.Section; s.Given() {
			c.one(s.Origin, choice{"material", s.Material.Given()}, choice{"elasticity", s.Elasticity.Given()})
			c.material(s.Material)
			if s.Depth.Given() != s.Area.Given() && !s.Shape.Given() {
				c.add(s.Origin, "%s needs `depth` and `area` together: `depth: mm: 30, area: mm2: 240`", s.Path)
			}
			c.ownYield(s)
			switch {
			case len(l.Points) == 1 && !l.Ground.Value:
				c.add(s.Origin, "%s is of a link with one point, which has no length to bend: leave it out", s.Path)
			case s.Span.Given() != s.Held.Given():
				c.add(s.Origin, "%s needs `span` and `held` together: `span: mm: 600, held: \"both ends\"`", s.Path)
			case s.Span.Given() && !l.Ground.Value:
				c.add(s.Span.Origin, "%s is of a link that moves: its pivots hold it, leave `span` and `held` out", s.Path)
			}
		}
	}
	for _, name := range sorted(c.m.Air.Runs) {
		r := c.m.Air.Runs[name]
		if !r.Over.Given() {
			continue
		}
		if c.named(r.Over.From, points, "point") && c.named(r.Over.To, points, "point") {
			c.over(r.Over)
		}
		if !r.Tube.Given() {
			c.add(r.Over.Origin, "%s has no tube that could hang over a joint: add `tube: bin.tube`", r.Path)
		}
	}
}

func (c *checker) slide(s Slide) {
	points := sorted(c.m.Points)
	ok := c.named(s.Point, points, "point")
	for _, p := range s.Along {
		ok = c.named(p, points, "point") && ok
	}
	if !ok || len(s.Along) != 2 {
		return
	}
	a, b := s.Along[0].Value, s.Along[1].Value
	if a == b {
		c.add(s.Along[1].Origin, "%s names the point `%s` twice: a line goes through two", s.Path, a)
		return
	}
	carrier := ""
	for _, name := range sorted(c.m.Links) {
		if has(c.m.Links[name], a) && has(c.m.Links[name], b) {
			carrier = name
		}
	}
	switch {
	case carrier == "":
		c.add(s.Origin, "%s runs along `%s` and `%s`, which are on no link together", s.Path, a, b)
	case has(c.m.Links[carrier], s.Point.Value):
		c.add(s.Point.Origin, "%s has the point `%s` on the link `%s` that carries the line: it could never slide", s.Path, s.Point.Value, carrier)
	default:
		p, q, r := c.m.Points[s.Point.Value], c.m.Points[a], c.m.Points[b]
		dx, dy := r.X.SI-q.X.SI, r.Y.SI-q.Y.SI
		off := math.Abs((p.X.SI-q.X.SI)*dy-(p.Y.SI-q.Y.SI)*dx) / math.Hypot(dx, dy)
		if off > 1e-4 { // a drawing gives tenths of a millimetre
			c.add(s.Point.Origin, "%s has the point `%s` drawn %s beside the line through `%s` and `%s`", s.Path, s.Point.Value, Format(LengthDim, off), a, b)
		}
	}
}

// apart demands that two points can move against each other: a spring between points of one link never stretches.
func (c *checker) apart(path string, from, to Text) {
	if from.Value == to.Value && from.Given() {
		c.add(to.Origin, "%s has both ends at `%s`", path, from.Value)
		return
	}
	fixed := 0
	for _, name := range sorted(c.m.Links) {
		l := c.m.Links[name]
		if has(l, from.Value) && has(l, to.Value) {
			c.add(to.Origin, "%s has both ends on the link `%s`, which keeps them apart as they are", path, name)
			return
		}
		if l.Ground.Value && (has(l, from.Value) || has(l, to.Value)) {
			fixed++
		}
	}
	if fixed > 1 {
		c.add(to.Origin, "%s has both ends on links that stand still: nothing of it moves", path)
	}
}

// over demands that a tube hangs between two links. A point that is a pivot may stand for either of its links.
func (c *checker) over(o Over) {
	if o.From.Value == o.To.Value {
		c.add(o.To.Origin, "%s has both ends at `%s`", o.Path, o.From.Value)
		return
	}
	on := map[string]bool{}
	for name, l := range c.m.Links {
		if has(l, o.From.Value) || has(l, o.To.Value) {
			on[name] = true
		}
	}
	if len(on) == 1 {
		c.add(o.To.Origin, "%s has both ends on the link `%s`, and hangs over no joint", o.Path, sorted(on)[0])
	}
}

func has(l Link, point string) bool {
	return slices.ContainsFunc(l.Points, func(p Text) bool { return p.Value == point })
}

func (c *checker) shape(s Shape) {
	c.one(s.Origin, choice{"along", s.Along != nil}, choice{"at", s.At.Given()}, choice{"corners", s.Corners != nil})
	points := sorted(c.m.Points)
	for _, p := range s.Along {
		c.named(p, points, "point")
	}
	c.named(s.At, points, "point")
	switch {
	case s.At.Given() && !s.Diameter.Given():
		c.add(s.Origin, "%s is round `%s` and has no diameter: add `diameter: mm: 30`", s.Path, s.At.Value)
	case s.Along != nil && !s.Width.Given():
		c.add(s.Origin, "%s goes along points and has no width: add `width: mm: 20`", s.Path)
	case s.Width.Given() && s.Along == nil:
		c.add(s.Width.Origin, "%s has a width, and goes along nothing: leave it out", s.Path)
	case s.Diameter.Given() && !s.At.Given():
		c.add(s.Diameter.Origin, "%s has a diameter, and is round no point: leave it out", s.Path)
	}
}

func (c *checker) made(name string, l Link) {
	m := l.Made
	if !m.Given() {
		return
	}
	switch {
	case len(l.Points) == 0: // which has its own sentence
	case m.Between == nil && len(l.Points) != 2:
		c.add(m.Origin, "%s: the link has %d points; say between which two it is cut, as in `between: [%q, %q]`", m.Path, len(l.Points), l.Points[0].Value, l.Points[len(l.Points)-1].Value)
	case m.Between != nil:
		for _, p := range m.Between {
			if !has(l, p.Value) {
				var names []string
				for _, q := range l.Points {
					names = append(names, q.Value)
				}
				c.add(p.Origin, "%s names the point `%s`, which is not on the link `%s`: %s", m.Path, p.Value, name, meant(p.Value, names))
			}
		}
		if len(m.Between) == 2 && m.Between[0].Value == m.Between[1].Value {
			c.add(m.Between[1].Origin, "%s is cut between `%s` and itself", m.Path, m.Between[0].Value)
		}
	}
	least := m.Cut.Least
	for _, a := range m.Adds {
		least += a.Least
	}
	if len(m.Adds) > 0 && least <= 0 {
		c.add(m.Origin, "%s: what the ends take away leaves nothing of the cut length, %s", m.Path, m.Cut)
	}
}

// drawnFit in m is how far a drawing may be off.
const drawnFit = 0.1e-3

// drawnStroke is how far the rod of a cylinder is out as drawn, m.
func (c *checker) drawnStroke(y Cylinder) (stroke float64, known bool) {
	rear, ok := c.m.Points[y.Rear.At.Value]
	front, alsoOk := c.m.Points[y.Front.At.Value]
	if !ok || !alsoOk || !y.Closed.Given() {
		return 0, false
	}
	return math.Hypot(front.X.SI-rear.X.SI, front.Y.SI-rear.Y.SI) - y.Closed.SI, true
}
