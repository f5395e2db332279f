package air

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// bar in Pa.
const bar = 1e5

func line(ports ...string) map[string]Run {
	runs := map[string]Run{}
	for i := 0; i+1 < len(ports); i += 2 {
		a, b := ports[i], ports[i+1]
		runs[a+"-"+b] = Run{Port{a[:len(a)-1], a[len(a)-1:]}, Port{b[:len(b)-1], b[len(b)-1:]}}
	}
	return runs
}

// TestFollow: expectations by hand from the reading of ISO 4414 in the file's header.
func TestFollow(t *testing.T) {
	parts := map[string]Part{"source": {}, "filter": {}, "line": {Role: Regulates, Limit: 5 * bar}, "valve": {}, "cylinder": {}, "low": {Role: Regulates, Limit: 2 * bar}, "pilot": {}, "loose": {}}
	runs := line("source1", "filter1", "filter2", "line1", "line2", "valve1", "valve4", "cylinder1", "valve2", "cylinder2", "valve3", "low1", "low2", "pilot1")
	way := Follow(parts, runs, "source", 8*bar)
	for name, want := range map[string]Reach{
		"filter":   {8 * bar, 8 * bar, false, nil, nil},
		"line":     {8 * bar, 8 * bar, false, nil, nil}, // its body bears what comes in
		"cylinder": {5 * bar, 8 * bar, true, []string{"line"}, nil},
		"pilot":    {2 * bar, 8 * bar, true, []string{"line", "low"}, nil},
	} {
		if d := cmp.Diff(want, way.Parts[name]); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	if _, ok := way.Parts["loose"]; ok {
		t.Error("air reaches a part that no run joins")
	}
}

func TestFollowReliefValves(t *testing.T) {
	parts := map[string]Part{"source": {}, "tee": {}, "shut": {Role: Isolates}, "relief": {Role: Relieves, Limit: 6 * bar}, "line": {Role: Regulates, Limit: 5 * bar}, "valve": {}, "tee2": {}, "relief2": {Role: Relieves, Limit: 5.5 * bar}}
	runs := line("source1", "shut1", "shut2", "tee1", "tee2", "relief1", "tee3", "line1", "line2", "tee21", "tee22", "relief21", "tee23", "valve1")
	way := Follow(parts, runs, "source", math.Inf(1))
	if got := way.Parts["source"].Pressure; got != 6*bar {
		t.Errorf("the relief valve limits the source to %g Pa, want 6 bar", got)
	}
	if d := cmp.Diff([]string{"relief"}, way.ShutOff); d != "" {
		t.Errorf("the isolator shuts the relief valve off: %s", d)
	}
	if got := way.Parts["valve"]; got.Pressure != 5*bar || got.Failed != 5.5*bar {
		t.Errorf("behind the regulator stand %g and, failed, %g Pa, want 5 and 5.5 bar", got.Pressure, got.Failed)
	}
}

func TestFollowBackwardAndLoops(t *testing.T) {
	parts := map[string]Part{"source": {}, "line": {Role: Regulates, Limit: 5 * bar}, "valve": {}, "other": {}}
	way := Follow(parts, line("source1", "line2", "line1", "valve1"), "source", 8*bar)
	if d := cmp.Diff([]string{"line"}, way.Backward); d != "" {
		t.Error(d)
	}
	// A run and a part may have one name.
	way = Follow(parts, map[string]Run{"feed": {Port{"source", "1"}, Port{"line", "2"}}, "valve": {Port{"line", "1"}, Port{"valve", "1"}}, "other": {Port{"valve", "2"}, Port{"other", "1"}}}, "source", 8*bar)
	for _, beyond := range []map[string]string{way.PartsBeyond, way.RunsBeyond} {
		if d := cmp.Diff(map[string]string{"valve": "line", "other": "line"}, beyond); d != "" {
			t.Errorf("beyond the regulator: %s", d)
		}
	}
	// A bypass round the regulator: the higher pressure counts, and nothing is regulated.
	way = Follow(parts, line("source1", "line1", "line2", "valve1", "valve2", "other1", "other2", "source2"), "source", 8*bar)
	if got := way.Parts["valve"]; got.Pressure != 8*bar || got.Regulated {
		t.Errorf("behind a bypass stands %g Pa, regulated %v; want 8 bar and not", got.Pressure, got.Regulated)
	}
}

// TestMate: forms and pitches of ISO 228-1 and ISO 7-1 (1/8: 28, 1/4: 19 to the inch, 55°) and ASME B1.20.1 (27, 18, 60°).
func TestMate(t *testing.T) {
	for _, c := range []struct {
		male, female Thread
		want         Mating
	}{
		{Thread{"G", "1/8"}, Thread{"G", "1/8"}, Mates},
		{Thread{"G", "1/8"}, Thread{"G", "1/4"}, Clashes},
		{Thread{"R", "1/8"}, Thread{"Rc", "1/8"}, Mates},
		{Thread{"R", "1/8"}, Thread{"Rp", "1/8"}, Mates},
		{Thread{"R", "1/4"}, Thread{"G", "1/4"}, TaperInParallel},
		{Thread{"G", "1/4"}, Thread{"Rc", "1/4"}, Clashes},
		{Thread{"NPT", "1/4"}, Thread{"G", "1/4"}, Clashes},
		{Thread{"R", "1/8"}, Thread{"NPT", "1/8"}, Clashes},
		{Thread{"NPT", "1/8"}, Thread{"NPT", "1/8"}, Mates},
		{Thread{"metric", "M5"}, Thread{"metric", "M5"}, Mates},
	} {
		if got := Mate(c.male, c.female); got != c.want {
			t.Errorf("%v in %v: %v, want %v", c.male, c.female, got, c.want)
		}
	}
}

// TestOneWay: a check valve lets air through from 1 to 2, a shuttle valve from either inlet to 2, and a pilot is no way (ISO 1219-1, from
// memory); circuits by hand.
func TestOneWay(t *testing.T) {
	check, shuttle := map[string][]string{"1": {"2"}}, map[string][]string{"1": {"2"}, "3": {"2"}}
	piloted := map[string][]string{"1": {"2"}, "2": {"1"}}
	for _, c := range []struct {
		what     string
		through  map[string][]string
		in, out  string
		reached  bool
		backward bool
	}{
		{"check valve", check, "1", "2", true, false},
		{"check valve turned", check, "2", "1", false, true},
		{"shuttle valve from 1", shuttle, "1", "2", true, false},
		{"shuttle valve from 3", shuttle, "3", "2", true, false},
		{"shuttle valve, from inlet to inlet", shuttle, "1", "3", false, false},
		{"pilot-operated check valve back", piloted, "2", "1", true, false},
		{"pilot", map[string][]string{"1": {"2"}, "2": {"1"}}, "p", "2", false, true},
	} {
		parts := map[string]Part{"source": {}, "valve": {Through: c.through}, "behind": {}}
		way := Follow(parts, map[string]Run{"a": {Port{"source", "1"}, Port{"valve", c.in}}, "b": {Port{"valve", c.out}, Port{"behind", "1"}}}, "source", 8*bar)
		if _, got := way.Parts["behind"]; got != c.reached {
			t.Errorf("%s: air gets through: %v", c.what, got)
		}
		if got := len(way.Backward) > 0; got != c.backward {
			t.Errorf("%s: backward: %v", c.what, got)
		}
	}
	// Air that comes to both sides of a check valve is no fault of the valve.
	parts := map[string]Part{"source": {}, "valve": {Through: check}, "behind": {}}
	way := Follow(parts, line("source1", "valve1", "valve2", "behind1", "behind2", "source2"), "source", 8*bar)
	if len(way.Backward) > 0 {
		t.Errorf("with a bypass: %v", way.Backward)
	}
}
