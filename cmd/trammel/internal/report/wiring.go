package report

import (
	"fmt"
	"maps"
	"slices"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/rules"
	"trammel.example/schema"
)

type (
	pageWiring struct {
		Figure pageFigure
		Coils  []pageCoil
		Wires  []pageWire
	}
	pageCoil struct{ Name, Driver, Rated, Cold, Warm, Least, Takes, LetsGo, By string }
	pageWire struct{ Number, Name, From, To, Size, Length, Amps, Carries string }
)

// wiringOnPage is the coil circuit as a picture and in tables; nil where the machine has none.
func wiringOnPage(j *rules.Judgement, id string) *pageWiring {
	picture, ok := drawing.Wiring(j.Machine, id+"-wiring")
	if !ok {
		return nil
	}
	p := &pageWiring{Figure: figureOf(picture)}
	wires := map[string]*checks.Subject{}
	for _, s := range j.Subjects {
		switch s.Kind {
		case "wire":
			wires[s.Name] = s
		case "coil":
			p.Coils = append(p.Coils, pageCoil{Name: Plain(s.Name), Driver: Plain(s.Facts["drivers"].Text), Rated: figure(s, "rated"), Cold: figure(s, "lowest"), Warm: figure(s, "warmVolts"),
				Least: figure(s, "least"), Takes: figure(s, "takes"), LetsGo: figure(s, "letsGoAfter"), By: Plain(s.Facts["quench"].Text)})
		}
	}
	for i, name := range slices.Sorted(maps.Keys(j.Machine.Wiring.Wires)) {
		w, s := j.Machine.Wiring.Wires[name], wires[name]
		size := schema.Format(schema.AreaDim, w.Area.SI)
		if w.AWG.Given() {
			size = fmt.Sprintf("AWG %g", w.AWG.SI)
		}
		p.Wires = append(p.Wires, pageWire{fmt.Sprint(i + 1), Plain(name), Plain(w.From.Value), Plain(w.To.Value), size, schema.Format(schema.LengthDim, w.Length.SI), figure(s, "current"), figure(s, "carries")})
	}
	return p
}

// figure is a fact with its unit, and a dash where it is not known; small currents and times in thousandths.
func figure(s *checks.Subject, name string) string {
	f, ok := s.Facts[name]
	if !ok || f.Kind != checks.Quantity {
		return "–"
	}
	unit := map[schema.Dimension]string{schema.CurrentDim: "mA", schema.TimeDim: "ms"}[f.Dim]
	if unit != "" && f.SI < 1 {
		if f.SI < 1e-6 {
			return "–" // a signal
		}
		return fmt.Sprintf("%.3g %s", f.SI*1e3, unit)
	}
	return schema.Format(f.Dim, f.SI)
}
