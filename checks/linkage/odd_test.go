package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// oddMachine joins bodies, slides and cylinders at random: most are loose, locked or absurd.
func oddMachine(rng *rand.Rand) Mechanism {
	var m Mechanism
	points := 4 + rng.IntN(8)
	for range points {
		// a coarse grid, so that links in line and equal links are common
		m.Points = append(m.Points, r2.Vec{X: float64(rng.IntN(6)) * 0.1, Y: float64(rng.IntN(6)) * 0.1})
	}
	bodies := 2 + rng.IntN(6)
	for i := range bodies {
		body := Body{Ground: i == 0, Mass: rng.Float64(), Centre: m.Points[rng.IntN(points)]}
		for range 1 + rng.IntN(3) {
			body.Points = append(body.Points, rng.IntN(points))
		}
		m.Bodies = append(m.Bodies, body)
	}
	if rng.IntN(3) == 0 {
		b := rng.IntN(bodies)
		on := m.Bodies[b].Points
		p := rng.IntN(points)
		m.Slides = append(m.Slides, Slide{p, b, on[0], on[len(on)-1]})
		m.Points[p] = r2.Add(m.Points[on[0]], r2.Scale(rng.Float64(), r2.Sub(m.Points[on[len(on)-1]], m.Points[on[0]])))
	}
	for range rng.IntN(3) {
		c := Cylinder{Rear: rng.IntN(points), Front: rng.IntN(points), Stroke: 0.3 * rng.Float64()}
		c.Closed = r2.Norm(r2.Sub(m.Points[c.Rear], m.Points[c.Front])) - rng.Float64()*c.Stroke
		m.Cylinders = append(m.Cylinders, c)
	}
	return m
}

// Whatever is thrown at it, the solver answers, and each pose that it gives has the links, pivots and cylinders that were asked for.
func TestOddMachines(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	built, swept, stops, poses := 0, 0, make(map[Reason]int), 0
	for range 100000 {
		m := oddMachine(rng)
		s, err := New(m)
		if err != nil {
			continue
		}
		built++
		for _, d := range s.Drives() {
			w, err := s.Sweep(d, 15)
			if err != nil {
				continue
			}
			swept++
			if len(w.Poses) > 1 {
				tryMade(t, rng, s, w)
			}
			for _, stop := range []*Stop{w.Before, w.Closing, w.Extending} {
				if stop != nil {
					stops[stop.Reason]++
				}
			}
			for i := range w.Poses {
				poses++
				checkPose(t, s, &w.Poses[i])
			}
		}
	}
	t.Logf("%d built, %d sweeps, %d poses, stops %v", built, swept, poses, stops)
	if stops[Unsolved] > 0 {
		t.Errorf("%d stops without a reason", stops[Unsolved])
	}
	if built < 300 || poses < 1000 {
		t.Errorf("only %d built and %d poses: the draw is too odd", built, poses)
	}
}

// tryMade puts points of odd machines elsewhere: either there is no such pose, or it has what was asked for; and poses between poses
// are like the others.
func tryMade(t *testing.T, rng *rand.Rand, s *Solver, w *Sweep) {
	t.Helper()
	var places []Place
	at := map[[2]int]r2.Vec{}
	for i, b := range s.mechanism.Bodies {
		p := b.Points[rng.IntN(len(b.Points))]
		place := Place{i, p, r2.Add(s.mechanism.Points[p], r2.Vec{X: 0.002 * rng.Float64(), Y: -0.001})}
		places = append(places, place)
		at[[2]int{i, p}] = place.At
	}
	v, err := s.Variant(places, nil)
	if err != nil {
		return
	}
	var out Pose
	var c Closure
	for k := range w.Poses {
		if v.Pose(&w.Poses[k], &out) != nil {
			continue
		}
		v.Closure(&c)
		gap := 0.0
		for _, g := range c.Gaps {
			if math.IsNaN(g) {
				t.Fatalf("%+v: a gap is no number", s.mechanism)
			}
			gap = max(gap, math.Abs(g))
		}
		if gap > 0 {
			continue // the bodies are where the gaps leave them
		}
		for i, b := range s.mechanism.Bodies {
			for _, p := range b.Points {
				for _, q := range b.Points {
					drawn := [2]r2.Vec{s.mechanism.Points[p], s.mechanism.Points[q]}
					for j, point := range []int{p, q} {
						if put, elsewhere := at[[2]int{i, point}]; elsewhere {
							drawn[j] = put
						}
					}
					d := r2.Norm(r2.Sub(out.Points[p], out.Points[q])) - r2.Norm(r2.Sub(drawn[0], drawn[1]))
					if !b.Ground && !(math.Abs(d) < 1e-8*s.size) {
						t.Fatalf("%+v: points %d and %d of body %d are %g off", s.mechanism, p, q, i, d)
					}
				}
			}
		}
	}
	f := s.Follow(w)
	for range 3 {
		k := 1 + rng.IntN(len(w.Poses)-1)
		if p, ok := f.At((w.Poses[k-1].Stroke + w.Poses[k].Stroke) / 2); ok {
			checkPose(t, s, p)
		}
	}
}

func checkPose(t *testing.T, s *Solver, p *Pose) {
	t.Helper()
	// Near a dead point rounding in the stroke is magnified in the place.
	tolerance := 1e-8 * s.size
	for i, b := range s.mechanism.Bodies {
		for _, q := range b.Points {
			want := s.mechanism.Points[q]
			if !b.Ground {
				want = s.placeOf(p, i, want)
			}
			if d := r2.Norm(r2.Sub(want, p.Points[q])); !(d <= tolerance) {
				t.Fatalf("%+v: point %d is %g off body %d", s.mechanism, q, d, i)
			}
		}
	}
	for i, c := range s.mechanism.Cylinders {
		length := r2.Norm(r2.Sub(p.Points[c.Front], p.Points[c.Rear]))
		if d := math.Abs(length - c.Closed - p.Cylinders[i].Stroke); !(d <= tolerance) {
			t.Fatalf("%+v: cylinder %d is %g too long", s.mechanism, i, d)
		}
	}
}
