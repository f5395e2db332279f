package checks

import (
	"math"
	"testing"
)

// TestScrewGroupByHand: the blocks of the tray lifter, with M5 in holes of 5.5 mm (ISO 273), 12 mm from the edge and 32 mm apart. Screws
// that are hardly tight turn back under a spring washer, which does not lock (DIN 65151, from memory), and not with thread lock.
func TestScrewGroupByHand(t *testing.T) {
	for lock, loosens := range map[string]bool{"spring washer": true, "thread lock": false} {
		x := examinerOf(t, "tray-lifter")
		f := x.m.Fastenings["block to post"]
		f.Torque.SI, f.Lock.Value = 1, lock
		x.m.Fastenings["block to post"] = f
		x.screwGroups()
		for _, s := range x.subjects {
			if s.Name != "block to post at B" {
				continue
			}
			for fact, want := range map[string]float64{"edgeHoles": 12 / 5.5, "spacingHoles": 32 / 5.5} {
				if got := s.Facts[fact].SI; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: got %g, want %g", fact, got, want)
				}
			}
			if s.Facts["loosens"].Flag != loosens {
				t.Errorf("%s: loosens is %v", lock, s.Facts["loosens"])
			}
		}
		if len(x.subjects) != 2 {
			t.Errorf("%d groups of screws, want 2", len(x.subjects))
		}
	}
}

// BenchmarkJoints follows what the machine carries into its screws and its base, after its sweep and its strokes.
func BenchmarkJoints(b *testing.B) {
	x := examinerOf(b, "tray-lifter")
	x.moments()
	b.ReportAllocs()
	for b.Loop() {
		x.carried, x.subjects = nil, nil
		x.screwGroups()
		x.mounting()
	}
}
