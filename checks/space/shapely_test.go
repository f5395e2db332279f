package space

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Source of the table: shapely, a general geometry library; testdata/outlines.py says how it was made.
type outlines struct {
	Distances []struct {
		A, B     drawn
		PA, PB   [3]float64
		Distance float64
	}
	Joints []struct {
		A, B             drawn
		At               [2]float64
		Radius, Distance float64
	}
	Sweeps []struct {
		A                      drawn
		P, Q, V, W             [3]float64
		Tolerance, Area, Outer float64
	}
}

type drawn struct {
	Kind   string
	Points [][2]float64
	Width  float64
}

func (d drawn) outline(t *testing.T) Outline {
	t.Helper()
	points := make([]r2.Vec, len(d.Points))
	for i, p := range d.Points {
		points[i] = v(p[0], p[1])
	}
	var out Outline
	var err error
	switch d.Kind {
	case "circle":
		out, err = Circle(points[0], d.Width)
	case "bar":
		out, err = Bar(d.Width, points...)
	case "polygon":
		out, err = Polygon(points...)
	default:
		t.Fatalf("kind %q", d.Kind)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func pose(p [3]float64) Pose { return Pose{At: v(p[0], p[1]), Turn: p[2]} }

func readOutlines(t *testing.T) outlines {
	t.Helper()
	data, err := os.ReadFile("testdata/outlines.json")
	if err != nil {
		t.Fatal(err)
	}
	var table outlines
	if err := json.Unmarshal(data, &table); err != nil {
		t.Fatal(err)
	}
	if len(table.Distances) < 300 || len(table.Joints) < 80 || len(table.Sweeps) < 12 {
		t.Fatalf("%d distances, %d joints, %d sweeps: too few", len(table.Distances), len(table.Joints), len(table.Sweeps))
	}
	return table
}

func closest(t *testing.T, scene Scene, motion Motion, q Search) []Approach {
	t.Helper()
	s, err := New(scene, motion)
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.Closest(q)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func two(a, b Outline) []Shape {
	return []Shape{{Body: 0, Outline: a, High: 0.01}, {Body: 1, Outline: b, High: 0.01}}
}

func TestDistancesAreThoseOfShapely(t *testing.T) {
	overlaps := 0
	for i, row := range readOutlines(t).Distances {
		motion := Motion{S: []float64{0}, Poses: [][]Pose{{pose(row.PA), pose(row.PB)}}}
		got := closest(t, Scene{Shapes: two(row.A.outline(t), row.B.outline(t))}, motion, Search{})[0]
		if math.Abs(got.Distance-row.Distance) > 1e-9 {
			t.Errorf("row %d: %s to %s: %.12g m, shapely has %.12g", i, row.A.Kind, row.B.Kind, got.Distance, row.Distance)
		}
		if across := r2.Norm(r2.Sub(got.On[1], got.On[0])); math.Abs(across-math.Abs(row.Distance)) > 1e-9 {
			t.Errorf("row %d: nearest points are %.12g m apart, the outlines %.12g", i, across, row.Distance)
		}
		if got.Nearer != (row.Distance < 0) {
			t.Errorf("row %d: nearer than 0: %v at %g m", i, got.Nearer, row.Distance)
		}
		if row.Distance < 0 {
			overlaps++
		}
	}
	if overlaps < 15 {
		t.Errorf("only %d overlaps in the table", overlaps)
	}
}

func TestWhatJointsLeaveIsThatOfShapely(t *testing.T) {
	for i, row := range readOutlines(t).Joints {
		at := v(row.At[0], row.At[1])
		scene := Scene{
			Shapes: two(row.A.outline(t), row.B.outline(t)),
			Joints: []Joint{{Bodies: [2]int{1, 0}, At: [2]r2.Vec{at, at}, Radius: row.Radius}},
		}
		got := closest(t, scene, Motion{S: []float64{0}, Poses: [][]Pose{{{}, {}}}}, Search{})[0]
		if math.Abs(got.Distance-row.Distance) > 1e-8 { // the table's circle has 40,000 corners
			t.Errorf("row %d: %s to %s: %.12g m, shapely has %.12g", i, row.A.Kind, row.B.Kind, got.Distance, row.Distance)
		}
	}
}

func TestEnvelopesLieBetweenThoseOfShapely(t *testing.T) {
	for i, row := range readOutlines(t).Sweeps {
		motion := Motion{S: []float64{0, 1}, Poses: [][]Pose{{pose(row.P)}, {pose(row.Q)}}, Rates: [][]Pose{{pose(row.V)}, {pose(row.W)}}}
		s, err := New(Scene{Shapes: []Shape{{Outline: row.A.outline(t), High: 0.01}}}, motion)
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Envelope(row.Tolerance, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got.Area < row.Area || got.Area > row.Outer {
			t.Errorf("row %d: %s sweeps %.6g m², shapely has %.6g and %.6g with the tolerance around it", i, row.A.Kind, got.Area, row.Area, row.Outer)
		}
	}
}
