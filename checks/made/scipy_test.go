package made

import (
	"encoding/json"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// Play and force of unequal arms as SciPy finds them from the nonlinear equations of all bodies (testdata/arms.py).
func TestUnequalArmsAgainstSciPy(t *testing.T) {
	data, err := os.ReadFile("testdata/arms.json")
	if err != nil {
		t.Fatal(err)
	}
	type pair [2]float64
	vec := func(p pair) r2.Vec { return r2.Vec{X: p[0], Y: p[1]} }
	var table struct {
		Machines []struct {
			Grounds                                        []pair
			Arm, Rear                                      pair
			Longer                                         []float64
			Aside                                          []pair
			Drawn, Cylinder, Play, Given, Stiffness, Force float64
		}
	}
	if err := json.Unmarshal(data, &table); err != nil {
		t.Fatal(err)
	}
	if len(table.Machines) < 30 {
		t.Fatalf("only %d machines", len(table.Machines))
	}
	for i, r := range table.Machines {
		n := len(r.Grounds)
		m := linkage.Mechanism{Bodies: make([]linkage.Body, n+2)}
		m.Bodies[0].Ground = true
		var parts Parts
		for k, g := range r.Grounds {
			m.Points = append(m.Points, vec(g), r2.Add(vec(g), vec(r.Arm)))
			m.Bodies[0].Points = append(m.Bodies[0].Points, 2*k)
			m.Bodies[k+1].Points = []int{2 * k, 2*k + 1}
			m.Bodies[n+1].Points = append(m.Bodies[n+1].Points, 2*k+1)
		}
		for k, aside := range r.Aside {
			parts.Spacings = append(parts.Spacings, longer(m, k, Exactly(r.Longer[k])))
			parts.Shifts = append(parts.Shifts, Shift{Body: 0, Point: 2 * k, X: Exactly(aside[0]), Y: Exactly(aside[1])})
		}
		m.Points = append(m.Points, vec(r.Rear))
		m.Bodies[0].Points = append(m.Bodies[0].Points, 2*n)
		least, most := min(r.Drawn, r.Cylinder)-1e-3, max(r.Drawn, r.Cylinder)+1e-3
		m.Cylinders = []linkage.Cylinder{{Rear: 2 * n, Front: 1, Closed: least, Stroke: most - least}}
		s, err := linkage.New(m)
		if err != nil {
			t.Fatal(err)
		}
		p, stop, err := s.PoseAt([]float64{r.Cylinder - least}, 0)
		if stop != nil || err != nil {
			t.Fatalf("machine %d: stop %+v, error %v", i, stop, err)
		}
		fit, err := mustNew(t, s, parts).Fit([]linkage.Pose{*p}, Pivots{Play: filled(2*n+1, r.Given), Stiffness: filled(2*n+1, r.Stiffness)})
		if err != nil || len(fit.Blocked) > 0 {
			t.Fatalf("machine %d: error %v, %+v", i, err, fit)
		}
		if fit.Redundant != n-2 {
			t.Errorf("machine %d: %d constraints too many", i, fit.Redundant)
		}
		near(t, "play, of the needed", fit.Nominal.Play/r.Play, 1, 3e-3)
		near(t, "share", fit.Nominal.Share, r.Play/r.Given, 1e-2)
		near(t, "force, of SciPy's", fit.Nominal.Force/r.Force, 1, 1e-2)
	}
}
