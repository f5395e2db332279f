package checks_test

import (
	"io/fs"
	"math"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestCourseEnergy pushes the tray lifter out: the thrust that holds it, summed over the stroke, is the energy that the weights gain.
// Source: conservation of energy; the sum is by Simpson's rule.
func TestCourseEnergy(t *testing.T) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/tray-lifter")
	if err != nil {
		t.Fatal(err)
	}
	m := spec.Machines[0]
	const poses = 41
	c := checks.Courses(m, poses)[0]
	if c.Why != "" || len(c.Stroke) != poses {
		t.Fatalf("%q, %d poses", c.Why, len(c.Stroke))
	}
	work := 0.0
	for i := 0; i+2 < poses; i += 2 {
		work += (c.Stroke[i+2] - c.Stroke[i]) / 6 * (c.Thrust[i] + 4*c.Thrust[i+1] + c.Thrust[i+2])
	}
	rises := map[string]float64{}
	for _, p := range c.Points {
		rises[p.Name] = p.Y[poses-1] - p.Y[0]
	}
	gained := m.Loads["tray"].Mass.SI * rises["T"]
	for name, l := range m.Links {
		if l.Ground.Value {
			continue
		}
		mean := 0.0 // of the points: the centre of a link that does not turn, or has no centre of its own
		for _, p := range l.Points {
			mean += rises[p.Value] / float64(len(l.Points))
		}
		if l.Centre.X.Given() {
			for _, turned := range c.Links {
				if turned.Name == name && math.Abs(turned.Turn[poses-1]) > 1e-3 {
					t.Fatalf("%s turns: its centre does not rise as its points do", name)
				}
			}
		}
		gained += l.Mass.SI * mean
	}
	gained *= 9.80665
	if math.Abs(work-gained) > 1e-5*gained {
		t.Errorf("the thrust does %.6f J, and the weights gain %.6f J", work, gained)
	}
}
