package people

import (
	"math"
	"testing"
)

func TestCurtainDistanceAgainstWorkedExamples(t *testing.T) {
	for _, r := range []struct {
		source           string
		time, resolution float64 // s, mm
		want             float64 // mm
	}{
		{"worked example in operating instructions for ISO 13855: 290 ms + 30 ms: 640, therefore 512", 0.320, 14, 512},
		{"worked example in a guide to ISO 13855: 150 ms + 15 ms", 0.165, 14, 330},
		// Constructed: our numbers in the published procedure.
		{"C adds 8 x 16", 0.100, 30, 328},
		{"C adds 8 x 26", 0.300, 40, 688},
		{"the slower speed gives less than 500", 0.260, 14, 500},
		{"just 500", 0.250, 14, 500},
		{"never below 100", 0.020, 14, 100},
		{"C never below 0", 0.200, 10, 400},
	} {
		got, err := CurtainDistance(r.time, r.resolution*mm)
		if err != nil || math.Abs(got-r.want*mm) > 1e-9 {
			t.Errorf("%s: got %g mm, %v; want %g", r.source, got/mm, err, r.want)
		}
	}
}

// More time or a coarser curtain never brings it nearer, and no step in time makes it jump: it follows no faster than a hand.
func TestCurtainDistanceNeverFalls(t *testing.T) {
	for resolution := 1; resolution <= 40; resolution++ {
		before := nearest
		for ms := 1; ms <= 1000; ms++ {
			s, err := CurtainDistance(float64(ms)/1e3, float64(resolution)*mm)
			if err != nil {
				t.Fatal(err)
			}
			if s < before || ms > 1 && s-before > reachSpeed/1e3+1e-12 {
				t.Fatalf("%d ms, %d mm: %g after %g", ms, resolution, s, before)
			}
			if finer, _ := CurtainDistance(float64(ms)/1e3, float64(resolution)*mm-5e-4); finer > s {
				t.Fatalf("%d ms, %d mm: %g, a finer one %g", ms, resolution, s, finer)
			}
			before = s
		}
	}
}

func TestCurtainDistanceRefusesNonsense(t *testing.T) {
	for _, r := range [][2]float64{{0, 0.014}, {-1, 0.014}, {math.NaN(), 0.014}, {math.Inf(1), 0.014}, {0.1, 0}, {0.1, -1}, {0.1, math.NaN()}, {0.1, 0.0401}} {
		if s, err := CurtainDistance(r[0], r[1]); err == nil {
			t.Errorf("%v: got %g", r, s)
		}
	}
	if _, err := CurtainDistance(0.1, math.Nextafter(0.040, 1)); err != nil {
		t.Error(err)
	}
}

// TestStopDistance: S = K T + C with K 1600 mm/s, and C 250 mm for two hands: ISO 13855:2010 (K confirmed by published operating instructions, C
// from memory). A gate that needs 0.3 s to stop the machine stands 480 mm away, a control 730 mm.
func TestStopDistance(t *testing.T) {
	for _, r := range []struct {
		time, through, want float64
		hands               bool
	}{{0.3, 0, 0.48, false}, {0.3, 0.12, 0.6, false}, {0.3, 0, 0.73, true}, {0.05, 0, 0.08, false}} {
		got, err := StopDistance(r.time, r.hands, r.through)
		if err != nil || math.Abs(got-r.want) > 1e-12 {
			t.Errorf("%+v: %g, %v", r, got, err)
		}
		if back := StopTime(got, r.hands, r.through); math.Abs(back-r.time) > 1e-12 {
			t.Errorf("%+v: back to %g s", r, back)
		}
	}
	for _, bad := range [][2]float64{{0, 0}, {-1, 0}, {math.NaN(), 0}, {math.Inf(1), 0}, {1, -1}} {
		if _, err := StopDistance(bad[0], false, bad[1]); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}
