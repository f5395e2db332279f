package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// alike is the surplus below which four links can come to lie in one line, as a part of all their lengths: makers' lengths are no better.
	alike = 0.01
	// leastMargin is how far from that line the links of a machine should stay, besides what play adds. Common practice, no source.
	leastMargin = 5 * math.Pi / 180
	// stopStep is what the stop positions that a remedy names are rounded to, m.
	stopStep = 0.5e-3
)

// fourBars judges the closed chains of four links that can fold over where they come to lie in one line: parallelograms, kites.
func (x *examiner) fourBars() {
	mo := x.motion
	if mo.unknown() != "" || len(mo.cylinders) == 0 {
		return
	}
	for _, f := range mo.solver.FourBars() {
		if math.Abs(f.Surplus) > alike {
			continue
		}
		names := mo.listed(f.Pivots[:], mo.points)
		s := newSubject(x.m, "four-bar", strings.Join(names, "-"), x.m.Links[mo.links[f.Bodies[1]]].At)
		x.add(s)
		s.set("surplus", schema.NumberDim, math.Abs(f.Surplus))
		play := x.playOf(f)
		needed := leastMargin + play
		least, worst, in := math.Inf(1), (*linkage.Pose)(nil), (*run)(nil)
		mo.everyPose(func(r *run, p *linkage.Pose) {
			if m := f.Margin(p); m < least {
				least, worst, in = m, p, r
			}
		})
		if in == nil {
			continue
		}
		stroke := x.m.Cylinders[mo.cylinders[in.Lead]].Stroke
		s.set("margin", schema.AngleDim, least, stroke)
		s.worst("margin", mo.when(worst), rodsOut(worst)...)
		s.set("playAngle", schema.AngleDim, play)
		s.set("marginNeeded", schema.AngleDim, needed, stroke)
		s.text("links", inWords(mo.listed(f.Bodies[:], mo.links)))
		if least < needed {
			s.text("remedyStops", x.stopsClear(f, in, needed))
		}
	}
}

// playOf is by what angle the play in a chain's pivots can turn its shortest link: all of it on one side.
func (x *examiner) playOf(f linkage.FourBar) float64 {
	sum := 0.0
	for _, p := range f.Pivots {
		most := 0.0
		for _, s := range x.subjects {
			if play, ok := s.Facts["clearanceMost"]; ok && s.Kind == "fit" && play.Kind == Quantity && strings.HasPrefix(s.Name, x.motion.points[p]+": ") {
				most = max(most, play.SI)
			}
		}
		sum += most
	}
	return sum / slices.Min(f.Lengths[:])
}

// stopsClear finds between which strokes of the cylinder that leads a run the chain keeps clear of the line, from the drawn pose on.
func (x *examiner) stopsClear(f linkage.FourBar, r *run, needed float64) string {
	mo := x.motion
	name := mo.cylinders[r.Lead]
	drawn := mo.drawnStroke(mo.mechanism.Cylinders[r.Lead])
	clear := func(p linkage.Pose) bool { return f.Margin(&p) >= needed }
	at := 0
	for i, p := range r.Poses {
		if math.Abs(p.Stroke-drawn) < math.Abs(r.Poses[at].Stroke-drawn) {
			at = i
		}
	}
	if !clear(r.Poses[at]) {
		return "As drawn the links lie nearly in one line: draw and build it where they do not, or make one pair of links longer than the other"
	}
	first, last := at, at
	for first > 0 && clear(r.Poses[first-1]) {
		first--
	}
	for last < len(r.Poses)-1 && clear(r.Poses[last+1]) {
		last++
	}
	from, to := r.Poses[first].Stroke, r.Poses[last].Stroke
	if first > 0 {
		from = math.Ceil(from/stopStep) * stopStep
	}
	if last < len(r.Poses)-1 || r.Extending != nil {
		to = math.Floor(to/stopStep) * stopStep
	}
	d := mo.redrawn(posesPerStroke, func(d *motion) { d.ranges[r.Lead] = [2]float64{from, to} })
	if !(from < to) || d == nil {
		return fmt.Sprintf("No stop of %s keeps them clear of the line: take a shorter stroke, or make one pair of links longer than the other", name)
	}
	least := math.Inf(1)
	for _, g := range d.solver.FourBars() {
		if g.Pivots == f.Pivots {
			d.everyPose(func(_ *run, p *linkage.Pose) { least = min(least, g.Margin(p)) })
		}
	}
	if least < needed {
		return fmt.Sprintf("Stops of %s alone do not keep them clear of the line: stop the other cylinders too, or make one pair of links longer than the other", name)
	}
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	var stops []string
	if first > 0 {
		stops = append(stops, "before it closes below "+mm(from))
	}
	if to < mo.ranges[r.Lead][1] {
		stops = append(stops, "at "+mm(to)+" of its stroke")
	}
	return fmt.Sprintf("Stop %s %s: the links stay %s clear of the line then", name, strings.Join(stops, " and "), schema.Format(schema.AngleDim, least))
}

// waysOn says how the links can go on from where they lie in one line: as they are drawn, or the other way.
func (mo *motion) waysOn(s *linkage.Stop) string {
	for _, f := range mo.solver.FourBars() {
		if math.Abs(f.Surplus) > alike || !slices.ContainsFunc(f.Bodies[:], func(b int) bool { return slices.Contains(s.Bodies, b) }) {
			continue
		}
		first := 0 // of the opposite links that are not the ground
		if mo.mechanism.Bodies[f.Bodies[0]].Ground || mo.mechanism.Bodies[f.Bodies[2]].Ground {
			first = 1
		}
		at := func(k int) r2.Vec { return mo.mechanism.Points[f.Pivots[k%4]] }
		side, crossed := "", ", as drawn"
		if !cross(at(0), at(1), at(2), at(3)) && !cross(at(1), at(2), at(3), at(0)) {
			side, crossed = ", as drawn", ""
		}
		return fmt.Sprintf("%s and %s go on side by side%s, or crossed%s", mo.links[f.Bodies[first]], mo.links[f.Bodies[first+2]], side, crossed)
	}
	return ""
}

// cross reports whether the stretches from a to b and from c to d meet.
func cross(a, b, c, d r2.Vec) bool {
	side := func(p, q, r r2.Vec) float64 { return r2.Cross(r2.Sub(q, p), r2.Sub(r, p)) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
