package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// repair finds which joint to add or to release so that a linkage moves as a machine must; "" where none is found, or nothing is amiss.
func (mo *motion) repair() string {
	works := func(change func(d *motion)) bool {
		return mo.redrawn(trialPoses, change) != nil && mo.redrawn(posesPerStroke, change) != nil
	}
	for _, f := range mo.kinds {
		text := ""
		switch f.Kind {
		case linkage.Undriven:
			for _, mend := range []func(f linkage.Fault, works func(change func(d *motion)) bool) string{mo.join, mo.guide, mo.stand, mo.brace} {
				if text = mend(f, works); text != "" {
					break
				}
			}
		case linkage.NotConnected:
			text = mo.join(f, works)
		case linkage.Locked:
			text = mo.release(works)
		case linkage.DrawnTooShort, linkage.DrawnTooLong:
			text = mo.refit(f, works)
		}
		if text != "" {
			return text
		}
	}
	return ""
}

// refit says what length a cylinder must have to fit where it is drawn, and if one pin is enough for it, where else that would be.
func (mo *motion) refit(f linkage.Fault, works func(change func(d *motion)) bool) string {
	c := mo.mechanism.Cylinders[f.Cylinders[0]]
	points := mo.mechanism.Points
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	text, long := fmt.Sprintf("Take for %s a cylinder that is %s long or less from pin to pin, closed", mo.cylinders[f.Cylinders[0]], mm(f.Length)), f.Least+wholeShift
	if f.Kind == linkage.DrawnTooLong {
		text, long = fmt.Sprintf("Take for %s a cylinder that reaches %s or more from pin to pin, with the rod out", mo.cylinders[f.Cylinders[0]], mm(f.Length)), f.Most-wholeShift
	}
	ends := [][2]int{{c.Rear, c.Front}, {c.Front, c.Rear}}
	if mo.grounded(c.Front) && !mo.grounded(c.Rear) {
		slices.Reverse(ends)
	}
	for _, end := range ends {
		from := points[end[1]]
		to := inWholes(r2.Add(from, r2.Scale(long, r2.Unit(r2.Sub(points[end[0]], from)))))
		if works(func(d *motion) { d.mechanism.Points[end[0]] = to }) {
			return fmt.Sprintf("%s; or put %s at %s, where it fits and makes its stroke", text, mo.points[end[0]], placeText(to))
		}
	}
	return text
}

// join makes one point of two that lie in one place.
func (mo *motion) join(f linkage.Fault, works func(change func(d *motion)) bool) string {
	points := mo.mechanism.Points
	for p := range points {
		for q := range p {
			if r2.Norm(r2.Sub(points[p], points[q])) > fitOfDrawing || !slices.ContainsFunc(f.Bodies, func(b int) bool {
				return slices.Contains(mo.mechanism.Bodies[b].Points, p) || slices.Contains(mo.mechanism.Bodies[b].Points, q)
			}) {
				continue
			}
			if works(func(d *motion) { d.rename(p, q) }) {
				return fmt.Sprintf("Write %s for %s wherever it stands, so that the links meet there: then it moves as it must", mo.points[q], mo.points[p])
			}
		}
	}
	return ""
}

// rename puts one point in another's place.
func (mo *motion) rename(from, to int) {
	for _, b := range mo.mechanism.Bodies {
		for i := range b.Points {
			if b.Points[i] == from {
				b.Points[i] = to
			}
		}
	}
	for i := range mo.mechanism.Cylinders {
		c := &mo.mechanism.Cylinders[i]
		for _, end := range []*int{&c.Rear, &c.Front} {
			if *end == from {
				*end = to
			}
		}
	}
}

// guide lets a second point of a loose link that slides run along the same line as the first.
func (mo *motion) guide(f linkage.Fault, works func(change func(d *motion)) bool) string {
	for _, slide := range mo.mechanism.Slides {
		for _, i := range f.Bodies {
			on := mo.mechanism.Bodies[i].Points
			if i == slide.Body || !slices.Contains(on, slide.Point) {
				continue
			}
			for _, p := range on {
				second := slide
				second.Point = p
				if slices.Contains(mo.mechanism.Slides, second) || !mo.along(slide, p) {
					continue
				}
				if works(func(d *motion) { d.mechanism.Slides = append(slices.Clone(d.mechanism.Slides), second) }) {
					return fmt.Sprintf("Let %s of %s slide along %s too, as %s does, so that it can't tip: then all of it moves through the whole stroke", mo.points[p], mo.links[i], mo.links[slide.Body], mo.points[slide.Point])
				}
			}
		}
	}
	return ""
}

// along reports whether a point lies on the line of a slide, as drawn.
func (mo *motion) along(s linkage.Slide, p int) bool {
	points := mo.mechanism.Points
	way := r2.Unit(r2.Sub(points[s.To], points[s.From]))
	return math.Abs(r2.Cross(way, r2.Sub(points[p], points[s.From]))) < fitOfDrawing
}

// stand fixes a loose link that no pivot joins to the ground.
func (mo *motion) stand(f linkage.Fault, works func(change func(d *motion)) bool) string {
	for _, i := range f.Bodies {
		if slices.ContainsFunc(mo.mechanism.Bodies[i].Points, mo.grounded) {
			continue
		}
		if works(func(d *motion) { d.mechanism.Bodies[i].Ground = true }) {
			return fmt.Sprintf("If %s stands still, write `ground: true` in it: then all of it moves through the whole stroke. If not, it lacks a link, a slide or a cylinder", mo.links[i])
		}
	}
	return ""
}

// brace adds a link, between a point of a link that is loose and one of a link that is not, fixed ones first.
func (mo *motion) brace(f linkage.Fault, works func(change func(d *motion)) bool) string {
	bodies := mo.mechanism.Bodies
	var held []int
	for _, ground := range []bool{true, false} {
		for i, b := range bodies {
			if b.Ground == ground && !slices.Contains(f.Bodies, i) {
				held = append(held, i)
			}
		}
	}
	for _, i := range held {
		for _, q := range bodies[i].Points {
			for _, j := range f.Bodies {
				for _, p := range bodies[j].Points {
					if p == q || slices.Contains(bodies[i].Points, p) || mo.joined(p, q) {
						continue
					}
					if works(func(d *motion) { d.mechanism.Bodies = append(d.mechanism.Bodies, linkage.Body{Points: []int{p, q}}) }) {
						return fmt.Sprintf("What is loose lacks a link, a slide or a cylinder. With a link from %s to %s, for one, all of it moves through the whole stroke", mo.points[p], mo.points[q])
					}
				}
			}
		}
	}
	return ""
}

// joined reports whether one link goes through both points.
func (mo *motion) joined(p, q int) bool {
	return slices.ContainsFunc(mo.mechanism.Bodies, func(b linkage.Body) bool { return slices.Contains(b.Points, p) && slices.Contains(b.Points, q) })
}

// release leaves out one link that only joins two others.
func (mo *motion) release(works func(change func(d *motion)) bool) string {
	var names []string
	for i, b := range mo.mechanism.Bodies {
		if b.Ground || len(b.Points) != 2 || slices.ContainsFunc(mo.mechanism.Slides, func(s linkage.Slide) bool { return s.Body == i }) {
			continue
		}
		if works(func(d *motion) { d.mechanism.Bodies = slices.Delete(d.mechanism.Bodies, i, i+1); d.slidesWithout(i) }) {
			names = append(names, mo.links[i])
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("Leave out %s, or let one of its pivots slide in a slot: without it the rest moves as it must", names[0])
	}
	return fmt.Sprintf("Leave out one of %s, or let one of its pivots slide in a slot: without it the rest moves as it must", inWords(names))
}

// slidesWithout counts the bodies of slides anew when one is left out.
func (mo *motion) slidesWithout(body int) {
	mo.mechanism.Slides = slices.Clone(mo.mechanism.Slides)
	for i := range mo.mechanism.Slides {
		if mo.mechanism.Slides[i].Body > body {
			mo.mechanism.Slides[i].Body--
		}
	}
}
