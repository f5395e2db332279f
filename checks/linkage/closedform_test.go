package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// between draws a number evenly.
func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

// Two circles give the coupler's end of a four-bar; the side is that of the branch. 1,000 random four-bars of all Grashof classes in
// both branches, drawn at one crank angle and moved to others.
func TestRandomFourBarsInClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	poses, grashof := 0, 0
	for n := 0; n < 1000; {
		a, b, c, d := between(rng, 0.02, 0.2), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4)
		low := between(rng, -math.Pi, math.Pi)
		high := low + between(rng, 0.2, 1.2)
		drawn := between(rng, low, high)
		side := math.Copysign(1, rng.Float64()-0.5)
		if !reaches(a, b, c, d, low, high) {
			continue // does not close everywhere between, or nearly not
		}
		n++
		m, at := fourBar(a, b, c, d, drawn, low, high, side)
		s := mustNew(t, m)
		if s.FourBars()[0].Surplus < 0 {
			grashof++
		}
		w := mustSweep(t, s, Drive{}, 7)
		if w.Closing != nil || w.Extending != nil || len(w.Poses) != 7 {
			t.Fatalf("four-bar %d: stops %+v, %+v", n, w.Closing, w.Extending)
		}
		for i := range w.Poses {
			p := &w.Poses[i]
			crank := math.Atan2(p.Points[1].Y, p.Points[1].X)
			near(t, "stroke of the crank's angle", at(crank), p.Stroke, 1e-12)
			want := circles(polar(a, crank), r2.Vec{X: d}, b, c, side)
			if off := r2.Norm(r2.Sub(want, p.Points[2])); !(off < 1e-9*s.size) {
				t.Errorf("four-bar %d: off by %.3g m", n, off)
			}
			poses++
		}
	}
	if grashof < 200 || grashof > 800 {
		t.Errorf("%d of 1000 are Grashof: the draw is lopsided", grashof)
	}
	t.Logf("%d poses, %d Grashof", poses, grashof)
}

func reaches(a, b, c, d, low, high float64) bool {
	for i := range 41 {
		diagonal := r2.Norm(r2.Sub(polar(a, low+(high-low)*float64(i)/40), r2.Vec{X: d}))
		if diagonal > 0.98*(b+c) || diagonal < 1.02*math.Abs(b-c)+0.002 {
			return false
		}
	}
	return true
}

// The piston of an offset slider-crank by Pythagoras, with speed and acceleration by the crank's angle, over 1,000 random ones.
func TestRandomSliderCranksInClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := 0; n < 1000; {
		a, b, c := between(rng, 0.02, 0.2), between(rng, 0.1, 0.6), between(rng, -0.1, 0.1)
		low := between(rng, -math.Pi, math.Pi)
		high := low + between(rng, 0.2, 1.2)
		side := math.Copysign(1, rng.Float64()-0.5)
		if a+math.Abs(c) > 0.95*b {
			continue
		}
		n++
		m, _ := sliderCrank(a, b, c, between(rng, low, high), low, high, side)
		w := mustSweep(t, mustNew(t, m), Drive{}, 5)
		if w.Closing != nil || w.Extending != nil {
			t.Fatalf("slider-crank %d: stops %+v, %+v", n, w.Closing, w.Extending)
		}
		for i := range w.Poses {
			p := &w.Poses[i]
			sin, cos := math.Sincos(math.Atan2(p.Points[1].Y, p.Points[1].X))
			rise := a*sin - c
			root := math.Sqrt(b*b - rise*rise)
			near(t, "piston", p.Points[2].X, a*cos+side*root, 1e-10)
			slope := -a*sin - side*rise*a*cos/root
			near(t, "speed of the piston", p.Velocity[2].X, slope*p.AngleRate[1], 1e-8*math.Abs(p.AngleRate[1]))
			bend := -a*cos - side*((a*a*cos*cos-rise*a*sin)/root+rise*rise*a*a*cos*cos/(root*root*root))
			scale := p.AngleRate[1]*p.AngleRate[1] + math.Abs(p.AngleBend[1])
			near(t, "acceleration of the piston", p.Acceleration[2].X, bend*p.AngleRate[1]*p.AngleRate[1]+slope*p.AngleBend[1], 1e-8*scale)
		}
	}
}
