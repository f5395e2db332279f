package people

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

const mm = 1e-3

// printed is a table as its source prints it: up to, slot, square, round, all in mm.
type printed [][4]float64

var published = []struct {
	source string
	who    Ages
	rows   printed
}{
	{"ISO 13857:2019 table 4, by DGUV Information 208-022 table 2 (persons of 14 years and over)", From14, printed{
		{4, 2, 2, 2},
		{6, 10, 5, 5},
		{8, 20, 15, 5},
		{10, 80, 25, 20},
		{12, 100, 80, 80},
		{20, 120, 120, 120},
		{30, 850, 120, 120},
		{40, 850, 200, 120},
		{120, 850, 850, 850},
	}},
	{"ISO 13857:2019 table 5 (persons of 3 years and over), from memory", From3, printed{
		{4, 2, 2, 2},
		{6, 20, 10, 10},
		{8, 40, 30, 20},
		{10, 80, 60, 60},
		{12, 100, 80, 80},
		{20, 900, 120, 120},
		{30, 900, 550, 120},
		{100, 900, 900, 900},
	}},
}

var shapes = []Shape{Slot, Square, Round}

func distance(t *testing.T, o Opening, who Ages) float64 {
	t.Helper()
	d, err := GuardDistance(o, who)
	if err != nil {
		t.Fatalf("%+v for %s: %v", o, who, err)
	}
	return d
}

// Each row holds from just above the row before up to its limit, however the limit was reckoned.
func TestGuardDistanceAgainstPublishedTables(t *testing.T) {
	for _, table := range published {
		before := 0.0
		for _, r := range table.rows {
			inch := r[0] / 25.4
			for i, s := range shapes {
				for _, e := range []float64{before*mm + 1e-5, (before + r[0]) / 2 * mm, r[0] * mm, r[0] / 1000, inch * 0.0254, 0.1*r[0]*mm + 0.9*r[0]*mm} {
					if got, want := distance(t, Opening{Shape: s, Width: e}, table.who), r[1+i]*mm; math.Abs(got-want) > 1e-12 {
						t.Errorf("%s: %s of %.17g m: got %g, want %g", table.source, s, e, got, want)
					}
				}
			}
			before = r[0]
		}
	}
}

func TestShortSlots(t *testing.T) {
	for _, r := range []struct {
		source        string
		who           Ages
		width, length float64 // mm
		want          float64 // mm
	}{
		{"ISO 13857:2019 table 4, footnote, by DGUV Information 208-022", From14, 30, 65, 200},
		{"same", From14, 21, 64, 200},
		{"same", From14, 30, 65.1, 850},
		{"same, length not known", From14, 30, 0, 850},
		{"same, the footnote stands at one row", From14, 30.1, 65, 850},
		{"same, and is no increase", From14, 20, 65, 120},
		{"ISO 13857:2019 table 5, footnote, from memory", From3, 20, 40, 120},
		{"same", From3, 20, 40.1, 900},
		{"same, the footnote stands at one row", From3, 20.1, 40, 900},
		{"same, and is no increase", From3, 12, 40, 100},
		{"table 5 does not know the footnote of table 4, from memory", From3, 30, 65, 900},
	} {
		if got := distance(t, Opening{Shape: Slot, Width: r.width * mm, Length: r.length * mm}, r.who); math.Abs(got-r.want*mm) > 1e-12 {
			t.Errorf("%s: slot %g x %g for %s: got %g mm, want %g", r.source, r.width, r.length, r.who, got/mm, r.want)
		}
	}
}

// openings visits all widths up to 100 mm in steps of 0.1 mm, with and without a slot length.
func openings(visit func(o Opening)) {
	for tenths := 1; tenths <= 1000; tenths++ {
		w := float64(tenths) / 1e4
		for _, s := range shapes {
			visit(Opening{Shape: s, Width: w})
		}
		for _, l := range []float64{0.040, 0.065, 0.300} {
			if l >= w {
				visit(Opening{Shape: Slot, Width: w, Length: l})
			}
		}
	}
}

// A larger opening never allows a shorter distance; nor does a slot beside a square of its width, nor a square beside the round hole.
func TestGuardDistanceNeverFalls(t *testing.T) {
	for _, who := range []Ages{From14, From3} {
		last := map[string]float64{}
		openings(func(o Opening) {
			d := distance(t, o, who)
			line := fmt.Sprint(o.Shape, o.Length)
			if d < last[line] {
				t.Errorf("%s: %+v needs %g, less than a smaller one with %g", who, o, d, last[line])
			}
			last[line] = d
			if o.Shape == Slot {
				o.Length = 0
				slot := distance(t, o, who)
				square := distance(t, Opening{Shape: Square, Width: o.Width}, who)
				round := distance(t, Opening{Shape: Round, Width: o.Width}, who)
				if slot < d || slot < square || square < round {
					t.Errorf("%s: width %g: slot %g (with length %g), square %g, round %g", who, o.Width, slot, d, square, round)
				}
			}
		})
	}
}

func TestChildrenAreNeverAllowedNearer(t *testing.T) {
	farther := 0
	openings(func(o Opening) {
		grown, child := distance(t, o, From14), distance(t, o, From3)
		if child < grown {
			t.Errorf("%+v: %g for children, %g for grown-ups", o, child, grown)
		}
		if child > grown {
			farther++
		}
	})
	if farther == 0 {
		t.Error("the two tables are one")
	}
}

func TestWidestOpeningIsTheConverse(t *testing.T) {
	for _, table := range published {
		last := table.rows[len(table.rows)-1][0] * mm
		for tenths := 0; tenths <= 10000; tenths++ {
			d := float64(tenths) / 1e4
			for _, s := range shapes {
				for _, length := range []float64{0, 0.040, 0.065, 0.300} {
					if s != Slot && length > 0 {
						continue
					}
					w, err := WidestOpening(s, length, d, table.who)
					if err != nil {
						t.Fatal(err)
					}
					if w > 0 && distance(t, Opening{s, w, length}, table.who) > d+1e-12 {
						t.Fatalf("%s: %s of %g with length %g is advised at %g and not allowed there", table.source, s, w, length, d)
					}
					if w == last || length > 0 && w == length {
						continue
					}
					if distance(t, Opening{s, w + 1e-5, length}, table.who) <= d {
						t.Fatalf("%s: %s wider than %g with length %g is allowed at %g", table.source, s, w, length, d)
					}
				}
			}
		}
	}
}

// Read off the published tables by eye.
func TestWidestOpening(t *testing.T) {
	for _, r := range []struct {
		shape                  Shape
		who                    Ages
		length, distance, want float64 // mm
	}{
		{Square, From14, 0, 200, 40},
		{Square, From14, 0, 199, 30},
		{Square, From3, 0, 200, 20},
		{Slot, From14, 0, 200, 20},
		{Slot, From14, 65, 200, 30},
		{Slot, From14, 25, 200, 25},
		{Slot, From3, 0, 200, 12},
		{Slot, From3, 40, 200, 20},
		{Round, From14, 0, 120, 40},
		{Round, From3, 0, 120, 30},
		{Slot, From14, 0, 1.9, 0},
		{Slot, From14, 0, 0, 0},
		{Slot, From14, 0, 5000, 120},
		{Slot, From3, 0, 899, 12},
		{Square, From14, 0, math.Nextafter(200, 0), 40}, // 200 mm, lost in conversion
	} {
		got, err := WidestOpening(r.shape, r.length*mm, r.distance*mm, r.who)
		if err != nil || math.Abs(got-r.want*mm) > 1e-12 {
			t.Errorf("%+v: got %g mm, %v", r, got/mm, err)
		}
	}
}

func TestTooLarge(t *testing.T) {
	for _, r := range []struct {
		who          Ages
		width, limit float64
	}{{From14, 0.1201, 0.120}, {From3, 0.1001, 0.100}, {From3, 0.120, 0.100}} {
		for _, s := range shapes {
			_, err := GuardDistance(Opening{Shape: s, Width: r.width}, r.who)
			var large *TooLarge
			if !errors.As(err, &large) {
				t.Fatalf("%s of %g for %s: got %v", s, r.width, r.who, err)
			}
			if *large != (TooLarge{r.width, r.limit, r.who}) {
				t.Errorf("got %+v", *large)
			}
			if !strings.Contains(err.Error(), "over or around") {
				t.Errorf("the error does not say what to do: %v", err)
			}
		}
	}
}

func TestGuardRefusesNonsense(t *testing.T) {
	for _, r := range []struct {
		o    Opening
		who  Ages
		says string
	}{
		{Opening{Shape: "oval", Width: 0.01}, From14, `"oval"`},
		{Opening{Width: 0.01}, From14, `""`},
		{Opening{Shape: Slot}, From14, "opening must be above zero"},
		{Opening{Shape: Slot, Width: -0.01}, From14, "above zero"},
		{Opening{Shape: Slot, Width: math.NaN()}, From14, "above zero"},
		{Opening{Shape: Slot, Width: math.Inf(1)}, From14, "finite"},
		{Opening{Shape: Slot, Width: 0.01, Length: math.NaN()}, From14, "length"},
		{Opening{Shape: Slot, Width: 0.01, Length: -1}, From14, "length"},
		{Opening{Shape: Slot, Width: 0.02, Length: 0.01}, From14, "shorter side"},
		{Opening{Shape: Square, Width: 0.02, Length: 0.03}, From14, "no length"},
		{Opening{Shape: Slot, Width: 0.01}, Ages(7), "ages 7"},
	} {
		if _, err := GuardDistance(r.o, r.who); err == nil || !strings.Contains(err.Error(), r.says) {
			t.Errorf("%+v: got %v, want it to say %q", r.o, err, r.says)
		}
	}
	for _, d := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := WidestOpening(Slot, 0, d, From14); err == nil {
			t.Errorf("a distance of %g is taken", d)
		}
	}
	if _, err := WidestOpening("oval", 0, 1, From14); err == nil {
		t.Error("an oval is taken")
	}
}

// The tables are what the code reads rows from in order: limits rise, distances don't fall, and a footnote only ever allows less.
func TestTablesAreInOrder(t *testing.T) {
	for who, table := range tables {
		for i, r := range table {
			if r.short > 0 && !(r.shortSlot < r.slot) || r.short == 0 && r.shortSlot != 0 {
				t.Errorf("%s, row up to %g: footnote %g at %g", who, r.upTo, r.shortSlot, r.short)
			}
			if i == 0 {
				continue
			}
			b := table[i-1]
			if r.upTo <= b.upTo || r.slot < b.slot || r.square < b.square || r.round < b.round {
				t.Errorf("%s: row up to %g is out of order", who, r.upTo)
			}
			if r.short > 0 && r.shortSlot < b.slot {
				t.Errorf("%s: a short slot in the row up to %g needs less than a long one in the row before", who, r.upTo)
			}
		}
	}
}

func BenchmarkGuardDistance(b *testing.B) {
	for b.Loop() {
		if _, err := GuardDistance(Opening{Shape: Square, Width: 0.04}, From3); err != nil {
			b.Fatal(err)
		}
	}
}
