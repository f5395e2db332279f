package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// TestMoments: along every bar the moments lie in order, have the largest that is told, and where a bar ends free they end with none.
func TestMoments(t *testing.T) {
	s := mustNew(t, lifter())
	c := Case{Loads: []Load{{Point: 5, Mass: 3}}, Gravity: StandardGravity}
	st := mustStatics(t, s, c)
	w := mustSweep(t, s, Drive{}, 12)
	var f Forces
	for i := range w.Poses {
		if err := st.Hold(&w.Poses[i], Standing, &f); err != nil {
			t.Fatal(err)
		}
		for body, b := range s.Mechanism().Bodies {
			bars := barsOf(st, body, &f)
			if b.Ground {
				if len(bars) != 0 {
					t.Errorf("the ground has bars %v", bars)
				}
				continue
			}
			if len(bars) != len(b.Points)-1 {
				t.Errorf("body %d of %d points has %d bars", body, len(b.Points), len(bars))
			}
			ends := map[int]int{}
			for _, m := range bars {
				ends[m.From]++
				ends[m.To]++
			}
			for _, m := range bars {
				most, x := 0.0, 0.0
				for _, one := range m.Moments {
					most = max(most, math.Abs(one.Bending))
					if one.X < x {
						t.Errorf("body %d: places %v", body, m.Moments)
					}
					x = one.X
				}
				near(t, "largest", most, math.Abs(m.Bending), 1e-12*max(1, most))
				near(t, "length", x, m.Length, 1e-12)
				if ends[m.From] == 1 {
					near(t, "at a free end", m.Moments[0].Bending, 0, 1e-9)
				}
				if ends[m.To] == 1 {
					near(t, "at a free end", m.Moments[len(m.Moments)-1].Bending, 0, 1e-9)
				}
			}
		}
	}
}

// TestBellCrank: arms of 100 and 80 mm at 90° about the pivot in their corner. A load F on the one bends it by F times its arm, up to the corner,
// and the other as much from there on: free bodies of both arms, any textbook. Named out of order or with a bar through the pivot it is the same.
func TestBellCrank(t *testing.T) {
	for _, bars := range [][][2]int{nil, {{1, 0}, {0, 2}}} {
		s := mustNew(t, Mechanism{
			Points:    []r2.Vec{{}, {X: 0.1}, {Y: 0.08}, {X: 0.3, Y: 0.08}},
			Bodies:    []Body{{Points: []int{0, 3}, Ground: true}, {Points: []int{1, 0, 2}, Bars: bars}},
			Cylinders: []Cylinder{{Rear: 3, Front: 2, Closed: 0.29, Stroke: 0.05}},
		})
		statics := mustStatics(t, s, Case{Loads: []Load{{Point: 1, Force: r2.Vec{X: 30, Y: -200}}}})
		var f Forces
		if err := statics.Hold(mustPose(t, s, 0.01), Standing, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "thrust", math.Abs(f.Thrust[0]), 200*0.1/0.08, 1e-9)
		found := barsOf(statics, 1, &f)
		if len(found) != 2 {
			t.Fatalf("bars %v", found)
		}
		for _, m := range found {
			near(t, "bending at the corner, N m", math.Abs(m.Bending), 20, 1e-9)
			corner := 0.0
			if m.To == 0 {
				corner = m.Length
			}
			near(t, "where", m.BendingAt, corner, 1e-12)
			if m.From+m.To == 1 {
				near(t, "shear", m.Shear, 200, 1e-9)
				near(t, "pull", m.Tension, 30, 1e-9)
			} else {
				near(t, "shear", m.Shear, 250, 1e-9)
				near(t, "pull", m.Tension+m.Compression, 0, 1e-9)
			}
		}
	}
}

// TestBarsOfALink: points on a named bar divide it, whatever their order; a ring is left open; what is named apart is joined by the shortest bar.
func TestBarsOfALink(t *testing.T) {
	points := []r2.Vec{{}, {X: 0.4}, {X: 0.1}, {X: 0.1, Y: 0.2}, {X: 0.4, Y: 0.3}}
	for _, c := range []struct {
		bars [][2]int
		want []Limb
	}{
		{nil, []Limb{{0, 2}, {2, 3}, {2, 1}, {1, 4}}},
		{[][2]int{{0, 1}, {1, 2}, {2, 3}, {3, 4}}, []Limb{{0, 2}, {2, 1}, {2, 3}, {3, 4}}},
		{[][2]int{{0, 3}, {3, 1}, {1, 0}, {1, 4}}, []Limb{{0, 3}, {3, 1}, {1, 2}, {1, 4}}},
		{[][2]int{{1, 4}}, []Limb{{0, 2}, {2, 3}, {2, 1}, {1, 4}}},
	} {
		b := Body{Points: []int{0, 1, 2, 3, 4}, Bars: c.bars}
		got := b.limbs(points, 0)
		if len(got) != len(c.want) {
			t.Fatalf("%v: %v", c.bars, got)
		}
		for _, l := range c.want {
			found := false
			for _, g := range got {
				found = found || g == l
			}
			if !found {
				t.Errorf("%v: got %v, want %v", c.bars, got, c.want)
				break
			}
		}
	}
}

// TestMembersInMotion: a lever of 2 kg that a cylinder turns about its end bears in its middle what half of its mass at its centre sets against the
// acceleration (d'Alembert), F and its couple I α through the bracket at the centre.
func TestMembersInMotion(t *testing.T) {
	inertia := 2 * 0.4 * 0.4 / 12
	s := mustNew(t, Mechanism{
		Points:    []r2.Vec{{}, {X: 0.4}, {X: 0.1}, {X: 0.1, Y: -0.3}},
		Bodies:    []Body{{Points: []int{0, 3}, Ground: true}, {Points: []int{0, 1, 2}, Mass: 2, Centre: r2.Vec{X: 0.2}, Inertia: inertia}},
		Cylinders: []Cylinder{{Rear: 3, Front: 2, Closed: 0.29, Stroke: 0.05}},
	})
	statics := mustStatics(t, s, Case{})
	p := mustPose(t, s, 0.01)
	var f Forces
	const acceleration = 3.0
	if err := statics.Move(p, 0, acceleration, &f); err != nil {
		t.Fatal(err)
	}
	alpha := acceleration / 0.1 // level, and the cylinder upright
	near(t, "thrust", f.Thrust[0], (inertia+2*0.2*0.2)*alpha/0.1, 1e-9)
	worst := 0.0
	for _, m := range statics.Members(1, Scene{Pose: p, Acceleration: acceleration}, &f, nil) {
		near(t, "rest", m.Rest, 0, 1e-9)
		worst = max(worst, math.Abs(m.Bending))
	}
	// At the rod's pin: the centre's inertia 0.1 m beyond, and the couple.
	near(t, "bending", worst, 2*0.2*alpha*0.1+inertia*alpha, 1e-9)
}
