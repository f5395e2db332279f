package linkage

import (
	"errors"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestFaults(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func(m *Mechanism)
		want  Fault // kind and indices
	}{
		{"not a number", func(m *Mechanism) { m.Points[2].X = math.NaN() }, Fault{Kind: NotANumber, Points: []int{2}}},
		{"too large a number", func(m *Mechanism) { m.Points[2].X = 1e300 }, Fault{Kind: NotANumber, Points: []int{2}}},
		{"negative mass", func(m *Mechanism) { m.Bodies[2].Mass = -1 }, Fault{Kind: NotANumber, Bodies: []int{2}}},
		{"infinite stroke", func(m *Mechanism) { m.Cylinders[0].Stroke = math.Inf(1) }, Fault{Kind: NotANumber, Cylinders: []int{0}}},
		{"unknown point", func(m *Mechanism) { m.Bodies[1].Points[0] = 99 }, Fault{Kind: UnknownIndex, Bodies: []int{1}}},
		{"unknown end", func(m *Mechanism) { m.Cylinders[0].Front = -1 }, Fault{Kind: UnknownIndex, Cylinders: []int{0}}},
		{"slide on nothing", func(m *Mechanism) { m.Slides = []Slide{{Point: 5, Body: 1, From: 0, To: 3}} },
			Fault{Kind: UnknownIndex, Points: []int{0, 3}, Bodies: []int{1}, Slides: []int{0}}},
		{"slide on itself", func(m *Mechanism) { m.Slides = []Slide{{Point: 5, Body: 3, From: 2, To: 3}} },
			Fault{Kind: SlideOnItself, Points: []int{5}, Bodies: []int{3}, Slides: []int{0}}},
		{"off its line", func(m *Mechanism) { m.Slides = []Slide{{Point: 5, Body: 1, From: 0, To: 2}} },
			Fault{Kind: OffLine, Points: []int{5, 0, 2}, Slides: []int{0}}},
		{"no ground", func(m *Mechanism) { m.Bodies[0].Ground = false }, Fault{Kind: NoGround}},
		{"all ground", func(m *Mechanism) {
			for i := range m.Bodies {
				m.Bodies[i].Ground = true
			}
		}, Fault{Kind: NothingMoves}},
		{"no points", func(m *Mechanism) { m.Bodies = append(m.Bodies, Body{}) }, Fault{Kind: NoPoints, Bodies: []int{4}}},
		{"point twice", func(m *Mechanism) { m.Bodies[3].Points[2] = 2 }, Fault{Kind: PointTwice, Points: []int{2}, Bodies: []int{3}}},
		{"points in one place", func(m *Mechanism) { m.Points[5] = m.Points[2] }, Fault{Kind: PointsCoincide, Points: []int{2, 5}, Bodies: []int{3}}},
		{"link of no length", func(m *Mechanism) { m.Points[2] = m.Points[0] }, Fault{Kind: PointsCoincide, Points: []int{0, 2}, Bodies: []int{1}}},
		{"rod on nothing", func(m *Mechanism) { m.Bodies[2].Points = []int{1, 3} }, Fault{Kind: PointLoose, Points: []int{4}, Cylinders: []int{0}}},
		{"not joined", func(m *Mechanism) {
			m.Points = append(m.Points, r2.Vec{X: 1}, r2.Vec{X: 2})
			m.Bodies = append(m.Bodies, Body{Points: []int{6, 7}})
		}, Fault{Kind: NotConnected, Bodies: []int{4}, Points: []int{6, 7}}},
		{"no stroke", func(m *Mechanism) { m.Cylinders[0].Stroke = 0 }, Fault{Kind: NoLength, Points: []int{0, 4}, Cylinders: []int{0}}},
		{"both ends on one link", func(m *Mechanism) { m.Cylinders[0].Front = 2 },
			Fault{Kind: SameBody, Points: []int{0, 2}, Bodies: []int{1}, Cylinders: []int{0}}},
		{"both ends on the ground", func(m *Mechanism) { m.Cylinders[0].Front = 1 },
			Fault{Kind: SameBody, Points: []int{0, 1}, Bodies: []int{0}, Cylinders: []int{0}}},
		{"drawn too short", func(m *Mechanism) { m.Cylinders[0].Closed = 0.24 }, Fault{Kind: DrawnTooShort, Points: []int{0, 4}, Cylinders: []int{0}}},
		{"drawn too long", func(m *Mechanism) { m.Cylinders[0].Closed = 0.14 }, Fault{Kind: DrawnTooLong, Points: []int{0, 4}, Cylinders: []int{0}}},
	} {
		m := lifter()
		row.spoil(&m)
		_, err := New(m)
		var faults Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: got %v", row.name, err)
			continue
		}
		found := slices.ContainsFunc(faults, func(f Fault) bool {
			return f.Kind == row.want.Kind && slices.Equal(f.Points, row.want.Points) && slices.Equal(f.Bodies, row.want.Bodies) &&
				slices.Equal(f.Slides, row.want.Slides) && slices.Equal(f.Cylinders, row.want.Cylinders)
		})
		if !found {
			t.Errorf("%s: got %+v, want %+v", row.name, faults, row.want)
		}
		if err.Error() == "" || faultText[row.want.Kind] == "" {
			t.Errorf("%s: no text", row.name)
		}
	}
	loose := lifter() // its lower arm ends at a point of its own
	loose.Points = append(loose.Points, loose.Points[2])
	loose.Bodies[1].Points[1] = 6
	if got := mustNew(t, loose).Mobility(); !slices.Equal(got.Coincident, []int{2, 6}) || !slices.Equal(got.Spins, []int{1, 3}) {
		t.Errorf("two points for one pivot: got %+v", got)
	}
	m := chain(600)
	if _, err := New(m); err == nil || err.(Faults)[0].Kind != TooMany || err.(Faults)[0].Count <= Most {
		t.Errorf("%d points: got %v", len(m.Points), err)
	}
	if _, err := New(Mechanism{}); err == nil {
		t.Error("an empty mechanism passes")
	}
}

// Every mistake is found, not only the first.
func TestAllFaultsAtOnce(t *testing.T) {
	m := lifter()
	m.Points[5] = m.Points[2]
	m.Cylinders[0].Closed = 0.24
	_, err := New(m)
	if faults, _ := err.(Faults); len(faults) != 2 {
		t.Errorf("got %v", err)
	}
}

func TestDrawnWithinRounding(t *testing.T) {
	m := lifter()
	m.Cylinders[0].Closed = r2.Norm(m.Points[4]) + 0.005*mm
	if _, err := New(m); err == nil {
		t.Error("passes without Fit")
	}
	m.Fit = 0.01 * mm
	w := mustSweep(t, mustNew(t, m), Drive{}, 5)
	if len(w.Poses) != 5 || w.Poses[0].Stroke != 0 {
		t.Errorf("got %d poses from %g", len(w.Poses), w.Poses[0].Stroke)
	}
}

func TestMobilityFaults(t *testing.T) {
	for _, row := range []struct {
		name   string
		spoil  func(m *Mechanism)
		kind   FaultKind
		check  func(m Mobility) bool
		points []int
	}{
		{"no cylinder", func(m *Mechanism) { m.Cylinders = nil }, Undriven, func(m Mobility) bool {
			return m.Freedoms == 1 && m.Undriven == 1 && slices.Equal(m.Loose, []int{1, 2, 3})
		}, nil},
		{"a link that hangs", func(m *Mechanism) {
			m.Points = append(m.Points, r2.Vec{X: 0.4, Y: -0.1}, r2.Vec{X: 0.45, Y: -0.2})
			m.Bodies = append(m.Bodies, Body{Points: []int{5, 6}}, Body{Points: []int{6, 7}})
		}, Undriven, func(m Mobility) bool {
			return m.Undriven == 1 && slices.Equal(m.Loose, []int{4, 5}) && slices.Equal(m.Spins, []int{5})
		}, nil},
		{"a brace", func(m *Mechanism) { m.Bodies = append(m.Bodies, Body{Points: []int{1, 2}}) }, Locked, func(m Mobility) bool {
			return m.Freedoms == 0 && m.Redundant == 0
		}, []int{0, 1, 2, 3}},
		{"a pivot that is two points", func(m *Mechanism) {
			m.Points = append(m.Points, m.Points[3], r2.Vec{X: 0.5})
			m.Bodies[2].Points[1] = 6
			m.Bodies[0].Points = append(m.Bodies[0].Points, 7)
			m.Bodies = append(m.Bodies, Body{Points: []int{5, 7}})
			m.Cylinders[0].Closed, m.Cylinders[0].Rear = r2.Norm(r2.Sub(m.Points[7], m.Points[4]))-0.01, 7
		}, Undriven, func(m Mobility) bool { return m.Undriven == 1 && slices.Equal(m.Coincident, []int{3, 6}) }, []int{3, 6}},
		{"a lever alone", func(m *Mechanism) { *m = rocker(90*deg, 0.2, 0.2); m.Cylinders = nil }, Undriven, func(m Mobility) bool {
			return m.Freedoms == 0 && slices.Equal(m.Spins, []int{1})
		}, nil},
	} {
		m := lifter()
		row.spoil(&m)
		s := mustNew(t, m)
		if got := s.Mobility(); !row.check(got) {
			t.Errorf("%s: got %+v", row.name, got)
		}
		if _, err := s.Sweep(Drive{}, 5); err == nil {
			t.Errorf("%s: sweeps", row.name)
		} else if f, _ := err.(Fault); f.Kind != row.kind || !slices.Equal(f.Points, row.points) {
			t.Errorf("%s: got %v", row.name, err)
		}
	}
}

// twin has a second cylinder beside the first, parallel to it and equal.
func twin(second Cylinder, rear, front r2.Vec) Mechanism {
	m := lifter()
	n := len(m.Points)
	m.Points = append(m.Points, rear, front)
	m.Bodies[0].Points = append(m.Bodies[0].Points, n)
	m.Bodies[1].Points = append(m.Bodies[1].Points, n+1)
	second.Rear, second.Front = n, n+1
	m.Cylinders = append(m.Cylinders, second)
	return m
}

func TestTwoCylindersOnOneFreedom(t *testing.T) {
	l := lifter()
	down := r2.Vec{Y: -140 * mm} // from the upper arm to the lower
	tied := twin(Cylinder{Closed: 232 * mm, Stroke: 80 * mm}, down, r2.Add(l.Points[4], down))
	s := mustNew(t, tied)
	if got := s.Mobility(); got.Freedoms != 1 || len(got.Surplus) != 1 {
		t.Errorf("got %+v", got)
	}
	w := mustSweep(t, s, Drive{Lead: 0, With: []int{1}}, 20)
	if len(w.Poses) != 20 || w.Closing != nil || w.Extending != nil {
		t.Errorf("moving together: stops %+v, %+v, %+v", w.Before, w.Closing, w.Extending)
	}
	var f Forces
	c := lifterCase()
	if err := mustStatics(t, s, c).Hold(&w.Poses[7], Standing, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "thrusts of both", f.Thrust[0]+f.Thrust[1], s.HoldingThrust(&w.Poses[7], &c), 1e-9)
	if !f.Undetermined {
		t.Error("two cylinders on one freedom share the load as they will")
	}
	if drives := s.Drives(); len(drives) != 1 || drives[0].Lead != 0 || !slices.Equal(drives[0].Follow, []int{1}) {
		t.Errorf("the pair moves as one, got %+v", drives)
	}
	for lead := range 2 {
		_, err := s.Sweep(Drive{Lead: lead}, 20)
		f, _ := err.(Fault)
		if f.Kind != CylindersFight || !slices.Equal(f.Cylinders, []int{0, 1}) || !slices.Equal(f.Points, []int{0, 4, 6, 7}) {
			t.Errorf("one against the other: got %v", err)
		}
	}
}

// A cylinder from the post to a brace that can't move, beside one that moves.
func TestCylinderOnWhatCannotMove(t *testing.T) {
	m := lifter()
	n := len(m.Points)
	m.Points = append(m.Points, r2.Vec{X: -0.3}, r2.Vec{X: -0.2, Y: 0.1}, r2.Vec{X: -0.4, Y: 0.2})
	m.Bodies[0].Points = append(m.Bodies[0].Points, n, n+2)
	m.Bodies = append(m.Bodies, Body{Points: []int{n, n + 1}}, Body{Points: []int{n + 1, n + 2}})
	length := r2.Norm(r2.Sub(m.Points[n+1], m.Points[0]))
	m.Cylinders = append(m.Cylinders, Cylinder{Rear: 0, Front: n + 1, Closed: length - 0.01, Stroke: 0.02})
	s := mustNew(t, m)
	if got := s.Mobility(); !slices.Equal(got.Stuck, []int{1}) || len(got.Tied) > 0 {
		t.Errorf("got %+v", got)
	}
	if _, err := s.Sweep(Drive{Lead: 1}, 5); err == nil || err.(Fault).Kind != CylinderStuck || !slices.Equal(err.(Fault).Points, []int{0, n + 1}) {
		t.Errorf("got %v", err)
	}
	if d := s.Drives(); len(d) != 1 || d[0].Lead != 0 {
		t.Fatalf("got %+v", d)
	}
	w := mustSweep(t, s, s.Drives()[0], 5)
	if len(w.Poses) != 5 || w.Poses[4].Cylinders[1].Rate != 0 {
		t.Errorf("the other moves: %+v, %+v", w.Closing, w.Extending)
	}
}

// Two cylinders of one air line on a lever, from other places and with other strokes: the second follows as the cosine rule says, until
// its own stroke ends. The first alone moves the same.
func TestCylinderThatFollows(t *testing.T) {
	l := lifter()
	rear := r2.Vec{X: 60 * mm, Y: -150 * mm}
	length := r2.Norm(r2.Sub(l.Points[3], rear))
	m := twin(Cylinder{Closed: length - 60*mm, Stroke: 100 * mm}, rear, r2.Vec{})
	m.Points = m.Points[:7]
	m.Bodies[1] = l.Bodies[1]
	m.Cylinders[1].Front = 3
	s := mustNew(t, m)
	drives := s.Drives()
	if len(drives) != 1 || !slices.Equal(drives[0].Follow, []int{1}) {
		t.Fatalf("got %+v", drives)
	}
	w := mustSweep(t, s, drives[0], 30)
	alone := mustSweep(t, mustNew(t, l), Drive{}, 30)
	second := func(p *Pose) float64 { return r2.Norm(r2.Sub(p.Points[3], rear)) - (length - 60*mm) }
	if w.Closing != nil || w.Extending == nil || w.Extending.Reason != StrokeEnds || !slices.Equal(w.Extending.Points, []int{6, 3}) {
		t.Fatalf("stops %+v, %+v", w.Closing, w.Extending)
	}
	near(t, "stroke where the second ends", w.Extending.Strokes[1], 100*mm, exact)
	end := mustPose(t, mustNew(t, l), w.Extending.Stroke)
	near(t, "stroke of the first there", second(end), 100*mm, exact)
	c := lifterCase()
	statics := mustStatics(t, s, c)
	var f Forces
	for i := range w.Poses[:len(w.Poses)-1] {
		p, q := &w.Poses[i], &alone.Poses[i]
		near(t, "tray", r2.Norm(r2.Sub(p.Points[5], q.Points[5])), 0, 1e-12)
		near(t, "second", p.Cylinders[1].Stroke, second(q), 1e-12)
		near(t, "its rate", p.Cylinders[1].Rate, r2.Dot(q.Velocity[3], r2.Unit(r2.Sub(q.Points[3], rear))), 1e-10)
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "work of both", f.Thrust[0]+f.Thrust[1]*p.Cylinders[1].Rate, s.HoldingThrust(p, &c), 1e-9)
	}
	for lead, stroke := range []float64{15 * mm, 70 * mm} {
		strokes := []float64{0, 0}
		strokes[lead] = stroke
		p, stop, err := s.PoseAt(strokes, lead)
		if err != nil || stop != nil {
			t.Fatalf("stop %+v, error %v", stop, err)
		}
		near(t, "placed", p.Cylinders[lead].Stroke, stroke, 1e-15)
		near(t, "second", p.Cylinders[1].Stroke, second(p), 1e-12)
	}
	p, ok := s.Follow(w).At(17 * mm)
	if !ok {
		t.Fatal("no pose")
	}
	near(t, "second between poses", p.Cylinders[1].Stroke, second(p), 1e-12)
	for _, bad := range []float64{math.NaN(), -1, 0.2} {
		if _, _, err := s.PoseAt([]float64{bad, 0}, 0); err == nil || err.(Fault).Kind != WrongDrive {
			t.Errorf("stroke %g: got %v", bad, err)
		}
	}
	for _, d := range []Drive{{Follow: []int{0}}, {Follow: []int{2}}, {Follow: []int{1}, With: []int{1}}} {
		if _, err := s.Sweep(d, 5); err == nil || err.(Fault).Kind != WrongDrive {
			t.Errorf("%+v: got %v", d, err)
		}
	}
	if _, err := s.Sweep(Drive{Lead: 0}, 5); err == nil || err.(Fault).Kind != CylindersFight {
		t.Errorf("got %v", err)
	}
}

// A pair that keeps step as drawn and not later: the second is anchored elsewhere, at the place where both gain length alike.
func TestPairThatBindsLater(t *testing.T) {
	l := lifter()
	arm := func(rear r2.Vec) float64 { // about the upper arm's pivot
		return r2.Cross(r2.Sub(l.Points[4], l.Points[1]), r2.Unit(r2.Sub(l.Points[4], rear)))
	}
	want := arm(l.Points[0])
	low, high := 0.0, -60*mm // of x, at the height y
	at := func(x float64) r2.Vec { return r2.Vec{X: x, Y: 40 * mm} }
	if (arm(at(low))-want)*(arm(at(high))-want) > 0 {
		high = 200 * mm
	}
	for range 60 {
		if m := (low + high) / 2; (arm(at(m))-want)*(arm(at(low))-want) > 0 {
			low = m
		} else {
			high = m
		}
	}
	length := r2.Norm(r2.Sub(l.Points[4], at(low)))
	drawn := r2.Norm(l.Points[4]) - 232*mm
	m := twin(Cylinder{Closed: length - drawn, Stroke: 80 * mm}, at(low), r2.Vec{})
	m.Points = m.Points[:7]
	m.Bodies[1] = l.Bodies[1]
	m.Cylinders[1].Front = 4
	m.Fit = 0.1 * mm
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{Lead: 0, With: []int{1}}, 50)
	if w.Extending == nil || w.Extending.Reason != Binds || !slices.Equal(w.Extending.Strokes[:1], []float64{w.Extending.Stroke}) {
		t.Fatalf("got %+v", w.Extending)
	}
	// Cosine rule in both triangles: where the second would have to differ by the play.
	b, k := l.Points[1], r2.Sub(l.Points[4], l.Points[1])
	off := func(stroke float64) float64 {
		base := r2.Norm(r2.Sub(l.Points[0], b))
		angle := math.Acos((base*base + r2.Norm2(k) - (232*mm+stroke)*(232*mm+stroke)) / (2 * base * r2.Norm(k)))
		front := r2.Add(b, polar(r2.Norm(k), angle-math.Pi/2))
		return r2.Norm(r2.Sub(front, at(low))) - (length - drawn) - stroke
	}
	near(t, "off by the play", math.Abs(off(w.Extending.Stroke)), m.Fit, 2e-3*m.Fit)
}

func TestTwoFreedoms(t *testing.T) {
	// A flap on the carrier with a cylinder of its own.
	m := lifter()
	n := len(m.Points)
	m.Points = append(m.Points, r2.Vec{X: 0.42, Y: 0.02}, r2.Vec{X: 0.36, Y: 0.06}, r2.Vec{X: 0.27, Y: 0.10})
	m.Bodies[3].Points = append(m.Bodies[3].Points, n+2)
	m.Bodies = append(m.Bodies, Body{Points: []int{5, n, n + 1}, Mass: 0.4, Centre: r2.Vec{X: 0.4}})
	length := r2.Norm(r2.Sub(m.Points[n+1], m.Points[n+2]))
	m.Cylinders = append(m.Cylinders, Cylinder{Rear: n + 2, Front: n + 1, Closed: length - 0.01, Stroke: 0.02})
	s := mustNew(t, m)
	if got := s.Mobility(); got.Freedoms != 2 || got.Undriven != 0 {
		t.Fatalf("got %+v", got)
	}
	for _, at := range []float64{0, 0.02} {
		w := mustSweep(t, s, Drive{Lead: 0, At: []float64{0, at}}, 10)
		if len(w.Poses) != 10 {
			t.Fatalf("stops %+v %+v %+v", w.Before, w.Closing, w.Extending)
		}
		flap := w.Poses[0].Angles[4]
		for i := range w.Poses {
			near(t, "flap's cylinder", w.Poses[i].Cylinders[1].Stroke, at, 1e-15)
			near(t, "flap turns with the carrier only", w.Poses[i].Angles[4], flap, 1e-12)
		}
	}
	drives := s.Drives()
	if len(drives) != 5 || len(drives[4].With) != 1 {
		t.Errorf("each with the other closed and extended, and both: got %+v", drives)
	}
	for _, d := range drives {
		if w := mustSweep(t, s, d, 5); len(w.Poses) != 5 {
			t.Errorf("%+v: stops %+v %+v %+v", d, w.Before, w.Closing, w.Extending)
		}
	}
	w := mustSweep(t, s, Drive{Lead: 1, With: []int{0}}, 11)
	for i := range w.Poses {
		near(t, "strokes in step", w.Poses[i].Cylinders[0].Stroke/0.08, w.Poses[i].Cylinders[1].Stroke/0.02, 1e-9)
	}
	if _, err := s.Sweep(Drive{Follow: []int{1}}, 5); err == nil || err.(Fault).Kind != Undriven {
		t.Errorf("nothing holds the flap: got %v", err)
	}
	for _, d := range []Drive{{Lead: 2}, {Lead: -1}, {With: []int{7}}, {At: []float64{0}}, {At: []float64{0, 0.03}}, {At: []float64{0, math.NaN()}}} {
		if _, err := s.Sweep(d, 5); err == nil || err.(Fault).Kind != WrongDrive {
			t.Errorf("%+v: got %v", d, err)
		}
	}
}
