package space

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestBadOutlines(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	outline := func(_ Outline, err error) error { return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{outline(Bar(0, v(0, 0), v(1, 0))), "the width of a bar must be above zero and finite, found 0 m"},
		{outline(Bar(-1, v(0, 0), v(1, 0))), "found -1 m"},
		{outline(Bar(nan, v(0, 0), v(1, 0))), "found NaN m"},
		{outline(Bar(inf, v(0, 0), v(1, 0))), "found +Inf m"},
		{outline(Bar(1)), "a bar has no points"},
		{outline(Bar(1, v(0, 0), v(0, nan))), "point 2 of a bar is at (0, NaN), both numbers must be finite"},
		{outline(Bar(1, v(0, 0), v(1, 0), v(1, 0))), "points 2 and 3 of a bar are in the same place"},
		{outline(Circle(v(0, 0), 0)), "the diameter of a circle must be above zero"},
		{outline(Circle(v(inf, 0), 1)), "point 1 of a circle is at (+Inf, 0)"},
		{outline(Polygon(v(0, 0), v(1, 0))), "a polygon has 2 corners, it needs three or more"},
		{outline(Polygon(v(0, 0), v(1, 0), v(nan, 1))), "point 3 of a polygon"},
		{outline(Polygon(v(0, 0), v(1, 0), v(1, 0), v(0, 1))), "corners 2 and 3 of a polygon are in the same place"},
		{outline(Polygon(v(0, 0), v(1, 0), v(0, 1), v(0, 0))), "corners 4 and 1 of a polygon are in the same place"},
		{outline(Polygon(v(0, 0), v(1, 1), v(1, 0), v(0, 1))), "from corner 1 to 2 and from 3 to 4 cross or touch"},
		{outline(Polygon(v(0, 0), v(2, 0), v(2, 2), v(1, 0), v(0, 2))), "cross or touch"},
		{outline(Polygon(v(0, 0), v(1, 0), v(2, 0))), "run back on each other at corner 3"},
		{outline(Polygon(v(0, 0), v(2, 0), v(1, 0), v(1, 1))), "run back on each other at corner 2"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("error %v, want %q", c.err, c.want)
		}
	}
	// Corners along a side are allowed.
	if _, err := Polygon(v(0, 0), v(1, 0), v(2, 0), v(2, 1), v(0, 1)); err != nil {
		t.Error(err)
	}
}

func TestBadScenesAndSweeps(t *testing.T) {
	nan := math.NaN()
	disc := must(Circle(v(0, 0), 1))
	good := func() (Scene, Motion) {
		return Scene{Shapes: two(disc, disc)}, Motion{S: []float64{0, 1}, Poses: [][]Pose{{{}, {}}, {{}, {}}}, Rates: [][]Pose{{{}, {}}, {{}, {}}}}
	}
	for _, c := range []struct {
		spoil func(*Scene, *Motion)
		want  string
	}{
		{func(_ *Scene, m *Motion) { m.S = nil }, "the sweep has no steps"},
		{func(_ *Scene, m *Motion) { m.Poses = m.Poses[:1] }, "poses for 1 steps and parameters for 2"},
		{func(_ *Scene, m *Motion) { m.Rates = m.Rates[:1] }, "rates for 1 steps and parameters for 2"},
		{func(_ *Scene, m *Motion) { m.S[1] = nan }, "step 2 of the sweep is at NaN"},
		{func(_ *Scene, m *Motion) { m.S[1] = 0 }, "step 2 of the sweep is at 0, it must be beyond the step before it at 0"},
		{func(_ *Scene, m *Motion) { m.Poses[1] = m.Poses[1][:1] }, "poses of 1 bodies at 1 and poses of 2 at its first step"},
		{func(_ *Scene, m *Motion) { m.Rates[0] = nil }, "rates of 0 bodies at 0"},
		{func(_ *Scene, m *Motion) { m.Poses[1][1].Turn = nan }, "the poses of body 1 at 1 are (0, 0) and NaN"},
		{func(_ *Scene, m *Motion) { m.Rates[1][0].At.X = math.Inf(-1) }, "the rates of body 0 at 1 are (-Inf, 0) and 0"},
		{func(s *Scene, _ *Motion) { s.Shapes[1].Body = 2 }, "shape 1 is on body 2, the sweep has poses of 2 bodies"},
		{func(s *Scene, _ *Motion) { s.Shapes[0].Body = -1 }, "shape 0 is on body -1"},
		{func(s *Scene, _ *Motion) { s.Shapes[0].Outline = Outline{} }, "shape 0 has no outline"},
		{func(s *Scene, _ *Motion) { s.Shapes[0].High = 0 }, "the layer of shape 0 goes from z = 0 to 0 m"},
		{func(s *Scene, _ *Motion) { s.Shapes[0].Low = nan }, "the layer of shape 0 goes from z = NaN"},
		{func(s *Scene, _ *Motion) { s.Ignored = [][2]int{{0, 5}} }, "ignored pair 0 is of bodies 0 and 5"},
		{func(s *Scene, _ *Motion) { s.Joints = []Joint{{Bodies: [2]int{1, 1}, Radius: 1}} }, "joint 0 is of bodies 1 and 1"},
		{func(s *Scene, _ *Motion) { s.Joints = []Joint{{Bodies: [2]int{0, 1}}} }, "the radius of joint 0 must be above zero"},
		{func(s *Scene, _ *Motion) {
			s.Joints = []Joint{{Bodies: [2]int{0, 1}, At: [2]r2.Vec{{}, {X: nan}}, Radius: 1}}
		}, "point 2 of joint 0"},
	} {
		scene, motion := good()
		c.spoil(&scene, &motion)
		if _, err := New(scene, motion); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %q", err, c.want)
		}
	}
	scene, motion := good()
	s, err := New(scene, motion)
	if err != nil {
		t.Fatal(err)
	}
	closest := func(q Search) error { _, err := s.Closest(q); return err }
	region := func(_ Region, err error) error { return err }
	reach := func(_ HoseReach, err error) error { return err }
	pose := func(_ Pose, err error) error { return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{closest(Search{Tolerance: -1}), "the tolerance of a search is -1 m"},
		{closest(Search{Tolerance: nan}), "the tolerance of a search is NaN m"},
		{closest(Search{Tolerance: 1e-12}), "it must be 1e-09 m or more"},
		{closest(Search{Clearance: nan}), "the clearance of the search is NaN m"},
		{closest(Search{Within: 1, Clearance: 2}), "within 1 m with a clearance of 2 m"},
		{closest(Search{Within: -1}), "within -1 m"},
		{region(s.Envelope(0, 0)), "the tolerance of an envelope is 0 m"},
		{region(s.Envelope(1e-6, 0)), "for a sweep over 1 m it must be"},
		{region(s.Envelope(1e-3, 2)), "an envelope of shape 2 was asked for, there are 2 shapes"},
		{region(s.Envelope(1e-3)), "an envelope of no shapes"},
		{reach(s.Hose(Hose{}, 0)), "the length of a hose must be above zero"},
		{reach(s.Hose(Hose{Length: 1}, nan)), "the tolerance of a hose's search is NaN m"},
		{reach(s.Hose(Hose{Length: 1, Ends: [2]HoseEnd{{}, {Body: 2}}}, 0)), "end 2 of a hose is on body 2"},
		{reach(s.Hose(Hose{Length: 1, Ends: [2]HoseEnd{{Z: nan}, {}}}, 0)), "end 1 of a hose is at (0, 0, NaN)"},
		{pose(s.Pose(2, 0)), "no such body"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("error %v, want %q", c.err, c.want)
		}
	}
}

func TestWaysBeyondAllMeasure(t *testing.T) {
	disc := must(Circle(v(0, 0), 1))
	for _, far := range []float64{1e12, 1e160, 1e308} {
		s, err := New(Scene{Shapes: two(disc, disc)}, Motion{S: []float64{0, 1}, Poses: [][]Pose{{{}, {At: v(-far, 0)}}, {{}, {At: v(far, 1)}}}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Closest(Search{}); err == nil || !strings.Contains(err.Error(), "in one step, a search to 1e-05 m allows 1e+10 m at most") {
			t.Errorf("error %v over %g m", err, far)
		}
		if _, err := s.Hose(Hose{Ends: [2]HoseEnd{{}, {Body: 1}}, Length: 1}, 0); err == nil || !strings.Contains(err.Error(), "in one step, a hose's search") {
			t.Errorf("error %v over %g m", err, far)
		}
		if _, err := s.Envelope(1e-3, 1); err == nil {
			t.Errorf("an envelope over %g m", far)
		}
	}
}

// Parts of a polygon are convex, run counter-clockwise and cover its area.
func TestConvexParts(t *testing.T) {
	parts := func(ring []r2.Vec) int {
		t.Helper()
		sum, all := 0.0, convexParts(ring)
		for _, p := range all {
			sum += area(p)
			for i := range p {
				if turn(p[i], p[(i+1)%len(p)], p[(i+2)%len(p)]) < 0 {
					t.Errorf("a part of %v isn't convex: %v", ring, p)
				}
			}
		}
		near(t, "area of the parts", sum, area(ring), 1e-14)
		return len(all)
	}
	for _, c := range []struct {
		what string
		ring []r2.Vec
		most int
	}{
		{"a rectangle", []r2.Vec{v(0, 0), v(2, 0), v(2, 1), v(0, 1)}, 1},
		{"an L", []r2.Vec{v(0, 0), v(2, 0), v(2, 1), v(1, 1), v(1, 2), v(0, 2)}, 2},
		{"corners along sides", []r2.Vec{v(0, 0), v(1, 0), v(2, 0), v(2, 1), v(1, 1), v(0, 1)}, 1},
		{"a U", []r2.Vec{v(0, 0), v(3, 0), v(3, 2), v(2, 2), v(2, 1), v(1, 1), v(1, 2), v(0, 2)}, 3},
	} {
		if n := parts(c.ring); n > c.most {
			t.Errorf("%s falls into %d parts, %d will do", c.what, n, c.most)
		}
	}
	rng := rand.New(rand.NewPCG(1, 5))
	for range 300 {
		n := 3 + rng.IntN(30)
		ring := make([]r2.Vec, n)
		for i := range ring {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5*rng.Float64()) / float64(n))
			r := 0.1 + rng.Float64()
			ring[i] = v(r*cos, r*sin)
		}
		if simple(ring) == nil {
			parts(ring)
		}
	}
}

// Any numbers either make an outline that can be measured or an error, never a panic or a distance that is no number.
func FuzzPolygon(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.2, 0.3, 0.0, 1.0)
	f.Add(0.0, 0.0, 1e-9, 0.0, 1.0, 1e9, -1.0, 3.0, 0.0, 1.0)
	f.Add(0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.4, 0.4, 0.1, 0.2)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j, k float64) {
		o, err := Polygon(v(a, b), v(c, d), v(e, g), v(h, i), v(j, k))
		if err != nil {
			return
		}
		for _, x := range []float64{a, b, c, d, e, g, h, i, j, k} {
			if math.Abs(x) > 1e6 {
				return // beyond any machine; squares of squares overflow
			}
		}
		s, err := New(Scene{Shapes: two(o, must(Circle(v(0, 0), 0.1)))}, turning(3, []r2.Vec{{}, v(0.3, 0)}, []float64{0, 0}, []float64{2, 0}))
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Closest(Search{Tolerance: 1e-3 * max(1, math.Abs(a), math.Abs(e))})
		if err != nil {
			t.Fatal(err)
		}
		if math.IsNaN(got[0].Distance) || math.IsInf(got[0].Distance, 0) {
			t.Errorf("distance %g", got[0].Distance)
		}
	})
}
