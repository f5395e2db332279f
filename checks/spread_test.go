package checks

import (
	"testing"

	"trammel.example/checks/linkage"
)

// TestSpread: what a small cylinder does next to its dead point is not known, however much more a large one brings elsewhere; what carries none
// of it counts there too, and what carries over mostGain times the thrust where no tool has a dead point is open in a stretch of its own.
func TestSpread(t *testing.T) {
	dead := &deadStretch{cylinder: "small", tool: "T", from: 0.010, to: 0.011}
	at := func(cylinder string, thrust, from, to float64, next *deadStretch, reverses bool) *press {
		return &press{cylinder: cylinder, tool: "T", thrust: thrust, gripped: &gripped{Grip: linkage.Grip{Pose: &linkage.Pose{Stroke: (from + to) / 2}}, next: next, reverses: reverses, around: [2]float64{from, to}}}
	}
	for _, c := range []struct {
		what                   string
		elsewhere, finite, all float64 // N
		most                   float64
		open                   int
	}{
		{"carries the tool's force", 1e5, 120, 10 * noBound, 1e5, 1},
		{"carries a thousandth of it", 2, 12, 10 * noBound / 1000, 2, 1},
		{"carries none of it", 2, 12, 1e-6, 12, 0},
	} {
		var s spread[peak[string]]
		add := func(m *press, force float64) {
			if p := s.of(m, m.gain(force)); p.raised(force) {
				p.in = m.cylinder
			}
		}
		add(at("large", 1e4, 0, 0.1, nil, false), c.elsewhere)
		add(at("small", 10, 0.010, 0.011, dead, false), c.finite)
		add(at("small", 10, 0.010, 0.011, dead, true), c.all)
		most, open := settle(&s)
		if most.most != c.most || len(open) != c.open || len(open) > 0 && open[0].between() != dead.between() {
			t.Errorf("%s: %v, open in %v", c.what, most, open)
		}
		add(at("small", 10, 0.020, 0.022, nil, false), 1e8)
		add(at("small", -10, 0.021, 0.023, nil, false), 2e8)
		if _, open = settle(&s); len(open) != c.open+1 || open[c.open].between() != "with small out between 20 mm and 23 mm" {
			t.Errorf("%s, and more of itself: open in %v", c.what, open)
		}
	}
	if m := (&press{}); m.gain(100) != 0 {
		t.Error("gains without thrust")
	}
}
