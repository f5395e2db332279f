package drawing

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestPivot measures the sections of pivots with the scale that their rulers show. Source: sums of the sizes in the spec of the tray lifter.
func TestPivot(t *testing.T) {
	sections := map[string]checks.PivotSection{}
	for _, s := range checks.PivotSections(load(t, top, "examples/tray-lifter")) {
		sections[s.Point] = s
	}
	for _, c := range []struct {
		point, class, words string
		thick, gap          float64 // mm
		layers              int
	}{
		{"B", "other", "block on post 13 mm", 13, 0.15, 5},
		{"B", "link", "link upper 20 mm, runs", 20, 0.15, 5},
		{"B", "steel", "washer 2 mm", 2, 0.15, 5},
		{"C", "part", "link carrier 8 mm, held", 8, 0.15, 7},
	} {
		s := sections[c.point]
		p := Pivot(s, "m")
		root := read(t, p)
		ruler, shows := 0.0, 0.0
		thick := map[float64]int{}
		root.each(func(e element) {
			switch {
			case e.XMLName.Local == "line" && e.attr("x1") == "12" && ruler == 0:
				ruler = e.number(t, "x2") - 12
			case e.XMLName.Local == "text" && strings.HasSuffix(e.Text, " mm") && !strings.Contains(strings.TrimSuffix(e.Text, " mm"), " "):
				shows, _ = strconv.ParseFloat(strings.TrimSuffix(e.Text, " mm"), 64)
			}
		})
		root.each(func(e element) {
			if e.XMLName.Local == "rect" && e.attr("class") == c.class {
				thick[math.Round(e.number(t, "height")/ruler*shows*100)/100]++
			}
		})
		if thick[c.thick] < 2 {
			t.Errorf("%s: no %s of %g mm, but %v", c.point, c.class, c.thick, thick)
		}
		if len(s.Layers) != c.layers || !strings.Contains(p.SVG, ">"+c.words+"<") {
			t.Errorf("%s: %d layers, and no word of %q", c.point, len(s.Layers), c.words)
		}
		for _, g := range s.Gaps { // the same on both sides
			if got := (g.To - g.From) * 1e3; math.Abs(got-c.gap) > 1e-9 || !g.Running {
				t.Errorf("%s: a gap of %g mm", c.point, got)
			}
		}
		if len(s.Gaps) != 2 || !strings.Contains(p.SVG, ">gap "+s.Gap+"<") {
			t.Errorf("%s: %d gaps, %q", c.point, len(s.Gaps), s.Gap)
		}
	}
}

// TestPivotKinds: a sleeve lets what runs run between what the bolt clamps; what is too thick for its room says so in words.
func TestPivotKinds(t *testing.T) {
	m := load(t, top, "examples/dough-clamp")
	for _, s := range checks.PivotSections(m) {
		if s.Point != "O" {
			continue
		}
		svg := Pivot(s, "m").SVG
		for _, words := range []string{"link frame 10 mm, clamped", "link crank 30 mm, runs", "sleeve 30.3 mm", "lock nut, 25 N·m"} {
			if !strings.Contains(svg, ">"+words+"<") {
				t.Errorf("no word of %q", words)
			}
		}
	}
	o := m.Pivots["O"]
	for _, size := range []*float64{&o.Sleeve.Length.SI, &o.Sleeve.Length.Least, &o.Sleeve.Length.Most} {
		*size -= 1e-3
	}
	m.Pivots["O"] = o
	found := false
	for _, s := range checks.PivotSections(m) {
		found = found || strings.Contains(Pivot(s, "m").SVG, ">CLASH: 0.35 mm too thick<")
	}
	if !found {
		t.Error("a sleeve that is too short clashes with nothing")
	}
}
