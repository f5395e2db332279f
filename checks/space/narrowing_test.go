package space

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// narrowings are those of the first shape and another.
func narrowings(scene Scene, motion Motion, apart float64, other int, within float64, interest func(step int, at r2.Vec) bool) ([]Narrowing, error) {
	e, err := NewEdges(scene, motion, apart)
	if err != nil {
		return nil, err
	}
	return e.Narrowings([]int{0}, []int{other}, within, interest)
}

// courses gives the narrowings of two shapes whose place at the first step is within half a millimetre of a point.
func courses(t *testing.T, scene Scene, motion Motion, at r2.Vec) []Narrowing {
	t.Helper()
	all, err := narrowings(scene, motion, 5e-3, 1, math.Inf(1), nil)
	if err != nil {
		t.Fatal(err)
	}
	var found []Narrowing
	for _, n := range all {
		if r2.Norm(r2.Sub(n.On[0][0], at)) < 5e-4 {
			found = append(found, n)
		}
	}
	return found
}

// Closed form: beside a hinge, at r from it, a bar that stands at the angle a to another is r sin a from its middle line.
func TestGapBesideHinge(t *testing.T) {
	const w, r = 0.02, 0.1
	bar := must(Bar(w, v(0, 0), v(0.2, 0)))
	motion := turning(31, []r2.Vec{{}, {}}, []float64{0, 1.2}, []float64{0, 0.3})
	// On the lower bar's upper edge; the direction to the upper bar is across that.
	direction := v(-math.Sin(1.2), math.Cos(1.2))
	found := courses(t, Scene{Shapes: two(bar, bar)}, motion, v(r+w/2*direction.X, w/2*direction.Y))
	if len(found) != 1 || !found[0].Own {
		t.Fatalf("%d places, want 1", len(found))
	}
	for k, s := range motion.S {
		near(t, "gap", found[0].Gap[k], r*math.Sin(1.2-0.9*s)-w, 1e-12)
	}
}

// Closed form: two plates face to face, with layers apart along the pins; the side turned away sees nothing.
func TestGapOfPlates(t *testing.T) {
	plate := must(Polygon(v(-0.05, -0.01), v(0.05, -0.01), v(0.05, 0.01), v(-0.05, 0.01)))
	scene := Scene{Shapes: []Shape{{Body: 0, Outline: plate, Low: 0, High: 0.01}, {Body: 1, Outline: plate, Low: 0.04, High: 0.05}}}
	var motion Motion
	for k := range 5 {
		motion.S = append(motion.S, float64(k))
		motion.Poses = append(motion.Poses, []Pose{{}, {At: v(0, 0.12-0.02*float64(k))}})
	}
	found := courses(t, scene, motion, v(0, 0.01))
	if len(found) != 1 {
		t.Fatalf("%d places on the face, want 1", len(found))
	}
	for k, g := range found[0].Gap {
		near(t, "gap", g, math.Hypot(0.1-0.02*float64(k), 0.03), 1e-12)
	}
	if turned := courses(t, scene, motion, v(0, -0.01)); len(turned) != 0 {
		t.Errorf("the side turned away has %d places before the other plate", len(turned))
	}
}

// The least of all places is what the search for the closest approach finds, and that is held against Shapely over random shapes.
func TestLeastOfPlacesAgainstClosest(t *testing.T) {
	hook := must(Polygon(v(0, 0), v(0.1, 0), v(0.1, 0.06), v(0.08, 0.06), v(0.08, 0.02), v(0, 0.02)))
	bar := must(Bar(0.016, v(0, 0), v(0.12, 0.01)))
	motion := turning(61, []r2.Vec{{}, v(-0.02, 0.09)}, []float64{0.1, 0.3}, []float64{-0.2, -0.1})
	scene := Scene{Shapes: two(hook, bar)}
	want := closest(t, scene, motion, Search{})[0]
	all, err := narrowings(scene, motion, 2e-3, 1, math.Inf(1), nil)
	if err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	for _, n := range all {
		for _, g := range n.Gap {
			if g < least {
				least = g
			}
		}
	}
	near(t, "least", least, max(0, want.Distance), 1e-4)
	if want.Distance <= 0 {
		t.Error("the two overlap: this compares nothing")
	}
}

// No place of a part sees another through its own part: the inner side of a hook sees what lies in it, and its back does not.
func TestNothingSeenThroughItself(t *testing.T) {
	hook := must(Polygon(v(0, 0), v(0.1, 0), v(0.1, 0.06), v(0.08, 0.06), v(0.08, 0.02), v(0, 0.02)))
	pin := must(Circle(v(0.04, 0.05), 0.02))
	motion := turning(2, []r2.Vec{{}, {}}, []float64{0, 0}, []float64{0, 0.01})
	scene := Scene{Shapes: two(hook, pin)}
	for _, c := range []struct {
		at   r2.Vec
		sees bool
	}{{v(0.08, 0.05), true}, {v(0.1, 0.05), false}, {v(0.04, 0.02), true}, {v(0.04, 0), false}} {
		if got := len(courses(t, scene, motion, c.at)) > 0; got != c.sees {
			t.Errorf("place (%g, %g): sees the pin %v, want %v", c.at.X, c.at.Y, got, c.sees)
		}
	}
}

func TestNarrowingsRefuse(t *testing.T) {
	bar := must(Bar(0.02, v(0, 0), v(0.1, 0)))
	motion := turning(2, []r2.Vec{{}, {}}, []float64{0, 0}, []float64{0, 1})
	scene := Scene{Shapes: two(bar, bar)}
	for what, err := range map[string]error{
		"a spacing of 0": second(narrowings(scene, motion, 0, 1, math.Inf(1), nil)),
		"a shape of 2":   second(narrowings(scene, motion, 1e-3, 2, math.Inf(1), nil)),
		"no steps":       second(narrowings(scene, Motion{}, 1e-3, 1, math.Inf(1), nil)),
	} {
		if err == nil {
			t.Errorf("%s is taken", what)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// Closed form: a line above a square.
func TestWithin(t *testing.T) {
	square := must(Polygon(v(0, 0), v(1, 0), v(1, 1), v(0, 1)))
	near(t, "beside", square.Within(v(-1, 1.5), v(2, 1.5)), 0.5, 1e-12)
	near(t, "a point beside", square.Within(v(2, 0.5), v(2, 0.5)), 1, 1e-12)
	if d := square.Within(v(-1, 0.5), v(2, 0.5)); d > 0 {
		t.Errorf("a line through is %g away", d)
	}
}

// Closed form: the far corner of a rectangle, and the round end of a bar.
func TestFarthest(t *testing.T) {
	plate, bar := must(Polygon(v(0, 0), v(3, 0), v(3, 4), v(0, 4))), must(Bar(0.02, v(0, 0), v(0.1, 0)))
	near(t, "plate", plate.Farthest(), 5, 1e-12)
	near(t, "bar", bar.Farthest(), 0.11, 1e-12)
}

// A place that is never of interest is not followed, one that is at one step is.
func TestPlacesOfInterest(t *testing.T) {
	bar := must(Bar(0.02, v(0, 0), v(0.2, 0)))
	motion := turning(11, []r2.Vec{{}, {}}, []float64{0, 1.2}, []float64{0, 0.3})
	scene := Scene{Shapes: two(bar, bar)}
	all, err := narrowings(scene, motion, 5e-3, 1, math.Inf(1), nil)
	if err != nil {
		t.Fatal(err)
	}
	const far = 0.15
	some, err := narrowings(scene, motion, 5e-3, 1, math.Inf(1), func(step int, at r2.Vec) bool { return step == 10 && r2.Norm(at) > far })
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := narrowings(scene, motion, 5e-3, 1, 0.02, nil)
	if err != nil {
		t.Fatal(err)
	}
	// Beside the hinge the gap at r ends at r sin 0.3 − 0.02: up to r = 0.135 it gets below 0.02.
	for _, n := range narrow {
		if slices.Min(n.Gap) > 0.02 || n.Own && r2.Norm(n.On[0][0]) > 0.145 {
			t.Errorf("the gap at %v gets no narrower than %g", n.On[0][0], slices.Min(n.Gap))
		}
	}
	if len(narrow) == 0 || len(narrow) == len(all) {
		t.Errorf("%d of %d places within 20 mm", len(narrow), len(all))
	}
	if len(some) == 0 || len(some) > len(all)/2 {
		t.Errorf("%d of %d places", len(some), len(all))
	}
}
