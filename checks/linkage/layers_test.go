package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A cylinder 25 mm beside its lever: thrust times distance bends the pin; along the lever that twists it, across it leans it.
func TestCylinderBesideItsLever(t *testing.T) {
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	p := mustPose(t, s, 60*mm)
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 2, Force: r2.Vec{X: 150, Y: -400}}}})
	var f Forces
	if err := statics.Hold(p, Standing, &f); err != nil {
		t.Fatal(err)
	}
	aside, err := statics.Aside(Layers{Bodies: []float64{0, 0}, Cylinders: []float64{-25 * mm}})
	if err != nil {
		t.Fatal(err)
	}
	aside.Compute(&f)
	moment := math.Abs(f.Thrust[0]) * 25 * mm
	between := p.Cylinders[0].Angle - way(p, 0, 2)
	lever := aside.Bodies[1]
	near(t, "couple", r2.Norm(lever.Couple), moment, 1e-12)
	near(t, "twist", lever.Twist, moment*math.Abs(math.Sin(between)), 1e-12)
	near(t, "lean", lever.Lean, moment*math.Abs(math.Cos(between)), 1e-12)
	near(t, "the ground gets the opposite", r2.Norm(r2.Add(lever.Couple, aside.Bodies[0].Couple)), 0, 1e-12)
	for _, pin := range aside.Pins {
		want := 0.0
		if pin.Point > 0 {
			want = moment
		}
		near(t, "bending of the pin", pin.Bending, want, 1e-12)
	}
}

// Seen from the side: the forces on everything that moves, each in its layer, and the couples of the ground's pins make no moment.
func TestLayersAreInEquilibrium(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		m := &s.mechanism
		statics := mustStatics(t, s, r.loadCase())
		p, _, err := s.PoseAt(r.Strokes, 0)
		if err != nil {
			t.Fatal(err)
		}
		var f Forces
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		l := Layers{Bodies: make([]float64, len(m.Bodies)), Cylinders: make([]float64, len(m.Cylinders))}
		for i := range l.Bodies {
			l.Bodies[i] = 0.01 * float64(i*i%5)
		}
		for i := range l.Cylinders {
			l.Cylinders[i] = -0.02 * float64(i+1)
		}
		aside, err := statics.Aside(l)
		if err != nil {
			t.Fatal(err)
		}
		aside.Compute(&f)
		// Everything that acts on the moving bodies from outside, in its layer.
		var sum r2.Vec
		outside := func(z float64, force r2.Vec) { sum = r2.Add(sum, r2.Scale(z, normal(force))) }
		largest := 1.0
		for j, joint := range statics.Joints() {
			b := m.Bodies[joint.Body]
			largest = max(largest, r2.Norm(f.Reactions[j]))
			if b.Ground {
				continue
			}
			pin := aside.Pins[aside.pin[joint.Point]]
			if m.Bodies[pin.Holder].Ground {
				outside(l.Bodies[joint.Body], f.Reactions[j])
			}
		}
		for i, c := range m.Cylinders {
			if !m.Bodies[aside.Pins[aside.pin[c.Front]].Holder].Ground {
				outside(l.Cylinders[i], f.Front[i])
			}
			if !m.Bodies[aside.Pins[aside.pin[c.Rear]].Holder].Ground {
				outside(l.Cylinders[i], f.Rear[i])
			}
		}
		for i, c := range m.Slides {
			point := m.Bodies[aside.Pins[aside.pin[c.Point]].Holder].Ground
			line := m.Bodies[c.Body].Ground
			if line && !point {
				outside(l.Bodies[c.Body], f.Slides[i])
			} else if point && !line {
				outside(l.Bodies[c.Body], r2.Scale(-1, f.Slides[i]))
			}
		}
		for i, b := range m.Bodies {
			if !b.Ground {
				outside(l.Bodies[i], r2.Scale(b.Mass, r.Gravity.vec()))
			}
		}
		for _, load := range r.loadCase().Loads {
			holder := -1
			if k := aside.pin[load.Point]; k >= 0 {
				holder = aside.Pins[k].Holder
			} else {
				for i, b := range m.Bodies {
					if has(b, load.Point) {
						holder = i
					}
				}
			}
			if !m.Bodies[holder].Ground {
				outside(l.Bodies[holder], load.Force)
			}
		}
		var couples r2.Vec
		for i, b := range m.Bodies {
			if !b.Ground {
				couples = r2.Add(couples, aside.Bodies[i].Couple)
			}
		}
		if d := r2.Norm(r2.Sub(couples, sum)); d > 1e-9*largest {
			t.Errorf("machine %d: couples %v, moments of what acts from outside %v", n, couples, sum)
		}
	}
}

func TestLayersThatDoNotFit(t *testing.T) {
	statics := mustStatics(t, mustNew(t, lifter()), lifterCase())
	for _, l := range []Layers{
		{},
		{Bodies: make([]float64, 4), Cylinders: []float64{math.NaN()}},
		{Bodies: make([]float64, 4), Cylinders: []float64{0}, Holder: []int{2, -1, -1, -1, -1, -1}},
		{Bodies: make([]float64, 4), Cylinders: []float64{0}, Holder: []int{-1}},
	} {
		if _, err := statics.Aside(l); err == nil || err.(Fault).Kind != CaseIncomplete {
			t.Errorf("%+v: got %v", l, err)
		}
	}
}
