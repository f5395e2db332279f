package checks_test

import (
	"io/fs"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestTogglesCarryMoreThanTheThrust holds what the two links of the glue press carry, at the stop of its knee, against the method of joints: at
// the knee the thrust and the forces along both links are in equilibrium. Source: any handbook of statics. The links' own weight, which
// the method leaves out, is less than a thousandth of it.
func TestTogglesCarryMoreThanTheThrust(t *testing.T) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/glue-press")
	if err != nil {
		t.Fatal(err)
	}
	m := spec.Machines[0]
	c := checks.Courses(m, 201)[0]
	last := len(c.Stroke) - 1
	place := func(name string) r2.Vec {
		for _, p := range c.Points {
			if p.Name == name {
				return r2.Vec{X: p.X[last], Y: p.Y[last]}
			}
		}
		return r2.Vec{X: m.Points[name].X.SI, Y: m.Points[name].Y.SI}
	}
	y := m.Cylinders["squeeze"]
	thrust := 4e5 * math.Pi / 4 * y.Bore.SI * y.Bore.SI // 4 bar
	knee := place("K")
	rod := r2.Scale(thrust, r2.Unit(r2.Sub(place(y.Front.At.Value), place(y.Rear.At.Value))))
	if y.Front.At.Value != "K" {
		t.Fatal("the rod does not push at the knee")
	}
	upper, lower := r2.Unit(r2.Sub(place("A"), knee)), r2.Unit(r2.Sub(place("B"), knee))
	across := r2.Cross(upper, lower)
	want := map[string]float64{"upper": math.Abs(r2.Cross(rod, lower) / across), "lower": math.Abs(r2.Cross(upper, rod) / across)}
	found := 0
	for _, s := range checks.Examine(m) {
		if s.Kind != "stall" || want[s.Name] == 0 {
			continue
		}
		found++
		if got := s.Facts["force"].SI; math.Abs(got-want[s.Name]) > 2e-3*want[s.Name] {
			t.Errorf("%s carries %.5g N, by the method of joints %.5g N", s.Name, got, want[s.Name])
		}
	}
	if found != 2 {
		t.Errorf("%d of two links", found)
	}
}
