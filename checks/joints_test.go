package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trammel.example/checks/fastening"
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

// TestPatternsByHand: screws spread evenly over the row or the two rows in which they stand, and nowhere else.
func TestPatternsByHand(t *testing.T) {
	type places = []fastening.Place
	for _, r := range []struct {
		from places
		n    int
		want places
	}{
		{places{{U: 0, W: 0}, {U: 0, W: 0.032}}, 3, places{{U: 0, W: 0}, {U: 0, W: 0.016}, {U: 0, W: 0.032}}},
		{places{{U: 0.01, W: 0}, {U: 0.04, W: 0.04}, {U: 0.025, W: 0.02}}, 4, places{{U: 0.01, W: 0}, {U: 0.02, W: 0.04 / 3}, {U: 0.03, W: 0.08 / 3}, {U: 0.04, W: 0.04}}},
		{places{{U: 0, W: 0}, {U: 0.06, W: 0}, {U: 0, W: 0.02}, {U: 0.06, W: 0.02}}, 6, places{{U: 0, W: 0}, {U: 0.03, W: 0}, {U: 0.06, W: 0}, {U: 0, W: 0.02}, {U: 0.03, W: 0.02}, {U: 0.06, W: 0.02}}},
		{places{{U: 0, W: 0}, {U: 0.06, W: 0}, {U: 0.03, W: 0.02}}, 0, nil},
	} {
		rows := rowsOf(r.from)
		if r.want == nil {
			if len(rows) > 0 {
				t.Errorf("%v stand in no rows, and not in %v", r.from, rows)
			}
			continue
		}
		got := evenly(rows, r.n)
		for _, w := range r.want {
			if !slices.ContainsFunc(got, func(g fastening.Place) bool { return math.Hypot(g.U-w.U, g.W-w.W) < 1e-9 }) {
				t.Errorf("%v: %d of them stand at %v, and none at %v", r.from, r.n, got, w)
			}
		}
		if len(got) != r.n {
			t.Errorf("%v: %d stand at %v", r.from, r.n, got)
		}
	}
	// A row of two whose turning must be halved: more in the row never do it (Σ r² of three is that of two), set apart they do.
	row := places{{U: 0, W: -0.016}, {U: 0, W: 0.016}}
	spread := func(s places) (sum float64) {
		for _, p := range s {
			sum += p.U*p.U + p.W*p.W
		}
		return sum
	}
	if got := betterPattern(row, 0.014, func(s places) bool { return spread(s) >= 4*spread(row) }); got != "set the two screws 65 mm apart in place of 32 mm, on a foot as much longer" {
		t.Errorf("advises %q", got)
	}
}

// TestBetterJointHolds does what the advice for a joint that slips says, and the joint holds: by the same statics, which their own tests
// compare with a textbook.
func TestBetterJointHolds(t *testing.T) {
	group := func(torque, friction float64, screws int, apart float64) *Subject {
		x := examinerOf(t, "tray-lifter")
		f := x.m.Fastenings["block to post"]
		f.Torque.SI, f.Joints = torque, slices.Clone(f.Joints)
		for i, j := range f.Joints {
			j.Heel.SI = 0.015
			if friction > 0 {
				j.Friction.SI = friction
			}
			first, last := j.Screws[0], j.Screws[len(j.Screws)-1]
			wide, mid := last.Z.SI-first.Z.SI, (last.Z.SI+first.Z.SI)/2
			if apart > 0 {
				wide = math.Copysign(apart, wide)
			}
			j.Screws = nil
			for k := range screws {
				h := first
				h.X.SI += float64(k) / float64(screws-1) * (last.X.SI - first.X.SI)
				h.Y.SI += float64(k) / float64(screws-1) * (last.Y.SI - first.Y.SI)
				h.Z.SI = mid + wide*(float64(k)/float64(screws-1)-0.5)
				j.Screws = append(j.Screws, h)
			}
			f.Joints[i] = j
		}
		x.m.Fastenings["block to post"] = f
		x.fastenings()
		x.screwGroups()
		for _, s := range x.subjects {
			if s.Kind == "screw group" && s.Name == "block to post at B" {
				return s
			}
		}
		t.Fatal("no block at B")
		return nil
	}
	holds := func(s *Subject) bool {
		return s.Facts["slides"].SI <= s.Facts["slidesAllowed"].SI*(1+1e-9) && s.Facts["pull"].SI <= s.Facts["pullAllowed"].SI*(1+1e-9)
	}
	tried := 0
	for _, torque := range []float64{0.28, 0.5, 1} {
		for _, friction := range []float64{0.05, 0.1, 0.2} {
			s := group(torque, friction, 2, 0)
			if holds(s) {
				continue
			}
			for _, way := range strings.Split(s.Facts["remedySlip"].Text, ", or ") {
				var a, b float64
				switch way = strings.ToLower(way[:1]) + way[1:]; {
				case scan(way, "tighten with %g n·m to %g n·m", &a, &b):
					s = group(a, friction, 2, 0)
				case scan(way, "put in %g screws", &a):
					s = group(torque, friction, int(a), 0)
				case scan(way, "set the two screws %g mm apart", &a):
					s = group(torque, friction, 2, a*1e-3)
				case scan(way, "have faces that rub with %g", &a):
					s = group(torque, a, 2, 0)
				default:
					continue
				}
				if tried++; !holds(s) {
					t.Errorf("%g N·m, friction %g: with %q it slides with %v of %v and is pulled with %v of %v", torque, friction, way, s.Facts["slides"], s.Facts["slidesAllowed"], s.Facts["pull"], s.Facts["pullAllowed"])
				}
			}
		}
	}
	if tried < 8 {
		t.Errorf("only %d ways are tried", tried)
	}
}

// scan reads the numbers of a sentence that begins so.
func scan(text, format string, numbers ...any) bool {
	n, _ := fmt.Sscanf(strings.ToLower(text), format, numbers...)
	return n == len(numbers)
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
