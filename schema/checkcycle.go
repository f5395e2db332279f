package schema

import (
	"cmp"
	"math"
	"slices"
)

// cycle looks whether a plan can be gone through over and over: each rod goes out and in by turns, once at a time.
func (c *checker) cycle() {
	plan := c.m.Cycle
	if !plan.Given() {
		return
	}
	if !c.m.Air.Given() {
		c.add(plan.Origin, "cycle says when the rods move, and nothing brings them air: add `air: {parts: {…}, runs: {…}}`")
	}
	if n := plan.Cycles; n.Given() && n.SI != math.Trunc(n.SI) {
		c.add(n.Origin, "%s is %s; allowed: a whole number above 0", n.Path, n)
	}
	for i, s := range plan.Steps {
		c.named(s.Cylinder, sorted(c.m.Cylinders), "cylinder")
		if s.At.Given() && plan.Period.Given() && s.At.SI >= plan.Period.SI {
			c.add(s.At.Origin, "%s is %s, and the cycle begins anew after %s: a step lies before that", s.At.Path, s.At, plan.Period)
		}
		for _, other := range plan.Steps[:i] {
			if other.Cylinder.Value == s.Cylinder.Value && other.At.SI == s.At.SI {
				c.add(s.At.Origin, "%s and %s send `%s` both at %s: it can go one way at a time", other.Path, s.Path, s.Cylinder.Value, s.At)
			}
		}
	}
	by := plan.ByCylinder()
	for _, name := range sorted(by) {
		steps := by[name]
		if len(steps) == 1 {
			s := steps[0]
			c.add(s.Origin, "%s sends `%s` %s, and nothing sends it back before the cycle begins anew: add a step that does", s.Path, name, s.Goes.Value)
			continue
		}
		for i, s := range steps {
			if next := steps[(i+1)%len(steps)]; s.Goes.Value == next.Goes.Value && s.At.SI != next.At.SI {
				c.add(next.Origin, "%s sends `%s` %s, where %s has sent it already: out and in go by turns", next.Path, name, next.Goes.Value, s.Path)
				break
			}
		}
	}
}

// ByCylinder are the steps of each cylinder, in the order of time.
func (c Cycle) ByCylinder() map[string][]Step {
	by := map[string][]Step{}
	for _, s := range c.Steps {
		by[s.Cylinder.Value] = append(by[s.Cylinder.Value], s)
	}
	for _, steps := range by {
		slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(a.At.SI, b.At.SI) })
	}
	return by
}
