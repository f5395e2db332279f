package profiles

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

func near(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	if !(math.Abs(got-want) <= part*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// rounded is an angle with its root and its toes rounded, as it is rolled.
func rounded(deep, wide, wall, root, toe float64) []Corner {
	arc := func(x, y, r, from, to float64) (all []Corner) {
		for i := range 41 {
			sin, cos := math.Sincos((from + (to-from)*float64(i)/40) * math.Pi / 2)
			all = append(all, Corner{x + r*cos, y + r*sin})
		}
		return all
	}
	all := []Corner{{0, 0}, {wide, 0}}
	all = append(all, arc(wide-toe, wall-toe, toe, 0, 1)...)
	all = append(all, arc(wall+root, wall+root, root, 3, 2)...)
	all = append(all, arc(wall-toe, deep-toe, toe, 0, 1)...)
	return append(all, Corner{0, deep})
}

// TestStandardShapes: published properties in cm of sections in standards (EN 10056-1 for angles, with root radii of its table and toes of half
// of them; EN 10219-2 for tubes, with corners of 2 T outside and T inside), all to the last digit that is printed. Tables from memory; each agrees
// with the others of its row.
func TestStandardShapes(t *testing.T) {
	const cm = 1e-2
	for _, c := range []struct {
		name                            string
		shape                           Shape
		area, x, y, least, below, depth float64 // cm², cm⁴, cm: below is from the heel to the middle, 0 where it is even
	}{
		{"L 40x40x4", Shape{Outline: rounded(40e-3, 40e-3, 4e-3, 6e-3, 3e-3)}, 3.08, 4.47, 4.47, 1.86, 1.12, 4},
		{"L 50x50x5", Shape{Outline: rounded(50e-3, 50e-3, 5e-3, 7e-3, 3.5e-3)}, 4.80, 11.0, 11.0, 4.55, 1.40, 5},
		{"L 60x40x5", Shape{Outline: rounded(60e-3, 40e-3, 5e-3, 6e-3, 3e-3)}, 4.79, 17.2, 6.11, 3.54, 1.96, 6},
		{"40x40x3", Shape{Outline: Box(40e-3, 40e-3, 6e-3), Holes: [][]Corner{Box(34e-3, 34e-3, 3e-3)}}, 4.21, 9.32, 9.32, 9.32, 0, 4},
		{"60x40x3", Shape{Outline: Box(60e-3, 40e-3, 6e-3), Holes: [][]Corner{Box(54e-3, 34e-3, 3e-3)}}, 5.41, 25.4, 13.4, 13.4, 0, 6},
		{"48.3x3.2", Shape{Outline: Circle(Corner{}, 48.3e-3), Holes: [][]Corner{Circle(Corner{}, 41.9e-3)}}, 4.53, 11.6, 11.6, 11.6, 0, 4.83},
	} {
		if f := c.shape.Check(); f != nil {
			t.Errorf("%s: %v", c.name, f)
		}
		p := c.shape.Properties()
		// The last digit printed: some tables round down.
		digit := func(x float64) float64 {
			if x >= 10 {
				return 0.1 / x
			}
			return 0.01 / x
		}
		near(t, c.name+" A", p.Area/(cm*cm), c.area, digit(c.area))
		near(t, c.name+" Ix", p.X/math.Pow(cm, 4), c.x, digit(c.x))
		near(t, c.name+" Iy", p.Y/math.Pow(cm, 4), c.y, digit(c.y))
		near(t, c.name+" Iv", p.Least/math.Pow(cm, 4), c.least, digit(c.least))
		near(t, c.name+" depth", p.Depth/cm, c.depth, 2e-4)
		if c.below > 0 {
			near(t, c.name+" e", p.Centre.Y/cm, c.below, digit(c.below))
		} else {
			near(t, c.name+" bends", p.Bends, p.X, 1e-9)
			near(t, c.name+" edge", p.Edge, p.Depth/2, 1e-4)
		}
	}
	// A rectangle with a drill through its middle: W = b (h³ − d³) / 6 h, A = b (h − d).
	p := Shape{Outline: Box(30e-3, 8e-3, 0), Drilled: 12e-3}.Properties()
	near(t, "net area", p.Area, 8e-3*18e-3, 1e-12)
	near(t, "net modulus", p.Bends/p.Edge, 8e-3*(27e-6-1.728e-6)/(6*30e-3), 1e-12)
	near(t, "gross moment", p.X, 8e-3*27e-6/12, 1e-12)
	near(t, "gross area", p.Gross, 240e-6, 1e-12)
}

// TestAgainstLibraries: random sections with holes and drills against shapely and sympy (testdata/shapes.py).
func TestAgainstLibraries(t *testing.T) {
	text, err := os.ReadFile("testdata/shapes.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Outline                             [][2]float64
		Holes                               [][][2]float64
		Drilled, Area, Net, X, Y, Xy, Worst float64
		Centre                              [2]float64
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	corners := func(list [][2]float64) (out []Corner) {
		for _, c := range list {
			out = append(out, Corner{c[0], c[1]})
		}
		return out
	}
	if len(all) < 20 {
		t.Fatalf("%d shapes", len(all))
	}
	for _, c := range all {
		s := Shape{Outline: corners(c.Outline), Drilled: c.Drilled}
		for _, h := range c.Holes {
			s.Holes = append(s.Holes, corners(h))
		}
		if f := s.Check(); f != nil {
			t.Errorf("%v: %v", s, f)
			continue
		}
		// The other way round it is the same.
		back := Shape{Drilled: s.Drilled, Holes: s.Holes}
		for i := range s.Outline {
			back.Outline = append(back.Outline, s.Outline[len(s.Outline)-1-i])
		}
		for _, p := range []Properties{s.Properties(), back.Properties()} {
			near(t, "area", p.Gross, c.Area, 1e-9)
			near(t, "net area", p.Area, c.Net, 1e-9)
			near(t, "middle, x", p.Centre.X+50, c.Centre[0]+50, 1e-9)
			near(t, "middle, y", p.Centre.Y+50, c.Centre[1]+50, 1e-9)
			near(t, "Ix", p.X, c.X, 1e-9)
			near(t, "Iy", p.Y, c.Y, 1e-9)
			near(t, "Ixy", p.Product+p.X, c.Xy+c.X, 1e-9)
			near(t, "largest stress", p.Edge/p.Bends, c.Worst, 1e-7)
		}
	}
}

// TestFaults: what is no section is found, and at which corners.
func TestFaults(t *testing.T) {
	square := []Corner{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
	at := func(x, y float64) []Corner { return []Corner{{x, y}, {x + 2, y}, {x + 2, y + 2}, {x, y + 2}} }
	for name, c := range map[string]struct {
		s    Shape
		want Fault
	}{
		"bow tie":            {Shape{Outline: []Corner{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}, Fault{Crosses, -1, 0, 2}},
		"corner twice":       {Shape{Outline: []Corner{{0, 0}, {10, 0}, {10, 0}, {0, 10}}}, Fault{Twice, -1, 1, 2}},
		"back on itself":     {Shape{Outline: []Corner{{0, 0}, {10, 0}, {5, 0}, {0, 10}}}, Fault{Crosses, -1, 0, 1}},
		"on a line":          {Shape{Outline: []Corner{{0, 0}, {10, 0}, {20, 0}}}, Fault{Flat, -1, 0, 0}},
		"hole outside":       {Shape{Outline: square, Holes: [][]Corner{at(20, 20)}}, Fault{Outside, 0, 0, 0}},
		"hole over the edge": {Shape{Outline: square, Holes: [][]Corner{at(9, 4)}}, Fault{Outside, 0, 0, 0}},
		"hole that touches":  {Shape{Outline: square, Holes: [][]Corner{at(8, 4)}}, Fault{Outside, 0, 0, 0}},
		"hole in another":    {Shape{Outline: square, Holes: [][]Corner{{{1, 1}, {9, 1}, {9, 9}, {1, 9}}, at(4, 4)}}, Fault{Meet, 1, 0, 1}},
		"holes that meet":    {Shape{Outline: square, Holes: [][]Corner{at(3, 3), at(4, 4)}}, Fault{Meet, 1, 0, 1}},
		"hole that crosses":  {Shape{Outline: square, Holes: [][]Corner{{{2, 2}, {6, 6}, {6, 2}, {2, 6}}}}, Fault{Crosses, 0, 0, 2}},
		"drilled right off":  {Shape{Outline: square, Drilled: 10}, Fault{Through, -1, 0, 0}},
	} {
		if f := c.s.Check(); f == nil || *f != c.want {
			t.Errorf("%s: found %v, want %v", name, f, c.want)
		}
	}
	if f := (Shape{Outline: square, Holes: [][]Corner{at(1, 1), at(6, 6)}, Drilled: 3}).Check(); f != nil {
		t.Errorf("found %v in a sound one", f)
	}
}
