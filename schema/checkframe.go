package schema

import (
	"math"
	"slices"
)

// frame looks whether the members of a frame have ends, sections and something to stand on, and whether the machine stands on it.
func (c *checker) frame(f Frame) {
	if !f.Given() {
		return
	}
	fixed := c.m.FixedPoints()
	joints := slices.Concat(sorted(f.Nodes), fixed)
	for _, name := range sorted(f.Nodes) {
		if _, twice := c.m.Points[name]; twice {
			c.add(f.Nodes[name].Origin, "%s has the name of a point of the machine: a fixed point is a joint of the frame by itself, and another one wants its own name", f.Nodes[name].Path)
		}
	}
	met := map[string]bool{} // by a member
	known := true
	for _, name := range sorted(f.Members) {
		known = c.frameMember(f.Members[name], joints) && known
		for _, end := range f.Members[name].Between {
			met[end.Value] = true
		}
	}
	if len(f.Members) == 0 {
		c.add(f.Origin, "%s has no members: add `members: post: {between: [\"foot\", \"A\"], section: {…}}`", f.Path)
		return
	}
	for _, name := range sorted(f.Nodes) {
		if !met[name] && known {
			c.add(f.Nodes[name].Origin, "no member of the frame ends at the node `%s`: name it in one, or take it out", name)
		}
	}
	ends := sorted(met)
	stands := map[string]bool{}
	for _, s := range f.Supports {
		if c.named(s.At, ends, "joint") && stands[s.At.Value] {
			c.add(s.Origin, "%s holds `%s` a second time: keep one of the two", s.Path, s.At.Value)
		}
		stands[s.At.Value] = true
	}
	if known {
		c.hangs(f, stands)
	}
	if c.named(f.Anvil, ends, "joint") && f.Anvil.Given() && c.onlyTurns(f, f.Anvil.Value) {
		c.add(f.Anvil.Origin, "%s is `%s`, where all members turn: what stands beside its middle would tip there; let one of them be stiff", f.Anvil.Path, f.Anvil.Value)
	}
	for _, p := range f.Braced {
		c.named(p, ends, "joint")
	}
	beside := map[string]bool{}
	for _, p := range f.Beside {
		if c.named(p, fixed, "fixed point") && met[p.Value] {
			c.add(p.Origin, "%s says that something else carries `%s`, and a member of the frame ends there: keep one of the two", p.Path, p.Value)
		}
		beside[p.Value] = true
	}
	pushed := c.pushed()
	on := false
	for _, p := range fixed {
		on = on || met[p] && pushed[p]
		if pushed[p] && !met[p] && !beside[p] {
			c.add(f.Origin, "the machine pushes on its fixed point `%s`, where no member of the frame ends: let one end there, or write `beside: [\"%s\"]` if something else carries it", p, p)
		}
	}
	if known && !on && len(pushed) > 0 && len(beside) > 0 {
		c.add(f.Origin, "nothing of the machine stands on %s: let members end at its fixed points", f.Path)
	}
}

// frameMember reports whether both ends of the member are known.
func (c *checker) frameMember(m FrameMember, joints []string) (known bool) {
	var at []Point
	for _, end := range m.Between {
		_, isPoint := c.m.Points[end.Value]
		switch {
		case isPoint && !slices.Contains(joints, end.Value):
			c.add(end.Origin, "%s names `%s`, which is no fixed point: the joints of a frame are its own nodes and the points of links that stand still", end.Path, end.Value)
		case c.named(end, joints, "joint") && end.Given():
			at = append(at, c.m.Joint(end.Value))
		}
	}
	known = len(at) == 2
	if len(at) == 2 && at[0].X.Given() && at[1].X.Given() && math.Hypot(at[0].X.SI-at[1].X.SI, at[0].Y.SI-at[1].Y.SI) < 1e-6 {
		c.add(m.Origin, "%s goes from `%s` to `%s`, which are at one place: a member needs a length", m.Path, m.Between[0].Value, m.Between[1].Value)
	}
	var ends []string
	for _, end := range m.Between {
		ends = append(ends, end.Value)
	}
	for _, t := range m.Turns {
		c.named(t, ends, "end")
	}
	if m.Corner.Given() && len(m.Turns) == 2 {
		c.add(m.Corner.Origin, "%s is what its ends bear in bending, and it turns at both: leave one of the two out", m.Corner.Path)
	}
	for _, name := range sorted(m.Gives) {
		g := m.Gives[name]
		switch {
		case !slices.Contains(ends, name):
			c.add(g.Origin, "%s is of a joint at which the member does not end: it ends at %s", g.Path, andList(ends))
		case slices.ContainsFunc(m.Turns, func(t Text) bool { return t.Value == name }):
			c.add(g.Origin, "%s is of an end that `turns` under no moment at all: leave one of the two out", g.Path)
		case g.Turns.Given() && g.Turns.SI <= 0:
			c.add(g.Turns.Origin, "%s is %s: a joint that does not turn needs no `gives`", g.Turns.Path, g.Turns)
		case m.Corner.Given() && g.Under.SI > m.Corner.SI:
			c.add(g.Under.Origin, "%s is %s, and the corner bears %s: say how far it turns under less than that", g.Under.Path, g.Under, m.Corner)
		}
	}
	s := m.Section
	if !s.Given() {
		return known
	}
	for _, field := range []struct {
		name  string
		given bool
	}{{"depth: mm: 40", s.Depth.Given()}, {"area: mm2: 640", s.Area.Given()}} {
		if !field.given && !s.Shape.Given() {
			c.add(s.Origin, "%s is of a frame's member, which bends and is pressed: add `%s`", s.Path, field.name)
		}
	}
	if s.Material.Given() {
		c.material(s.Material)
		c.one(s.Origin, choice{"material", true}, choice{"elasticity", s.Elasticity.Given()})
		c.ownYield(s)
	} else if !s.Elasticity.Given() || !s.Yield.Given() {
		c.add(s.Origin, "%s does not say what it is made of: add `material: \"S235\"`, or `elasticity: GPa: …` and `yield: MPa: …`", s.Path)
	}
	if s.Span.Given() || s.Held.Given() {
		c.add(s.Origin, "%s has a span, or how it is held: in a frame that follows from its joints, take it out", s.Path)
	}
	return known
}

// hangs finds members from which no chain of members leads to a support; without any that can be read, that is said elsewhere.
func (c *checker) hangs(f Frame, stands map[string]bool) {
	if len(stands) == 0 {
		return
	}
	reached := map[string]bool{}
	for s := range stands {
		reached[s] = true
	}
	for more := true; more; {
		more = false
		for _, m := range f.Members {
			if len(m.Between) == 2 && reached[m.Between[0].Value] != reached[m.Between[1].Value] {
				reached[m.Between[0].Value], reached[m.Between[1].Value], more = true, true, true
			}
		}
	}
	for _, name := range sorted(f.Members) {
		if m := f.Members[name]; len(m.Between) == 2 && !reached[m.Between[0].Value] {
			c.add(m.Origin, "%s hangs on nothing: no chain of members leads from it to one of the `supports`", m.Path)
			return
		}
	}
}

// onlyTurns reports whether all members that end at a joint turn there, and no support holds it against that.
func (c *checker) onlyTurns(f Frame, joint string) bool {
	is := func(t Text) bool { return t.Value == joint }
	for _, m := range f.Members {
		if slices.ContainsFunc(m.Between, is) && !slices.ContainsFunc(m.Turns, is) {
			return false
		}
	}
	return !slices.ContainsFunc(f.Supports, func(s Support) bool { return s.At.Value == joint && s.Held.Value == "fixed" })
}

// pushed are the fixed points on which something of the machine pushes: where moving links, cylinders and springs meet what stands still.
// A guide's push lies somewhere between its points, and is followed there.
func (c *checker) pushed() map[string]bool {
	points := map[string]bool{}
	for _, l := range c.m.Links {
		for _, p := range l.Points {
			if !l.Ground.Value {
				points[p.Value] = true
			}
		}
	}
	for _, y := range c.m.Cylinders {
		points[y.Rear.At.Value], points[y.Front.At.Value] = true, true
	}
	for _, s := range c.m.Springs {
		points[s.From.Value], points[s.To.Value] = true, true
	}
	fixed := c.m.FixedPoints()
	for p := range points {
		if !slices.Contains(fixed, p) {
			delete(points, p)
		}
	}
	return points
}
