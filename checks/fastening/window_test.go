package fastening

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// ISO 888 lengths in m, from memory.
var stock = scaled(mm, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100)

func scaled(k float64, all ...float64) []float64 {
	for i := range all {
		all[i] *= k
	}
	return all
}

// js15 is the length tolerance of screws to ISO 4759-1, js15 of ISO 286-1, from memory.
var js15 = Symmetric(func(l float64) float64 {
	for _, band := range []struct{ upTo, it float64 }{{3, 0.40}, {6, 0.48}, {10, 0.58}, {18, 0.70}, {30, 0.84}, {50, 1.00}, {80, 1.20}} {
		if l <= band.upTo*mm {
			return band.it / 2 * mm
		}
	}
	return 0.7 * mm
})

func pm(size, tolerance float64) Span { return Span{(size - tolerance) * mm, (size + tolerance) * mm} }

// Homework solution to a problem of Shigley's Mechanical Engineering Design (university course, autumn 2010):
// 1/2 in-13, plates 1/2 and 5/8 in, nut 7/16 in: longer than 1.5625 in, so 1.75 in, and 2.44 threads show.
func TestNutAgainstHomework(t *testing.T) {
	j := Joint{
		Stack: []Span{Exactly(0.5 * inch), Exactly(0.625 * inch)},
		Screw: Screw{Pitch: inch / 13},
		Into:  Nut{Height: Exactly(7.0 / 16 * inch), PitchesShown: 0, Room: math.Inf(1)},
	}
	w := must(j.Window())(t)
	near(t, "least", w.Least/inch, 1.5625, 1e-10)
	c, ok, err := j.Choose(scaled(inch, 1, 1.25, 1.5, 1.75, 2, 2.25), Span{}, 0)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	near(t, "chosen", c.Length/inch, 1.75, 1e-12)
	near(t, "threads shown", must(j.Fit(c.Length))(t).Protrusion, 2.44, 0.005)
}

// Same book, problem 8-11 of the 9th edition (its number from memory): two plates of 14 mm and a washer 14R of
// 3.5 mm under the head of M14 x 2, nut 12.8 mm: grip 31.5 mm; 50 mm is long enough, also for two threads, and
// 45 is not with them.
func TestNutAgainstTextbookProblem(t *testing.T) {
	j := Joint{
		Stack: []Span{Exactly(3.5 * mm), Exactly(14 * mm), Exactly(14 * mm)},
		Screw: Screw{Pitch: 2 * mm},
		Into:  Nut{Height: Exactly(12.8 * mm), PitchesShown: 2, Room: math.Inf(1)},
	}
	w := must(j.Window())(t)
	near(t, "least", w.Least/mm, 31.5+12.8+4, 1e-9)
	if !math.IsInf(w.Most, 1) {
		t.Errorf("nothing is behind, yet most is %g", w.Most)
	}
	for length, want := range map[float64]bool{45: false, 48: false, 48.3: true, 50: true, 90: true} {
		if got := must(w.Holds(length * mm))(t); got != want {
			t.Errorf("%g mm: %v", length, got)
		}
	}
}

// Common practice, no source: washers take up a bolt that is a little too long when the next size down is too
// short. M5 through a foot of 8.7 mm into a slot nut: 12 is too short, 16 would bottom, two washers let 16 fit.
func TestWashersTakeUpAScrewTooLong(t *testing.T) {
	j := Joint{
		Stack: []Span{pm(8.7, 0.1)},
		Screw: Screw{Pitch: 0.8 * mm, Limits: js15},
		Into:  SlotNut{Lip: pm(1.5, 0.1), Thick: pm(3.4, 0.1), Depth: pm(6.6, 0.1), Clearance: UsualTipClearance, Needed: 2.2 * mm},
	}
	w := must(j.Window())(t)
	if w.Conflict != nil {
		t.Fatalf("conflict %+v", *w.Conflict)
	}
	// By hand: 8.8 + 1.6 + 2.2 = 12.6, and 0.35 for the screw; 8.6 + 6.5 - 0.5 = 14.6, less 0.35.
	near(t, "least", w.Least/mm, 12.95, 1e-9)
	near(t, "most", w.Most/mm, 14.25, 1e-9)
	if fitting := must(w.Stock(stock))(t); len(fitting) != 0 {
		t.Errorf("lengths %v fit without a washer", fitting)
	}
	washer := pm(1, 0.1) // ISO 7089, M5
	c, ok, err := j.Choose(stock, washer, 3)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if diff := cmp.Diff(Choice{Washers: 2, Length: 16 * mm}, c); diff != "" {
		t.Error(diff)
	}
	if _, ok, _ := j.Choose(stock, washer, 1); ok {
		t.Error("one washer must not do")
	}
	// What each does bare: 16 meets the floor 1.25 mm early, 12 holds by 1.25 mm of the 2.2 needed.
	near(t, "16 bare: tip clearance", must(j.Fit(16*mm))(t).TipClearance/mm, 6.5-(16.35-8.6), 1e-9)
	near(t, "12 bare: engagement", must(j.Fit(12*mm))(t).Engagement/mm, 11.65-8.8-1.6, 1e-9)
	near(t, "12 bare: protrusion", must(j.Fit(12*mm))(t).Protrusion, (11.65-8.8-1.6-3.5)/0.8, 1e-9)
}

func TestConflictsSayBothNumbers(t *testing.T) {
	slot := SlotNut{Lip: pm(1.5, 0.1), Thick: pm(3.4, 0.1), Depth: pm(6.6, 0.1), Clearance: UsualTipClearance, Needed: 4 * mm}
	hole := TappedHole{Depth: pm(12, 0.2), Needed: 12 * mm}
	room := slot
	room.Needed = 3 * mm
	for _, r := range []struct {
		what              string
		into              Into
		short             Shortage
		needed, available float64
	}{
		{"thin slot nut", slot, ShortThread, 4, 3.3},
		{"shallow thread", hole, ShortThread, 12, 11.8},
		// 1.6 + 3 past the face, a stack that may be 2 mm off in all, a screw that may be 0.7: 7.3.
		{"loose stack", room, ShortRoom, 1.6 + 3 + 2 + 0.7, 6},
		{"nut against a wall", Nut{Height: pm(4.5, 0.2), PitchesShown: 1, Room: 0.5 * mm}, ShortRoom, 4.7 + 0.8 + 2 + 0.7, 4.8},
	} {
		j := Joint{Stack: []Span{pm(10, 1)}, Screw: Screw{Pitch: 0.8 * mm, Limits: js15}, Into: r.into}
		w := must(j.Window())(t)
		if w.Conflict == nil {
			t.Errorf("%s: no conflict", r.what)
			continue
		}
		if w.Conflict.Short != r.short {
			t.Errorf("%s: short of %s, want %s", r.what, w.Conflict.Short, r.short)
		}
		near(t, r.what+" needed", w.Conflict.Needed/mm, r.needed, 1e-9)
		near(t, r.what+" available", w.Conflict.Available/mm, r.available, 1e-9)
		if fitting := must(w.Stock(stock))(t); len(fitting) != 0 {
			t.Errorf("%s: %v fit all the same", r.what, fitting)
		}
		if _, ok, err := j.Choose(stock, pm(1, 0.1), 3); ok || err != nil {
			t.Errorf("%s: washers cannot help, %v %v", r.what, ok, err)
		}
	}
}

// A tolerance that steps up leaves a gap above 10 mm: 10 is long enough, 10.02 with its wider tolerance is not.
func TestToleranceSteps(t *testing.T) {
	j := Joint{
		Stack: []Span{Exactly(4.71 * mm)},
		Screw: Screw{Pitch: 1 * mm, Limits: js15},
		Into:  TappedHole{Depth: Exactly(5.6 * mm), Needed: 5 * mm},
	}
	w := must(j.Window())(t)
	near(t, "least", w.Least/mm, 10, 1e-9) // 10 - 0.29 = 9.71
	near(t, "most", w.Most/mm, 10, 1e-9)   // 10 + 0.29 = 10.29 and 10.31 allowed, 10.02 + 0.35 is above
	for length, want := range map[float64]bool{9.99: false, 10: true, 10.02: false, 10.06: false} {
		if got := must(w.Holds(length * mm))(t); got != want {
			t.Errorf("%g mm: %v", length, got)
		}
	}
}

// corner is what a screw does at one set of limits.
type corner struct{ engagement, clearance, protrusion float64 }

// brute tries one length at every corner of every size, straight from what must hold in the joint.
func brute(j Joint, length Span) (worst corner, fits bool) {
	var sizes []Span
	switch into := j.Into.(type) {
	case Nut:
		sizes = []Span{into.Height}
	case SlotNut:
		sizes = []Span{into.Lip, into.Thick, into.Depth}
	case TappedHole:
		sizes = []Span{into.Depth}
	}
	all := append(append(slices.Clone(j.Stack), length), sizes...)
	worst, fits = corner{math.Inf(1), math.Inf(1), math.Inf(1)}, true
	const eps = 5e-12
	for bits := range 1 << len(all) {
		at := make([]float64, len(all))
		for i, s := range all {
			at[i] = s.Min
			if bits>>i&1 == 1 {
				at[i] = s.Max
			}
		}
		past := at[len(j.Stack)]
		for _, layer := range at[:len(j.Stack)] {
			past -= layer
		}
		own := at[len(j.Stack)+1:]
		var c corner
		switch into := j.Into.(type) {
		case Nut:
			c.engagement = min(past-j.Screw.Point, own[0])
			c.clearance = own[0] + into.Room - past
			c.protrusion = (past - own[0]) / j.Screw.Pitch
			fits = fits && past-own[0] >= into.PitchesShown*j.Screw.Pitch-eps && c.clearance >= -eps
		case SlotNut:
			c.engagement = min(past-own[0]-j.Screw.Point, own[1])
			c.clearance = own[2] - past
			c.protrusion = (past - own[0] - own[1]) / j.Screw.Pitch
			fits = fits && c.engagement >= into.Needed-eps && c.clearance >= into.Clearance-eps
		case TappedHole:
			c.engagement = min(past-j.Screw.Point, own[0])
			c.clearance = own[0] - past
			if into.Through {
				c.clearance += into.Room
			}
			c.protrusion = (past - own[0]) / j.Screw.Pitch
			fits = fits && c.engagement >= into.Needed-eps && c.clearance >= -eps
		}
		worst.engagement = min(worst.engagement, max(0, c.engagement))
		worst.clearance = min(worst.clearance, c.clearance)
		worst.protrusion = min(worst.protrusion, c.protrusion)
	}
	return worst, fits
}

func randomJoint(r *rand.Rand) Joint {
	span := func(lo, hi, tolerance float64) Span { return pm(lo+(hi-lo)*r.Float64(), tolerance*r.Float64()) }
	j := Joint{Screw: Screw{Pitch: (0.5 + r.Float64()) * mm}}
	for range r.IntN(4) {
		j.Stack = append(j.Stack, span(0.6, 9, 0.3))
	}
	if r.IntN(2) == 0 {
		j.Screw.Point = r.Float64() * mm
	}
	switch r.IntN(4) {
	case 0:
		j.Screw.Limits = js15
	case 1:
		j.Screw.Limits = Symmetric(func(l float64) float64 { return 0.1*mm + l/80 })
	case 2:
		j.Screw.Limits = func(l float64) Span { return Span{l - 0.5*mm, l} }
	}
	room := math.Inf(1)
	if r.IntN(2) == 0 {
		room = r.Float64() * 6 * mm
	}
	switch r.IntN(3) {
	case 0:
		j.Into = Nut{Height: span(2, 8, 0.2), PitchesShown: float64(r.IntN(3)), Room: room}
	case 1:
		j.Into = SlotNut{Lip: span(1, 2.5, 0.1), Thick: span(2.5, 5, 0.1), Depth: span(5, 10, 0.2), Clearance: r.Float64() * mm, Needed: (1 + 3*r.Float64()) * mm}
	case 2:
		j.Into = TappedHole{Depth: span(4, 20, 0.5), Needed: (3 + 10*r.Float64()) * mm, Through: r.IntN(2) == 0, Room: room}
	}
	return j
}

// The window against every corner of random joints, one by one.
func TestWindowAgainstEveryCorner(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 19))
	var fitting, conflicts int
	for i := range 1500 {
		j := randomJoint(r)
		w := must(j.Window())(t)
		at := func(n float64) (corner, bool) { return brute(j, must(j.Screw.limits(n))(t)) }
		about := fmt.Sprintf("joint %d %+v", i, j)

		if w.Conflict == nil {
			// Both ends fit, and past either end nothing does.
			fitting++
			if _, ok := at(w.Least); !ok {
				t.Fatalf("%s: the least length %g does not fit", about, w.Least)
			}
			if _, ok := at(w.Least - 1e-10); ok {
				t.Fatalf("%s: less than the least length %g fits", about, w.Least)
			}
			if !math.IsInf(w.Most, 1) {
				if _, ok := at(w.Most + 1e-10); ok {
					t.Fatalf("%s: more than the most length %g fits", about, w.Most)
				}
			}
		} else {
			conflicts++
			if w.Conflict.Needed <= w.Conflict.Available {
				t.Fatalf("%s: conflict without a shortage %+v", about, *w.Conflict)
			}
		}
		grip := Sum(j.Stack...).Max
		for n := grip + 0.05*mm; n < grip+30*mm; n += 0.37 * mm {
			worst, want := at(n)
			got := must(w.Holds(n))(t)
			if got != want {
				t.Fatalf("%s: %g holds %v, corners say %v", about, n, got, want)
			}
			if want && (n < w.Least-1e-11 || n > w.Most+1e-11) {
				t.Fatalf("%s: %g fits outside %g to %g", about, n, w.Least, w.Most)
			}
			f := must(j.Fit(n))(t)
			near(t, about+" engagement", f.Engagement, worst.engagement, 1e-12)
			near(t, about+" protrusion", f.Protrusion, worst.protrusion, 1e-8)
			if math.IsInf(worst.clearance, 1) != math.IsInf(f.TipClearance, 1) {
				t.Fatalf("%s: clearance %g, corners say %g", about, f.TipClearance, worst.clearance)
			} else if !math.IsInf(worst.clearance, 1) {
				near(t, about+" clearance", f.TipClearance, worst.clearance, 1e-12)
			}
		}
	}
	if fitting < 200 || conflicts < 200 {
		t.Errorf("the random joints are one-sided: %d fit, %d cannot", fitting, conflicts)
	}
}

// At the least length the engagement is exactly what is needed, and a hair less is not enough.
func TestWindowIsTight(t *testing.T) {
	for _, limits := range []func(float64) Span{nil, js15, func(l float64) Span { return Span{l * 0.99, l * 1.01} }} {
		for _, into := range []Into{
			SlotNut{Lip: pm(1.5, 0.1), Thick: pm(4.4, 0.1), Depth: pm(9.6, 0.1), Clearance: UsualTipClearance, Needed: 2.7 * mm},
			TappedHole{Depth: pm(18, 0.3), Needed: 12.284 * mm},
		} {
			j := Joint{Stack: []Span{pm(1.6, 0.1), pm(6.3, 0.15)}, Screw: Screw{Pitch: 1 * mm, Point: 0.4 * mm, Limits: limits}, Into: into}
			w := must(j.Window())(t)
			if w.Conflict != nil {
				t.Fatalf("%+v: %+v", into, *w.Conflict)
			}
			seat := into.seat(j.Screw)
			near(t, "engagement at the least", must(j.Fit(w.Least))(t).Engagement, seat.needed, 1e-12)
			near(t, "clearance at the most", must(j.Fit(w.Most))(t).TipClearance, seat.floor-seat.most, 1e-12)
			for length, want := range map[float64]bool{w.Least: true, w.Most: true, w.Least - 2e-12: false, w.Most + 2e-12: false} {
				if got := must(w.Holds(length))(t); got != want {
					t.Errorf("%T %.15g: %v", into, length, got)
				}
			}
		}
	}
}

// Every size in other units gives the same window in other units.
func TestWindowScales(t *testing.T) {
	const k = 25.4
	r := rand.New(rand.NewPCG(3, 5))
	for range 200 {
		j := randomJoint(r)
		j.Screw.Limits = nil
		big := j
		big.Stack = nil
		times := func(s Span) Span { return Span{s.Min * k, s.Max * k} }
		for _, s := range j.Stack {
			big.Stack = append(big.Stack, times(s))
		}
		big.Screw.Pitch *= k
		big.Screw.Point *= k
		switch into := j.Into.(type) {
		case Nut:
			big.Into = Nut{times(into.Height), into.PitchesShown, into.Room * k}
		case SlotNut:
			big.Into = SlotNut{times(into.Lip), times(into.Thick), times(into.Depth), into.Clearance * k, into.Needed * k}
		case TappedHole:
			big.Into = TappedHole{times(into.Depth), into.Needed * k, into.Through, into.Room * k}
		}
		a, b := must(j.Window())(t), must(big.Window())(t)
		near(t, "least", b.Least/k, a.Least, 1e-12)
		if !math.IsInf(a.Most, 1) {
			near(t, "most", b.Most/k, a.Most, 1e-12)
		}
		if (a.Conflict == nil) != (b.Conflict == nil) {
			t.Errorf("conflict %v in one unit, %v in the other", a.Conflict, b.Conflict)
		}
	}
}

// A thicker layer moves the window by itself, a looser one narrows it, and the order does not matter.
func TestWindowFollowsTheStack(t *testing.T) {
	into := SlotNut{Lip: pm(2, 0.1), Thick: pm(5, 0.1), Depth: pm(12, 0.2), Clearance: UsualTipClearance, Needed: 3.1 * mm}
	window := func(stack ...Span) Window {
		return must(Joint{Stack: stack, Screw: Screw{Pitch: 1.25 * mm}, Into: into}.Window())(t)
	}
	base := window(pm(1.6, 0), pm(6, 0.1))
	thick := window(pm(1.6, 0), pm(6.7, 0.1))
	near(t, "least moves", thick.Least-base.Least, 0.7*mm, 1e-12)
	near(t, "most moves", thick.Most-base.Most, 0.7*mm, 1e-12)
	loose := window(pm(1.6, 0), pm(6, 0.25))
	near(t, "least rises", loose.Least-base.Least, 0.15*mm, 1e-12)
	near(t, "most falls", loose.Most-base.Most, -0.15*mm, 1e-12)
	turned := window(pm(6, 0.1), pm(1.6, 0))
	near(t, "order, least", turned.Least, base.Least, 1e-15)
	near(t, "order, most", turned.Most, base.Most, 1e-15)
}

// The choice against trying every count of washers and every length at every corner.
func TestChooseAgainstEveryChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 2))
	washer := pm(1.6, 0.15)
	seen := map[int]int{}
	for range 250 {
		j := randomJoint(r)
		want, found := Choice{}, false
	search:
		for n := range 4 {
			padded := j
			for range n {
				padded.Stack = append(slices.Clone(padded.Stack), washer)
			}
			for _, l := range stock {
				if _, ok := brute(padded, must(j.Screw.limits(l))(t)); ok {
					want, found = Choice{n, l}, true
					break search
				}
			}
		}
		got, ok, err := j.Choose(stock, washer, 3)
		if err != nil {
			t.Fatal(err)
		}
		if ok != found || got != want {
			t.Fatalf("%+v: chose %+v %v, trying all gives %+v %v", j, got, ok, want, found)
		}
		if ok {
			seen[got.Washers]++
		}
	}
	if seen[0] == 0 || seen[1] == 0 || seen[2]+seen[3] == 0 {
		t.Errorf("the random joints try too little: %v", seen)
	}
}

func TestStockIsSortedAndOnce(t *testing.T) {
	j := Joint{Stack: []Span{Exactly(5 * mm)}, Screw: Screw{Pitch: 1 * mm}, Into: Nut{Height: Exactly(5 * mm), PitchesShown: 1, Room: 10 * mm}}
	got := must(must(j.Window())(t).Stock(scaled(mm, 20, 12, 16, 12, 25, 10)))(t)
	if diff := cmp.Diff(scaled(mm, 12, 16, 20), got); diff != "" {
		t.Error(diff)
	}
}

func TestWindowRefuses(t *testing.T) {
	nut := Nut{Height: Exactly(4 * mm), PitchesShown: 1, Room: math.Inf(1)}
	screw := Screw{Pitch: 1 * mm}
	nan := math.NaN()
	for what, j := range map[string]Joint{
		"nothing":          {Screw: screw},
		"no pitch":         {Into: nut},
		"negative point":   {Screw: Screw{Pitch: 1 * mm, Point: -1}, Into: nut},
		"limits turned":    {Stack: []Span{{2, 1}}, Screw: screw, Into: nut},
		"negative layer":   {Stack: []Span{{-1, 1}}, Screw: screw, Into: nut},
		"NaN layer":        {Stack: []Span{{nan, nan}}, Screw: screw, Into: nut},
		"endless layer":    {Stack: []Span{Exactly(math.Inf(1))}, Screw: screw, Into: nut},
		"no nut":           {Screw: screw, Into: Nut{}},
		"negative room":    {Screw: screw, Into: Nut{Height: Exactly(1), Room: -1}},
		"NaN room":         {Screw: screw, Into: TappedHole{Depth: Exactly(1), Needed: 1, Through: true, Room: nan}},
		"nothing needed":   {Screw: screw, Into: SlotNut{Thick: Exactly(1), Depth: Exactly(3)}},
		"no thread":        {Screw: screw, Into: TappedHole{Needed: 1}},
		"negative gap":     {Screw: screw, Into: SlotNut{Thick: Exactly(1), Depth: Exactly(3), Clearance: -1, Needed: 1}},
		"limits elsewhere": {Screw: Screw{Pitch: 1, Limits: func(l float64) Span { return Span{l + 1, l + 2} }}, Into: nut},
		"endless growth":   {Screw: Screw{Pitch: 1, Limits: func(l float64) Span { return Span{0, 2 * l} }}, Into: nut},
	} {
		if w, err := j.Window(); err == nil {
			t.Errorf("%s was taken: %+v", what, w)
		}
	}
	good := Joint{Screw: screw, Into: nut}
	for _, l := range []float64{0, -1, nan, math.Inf(1)} {
		if _, err := good.Fit(l); err == nil {
			t.Errorf("length %g was taken", l)
		}
		if _, err := must(good.Window())(t).Stock([]float64{l}); err == nil {
			t.Errorf("stock length %g was taken", l)
		}
	}
	if _, _, err := good.Choose(stock, Span{2, 1}, 1); err == nil {
		t.Error("a washer with its limits turned was taken")
	}
}

// Whatever the sizes: no panic, and a length that is said to fit has the engagement and the clearance.
func FuzzWindow(f *testing.F) {
	f.Add(0.008, 0.0002, 0.0015, 0.0034, 0.0066, 0.0022, 0.0005, 0.016)
	f.Add(0.0, 0.0, 0.0, 1e-9, 1e300, 1e-300, 0.0, 1e300)
	f.Add(1.0, -1.0, math.NaN(), 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, grip, tolerance, lip, thick, depth, needed, clearance, length float64) {
		j := Joint{
			Stack: []Span{{grip - tolerance, grip + tolerance}},
			Screw: Screw{Pitch: 1 * mm, Limits: js15},
			Into:  SlotNut{Lip: Exactly(lip), Thick: Exactly(thick), Depth: Exactly(depth), Clearance: clearance, Needed: needed},
		}
		w, err := j.Window()
		if err != nil || grip > 10 || depth > 10 || length > 10 {
			return // sums of lengths above 10 m round by more than the allowance
		}
		if ok, err := w.Holds(length); err != nil || !ok {
			return
		}
		fit, err := j.Fit(length)
		if err != nil {
			t.Fatal(err)
		}
		if fit.Engagement < needed-1e-12 || fit.TipClearance < clearance-1e-12 {
			t.Errorf("%+v at %g: %+v", j, length, fit)
		}
	})
}

func benchmarkJoint() Joint {
	return Joint{
		Stack: []Span{pm(1, 0.1), pm(5.5, 0.2), pm(2, 0.1)},
		Screw: Screw{Pitch: 0.8 * mm, Limits: js15},
		Into:  SlotNut{Lip: pm(1.5, 0.1), Thick: pm(3.4, 0.1), Depth: pm(6.6, 0.1), Clearance: UsualTipClearance, Needed: 2.2 * mm},
	}
}

func BenchmarkWindow(b *testing.B) {
	j := benchmarkJoint()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := j.Window(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChoose(b *testing.B) {
	j, washer := benchmarkJoint(), pm(1, 0.1)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := j.Choose(stock, washer, 3); err != nil {
			b.Fatal(err)
		}
	}
}
