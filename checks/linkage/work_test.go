package linkage

import (
	"fmt"
	"math"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// chain drives n four-bars one from the other: each crank is grounded, and a bar leads from it to the next.
func chain(n int) Mechanism {
	m := Mechanism{Bodies: []Body{{Ground: true}}}
	add := func(x, y float64) int {
		m.Points = append(m.Points, r2.Vec{X: x, Y: y})
		return len(m.Points) - 1
	}
	last := -1
	for k := range n {
		x := 0.2 * float64(k)
		low, high := add(x, 0), add(x+0.01*float64(k%3), 0.1)
		m.Bodies[0].Points = append(m.Bodies[0].Points, low)
		m.Bodies = append(m.Bodies, Body{Points: []int{low, high}, Mass: 0.2, Centre: r2.Vec{X: x, Y: 0.05}})
		if last >= 0 {
			m.Bodies = append(m.Bodies, Body{Points: []int{last, high}, Mass: 0.3, Centre: r2.Vec{X: x - 0.1, Y: 0.1}})
		}
		last = high
	}
	rear := add(-0.3, 0.02)
	m.Bodies[0].Points = append(m.Bodies[0].Points, rear)
	m.Cylinders = []Cylinder{{Rear: rear, Front: 1, Closed: r2.Norm(r2.Vec{X: 0.3, Y: 0.08}) - 0.02, Stroke: 0.04}}
	return m
}

// The work of a sweep, counted. Fewer is better; more needs a reason.
func TestWork(t *testing.T) {
	for _, row := range []struct {
		name string
		m    Mechanism
		n    int
		want Work
	}{
		{"lifter", lifter(), 200, Work{Steps: 200, Newton: 401, Factorings: 401, Orders: 1}},
		{"chain of 25 cranks", chain(25), 50, Work{Steps: 50, Newton: 101, Factorings: 101, Orders: 1}},
	} {
		w := mustSweep(t, mustNew(t, row.m), Drive{}, row.n)
		if w.Work != row.want {
			t.Errorf("%s: got %+v, want %+v", row.name, w.Work, row.want)
		}
	}
}

func TestForcesDoNotAllocate(t *testing.T) {
	for name, m := range map[string]Mechanism{"lifter": lifter(), "redundant": third(lifter(), r2.Vec{})} {
		s := mustNew(t, m)
		c := lifterCase()
		c.Pins = []Pin{{1, 0.1, 0.004}}
		statics := mustStatics(t, s, c)
		w := mustSweep(t, s, Drive{}, 20)
		var f Forces
		var members []Member
		k := 0
		if n := testing.AllocsPerRun(100, func() {
			if err := statics.Hold(&w.Poses[k%20], Extending, &f); err != nil {
				t.Fatal(err)
			}
			members = statics.Members(2, Scene{Pose: &w.Poses[k%20]}, &f, members)
			k++
		}); n > 0 {
			t.Errorf("%s: %g allocations for the forces of a pose", name, n)
		}
		walker, _ := s.start(0)
		walker.head([]float64{1})
		h := 1e-4
		if n := testing.AllocsPerRun(100, func() { walker.try(h); h = -h }); n > 0 {
			t.Errorf("%s: %g allocations for a step", name, n)
		}
	}
}

// BenchmarkPose is one step to the next pose of a four-bar, with rates, resistance, thrust and all pivot reactions.
func BenchmarkPose(b *testing.B) {
	s := mustNew(b, lifter())
	statics := mustStatics(b, s, lifterCase())
	w, _ := s.start(0)
	w.head([]float64{1})
	p := &s.newPoses(1, 4)[0]
	var f Forces
	h := 0.08 / 200 / s.size
	n := 0
	b.ReportAllocs()
	for b.Loop() {
		if n++; n%100 == 0 {
			h = -h
		}
		if !w.try(h) {
			b.Fatal("refused")
		}
		w.here.write(p, 0)
		if err := statics.Hold(p, Standing, &f); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkForces is all pivot reactions of a four-bar at a pose that is known.
func BenchmarkForces(b *testing.B) {
	s := mustNew(b, lifter())
	c := lifterCase()
	w := mustSweep(b, s, Drive{}, 200)
	statics := mustStatics(b, s, c)
	for name, way := range map[string]Way{"standing": Standing, "rubbing": Extending} {
		c.Pins = []Pin{{0, 0.1, 0.004}, {1, 0.1, 0.004}, {2, 0.1, 0.004}, {3, 0.1, 0.004}}
		statics = mustStatics(b, s, c)
		b.Run(name, func(b *testing.B) {
			var f Forces
			k := 0
			b.ReportAllocs()
			for b.Loop() {
				if err := statics.Hold(&w.Poses[k%200], way, &f); err != nil {
					b.Fatal(err)
				}
				k++
			}
		})
	}
}

// BenchmarkSweep is 200 poses with reactions both ways, with friction.
func BenchmarkSweep(b *testing.B) {
	s := mustNew(b, lifter())
	c := lifterCase()
	c.Pins = []Pin{{0, 0.1, 0.004}, {1, 0.1, 0.004}, {2, 0.1, 0.004}, {3, 0.1, 0.004}}
	b.ReportAllocs()
	for b.Loop() {
		w := mustSweep(b, s, Drive{}, 200)
		statics := mustStatics(b, s, c)
		var f Forces
		for i := range w.Poses {
			for _, way := range []Way{Closing, Extending} {
				if err := statics.Hold(&w.Poses[i], way, &f); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}

// BenchmarkChain shows how the cost grows with the number of points: preparing, and a sweep of 50 poses.
func BenchmarkChain(b *testing.B) {
	for _, points := range []int{13, 25, 51, 101, 201} {
		m := chain(points / 2)
		name := fmt.Sprintf("points=%d", len(m.Points))
		b.Run("New/"+name, func(b *testing.B) {
			for b.Loop() {
				mustNew(b, m)
			}
		})
		s := mustNew(b, m)
		b.Run("Sweep/"+name, func(b *testing.B) {
			for b.Loop() {
				mustSweep(b, s, Drive{}, 50)
			}
		})
	}
}

// BenchmarkAgainstFsolve is a sweep of 200 poses, and how many times as long SciPy's fsolve takes for the places alone
// (testdata/sweep.py).
func BenchmarkAgainstFsolve(b *testing.B) {
	out, err := exec.Command("/usr/bin/python3", "testdata/sweep.py").Output()
	if err != nil {
		b.Skip("needs Debian's python3-scipy: ", err)
	}
	var seconds, rise float64
	if _, err := fmt.Sscan(string(out), &seconds, &rise); err != nil {
		b.Fatal(err)
	}
	s := mustNew(b, lifter())
	var w *Sweep
	for b.Loop() {
		w = mustSweep(b, s, Drive{}, 200)
	}
	if got := w.Poses[199].Points[5].Y - w.Poses[0].Points[5].Y; math.Abs(got-rise) > 1e-9 {
		b.Errorf("rise %g, fsolve %g", got, rise)
	}
	b.ReportMetric(seconds/(b.Elapsed().Seconds()/float64(b.N)), "fsolve/sweep")
}
