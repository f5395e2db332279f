package drawing

import (
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestLinkBending: the bar carries no moment beyond its ends, its largest one is ringed on the outline of the area, and everything is to the
// scale of the ruler (statics: a bar free at its ends).
func TestLinkBending(t *testing.T) {
	drawn := 0
	for name, m := range examples(t) {
		for _, b := range checks.LinksBent(m) {
			drawn++
			last := b.Moments[len(b.Moments)-1]
			if math.Abs(last.Bending) > 1e-6*math.Abs(b.Most.Bending) || math.Abs(b.Moments[0].Bending) > math.Abs(b.Most.Bending)*(1+1e-9) {
				t.Errorf("%s: %s: %g N·m are left at its end", name, b.Link, last.Bending)
			}
			if got := b.At(b.Most.X); math.Abs(math.Abs(got)-math.Abs(b.Most.Bending)) > 1e-9*math.Abs(got) {
				t.Errorf("%s: %s: %g N·m where it is worst, not %g", name, b.Link, got, b.Most.Bending)
			}
			root := read(t, LinkBending(b, "m"))
			var bar, ring element
			area := ""
			for _, e := range root.Children {
				switch {
				case e.attr("class") == "bar" && e.attr("y1") == e.attr("y2"):
					bar = e
				case e.attr("class") == "ring":
					ring = e
				case e.attr("class") == "mesh":
					area = e.attr("d")
				}
			}
			long := bar.number(t, "x2") - bar.number(t, "x1")
			at := (ring.number(t, "cx") - bar.number(t, "x1")) / long * b.Length
			below := ring.number(t, "cy") > bar.number(t, "y1")
			if math.Abs(at-b.Most.X) > 1e-4*b.Length || below != (b.Most.Bending > 0) {
				t.Errorf("%s: %s: the ring is at %g m, want %g", name, b.Link, at, b.Most.X)
			}
			if want := num(ring.number(t, "cx")) + " " + num(ring.number(t, "cy")); !strings.Contains(area, want) {
				t.Errorf("%s: %s: the ring at %s is not on %s", name, b.Link, want, area)
			}
		}
	}
	if drawn < 10 {
		t.Errorf("%d links", drawn)
	}
}
