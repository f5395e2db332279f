package report

import (
	"strings"
	"testing"
)

// What the page says of the flagship's coil, by hand: 12 V less 5 % and its wires; 3 W at 12 V take 250 mA and have 48 Ω; with all its
// 2.5 m of 0.5 mm² (39.0 Ω/km at 20 °C, IEC 60228 from memory) less than 0.11 Ω are in wires, and 0.1 Ω each in fuse and transistor.
func TestWiringOnPage(t *testing.T) {
	run := exampleRun(t, "tray-lifter")
	p := wiringOnPage(run.Specs[0].Judgements[0], "m1")
	if p == nil || len(p.Coils) != 1 || len(p.Wires) != 11 {
		t.Fatalf("%+v", p)
	}
	if c := p.Coils[0]; c.Rated != "12 V" || c.Takes != "250 mA" || c.Least != "10.8 V" || !strings.HasPrefix(c.Cold, "11.3") || !strings.HasPrefix(c.Warm, "11.3") || c.Cold == c.Warm || c.By != "the diode freewheel" {
		t.Errorf("%+v", c)
	}
	carries := map[string]string{}
	for _, w := range p.Wires {
		carries[w.Name] = w.Amps
	}
	// What goes there comes back, with the timer's 80 mA at 12 V and 5 % more at most.
	if carries["plus"] != carries["back"] || carries["toCoil"] != carries["switched"] || carries["command"] != "–" {
		t.Errorf("%v", carries)
	}
	page := written(t, HTML, run)
	for _, want := range []string{`aria-label="Coil circuit of tray-lifter"`, "The most that each wire carries in service", `>warm ` + p.Coils[0].Warm[:5]} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
	if strings.Contains(written(t, HTML, exampleRun(t, "glue-press")), "<h3>Wiring</h3>") {
		t.Error("a machine without wiring has a place for it")
	}
}
