package schema

import (
	"math"
	"slices"

	"trammel.example/schema/standards"
)

// fixed looks at a part that screws hold on a link, and where they are.
func (c *checker) fixed(j FixedPart) {
	if c.named(j.On, sorted(c.m.Links), "link") {
		for _, p := range j.Carries {
			if c.named(p, sorted(c.m.Points), "point") && !c.wrong[j.On.Value] && !goesThrough(c.m.Links[j.On.Value], p.Value) {
				c.add(p.Origin, "%s names the point `%s`, which is not on the link `%s`", p.Path, p.Value, j.On.Value)
			}
		}
	}
	for i, h := range j.Screws {
		for k, other := range j.Screws[:i] {
			if h.X.Given() && h.Y.Given() && h.X.SI == other.X.SI && h.Y.SI == other.Y.SI && h.Z.SI == other.Z.SI {
				c.add(h.Origin, "%s is where screw %d is already: no two stand in one place", h.Path, k+1)
			}
		}
		// On a face on edge all heads look one way from one plane.
		if off := math.Abs((h.X.SI-j.Screws[0].X.SI)*math.Cos(j.Looks.SI) + (h.Y.SI-j.Screws[0].Y.SI)*math.Sin(j.Looks.SI)); j.Looks.Given() && off > 0.5e-3 {
			c.add(h.Origin, "%s lies %s off the face of the first screw, whose heads look towards %s: screws of one joint stand on one face", h.Path, Format(LengthDim, off), j.Looks)
		}
	}
	if j.Looks.Given() && j.Off.Given() {
		c.add(j.Off.Origin, "%s is for a face in the plane of the drawing; this one stands on edge (`looks`): keep one of the two", j.Off.Path)
	}
}

// wood demands of a wood screw that it goes in at all.
func (c *checker) wood(w WoodScrew) {
	if w.Thread.Given() && w.Diameter.Given() && w.Thread.SI < w.Diameter.SI {
		c.add(w.Thread.Origin, "%s is %s, and the screw is %s thick: with less than that of thread in the wood it holds nothing", w.Thread.Path, w.Thread, w.Diameter)
	}
}

// fixing looks at screws in wood and at inserts.
func (c *checker) fixing(f Fixing) {
	c.one(f.Origin, choice{"wood", f.Wood.Given()}, choice{"tested", f.Tested.Given()})
	if f.Insert.Given() && f.Wood.Given() {
		c.add(f.Insert.Origin, "%s is for what was tested; a screw in wood has its hold by its own thread: leave it out", f.Insert.Path)
	}
	c.wood(f.Wood)
	for _, force := range []Force{f.Tested.PullOut, f.Tested.Across} {
		if force.Given() && force.SI == 0 {
			c.add(force.Origin, "%s is 0: one that bore nothing holds nothing", force.Path)
		}
	}
	if i := f.Insert; i.Boss.Given() && i.Outside.Given() && i.Boss.SI <= i.Outside.SI {
		c.add(i.Boss.Origin, "%s is %s, and the insert in it is %s", i.Boss.Path, i.Boss, i.Outside)
	}
	for i, p := range f.Parts {
		c.fixed(p)
		c.together(p, f.Parts[:i])
	}
}

// together demands that screws which share a force are written as one group: of two each would get all of it.
func (c *checker) together(p FixedPart, before []FixedPart) {
	for _, other := range before {
		if p.On.Value != other.On.Value || p.Looks.Given() != other.Looks.Given() || p.Looks.SI != other.Looks.SI || len(p.Screws) == 0 || len(other.Screws) == 0 {
			continue
		}
		if a, b := p.Screws[0], other.Screws[0]; p.Looks.Given() && math.Abs((a.X.SI-b.X.SI)*math.Cos(p.Looks.SI)+(a.Y.SI-b.Y.SI)*math.Sin(p.Looks.SI)) > 0.5e-3 {
			continue // on another face
		}
		for _, point := range p.Carries {
			if slices.ContainsFunc(other.Carries, func(t Text) bool { return t.Value == point.Value }) {
				c.add(p.Origin, "%s carries `%s` on `%s`, as %s does on the same face, and each would get all of its force: write one with the screws of both", p.Path, point.Value, p.On.Value, other.Path)
				return
			}
		}
	}
}

// joints looks at the groups of screws of a fastening.
func (c *checker) joints(f Fastening) {
	screws := 0
	var parts []FixedPart
	for _, j := range f.Joints {
		screws += len(j.Screws)
		part := FixedPart{j.Origin, j.On, j.Carries, j.Screws, j.Looks, j.Off, j.Heel}
		c.fixed(part)
		c.together(part, parts)
		parts = append(parts, part)
		c.material(j.Material)
		hole := j.Hole.SI
		if row, err := standards.ClearanceHoleFor(f.Screw.Thread.Value); err == nil && !j.Hole.Given() {
			hole = row.Medium
		}
		if j.Hole.Given() {
			if row, err := standards.ThreadByName(f.Screw.Thread.Value); err == nil && j.Hole.SI <= row.Nominal {
				c.add(j.Hole.Origin, "%s is %s, and the screw is %s: the hole that it passes is wider", j.Hole.Path, j.Hole, f.Screw.Thread.Value)
			}
		}
		if j.Edge.Given() && j.Edge.SI <= hole/2 {
			c.add(j.Edge.Origin, "%s is %s, and the hole reaches %s from its middle: it lies outside the part", j.Edge.Path, j.Edge, Format(LengthDim, hole/2))
		}
	}
	if f.Count.Given() && float64(screws) > f.Count.SI {
		c.add(f.Count.Origin, "%s is %s, and its joints have %d screws: a joint lists those of one part, and the count has all", f.Count.Path, f.Count, screws)
	}
}

func goesThrough(l Link, point string) bool {
	return slices.ContainsFunc(l.Points, func(p Text) bool { return p.Value == point })
}

// base looks at what the machine stands on.
func (c *checker) base(b Base) {
	if !b.Given() {
		return
	}
	if f := b.Feet; f.From.Given() && f.To.Given() && f.From.SI >= f.To.SI {
		c.add(f.From.Origin, "%s is %s, and the feet end at %s: `from` is the one with the smaller x", f.From.Path, f.From, f.To)
	}
	if t := b.Bench; t.From.Given() && t.To.Given() && t.From.SI >= t.To.SI {
		c.add(t.From.Origin, "%s is %s, and the bench ends at %s: `from` is the one with the smaller x", t.From.Path, t.From, t.To)
	}
	if t, f := b.Bench, b.Feet; t.Given() && f.Given() && (t.From.SI >= f.To.SI || t.To.SI <= f.From.SI) {
		c.add(t.Origin, "%s lies beside the feet, which stand from %s to %s: nothing of the base is on it", t.Path, f.From, f.To)
	}
	if b.Centre.Y.Given() && b.Feet.Y.Given() && b.Centre.Y.SI <= b.Feet.Y.SI {
		c.add(b.Centre.Y.Origin, "%s is %s, and the feet stand at %s: the middle of what stands on them lies above", b.Centre.Y.Path, b.Centre.Y, b.Feet.Y)
	}
	for _, w := range b.Within {
		if c.named(w, sorted(c.m.Loads), "load") && c.m.Loads[w.Value].Mass.Given() {
			c.add(w.Origin, "%s names the load `%s`, which is a mass: its weight is on the bench in any case", w.Path, w.Value)
		}
	}
	if len(b.Caught) > 0 {
		tools := map[string]bool{} // whose presses are computed
		for point := range c.m.Points {
			_, reach := c.m.Reaches[point]
			carries := slices.ContainsFunc(sorted(c.m.Loads), func(l string) bool { return c.m.Loads[l].At.Value == point })
			if moves := slices.ContainsFunc(sorted(c.m.Links), func(l string) bool { return !c.m.Links[l].Ground.Value && goesThrough(c.m.Links[l], point) }); moves && (reach || carries) {
				tools[point] = true
			}
		}
		for _, at := range b.Caught {
			if c.named(at, sorted(c.m.Points), "point") && at.Given() && !tools[at.Value] {
				c.add(at.Origin, "%s is `%s`, with which nothing presses (what moves and has a load or a place in `reaches` does): %s", at.Path, at.Value, meant(at.Value, sorted(tools)))
			}
		}
	}
	on := func(at Coordinate, what string) {
		if at.Given() && b.Feet.From.SI < b.Feet.To.SI && (at.SI < b.Feet.From.SI || at.SI > b.Feet.To.SI) {
			c.add(at.Origin, "%s is %s, and the base stands from %s to %s: %s beside it holds nothing", at.Path, at, b.Feet.From, b.Feet.To, what)
		}
	}
	onBench := func(at Coordinate, what string) {
		if t := b.Bench; at.Given() && t.Given() && t.From.SI < t.To.SI && (at.SI < t.From.SI || at.SI > t.To.SI) {
			c.add(at.Origin, "%s is %s, and the bench goes from %s to %s: %s beside it holds nothing", at.Path, at, t.From, t.To, what)
		}
	}
	for _, x := range b.Clamps {
		on(x.X, "a clamp")
		onBench(x.X, "a clamp")
	}
	for _, x := range b.Ballast {
		on(x.X, "ballast")
	}
	s := b.Screws
	if !s.Given() {
		return
	}
	for _, x := range s.At {
		on(x.X, "a screw")
		onBench(x.X, "a screw")
		if across := b.Feet.Across; across.Given() && math.Abs(x.Z.SI) > across.SI/2 {
			c.add(x.Z.Origin, "%s is %s, and the feet are %s apart across the drawing: a screw beside the base holds nothing", x.Z.Path, x.Z, across)
		}
	}
	c.wood(s.Wood)
	c.one(s.Origin, choice{"fastening", s.Fastening.Given()}, choice{"wood", s.Wood.Given()}, choice{"withstands", s.Withstands.Given()})
	c.named(s.Fastening, sorted(c.m.Fastenings), "fastening")
	if len(b.Clamps) > 0 {
		c.add(s.Origin, "%s and `clamps` hold the base at once: screws that are tightened do it alone, leave the other out", s.Path)
	}
}

// assembly looks at the order in which a machine is put together: each fastening in one step, and a slot's end closed once.
func (c *checker) assembly(steps []Assembled) {
	var slots []string
	for _, name := range sorted(c.m.Fastenings) {
		if slot := c.m.Fastenings[name].Into.Slot; slot.Given() {
			slots = append(slots, slot.Value)
		}
	}
	fastened, closed := map[string]string{}, map[string]string{}
	for _, step := range steps {
		for _, f := range append(slices.Clone(step.Loads), step.Fastens...) {
			c.named(f, sorted(c.m.Fastenings), "fastening")
		}
		for _, f := range step.Fastens {
			if before, twice := fastened[f.Value]; twice {
				c.add(f.Origin, "%s names `%s`, which is put in in %s already", f.Path, f.Value, before)
			}
			fastened[f.Value] = step.Path
		}
		for _, e := range step.Closes {
			if !c.named(e.Slot, slots, "slot") {
				continue
			}
			key := e.Slot.Value + "\x00" + e.End.Value
			if before, twice := closed[key]; twice {
				c.add(e.Origin, "%s closes the %s end of `%s`, which %s closes already", e.Path, e.End.Value, e.Slot.Value, before)
			}
			closed[key] = e.Path
		}
	}
}
