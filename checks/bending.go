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
			why = heldUnknown
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

// heldUnknown is why a fixed link can't be bent.
const heldUnknown = "how the fixed link is held is not given: add `span: mm: 600, held: \"both ends\"` to its section (or \"one end\")"

func heldBy(s schema.Section) bending.Held {
	if s.Held.Value == "one end" {
		return bending.OneEnd
	}
	return bending.BothEnds
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
	link, ok := mo.supported(statics[0], body)
	if !ok {
		return bent{allowed: x.allowedAside(x.barLength(body)), where: "anywhere", under: "nothing that bends it"}, nil
	}
	var forces linkage.Forces
	var members []linkage.Member
	aside := make([][]r2.Vec, len(statics)) // at each place of each bar
	worst.allowed = x.allowedAside(link.between)
	for _, poses := range mo.samples() {
		for k := range poses {
			for i, s := range statics {
				if err := s.Hold(&poses[k], linkage.Standing, &forces); err != nil {
					return worst, err
				}
				members = s.Members(body, linkage.Scene{Pose: &poses[k]}, &forces, members)
				link.follow(members, stiffness)
				aside[i] = aside[i][:0]
				for bar := range members {
					for n := range bendPlaces {
						aside[i] = append(aside[i], link.at(bar, float64(n)/(bendPlaces-1)))
					}
				}
			}
			for place := range aside[0] {
				bar, n := place/bendPlaces, place%bendPlaces
				allowed := x.allowedAside(link.free[bar])
				sum, with := aside[0][place], names[:1:1]
				for i, a := range aside[1:] {
					if more := r2.Add(sum, a[place]); r2.Norm2(more) > r2.Norm2(sum) && r2.Norm(a[place]) > tieBreak*allowed {
						sum, with = more, append(with, names[i+1])
					}
				}
				if by := r2.Norm(sum); by/allowed > worst.deflection/worst.allowed*(1+tieBreak) {
					worst = bent{by, allowed, mo.when(&poses[k]), link.placed(mo, bar, float64(n)/(bendPlaces-1)), inWords(with), rodsOut(&poses[k])}
				}
			}
		}
	}
	if worst.where == "" {
		worst.where, worst.under = "anywhere", "nothing that bends it"
	}
	return worst, nil
}

// A bentLink is a link whose bars bend, seen from the line through two of its pivots, as drawn.
type bentLink struct {
	points  []r2.Vec // of the machine
	limbs   []linkage.Limb
	a, b    int       // the pivots: those farthest apart
	between float64   // from a to b, m
	free    []float64 // of each bar: how long what bends is that it belongs to, from a to b or from there to a free end, m
	way     []r2.Vec  // of each point
	turn    []float64
	bars    [][]bending.Moment
	ei      float64
}

// supported finds the pivots from which the bending of a moving link is seen. ok is false for one with fewer than two.
func (mo *motion) supported(t *linkage.Statics, body int) (*bentLink, bool) {
	points := mo.solver.Mechanism().Points
	l := &bentLink{points: points, limbs: t.Limbs(body), way: make([]r2.Vec, len(points)), turn: make([]float64, len(points))}
	joints := t.Joints()
	for i, p := range joints {
		for _, q := range joints[:i] {
			if d := r2.Norm(r2.Sub(points[p.Point], points[q.Point])); p.Body == body && q.Body == body && d > l.between+fitOfDrawing {
				l.a, l.b, l.between = q.Point, p.Point, d
			}
		}
	}
	if l.between == 0 {
		return l, false
	}
	// From a to b the bars are those that lie below one of the two ends and not below the other.
	above := map[int]int{} // of each point: the bar that ends there
	for k, limb := range l.limbs {
		above[limb.To] = k
	}
	on := make([]int, len(l.limbs))
	for _, p := range [2]int{l.a, l.b} {
		for k, ok := above[p]; ok; k, ok = above[l.limbs[k].From] {
			on[k]++
		}
	}
	l.free, l.bars = make([]float64, len(l.limbs)), make([][]bending.Moment, len(l.limbs))
	long := func(k int) float64 { return r2.Norm(r2.Sub(points[l.limbs[k].To], points[l.limbs[k].From])) }
	for k := range l.limbs {
		if on[k] == 1 {
			l.free[k] = l.between
		}
	}
	// What hangs beyond: as long as its longest way outward, and from where it leaves the bars between the pivots.
	beyond := make([]float64, len(l.limbs))
	for k := len(l.limbs) - 1; k >= 0; k-- {
		beyond[k] += long(k)
		if up, ok := above[l.limbs[k].From]; ok && on[k] == 0 {
			beyond[up] = max(beyond[up], beyond[k])
		}
	}
	for k := range l.limbs {
		up, ok := above[l.limbs[k].From]
		switch {
		case on[k] == 1:
		case on[k] == 0 && ok && on[up] == 0:
			l.free[k] = l.free[up]
		default:
			l.free[k] = beyond[k]
		}
	}
	return l, true
}

// follow bends the bars one after the other from the first end on, and looks at them from the pivots.
func (l *bentLink) follow(members []linkage.Member, stiffness float64) {
	l.ei = stiffness
	first := l.limbs[0].From
	l.way[first], l.turn[first] = r2.Vec{}, 0
	for k, m := range members {
		l.bars[k] = l.bars[k][:0]
		for _, one := range m.Moments {
			l.bars[k] = append(l.bars[k], bending.Moment{X: one.X, M: one.Bending})
		}
		l.way[m.To], l.turn[m.To] = l.raw(k, 1)
	}
	from, span := l.way[l.a], r2.Sub(l.points[l.b], l.points[l.a])
	turn := r2.Cross(span, r2.Sub(l.way[l.b], from)) / r2.Norm2(span)
	for _, p := range l.ends() {
		l.way[p] = r2.Sub(r2.Sub(l.way[p], from), r2.Scale(turn, quarter(r2.Sub(l.points[p], l.points[l.a]))))
		l.turn[p] -= turn
	}
}

func (l *bentLink) ends() []int {
	ends := []int{l.limbs[0].From}
	for _, limb := range l.limbs {
		ends = append(ends, limb.To)
	}
	return ends
}

// raw is where a place on a bar comes to, by where its From comes to, and how far it turns.
func (l *bentLink) raw(bar int, part float64) (way r2.Vec, turn float64) {
	limb := l.limbs[bar]
	span := r2.Sub(l.points[limb.To], l.points[limb.From])
	length := r2.Norm(span)
	v, slope := bending.Along(l.bars[bar], l.ei, part*length)
	across := quarter(r2.Scale(1/length, span))
	return r2.Add(l.way[limb.From], r2.Scale(l.turn[limb.From]*part*length+v, across)), l.turn[limb.From] + slope
}

// at is how far a place on a bar lies from where it is drawn.
func (l *bentLink) at(bar int, part float64) r2.Vec {
	way, _ := l.raw(bar, part)
	return way
}

func (l *bentLink) placed(mo *motion, bar int, part float64) string {
	limb := l.limbs[bar]
	long := r2.Norm(r2.Sub(l.points[limb.To], l.points[limb.From]))
	return fmt.Sprintf("%s from %s towards %s", schema.Format(schema.LengthDim, part*long), mo.points[limb.From], mo.points[limb.To])
}

// quarter is v turned by a quarter, from x towards y.
func quarter(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

// anchor bends a fixed link under the largest force at one of its points, taken across it.
func (x *examiner) anchor(name string, section schema.Section, stiffness float64) (worst bent, err error) {
	mo := x.motion
	statics, names, err := mo.cases()
	if err != nil {
		return worst, err
	}
	held := heldBy(section)
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
