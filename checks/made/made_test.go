package made

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

const mm, deg = 1e-3, math.Pi / 180

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g ± %.3g", what, got, want, tolerance)
	}
}

// arms is a parallelogram of arms along x from posts at the heights given, with a carrier across their ends and a cylinder on the first.
func arms(length float64, heights ...float64) linkage.Mechanism {
	m := linkage.Mechanism{Bodies: []linkage.Body{{Ground: true}, {}}, Fit: 1e-9}
	carrier := len(heights) + 1
	m.Bodies = make([]linkage.Body, carrier+1)
	m.Bodies[0].Ground = true
	for i, y := range heights {
		m.Points = append(m.Points, r2.Vec{Y: y}, r2.Vec{X: length, Y: y})
		m.Bodies[0].Points = append(m.Bodies[0].Points, 2*i)
		m.Bodies[i+1].Points = []int{2 * i, 2*i + 1}
		m.Bodies[carrier].Points = append(m.Bodies[carrier].Points, 2*i+1)
	}
	rear := r2.Vec{X: length / 2, Y: heights[0] - length}
	m.Points = append(m.Points, rear, r2.Vec{X: length * 1.2, Y: heights[0]})
	n := len(m.Points)
	m.Bodies[0].Points = append(m.Bodies[0].Points, n-2)
	m.Bodies[carrier].Points = append(m.Bodies[carrier].Points, n-1)
	reach := r2.Norm(r2.Sub(m.Points[1], rear))
	m.Cylinders = []linkage.Cylinder{{Rear: n - 2, Front: 1, Closed: reach - 0.1*length, Stroke: 0.2 * length}}
	return m
}

func swept(t testing.TB, m linkage.Mechanism, poses int) (*linkage.Solver, []linkage.Pose) {
	t.Helper()
	s, err := linkage.New(m)
	if err != nil {
		t.Fatal(err)
	}
	w, err := s.Sweep(linkage.Drive{}, poses)
	if err != nil || w.Before != nil || w.Closing != nil || w.Extending != nil {
		t.Fatalf("error %v, stops %+v %+v %+v", err, w.Before, w.Closing, w.Extending)
	}
	return s, w.Poses
}

func mustNew(t testing.TB, s *linkage.Solver, p Parts) *Machine {
	t.Helper()
	m, err := New(s, p)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// J. E. Shigley, Mechanical Engineering Design, 9th edition, example 1-3: a 1.750 ± 0.003, b 0.750 ± 0.001, c 0.120 ± 0.005,
// d 0.875 ± 0.001 leave 0.005 ± 0.010.
func TestSizesAddUp(t *testing.T) {
	s := Spacing{Cut: Within(1.750, 0.003), Adds: []Span{Within(-0.750, 0.001), Within(-0.120, 0.005), Within(-0.875, 0.001)}}
	got := s.Made()
	near(t, "nominal", got.Nominal, 0.005, 1e-12)
	near(t, "least", got.Least, -0.005, 1e-12)
	near(t, "most", got.Most, 0.015, 1e-12)
}

// An arm cut to its drawn spacing with brackets of 16 mm at either end comes out 32 mm too long.
func TestBracketsThatWereNotCounted(t *testing.T) {
	s, poses := swept(t, arms(250*mm, 0, 100*mm), 5)
	both := func(cut float64) Parts {
		var p Parts
		for i := range 2 {
			p.Spacings = append(p.Spacings, Spacing{Body: i + 1, From: 2 * i, To: 2*i + 1, Cut: Within(cut, 0.5*mm), Adds: []Span{Within(16*mm, 0.1*mm), Within(16*mm, 0.1*mm)}})
		}
		return p
	}
	m := mustNew(t, s, both(250*mm))
	got := m.Compare()[1]
	near(t, "made", got.Made.Nominal, 282*mm, 1e-12)
	near(t, "least", got.Made.Least, 281.3*mm, 1e-12)
	near(t, "off", got.Off, 32*mm, 1e-12)
	near(t, "cut", got.Cut, 218*mm, 1e-12)
	if m = mustNew(t, s, both(got.Cut)); math.Abs(m.Compare()[1].Off) > 1e-12 {
		t.Errorf("cut as told it is still off by %g", m.Compare()[1].Off)
	}
	aim, err := m.Aim(poses, Tool{Point: 3, Body: 3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "nominal miss of what fits", aim.Nominal.Distance, 0, 1e-12)
	if !(aim.Worst.Distance > 0.7*mm) || aim.Searched {
		t.Errorf("got %+v", aim.Worst)
	}
}

func TestFaults(t *testing.T) {
	s, poses := swept(t, arms(250*mm, 0, 100*mm), 3)
	length := Within(250*mm, 1*mm)
	for _, row := range []struct {
		name  string
		parts Parts
		want  Fault
	}{
		{"no such body", Parts{Spacings: []Spacing{{9, 0, 1, length, nil}}}, Fault{NotOnBody, ASpacing, 0, []int{0, 1}}},
		{"not its point", Parts{Spacings: []Spacing{{1, 0, 3, length, nil}}}, Fault{NotOnBody, ASpacing, 0, []int{0, 3}}},
		{"one point", Parts{Spacings: []Spacing{{1, 0, 0, length, nil}}}, Fault{NotOnBody, ASpacing, 0, []int{0, 0}}},
		{"eaten up", Parts{Spacings: []Spacing{{1, 0, 1, length, []Span{Exactly(-251 * mm)}}}}, Fault{NoLength, ASpacing, 0, []int{0, 1}}},
		{"not a number", Parts{Spacings: []Spacing{{1, 0, 1, Exactly(math.NaN()), nil}}}, Fault{NoLength, ASpacing, 0, []int{0, 1}}},
		{"limits crossed", Parts{Spacings: []Spacing{{1, 0, 1, Span{1, 2, 0.5}, nil}}}, Fault{NoLength, ASpacing, 0, []int{0, 1}}},
		{"twice", Parts{Spacings: []Spacing{{1, 0, 1, length, nil}, {1, 0, 1, length, nil}}}, Fault{PlacedTwice, ASpacing, 1, []int{1}}},
		{"in a circle", Parts{Spacings: []Spacing{{1, 0, 1, length, nil}, {1, 1, 0, length, nil}}}, Fault{InACircle, ASpacing, 0, []int{0, 1}}},
		{"shift of nothing", Parts{Shifts: []Shift{{Body: 1, Point: 2}}}, Fault{NotOnBody, AShift, 0, []int{2}}},
		{"shift by nothing known", Parts{Shifts: []Shift{{1, 1, Exactly(math.Inf(1)), Span{}}}}, Fault{NoLength, AShift, 0, []int{1}}},
		{"no such cylinder", Parts{Lengths: []Length{{1, Span{}}}}, Fault{NoCylinder, ALength, 0, nil}},
		{"no cylinder left", Parts{Lengths: []Length{{0, Exactly(-1)}}}, Fault{NoLength, ALength, 0, []int{4, 1}}},
		{"cylinder twice", Parts{Lengths: []Length{{0, Span{}}, {0, Span{}}}}, Fault{PlacedTwice, ALength, 1, []int{4, 1}}},
		{"shifted twice", Parts{Shifts: []Shift{{Body: 1, Point: 1}, {Body: 1, Point: 1}}}, Fault{PlacedTwice, AShift, 1, []int{1}}},
	} {
		_, err := New(s, row.parts)
		if got, _ := err.(Fault); err == nil || got.Kind != row.want.Kind || got.Part != row.want.Part || got.Index != row.want.Index || !slices.Equal(got.Points, row.want.Points) {
			t.Errorf("%s: got %v, want %v", row.name, err, row.want)
		} else if err.Error() == "" || faultText[got.Kind] == "" {
			t.Errorf("%s: no text", row.name)
		}
	}
	m := mustNew(t, s, Parts{})
	for _, tool := range []Tool{{-1, 0}, {99, 0}, {0, 99}} {
		if _, err := m.Aim(poses, tool); err == nil || err.(Fault).Kind != NotAsked {
			t.Errorf("%v: got %v", tool, err)
		}
	}
	if _, err := m.Aim(nil, Tool{}); err == nil {
		t.Error("no poses pass")
	}
	for _, p := range []Pivots{{Play: []float64{1}}, {Stiffness: []float64{1}}, {Play: []float64{0, -1, 0, 0, 0, 0}}, {Stiffness: []float64{0, 0, math.NaN(), 0, 0, 0}}} {
		if _, err := m.Fit(poses, p); err == nil || err.(Fault).Kind != NotAsked {
			t.Errorf("%v: got %v", p, err)
		}
	}
}

// A point that is placed from a placed point, and moved aside: in whatever order they are given.
func TestSpacingsInARow(t *testing.T) {
	mech := arms(250*mm, 0, 100*mm, 180*mm)
	s, _ := swept(t, mech, 3)
	// On the carrier, body 4: points 1, 3, 5 one above the other, and 7 aside.
	m := mustNew(t, s, Parts{
		Spacings: []Spacing{{Body: 4, From: 3, To: 5, Cut: Exactly(81 * mm)}, {Body: 4, From: 1, To: 3, Cut: Exactly(102 * mm)}},
		Shifts:   []Shift{{Body: 4, Point: 3, X: Exactly(1 * mm)}},
	})
	want := map[int]r2.Vec{3: {X: 251 * mm, Y: 102 * mm}, 5: {X: 250 * mm, Y: 183 * mm}}
	got := map[int]r2.Vec{}
	for _, p := range m.places(m.nominal()) {
		got[p.Point] = p.At
	}
	for point, at := range want {
		near(t, "place", r2.Norm(r2.Sub(got[point], at)), 0, 1e-12)
	}
}
