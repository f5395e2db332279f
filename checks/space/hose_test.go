package space

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func hose(t *testing.T, m Motion, h Hose) HoseReach {
	t.Helper()
	s, err := New(Scene{}, m)
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.Hose(h, 0)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Closed form: a point 0.1 m from its pivot passes the line to one 0.25 m from it, between two steps.
func TestHoseBetweenSteps(t *testing.T) {
	for _, steps := range []int{2, 3, 10, 200} {
		m := turning(steps, []r2.Vec{{}, v(0, 0)}, []float64{-0.4, 0}, []float64{2 * math.Pi * 0.9, 0})
		got := hose(t, m, Hose{Ends: [2]HoseEnd{{Body: 0, At: v(0.1, 0), Z: 0.01}, {Body: 1, At: v(0.25, 0), Z: -0.03}}, Length: 0.4})
		total := 2*math.Pi*0.9 + 0.4
		near(t, "longest", got.Longest, math.Hypot(0.35, 0.04), 1e-5)
		near(t, "its place", got.LongestS, (math.Pi+0.4)/total, 2e-3)
		near(t, "nearest", got.Nearest, math.Hypot(0.15, 0.04), 1e-5)
		near(t, "its place", got.NearestS, 0.4/total, 2e-3)
		widest, free := BendRadii(0.4, got.Nearest)
		if got.Widest != widest || got.Free != free {
			t.Errorf("%+v", got)
		}
	}
	// The ends pass through one another.
	m := turning(4, []r2.Vec{{}, {}}, []float64{-1, 0}, []float64{1, 0})
	got := hose(t, m, Hose{Ends: [2]HoseEnd{{Body: 0, At: v(0.1, 0)}, {Body: 1, At: v(0.1, 0)}}, Length: 0.4})
	near(t, "meeting ends", got.Nearest, 0, 1e-5)
}

func TestBendRadii(t *testing.T) {
	// The arc: a half circle and a full one.
	widest, _ := BendRadii(math.Pi, 2)
	near(t, "half circle", widest, 1, 1e-12)
	widest, _ = BendRadii(2*math.Pi, 0)
	near(t, "full circle", widest, 1, 1e-12)
	// The rectangular elastica, whose ends stand across its chord: with the lemniscate constant ϖ, the chord is π/ϖ² of the length
	// and the radius 1/(2ϖ). ϖ: OEIS A062539; the relations from memory.
	const lemniscate = 2.62205755429211981
	_, free := BendRadii(1, math.Pi/(lemniscate*lemniscate))
	near(t, "rectangular elastica", free, 1/(2*lemniscate), 1e-12)
	// Nearly straight: a half wave of a sine, whose amplitude a makes it longer by π² a²/(4 c).
	const slack = 1e-6
	_, free = BendRadii(1+slack, 1)
	amplitude := 2 * math.Sqrt(slack) / math.Pi
	near(t, "half wave", free*amplitude*math.Pi*math.Pi, 1, 1e-5)
	for _, c := range []struct{ length, chord float64 }{{1, 1}, {1, 2}} {
		if widest, free := BendRadii(c.length, c.chord); !math.IsInf(widest, 1) || !math.IsInf(free, 1) {
			t.Errorf("a hose of %g over %g: %g, %g", c.length, c.chord, widest, free)
		}
	}
	for _, c := range []struct{ length, chord float64 }{{0, 0}, {-1, 0}, {1, -1}, {math.NaN(), 0}} {
		if widest, free := BendRadii(c.length, c.chord); !math.IsNaN(widest) || !math.IsNaN(free) {
			t.Errorf("a hose of %g over %g: %g, %g", c.length, c.chord, widest, free)
		}
	}
}

// The elastic curve by steps of the bending equation θ” = -λ² sin θ from its middle, where θ' is 1/R. λ is the one with which the
// bend is gone at half the length; the chord must then be the one asked for.
func TestElasticCurveByIntegration(t *testing.T) {
	for chord := 0.0; chord < 0.99; chord += 0.07 {
		widest, free := BendRadii(1, chord)
		if free > widest {
			t.Errorf("chord %g: swivelling ends bend to %g, the arc to %g", chord, free, widest)
		}
		run := func(lambda float64) (bend, x float64) {
			const n = 1000
			h := 0.5 / n
			theta, bend := 0.0, 1/free
			f := func(a, b float64) (float64, float64, float64) { return b, -lambda * lambda * math.Sin(a), math.Cos(a) }
			for range n {
				a1, b1, c1 := f(theta, bend)
				a2, b2, c2 := f(theta+h/2*a1, bend+h/2*b1)
				a3, b3, c3 := f(theta+h/2*a2, bend+h/2*b2)
				a4, b4, c4 := f(theta+h*a3, bend+h*b3)
				theta, bend, x = theta+h/6*(a1+2*a2+2*a3+a4), bend+h/6*(b1+2*b2+2*b3+b4), x+h/6*(c1+2*c2+2*c3+c4)
			}
			return bend, x
		}
		bent := func(lambda float64) bool { bend, _ := run(lambda); return bend > 0 }
		low := 0.5 / free // below, it bends round and round
		high := low
		for bent(high) {
			low, high = high, high*1.05
		}
		for range 50 {
			if mid := (low + high) / 2; bent(mid) {
				low = mid
			} else {
				high = mid
			}
		}
		bend, x := run(low)
		near(t, "bend at the end", bend, 0, 1e-6)
		near(t, "chord", 2*x, chord, 1e-6)
	}
}
