package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// fixed is a bench whose rear eye stands at O on a foot with four screws, 20 mm below it and 20 mm to either side, heads up. The cylinder
// pushes with the 294.52 N of 6 bar against something that holds Q, and pulls with 247.40 N; nothing else counts.
func fixed(fixing string) bench {
	b := drivenBench{set: "6"}.bench()
	b.cylinder = strings.Replace(b.cylinder, "moving: kg: 0.1", "moving: kg: 0.00001", 1)
	b.machine = strings.Replace(b.machine, "mass: kg: 5", "mass: kg: 0.00001", 1) + `
	reaches: Q: rises: mm: 0.001
	fixings: foot: {` + fixing + `, parts: [{on: "post", carries: ["O"], looks: deg: 90, screws: [{x: mm: -20, y: mm: -20, z: mm: 15}, {x: mm: 20, y: mm: -20, z: mm: 15}, {x: mm: -20, y: mm: -20, z: mm: -15}, {x: mm: 20, y: mm: -20, z: mm: -15}]}]}`
	return b
}

// TestFixings: what pulls on the foot with the rod long, when it is steepest, or short. Of a screw: a quarter of what goes up, and the moment
// about the face, F × 20 mm, over four screws 20 mm from their middle; a quarter of what goes aside. A third of what was tested adds up along and
// across; wood bears 108.25 G² D L / 5 along and K D² / 2 across (Wood Handbook), and both together go by the squares (EN 1995-1-1). What the
// remedy calls for holds.
func TestFixings(t *testing.T) {
	const name = "foot at O"
	by := func(share func(pull, across float64) float64) (most float64) {
		for _, a := range []float64{250, 260, 270} {
			for _, f := range []float64{247.40, -294.52} { // pulls O towards Q, or pushes it away
				across, up := acrossAndUp(a)
				most = max(most, share(f*up/4+math.Abs(f)*across*20*20/(4*400), math.Abs(f)*across/4))
			}
		}
		return most
	}
	e := examine(t, fixed(`tested: {pullOut: N: 3000, across: N: 1500, source: "test"}, insert: {outside: mm: 5, boss: mm: 8, entry: "front"}`))
	want := by(func(pull, across float64) float64 { return max(0, pull)/1000 + across/500 })
	e.want("fixing", name, "holdShare", "", want, 1e-3*want, "statics by hand")
	e.want("fixing", name, "bossLeast", "mm", 10, 1e-9, "twice 5 mm")
	e.flag("fixing", name, "pulledOut", true, "statics: it pulls the foot up")
	examine(t, fixed(`tested: {pullOut: N: 3000, across: N: 1500, source: "test"}, insert: {outside: mm: 5, boss: mm: 8, entry: "back"}`)).flag("fixing", name, "pulledOut", false, "drawn in")
	examine(t, fixed(`tested: {pullOut: N: 3000, source: "test"}`)).open("fixing", name, "holdShare")

	wood := func(d, l float64, into string) examined {
		return examine(t, fixed(fmt.Sprintf(`wood: {diameter: mm: %g, thread: mm: %g, gravity: 0.4%s}`, d, l, into)))
	}
	w := wood(5, 40, "")
	bought := map[string]int{}
	for _, n := range checks.Needs(load(t, fixed(`wood: {diameter: mm: 5, thread: mm: 40, gravity: 0.4}`).spec())) {
		bought[n.Item] = n.Count()
	}
	if bought["wood screw 5 with 40 of thread"] != 4 {
		t.Errorf("four screws are bought, and not %v", bought)
	}
	along := 108.25 * 0.16 * 5 * 40 / 5
	w.want("fixing", name, "pullAllowed", "N", along, 1e-9, "108.25 G² D L / 5")
	w.want("fixing", name, "acrossAllowed", "N", 23.17*25/2, 1e-9, "K D² / 2")
	want = by(func(pull, across float64) float64 { return math.Hypot(max(0, pull)/along, across/(23.17*25/2)) })
	w.want("fixing", name, "holdShare", "", want, 1e-3*want, "roots of squares")
	if side, end := w.number("fixing", name, "holdShare", ""), wood(5, 40, `, into: "end grain"`).number("fixing", name, "holdShare", ""); end < 4./3*side*(1-1e-9) || end > 1.5*side*(1+1e-9) {
		t.Errorf("%g of what end grain bears, and %g of side grain", end, side)
	}
	weak := wood(4, 10, "")
	f, _ := weak.fact("fixing", name, "remedyFixing")
	var deep, thick float64
	for _, way := range strings.Split(f.Text, ", or ") {
		fmt.Sscanf(strings.ToLower(way), "take screws with %g mm of thread in the wood", &deep)
		fmt.Sscanf(strings.ToLower(way), "take screws of %g mm as deep", &thick)
	}
	if deep == 0 {
		t.Fatalf("no depth in %q", f.Text)
	}
	for _, r := range [][3]float64{{4, deep, 1}, {thick, 10, 1}} {
		if r[0] == 0 {
			continue
		}
		if share := wood(r[0], r[1], "").number("fixing", name, "holdShare", ""); share > 1 {
			t.Errorf("%q: with %v it is still %g", f.Text, r, share)
		}
	}
	// One screw keeps the foot from turning by its own girth alone; two so far apart as the remedy says hold it.
	screwed := func(at string) examined {
		b := fixed(`wood: {diameter: mm: 6, thread: mm: 60, gravity: 0.5}`)
		from := strings.Index(b.machine, `looks: deg: 90, screws: [`)
		b.machine = b.machine[:from] + "screws: [" + at + "]}]}"
		return examine(t, b)
	}
	f, _ = screwed("{x: mm: 0, y: mm: -20}").fact("fixing", name, "remedyFixing")
	var apart float64
	if _, err := fmt.Sscanf(f.Text, "Put in two, %g mm or more apart", &apart); err != nil {
		t.Fatalf("%q: %v", f.Text, err)
	}
	for _, at := range []string{"{x: mm: %g, y: mm: -20}, {x: mm: %g, y: mm: -20}", "{x: mm: 0, y: mm: -20 + %g}, {x: mm: 0, y: mm: -20 + %g}"} {
		if share := screwed(fmt.Sprintf(at, -apart/2, apart/2)).number("fixing", name, "holdShare", ""); share > 1 {
			t.Errorf("%q, and two at %s bear %g", f.Text, fmt.Sprintf(at, -apart/2, apart/2), share)
		}
	}
	if share := wood(4, deep-1, "").number("fixing", name, "holdShare", ""); share <= 1 {
		t.Errorf("%q, and 1 mm less would do: %g", f.Text, share)
	}
}
