package drawing

import (
	"math"
	"strings"
	"testing"

	"trammel.example/schema"
)

// TestSection measures the section of a screw that is too long, with the scale that its ruler shows. Source: sums of the sizes in the spec.
func TestSection(t *testing.T) {
	m := load(t, top, "examples/tray-lifter-draft")
	p, err := Fastening(m, "block to post", "m")
	if err != nil {
		t.Fatal(err)
	}
	root := read(t, p)
	var ruler, clash, mesh float64
	root.each(func(e element) {
		switch {
		case e.XMLName.Local == "line" && ruler == 0 && e.attr("x1") == "12":
			ruler = e.number(t, "x2") - 12
		case e.attr("class") == "clash":
			clash = e.number(t, "height")
		case e.attr("class") == "mesh":
			mesh = e.number(t, "height")
		}
	})
	if !strings.Contains(p.SVG, ">10 mm<") {
		t.Fatal("the ruler does not show 10 mm")
	}
	// 16 mm of screw; a washer of 1 mm, a foot of 5.5 mm; a slot 8.2 mm deep with a nut of 3.4 mm under a lip of 1.5 mm.
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"the tip is too deep by", clash, 16 - 1 - 5.5 - 8.2}, {"in mesh are", mesh, 3.4}} {
		if got := c.got / ruler * 10; math.Abs(got-c.want) > 0.01 {
			t.Errorf("%s %.3f mm, want %.3f", c.what, got, c.want)
		}
	}
	if !strings.Contains(p.SVG, "CLASH: tip 1.3 mm too deep") {
		t.Error("the clash is marked by its colour alone")
	}
}

// TestSectionsOfAllKinds draws each head in each thing that a screw goes into.
func TestSectionsOfAllKinds(t *testing.T) {
	m := load(t, top, "examples/tray-lifter")
	for _, name := range keys(m.Fastenings) {
		for _, head := range []string{"socket", "hex", "button", "countersunk"} {
			for _, long := range []float64{1e-3, 8e-3, 20e-3, 150e-3} {
				f := m.Fastenings[name]
				f.Screw.Head.Value = head
				f.Screw.Length.SI = long
				m.Fastenings[name] = f
				p, err := Fastening(m, name, "m")
				if err != nil {
					t.Fatal(err)
				}
				if useful.MatchString(p.SVG) {
					t.Errorf("%s %s %g: %s", name, head, long, p.SVG)
				}
				root := read(t, p)
				root.each(func(e element) {
					if e.XMLName.Local == "rect" && (e.number(t, "width") < 0 || e.number(t, "height") < 0) {
						t.Errorf("%s %s %g: a rectangle of %s × %s", name, head, long, e.attr("width"), e.attr("height"))
					}
				})
			}
		}
	}
	f := m.Fastenings["block to post"]
	f.Screw.Thread.Value = "M7.5"
	m.Fastenings["block to post"] = f
	if _, err := Fastening(m, "block to post", "m"); err == nil {
		t.Error("a screw that is in no table is drawn")
	}
}

// TestChart reads a chart back: its axes are labelled with units, a gap stays a gap, and each line has a dash of its own.
func TestChart(t *testing.T) {
	nan := math.NaN()
	p := chart("m", "Speed", "time (s)", "speed (m/s)", []series{
		{"going out", []float64{0, 1, 2, 3, 4, 5}, []float64{0, 1, nan, 3, 2, 0}},
		{"going in", []float64{0, 5}, []float64{-1, -1}},
	}, "the rod never moves")
	root := read(t, p)
	for _, label := range []string{">time (s)<", ">speed (m/s)<", ">going out<", ">going in<"} {
		if !strings.Contains(p.SVG, label) {
			t.Errorf("%s is not shown", label)
		}
	}
	lines := 0
	dashes := map[string]bool{}
	root.each(func(e element) {
		if style := e.attr("style"); e.XMLName.Local == "path" && strings.Contains(style, "stroke-width:2") {
			lines++
			_, dash, _ := strings.Cut(style, "stroke-dasharray:")
			dash, _, _ = strings.Cut(dash, ";")
			dashes[dash] = true
		}
	})
	if lines != 3 || len(dashes) != 2 {
		t.Errorf("%d lines with %d dashes, want two pieces of one and one of another", lines, len(dashes))
	}
}

// TestLegible holds the colours against the contrast that WCAG 2.2 wants: 3:1 of graphics (1.4.11) and 4.5:1 of text (1.4.3), on light and
// on dark paper.
func TestLegible(t *testing.T) {
	light, dark := luminance(t, "#ffffff"), luminance(t, "#161b1e")
	for i, s := range strokes {
		l := luminanceOf(float64(s.colour.R)/255, float64(s.colour.G)/255, float64(s.colour.B)/255)
		for _, paper := range []float64{light, dark} {
			if c := contrast(l, paper); c < 3 {
				t.Errorf("line %d has a contrast of %.2f", i, c)
			}
		}
	}
	lit, unlit, ok := strings.Cut(Style, "@media")
	if !ok {
		t.Fatal("no style for dark pages")
	}
	for _, c := range []struct {
		sheet string
		paper float64
	}{{lit, light}, {unlit, dark}} {
		for _, rule := range strings.Split(c.sheet, "}") {
			name, body, _ := strings.Cut(rule, "{")
			if strings.Contains(name, "label") { // the rim of letters, which is the paper's
				continue
			}
			for _, d := range strings.Split(body, ";") {
				property, value, _ := strings.Cut(d, ":")
				least := 3.0
				if strings.TrimSpace(name) == "text" {
					property, least = strings.ReplaceAll(property, "fill", "stroke"), 4.5
				}
				if property != "stroke" || !strings.HasPrefix(value, "#") {
					continue
				}
				if got := contrast(luminance(t, value), c.paper); got < least {
					t.Errorf("%s %s has a contrast of %.2f", name, value, got)
				}
			}
		}
	}
}

// luminance is the relative luminance of a colour, by WCAG 2.2.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	if len(hex) == 4 {
		hex = "#" + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:3], 2) + strings.Repeat(hex[3:4], 2)
	}
	var c [3]float64
	for i := range c {
		for _, digit := range hex[1+2*i : 3+2*i] {
			c[i] = 16*c[i] + float64(strings.IndexRune("0123456789abcdef", digit))
		}
		c[i] /= 255
	}
	return luminanceOf(c[0], c[1], c[2])
}

func luminanceOf(c ...float64) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		linear := c[i] / 12.92
		if c[i] > 0.04045 {
			linear = math.Pow((c[i]+0.055)/1.055, 2.4)
		}
		sum += weight * linear
	}
	return sum
}

func contrast(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

// TestRuler holds the length of the ruler against the scale, for machines from a thimble to a crane.
func TestRuler(t *testing.T) {
	for _, scale := range []float64{0.5, 7, 140, 1333, 40_000} {
		p := &pen{}
		(&Mechanism{}).ruler(p, scale, 10)
		e := read(t, Picture{SVG: `<svg>` + p.end()})
		var px float64
		var says string
		e.each(func(c element) {
			switch c.XMLName.Local {
			case "line":
				px = max(px, c.number(t, "x2")-12)
			case "text":
				says = c.Text
			}
		})
		if want := schema.Format(schema.LengthDim, px/scale); says != want || px < 30 || px > 150.001 {
			t.Errorf("at %g px/m: %g px long, it says %s, want %s", scale, px, says, want)
		}
	}
}
