package checks

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
)

// TestHubUnderThrust: through the hub that carries the cylinder's eye K comes at least thrust × arm about O, its thrust by ISO 6432 (pressure ×
// piston area) and its arm by the places of G, K and O in each pose; arrivals may bring more.
func TestHubUnderThrust(t *testing.T) {
	x := examinerOf(t, "crate-ejector")
	p := x.m.Pivots["O"]
	p.Pin.SetScrews = schema.SetScrews{Origin: schema.Origin{Path: "set", At: p.At}, Thread: schema.Text{Value: "M5"}, Carries: []schema.Text{{Value: "K"}}}
	p.Pin.SetScrews.Count.SI, p.Pin.SetScrews.Torque.SI = 2, 4
	x.m.Pivots["O"] = p
	x.hubs()
	s := x.subjects[0]
	zone, _ := x.air.at("swing")
	push, _ := pistonAreas(x.m.Cylinders["swing"])
	mo := x.motion
	want := 0.0
	for _, poses := range mo.samples() {
		for _, q := range poses {
			g, k, o := q.Points[mo.point("G")], q.Points[mo.point("K")], q.Points[mo.point("O")]
			want = max(want, math.Abs(r2.Cross(r2.Sub(k, o), r2.Unit(r2.Sub(k, g))))*zone.pressure*push)
		}
	}
	got := s.Facts["torque"].SI
	pressed := s.Facts["torque"].Worst
	if got < want*(1-1e-6) || got > 1.5*want {
		t.Errorf("%g N m %s, and %g N m by hand", got, pressed, want)
	}
	if holds := 2 * 0.45 * 4 / (0.2 * 0.005) * 0.006; math.Abs(s.Facts["holds"].SI-holds) > 1e-9 || s.Facts["holdsAllowed"].SI != s.Facts["holds"].SI/2 {
		t.Errorf("holds %v, want %g", s.Facts["holds"], holds)
	}
	// Tightened beyond what its key socket takes (ISO 898-5, from memory: 5 N m for M5), a screw holds no more than there.
	p.Pin.SetScrews.Torque.SI = 100
	x.m.Pivots["O"] = p
	x.subjects = nil
	x.hubs()
	s = x.subjects[0]
	if holds := 2 * 0.45 * 5 / (0.2 * 0.005) * 0.006; math.Abs(s.Facts["holds"].SI-holds) > 1e-9 || s.Facts["tightenedAllowed"].SI != 5 || s.Facts["tightened"].SI != 100 {
		t.Errorf("with 100 N m it holds %v, want %g", s.Facts["holds"], holds)
	}
	if s.Facts["flat"].Flag {
		t.Error("on a flat")
	}
}
