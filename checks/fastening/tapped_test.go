package fastening

import (
	"math"
	"testing"
)

// Common practice, no source: M8 is tapped from 6.8 mm, 74 % by the drill chart form. ISO 2306 drills for the
// others: the chart form puts all coarse threads of ISO 261 near three quarters.
func TestThreadPercentAgainstDrills(t *testing.T) {
	near(t, "M8 chart form", must(ThreadPercent(DrillChartForm, 8*mm, 1.25*mm, 6.8*mm))(t), 74, 0.5)
	near(t, "M8 basic form", must(ThreadPercent(BasicProfileForm, 8*mm, 1.25*mm, 6.8*mm))(t), 89, 0.5)
	for size, drill := range map[string]float64{"M3": 2.5, "M4": 3.3, "M5": 4.2, "M6": 5, "M8": 6.8, "M10": 8.5, "M12": 10.2} {
		thread := coarse[size]
		p := must(ThreadPercent(DrillChartForm, thread.D, thread.Pitch, drill*mm))(t)
		if p < 73 || p > 80 {
			t.Errorf("%s in %g: %g %%", size, drill, p)
		}
		if drill*mm > thread.D1Max {
			t.Errorf("%s: drill %g is above the limit of the thread", size, drill)
		}
	}
}

// Machinery's Handbook, tap drills: 76.98 (d - hole)/P, from memory. The usual chart for a 75 % thread lists
// No. 7 (0.201 in) for 1/4-20, F (0.257) for 5/16-18, 27/64 for 1/2-13, 21/32 for 3/4-10: common practice.
func TestThreadPercentAgainstCharts(t *testing.T) {
	near(t, "constant", 100/float64(DrillChartForm), 76.98, 0.005)
	near(t, "ratio of the forms", float64(DrillChartForm/BasicProfileForm), 1.2, 1e-15)
	for _, r := range []struct{ d, perInch, drill float64 }{{0.25, 20, 0.201}, {0.3125, 18, 0.257}, {0.5, 13, 27.0 / 64}, {0.75, 10, 21.0 / 32}} {
		p := must(ThreadPercent(DrillChartForm, r.d*inch, inch/r.perInch, r.drill*inch))(t)
		near(t, "chart", p, 75, 4)
	}
}

func TestTapDrillUndoesThreadPercent(t *testing.T) {
	for _, form := range []Form{DrillChartForm, BasicProfileForm} {
		for _, percent := range []float64{50, 62.5, 75, 100} {
			hole := must(TapDrill(form, 6*mm, 1*mm, percent))(t)
			near(t, "percent", must(ThreadPercent(form, 6*mm, 1*mm, hole))(t), percent, 1e-9)
		}
	}
	// ISO 724: a full basic profile is as deep as the basic minor diameter, 6.647 for M8.
	near(t, "M8 D1", must(TapDrill(BasicProfileForm, 8*mm, 1.25*mm, 100))(t)/mm, 6.647, 5e-4)
	if p := must(ThreadPercent(DrillChartForm, 6*mm, 1*mm, 6.2*mm))(t); p != 0 {
		t.Errorf("a hole wider than the thread leaves %g %%", p)
	}
}

func TestStripInAWideHole(t *testing.T) {
	thread, screw, part := coarse["M8"], Material{Tensile: 800e6}, Material{Tensile: 215e6}
	full := must(Strip(thread, 10*mm, screw, part))(t)
	drilled := func(hole float64) StripLoads {
		thread := thread
		thread.Hole = hole * mm
		return must(Strip(thread, 10*mm, screw, part))(t)
	}
	for _, hole := range []float64{6.5, 6.8, 6.912} {
		if got := drilled(hole); got != full {
			t.Errorf("hole %g within the limit: %+v, want %+v", hole, got, full)
		}
	}
	last := full
	for hole := 6.92; hole < 7.76; hole += 0.02 {
		got := drilled(hole)
		if got.External >= last.External || got.Internal >= last.Internal || got.Break != full.Break {
			t.Errorf("hole %g: %+v is no weaker than %+v", hole, got, last)
		}
		last = got
	}
	// The screw's own thread by the formula with the hole put in for D1.
	wide := thread
	wide.D1Max = 7.3 * mm
	got := drilled(7.3)
	near(t, "external", got.External, must(Strip(wide, 10*mm, screw, part))(t).External, 1e-6)
	near(t, "internal", got.Internal/full.Internal, (7.76-7.3)/(7.76-6.912), 1e-12)
	for _, hole := range []float64{7.76, 9} {
		if got := drilled(hole); got.Weakest() != 0 {
			t.Errorf("hole %g lets the screw through but holds %g", hole, got.Weakest())
		}
	}
}

// Common practice, no source: a cylinder of 16 mm bore has a hole of 6 mm in its rear eye, and M8 is tapped
// from 6.8 mm. Both ways leave the same wall, since a tap cuts to the major diameter.
func TestReworkOfAnEye(t *testing.T) {
	opened, tapped, err := Rework(Eye{Hole: 6 * mm, Outer: 12 * mm}, 8.015*mm, 8*mm, 1.25*mm, 6.8*mm)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "opened", opened.Hole/mm, 8.015, 1e-12)
	near(t, "opened wall", opened.Wall/mm, 1.9925, 1e-9)
	near(t, "drill", tapped.Drill/mm, 6.8, 1e-12)
	near(t, "chart", tapped.ChartPercent, 74, 0.5)
	near(t, "basic", tapped.BasicPercent, 89, 0.5)
	near(t, "tapped wall", tapped.Wall/mm, 2, 1e-9)

	// The hole is already wider than the drill: it stays, and the thread is thin.
	_, tapped, err = Rework(Eye{Hole: 7.4 * mm, Outer: 7 * mm}, 8*mm, 8*mm, 1.25*mm, 6.8*mm)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "own hole", tapped.Drill/mm, 7.4, 1e-12)
	near(t, "thin thread", tapped.ChartPercent, 0.6/(1.299038*1.25)*100, 1e-3)
	near(t, "broken out", tapped.Wall/mm, -0.5, 1e-9)
}

// Common practice, a worked note of the trade on tap depth: 1/4-20, thread 0.375 in deep, two threads of chamfer
// and one for clearance: drill 0.525 in deep.
func TestDrilledDepthAgainstTradeNote(t *testing.T) {
	near(t, "depth", must(DrilledDepth(0.375*inch, inch/20, UsualTapLead))(t)/inch, 0.525, 1e-12)
}

func TestTappedRefuses(t *testing.T) {
	if _, err := ThreadPercent(0, 8*mm, 1*mm, 7*mm); err == nil {
		t.Error("no form was taken")
	}
	if _, err := ThreadPercent(DrillChartForm, 8*mm, 0, 7*mm); err == nil {
		t.Error("no pitch was taken")
	}
	if _, err := TapDrill(DrillChartForm, 1*mm, 1*mm, 90); err == nil {
		t.Error("a thread deeper than its hole was taken")
	}
	if _, err := TapDrill(DrillChartForm, 8*mm, 1*mm, -5); err == nil {
		t.Error("a negative percentage was taken")
	}
	odd := coarse["M8"]
	odd.Hole = math.NaN()
	if _, err := Strip(odd, 1*mm, Material{Tensile: 1}, Material{Tensile: 1}); err == nil {
		t.Error("a hole of no size was taken")
	}
	if _, err := DrilledDepth(5*mm, 1*mm, -1); err == nil {
		t.Error("a negative lead was taken")
	}
	if _, err := DrilledDepth(0, 1*mm, 3); err == nil {
		t.Error("no depth was taken")
	}
	if _, _, err := Rework(Eye{}, 8*mm, 8*mm, 1.25*mm, 6.8*mm); err == nil {
		t.Error("an eye without a hole was taken")
	}
	if _, _, err := Rework(Eye{6 * mm, 12 * mm}, 8*mm, 8*mm, 0, 6.8*mm); err == nil {
		t.Error("a thread without a pitch was taken")
	}
}
