package checks_test

import (
	"io/fs"
	"math"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestSlideStaysOnItsRail follows the peel pusher's carriage by hand: it goes as far as the rod that lies along its rail. Source: geometry.
func TestSlideStaysOnItsRail(t *testing.T) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/peel-pusher")
	if err != nil {
		t.Fatal(err)
	}
	m := spec.Machines[0]
	x := func(point string) float64 { return m.Points[point].X.SI }
	push := m.Cylinders["push"]
	if m.Points[push.Rear.At.Value].Y.SI != m.Points[push.Front.At.Value].Y.SI {
		t.Fatal("the cylinder does not lie along the rail")
	}
	drawn := x(push.Front.At.Value) - x(push.Rear.At.Value) - push.Closed.SI
	want := map[string]float64{
		"front": x("Q") - (x("S") + push.Stroke.SI - drawn),
		"rear":  x("W") - drawn - x("R"),
	}
	found := 0
	for _, s := range checks.Examine(m) {
		if s.Kind != "slide" {
			continue
		}
		found++
		if got := s.Facts["inside"].SI; math.Abs(got-want[s.Name]) > 1e-6 {
			t.Errorf("%s stays %.6f m inside, by hand %.6f m", s.Name, got, want[s.Name])
		}
	}
	if found != len(want) {
		t.Errorf("%d slides", found)
	}
}
