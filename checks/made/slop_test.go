package made

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// A lever of 300 mm that a cylinder holds 120 mm from its pivot, square to it: play of the eyes grows by 300/120 at the tip, and that of
// the pivot moves the tip across by 300/120 - 1 the other way, or along by itself (similar triangles; what play c at a radius r does
// at L, c L/r, is common practice).
func TestSlopOfALever(t *testing.T) {
	const c = 0.05 * mm
	mech := linkage.Mechanism{
		Points:    []r2.Vec{{}, {X: 120 * mm}, {X: 120 * mm, Y: -250 * mm}, {X: 300 * mm}},
		Bodies:    []linkage.Body{{Points: []int{0, 2}, Ground: true}, {Points: []int{0, 1, 3}}},
		Cylinders: []linkage.Cylinder{{Rear: 2, Front: 1, Closed: 0.24, Stroke: 0.02}},
	}
	s, err := linkage.New(mech)
	if err != nil {
		t.Fatal(err)
	}
	p, stop, err := s.PoseAt([]float64{0.01}, 0)
	if err != nil || stop != nil {
		t.Fatal(err, stop)
	}
	poses := []linkage.Pose{*p}
	m := mustNew(t, s, Parts{})
	for _, row := range []struct {
		name           string
		play           []float64
		distance, turn float64
	}{
		{"eyes", []float64{0, c, c, 0}, 2 * c * 300 / 120, 2 * c / (120 * mm)},
		{"pivot", []float64{c, 0, 0, 0}, c * 180 / 120, c / (120 * mm)},
		{"all", []float64{c, c, c, 0}, 2*c*300/120 + c*180/120, 3 * c / (120 * mm)},
		{"none", []float64{0, 0, 0, 0}, 0, 0},
	} {
		got, err := m.Slop(poses, Tool{Point: 3, Body: 1}, row.play)
		if err != nil || len(got.Blocked) > 0 {
			t.Fatal(err, got.Blocked)
		}
		near(t, row.name+": distance", got.Distance, row.distance, 3e-3*row.distance)
		near(t, row.name+": turn", got.Turn, row.turn, 1e-3*row.turn)
		sum := 0.0
		for _, g := range got.Of {
			sum += g.Distance
		}
		near(t, row.name+": sum of parts", sum, got.Distance, 1e-15)
	}
	for _, play := range [][]float64{nil, {0, 0, 0, -1}, {0, math.NaN(), 0, 0}, {0, 0, math.Inf(1), 0}} {
		if _, err := m.Slop(poses, Tool{Point: 3, Body: 1}, play); err == nil || err.(Fault).Kind != NotAsked {
			t.Errorf("%v: got %v", play, err)
		}
	}
}

// Random four-bars with play in every pivot: the coupler's end in closed form, with each pin as far off as it can be in the best of many
// directions, found one after the other until none gets it farther.
func TestSlopInClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	const c = 0.02 * mm
	for range 40 {
		r, mech := randomRig(rng)
		s, poses := swept(t, mech, 3)
		play := filled(5, c)
		got, err := mustNew(t, s, Parts{}).Slop(poses[1:2], Tool{Point: 2, Body: 2}, play)
		if err != nil {
			t.Fatal(err)
		}
		cylinder := poses[1].Cylinders[0].Length
		// off: the crank off the ground's pin, the coupler off the crank's pin, the follower off the coupler's, and off the ground's.
		end := func(off [4]r2.Vec, longer float64) r2.Vec {
			foot := off[0]
			pin := meet(foot, r.rear, r.a, cylinder+longer, -1)
			hole := r2.Add(pin, off[1])
			return meet(hole, r2.Add(r2.Vec{X: r.d}, r2.Add(off[2], off[3])), r.b, r.c, r.side)
		}
		start := end([4]r2.Vec{}, 0)
		farthest := 0.0
		for k := range 16 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
			u := r2.Vec{X: cos, Y: sin}
			var off [4]r2.Vec
			longer := 0.0
			for _, l := range []float64{2 * c, -2 * c} {
				if r2.Dot(u, end(off, l)) > r2.Dot(u, end(off, longer)) {
					longer = l
				}
			}
			for i := range off {
				best := off
				for j := range 90 {
					sin, cos := math.Sincos(2 * math.Pi * float64(j) / 90)
					try := off
					try[i] = r2.Scale(c, r2.Vec{X: cos, Y: sin})
					if r2.Dot(u, end(try, longer)) > r2.Dot(u, end(best, longer)) {
						best = try
					}
				}
				off = best
			}
			farthest = max(farthest, r2.Norm(r2.Sub(end(off, longer), start)))
		}
		near(t, "distance", got.Distance/farthest, 1, 0.02)
		if len(got.Of) != 5 {
			t.Errorf("got %+v", got.Of)
		}
	}
}
