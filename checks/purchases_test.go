package checks

import (
	"math"
	"slices"
	"strings"
	"testing"

	"trammel.example/schema"
)

func purchaseOf(t *testing.T, subjects []*Subject, name string) *Subject {
	t.Helper()
	for _, s := range subjects {
		if s.Kind == "purchase" && s.Name == name {
			return s
		}
	}
	t.Fatalf("no purchase of %q", name)
	return nil
}

// What the tray lifter takes, counted by hand in its spec. Common practice, no source: each cylinder needs a valve of its own, and three
// machines need three times everything.
func TestNeedsByHand(t *testing.T) {
	want := map[string]int{
		"screw M5x12 socket 8.8": 8, "slot nut M5 for 6": 8, "washer M5": 8, // two blocks at each of A and B, two screws in each
		"screw M6x30 hex 8.8": 4, "lock nut M6": 4, "washer M6": 8, // one under the head, one under the nut
		"clip 8": 10, "pin 8x70": 2, "bearing block 8": 4, "washer 2 thick for 8": 6,
		"cylinder 25x80": 1, "valve, valve data sheet, page 11": 1, "flow control, flow control data sheet": 2,
		"tube 6x4 polyurethane": 3, "fitting G1/4 for 8, fitting data sheet": 2, "wire 0.5 mm²": 10,
	}
	for _, n := range Needs(examinerOf(t, "tray-lifter").m) {
		if count, ok := want[n.Item]; ok && n.Count() != count {
			t.Errorf("%d of %s, want %d", n.Count(), n.Item, count)
		}
		delete(want, n.Item)
	}
	if len(want) > 0 {
		t.Errorf("not needed: %v", want)
	}
}

// By hand: 8 screws M6 × 20 in each of 2 machines and a tenth more are 17.6, so 18; 4 large washers in each are 8.8, so 9; 2 straps of
// 305 mm in each of 2 machines with cuts of 2.5 mm are 4 × 305 + 3 × 2.5 = 1227.5 mm.
func TestWantedByHand(t *testing.T) {
	m := *examinerOf(t, "crate-ejector").m
	examined := func() []*Subject {
		x := &examiner{m: &m}
		x.purchases()
		return x.subjects
	}
	for name, want := range map[string]float64{"M6x20": 18, "washer M5 large": 9, "lock nut M10": 3, "cylinder 32x100": 2, "flat 25x5": 1} {
		if got := purchaseOf(t, examined(), name).Facts["wanted"].SI; got != want {
			t.Errorf("%g of %s wanted, want %g", got, name, want)
		}
	}
	m.Purchases = slices.Clone(m.Purchases)
	last := &m.Purchases[len(m.Purchases)-1]
	for length, want := range map[float64]float64{1.2275: 1, 1.2274: 2, 0.6125: 2, 0.612: 4} {
		last.Length.SI = length
		if got := purchaseOf(t, examined(), "flat 25x5").Facts["wanted"].SI; got != want {
			t.Errorf("%g bars of %g m wanted, want %g", got, length, want)
		}
	}
	if got := purchaseOf(t, examined(), "flat 25x5").Facts["longestCut"].SI; math.Abs(got-0.305) > 1e-9 {
		t.Errorf("the longest cut is %g m", got)
	}
}

// A remedy names what to order in whole packs, and what a line may be meant for.
func TestPurchaseRemedies(t *testing.T) {
	m := *examinerOf(t, "crate-ejector").m
	m.Purchases = slices.Clone(m.Purchases)
	for i, p := range m.Purchases {
		switch p.Item.Value {
		case "slot nut M6 for 8":
			m.Purchases[i].Count.SI, m.Purchases[i].Pack.SI = 4, 5
		case "washer M10":
			m.Purchases[i].Item.Value = "washer M100"
		case "lock nut M10":
			m.Purchases[i].Item.Value = "lock nut M9" // nearer to that for M5, which the list has
		}
	}
	x := &examiner{m: &m}
	x.purchases()
	for name, row := range map[string][2]string{
		"slot nut M6 for 8": {"remedyShort", "Order 10, which is 2 packs of 5: 5 more than the list has"},
		"washer M100":       {"remedyUnused", "Write `item: \"washer M10\"`"},
		"lock nut M9":       {"remedyUnused", "Write `item: \"lock nut M10\"`"},
		"washer M10":        {"remedyShort", "Add a line `{item: \"washer M10\", count: 3}`"},
	} {
		if got := purchaseOf(t, x.subjects, name).Facts[row[0]].Text; !strings.Contains(got, row[1]) {
			t.Errorf("%s: %q, want %q", name, got, row[1])
		}
	}
}

// A bar without a kerf is sawn with 3 mm a cut (common practice, no source), and the report says so: three cuts beside 4 × 305 mm are
// 1229 mm. A tube is cut with a knife, which takes nothing.
func TestKerfAssumed(t *testing.T) {
	m := *examinerOf(t, "crate-ejector").m
	m.Purchases = slices.Clone(m.Purchases)
	last := &m.Purchases[len(m.Purchases)-1]
	last.Kerf = schema.Length{}
	for length, want := range map[float64]float64{1.229: 1, 1.2289: 2} {
		last.Length.SI = length
		x := &examiner{m: &m}
		x.purchases()
		s := purchaseOf(t, x.subjects, "flat 25x5")
		if got := s.Facts["wanted"].SI; got != want {
			t.Errorf("%g bars of %g m wanted, want %g", got, length, want)
		}
		if !slices.ContainsFunc(s.Assumed, func(a schema.Assumption) bool { return strings.HasSuffix(a.Path, ".kerf") && a.Value == "3 mm" }) {
			t.Errorf("assumed: %v", s.Assumed)
		}
	}
	if kerf, assumed := (&Need{Kind: "tube"}).Kerf(schema.Purchase{}); kerf != 0 || assumed {
		t.Errorf("a tube's cut takes %g m", kerf)
	}
}
