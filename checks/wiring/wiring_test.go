package wiring

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// TestAgainstSpice compares with what ngspice finds in random networks (testdata/networks.tsv, whose header says how it was made).
func TestAgainstSpice(t *testing.T) {
	f, err := os.Open("testdata/networks.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cases := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") || strings.HasPrefix(lines.Text(), "volts") {
			continue
		}
		fields := strings.Split(lines.Text(), "\t")
		n := Network{Plus: 1}
		fmt.Sscan(fields[0], &n.Volts)
		fmt.Sscan(fields[1], &n.Nodes)
		for _, r := range strings.Fields(fields[2]) {
			var one Resistor
			if _, err := fmt.Sscanf(r, "%d-%d=%g", &one.A, &one.B, &one.Ohms); err != nil {
				t.Fatal(err)
			}
			n.Resistors = append(n.Resistors, one)
		}
		for _, d := range strings.Fields(fields[3]) {
			var one Diode
			if _, err := fmt.Sscanf(d, "%d>%d", &one.A, &one.K); err != nil {
				t.Fatal(err)
			}
			n.Diodes = append(n.Diodes, one)
		}
		s, err := n.Solve()
		if err != nil {
			t.Errorf("case %d: %v", cases, err)
			continue
		}
		for i, text := range strings.Fields(fields[4]) {
			var want float64
			fmt.Sscan(text, &want)
			if math.Abs(s.Volts[i]-want) > 1e-3*n.Volts {
				t.Errorf("case %d, node %d: %g V, ngspice finds %g V", cases, i, s.Volts[i], want)
			}
		}
		cases++
	}
	if cases != 20 {
		t.Errorf("%d cases, want 20", cases)
	}
}

// Resistances of the published tables: IEC 60228 class 5 and ASTM B258's gauges in solid copper (a handbook's table, from memory).
func TestResistanceOfWires(t *testing.T) {
	for area, want := range map[float64]float64{0.5e-6: 39.0, 0.75e-6: 26.0, 1e-6: 19.5, 1.5e-6: 13.3, 2.5e-6: 7.98, 2e-6: 9.75} {
		if got := 1e3 * OhmsPerMetre(area); math.Abs(got-want) > 0.005*want {
			t.Errorf("%g mm²: %g Ω/km, want %g", area*1e6, got, want)
		}
	}
	for gauge, want := range map[float64]float64{18: 20.95, 20: 33.31, 22: 52.96, 24: 84.22, 26: 133.9} {
		if got := 1e3 * OhmsPerMetreAWG(gauge); math.Abs(got-want) > 0.003*want {
			t.Errorf("AWG %g: %g Ω/km, want %g", gauge, got, want)
		}
	}
	// A coil of 48 Ω at 20 °C has 1 + 0.00393 × 60 times that at 80 °C (IEC 60028).
	if got := Warm(48, 353.15); math.Abs(got-59.32) > 0.01 {
		t.Errorf("%g Ω", got)
	}
}

func TestCurrentOfWires(t *testing.T) {
	for _, area := range []float64{0.75e-6, 1e-6, 1.5e-6, 2.5e-6} {
		want := map[float64]float64{0.75e-6: 8.5, 1e-6: 10.1, 1.5e-6: 13.1, 2.5e-6: 17.4}[area]
		if got := Carries(area); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g mm²: %g A, want %g (IEC 60204-1, from memory)", area*1e6, got, want)
		}
	}
	last := 0.0
	for area := 0.05e-6; area < 10e-6; area *= 1.1 {
		if got := Carries(area); got <= last {
			t.Errorf("%g mm² carries %g A, and less carries %g", area*1e6, got, last)
		} else {
			last = got
		}
	}
}

// Two coils by one return: U = 12 V, 1 Ω in the return, coils of 48 Ω: I = 12/(24 + 1) in all, and 11.52 V at each.
func TestSharedReturn(t *testing.T) {
	n := Network{Nodes: 3, Plus: 0, Minus: 1, Volts: 12, Resistors: []Resistor{{0, 2, 48}, {0, 2, 48}, {2, 1, 1}}}
	s, err := n.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.Volts[0]-s.Volts[2]-11.52) > 1e-9 || math.Abs(s.Supply-0.48) > 1e-9 {
		t.Errorf("%g V and %g A, want 11.52 V and 0.48 A (Ohm's law by hand)", s.Volts[0]-s.Volts[2], s.Supply)
	}
}

func TestOddNetworks(t *testing.T) {
	for _, ohms := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := (&Network{Nodes: 2, Volts: 12, Plus: 0, Minus: 1, Resistors: []Resistor{{0, 1, ohms}}}).Solve(); err == nil {
			t.Errorf("%g Ω is taken", ohms)
		}
	}
	// A node that hangs on nothing has no voltage, and what hangs on it no current.
	s, err := (&Network{Nodes: 4, Plus: 0, Minus: 1, Volts: 12, Resistors: []Resistor{{2, 3, 5}}}).Solve()
	if err != nil || !math.IsNaN(s.Volts[2]) || s.Currents[0] != 0 || s.Supply != 0 {
		t.Errorf("%+v, %v", s, err)
	}
}

func BenchmarkSolve(b *testing.B) {
	n := Network{Nodes: 40, Plus: 1, Volts: 24}
	for i := 2; i < 40; i++ {
		n.Resistors = append(n.Resistors, Resistor{i, i / 2, 1 + float64(i%5)}, Resistor{i, 0, 100})
	}
	for b.Loop() {
		if _, err := n.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
