package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

const mm, deg = 1e-3, math.Pi / 180

// lifter is a seed-tray lifter: a parallelogram whose upper arm a cylinder pushes.
func lifter() Mechanism {
	const a, b, c, d, k, t = 0, 1, 2, 3, 4, 5
	return Mechanism{
		Points: []r2.Vec{
			a: {X: 0, Y: 0}, b: {X: 0, Y: 140 * mm}, c: {X: 240 * mm, Y: -70 * mm}, d: {X: 240 * mm, Y: 70 * mm},
			k: {X: 219.2 * mm, Y: 76.07 * mm}, t: {X: 330 * mm, Y: -15 * mm},
		},
		Bodies: []Body{
			{Points: []int{a, b}, Ground: true},
			{Points: []int{a, c}, Mass: 0.16, Centre: r2.Vec{X: 120 * mm, Y: -35 * mm}},
			{Points: []int{b, d, k}, Mass: 0.16, Centre: r2.Vec{X: 120 * mm, Y: 105 * mm}},
			{Points: []int{c, d, t}, Mass: 1.2, Centre: r2.Vec{X: 290 * mm, Y: -10 * mm}},
		},
		Cylinders: []Cylinder{{Rear: a, Front: k, Closed: 232 * mm, Stroke: 80 * mm}},
	}
}

func lifterCase() Case {
	return Case{Gravity: StandardGravity, Loads: []Load{{Point: 5, Mass: 2.5}}}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g ± %.3g", what, got, want, tolerance)
	}
}

func mustNew(t testing.TB, m Mechanism) *Solver {
	t.Helper()
	s, err := New(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustSweep(t testing.TB, s *Solver, d Drive, n int) *Sweep {
	t.Helper()
	w, err := s.Sweep(d, n)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The figures were computed apart from this package, by the cosine rule for the arm and virtual work for the thrust.
func TestLifter(t *testing.T) {
	s := mustNew(t, lifter())
	w := mustSweep(t, s, Drive{}, 201)
	if len(w.Poses) != 201 || w.Closing != nil || w.Extending != nil {
		t.Fatalf("got %d poses, stops %+v, %+v", len(w.Poses), w.Closing, w.Extending)
	}
	drawn := math.Atan2(-70, 240)
	first, last := &w.Poses[0], &w.Poses[200]
	near(t, "arm closed, deg", (first.Angles[1]+drawn)/deg, -16.3, 0.05)
	near(t, "arm extended, deg", (last.Angles[1]+drawn)/deg, 23.6, 0.05)
	near(t, "rise of the tray, mm", (last.Points[5].Y-first.Points[5].Y)/mm, 170, 0.5)
	c := lifterCase()
	near(t, "thrust closed, N", s.HoldingThrust(first, &c), 69, 0.5)
	near(t, "thrust extended, N", s.HoldingThrust(last, &c), 92, 0.5)

	levers, couplers, chains := s.Levers(), s.Couplers(0), s.FourBars()
	if len(levers) != 1 || len(couplers) != 1 || len(chains) != 1 {
		t.Fatalf("got levers %v, couplers %v, four-bars %v", levers, couplers, chains)
	}
	if couplers[0].Driven != 0 {
		t.Errorf("the carrier drives the lower arm at its first pivot, got %d", couplers[0].Driven)
	}
	near(t, "parallelogram's surplus", chains[0].Surplus, 0, 1e-15)
	arm, transmission, margin := math.Inf(1), math.Inf(1), math.Inf(1)
	for i := range w.Poses {
		p := &w.Poses[i]
		near(t, "tilt of the tray", p.Angles[3], 0, 1e-13)
		arm = min(arm, levers[0].Arm(p))
		transmission = min(transmission, couplers[0].Transmission(p, 0))
		margin = min(margin, chains[0].Margin(p))

		// cosine rule in the triangle of B, the rear eye and the rod's eye
		length := 0.232 + p.Stroke
		bk := math.Hypot(0.2192, 0.06393)
		turn := math.Acos((0.14*0.14+bk*bk-length*length)/(2*0.14*bk)) - math.Pi/2
		near(t, "turn of the arm", p.Angles[2], turn-math.Atan2(-0.06393, 0.2192), 1e-12)
	}
	near(t, "least moment arm, mm", arm/mm, 93.9, 0.05)
	near(t, "least transmission angle, deg", transmission/deg, 66.4, 0.05)
	near(t, "margin to the change point, deg", margin/deg, 66.4, 0.05)
}

// The parts of the machine are found again whatever it is drawn at.
func TestDrawnPoseDoesNotMatter(t *testing.T) {
	m := lifter()
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{}, 5)
	m.Points = w.Poses[3].Points
	for i := range m.Bodies {
		m.Bodies[i].Centre = s.placeOf(&w.Poses[3], i, m.Bodies[i].Centre)
	}
	other := mustNew(t, m)
	again := mustSweep(t, other, Drive{}, 5)
	c := lifterCase()
	for i := range again.Poses {
		for k, p := range again.Poses[i].Points {
			near(t, "x", p.X, w.Poses[i].Points[k].X, 1e-13)
			near(t, "y", p.Y, w.Poses[i].Points[k].Y, 1e-13)
		}
		near(t, "thrust", other.HoldingThrust(&again.Poses[i], &c), s.HoldingThrust(&w.Poses[i], &c), 1e-9)
	}
}
