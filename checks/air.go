package checks

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/air"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// reliefOverCutOut keeps a relief valve shut in service: common practice, set a tenth above the cut-out.
	reliefOverCutOut = 1.1
	// proofFactor stands in for a proof pressure that is not given: common practice, components are tested at 1.5 times their rating.
	proofFactor = 1.5
	// burstFactor is what a tube bears in service of the pressure at which it bursts: ISO 7751 has 4 for air hoses (from memory).
	burstFactor = 4
	// burstTemperature in K is that at which burst pressures are given.
	burstTemperature = 293.15
)

// An airWay is where the compressors' air gets to.
type airWay struct {
	m     *schema.Machine
	parts map[string]air.Part
	runs  map[string]air.Run
	ways  map[string]air.Way // by compressor
	why   string             // why there is none
}

// An airZone is the pressure at one part.
type airZone struct {
	pressure, failed float64 // gauge, Pa
	why, failedWhy   string  // why one of them is not known
	regulated        bool
	from             []schema.Input // the settings that the pressure comes from
	fromFailed       []schema.Input // those that are left when the regulators fail
}

func followAir(m *schema.Machine) *airWay {
	w := &airWay{m: m, parts: map[string]air.Part{}, runs: map[string]air.Run{}, ways: map[string]air.Way{}}
	if !m.Air.Given() {
		w.why = "the way of the air is not written: add `air: {parts: {…}, runs: {…}}`"
		return w
	}
	for name, p := range m.Air.Parts {
		switch p.Kind.Value {
		case "regulator":
			w.parts[name] = air.Part{Role: air.Regulates, Limit: p.Set.SI}
		case "relief valve":
			w.parts[name] = air.Part{Role: air.Relieves, Limit: p.Set.SI}
		case "isolator":
			w.parts[name] = air.Part{Role: air.Isolates}
		case "check valve":
			w.parts[name] = air.Part{Through: map[string][]string{"1": {"2"}}}
		case "pilot-operated check valve":
			w.parts[name] = air.Part{Through: map[string][]string{"1": {"2"}, "2": {"1"}}}
		case "shuttle valve":
			w.parts[name] = air.Part{Through: map[string][]string{"1": {"2"}, "3": {"2"}}}
		default:
			w.parts[name] = air.Part{}
		}
	}
	for name, r := range m.Air.Runs {
		run := air.Run{A: portOf(r.From.Value), B: portOf(r.To.Value)}
		for _, end := range []*air.Port{&run.A, &run.B} {
			// The pilot's air goes nowhere from there: its port is a part of its own.
			if p := m.Air.Parts[end.Part]; p.Pilot.External.Value && end.Name == p.PilotPort() {
				end.Part += "." + end.Name
			}
		}
		w.runs[name] = run
	}
	for _, name := range sorted(m.Air.Parts) {
		p := m.Air.Parts[name]
		if p.Kind.Value != "compressor" {
			continue
		}
		limit := math.Inf(1)
		if p.Relief.Given() {
			limit = p.Relief.Set.SI
		}
		w.ways[name] = air.Follow(w.parts, w.runs, name, limit)
	}
	return w
}

// reached are the parts that a compressor's air gets to, or with "" any one's, while some isolating valves are shut.
func (w *airWay) reached(from string, shut func(isolator string) bool) map[string]bool {
	open := map[string]air.Run{}
	for name, r := range w.runs {
		stops := false
		for _, port := range []air.Port{r.A, r.B} {
			stops = stops || w.parts[port.Part].Role == air.Isolates && shut(port.Part)
		}
		if !stops {
			open[name] = r
		}
	}
	reached := map[string]bool{}
	for source := range w.ways {
		if from != "" && from != source {
			continue
		}
		for part := range air.Follow(w.parts, open, source, 0).Parts {
			reached[part] = true
		}
	}
	return reached
}

// fed are the cylinders among what is reached.
func (w *airWay) fed(from string, shut func(isolator string) bool) []string {
	reached := w.reached(from, shut)
	maps.DeleteFunc(reached, func(part string, _ bool) bool { _, ok := w.m.Cylinders[part]; return !ok })
	return sorted(reached)
}

// relying are the cylinders that one isolating valve alone cuts off: those that air still gets to with the others shut of which some
// property holds.
func (w *airWay) relying(on string, others func(isolator string) bool) []string {
	cut := w.fed("", func(isolator string) bool { return isolator == on || others(isolator) })
	return slices.DeleteFunc(w.fed("", others), func(cylinder string) bool { return slices.Contains(cut, cylinder) })
}

func portOf(name string) air.Port {
	part, port, _ := strings.Cut(name, ".")
	return air.Port{Part: part, Name: port}
}

// at is the pressure at a part, or why it is not known.
func (w *airWay) at(part string) (airZone, string) {
	return w.find(part, func(way air.Way) (map[string]air.Reach, map[string]string) { return way.Parts, way.PartsBeyond })
}

func (w *airWay) in(run string) (airZone, string) {
	return w.find(run, func(way air.Way) (map[string]air.Reach, map[string]string) { return way.Runs, way.RunsBeyond })
}

// beyond names the regulator or check valve, fitted backward, through which alone air could come to a part.
func (w *airWay) beyond(part string) string {
	found := ""
	for _, source := range sorted(w.ways) {
		if _, reached := w.ways[source].Parts[part]; reached {
			return ""
		}
		found = cmp.Or(found, w.ways[source].PartsBeyond[part])
	}
	return found
}

// find takes the highest pressure that any compressor brings. in gives what a way reaches, and what lies beyond a regulator fitted backward.
func (w *airWay) find(name string, in func(air.Way) (reached map[string]air.Reach, beyond map[string]string)) (airZone, string) {
	if w.why != "" {
		return airZone{}, w.why
	}
	z := airZone{regulated: true}
	found, backward := false, ""
	for _, source := range sorted(w.ways) {
		reached, beyond := in(w.ways[source])
		r, ok := reached[name]
		if !ok {
			backward = cmp.Or(backward, beyond[name])
			continue
		}
		found = true
		z.pressure, z.failed = max(z.pressure, r.Pressure), max(z.failed, r.Failed)
		z.regulated = z.regulated && r.Regulated
		for _, regulator := range r.Regulators {
			z.from = append(z.from, w.m.Air.Parts[regulator].Set)
		}
		for _, relief := range r.Reliefs {
			z.fromFailed = append(z.fromFailed, w.m.Air.Parts[relief].Set)
		}
		z.fromFailed = append(z.fromFailed, w.m.Air.Parts[source].Relief.Set)
	}
	if !found {
		if backward != "" {
			return airZone{}, fmt.Sprintf("its air comes through %s, a %s that is fitted the wrong way round: turn that first", backward, w.m.Air.Parts[backward].Kind.Value)
		}
		return airZone{}, fmt.Sprintf("no air reaches %s: no run joins it to the compressor", name)
	}
	z.from = append(z.from, z.fromFailed...)
	const unlimited = "nothing limits the pressure: the compressor has no relief valve (add `relief: set: bar: …`)"
	if math.IsInf(z.pressure, 1) {
		z.why = unlimited
	}
	if math.IsInf(z.failed, 1) {
		z.failedWhy = unlimited
	}
	return z, ""
}

// airParts gives every part, run and joint of the air's way its subjects.
func (x *examiner) airParts() {
	m := x.m
	for _, name := range sorted(m.Air.Parts) {
		p := m.Air.Parts[name]
		s := x.airPart(name, p.Kind.Value, p.Origin, p.Rating, p.Proof)
		if p.Printed.Given() {
			s.flag("printed", p.Printed.Value, p.Printed)
		}
		switch p.Kind.Value {
		case "regulator":
			x.regulator(name, p)
		case "compressor":
			x.supply(name, p)
		case "relief valve":
			x.reliefValve(name, p)
		case "isolator":
			x.isolator(name, p)
		}
	}
	if !m.Air.Given() {
		return
	}
	for _, name := range sorted(m.Cylinders) {
		y := m.Cylinders[name]
		x.airPart(name, "cylinder", y.Origin, y.Rating, y.Proof)
	}
	for _, name := range sorted(m.Air.Runs) {
		r := m.Air.Runs[name]
		if r.Tube.Given() {
			x.tube(name, r)
		}
		x.joints(name, r)
	}
}

func (x *examiner) airPart(name, kind string, at schema.Origin, rating, proof schema.Pressure) *Subject {
	s := newSubject(x.m, "part", name, at.At)
	x.add(s)
	s.text("what", kind)
	zone, why := x.air.at(name)
	x.pressures(s, zone, why)
	if !rating.Given() {
		s.open("its rating is not given: add `rating: bar: …` from its data sheet", "rating", "proof")
		return s
	}
	s.set("rating", schema.PressureDim, rating.SI, rating)
	if proof.Given() {
		s.set("proof", schema.PressureDim, proof.SI, proof)
	} else {
		s.set("proof", schema.PressureDim, proofFactor*rating.SI, rating)
		x.assume(s, at.Path+".proof", schema.Format(schema.PressureDim, proofFactor*rating.SI), "common practice: tested at 1.5 × rating")
	}
	return s
}

// assume lists a value that stands in for one that the builder did not give.
func (x *examiner) assume(s *Subject, path, value, source string) {
	s.Assumed = append(s.Assumed, schema.Assumption{Path: path, Value: value, Source: source})
}

// pressures sets what can reach a part or a tube. The failed pressure speaks only of what lies behind a regulator.
func (x *examiner) pressures(s *Subject, zone airZone, why string) {
	switch {
	case why != "":
		s.open(why, "pressure")
		return
	case zone.why != "":
		s.open(zone.why, "pressure")
	default:
		s.set("pressure", schema.PressureDim, zone.pressure, zone.from...)
	}
	if !zone.regulated {
		return
	}
	if zone.failedWhy != "" {
		s.open(zone.failedWhy, "pressureFailed")
	} else {
		s.set("pressureFailed", schema.PressureDim, zone.failed, zone.fromFailed...)
	}
}

func (x *examiner) regulator(name string, p schema.AirPart) {
	s := newSubject(x.m, "regulator", name, p.At)
	x.add(s)
	s.flag("relieving", p.Relieving.Value, p.Relieving)
	s.set("set", schema.PressureDim, p.Set.SI, p.Set)
	span := p.Range.To.SI - p.Range.From.SI
	s.set("setShare", schema.NumberDim, (p.Set.SI-p.Range.From.SI)/span, p.Set, p.Range.From, p.Range.To)
	s.set("setLow", schema.PressureDim, p.Range.From.SI+0.2*span, p.Range.From, p.Range.To)
	s.set("setHigh", schema.PressureDim, p.Range.From.SI+0.8*span, p.Range.From, p.Range.To)
	backward := false
	for source, way := range x.air.ways {
		for _, b := range way.Backward {
			backward = backward || b == name
		}
		if _, reached := way.Parts[name]; reached {
			on := x.m.Air.Parts[source].Switches.On
			s.set("cutIn", schema.PressureDim, on.SI, on)
			s.set("overSet", schema.PressureDim, on.SI-p.Set.SI, p.Set, on)
		}
	}
	s.flag("backward", backward, p.Kind)
}

func (x *examiner) supply(name string, p schema.AirPart) {
	s := newSubject(x.m, "supply", name, p.At)
	x.add(s)
	s.set("cutOut", schema.PressureDim, p.Switches.Off.SI, p.Switches.Off)
	if len(x.air.fed(name, func(string) bool { return false })) > 0 {
		open := x.air.fed(name, func(string) bool { return true })
		s.flag("isolated", len(open) == 0)
		s.text("openTo", cylindersInWords(open))
	}
	s.set("reliefAdvised", schema.PressureDim, reliefOverCutOut*p.Switches.Off.SI, p.Switches.Off)
	if most, from := deliversMost(p); from.Given() {
		s.set("delivers", schema.FlowDim, most, from)
	} else {
		s.open("what the compressor delivers is not given: add `delivers: \"L/min\": …` (free air, not displacement)", "delivers")
	}
	way := x.air.ways[name]
	relief, shutOff := p.Relief, ""
	if !relief.Given() {
		// A relief valve on its own in the compressor's zone protects it as well, unless it can be shut off.
		for _, n := range way.Parts[name].Reliefs {
			part := x.m.Air.Parts[n]
			relief = schema.Relief{Origin: part.Origin, Set: part.Set, Flow: part.Flow}
		}
	}
	for _, n := range way.ShutOff {
		shutOff = n
	}
	s.flag("relieved", relief.Given(), relief.Set, p.Kind)
	s.flag("reliefShutOff", shutOff != "" && !p.Relief.Given(), relief.Set)
	if !relief.Given() {
		return
	}
	s.set("relief", schema.PressureDim, relief.Set.SI, relief.Set)
	s.set("reliefRatio", schema.NumberDim, relief.Set.SI/p.Switches.Off.SI, relief.Set, p.Switches.Off)
	if relief.Flow.Given() {
		s.set("reliefFlow", schema.FlowDim, relief.Flow.SI, relief.Flow)
	} else {
		s.open("what the relief valve lets out is not given: add `flow: \"L/min\": …` to it", "reliefFlow")
	}
	x.weakest(s, way)
}

// isolator judges a shut-off valve by the cylinders on the way to which there is none that does what it does not.
func (x *examiner) isolator(name string, p schema.AirPart) {
	s := newSubject(x.m, "isolator", name, p.At)
	x.add(s)
	keeps := x.air.relying(name, func(isolator string) bool { return x.m.Air.Parts[isolator].Exhausts.Value })
	s.flag("keepsPressure", !p.Exhausts.Value && len(keeps) > 0, p.Exhausts)
	s.text("keepsPressureIn", cylindersInWords(keeps), p.Exhausts)
	open := x.air.relying(name, func(isolator string) bool { return x.m.Air.Parts[isolator].Lockable.Value })
	s.flag("canBeOpened", !p.Lockable.Value && len(open) > 0, p.Lockable)
	s.text("opensTo", cylindersInWords(open), p.Lockable)
}

func cylindersInWords(names []string) string {
	switch len(names) {
	case 0:
		return "no cylinder"
	case 1:
		return "cylinder " + names[0]
	}
	return "cylinders " + inWords(names)
}

// reliefValve is one beside those that protect a compressor: on a rail behind a regulator, or a second one before it.
func (x *examiner) reliefValve(name string, p schema.AirPart) {
	if x.protects(name) {
		return
	}
	s := newSubject(x.m, "relief valve", name, p.At)
	x.add(s)
	s.set("set", schema.PressureDim, p.Set.SI, p.Set)
	worked := schema.Pressure{}
	delivered, silent := 0.0, ""
	var from []schema.Input
	for _, source := range sorted(x.air.ways) {
		reach, ok := x.air.ways[source].Parts[name]
		if !ok {
			continue
		}
		below := x.m.Air.Parts[source].Switches.Off
		for _, regulator := range reach.Regulators {
			if set := x.m.Air.Parts[regulator].Set; set.SI < below.SI {
				below = set
			}
		}
		if !worked.Given() || below.SI > worked.SI {
			worked = below
		}
		most, by := deliversMost(x.m.Air.Parts[source])
		from = append(from, by)
		delivered += most
		if !by.Given() {
			silent = source
		}
	}
	if !worked.Given() {
		_, why := x.air.at(name)
		s.open(why, "worked", "setRatio", "arrives")
		return
	}
	s.set("worked", schema.PressureDim, worked.SI, worked)
	if worked.SI > 0 {
		s.set("setRatio", schema.NumberDim, p.Set.SI/worked.SI, p.Set, worked)
	}
	if silent != "" {
		s.open(fmt.Sprintf("what %s delivers is not given: add `delivers: \"L/min\": …` (free air, not displacement)", silent), "arrives")
	} else {
		s.set("arrives", schema.FlowDim, delivered, from...)
	}
	if p.Flow.Given() {
		s.set("flow", schema.FlowDim, p.Flow.SI, p.Flow)
	} else {
		s.open("what the relief valve lets out is not given: add `flow: \"L/min\": …` to it", "flow")
	}
}

// protects reports whether a relief valve stands in for the one that a compressor lacks.
func (x *examiner) protects(relief string) bool {
	for source, way := range x.air.ways {
		if !x.m.Air.Parts[source].Relief.Given() && slices.Contains(way.Parts[source].Reliefs, relief) {
			return true
		}
	}
	return false
}

// weakest finds the least rating among what the compressor reaches without a regulator.
func (x *examiner) weakest(s *Subject, way air.Way) {
	least, name := math.Inf(1), ""
	var from schema.Input
	for _, n := range sorted(way.Parts) {
		rating := x.m.Air.Parts[n].Rating
		if !rating.Given() {
			rating = x.m.Cylinders[n].Rating
		}
		if !way.Parts[n].Regulated && rating.Given() && rating.SI < least {
			least, name, from = rating.SI, n, rating
		}
	}
	for _, n := range sorted(way.Runs) {
		r := x.m.Air.Runs[n]
		if way.Runs[n].Regulated || !r.Tube.Given() {
			continue
		}
		if p, in, why := tubeRating(r.Tube, x.warmest(r).SI); why == "" && p < least {
			least, name, from = p, "tube "+n, in
		}
	}
	if name == "" {
		s.open("no part before the regulator says what it is rated for", "weakest")
		return
	}
	s.set("weakest", schema.PressureDim, least, from)
	s.text("weakestName", name)
	s.text("reliefAdvice", reliefAdvice(s.Facts["reliefAdvised"].SI, least))
}

// reliefAdvice is where a relief valve can be set between what lifts it in service and what the weakest part bears.
func reliefAdvice(least, most float64) string {
	bar := func(si float64) string { return schema.Format(schema.PressureDim, si) }
	if least <= most {
		return fmt.Sprintf("Set the relief valve between %s (1.1 × cut-out, or it lifts in service) and %s", bar(least), bar(most))
	}
	return fmt.Sprintf("Lower the cut-out to %s or less and set the relief valve to %s", bar(most/reliefOverCutOut), bar(most))
}

func (x *examiner) warmest(r schema.Run) schema.Temperature {
	if r.Warmest.Given() {
		return r.Warmest
	}
	return x.m.Site.Warmest
}

// tubeRating is what a tube may carry at a temperature (K): the rating listed for the next temperature above. Without ratings, a share of
// the burst pressure, and only up to the temperature at which that was found.
func tubeRating(t schema.Tube, at float64) (float64, schema.Input, string) {
	best := math.Inf(1)
	var rating schema.TubeRating
	for _, r := range t.Ratings {
		if r.At.SI >= at-1e-9 && r.At.SI < best {
			best, rating = r.At.SI, r
		}
	}
	warm := schema.Format(schema.TemperatureDim, at)
	switch {
	case !math.IsInf(best, 1):
		return rating.SI, rating.Pressure, ""
	case len(t.Ratings) > 0:
		return 0, nil, fmt.Sprintf("the tube has no rating for %s: add one from its data sheet, or keep it cooler (`warmest: degC: …`)", warm)
	case at <= burstTemperature+1e-9:
		return t.Burst.SI / burstFactor, t.Burst, ""
	}
	return 0, nil, fmt.Sprintf("only its burst pressure at 20 °C is given, and it gets to %s: add `ratings: [{at: degC: …, bar: …}]` from its data sheet", warm)
}

func (x *examiner) tube(name string, r schema.Run) {
	s := newSubject(x.m, "tube", name, r.At)
	x.add(s)
	warmest := x.warmest(r)
	s.text("material", r.Tube.Material.Value, r.Tube.Material)
	s.flag("shatters", shatters(r.Tube.Material.Value), r.Tube.Material)
	s.set("warmest", schema.TemperatureDim, warmest.SI, warmest)
	cutLength(s, r)
	zone, why := x.air.in(name)
	x.pressures(s, zone, why)
	whip(s, r)
	rating, from, why := tubeRating(r.Tube, warmest.SI)
	if why != "" {
		s.open(why, "rating")
	} else {
		s.set("rating", schema.PressureDim, rating, from, warmest)
	}
	most := math.Inf(-1)
	for _, listed := range r.Tube.Ratings {
		if listed.SI >= zone.pressure {
			most = max(most, listed.At.SI)
		}
	}
	s.text("cooler", "keeping it cooler is not enough")
	if !math.IsInf(most, -1) {
		s.text("cooler", "keeping it at "+schema.Format(schema.TemperatureDim, most)+" or cooler does too")
	}
}

// whip is what the end of a tube does that comes off under the pressure in it. A pipe of metal stays where it is.
func whip(s *Subject, r schema.Run) {
	p := s.Facts["pressure"]
	if p.Kind != Quantity || slices.ContainsFunc([]string{"steel", "copper", "brass", "alumin"}, func(metal string) bool { return strings.Contains(strings.ToLower(r.Tube.Material.Value), metal) }) {
		return
	}
	s.set("whipBore", schema.LengthDim, r.Tube.Inner.SI, r.Tube.Inner)
	s.set("jetForce", schema.ForceDim, air.JetForce(r.Tube.Inner.SI, p.SI, roomPressure), append([]schema.Input{r.Tube.Inner}, p.From...)...)
	s.flag("blowsOn", !r.BurstValve.Value, r.BurstValve)
	long, swing := "as it is long", "How much it takes from the jet on a swing hangs on its length, which is not given"
	switch {
	case r.Length.Given():
		s.set("whipLength", schema.LengthDim, r.Length.SI, r.Length)
		long = "as its " + schema.Format(schema.LengthDim, r.Length.SI)
	case r.Cut.Given():
		s.set("whipLength", schema.LengthDim, r.Cut.SI, r.Cut)
		long = "as its " + schema.Format(schema.LengthDim, r.Cut.SI)
	}
	if l, known := s.Facts["whipLength"]; known {
		most := s.Facts["jetForce"].SI * math.Pi * l.SI
		s.set("whipEnergy", schema.EnergyDim, most, append(slices.Clone(l.From), s.Facts["jetForce"].From...)...)
		swing = "On one swing from side to side it takes " + schema.Format(schema.EnergyDim, most) + " from the jet at the most: its force along half a circle, nothing lost"
	}
	s.text("whipLong", long)
	s.text("whipSwing", swing)
}

// shatters reports whether a pipe material breaks into flying pieces under air: rigid vinyl and acrylic. Soft, braided hose does not.
func shatters(material string) bool {
	name := strings.ToLower(material)
	if strings.Contains(name, "soft") || strings.Contains(name, "braid") || strings.Contains(name, "plasticised") {
		return false
	}
	for _, m := range []string{"pvc", "polyvinyl chloride", "pmma", "acrylic"} {
		if strings.Contains(name, m) {
			return true
		}
	}
	return false
}

// joints judges both ends of a run.
func (x *examiner) joints(name string, r schema.Run) {
	zone, why := x.air.in(name)
	ends := []struct {
		port    schema.Text
		fitting schema.Fitting
	}{{r.From, r.Fittings.From}, {r.To, r.Fittings.To}}
	if !r.Tube.Given() {
		a, b := x.port(r.From.Value), x.port(r.To.Value)
		s := newSubject(x.m, "joint", name+": "+r.From.Value+" in "+r.To.Value, r.At)
		x.add(s)
		if a.Male.Value == b.Male.Value {
			both := "female"
			if a.Male.Value {
				both = "male"
			}
			sameKind(s, a.Thread, b.Thread, both)
			return
		}
		if b.Male.Value {
			a, b = b, a
		}
		matingFacts(s, a.Thread, b.Thread)
		return
	}
	for _, e := range ends {
		port := x.port(e.port.Value)
		s := newSubject(x.m, "joint", name+" at "+e.port.Value, e.port.At)
		x.add(s)
		pushIn := port.Tube
		if e.fitting.Given() {
			pushIn = e.fitting.Tube
			switch {
			case port.Thread.Given() && port.Male.Value:
				sameKind(s, e.fitting.Thread, port.Thread, "male")
			case port.Thread.Given():
				matingFacts(s, e.fitting.Thread, port.Thread)
			}
			if e.fitting.Rating.Given() {
				s.set("rating", schema.PressureDim, e.fitting.Rating.SI, e.fitting.Rating)
				switch {
				case why != "" || zone.why != "":
					s.open(why+zone.why, "pressure")
				default:
					s.set("pressure", schema.PressureDim, zone.pressure, zone.from...)
				}
			}
		}
		if pushIn.Given() {
			s.set("tube", schema.LengthDim, r.Tube.Outer.SI, r.Tube.Outer)
			s.set("pushIn", schema.LengthDim, pushIn.SI, pushIn)
			s.set("tubeDifference", schema.LengthDim, math.Abs(r.Tube.Outer.SI-pushIn.SI), r.Tube.Outer, pushIn)
		}
	}
}

func (x *examiner) port(name string) schema.Port {
	p := portOf(name)
	if part, ok := x.m.Air.Parts[p.Part]; ok {
		return part.Ports[p.Name]
	}
	return x.m.Cylinders[p.Part].Ports[p.Name]
}

// sameKind is the joint of two threads that are both male or both female.
func sameKind(s *Subject, a, b schema.Text, both string) {
	s.flag("threadsClash", true, a, b)
	s.text("threads", fmt.Sprintf("%s meets %s, and both are %s", a.Value, b.Value, both))
}

func matingFacts(s *Subject, male, female schema.Text) {
	a, errA := standards.PortThreadByName(male.Value)
	b, errB := standards.PortThreadByName(female.Value)
	if errA != nil || errB != nil {
		return // the loader refuses such a thread
	}
	mating := air.Mate(air.Thread{Family: a.Family, Size: a.Size}, air.Thread{Family: b.Family, Size: b.Size})
	s.flag("threadsClash", mating == air.Clashes, male, female)
	s.flag("taperInParallel", mating == air.TaperInParallel, male, female)
	s.text("threads", fmt.Sprintf("%s into %s", male.Value, female.Value), male, female)
}
