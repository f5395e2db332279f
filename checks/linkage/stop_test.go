package linkage

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// exact is what a stop must be found to, m.
const exact = 0.01 * mm

func wantStop(t *testing.T, what string, got *Stop, reason Reason, stroke float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s: no stop, want %v at %.6f m", what, reason, stroke)
		return
	}
	if got.Reason != reason {
		t.Errorf("%s: got %v, want %v", what, got.Reason, reason)
	}
	near(t, what+": stroke", got.Stroke, stroke, exact)
}

// Cosine rule: the cylinder's line passes through the pivot at lengths |p - r| and p + r.
func TestDeadPointsOfARocker(t *testing.T) {
	w := mustSweep(t, mustNew(t, rocker(90*deg, 150*mm, 300*mm)), Drive{}, 50)
	wantStop(t, "closing", w.Closing, DeadPoint, 30*mm)
	wantStop(t, "extending", w.Extending, DeadPoint, 270*mm)
	near(t, "first pose", w.Poses[0].Stroke, 30*mm, exact)
	near(t, "last pose", w.Poses[len(w.Poses)-1].Stroke, 270*mm, exact)
	near(t, "transmission of the cylinder at the end", w.Poses[0].Cylinders[0].Transmission, 0, 0.01)
	for i := 1; i < len(w.Poses); i++ {
		if w.Poses[i].Stroke <= w.Poses[i-1].Stroke {
			t.Fatalf("pose %d at %g comes after %g", i, w.Poses[i].Stroke, w.Poses[i-1].Stroke)
		}
	}
}

// Cosine rule: the crank can't turn past the angle where coupler and follower are stretched.
func TestStretchedFourBar(t *testing.T) {
	const a, b, c, d = 100 * mm, 120 * mm, 80 * mm, 150 * mm
	out := math.Acos((a*a + d*d - (b+c)*(b+c)) / (2 * a * d)) // b and c stretched
	in := math.Acos((a*a + d*d - (b-c)*(b-c)) / (2 * a * d))  // no such pose: a + b-c < d
	if !math.IsNaN(in) {
		t.Fatal("the case was meant to have one limit only")
	}
	m, at := fourBar(a, b, c, d, 60*deg, 30*deg, 150*deg, 1)
	w := mustSweep(t, mustNew(t, m), Drive{}, 100)
	wantStop(t, "closing", w.Closing, Stretched, at(out))
	if w.Extending != nil {
		t.Errorf("extending: got %+v", w.Extending)
	}
}

// The lifter with its cylinder anchored aside of the posts' line reaches the pose where all links stand upright.
func anchoredAside(m Mechanism) Mechanism {
	m.Points = append(m.Points, r2.Vec{X: 150 * mm, Y: -100 * mm})
	m.Bodies[0].Points = []int{0, 1, len(m.Points) - 1}
	rear := m.Points[len(m.Points)-1]
	m.Cylinders[0] = Cylinder{Rear: len(m.Points) - 1, Front: 4, Closed: r2.Norm(r2.Sub(m.Points[4], rear)) - 0.01, Stroke: 0.32}
	return m
}

func TestChangePointOfTheParallelogram(t *testing.T) {
	m := anchoredAside(lifter())
	w := mustSweep(t, mustNew(t, m), Drive{}, 100)
	// Upright above B: K is sqrt(219.2² + 63.93²) mm from B, leaning against B-D as drawn.
	bk, bd := r2.Sub(m.Points[4], m.Points[1]), r2.Sub(m.Points[3], m.Points[1])
	lean := math.Atan2(r2.Cross(bd, bk), r2.Dot(bd, bk))
	top := r2.Add(m.Points[1], polar(r2.Norm(bk), math.Pi/2+lean))
	wantStop(t, "extending", w.Extending, ChangePoint, r2.Norm(r2.Sub(top, m.Points[6]))-m.Cylinders[0].Closed)
}

// Anchored on the line of the posts, the cylinder comes in line with the arm it pushes where all links stand upright: a dead point and a
// change point in one pose, and near each other when the anchor misses the line a little.
func TestDeadPointAtAChangePoint(t *testing.T) {
	for _, aside := range []float64{0, 0.001 * mm, 0.03 * mm, 0.1 * mm, -0.01 * mm, -0.1 * mm} {
		arm := r2.Vec{X: 240 * mm, Y: -70 * mm}
		rear, up := r2.Vec{X: aside, Y: -200 * mm}, r2.Vec{Y: 140 * mm}
		end := r2.Add(up, arm)
		m := Mechanism{
			Points:    []r2.Vec{{}, up, rear, arm, end},
			Bodies:    []Body{{Points: []int{0, 1, 2}, Ground: true}, {Points: []int{0, 3}}, {Points: []int{1, 4}}, {Points: []int{3, 4}}},
			Cylinders: []Cylinder{{Rear: 2, Front: 4, Closed: 300 * mm, Stroke: 299 * mm}},
		}
		w := mustSweep(t, mustNew(t, m), Drive{}, 100)
		wantStop(t, "extending", w.Extending, ChangePoint, (140+250+200-300)*mm)
	}
}

// Two equal parallelograms on one arm come in line together: the determinant touches zero without changing its sign.
func TestTwoChangePointsAtOnce(t *testing.T) {
	arm := polar(0.2, 20*deg)
	up, down := r2.Vec{Y: 0.1}, r2.Vec{Y: -0.1}
	rear := r2.Vec{X: -0.15, Y: 0.02}
	drawn := r2.Norm(r2.Sub(arm, rear))
	m := Mechanism{
		Points: []r2.Vec{{}, up, down, arm, r2.Add(arm, up), r2.Add(arm, down), rear},
		Bodies: []Body{
			{Points: []int{0, 1, 2, 6}, Ground: true},
			{Points: []int{0, 3}}, {Points: []int{1, 4}}, {Points: []int{2, 5}},
			{Points: []int{3, 4}}, {Points: []int{3, 5}},
		},
		Cylinders: []Cylinder{{Rear: 6, Front: 3, Closed: drawn - 0.15, Stroke: 0.16}},
	}
	s := mustNew(t, m)
	if f := s.Mobility().Freedoms; f != 1 {
		t.Fatalf("got %d freedoms", f)
	}
	for _, n := range []int{2, 37, 100} {
		w := mustSweep(t, s, Drive{}, n)
		wantStop(t, "closing", w.Closing, ChangePoint, r2.Norm(r2.Sub(r2.Vec{Y: 0.2}, rear))-m.Cylinders[0].Closed)
	}
}

// third adds a parallel arm of the given length between the drawn places.
func third(m Mechanism, shift r2.Vec) Mechanism {
	n := len(m.Points)
	m.Points = append(m.Points, r2.Vec{X: -60 * mm, Y: 30 * mm}, r2.Add(r2.Vec{X: 180 * mm, Y: -40 * mm}, shift))
	m.Bodies[0].Points = append(m.Bodies[0].Points, n)
	m.Bodies[3].Points = append(m.Bodies[3].Points, n+1)
	m.Bodies = append(m.Bodies, Body{Points: []int{n, n + 1}, Mass: 0.16, Centre: r2.Vec{X: 60 * mm, Y: -5 * mm}})
	return m
}

// An equal third arm holds the parallelogram where all links of the first two are in line (an old practice of coupled wheels).
func TestThirdArmCarriesOverTheChangePoint(t *testing.T) {
	m := third(anchoredAside(lifter()), r2.Vec{})
	w := mustSweep(t, mustNew(t, m), Drive{}, 100)
	if w.Closing != nil || w.Extending != nil {
		t.Errorf("stops %+v, %+v", w.Closing, w.Extending)
	}
	for _, p := range w.Poses {
		near(t, "tilt of the tray", p.Angles[3], 0, 1e-9)
	}
}

func TestThirdArm(t *testing.T) {
	along := r2.Unit(r2.Vec{X: 240, Y: -70})
	for _, row := range []struct {
		name     string
		shift    r2.Vec
		fit      float64
		freedoms int
		drawn    int
	}{
		{"equal", r2.Vec{}, 0, 1, 1},
		{"parallel but longer by 1 mm", r2.Scale(1*mm, along), 0.01 * mm, 0, 1},
		{"parallel but longer by 1 mm, exact", r2.Scale(1*mm, along), 0, 0, 1},
		{"parallel but shorter by 5 mm", r2.Scale(-5*mm, along), 0.01 * mm, 0, 1},
		{"not parallel", r2.Vec{Y: 10 * mm}, 0.01 * mm, 0, 0},
		{"rounded to 0.005 mm", r2.Vec{X: 0.004 * mm, Y: 0.003 * mm}, 0.01 * mm, 1, 1},
	} {
		m := third(lifter(), row.shift)
		m.Fit = row.fit
		s := mustNew(t, m)
		got := s.Mobility()
		if got.Freedoms != row.freedoms || got.Drawn != row.drawn {
			t.Errorf("%s: got %+v, want %d freedoms, %d as drawn", row.name, got, row.freedoms, row.drawn)
		}
		w, err := s.Sweep(Drive{}, 20)
		if row.freedoms == 0 {
			if f, ok := err.(Fault); !ok || f.Kind != Locked {
				t.Errorf("%s: got error %v, want Locked", row.name, err)
			}
			continue
		}
		if err != nil || w.Before != nil || w.Closing != nil || w.Extending != nil {
			t.Errorf("%s: error %v, stops %+v %+v %+v", row.name, err, w.Before, w.Closing, w.Extending)
		}
	}
}

// A third arm that is unequal by 0.2 mm passes as equal where the play of the pivots takes up to 0.02 mm, until it binds.
func TestUnequalThirdArmBinds(t *testing.T) {
	m := third(lifter(), r2.Scale(0.2*mm, r2.Unit(r2.Vec{X: 240, Y: -70})))
	m.Fit = 0.02 * mm
	s := mustNew(t, m)
	if s.Mobility().Freedoms != 1 {
		t.Fatalf("found to lock: %+v", s.Mobility())
	}
	w := mustSweep(t, s, Drive{}, 100)
	if w.Extending == nil || w.Extending.Reason != Binds {
		t.Errorf("got %+v, want it to bind", w.Extending)
	}
}

// Drawn exactly in line, there are two ways on.
func TestDrawnAtAChangePoint(t *testing.T) {
	m := Mechanism{
		Points:    []r2.Vec{{}, {X: 0.3}, {X: 0.1}, {X: 0.4}, {X: -0.1, Y: -0.2}},
		Bodies:    []Body{{Points: []int{0, 1, 4}, Ground: true}, {Points: []int{0, 2}}, {Points: []int{1, 3}}, {Points: []int{2, 3}}},
		Cylinders: []Cylinder{{Rear: 4, Front: 2, Closed: 0.2, Stroke: 0.2}},
	}
	s := mustNew(t, m)
	if got := s.Mobility(); got.Freedoms != 1 || got.Drawn != 2 {
		t.Errorf("got %+v", got)
	}
	if _, err := s.Sweep(Drive{}, 5); err == nil || err.(Fault).Kind != SingularAsDrawn || len(err.(Fault).Points) == 0 {
		t.Errorf("got %v", err)
	}
	// and with the cylinder through the pivot of its lever
	s = mustNew(t, rocker(180*deg, 400*mm, 50*mm))
	if _, err := s.Sweep(Drive{}, 5); err == nil || err.(Fault).Kind != SingularAsDrawn || !slices.Equal(err.(Fault).Points, []int{1, 2}) {
		t.Errorf("got %v", err)
	}
}

// A walker that is refused where the linkage is far from singular says so, and where: no pose is passed over in silence.
func TestUnsolved(t *testing.T) {
	s := mustNew(t, lifter())
	w, ok := s.start(0)
	if !ok {
		t.Fatal("no start")
	}
	w.head([]float64{1})
	if !w.walk(20 * mm / s.size) {
		t.Fatal("does not walk")
	}
	want := w.here.stroke[0] * s.size
	w.tolerance, w.fit = 0, 0
	w.here.ddq[0] = 1e9 // a curvature that no step is short enough for
	if w.walk(20 * mm / s.size) {
		t.Fatal("walks on")
	}
	stop := w.stop()
	wantStop(t, "refused", stop, Unsolved, want)
	if len(stop.Strokes) != 1 || stop.Strokes[0] != stop.Stroke || len(stop.Points) == 0 {
		t.Errorf("got %+v", stop)
	}
}

// Where the other cylinder can't get to its rest state, there are no poses, and the stop says how far each had got.
func TestStopOnTheWayToARestState(t *testing.T) {
	m := rocker(90*deg, 150*mm, 300*mm) // it can't close below 180 mm, 30 mm of stroke
	m.Points = append(m.Points, r2.Vec{X: -300 * mm}, polar(100*mm, 150*deg))
	m.Bodies[0].Points = append(m.Bodies[0].Points, 3)
	m.Bodies = append(m.Bodies, Body{Points: []int{0, 4}})
	m.Cylinders = append(m.Cylinders, Cylinder{Rear: 3, Front: 4, Closed: 200 * mm, Stroke: 80 * mm})
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{Lead: 1, At: []float64{0, 0}}, 9)
	if w.Before == nil || w.Before.Reason != DeadPoint || len(w.Poses) != 0 {
		t.Fatalf("got %+v", w)
	}
	near(t, "stroke of the other", w.Before.Strokes[0], 30*mm, exact)
	if from, to := w.Usable(); from != 0 || to != 0 {
		t.Errorf("usable from %g to %g", from, to)
	}
}

// Two levers that don't touch each other: the one that is held less well at first must not hide the dead point that the other reaches.
func TestDeadPointBesideAWeakerPart(t *testing.T) {
	m := rocker(90*deg, 150*mm, 300*mm)
	n := len(m.Points)
	m.Points = append(m.Points, r2.Vec{Y: -1}, r2.Vec{X: 0.25, Y: -1}, r2.Add(r2.Vec{Y: -1}, polar(30*mm, 60*deg)))
	m.Bodies[0].Points = append(m.Bodies[0].Points, n, n+1)
	m.Bodies = append(m.Bodies, Body{Points: []int{n, n + 2}})
	length := r2.Norm(r2.Sub(m.Points[n+2], m.Points[n+1]))
	m.Cylinders = append(m.Cylinders, Cylinder{Rear: n + 1, Front: n + 2, Closed: length - 1*mm, Stroke: 2 * mm})
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{Lead: 0}, 400)
	wantStop(t, "closing", w.Closing, DeadPoint, 30*mm)
	wantStop(t, "extending", w.Extending, DeadPoint, 270*mm)
	near(t, "resistance at the dead point", w.Poses[0].Resistance, 0, 0.01)
	if !(w.Poses[200].Resistance > 0.01) {
		t.Errorf("resistance %g between", w.Poses[200].Resistance)
	}
}
