package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// The transmission angle of a four-bar by the cosine rule, cos μ = (b² + c² - f²)/(2 b c) with f the diagonal, taken as acute (handbook
// formula); of a slider-crank, the rod against the normal of the slide.
func TestTransmissionAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for n := 0; n < 200; {
		a, b, c, d := between(rng, 0.02, 0.2), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4)
		low := between(rng, -math.Pi, math.Pi)
		if !reaches(a, b, c, d, low, low+0.6) {
			continue
		}
		n++
		m, _ := fourBar(a, b, c, d, low+0.2, low, low+0.6, 1)
		s := mustNew(t, m)
		couplers := s.Couplers(0)
		if len(couplers) != 1 || couplers[0].Body != 2 || couplers[0].Driven != 1 {
			t.Fatalf("got %+v", couplers)
		}
		for _, p := range mustSweep(t, s, Drive{}, 4).Poses {
			f := r2.Norm(r2.Sub(p.Points[1], p.Points[3]))
			want := math.Acos((b*b + c*c - f*f) / (2 * b * c))
			near(t, "transmission angle", couplers[0].Transmission(&p, 1), min(want, math.Pi-want), 1e-7)
		}
	}
	m, at := sliderCrank(0.05, 0.2, 0.01, 70*deg, 20*deg, 110*deg, 1)
	s := mustNew(t, m)
	couplers := s.Couplers(0)
	if len(couplers) != 1 || couplers[0].Driven != 1 {
		t.Fatalf("got %+v", couplers)
	}
	p := mustPose(t, s, at(50*deg))
	near(t, "rod and slide", couplers[0].Transmission(p, 1), math.Pi/2-math.Abs(way(p, 1, 2)), 1e-9)
}

// Grashof's classes of textbook proportions (constructed): shortest + longest against the other two.
func TestFourBarsByGrashof(t *testing.T) {
	for _, row := range []struct {
		a, b, c, d float64
		surplus    float64 // mm
	}{
		{40, 120, 80, 100, -20}, // 160 < 180: the crank turns right round
		{80, 140, 90, 100, 30},  // 220 > 190: no link does
		{100, 100, 100, 100, 0},
		{50, 120, 50, 120, 0},
	} {
		want := row.surplus / (row.a + row.b + row.c + row.d)
		m, _ := fourBar(row.a*mm, row.b*mm, row.c*mm, row.d*mm, 60*deg, 50*deg, 70*deg, 1)
		got := mustNew(t, m).FourBars()
		if len(got) != 1 {
			t.Fatalf("got %v", got)
		}
		near(t, "surplus", got[0].Surplus, want, 1e-12)
	}
}

// Three equal arms make three chains; a lone slider-crank none.
func TestFourBarsAreFoundOnce(t *testing.T) {
	if got := mustNew(t, third(lifter(), r2.Vec{})).FourBars(); len(got) != 3 {
		t.Errorf("got %d: %v", len(got), got)
	}
	m, _ := sliderCrank(0.05, 0.2, 0.01, 70*deg, 20*deg, 110*deg, 1)
	if got := mustNew(t, m).FourBars(); len(got) != 0 {
		t.Errorf("got %v", got)
	}
}

// The box of every point over forty poses against that over four thousand.
func TestEnvelope(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		few, many := mustSweep(t, s, Drive{At: r.Strokes}, 40), mustSweep(t, s, Drive{At: r.Strokes}, 4000)
		if len(many.Poses) < 4000 {
			continue // near a stop the poses crowd together differently
		}
		for i := range s.mechanism.Points {
			a, b := few.Envelope(i), many.Envelope(i)
			off := max(math.Abs(a.Min.X-b.Min.X), math.Abs(a.Min.Y-b.Min.Y), math.Abs(a.Max.X-b.Max.X), math.Abs(a.Max.Y-b.Max.Y))
			if off > 5e-5*s.size {
				t.Errorf("machine %d, point %d: %v, want %v", n, i, a, b)
			}
		}
	}
	w := mustSweep(t, mustNew(t, lifter()), Drive{}, 4)
	near(t, "tray's reach is its place with the arm level, mm", w.Envelope(5).Max.X, 0.25+0.09, 1e-4)
}

// A mass on a lever: m r² by the square of the arm.
func TestEffectiveMassOfALever(t *testing.T) {
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	s.mechanism.Bodies[1].Inertia = 0.02
	p := mustPose(t, s, 40*mm)
	mass, _ := s.EffectiveMass(p, &Case{Loads: []Load{{Point: 2, Mass: 3}}})
	arm := s.Levers()[0].Arm(p)
	near(t, "kg", mass, (3*0.12*0.12+0.02)/(arm*arm), 1e-9)
}
