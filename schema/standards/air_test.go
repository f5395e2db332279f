package standards

import (
	"fmt"
	"math"
	"testing"
)

// ISO 6432 and ISO 15552 (from memory), mm, with the theoretical thrust at 6 bar gauge in N (F = p A, recomputed).
func TestCylinders(t *testing.T) {
	for _, c := range []struct {
		standard          string
		bore, rod         float64
		rodThread, port   string
		pin               float64
		extends, retracts float64
	}{
		{"ISO 6432", 8, 4, "M4", "M5", 4, 30.159, 22.619},
		{"ISO 6432", 10, 4, "M4", "M5", 4, 47.124, 39.584},
		{"ISO 6432", 12, 6, "M6", "M5", 6, 67.858, 50.894},
		{"ISO 6432", 16, 6, "M6", "M5", 6, 120.64, 103.67},
		{"ISO 6432", 20, 8, "M8", "G1/8", 8, 188.5, 158.34},
		{"ISO 6432", 25, 10, "M10x1.25", "G1/8", 8, 294.52, 247.4},
		{"ISO 15552", 32, 12, "M10x1.25", "G1/8", 10, 482.55, 414.69},
		{"ISO 15552", 40, 16, "M12x1.25", "G1/4", 12, 753.98, 633.35},
		{"ISO 15552", 50, 20, "M16x1.5", "G1/4", 12, 1178.1, 989.6},
		{"ISO 15552", 63, 20, "M16x1.5", "G3/8", 16, 1870.3, 1681.9},
		{"ISO 15552", 80, 25, "M20x1.5", "G3/8", 16, 3015.9, 2721.4},
		{"ISO 15552", 100, 25, "M20x1.5", "G1/2", 20, 4712.4, 4417.9},
		{"ISO 15552", 125, 32, "M27x2", "G1/2", 25, 7363.1, 6880.6},
	} {
		got := must(CylinderFor(c.standard, c.bore*mm))(t)
		what := fmt.Sprintf("%s bore %g", c.standard, c.bore)
		near(t, what+" rod", got.Rod, c.rod*mm, 1e-12)
		near(t, what+" pin", got.RearPin, c.pin*mm, 1e-12)
		if got.RodThread != c.rodThread || got.Port != c.port {
			t.Errorf("%s: rod thread %s, port %s", what, got.RodThread, got.Port)
		}
		area := math.Pi / 4 * got.Bore * got.Bore
		near(t, what+" extends", 6e5*area, c.extends, 1e-4*c.extends)
		near(t, what+" retracts", 6e5*(area-math.Pi/4*got.Rod*got.Rod), c.retracts, 1e-4*c.retracts)
	}
	// common practice, no source: a 16 mm cylinder comes with a 6 mm hole in its rear eye, and pushes about 35 N at 25 psi, 69 N at 50 psi.
	small := must(CylinderFor("ISO 6432", 16*mm))(t)
	near(t, "16 mm rear eye", small.RearPin, 6*mm, 1e-12)
	near(t, "16 mm at 25 psi", 25*6894.757*math.Pi/4*small.Bore*small.Bore, 35, 0.5)
	near(t, "16 mm at 50 psi", 50*6894.757*math.Pi/4*small.Bore*small.Bore, 69, 0.5)
}

// Threads that the cylinders name are in the tables, and each rod carries its thread.
func TestCylindersNameKnownThreads(t *testing.T) {
	count := 0
	for i, standard := range CylinderStandards() {
		var before Cylinder
		for _, c := range all.cylinders.rows[i] {
			count++
			th := must(ThreadByName(c.RodThread))(t)
			must(PortThreadByName(c.Port))(t)
			if th.Nominal > c.Rod || c.Rod >= c.Bore || c.RearWidth <= c.RearPin {
				t.Errorf("%s: %+v", standard, c)
			}
			if standard == "ISO 6432" {
				must(ThreadByName(c.NoseThread))(t)
			} else {
				must(ThreadByName(c.BoltThread))(t)
				// The bolts stand outside the bore.
				if c.BoltSquare*math.Sqrt2 <= c.Bore {
					t.Errorf("%s: bolts within the bore: %+v", standard, c)
				}
			}
			if !(c.Bore > before.Bore && c.Rod >= before.Rod && c.RearPin >= before.RearPin && c.RearWidth >= before.RearWidth && c.BoltSquare >= before.BoltSquare) {
				t.Errorf("%s: bore %g breaks the order", standard, c.Bore)
			}
			before = c
		}
	}
	if count != 13 {
		t.Errorf("%d cylinders", count)
	}
}

// A bore written in inches to four digits is still the bore.
func TestCylinderBoreInInches(t *testing.T) {
	if c := must(CylinderFor("ISO 6432", 0.9843*0.0254))(t); c.Rod != 10*mm {
		t.Errorf("got %+v", c)
	}
}

// common practice, no source: these metric and inch sizes look alike, by millimetres between their outsides.
func TestTubes(t *testing.T) {
	outer := map[string]float64{}
	for _, tube := range Tubes() {
		outer[tube.Name] = tube.Outer
		for _, inner := range tube.Inner {
			if wall := (tube.Outer - inner) / 2; wall < 0.4*mm || wall > 3*mm {
				t.Errorf("%s with bore %g: wall %g", tube.Name, inner, wall)
			}
		}
		if len(tube.Inner) == 0 {
			t.Errorf("%s has no bore", tube.Name)
		}
	}
	for _, c := range []struct {
		metric, inch string
		apart        float64
	}{{"4 mm", "5/32 in", 0.03}, {"8 mm", "5/16 in", 0.06}, {"6 mm", "1/4 in", 0.35}, {"10 mm", "3/8 in", 0.47}, {"12 mm", "1/2 in", 0.7}} {
		near(t, c.metric+" and "+c.inch, math.Abs(outer[c.metric]-outer[c.inch]), c.apart*mm, 0.006*mm)
	}
	if len(outer) != 12 {
		t.Errorf("%d tubes", len(outer))
	}
}

// Port threads, mm. ISO 228-1:2000 after an open table (bd_warehouse, Apache-2.0, iso_228_1.csv); ASME B1.20.1 from memory: outside diameter of the pipe in inches.
func TestPortThreads(t *testing.T) {
	for _, c := range []struct {
		size    string
		major   float64
		perInch float64
	}{{"1/8", 9.728, 28}, {"1/4", 13.157, 19}, {"3/8", 16.662, 19}, {"1/2", 20.955, 14}} {
		for _, family := range []string{"G", "R", "Rc", "Rp"} {
			p := must(PortThreadByName(family + c.size))(t)
			near(t, p.Name+" major", p.Major, c.major*mm, 1e-12)
			near(t, p.Name+" pitch", p.Pitch, 25.4/c.perInch*mm, 1e-12)
			near(t, p.Name+" angle", p.Angle, 55*math.Pi/180, 1e-12)
			if p.Family != family || p.Size != c.size || p.Taper != (family == "R" || family == "Rc") || p.Male != (family == "G" || family == "R") || p.Female != (family != "R") {
				t.Errorf("%+v", p)
			}
		}
	}
	for _, c := range []struct {
		size             string
		outside, perInch float64
	}{{"1/16", 0.3125, 27}, {"1/8", 0.405, 27}, {"1/4", 0.54, 18}, {"3/8", 0.675, 18}, {"1/2", 0.84, 14}} {
		p := must(PortThreadByName("NPT" + c.size))(t)
		near(t, p.Name+" major", p.Major, c.outside*25.4*mm, 0.6e-6)
		near(t, p.Name+" pitch", p.Pitch, 25.4/c.perInch*mm, 1e-12)
		near(t, p.Name+" angle", p.Angle, 60*math.Pi/180, 1e-12)
		if !p.Taper || !p.Male || !p.Female || p.Family != "NPT" {
			t.Errorf("%+v", p)
		}
	}
	// M5 is the coarse thread.
	m5, th := must(PortThreadByName("M5"))(t), must(ThreadByName("M5"))(t)
	if m5.Major != th.Nominal || m5.Pitch != th.Pitch || m5.Taper {
		t.Errorf("%+v", m5)
	}
	// At 1/2 inch G and NPT share 14 threads per inch: only the angle tells them apart.
	g, npt := must(PortThreadByName("G1/2"))(t), must(PortThreadByName("NPT1/2"))(t)
	if g.Pitch != npt.Pitch || g.Angle == npt.Angle {
		t.Error("G1/2 and NPT1/2")
	}
	if n := len(PortThreadNames()); n != 23 {
		t.Errorf("%d port threads", n)
	}
}
