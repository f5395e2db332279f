package standards

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// Deviations in micrometres: lower, upper. The size in mm.
func TestLimitsAgainstISO286(t *testing.T) {
	for _, group := range []struct {
		source string
		rows   []struct {
			class        string
			size         float64
			lower, upper float64
		}
	}{
		{"ISO 286-2:2010, H and h", []struct {
			class              string
			size, lower, upper float64
		}{
			{"H7", 4, 0, 12}, {"H8", 4, 0, 18}, {"H9", 4, 0, 30}, {"h6", 4, -8, 0}, {"h9", 4, -30, 0},
			{"H7", 8, 0, 15}, {"H8", 8, 0, 22}, {"H9", 8, 0, 36}, {"h6", 8, -9, 0}, {"h9", 8, -36, 0},
			{"H7", 12, 0, 18}, {"H8", 12, 0, 27}, {"H9", 12, 0, 43}, {"h6", 12, -11, 0}, {"h9", 12, -43, 0},
			// A size on the limit belongs to the range below.
			{"H7", 10, 0, 15}, {"H7", 10.001, 0, 18}, {"H7", 6, 0, 12}, {"H7", 3, 0, 10}, {"H7", 120, 0, 35},
		}},
		{"ISO 286-2:2010, g and f (from memory)", []struct {
			class              string
			size, lower, upper float64
		}{
			{"g6", 4, -12, -4}, {"f7", 4, -22, -10}, {"g6", 8, -14, -5}, {"f7", 8, -28, -13}, {"g6", 12, -17, -6}, {"f7", 12, -34, -16},
		}},
		{"a maker's technical reference after ISO 286-2: JS, K, M, N", []struct {
			class              string
			size, lower, upper float64
		}{
			{"K7", 2, -10, 0}, {"M7", 2, -12, -2}, {"N7", 2, -14, -4}, {"JS7", 2, -5, 5},
			{"K7", 8, -10, 5}, {"M7", 8, -15, 0}, {"N7", 8, -19, -4}, {"JS7", 8, -7.5, 7.5}, {"JS8", 8, -11, 11},
			{"K7", 12, -12, 6}, {"M7", 12, -18, 0}, {"N7", 12, -23, -5}, {"JS9", 12, -21.5, 21.5},
			{"K7", 25, -15, 6}, {"M7", 25, -21, 0}, {"N7", 25, -28, -7},
			{"K7", 40, -18, 7}, {"N7", 40, -33, -8}, {"K7", 60, -21, 9}, {"N7", 60, -39, -9}, {"K7", 100, -25, 10}, {"N7", 100, -45, -10},
			{"H11", 12, 0, 110}, {"H12", 25, 0, 210}, {"H13", 60, 0, 460},
		}},
		{"a maker's table after ISO 286-2: h, m", []struct {
			class              string
			size, lower, upper float64
		}{
			{"m6", 2, 2, 8}, {"m6", 4, 4, 12}, {"m6", 8, 6, 15}, {"m6", 12, 7, 18}, {"m6", 25, 8, 21}, {"h8", 25, -33, 0},
		}},
		{"ISO 286-2:1988/Cor.1:2006: E8 at 80 to 120 is +126", []struct {
			class              string
			size, lower, upper float64
		}{
			{"E8", 100, 72, 126},
		}},
		{"shoulder screws f9, ISO 7379, as a maker prints the limits", []struct {
			class              string
			size, lower, upper float64
		}{
			{"f9", 6, -40, -10}, {"f9", 8, -49, -13}, {"f9", 12, -59, -16}, {"f9", 20, -72, -20},
		}},
		{"textbook, H7/s6 at 50 mm", []struct {
			class              string
			size, lower, upper float64
		}{
			{"H7", 50, 0, 25}, {"s6", 50, 43, 59},
		}},
	} {
		for _, c := range group.rows {
			limit := Shaft
			if c.class[0] <= 'Z' {
				limit = Hole
			}
			lower, upper, err := limit(c.class, c.size*mm)
			if err != nil {
				t.Errorf("%s: %v", group.source, err)
				continue
			}
			what := fmt.Sprintf("%s: %s at %g", group.source, c.class, c.size)
			near(t, what+" lower", lower, c.lower*1e-6, 1e-15)
			near(t, what+" upper", upper, c.upper*1e-6, 1e-15)
		}
	}
}

// Clearances of the usual fits, micrometres: H7/g6 at 10: 5 to 29; H8/f7 at 12: 16 to 61; H7/h6 at 6: 0 to 20. ISO 286-2:2010.
func TestFits(t *testing.T) {
	for _, c := range []struct {
		hole, shaft       string
		size, least, most float64
	}{{"H7", "g6", 10, 5, 29}, {"H8", "f7", 12, 16, 61}, {"H7", "h6", 6, 0, 20}} {
		holeLow, holeHigh, err1 := Hole(c.hole, c.size*mm)
		shaftLow, shaftHigh, err2 := Shaft(c.shaft, c.size*mm)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		near(t, c.hole+c.shaft+" least", holeLow-shaftHigh, c.least*1e-6, 1e-12)
		near(t, c.hole+c.shaft+" most", holeHigh-shaftLow, c.most*1e-6, 1e-12)
	}
}

// One size inside each range of ISO 286-1, with the range's geometric mean, mm.
var ranges = []struct{ size, over, upTo float64 }{
	{2, 1, 3}, {4, 3, 6}, {8, 6, 10}, {12, 10, 18}, {25, 18, 30}, {35, 30, 50}, {70, 50, 80}, {110, 80, 120},
}

// ISO 286-1: i = 0.45 D^(1/3) + 0.001 D (um, D mm); IT5 = 7i, then 10, 16, 25, 40, 64, 100, 160, 250, 400, 640, 1000 i.
// The standard rounds: within 8 %; its row up to 3 mm lies up to 16 % above the formula.
func TestGradesByFormula(t *testing.T) {
	for _, r := range ranges {
		d := math.Sqrt(r.over * r.upTo)
		i := 0.45*math.Cbrt(d) + 0.001*d
		within := 0.08
		if r.upTo <= 3 {
			within = 0.16
		}
		before := 0.0
		for n, factor := range []float64{7, 10, 16, 25, 40, 64, 100, 160, 250, 400, 640, 1000} {
			grade := strconv.Itoa(n + 5)
			_, it, err := Hole("H"+grade, r.size*mm)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("IT%s at %g", grade, r.size), it, factor*i*1e-6, within*factor*i*1e-6+0.5e-6)
			if it <= before {
				t.Errorf("IT%s at %g is not above the grade before", grade, r.size)
			}
			before = it
		}
	}
}

// ISO 286-1:1988 annex A, micrometres, D the geometric mean of the main range in mm: d 16 D^0.44, e 11 D^0.41, f 5.5 D^0.41, g 2.5 D^0.34, m IT7-IT6, n 5 D^0.34.
// The standard rounds: within 10 % and 1 um. Its row up to 3 mm has its own m and n.
func TestDeviationsByFormula(t *testing.T) {
	for _, r := range ranges {
		d := math.Sqrt(r.over * r.upTo)
		check := func(class string, deviation, want float64) {
			t.Helper()
			near(t, fmt.Sprintf("%s at %g", class, r.size), deviation, want*1e-6, 0.1*math.Abs(want)*1e-6+1e-6)
		}
		upper := func(class string) float64 { _, v, err := Shaft(class, r.size*mm); return must(v, err)(t) }
		lower := func(class string) float64 { v, _, err := Shaft(class, r.size*mm); return must(v, err)(t) }
		check("d9", upper("d9"), -16*math.Pow(d, 0.44))
		check("e8", upper("e8"), -11*math.Pow(d, 0.41))
		check("f7", upper("f7"), -5.5*math.Pow(d, 0.41))
		check("g6", upper("g6"), -2.5*math.Pow(d, 0.34))
		if r.upTo <= 3 {
			continue
		}
		check("n6", lower("n6"), 5*math.Pow(d, 0.34))
		_, it7, _ := Hole("H7", r.size*mm)
		_, it6, _ := Hole("H6", r.size*mm)
		check("m6", lower("m6"), (it7-it6)*1e6)
		// p6 clears H7: its least interference is above zero, by up to 6 um.
		if v := lower("p6") - it7; v < -0.1e-6 || v > 6e-6 {
			t.Errorf("p6 at %g: %g above H7", r.size, v)
		}
	}
}

// ISO 286-1: a hole letter mirrors its shaft. EI = -es for D to H; ES = -ei + delta for K, M, N up to IT8 and P up to IT7, delta = ITn - IT(n-1),
// without delta up to 3 mm and for coarser grades, where N (above 3 mm) is 0.
func TestHolesMirrorShafts(t *testing.T) {
	for _, r := range ranges {
		size := r.size * mm
		for _, letter := range []string{"d", "e", "f", "g", "h"} {
			ei, ES, err1 := Hole(strings.ToUpper(letter)+"8", size)
			lower, es, err2 := Shaft(letter+"8", size)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			near(t, fmt.Sprintf("%s8 at %g", letter, r.size), ei, -es, 1e-15)
			near(t, fmt.Sprintf("%s8 at %g", letter, r.size), ES, -lower, 1e-15)
		}
		_, it7, _ := Hole("H7", size)
		_, it6, _ := Hole("H6", size)
		delta := it7 - it6
		if r.size <= 3 {
			delta = 0
		}
		for _, letter := range []string{"k", "m", "n", "p"} {
			_, ES, err1 := Hole(strings.ToUpper(letter)+"7", size)
			ei, _, err2 := Shaft(letter+"7", size)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			near(t, fmt.Sprintf("%s7 at %g", letter, r.size), ES, -ei+delta, 1e-12)
		}
		_, n9, err1 := Hole("N9", size)
		_, p9, err2 := Hole("P9", size)
		n, _, err3 := Shaft("n9", size)
		p, _, err4 := Shaft("p9", size)
		if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
			t.Fatal(err1, err2, err3, err4)
		}
		if r.size > 3 {
			n = 0
		}
		near(t, fmt.Sprintf("N9 at %g", r.size), n9, -n, 1e-15)
		near(t, fmt.Sprintf("P9 at %g", r.size), p9, -p, 1e-15)
	}
}

// Every class at every size: the zone is as wide as its grade, js is symmetric, and letters keep their order.
func TestEveryClassAtEverySize(t *testing.T) {
	for size := 0.5; size <= 120; size += 0.5 {
		for _, all := range []struct {
			classes []string
			limit   func(string, float64) (float64, float64, error)
		}{{HoleClasses(), Hole}, {ShaftClasses(), Shaft}} {
			for _, class := range all.classes {
				lower, upper, err := all.limit(class, size*mm)
				if err != nil {
					t.Fatal(err)
				}
				_, it, err := Hole("H"+strings.TrimLeft(class, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"), size*mm)
				if err != nil {
					t.Fatal(err)
				}
				near(t, fmt.Sprintf("%s at %g", class, size), upper-lower, it, 1e-15)
				if strings.HasPrefix(strings.ToLower(class), "js") && lower != -upper {
					t.Errorf("%s at %g is not symmetric", class, size)
				}
			}
		}
		order := func(limit func(string, float64) (float64, float64, error), classes ...string) {
			before := math.Inf(-1)
			for _, class := range classes {
				lower, upper, err := limit(class, size*mm)
				if err != nil {
					t.Fatal(err)
				}
				if middle := (lower + upper) / 2; middle <= before {
					t.Errorf("%s at %g is out of order", class, size)
				} else {
					before = middle
				}
			}
		}
		order(Shaft, "c7", "d7", "e7", "f7", "g7", "h7", "js7", "k7", "m7", "n7", "p7", "s7")
		order(Hole, "P7", "N7", "M7", "K7", "JS7", "H7", "G7", "F7", "E7", "D7")
	}
}

// ISO 2768-1:1989 class m, mm, from memory.
func TestGeneralTolerance(t *testing.T) {
	for _, c := range [][2]float64{{2, 0.1}, {6, 0.1}, {6.1, 0.2}, {30, 0.2}, {100, 0.3}, {250, 0.5}, {900, 0.8}, {1500, 1.2}, {3000, 2}} {
		near(t, fmt.Sprint(c[0]), must(GeneralTolerance(c[0]*mm))(t), c[1]*mm, 1e-12)
	}
}

// A size worked out in floating point falls into the range it is meant for.
func TestSizesInOtherUnits(t *testing.T) {
	for _, size := range []float64{0.1 * 0.1, 1.0 / 100, 10 * 1e-3, 0.39370078740157477 * 0.0254, 3 * (0.01 / 3)} {
		if _, upper, err := Hole("H7", size); err != nil || math.Abs(upper-15e-6) > 1e-15 {
			t.Errorf("%.18g: %g, %v", size, upper, err)
		}
	}
}
