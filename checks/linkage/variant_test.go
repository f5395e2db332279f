package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Four-bars made up to 3 % off in every length, against the cosine rule for the crank and two circles for the coupler's end.
func TestVariantInClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for n := 0; n < 300; {
		lengths := [4]float64{between(rng, 0.02, 0.2), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4)}
		made := lengths
		for i := range made {
			made[i] *= between(rng, 0.97, 1.03)
		}
		low := between(rng, -math.Pi, math.Pi)
		high := low + between(rng, 0.2, 1.2)
		side := math.Copysign(1, rng.Float64()-0.5)
		// Off by so much, the drawn one and the made one must both be far from stretched.
		wide := func(l [4]float64) bool {
			return reaches(l[0], l[1]*0.9, l[2]*0.9, l[3], low-0.2, high+0.2) && reaches(l[0], l[1]*1.1, l[2]*0.9, l[3], low-0.2, high+0.2) && reaches(l[0], l[1]*0.9, l[2]*1.1, l[3], low-0.2, high+0.2)
		}
		if !wide(lengths) || !wide(made) {
			continue
		}
		n++
		drawn := (low + high) / 2
		m, _ := fourBar(lengths[0], lengths[1], lengths[2], lengths[3], drawn, low, high, side)
		s := mustNew(t, m)
		along := func(from, to int, length float64) r2.Vec {
			return r2.Add(m.Points[from], r2.Scale(length, r2.Unit(r2.Sub(m.Points[to], m.Points[from]))))
		}
		v, err := s.Variant([]Place{
			{1, 1, along(0, 1, made[0])}, {2, 2, along(1, 2, made[1])}, {3, 2, along(3, 2, made[2])}, {0, 3, r2.Vec{X: made[3]}}, {3, 3, m.Points[3]},
		}, nil)
		if err != nil {
			t.Fatal(err)
		}
		var out Pose
		w := mustSweep(t, s, Drive{}, 9)
		for i := range w.Poses {
			p := &w.Poses[i]
			if stop := v.Pose(p, &out); stop != nil {
				t.Errorf("four-bar %d: %+v", n, stop)
				break
			}
			crank := circles(r2.Vec{}, m.Points[4], made[0], p.Cylinders[0].Length, -1)
			if r2.Norm(r2.Sub(crank, out.Points[1])) > 1e-9 {
				t.Errorf("four-bar %d: crank at %v, want %v", n, out.Points[1], crank)
			}
			if want := circles(crank, r2.Vec{X: made[3]}, made[1], made[2], side); r2.Norm(r2.Sub(want, out.Points[2])) > 1e-9 {
				t.Errorf("four-bar %d, pose %d: coupler at %v, want %v", n, i, out.Points[2], want)
			}
		}
	}
}

// With nothing elsewhere it is the machine as drawn, and it closes.
func TestVariantAsDrawn(t *testing.T) {
	s := mustNew(t, third(lifter(), r2.Vec{}))
	v, err := s.Variant(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	var out Pose
	var c Closure
	w := mustSweep(t, s, Drive{}, 12)
	for i := range w.Poses {
		if stop := v.Pose(&w.Poses[i], &out); stop != nil {
			t.Fatal(stop)
		}
		for k := range out.Points {
			near(t, "place", r2.Norm(r2.Sub(out.Points[k], w.Poses[i].Points[k])), 0, 1e-12)
			near(t, "acceleration", r2.Norm(r2.Sub(out.Acceleration[k], w.Poses[i].Acceleration[k])), 0, 1e-9)
		}
		v.Closure(&c)
		if len(c.Gaps) != 1 {
			t.Fatalf("%d gaps", len(c.Gaps))
		}
		near(t, "gap", c.Gaps[0], 0, 1e-13)
	}
	if n := testing.AllocsPerRun(100, func() { v.Pose(&w.Poses[3], &out); v.Closure(&c) }); n > 0 {
		t.Errorf("%g allocations", n)
	}
}

func TestVariantThatCannotBe(t *testing.T) {
	s := mustNew(t, lifter())
	for _, row := range []struct {
		place Place
		kind  FaultKind
	}{
		{Place{1, 5, r2.Vec{}}, UnknownIndex},
		{Place{9, 0, r2.Vec{}}, UnknownIndex},
		{Place{1, -1, r2.Vec{}}, UnknownIndex},
		{Place{1, 2, r2.Vec{X: math.NaN()}}, NotANumber},
		{Place{1, 2, r2.Vec{}}, PointsCoincide},
	} {
		if _, err := s.Variant([]Place{row.place}, nil); err == nil || err.(Fault).Kind != row.kind {
			t.Errorf("%+v: got %v", row.place, err)
		}
	}
	for kind, longer := range map[FaultKind][]float64{WrongDrive: {1, 2}, NoLength: {-0.3}} {
		if _, err := s.Variant(nil, longer); err == nil || err.(Fault).Kind != kind {
			t.Errorf("%v: got %v", longer, err)
		}
	}
	// The upper arm too short to meet the cylinder.
	v, err := s.Variant([]Place{{2, 4, r2.Vec{X: 0.05, Y: 0.14}}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := mustPose(t, s, 79*mm)
	var out Pose
	if stop := v.Pose(p, &out); stop == nil || stop.Stroke != p.Stroke {
		t.Errorf("got %+v", stop)
	}
}

// Random linkages with slides and several cylinders, every point of every body off by up to 0.3 %: the pose that is found has the made
// distances within each body, the cylinders' lengths and the points on their lines, and rates that are its differences.
func TestVariantKeepsMadeDistances(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	solved := 0
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		m := s.mechanism
		at := map[[2]int]r2.Vec{}
		var places []Place
		for i, b := range m.Bodies {
			for _, p := range b.Points {
				off := r2.Vec{X: between(rng, -1, 1), Y: between(rng, -1, 1)}
				at[[2]int{i, p}] = r2.Add(m.Points[p], r2.Scale(0.003*s.size, off))
				places = append(places, Place{i, p, at[[2]int{i, p}]})
			}
		}
		longer := make([]float64, len(m.Cylinders))
		for i := range longer {
			longer[i] = 0.003 * s.size * between(rng, -1, 1)
		}
		v, err := s.Variant(places, longer)
		if err != nil {
			t.Fatal(err)
		}
		stroke := r.Cylinders[0].Stroke
		strokes := func(by float64) []float64 {
			out := append([]float64{}, r.Strokes...)
			out[0] = min(max(out[0], 0.01*stroke), 0.99*stroke) + by
			return out
		}
		pose := func(by float64) *Pose {
			p, stop, err := s.PoseAt(strokes(by), 0)
			if stop != nil || err != nil {
				t.Fatalf("machine %d: stop %+v, error %v", n, stop, err)
			}
			var out Pose
			if stop := v.Pose(p, &out); stop != nil {
				if p.Resistance > 0.03 { // nearer to a stop the made one may have no such pose
					t.Fatalf("machine %d: %+v", n, stop)
				}
				return nil
			}
			return &out
		}
		h := 1e-4 * stroke
		p, back, on := pose(0), pose(-h), pose(h)
		if p == nil || back == nil || on == nil {
			continue
		}
		solved++
		for i, b := range m.Bodies {
			for k, x := range b.Points {
				for _, y := range b.Points[:k] {
					want := r2.Norm(r2.Sub(at[[2]int{i, x}], at[[2]int{i, y}]))
					near(t, "distance", r2.Norm(r2.Sub(p.Points[x], p.Points[y])), want, 1e-11*s.size)
				}
			}
		}
		for i, c := range m.Cylinders {
			near(t, "cylinder", r2.Norm(r2.Sub(p.Points[c.Front], p.Points[c.Rear])), c.Closed+longer[i]+strokes(0)[i], 1e-11*s.size)
		}
		for _, l := range m.Slides {
			along := r2.Unit(r2.Sub(p.Points[l.To], p.Points[l.From]))
			near(t, "off the line", r2.Cross(along, r2.Sub(p.Points[l.Point], p.Points[l.From])), 0, 1e-11*s.size)
		}
		for i := range p.Points {
			difference := r2.Scale(1/(2*h), r2.Sub(on.Points[i], back.Points[i]))
			near(t, "velocity", r2.Norm(r2.Sub(difference, p.Velocity[i])), 0, 1e-3*(1+r2.Norm(p.Velocity[i])+r2.Norm(p.Acceleration[i])))
		}
	}
	if solved < 30 {
		t.Errorf("only %d solved", solved)
	}
}

// The theorem of virtual work ties the made linkage to the forces of the drawn one: with the hole of a body aside by r, a place moves by
// u·δP = R·r, where R is the force of the pin on the body for a unit load u at that place. Every pivot of random linkages.
func TestVariantByVirtualWork(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	checked := 0
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		p, stop, err := s.PoseAt(r.Strokes, 0)
		if err != nil || stop != nil {
			t.Fatal(err, stop)
		}
		tool := len(p.Points) - 1
		for s.points[tool].body == s.moving {
			tool--
		}
		u := polar(1, between(rng, 0, 2*math.Pi))
		statics := mustStatics(t, s, Case{Loads: []Load{{Point: tool, Force: u}}})
		var f Forces
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		for i := range s.pivots {
			joint := statics.joints[statics.other[i]]
			h := 1e-7 * s.size
			way := polar(1, between(rng, 0, 2*math.Pi))
			var back, on Pose
			for by, out := range map[float64]*Pose{-h: &back, h: &on} {
				v, err := s.Variant([]Place{{joint.Body, joint.Point, r2.Add(s.mechanism.Points[joint.Point], r2.Scale(by, way))}}, nil)
				if err != nil {
					t.Fatal(err)
				}
				if stop := v.Pose(p, out); stop != nil {
					t.Fatalf("machine %d: %+v", n, stop)
				}
			}
			got := r2.Dot(u, r2.Sub(on.Points[tool], back.Points[tool])) / (2 * h)
			want := r2.Dot(f.Reactions[statics.other[i]], r2.Rotate(way, p.Angles[joint.Body], r2.Vec{}))
			near(t, "u·δP", got, want, 1e-5*(1+r2.Norm(f.Reactions[statics.other[i]])))
			checked++
		}
	}
	if checked < 200 {
		t.Errorf("only %d pivots", checked)
	}
}
