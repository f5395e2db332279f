package wiring

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// TestLetGoAgainstSpice compares with what ngspice finds when coils are switched off (testdata/letgo.tsv, whose header says how it was made).
func TestLetGoAgainstSpice(t *testing.T) {
	text, err := os.ReadFile("testdata/letgo.tsv")
	if err != nil {
		t.Fatal(err)
	}
	cases := 0
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "volts") {
			continue
		}
		fields := strings.Split(strings.TrimSpace(line), "\t")
		n := Network{Plus: 1}
		fmt.Sscan(strings.Join(fields[:2], " "), &n.Volts, &n.Nodes)
		for _, r := range strings.Fields(fields[3]) {
			var one Resistor
			fmt.Sscanf(r, "%d-%d=%g", &one.A, &one.B, &one.Ohms)
			n.Resistors = append(n.Resistors, one)
		}
		for _, d := range strings.Fields(fields[4]) {
			var one Diode
			fmt.Sscanf(d, "%d>%d=%g", &one.A, &one.K, &one.Drop)
			n.Diodes = append(n.Diodes, one)
		}
		var coils []Coil
		for _, c := range strings.Fields(fields[5]) {
			var one Coil
			fmt.Sscanf(c, "%d-%d=%g,%g,%g", &one.A, &one.B, &one.Ohms, &one.Henries, &one.Amps)
			coils = append(coils, one)
		}
		got, err := n.LetGo(coils, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		near := func(what string, got float64, text string, within float64) {
			var want float64
			fmt.Sscan(text, &want)
			if !(math.Abs(got-want) <= within*math.Abs(want)) {
				t.Errorf("case %d, %s: %g, ngspice finds %g", cases, what, got, want)
			}
		}
		for i, text := range strings.Fields(fields[6]) {
			near(fmt.Sprintf("peak of node %d, V", i+2), got.Volts[i+2], text, 2e-3)
		}
		for k, text := range strings.Fields(fields[7]) {
			near(fmt.Sprintf("time of coil %d, s", k), got.Time[k], text, 2e-3)
		}
		cases++
	}
	if cases != 20 {
		t.Errorf("%d cases, want 20", cases)
	}
}

// A coil of 48 Ω and 0.48 H with a diode of 0.7 V and 0.05 Ω across it: L di/dt = −0.7 − 48.05 i, from 0.25 A down to 0.025 A in closed form.
func TestLetGoInClosedForm(t *testing.T) {
	n := Network{Nodes: 3, Plus: 1, Volts: 12, Resistors: []Resistor{{1, 0, 1e4}, {2, 0, 1e7}}, Diodes: []Diode{{A: 2, K: 1}}}
	got, err := n.LetGo([]Coil{{A: 1, B: 2, Ohms: 48, Henries: 0.48, Amps: 0.25}}, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	want := 0.48 / 48.05 * math.Log((0.7/48.05+0.25)/(0.7/48.05+0.025))
	if math.Abs(got.Time[0]-want) > 1e-4*want || math.Abs(got.Volts[2]-12.7125) > 2e-3 {
		t.Errorf("%g s and %g V, want %g s and 12.7125 V", got.Time[0], got.Volts[2], want)
	}
	if _, err := n.LetGo([]Coil{{A: 1, B: 2, Ohms: 48, Amps: 0.25}}, 0.1); err == nil {
		t.Error("0 H is taken")
	}
	n.Diodes, n.Resistors = nil, n.Resistors[:1]
	if got, err = n.LetGo([]Coil{{A: 1, B: 2, Ohms: 48, Henries: 0.48, Amps: 0.25}}, 0.1); err != nil || !math.IsInf(got.Time[0], 1) {
		t.Errorf("%v, %v: with no way for its current it lets go", got, err)
	}
}

// Two diodes one after the other: 0.7 V takes the current in a way with 100 Ω, and from 10 V on a second way with none. By hand, from 0.25 A:
// above (10.75 V − 0.7 V) / 100.05 Ω some flows by the second.
func TestLetGoByTwoWays(t *testing.T) {
	n := Network{Nodes: 4, Plus: 1, Volts: 12, Resistors: []Resistor{{1, 0, 1e4}, {3, 1, 100}}, Diodes: []Diode{{A: 2, K: 3}, {A: 2, K: 1, Drop: 10}}}
	got, err := n.LetGo([]Coil{{A: 1, B: 2, Ohms: 48, Henries: 0.48, Amps: 0.25}}, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	i := (10 - 0.7) / 100.05 // where the second way begins
	// Above: v = 10 + 0.05 (I − (v − 0.7) / 100.05), solved for v = a + b I.
	b := 0.05 / (1 + 0.05/100.05)
	a := (10 + 0.05*0.7/100.05) / (1 + 0.05/100.05)
	want := 0.48/(48+b)*math.Log(((48+b)*0.25+a)/((48+b)*i+a)) + 0.48/(148.05)*math.Log((148.05*i+0.7)/(148.05*0.025+0.7))
	if math.Abs(got.Time[0]-want) > 1e-4*want {
		t.Errorf("%g s, want %g s", got.Time[0], want)
	}
}

func BenchmarkLetGo(b *testing.B) {
	n := Network{Nodes: 20, Plus: 1, Volts: 12, Diodes: []Diode{{A: 19, K: 18}}}
	for i := 2; i < 19; i++ {
		n.Resistors = append(n.Resistors, Resistor{i, i - 1, 0.1})
	}
	for b.Loop() {
		if _, err := n.LetGo([]Coil{{A: 18, B: 19, Ohms: 48, Henries: 0.48, Amps: 0.25}}, 0.1); err != nil {
			b.Fatal(err)
		}
	}
}
