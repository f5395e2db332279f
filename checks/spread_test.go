package checks

import (
	"strings"
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
			if p := s.of(m, force); p.raised(force) {
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
	var s spread[peak[string]]
	if s.of(&press{gripped: &gripped{}}, 100) != &s.known {
		t.Error("without a thrust nothing is many times as much")
	}
}

// TestWaysRoundDeadPoint: a stop is asked for only where it leaves some of the stroke.
func TestWaysRoundDeadPoint(t *testing.T) {
	for _, c := range []struct {
		from, to  float64 // mm
		want, not string
	}{
		{12.34, 13.01, "ends the stroke of lift at 12.3 mm on its way out or at 13.1 mm on its way in, or let what T meets give way by 0.03 mm or more", "elsewhere"},
		{12.34, 20, "ends the stroke of lift at 12.3 mm on its way out, or let", "on its way in"},
		{0.05, 1, "ends the stroke of lift at 1 mm on its way in, or let", "on its way out"},
		{0, 19.95, "make the stroke of lift end elsewhere, or let", "on its way"},
	} {
		d := &deadStretch{cylinder: "lift", tool: "T", from: c.from / 1e3, to: c.to / 1e3, whole: [2]float64{0, 0.02}, travel: 0.021e-3}
		if got := nextToDead([]*deadStretch{d}); !strings.Contains(got, c.want) || strings.Contains(got, c.not) {
			t.Errorf("%v: %s", c, got)
		}
	}
}
