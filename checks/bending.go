package checks

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/bending"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// slender is how many times as long as its deflection a link in a machine should be, and strokePart how much of a stroke may be lost
	// in bending. Common practice, no source.
	slender    = 500
	strokePart = 0.03
	// bendPlaces is in how many places along a link its deflection is looked at.
	bendPlaces = 41
)

// sections judges how far the links bend of which the section is given.
func (x *examiner) sections() {
	if len(x.motion.cylinders) == 0 {
		return
	}
	for i, name := range x.motion.links {
		l := x.m.Links[name]
		if !l.Section.Given() {
			continue
		}
		s := newSubject(x.m, "section", name, l.Section.At)
		x.add(s)
		stiffness := x.elasticity(l.Section) * l.Section.Moment.SI
		why := x.motion.whyNot()
		if why == "" && len(x.motion.unweighed) > 0 {
			why = fmt.Sprintf("the weight of %s is not given: add `mass: kg: …` to each (an estimate will do, nothing will not)", strings.Join(x.motion.unweighed, ", "))
		}
		if why == "" && l.Ground.Value && !l.Section.Held.Given() {
			why = "how the fixed link is held is not given: add `span: mm: 600, held: \"both ends\"` to its section (or \"one end\")"
		}
		if why != "" {
			s.open(why, "deflection")
			continue
		}
		var b bent
		var err error
		if l.Ground.Value {
			b, err = x.anchor(name, l.Section, stiffness)
		} else {
			b, err = x.bar(i, stiffness)
		}
		if err != nil {
			s.open(err.Error(), "deflection")
			continue
		}
		needed := l.Section.Moment.SI * b.deflection / b.allowed
		s.set("deflection", schema.LengthDim, b.deflection, l.Section.Moment, l.Section.Material, l.Section.Elasticity, l.Section.Span)
		s.worst("deflection", b.when, b.rods...)
		s.text("where", b.where)
		s.text("under", b.under)
		s.set("deflectionAllowed", schema.LengthDim, b.allowed)
		s.set("moment", schema.MomentDim, l.Section.Moment.SI, l.Section.Moment)
		s.set("momentNeeded", schema.MomentDim, needed, l.Section.Moment)
		s.set("deeper", schema.NumberDim, math.Cbrt(b.deflection/b.allowed), l.Section.Moment)
	}
}

func (x *examiner) elasticity(s schema.Section) float64 {
	if row, err := x.m.Material(s.Material.Value); err == nil {
		return row.Elasticity
	}
	return s.Elasticity.SI
}

// A bent is where a link bends most, by what is allowed there.
type bent struct {
	deflection, allowed float64
	when, where, under  string
	rods                []float64
}

// allowedAside is what a part of a link of some length may bend.
func (x *examiner) allowedAside(length float64) float64 {
	allowed := length / slender
	for _, c := range x.motion.cylinders {
		allowed = min(allowed, strokePart*x.m.Cylinders[c].Stroke.SI)
	}
	return allowed
}

// cases are what is always there, and each force alone. A force may be absent, so that it counts only where it bends the link further.
func (mo *motion) cases() (statics []*linkage.Statics, names []string, err error) {
	if mo.loaded != nil {
		return mo.loaded, mo.loadedBy, nil
	}
	list := []linkage.Case{mo.weights}
	names = []string{"the weights"}
	for _, f := range mo.forces {
		list, names = append(list, f.load), append(names, f.name)
	}
	for _, c := range list {
		s, err := mo.solver.Statics(c)
		if err != nil {
			return nil, nil, err
		}
		statics = append(statics, s)
	}
	mo.loaded, mo.loadedBy = statics, names
	return statics, names, nil
}

// bar bends a moving link between its pivots, and what sticks out beyond them.
func (x *examiner) bar(body int, stiffness float64) (worst bent, err error) {
	mo := x.motion
	statics, names, err := mo.cases()
	if err != nil {
		return worst, err
	}
	bar := straight{points: mo.solver.Mechanism().Points}
	bar.from, bar.to = statics[0].Bar(body)
	bar.length = r2.Norm(r2.Sub(bar.points[bar.to], bar.points[bar.from]))
	low, high := bar.pinned(statics[0], body)
	if !(high-low > fitOfDrawing) {
		return bent{allowed: x.allowedAside(bar.length), where: "anywhere", under: "nothing that bends it"}, nil
	}
	var at, out [bendPlaces]float64
	for i := range at {
		at[i] = bar.length * float64(i) / (bendPlaces - 1)
	}
	var forces linkage.Forces
	var found []linkage.Moment
	var moments []bending.Moment
	worst.allowed = x.allowedAside(high - low)
	for _, poses := range mo.samples() {
		for k := range poses {
			aside := make([][bendPlaces]float64, len(statics))
			for i, s := range statics {
				if err := s.Hold(&poses[k], linkage.Standing, &forces); err != nil {
					return worst, err
				}
				found, moments = s.Moments(body, &forces, found), moments[:0]
				for _, m := range found {
					moments = append(moments, bending.Moment{X: m.X, M: m.Bending})
				}
				bending.Aside(moments, stiffness, low, high, at[:], out[:])
				aside[i] = out
			}
			for i, place := range at {
				length := high - low
				if place < low-fitOfDrawing {
					length = low
				} else if place > high+fitOfDrawing {
					length = bar.length - high
				}
				allowed := x.allowedAside(length)
				for _, sign := range []float64{1, -1} {
					sum, with := sign*aside[0][i], names[:1:1]
					for n, a := range aside[1:] {
						if sign*a[i] > tieBreak*allowed {
							sum, with = sum+sign*a[i], append(with, names[n+1])
						}
					}
					if sum/allowed > worst.deflection/worst.allowed*(1+tieBreak) {
						worst = bent{sum, allowed, mo.when(&poses[k]), bar.placed(mo, place), inWords(with), rodsOut(&poses[k])}
					}
				}
			}
		}
	}
	if worst.where == "" {
		worst.where, worst.under = "anywhere", "nothing that bends it"
	}
	return worst, nil
}

// A straight is a link as a bar between the two of its points that are farthest apart.
type straight struct {
	from, to int
	points   []r2.Vec
	length   float64
}

func (s straight) along(point int) float64 {
	along := r2.Dot(r2.Sub(s.points[point], s.points[s.from]), r2.Sub(s.points[s.to], s.points[s.from])) / s.length
	return max(0, min(s.length, along))
}

// pinned is the stretch from the first to the last of a body's pivots.
func (s straight) pinned(t *linkage.Statics, body int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, j := range t.Joints() {
		if j.Body == body {
			low, high = min(low, s.along(j.Point)), max(high, s.along(j.Point))
		}
	}
	return low, high
}

func (s straight) placed(mo *motion, x float64) string {
	return fmt.Sprintf("%s from %s towards %s", schema.Format(schema.LengthDim, x), mo.points[s.from], mo.points[s.to])
}

// anchor bends a fixed link under the largest force at one of its points, taken across it.
func (x *examiner) anchor(name string, section schema.Section, stiffness float64) (worst bent, err error) {
	mo := x.motion
	statics, names, err := mo.cases()
	if err != nil {
		return worst, err
	}
	held := bending.BothEnds
	if section.Held.Value == "one end" {
		held = bending.OneEnd
	}
	worst.allowed = x.allowedAside(section.Span.SI)
	most := 0.0
	forces := make([]linkage.Forces, len(statics))
	for _, poses := range mo.samples() {
		for k := range poses {
			for i, s := range statics {
				if err := s.Hold(&poses[k], linkage.Standing, &forces[i]); err != nil {
					return worst, err
				}
			}
			for j, joint := range statics[0].Joints() {
				point := mo.points[joint.Point]
				if !x.m.Links[mo.links[joint.Body]].Ground.Value || !goesThrough(x.m.Links[name], point) {
					continue
				}
				sum, with := forces[0].Reactions[j], names[:1:1]
				for i := range statics[1:] {
					if more := r2.Add(sum, forces[i+1].Reactions[j]); r2.Norm2(more) > r2.Norm2(sum) {
						sum, with = more, append(with, names[i+1])
					}
				}
				if f := r2.Norm(sum); f > most*(1+tieBreak) {
					most = f
					worst.when, worst.rods = mo.when(&poses[k]), rodsOut(&poses[k])
					worst.under = fmt.Sprintf("%s at %s (%s)", schema.Format(schema.ForceDim, f), point, inWords(with))
				}
			}
		}
	}
	worst.deflection = bending.Under(most, section.Span.SI, stiffness, held)
	if worst.where = "in the middle"; held == bending.OneEnd {
		worst.where = "at its free end"
	}
	if most == 0 {
		worst.under = "nothing that bends it"
	}
	return worst, nil
}
