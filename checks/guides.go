package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// guides judges whether slides stay between the points that their guides run between.
func (x *examiner) guides() {
	mo := x.motion
	if mo.unknown() != "" || len(mo.cylinders) == 0 {
		return // the facts of the links say so
	}
	for _, name := range sorted(x.m.Slides) {
		slide := x.m.Slides[name]
		s := newSubject(x.m, "slide", name, slide.At)
		x.add(s)
		point, from, to := mo.point(slide.Point.Value), mo.point(slide.Along[0].Value), mo.point(slide.Along[1].Value)
		inside, worst, end := math.Inf(1), (*linkage.Pose)(nil), 0
		mo.everyPose(func(_ *run, p *linkage.Pose) {
			way := r2.Sub(p.Points[to], p.Points[from])
			along := r2.Dot(r2.Unit(way), r2.Sub(p.Points[point], p.Points[from]))
			for i, left := range []float64{along, r2.Norm(way) - along} {
				if left < inside-tieBreak*r2.Norm(way) {
					inside, worst, end = left, p, i
				}
			}
		})
		last := mo.points[[]int{from, to}[end]]
		at := x.m.Points[last]
		s.set("inside", schema.LengthDim, inside, at.X, at.Y)
		s.worst("inside", mo.when(worst), rodsOut(worst)...)
		s.text("point", slide.Point.Value)
		s.text("end", last)
		if inside < 0 {
			drawn := mo.mechanism.Points
			out := r2.Unit(r2.Sub(drawn[[]int{from, to}[end]], drawn[[]int{to, from}[end]]))
			by := math.Ceil(-inside/wholeShift-rounding) * wholeShift
			s.text("remedyGuide", fmt.Sprintf("Let the guide reach to %s, %s farther", placeText(r2.Add(drawn[[]int{from, to}[end]], r2.Scale(by, out))), schema.Format(schema.LengthDim, by)))
		}
	}
}
