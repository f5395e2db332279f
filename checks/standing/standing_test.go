package standing

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// A block of width b, pushed at a height h, tips when F h = W b/2 and slides when F = mu W: any textbook of statics (Meriam and Kraige,
// Statics, chapter 6, has it as the problem of the crate). It tips before it slides where h > b/(2 mu).
func TestBlockAgainstTextbook(t *testing.T) {
	const weight, b, mu = 400.0, 0.6, 0.35
	f := Feet{From: -b / 2, To: b / 2, Friction: mu}
	for _, h := range []float64{0.5, 0.9, 1.4} {
		for _, way := range []float64{1, -1} {
			tip := weight * b / 2 / h
			r, err := f.Stand([]Push{{At: r2.Vec{Y: 0.7}, Force: r2.Vec{Y: -weight}}, {At: r2.Vec{X: 0.1, Y: h}, Force: r2.Vec{X: way * tip}}})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "reserve", r.Reserve(), 1, 1e-12)
			if r.Left != (way < 0) {
				t.Error("the wrong edge")
			}
			near(t, "along", r.Across, tip, 1e-12)
			if slides := r.Across > f.Slides(r); slides != (h < b/(2*mu)) {
				t.Errorf("at %g m: slides %v", h, slides)
			}
		}
	}
	near(t, "slope", Tilt(b/2, 0.7), math.Atan(0.3/0.7), 1e-15)
}

// A clamp that presses down between the edges, a couple, and a pull up: moments by hand.
func TestPushesByHand(t *testing.T) {
	f := Feet{From: 0.1, To: 0.5, Y: -0.2, Friction: 0.3}
	r, err := f.Stand([]Push{
		{At: r2.Vec{X: 0.2}, Force: r2.Vec{Y: -50}},
		{At: r2.Vec{X: 0.7, Y: 0.1}, Force: r2.Vec{X: 10, Y: -40}},
		{Moment: -4},
		{At: r2.Vec{X: 0.15, Y: -0.2}, Force: r2.Vec{Y: -100}},
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "holds", r.Holds, 50*0.3+100*0.35, 1e-12)
	near(t, "tips", r.Tips, 40*0.2+10*0.3+4, 1e-12)
	near(t, "down", r.Down, 190, 1e-12)
	near(t, "slides", f.Slides(r), 57, 1e-12)
	if r, _ := f.Stand([]Push{{At: r2.Vec{X: 0.3}, Force: r2.Vec{Y: 5}}}); f.Slides(r) != 0 {
		t.Error("what is lifted slides freely")
	}
	if _, err := (Feet{From: 1, To: 1}).Stand(nil); err == nil {
		t.Error("feet without a width")
	}
}
