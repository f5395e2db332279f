package drawing

import (
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestScrewGroup: what the screws share adds up to what comes onto their part, by force and by moment about the elastic centre (statics); the
// worst one is ringed, and each arrow goes the way of its share.
func TestScrewGroup(t *testing.T) {
	groups := checks.HoldingOf(load(t, top, "examples/tray-lifter")).Groups
	if len(groups) != 2 {
		t.Fatalf("%d groups", len(groups))
	}
	for _, g := range groups {
		var u, w, n, turn float64
		for i, s := range g.Shares {
			u, w, n = u+s.U, w+s.W, n+s.Tension
			turn += (g.Screws[i].U-g.Middle.U)*s.W - (g.Screws[i].W-g.Middle.W)*s.U
		}
		for what, two := range map[string][2]float64{"along u": {u, g.Force.U}, "along w": {w, g.Force.W}, "off the face": {n, g.Pull}, "about the middle": {turn, g.Turns}} {
			if math.Abs(two[0]-two[1]) > 1e-6 {
				t.Errorf("%s: %s the screws have %g, and %g comes onto them", g.Name, what, two[0], two[1])
			}
		}
		p := ScrewGroup(g, "g")
		root := read(t, p)
		var holes, ring [][2]float64
		var arrows [][4]float64
		for _, e := range root.Children {
			switch {
			case e.XMLName.Local == "circle" && e.attr("class") == "void":
				holes = append(holes, [2]float64{e.number(t, "cx"), e.number(t, "cy")})
			case e.XMLName.Local == "circle" && e.attr("class") == "ring":
				ring = append(ring, [2]float64{e.number(t, "cx"), e.number(t, "cy")})
			case e.XMLName.Local == "line" && e.attr("class") == "load":
				arrows = append(arrows, [4]float64{e.number(t, "x1"), e.number(t, "y1"), e.number(t, "x2"), e.number(t, "y2")})
			}
		}
		if len(holes) != len(g.Screws) || len(ring) != 1 || ring[0] != holes[g.Worst] {
			t.Errorf("%s: %d holes, rings at %v", g.Name, len(holes), ring)
		}
		for _, a := range arrows {
			for i, h := range holes {
				if h != [2]float64{a[0], a[1]} {
					continue
				}
				s := g.Shares[i]
				if cross := (a[2]-a[0])*s.W + (a[3]-a[1])*s.U; math.Abs(cross) > 0.02*s.Shear()*math.Hypot(a[2]-a[0], a[3]-a[1]) || (a[2]-a[0])*s.U-(a[3]-a[1])*s.W <= 0 {
					t.Errorf("%s: the arrow %v does not go the way of %v", g.Name, a, s)
				}
			}
		}
		for _, s := range g.Shares {
			for says, of := range map[string]float64{" shear</text>": s.Shear(), " pull</text>": s.Tension} {
				if text := ">" + schema.Format(schema.ForceDim, math.Round(of)) + says; of > 0.5 && !strings.Contains(p.SVG, text) {
					t.Errorf("%s: %s stands nowhere", g.Name, text)
				}
			}
		}
		if !strings.HasPrefix(p.Title, "Screws of "+g.Name+", worst "+g.When) {
			t.Errorf("%s: %s", g.Name, p.Title)
		}
		if len(arrows) == 0 || !strings.Contains(p.SVG, "of what it may") {
			t.Errorf("%s: %d arrows", g.Name, len(arrows))
		}
	}
}
