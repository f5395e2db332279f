package checks_test

import (
	"io/fs"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestSweptPartsHoldTheirPoints demands that a link's points, wherever the table of poses has them, lie in what the link sweeps: both are
// made of the same motion, the one by a search over all of it, the other pose by pose.
func TestSweptPartsHoldTheirPoints(t *testing.T) {
	held := 0
	for _, example := range []string{"tray-lifter", "peel-pusher", "crate-ejector", "glue-press"} {
		spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/" + example)
		if err != nil {
			t.Fatal(err)
		}
		m := spec.Machines[0]
		swept := map[[3]string]checks.SweptPart{}
		for _, s := range checks.Swept(m) {
			if s.Why != "" || len(s.Rings) == 0 {
				t.Errorf("%s: %s has %d rings: %s", example, s.Part, len(s.Rings), s.Why)
			}
			swept[[3]string{s.Part, s.Cylinder, s.Others}] = s
		}
		for _, c := range checks.Courses(m, 41) {
			for _, p := range c.Points {
				for name, l := range m.Links {
					s, ok := swept[[3]string{name, c.Cylinder, c.Others}]
					if !ok || !l.Outline.Width.Given() || !has(l.Points, p.Name) {
						continue
					}
					for i := range p.X {
						if !inside(s.Rings, r2.Vec{X: p.X[i], Y: p.Y[i]}) {
							t.Fatalf("%s: %s of %s is outside of what it sweeps with %s out by %g m", example, p.Name, name, c.Cylinder, c.Stroke[i])
						}
						held++
					}
				}
			}
		}
	}
	if held < 400 {
		t.Errorf("only %d places were compared", held)
	}
}

func has(list []schema.Text, name string) bool {
	for _, l := range list {
		if l.Value == name {
			return true
		}
	}
	return false
}

// inside counts how often a ray to the right crosses the rings.
func inside(rings [][]r2.Vec, p r2.Vec) bool {
	in := false
	for _, ring := range rings {
		for i, b := range ring {
			a := ring[(i+len(ring)-1)%len(ring)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}
