package people

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A rod of 0.4 m that turns about its end at 3 rad/s: ω r at any place of it, and by virtual work of 6 N m a force of M / r.
func TestAlongATurningRod(t *testing.T) {
	const turns = 3.0
	a, b := r2.Vec{}, r2.Vec{X: 0.4 * math.Cos(0.7), Y: 0.4 * math.Sin(0.7)}
	v := func(p r2.Vec) r2.Vec { return r2.Vec{X: -turns * p.Y, Y: turns * p.X} }
	in, ok := InCircle(b, 0.15, a, b)
	if !ok || math.Abs(in.From-0.625) > 1e-12 || in.To != 1 {
		t.Fatalf("within 0.15 m of the tip: %v", in)
	}
	if at, speed := Fastest(in, v(a), v(b)); at != 1 || math.Abs(speed-turns*0.4) > 1e-12 {
		t.Errorf("fastest %g m/s at %g", speed, at)
	}
	if at, speed, ok := Slowest(in, v(a), v(b), 0); !ok || math.Abs(at-0.625) > 1e-12 || math.Abs(speed-turns*0.25) > 1e-12 || math.Abs(6*turns/speed-6/0.25) > 1e-9 {
		t.Errorf("slowest %g m/s at %g", speed, at)
	}
	if at, speed, ok := Slowest(Part{0, 1}, v(a), v(b), 0.3); !ok || math.Abs(at-0.25) > 1e-12 || speed != 0.3 {
		t.Errorf("as fast as 0.3 m/s: %g m/s at %g", speed, at)
	}
	if _, _, ok := Slowest(Part{0, 0.2}, v(a), v(b), 0.3); ok {
		t.Error("0.08 m from the pivot nothing moves at 0.3 m/s")
	}
}

// A coupler's velocities and what a zone cuts out of it, against two thousand places along it.
func TestAlongAgainstPlaces(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	vec := func() r2.Vec { return r2.Vec{X: random.NormFloat64(), Y: random.NormFloat64()} }
	const places = 2000
	for range 400 {
		a, b, centre, radius, v0, v1, least := vec(), vec(), vec(), 1.5*random.Float64(), vec(), vec(), random.Float64()
		// An arrow's head, which is not convex.
		corners := []r2.Vec{{X: -1, Y: -1}, {X: 1.2, Y: 0.1}, {X: -0.8, Y: 1.1}, {X: -0.2, Y: 0}}
		in, ok := InCircle(centre, radius, a, b)
		circle := []Part{in}
		if !ok {
			circle = nil
		}
		for what, c := range map[string]struct {
			parts  []Part
			within func(p r2.Vec) bool
		}{
			"circle":  {circle, func(p r2.Vec) bool { return r2.Norm(r2.Sub(p, centre)) <= radius }},
			"outside": {OutsideCircle(centre, radius, a, b), func(p r2.Vec) bool { return r2.Norm(r2.Sub(p, centre)) > radius }},
			"area":    {InArea(corners, a, b), func(p r2.Vec) bool { return winding(corners, p) }},
		} {
			fast, slow := 0.0, math.Inf(1)
			for k := range places {
				at := (float64(k) + 0.5) / places
				p, v := r2.Add(a, r2.Scale(at, r2.Sub(b, a))), r2.Norm(r2.Add(v0, r2.Scale(at, r2.Sub(v1, v0))))
				covered := false
				for _, q := range c.parts {
					covered = covered || at >= q.From && at <= q.To
				}
				if covered != c.within(p) {
					t.Fatalf("%s: %v of %v to %v at %g", what, c.parts, a, b, at)
				}
				if covered {
					fast = max(fast, v)
					if v >= least {
						slow = min(slow, v)
					}
				}
			}
			fastest, slowest := 0.0, math.Inf(1)
			for _, q := range c.parts {
				_, v := Fastest(q, v0, v1)
				fastest = max(fastest, v)
				if at, v, ok := Slowest(q, v0, v1, least); ok {
					slowest = min(slowest, v)
					if at < q.From-1e-9 || at > q.To+1e-9 || math.Abs(r2.Norm(r2.Add(v0, r2.Scale(at, r2.Sub(v1, v0))))-v) > 1e-9 {
						t.Fatalf("%s: %g m/s at %g is not of %v", what, v, at, q)
					}
				}
			}
			step := r2.Norm(r2.Sub(v1, v0)) / places
			if fastest < fast || fastest > fast+step && fast > 0 || slowest > slow || slowest < slow-step && !math.IsInf(slow, 1) {
				t.Errorf("%s: %g and %g m/s, by places %g and %g", what, fastest, slowest, fast, slow)
			}
		}
	}
}

// winding says by the angles that the corners turn through as seen from a place whether it is among them.
func winding(corners []r2.Vec, p r2.Vec) bool {
	sum := 0.0
	for i, c := range corners {
		a, b := r2.Sub(c, p), r2.Sub(corners[(i+1)%len(corners)], p)
		sum += math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
	}
	return math.Abs(sum) > math.Pi
}
