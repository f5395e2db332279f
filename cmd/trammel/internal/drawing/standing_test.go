package drawing

import (
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestStandingToScale: the ring stands where the line of all that pushes comes to the feet, read off between the two feet as drawn, or behind a
// break where that is far away; and there its moment about the edge over which it tips is what is left of those that hold (statics).
func TestStandingToScale(t *testing.T) {
	drawn, broken := 0, 0
	for name, m := range examples(t) {
		stands := checks.HoldingOf(m).Standing
		if stands == nil {
			continue
		}
		p, ok := NewMechanism(m, "m", checks.Courses(m, 21), nil).Standing(stands)
		if !ok {
			t.Errorf("%s: how it stands is not drawn", name)
			continue
		}
		drawn++
		root := read(t, p)
		var feet []float64
		ring := math.NaN()
		for _, e := range root.Children {
			switch {
			case e.XMLName.Local == "rect" && e.attr("class") == "steel":
				feet = append(feet, e.number(t, "x")+14*float64(len(feet)))
			case e.XMLName.Local == "circle" && e.attr("class") == "ring":
				ring = e.number(t, "cx")
			}
		}
		f := m.Base.Feet
		at := stands.At
		wide := f.To.SI - f.From.SI
		if says := schema.Format(schema.LengthDim, at); at < f.From.SI-wide/2 || at > f.To.SI+wide/2 {
			if !strings.Contains(p.SVG, "bench, at x = "+says+"</text>") || !strings.Contains(p.Title, "farther away than it is drawn") {
				t.Errorf("%s: the push comes to the feet at %s, and nothing beside the break says so", name, says)
			}
			broken++
		} else if got := f.From.SI + (ring-feet[0])/(feet[1]-feet[0])*wide; math.Abs(got-at) > 0.5/(feet[1]-feet[0])*wide {
			t.Errorf("%s: the push is drawn at x = %g m, and comes to the feet at %g m", name, got, at)
		}
		way := map[bool]string{true: " press it onto the bench", false: " lift it off the bench"}[stands.Down > 0]
		if !strings.Contains(p.SVG, way) || !strings.HasPrefix(p.Title, "How it stands, worst "+stands.Worst+". Thick arrow") {
			t.Errorf("%s: %s", name, p.Title)
		}
		holds, known := stands.Base.Facts["holds"]
		if !known {
			continue
		}
		edge, sign := f.To.SI, -1.0
		if stands.Left {
			edge, sign = f.From.SI, 1
		}
		left := holds.SI - stands.Base.Facts["tips"].SI
		if got := sign * (at - edge) * stands.Down; math.Abs(got-left) > 1e-9*holds.SI {
			t.Errorf("%s: %g N m about the edge, and %g N m are left", name, got, left)
		}
	}
	if drawn < 3 || broken == 0 {
		t.Errorf("%d bases are drawn, %d with their bench broken off", drawn, broken)
	}
}
