package columns

import (
	"math"
	"testing"
)

// Gere and Goodno, Mechanics of Materials, 7th edition, problem 11.4-2: a steel pipe 40 mm outside, 36 mm inside, 1.2 m long, E 210 GPa,
// held in the four ways: 62.2, 15.6, 127 and 249 kN.
func TestPipeOfTextbook(t *testing.T) {
	stiffness := 210e9 * (Round(0.040) - Round(0.036))
	for _, c := range []struct{ ends, want float64 }{{BothTurn, 62.2e3}, {FastFree, 15.6e3}, {FastTurns, 127e3}, {BothFast, 249e3}} {
		if got := Gives(stiffness, 1.2, c.ends); math.Abs(got-c.want) > 4e-3*c.want {
			t.Errorf("ends %g: got %g N, want %g", c.ends, got, c.want)
		}
	}
}

// What a bar must have is what bears the force.
func TestDiameterAndLengthBear(t *testing.T) {
	const e, force, length = 200e9, 1234.0, 0.71
	for _, ends := range []float64{BothTurn, FastFree, FastTurns, BothFast} {
		d := Diameter(e, force, length, ends)
		if got := Gives(e*Round(d), length, ends); math.Abs(got-force) > 1e-9*force {
			t.Errorf("ends %g: %g mm bear %g N, want %g", ends, d*1e3, got, force)
		}
		if got := Longest(e*Round(d), force, ends); math.Abs(got-length) > 1e-9*length {
			t.Errorf("ends %g: longest %g m, want %g", ends, got, length)
		}
	}
}
