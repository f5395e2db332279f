package drawing

import (
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestLinkBending: a bar that ends free carries no moment there, the largest moment is ringed beside its bar on the side that it stretches, and
// everything is to one scale (statics: free ends of bars).
func TestLinkBending(t *testing.T) {
	drawn := 0
	for name, m := range examples(t) {
		for _, b := range checks.HoldingOf(m).Bent {
			drawn++
			ends := map[int]int{}
			for _, bar := range b.Bars {
				ends[bar.From]++
				ends[bar.To]++
			}
			for _, bar := range b.Bars {
				for point, m := range map[int]float64{bar.From: bar.Moments[0].Bending, bar.To: bar.Moments[len(bar.Moments)-1].Bending} {
					if ends[point] == 1 && math.Abs(m) > 1e-6*math.Abs(b.Most.Bending) {
						t.Errorf("%s: %s: %g N·m are left at its end %s", name, b.Link, m, b.Points[point].Name)
					}
				}
			}
			root := read(t, LinkBending(b, "m"))
			var bars []element
			var ring element
			var areas []string
			for _, e := range root.Children {
				switch e.attr("class") {
				case "bar":
					bars = append(bars, e)
				case "ring":
					ring = e
				case "mesh":
					areas = append(areas, e.attr("d"))
				}
			}
			if len(bars) != len(b.Bars) || len(areas) != len(b.Bars) {
				t.Fatalf("%s: %s: %d bars and %d areas for %d", name, b.Link, len(bars), len(areas), len(b.Bars))
			}
			bar := bars[b.MostOn]
			x1, y1, x2, y2 := bar.number(t, "x1"), bar.number(t, "y1"), bar.number(t, "x2"), bar.number(t, "y2")
			long := math.Hypot(x2-x1, y2-y1)
			ux, uy := (x2-x1)/long, (y2-y1)/long
			rx, ry := ring.number(t, "cx")-x1, ring.number(t, "cy")-y1
			length := b.Bars[b.MostOn].Moments[len(b.Bars[b.MostOn].Moments)-1].X
			if at := (rx*ux + ry*uy) / long * length; math.Abs(at-b.Most.X) > 1e-3*length {
				t.Errorf("%s: %s: the ring is at %g m, want %g", name, b.Link, at, b.Most.X)
			}
			if right := ux*ry - uy*rx; right > 0 != (b.Most.Bending > 0) { // y goes down
				t.Errorf("%s: %s: the ring is on the wrong side", name, b.Link)
			}
			if want := num(ring.number(t, "cx")) + " " + num(ring.number(t, "cy")); !strings.Contains(areas[b.MostOn], want) {
				t.Errorf("%s: %s: the ring at %s is not on %s", name, b.Link, want, areas[b.MostOn])
			}
		}
	}
	if drawn < 10 {
		t.Errorf("%d links", drawn)
	}
}
