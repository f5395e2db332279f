package schema

import (
	"fmt"

	"trammel.example/schema/profiles"
)

// mostCorners is how many corners a ring of a profile may have: each of its sides is held against each other.
const mostCorners = 400

// profiled works out what the shapes of all sections give, where they are sections.
func (c *checker) profiled() {
	for _, name := range sorted(c.m.Links) {
		if l := c.m.Links[name]; l.Section.Given() {
			if p := &l.Section.Shape; p.Given() && !p.Drilled.Given() {
				c.drill(name, p)
			}
			c.section(&l.Section)
			c.m.Links[name] = l
		}
	}
	for _, name := range sorted(c.m.Frame.Members) {
		if m := c.m.Frame.Members[name]; m.Section.Given() {
			c.section(&m.Section)
			c.m.Frame.Members[name] = m
		}
	}
}

// drill weakens a link's shape by the widest hole that it has on a pin.
func (c *checker) drill(link string, p *Profile) {
	var widest Size
	for _, point := range sorted(c.m.Pivots) {
		for _, l := range c.m.Pivots[point].Stack {
			if l.Link.Value == link && l.Hole.SI > widest.SI {
				widest = l.Hole
			}
		}
	}
	if !widest.Given() {
		return
	}
	p.Drilled.Quantity = widest.Quantity
	p.Drilled.Origin.Path = p.Path + ".drilled"
	c.m.Assumptions = append(c.m.Assumptions, Assumption{p.Drilled.Path, widest.Quantity.String(), "the widest hole that the link has on a pin"})
}

func (c *checker) section(s *Section) {
	c.one(s.Origin, choice{"moment", s.Moment.Given()}, choice{"shape", s.Shape.Given()})
	if !s.Shape.Given() {
		c.possible(*s)
		return
	}
	if s.Moment.Given() {
		return
	}
	for _, f := range []struct {
		name string
		of   Origin
	}{{"lateral", s.Lateral.Origin}, {"depth", s.Depth.Origin}, {"area", s.Area.Origin}} {
		if f.of.Given() {
			c.add(f.of, "%s follows from the `shape` of its section: leave it out", f.of.Path)
			return
		}
	}
	shape, ok := c.profile(s.Shape)
	if !ok {
		return
	}
	p := shape.Properties()
	at := s.Shape.Origin
	s.Moment.Quantity = derived(at, MomentDim, p.Bends)
	s.Lateral.Quantity = derived(at, MomentDim, p.Least)
	s.Depth.Quantity = derived(at, LengthDim, p.Depth)
	s.Area.Quantity = derived(at, AreaDim, p.Area)
	s.Reaches = p.Edge
}

// possible looks whether a section given by its numbers can be: half of its area at each edge gives the most that an area and a depth can have,
// A (depth / 2)² (Bhatia and Davis' bound of a variance: with the middle of the section wherever it is).
func (c *checker) possible(s Section) {
	if !s.Moment.Given() || !s.Depth.Given() || !s.Area.Given() {
		return
	}
	if most := s.Area.SI * s.Depth.SI * s.Depth.SI / 4; s.Moment.SI > most*(1+1e-6) {
		u := s.Moment.Unit
		c.add(s.Moment.Origin, "%s is %s; with an area of %s in a depth of %s at most %s is allowed, area × (depth / 2)²: mm4 and cm4 are easily mixed up, 1 cm⁴ is 10,000 mm⁴", s.Moment.Path, s.Moment, s.Area, s.Depth,
			withUnit(formatNumber(round(u.From(most))), u.Name))
	}
}

// ownYield looks that a section's yield strength is said once.
func (c *checker) ownYield(s Section) {
	if s.Yield.Given() && s.Material.Given() {
		c.add(s.Yield.Origin, "%s has a `material` and a `yield` of its own: keep one of the two", s.Path)
	}
}

// derived is a quantity that follows from what was written at a place, in the dimension's first unit.
func derived(at Origin, d Dimension, si float64) Quantity {
	u := UnitsOf(d)[0]
	return Quantity{Origin: at, SI: si, Value: round(u.From(si)), Unit: u}
}

// profile is the shape of a section, in m, if it is one.
func (c *checker) profile(p Profile) (s profiles.Shape, ok bool) {
	before := len(c.mistakes.List)
	c.one(p.Origin, choice{"round", p.Round.Given()}, choice{"box", p.Box.Given()}, choice{"angle", p.Angle.Given()}, choice{"corners", p.Corners != nil})
	s.Drilled = p.Drilled.SI
	for _, part := range []struct{ given, whole bool }{
		{p.Round.Given(), p.Round.Outside.Given()},
		{p.Box.Given(), p.Box.Deep.Given() && p.Box.Wide.Given()},
		{p.Angle.Given(), p.Angle.Deep.Given() && p.Angle.Wide.Given() && p.Angle.Wall.Given()},
	} {
		if part.given && !part.whole {
			return s, false // what is missing is said elsewhere
		}
	}
	thin := func(wall Length, most float64, what string) bool {
		if wall.Given() && wall.SI >= most {
			c.add(wall.Origin, "%s is %s, and %s: a wall is thinner than half of that", wall.Path, wall, what)
			return false
		}
		return true
	}
	switch {
	case p.Round.Given():
		d := p.Round.Outside.SI
		s.Outline = profiles.Circle(profiles.Corner{}, d)
		if wall := p.Round.Wall; wall.Given() && thin(wall, d/2, p.Round.Outside.String()+" are the outside") {
			s.Holes = append(s.Holes, profiles.Circle(profiles.Corner{}, d-2*wall.SI))
		}
	case p.Box.Given():
		b := p.Box
		least := min(b.Deep.SI, b.Wide.SI)
		s.Outline = profiles.Box(b.Deep.SI, b.Wide.SI, b.Corner.SI)
		if b.Corner.Given() && b.Corner.SI > least/2 {
			c.add(b.Corner.Origin, "%s is %s, and the section is %s: at most half of that goes round a corner", b.Corner.Path, b.Corner, Format(LengthDim, least))
		}
		if b.Wall.Given() && thin(b.Wall, least/2, "the section "+Format(LengthDim, least)) {
			s.Holes = append(s.Holes, profiles.Box(b.Deep.SI-2*b.Wall.SI, b.Wide.SI-2*b.Wall.SI, b.Corner.SI-b.Wall.SI))
		}
	case p.Angle.Given():
		a := p.Angle
		if least := min(a.Deep.SI, a.Wide.SI); a.Wall.SI >= least {
			c.add(a.Wall.Origin, "%s is %s, and a leg %s: a wall is thinner than the legs are long", a.Wall.Path, a.Wall, Format(LengthDim, least))
		}
		s.Outline = profiles.Angle(a.Deep.SI, a.Wide.SI, a.Wall.SI)
	default:
		s.Outline = c.ring(p.Corners, p.Origin)
	}
	for _, h := range p.Holes {
		c.one(h.Origin, choice{"at", h.At.X.Given()}, choice{"corners", h.Corners != nil})
		switch {
		case h.Corners != nil:
			s.Holes = append(s.Holes, c.ring(h.Corners, h.Origin))
		case h.At.X.Given() && !h.Diameter.Given():
			c.add(h.Origin, "%s is round and has no diameter: add `diameter: mm: 7`", h.Path)
		case h.Diameter.Given():
			s.Holes = append(s.Holes, profiles.Circle(profiles.Corner{X: h.At.X.SI, Y: h.At.Y.SI}, h.Diameter.SI))
		}
	}
	if len(c.mistakes.List) > before {
		return s, false
	}
	f := s.Check()
	if f == nil {
		return s, true
	}
	c.add(p.at(f), "%s", p.says(f))
	return s, false
}

// ring is closed from its last corner to its first; of is what has it.
func (c *checker) ring(corners []Point, of Origin) (all []profiles.Corner) {
	if n := len(corners); n < 3 {
		c.add(of, "%s.corners are %d, which leaves it open: give three or more", of.Path, n)
	} else if n > mostCorners {
		c.add(of, "%s.corners are %d: up to %d make a section", of.Path, n, mostCorners)
	}
	for _, q := range corners {
		all = append(all, profiles.Corner{X: q.X.SI, Y: q.Y.SI})
	}
	return all
}

// hole is the chamber that a ring was made from, and whether it is one: the inside of a tube is not.
func (p Profile) hole(ring int) (Chamber, bool) {
	if p.Round.Wall.Given() || p.Box.Wall.Given() {
		ring--
	}
	if ring < 0 {
		return Chamber{}, false
	}
	return p.Holes[ring], true
}

// at is where a fault of a profile is written.
func (p Profile) at(f *profiles.Fault) Origin {
	corners := p.Corners
	if f.Hole >= 0 {
		h, isHole := p.hole(f.Hole)
		if !isHole {
			return p.Origin
		}
		if corners = h.Corners; corners == nil {
			return h.Origin
		}
	}
	switch {
	case f.Kind == profiles.Through:
		return p.Drilled.Origin
	case f.A < len(corners):
		return corners[f.A].Origin
	}
	return p.Origin
}

// says is the sentence about a fault.
func (p Profile) says(f *profiles.Fault) string {
	path, n := p.Path+".corners", len(p.Corners)
	if f.Hole >= 0 {
		if h, isHole := p.hole(f.Hole); isHole {
			path, n = h.Path, len(h.Corners)
		} else {
			path = p.Path
		}
	}
	switch f.Kind {
	case profiles.Crosses:
		return fmt.Sprintf("the sides of %s from corner %d to %d and from %d to %d cross or touch: give the corners in their order around it", path, f.A+1, (f.A+1)%n+1, f.B+1, (f.B+1)%n+1)
	case profiles.Twice:
		return fmt.Sprintf("%s has its corners %d and %d at one place: the last is joined to the first by itself, so give each once", path, f.A+1, f.B+1)
	case profiles.Flat:
		return fmt.Sprintf("%s encloses no area: give three corners or more that do not lie on a line", path)
	case profiles.Outside:
		return fmt.Sprintf("%s reaches out of the section, or touches its edge: a hole lies all inside it", path)
	case profiles.Meet:
		other, isHole := p.hole(f.A)
		if !isHole {
			return fmt.Sprintf("%s lies in the inside of the tube, where there is nothing to make a hole in: leave it out", path)
		}
		return fmt.Sprintf("%s and %s meet: make one hole of them", path, other.Path)
	}
	return fmt.Sprintf("%s is no deeper than the hole across it, of %s: it falls apart there (`drilled` says how wide the hole is, and else the widest that the link has on a pin counts; `drilled: mm: 0` where that is in a lug beside it)", p.Path, p.Drilled)
}
