package space

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func envelopeOf(t *testing.T, scene Scene, motion Motion, tolerance float64, shapes ...int) Region {
	t.Helper()
	s, err := New(scene, motion)
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.Envelope(tolerance, shapes...)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func lone(o Outline) Scene { return Scene{Shapes: []Shape{{Outline: o, High: 0.01}}} }

// within holds an area to its closed form: never below it, above it by the tolerance around its boundary at most.
func within(t *testing.T, what string, got Region, want, boundary, tolerance float64) {
	t.Helper()
	if got.Area < want || got.Area > want+boundary*tolerance+math.Pi*tolerance*tolerance {
		t.Errorf("%s: %.8g m², want %.8g and %g m along %g m more at most", what, got.Area, want, tolerance, boundary)
	}
}

// Closed forms: a bar that turns about one end covers a sector and all within half its width of it (Steiner's formula for convex
// areas: A + P r + π r²); one that turns fully about a point beside it covers a ring; one that is pushed along its side a parallelogram.
func TestEnvelopesOfClosedForm(t *testing.T) {
	const l, w = 0.2, 0.03
	bar := must(Bar(w, v(0, 0), v(l, 0)))
	for _, tolerance := range []float64{5e-3, 1e-3} {
		for _, angle := range []float64{0.3, 1.7, 3.1} {
			got := envelopeOf(t, lone(bar), turning(4, []r2.Vec{v(0.1, -2)}, []float64{1}, []float64{1 + angle}), tolerance, 0)
			around := 2*l + angle*l
			within(t, "sector", got, angle*l*l/2+around*w/2+math.Pi*w*w/4, around+math.Pi*w, tolerance)
			if len(got.Rings) != 1 {
				t.Errorf("a sector of %d rings", len(got.Rings))
			}
		}
		// Nearest to the centre is the side of the bar at 0.1 m, farthest its round corner.
		beside := must(Polygon(v(-0.05, 0.1), v(0.05, 0.1), v(0.05, 0.13), v(-0.05, 0.13)))
		got := envelopeOf(t, lone(beside), turning(9, []r2.Vec{v(5, 5)}, []float64{0}, []float64{2 * math.Pi}), tolerance, 0)
		inner, outer := 0.1, math.Hypot(0.05, 0.13)
		within(t, "ring", got, math.Pi*(outer*outer-inner*inner), 2*math.Pi*(inner+outer), tolerance)
		if len(got.Rings) != 2 || area(got.Rings[0])*area(got.Rings[1]) > 0 {
			t.Errorf("a ring of %d boundaries", len(got.Rings))
		}
		motion := Motion{S: []float64{0, 1}, Poses: [][]Pose{{{}}, {{At: v(0.1, 0.2)}}}}
		got = envelopeOf(t, lone(bar), motion, tolerance, 0)
		around := 2 * (l + math.Hypot(0.1, 0.2))
		within(t, "parallelogram", got, l*0.2+around*w/2+math.Pi*w*w/4, around+math.Pi*w, tolerance)
	}
}

// The hull of an L-shaped way is no answer: the corner that it cuts stays free.
func TestConcaveSweepStaysConcave(t *testing.T) {
	motion := Motion{S: []float64{0, 1, 2}, Poses: [][]Pose{{{}}, {{At: v(0.3, 0)}}, {{At: v(0.3, 0.3)}}}}
	got := envelopeOf(t, lone(must(Circle(v(0, 0), 0.02))), motion, 5e-4, 0)
	// Two strips with round ends, 20 mm wide, less what they share: a quarter disc and a square at the corner.
	want := 2*(0.3*0.02+math.Pi*1e-4) - (3*math.Pi/4+1)*1e-4
	within(t, "L", got, want, 4*0.3+2*math.Pi*0.01, 5e-4)
	if inside(got, v(0.1, 0.1)) || !inside(got, v(0.3, 0.15)) {
		t.Error("the corner of the L")
	}
}

// Poses that don't move leave the outline with the tolerance around it, several shapes their union.
func TestEnvelopeOfShapesAtRest(t *testing.T) {
	scene := Scene{Shapes: []Shape{
		{Outline: must(Polygon(v(0, 0), v(0.2, 0), v(0.2, 0.1), v(0.1, 0.1), v(0.1, 0.2), v(0, 0.2))), High: 1},
		{Outline: must(Circle(v(1, 1), 0.2)), High: 1},
	}}
	got := envelopeOf(t, scene, Motion{S: []float64{3}, Poses: [][]Pose{{{Turn: 1}}}}, 1e-3, 0, 1)
	within(t, "union", got, 0.03+math.Pi*0.01, 0.8+0.2*math.Pi, 1e-3)
	if len(got.Rings) != 2 {
		t.Errorf("%d rings", len(got.Rings))
	}
}

// inside counts crossings of the rings to the right.
func inside(r Region, p r2.Vec) bool {
	in := false
	for _, ring := range r.Rings {
		for i, a := range ring {
			b := ring[next(i, len(ring))]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

// Random sweeps: points of the outlines at random times lie inside, the corners of the boundary lie as near to the sweep as promised,
// and the boundary doesn't cross itself.
func TestEnvelopesHoldRandomSweeps(t *testing.T) {
	const tolerance = 4e-3
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 4))
		scene, motion := wild(rng, 1, 3, seed%2 == 0)
		s, err := New(scene, motion)
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Envelope(tolerance, 0)
		if err != nil {
			t.Fatal(err)
		}
		if !apart(got.Rings) {
			t.Errorf("seed %d: the boundary crosses itself", seed)
		}
		first, last := motion.S[0], motion.S[2]
		for range 3000 {
			pose, err := s.Pose(0, first+(last-first)*rng.Float64())
			if err != nil {
				t.Fatal(err)
			}
			pieces := scene.Shapes[0].Outline.pieces
			p := pieces[rng.IntN(len(pieces))]
			i := rng.IntN(len(p.core))
			a, b := p.core[i], p.core[next(i, len(p.core))]
			sin, cos := math.Sincos(7 * rng.Float64())
			at := pose.frame().place(r2.Add(r2.Add(a, r2.Scale(rng.Float64(), r2.Sub(b, a))), v(p.radius*cos, p.radius*sin)))
			if !inside(got, at) {
				t.Fatalf("seed %d: %v is swept and outside", seed, at)
			}
		}
		for _, ring := range got.Rings {
			for i := 0; i < len(ring); i += 1 + len(ring)/40 {
				probe := Scene{Shapes: []Shape{scene.Shapes[0], {Body: 1, Outline: must(Circle(ring[i], 1e-6)), High: 0.01}}}
				m := Motion{S: motion.S}
				for k := range motion.S {
					m.Poses = append(m.Poses, []Pose{motion.Poses[k][0], {}})
					if motion.Rates != nil {
						m.Rates = append(m.Rates, []Pose{motion.Rates[k][0], {}})
					}
				}
				if d := closest(t, probe, m, Search{})[0].Distance; d <= 0 || d > tolerance {
					t.Errorf("seed %d: corner %v of the boundary is %g m from the sweep", seed, ring[i], d)
				}
			}
		}
	}
}

func TestEnvelopeIsTheSameEachTime(t *testing.T) {
	scene, motion := lifter(50)
	first := envelopeOf(t, scene, motion, 2e-3, 5, 7)
	if again := envelopeOf(t, scene, motion, 2e-3, 5, 7); !reflect.DeepEqual(first, again) {
		t.Error("two runs differ")
	}
}

func BenchmarkEnvelope(b *testing.B) {
	for _, mm := range []float64{5, 1} {
		b.Run(fmt.Sprintf("to %g mm", mm), func(b *testing.B) {
			scene, motion := lifter(200)
			s, err := New(scene, motion)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Envelope(mm/1000, 3); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
