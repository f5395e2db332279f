package stroke

import (
	"math"
	"testing"
)

// A trial step may go to where there is no state.
func TestTableOfNoStroke(t *testing.T) {
	table, err := NewTable([]float64{0, 1}, []Pose{{Mass: 1}, {Mass: 2}})
	if err != nil {
		t.Fatal(err)
	}
	if p := table.At(math.NaN()); !math.IsNaN(p.Mass) {
		t.Errorf("a mass of %g kg at no stroke", p.Mass)
	}
}

// A cubic is its own interpolation; the slope agrees with differences; between rows loads stay between their values.
func TestTable(t *testing.T) {
	mass := func(s float64) float64 { return 4 + 30*s - 200*s*s + 900*s*s*s }
	slope := func(s float64) float64 { return 30 - 400*s + 2700*s*s }
	strokes := []float64{0, 0.01, 0.013, 0.04, 0.1} // unequal steps
	loads := []float64{20, 50, 50, -10, 30}
	var poses []Pose
	for i, s := range strokes {
		poses = append(poses, Pose{Mass: mass(s), Slope: slope(s), Load: loads[i], Drag: math.Abs(loads[i]) / 10})
	}
	table, err := NewTable(strokes, poses)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range strokes {
		p := table.At(s)
		near(t, "load", p.Load, loads[i], 1e-12)
		near(t, "drag", p.Drag, math.Abs(loads[i])/10, 1e-12)
	}
	for i := 1; i < len(strokes); i++ {
		for x := 0.05; x < 1; x += 0.1 {
			s := strokes[i-1] + x*(strokes[i]-strokes[i-1])
			p := table.At(s)
			near(t, "mass", p.Mass, mass(s), 1e-12)
			near(t, "slope", p.Slope, slope(s), 1e-9)
			if p.Load < min(loads[i-1], loads[i])-1e-12 || p.Load > max(loads[i-1], loads[i])+1e-12 || p.Drag < 0 {
				t.Errorf("%+v at %g m, between rows of %g and %g N", p, s, loads[i-1], loads[i])
			}
		}
	}
	if got, want := table.At(-0.1), (Pose{Mass: 4 - 0.1*30, Slope: 30, Load: 20, Drag: 2}); got != want {
		t.Errorf("before the table: %+v, want %+v", got, want)
	}
	end := table.At(0.1)
	near(t, "slope at the end", end.Slope, slope(0.1), 1e-9)
	if got, want := table.At(0.1+1e-9), end; math.Abs(got.Mass-want.Mass) > 1e-6 || math.Abs(got.Slope-want.Slope) > 1e-9 || got.Load != 30 || got.Drag != 3 {
		t.Errorf("behind the table: %+v after %+v", got, want)
	}
	for _, bad := range []struct {
		strokes []float64
		poses   []Pose
	}{
		{[]float64{0}, []Pose{{Mass: 1}}},
		{[]float64{0, 1}, []Pose{{Mass: 1}}},
		{[]float64{0, 0}, []Pose{{Mass: 1}, {Mass: 1}}},
		{[]float64{0, math.NaN()}, []Pose{{Mass: 1}, {Mass: 1}}},
		{[]float64{0, 1}, []Pose{{Mass: 1}, {Mass: -1}}},
	} {
		if _, err := NewTable(bad.strokes, bad.poses); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}
