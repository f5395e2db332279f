package linkage

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

type pair [2]float64

func (p pair) vec() r2.Vec { return r2.Vec{X: p[0], Y: p[1]} }

// A randomMachine is one of testdata/linkages.json.
type randomMachine struct {
	Points []pair
	Bodies []struct {
		Points []int
		Ground bool
		Mass   float64
		Centre pair
	}
	Slides    []struct{ Point, Body, From, To int }
	Cylinders []Cylinder
	Strokes   []float64
	Gravity   pair
	Loads     []struct {
		Point int
		Force pair
	}
	Places    []pair
	Thrust    []float64
	Slide     []float64
	Reactions []struct {
		Point, Body int
		Force       pair
	}
}

func (r randomMachine) mechanism() Mechanism {
	var m Mechanism
	for _, p := range r.Points {
		m.Points = append(m.Points, p.vec())
	}
	for _, b := range r.Bodies {
		m.Bodies = append(m.Bodies, Body{Points: b.Points, Ground: b.Ground, Mass: b.Mass, Centre: b.Centre.vec()})
	}
	for _, s := range r.Slides {
		m.Slides = append(m.Slides, Slide(s))
	}
	m.Cylinders = r.Cylinders
	return m
}

func (r randomMachine) loadCase() Case {
	c := Case{Gravity: r.Gravity.vec()}
	for _, l := range r.Loads {
		c.Loads = append(c.Loads, Load{Point: l.Point, Force: l.Force.vec()})
	}
	return c
}

func randomMachines(t testing.TB) []randomMachine {
	t.Helper()
	data, err := os.ReadFile("testdata/linkages.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Machines []randomMachine }
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Machines) < 40 {
		t.Fatalf("only %d machines", len(all.Machines))
	}
	return all.Machines
}

// The poses and forces of random linkages, some with slides, some with two cylinders, as SciPy's fsolve and NumPy's lstsq find them from
// other equations (testdata/linkages.py). Places to 1e-9 of the size, forces to 1e-6 of the largest.
func TestRandomLinkagesAgainstSciPy(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		p, stop, err := s.PoseAt(r.Strokes, 0)
		if err != nil || stop != nil {
			t.Errorf("machine %d: stop %+v, error %v", n, stop, err)
			continue
		}
		for i, want := range r.Places {
			if d := r2.Norm(r2.Sub(p.Points[i], want.vec())); !(d <= 1e-9*s.size) {
				t.Errorf("machine %d: point %d is off by %.3g m", n, i, d)
			}
		}
		statics, err := s.Statics(r.loadCase())
		if err != nil {
			t.Fatal(err)
		}
		var f Forces
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		largest := 0.0
		for _, w := range r.Reactions {
			largest = max(largest, r2.Norm(w.Force.vec()))
		}
		for i, want := range r.Thrust {
			near(t, "thrust", f.Thrust[i], want, 1e-6*largest)
		}
		for i, want := range r.Slide {
			near(t, "slide", r2.Norm(f.Slides[i]), want, 1e-6*largest)
		}
		got := make(map[Joint]r2.Vec)
		for j, joint := range statics.Joints() {
			got[joint] = f.Reactions[j]
		}
		if len(got) != len(r.Reactions) {
			t.Errorf("machine %d: got %d joints, want %d", n, len(got), len(r.Reactions))
		}
		for _, w := range r.Reactions {
			if d := r2.Norm(r2.Sub(got[Joint{w.Point, w.Body}], w.Force.vec())); !(d <= 1e-6*largest) {
				t.Errorf("machine %d: reaction of point %d on body %d: got %v, want %v", n, w.Point, w.Body, got[Joint{w.Point, w.Body}], w.Force)
			}
		}
		c := r.loadCase()
		near(t, "virtual work", f.Thrust[0], s.HoldingThrust(p, &c), 1e-9*math.Max(largest, 1))
	}
}
