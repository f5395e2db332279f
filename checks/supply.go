package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/supply"
	"trammel.example/schema"
)

const (
	// leaks is what a line takes by what its cylinders take: common practice, a fifth on top.
	leaks = 1.2
	// usualDuty is the share of the time that a small piston compressor may run: common practice, 50 to 60 %.
	usualDuty = 0.5
	// sweptDelivered is the free air that comes out of a piston compressor by what its pistons sweep: common practice, 0.5 to 0.7.
	sweptDelivered, sweptDeliveredMost = 0.6, 0.7
	// roomForStroke is the time between two commands of a rod by that of its stroke. Common practice, no source.
	roomForStroke = 1.3
	// frostBelow in K: under it, water that falls out where air expands turns to ice. Common practice, no source: 5 °C.
	frostBelow = 278.15
	// dryness in K is how far the dew point of dry air lies under the coldest place. Common practice, no source.
	dryness = 3
	// usualHumidity is that of ISO 8778.
	usualHumidity = 0.65
	// workday in s.
	workday = 8 * 3600
	// markedAbove in Pa m³ (50 bar L) is the pressure times volume from which vessels are made by directives on simple pressure vessels.
	markedAbove = 50e5 * 1e-3
	// staggers are how many delays between strokes are tried, each a tenth of a second longer.
	staggers = 100
)

// deliversMost is the most free air that can come from a compressor, and the value that says so.
func deliversMost(p schema.AirPart) (float64, schema.Flow) {
	if !p.Delivers.Given() && p.Displaces.Given() {
		return sweptDeliveredMost * p.Displaces.SI, p.Displaces
	}
	return p.Delivers.SI, p.Delivers
}

// A planned step is one of the machine's cycle, with what it takes.
type planned struct {
	schema.Step
	name    string
	subject *Subject
	next    schema.Moment
	gap     float64 // s until the rod is sent back
	time    float64 // s; NaN where it is not known
	air     float64 // m³ of free air; NaN where it is not known
	why     string  // why one of them is not
	from    []schema.Input
	needs   Fact // the pressure that moves it anywhere on its way
}

// A stock is what a compressor keeps ready.
type stock struct {
	lowest float64 // Pa gauge, in the receiver
	from   []schema.Input
	raise  func(above float64) string // what keeps it above another pressure
}

// supplies holds what the plan takes against what the compressors give.
func (x *examiner) supplies() {
	steps := x.steps()
	stocks := map[string]stock{}
	for _, source := range sorted(x.air.ways) {
		stocks[source] = x.supplied(source, steps)
	}
	for _, s := range steps {
		x.pressureOfStep(s, stocks)
	}
	x.pilots(stocks)
	x.readings()
	for _, name := range sorted(x.m.Air.Parts) {
		switch p := x.m.Air.Parts[name]; p.Kind.Value {
		case "compressor":
			x.vessel(name, "tank", p.Tank)
		case "receiver":
			x.vessel(name, "receiver", schema.Vessel{Origin: p.Origin, Volume: p.Volume, Marked: p.Marked})
		case "filter":
			x.bowl(name, p)
		case "lubricator":
			x.lubricator(name, p)
		}
	}
}

func (x *examiner) subject(kind, name string) *Subject {
	for _, s := range x.subjects {
		if s.Kind == kind && s.Name == name {
			return s
		}
	}
	return nil
}

// steps gives each step of the plan its subject.
func (x *examiner) steps() []*planned {
	var all []*planned
	p := x.plumber()
	by := x.m.Cycle.ByCylinder()
	for _, name := range sorted(by) {
		for i, step := range by[name] {
			next := by[name][(i+1)%len(by[name])]
			s := &planned{Step: step, next: next.At, name: fmt.Sprintf("%s %s at %s", name, step.Goes.Value, schema.Format(schema.TimeDim, step.At.SI)), time: math.NaN(), air: math.NaN()}
			if s.gap = next.At.SI - step.At.SI; s.gap <= 0 {
				s.gap += x.m.Cycle.Period.SI
			}
			s.subject = newSubject(x.m, "step", s.name, step.Origin.At)
			x.add(s.subject)
			x.timeOf(s)
			x.airOf(s, p)
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(a, b *planned) int { return strings.Compare(a.Path, b.Path) })
	for _, s := range all {
		if math.IsNaN(s.air) {
			s.subject.open(s.why, "air")
		}
		if math.IsNaN(s.time) {
			s.subject.open(s.why, "room")
			continue
		}
		blamed := []schema.Input{s.next, x.m.Cycle.Period, s.At, s.Stands}
		if s.wraps() {
			blamed[0], blamed[1] = blamed[1], blamed[0]
		}
		s.subject.text("way", s.Goes.Value)
		s.subject.text("cylinder", s.Cylinder.Value)
		s.subject.set("time", schema.TimeDim, s.time, s.from...)
		s.subject.set("stands", schema.TimeDim, s.Stands.SI, s.Stands)
		s.subject.set("until", schema.TimeDim, s.gap, blamed...)
		s.subject.set("room", schema.NumberDim, (s.gap-s.Stands.SI)/s.time, append(blamed, s.from...)...)
		s.subject.text("remedyRoom", x.roomier(s, all), blamed...)
	}
	return all
}

// wraps reports whether the rod is sent back in the next round.
func (s *planned) wraps() bool { return s.next.SI <= s.At.SI }

// wants is the time from command to command that leaves the stroke its own, and the stand.
func (s *planned) wants() float64 { return roomForStroke*s.time + s.Stands.SI }

// roomier is a later command, or a longer cycle, that leaves a step its time.
func (x *examiner) roomier(s *planned, all []*planned) string {
	time := func(t float64) string { return schema.Format(schema.TimeDim, math.Ceil(t*10-1e-6)/10) }
	rate := func(t float64) string {
		return fmt.Sprintf("%s (%s a minute at most)", time(t), schema.Format(schema.NumberDim, 60/(math.Ceil(t*10-1e-6)/10)))
	}
	period, stretched := 0.0, 1.0
	for _, other := range all {
		if math.IsNaN(other.time) {
			continue
		}
		stretched = max(stretched, other.wants()/other.gap)
		if other.wraps() {
			period = max(period, other.At.SI+other.wants()-other.next.SI)
		}
	}
	if s.wraps() {
		return "Let the whole cycle take " + rate(period) + ", with all moments as they are: then each rod that is sent back in the next round has 1.3 times its stroke"
	}
	return fmt.Sprintf("Send it back at %s or later, or stretch the whole cycle, all its moments alike, to %s: then every rod has 1.3 times its stroke", time(s.At.SI+s.wants()), rate(stretched*x.m.Cycle.Period.SI))
}

// timeOf takes the time of a stroke from its course, else as it is written.
func (x *examiner) timeOf(s *planned) {
	y := x.m.Cylinders[s.Cylinder.Value]
	if stroke := x.subject("stroke", s.Cylinder.Value+" "+s.Goes.Value); stroke != nil {
		if f, ok := stroke.Facts["time"]; ok && f.Kind == Quantity {
			s.time, s.from = f.SI, f.From
		}
		s.needs = stroke.Facts["restartsAt"]
	}
	switch {
	case !math.IsNaN(s.time):
	case y.Time.Given():
		s.time, s.from = y.Time.SI, []schema.Input{y.Time}
	default:
		s.why = unknownTime([]string{s.Cylinder.Value})
	}
}

func unknownTime(cylinders []string) string {
	return fmt.Sprintf("how long the strokes of %s take is not known: add `time: s: …` to the cylinder, or what the parts of its line let through", inWords(cylinders))
}

// airOf is what the chamber, the tube to it and the rest of its volume take.
func (x *examiner) airOf(s *planned, p *plumber) {
	name := s.Cylinder.Value
	y := x.m.Cylinders[name]
	lack := func(why string) {
		if s.why == "" {
			s.why = why
		}
	}
	zone, why := x.air.at(name)
	if why == "" {
		why = zone.why
	}
	push, pull := pistonAreas(y)
	area, end := push, "rear"
	if s.Goes.Value == "in" {
		area, end = pull, "front"
	}
	if y.Acting.Value == "single" {
		if _, has := y.Ports[end]; !has {
			s.air = 0
			return // its spring moves it
		}
	}
	switch {
	case why != "":
		lack(why)
		return
	case math.IsNaN(area):
		lack("its rod is not given: add `rod: mm: …` from its data sheet")
		return
	}
	before := len(p.lengths)
	line, why := p.line(name, end)
	if why != "" {
		lack(why)
		return
	}
	if len(p.lengths) > before {
		lack(fmt.Sprintf("the length of the tube of %s is not given: add `length: mm: …`", inWords(p.lengths[before:])))
		return
	}
	travel := y.Stroke.SI
	if x.motion.why(name) == "" {
		between := x.motion.ranges[indexOf(x.motion.cylinders, name)]
		travel = between[1] - between[0]
	}
	dead := y.Dead.SI
	if !y.Dead.Given() {
		dead = deadBores * y.Bore.SI * push
		x.assume(s.subject, y.Path+".dead", fmt.Sprintf("%.3g mL", dead*1e6), "common practice: a quarter of the bore long, with port and passages")
	}
	s.air = supply.Stroke(area*travel, dead+line.tubes, zone.pressure+roomPressure, roomPressure)
	s.subject.set("air", schema.VolumeDim, s.air, append(slices.Clone(zone.from), y.Bore, y.Stroke)...)
}

// supplied holds the plan against one compressor.
func (x *examiner) supplied(source string, steps []*planned) stock {
	p := x.m.Air.Parts[source]
	s := x.subject("supply", source)
	way := x.air.ways[source]
	cutIn, cutOut := p.Switches.On.SI, p.Switches.Off.SI
	volume, vessels := x.vessels(source, p)
	x.frost(s, source)
	idle := stock{lowest: cutIn, from: []schema.Input{p.Switches.On}, raise: func(above float64) string {
		return fmt.Sprintf("let the compressor start at %s or more", schema.Format(schema.PressureDim, above))
	}}
	if p.Displaces.Given() {
		s.flag("guessed", !p.Delivers.Given(), p.Displaces)
		s.set("displaces", schema.FlowDim, p.Displaces.SI, p.Displaces)
	}
	var on []*planned
	for _, step := range steps {
		if _, fed := way.Parts[step.Cylinder.Value]; fed {
			on = append(on, step)
		}
	}
	delivers, delivered := p.Delivers.SI, p.Delivers
	if !p.Delivers.Given() && p.Displaces.Given() {
		delivers, delivered = sweptDelivered*p.Displaces.SI, p.Displaces
		x.assume(s, p.Path+".delivers", schema.Format(schema.FlowDim, delivers), "common practice: 0.5 to 0.7 of what the pistons sweep")
	}
	if p.Displaces.Given() {
		s.set("counted", schema.FlowDim, delivers, delivered)
		if volume > 0 {
			s.text("measured", fmt.Sprintf(": with nothing running, it takes the receiver from %s to %s in %s when it does", schema.Format(schema.PressureDim, cutIn), schema.Format(schema.PressureDim, cutOut), schema.Format(schema.TimeDim, supply.Fill(volume, cutIn, cutOut, delivers))))
		} else {
			s.text("measured", "")
		}
	}
	if len(on) == 0 {
		return idle
	}
	var silent, untimed []string
	for _, step := range on {
		switch name := step.Cylinder.Value; {
		case math.IsNaN(step.time) && !slices.Contains(untimed, name):
			untimed = append(untimed, name)
		case !math.IsNaN(step.time) && math.IsNaN(step.air) && !slices.Contains(silent, step.why):
			silent = append(silent, step.why)
		}
	}
	if len(untimed) > 0 {
		silent = append(silent, unknownTime(untimed))
	}
	if !delivered.Given() {
		silent = append(silent, "what the compressor delivers is not given: add `delivers: \"L/min\": …` (free air, not displacement)")
	}
	if len(silent) > 0 {
		s.open(strings.Join(silent, "; "), "runs", "lowest")
		return idle
	}
	copies := 1.0
	if p.Copies.Given() {
		copies = p.Copies.SI
	}
	duty := p.Duty.SI
	if !p.Duty.Given() {
		duty = usualDuty
		x.assume(s, p.Path+".duty", "0.5", "common practice: 50 to 60 % for a small piston compressor")
	}
	plan := supply.Plan{Period: x.m.Cycle.Period.SI}
	setting := 0.0
	var set []schema.Input
	for _, step := range on {
		if step.air == 0 {
			continue
		}
		plan.Draws = append(plan.Draws, supply.Draw{At: step.At.SI, Takes: step.time, Air: leaks * copies * step.air})
		if zone, _ := x.air.at(step.Cylinder.Value); zone.pressure > setting {
			setting, set = zone.pressure, zone.from
		}
	}
	if len(plan.Draws) == 0 {
		return idle
	}
	demand := plan.Mean()
	s.text("taker", "The plan")
	if copies > 1 {
		s.text("taker", fmt.Sprintf("The plan, in %g machines alike,", copies), p.Copies)
	}
	s.set("perCycle", schema.VolumeDim, demand*plan.Period, x.m.Cycle.Period)
	s.set("demand", schema.FlowDim, demand, x.m.Cycle.Period, p.Copies)
	s.set("comes", schema.FlowDim, delivers, delivered)
	s.set("runs", schema.NumberDim, demand/delivers, x.m.Cycle.Period, p.Copies, delivered)
	s.set("duty", schema.NumberDim, duty, p.Duty)
	s.set("deliversNeeded", schema.FlowDim, demand/duty, delivered)
	period := math.Ceil(demand*plan.Period/(duty*delivers)*10-1e-6) / 10
	s.set("periodLeast", schema.TimeDim, period, x.m.Cycle.Period)
	s.set("rateMost", schema.NumberDim, 60/period, x.m.Cycle.Period)
	x.drains(source, p, demand)
	if volume == 0 {
		s.open("how much the receiver holds is not given: add `tank: volume: L: …` to the compressor, or its volume to the receiver", "lowest")
		return idle
	}
	short := plan.Shortfall(delivers)
	low := receiverAfter(volume, cutIn, short.Air)
	from := append(slices.Clone(vessels), p.Switches.On, delivered)
	s.set("lowest", schema.PressureDim, low, from...)
	s.worst("lowest", fmt.Sprintf("with the compressor just started at %s, between %s and %s of the cycle", schema.Format(schema.PressureDim, cutIn), schema.Format(schema.TimeDim, short.From), schema.Format(schema.TimeDim, math.Mod(short.To, plan.Period))))
	s.set("short", schema.VolumeDim, short.Air, x.m.Cycle.Period)
	if demand < delivers {
		s.set("recovers", schema.TimeDim, supply.Fill(volume, low, cutOut, delivers-demand), append([]schema.Input{p.Switches.Off}, from...)...)
	}
	s.set("setting", schema.PressureDim, setting, set...)
	sag := sag{on: on, plan: plan, delivers: delivers, volume: volume, cutIn: cutIn, cutOut: cutOut, short: short.Air}
	raise := func(above float64) string {
		if low >= above {
			return idle.raise(above) // which nobody reads but where a house's own limit is stricter
		}
		return sag.remedy(above)
	}
	s.text("remedySag", sentence(raise(setting)), vessels...)
	return stock{low, from, raise}
}

// receiverAfter is the pressure, gauge, in a receiver from which free air was taken: never less than that of the room.
func receiverAfter(volume, pressure, air float64) float64 {
	return max(0, supply.After(volume, pressure+roomPressure, air, supply.Adiabatic)-roomPressure)
}

// sentence begins with a capital.
func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// A sag is the receiver's fall, for what holds it up.
type sag struct {
	on       []*planned
	plan     supply.Plan
	delivers float64
	volume   float64
	cutIn    float64
	cutOut   float64
	short    float64
}

// remedy is a receiver, and a delay between strokes, with which the pressure stays above another; each computed again.
func (g sag) remedy(wanted float64) string {
	bar := func(p float64) string { return schema.Format(schema.PressureDim, p) }
	from, to := g.cutIn+roomPressure, wanted+roomPressure
	if to >= from {
		// The higher the pressure, the less it falls.
		start := math.Ceil((wanted+g.cutIn-receiverAfter(g.volume, g.cutIn, g.short))/1e4-1e-9) * 1e4
		if start >= g.cutOut {
			return fmt.Sprintf("set what lies behind to %s or less, or take a compressor that starts at %s or more and goes on to above that", bar(receiverAfter(g.volume, g.cutIn, g.short)), bar(start))
		}
		return fmt.Sprintf("let the compressor start at %s or more: computed again, the receiver falls to %s", bar(start), bar(receiverAfter(g.volume, start, g.short)))
	}
	litres := roundUp(supply.Volume(g.short, from, to, supply.Adiabatic))
	text := fmt.Sprintf("have receivers of %s in all: computed again, they fall to %s", schema.Format(schema.VolumeDim, litres), bar(receiverAfter(litres, g.cutIn, g.short)))
	if delay, low, ok := g.stagger(wanted); ok {
		text += fmt.Sprintf("; or let each stroke of a group begin %s after the one before: computed again, the receiver falls to %s", schema.Format(schema.TimeDim, delay), bar(low))
	}
	return text
}

// roundUp leaves two digits.
func roundUp(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/step-1e-9) * step
}

// stagger finds the least delay between strokes that overlap, such that each still has its time and the pressure stays above one.
func (g sag) stagger(wanted float64) (delay, low float64, ok bool) {
	order := slices.Clone(g.on)
	order = slices.DeleteFunc(order, func(s *planned) bool { return s.air == 0 })
	slices.SortStableFunc(order, func(a, b *planned) int { return cmp.Compare(a.At.SI, b.At.SI) })
	place := make([]int, len(order)) // in its group: those that begin before the one before has ended
	for i := 1; i < len(order); i++ {
		if order[i].At.SI < order[i-1].At.SI+order[i-1].time {
			place[i] = place[i-1] + 1
		}
	}
	if slices.Max(place) == 0 {
		return 0, 0, false
	}
	for k := 1; k <= staggers; k++ {
		delay = float64(k) / 10
		at := map[*planned]float64{}
		for _, s := range g.on {
			at[s] = s.At.SI
		}
		for i, s := range order {
			at[s] += delay * float64(place[i])
		}
		if !g.keepsTime(at) {
			return 0, 0, false
		}
		p := supply.Plan{Period: g.plan.Period}
		share := g.plan.Mean() * g.plan.Period / g.sum()
		for _, s := range order {
			p.Draws = append(p.Draws, supply.Draw{At: math.Mod(at[s], p.Period), Takes: s.time, Air: share * s.air})
		}
		if low := receiverAfter(g.volume, g.cutIn, p.Shortfall(g.delivers).Air); low >= wanted {
			return delay, low, true
		}
	}
	return 0, 0, false
}

func (g sag) sum() (air float64) {
	for _, s := range g.on {
		air += s.air
	}
	return air
}

// keepsTime reports whether every stroke has its time before its rod is sent back, with other beginnings.
func (g sag) keepsTime(at map[*planned]float64) bool {
	for _, s := range g.on {
		for _, next := range g.on {
			if next.Cylinder.Value != s.Cylinder.Value || next == s {
				continue
			}
			gap := math.Mod(at[next]-at[s]+2*g.plan.Period, g.plan.Period)
			if gap < s.wants() {
				return false
			}
		}
	}
	return true
}

// vessels are the receivers that hold what a compressor delivers, before any regulator.
func (x *examiner) vessels(source string, p schema.AirPart) (volume float64, from []schema.Input) {
	add := func(v schema.Volume) {
		if v.Given() {
			volume, from = volume+v.SI, append(from, v)
		}
	}
	add(p.Tank.Volume)
	for _, name := range sorted(x.air.ways[source].Parts) {
		if r := x.m.Air.Parts[name]; r.Kind.Value == "receiver" && !x.air.ways[source].Parts[name].Regulated {
			add(r.Volume)
		}
	}
	return volume, from
}

// vessel says what a vessel holds, and whether it is marked where it must be.
func (x *examiner) vessel(name, what string, v schema.Vessel) {
	if !v.Volume.Given() {
		return
	}
	s := newSubject(x.m, "vessel", name, v.At)
	x.add(s)
	s.text("what", what)
	s.set("volume", schema.VolumeDim, v.Volume.SI, v.Volume)
	zone, why := x.air.at(name)
	if why == "" {
		why = zone.failedWhy
	}
	if why != "" {
		s.open(why, "pressure")
		return
	}
	highest := zone.failed
	s.set("pressure", schema.PressureDim, highest, zone.fromFailed...)
	s.set("energy", schema.EnergyDim, supply.Energy(v.Volume.SI, highest+roomPressure, roomPressure), v.Volume)
	if highest*v.Volume.SI <= markedAbove*(1+1e-9) {
		return
	}
	s.set("barLitres", schema.NumberDim, highest*v.Volume.SI/(1e5*1e-3), v.Volume)
	s.set("volumeUnmarked", schema.VolumeDim, markedAbove/highest, v.Volume)
	if v.Marked.Given() {
		s.flag("marked", v.Marked.Value, v.Marked)
	} else {
		s.open("whether it has a plate with its pressure and volume is not written: add `marked: true` if it has", "marked")
	}
}

// drains says how much water gathers in a day of work, and whether each place where it does can be drained.
func (x *examiner) drains(source string, p schema.AirPart, demand float64) {
	humidity := usualHumidity
	if h := x.m.Site.Humidity; h.Given() {
		humidity = h.SI
	}
	warm := x.m.Site.Warmest
	water := workday * demand * supply.Condensed(warm.SI, roomPressure, humidity, p.Switches.On.SI+roomPressure)
	drain := func(name, what string, at schema.Place, d schema.Text, kind schema.Input) {
		s := newSubject(x.m, "low point", name, at)
		x.add(s)
		if !x.m.Site.Humidity.Given() {
			x.assume(s, "site.humidity", "0.65", "ISO 8778: 65 %")
		}
		s.text("what", what)
		s.set("water", schema.MassDim, water, warm, x.m.Site.Humidity, x.m.Cycle.Period)
		if d.Given() {
			s.flag("drained", d.Value != "none", d)
		} else {
			s.open("whether water can be let out of it is not written: add `drain: \"hand\"`, `\"automatic\"` or `\"none\"`", "drained")
		}
	}
	if p.Tank.Given() {
		drain(source, "tank", p.Tank.At, p.Tank.Drain, p.Kind)
	}
	for _, name := range sorted(x.air.ways[source].Parts) {
		switch part := x.m.Air.Parts[name]; part.Kind.Value {
		case "receiver", "filter":
			if x.subject("low point", name) == nil {
				drain(name, part.Kind.Value, part.At, part.Drain, part.Kind)
			}
		}
	}
}

// frost compares the dew point with the coldest place, where that is near freezing.
func (x *examiner) frost(s *Subject, source string) {
	coldest := x.m.Site.Coldest
	if !coldest.Given() || coldest.SI >= frostBelow {
		return
	}
	// Without a dryer, the air is saturated in a receiver that is as cold as the line.
	dew, from := coldest.SI, schema.Input(coldest)
	for _, name := range sorted(x.air.ways[source].Parts) {
		if d := x.m.Air.Parts[name].DewPoint; d.Given() {
			dew, from = d.SI, d
		}
	}
	s.set("coldest", schema.TemperatureDim, coldest.SI, coldest)
	s.set("dewPoint", schema.TemperatureDim, dew, from)
	s.set("dewPointMost", schema.TemperatureDim, coldest.SI-dryness, coldest)
}

// pressureOfStep holds the lowest pressure that a cylinder gets against what moves it.
func (x *examiner) pressureOfStep(s *planned, stocks map[string]stock) {
	if s.needs.Kind != Quantity || s.needs.From == nil {
		return
	}
	low, from, remedy := x.lowestAt(s.Cylinder.Value, s.needs.SI, stocks)
	s.subject.set("pressure", schema.PressureDim, low, from...)
	s.subject.set("needs", schema.PressureDim, s.needs.SI, s.needs.From...)
	s.subject.text("remedyPressure", sentence(remedy))
}

// lowestAt is the lowest pressure at a part with its supply, what it comes from, and what brings it up to another.
func (x *examiner) lowestAt(part string, wanted float64, stocks map[string]stock) (low float64, from []schema.Input, remedy string) {
	for _, source := range sorted(x.air.ways) {
		reach, ok := x.air.ways[source].Parts[part]
		if !ok {
			continue
		}
		kept := stocks[source]
		at := min(reach.Pressure, kept.lowest)
		if remedy != "" && at <= low {
			continue
		}
		low, from, remedy = at, kept.from, kept.raise(wanted)
		if reach.Pressure <= kept.lowest && len(reach.Regulators) > 0 {
			least := reach.Regulators[0]
			for _, r := range reach.Regulators {
				if x.m.Air.Parts[r].Set.SI < x.m.Air.Parts[least].Set.SI {
					least = r
				}
			}
			from, remedy = []schema.Input{x.m.Air.Parts[least].Set}, fmt.Sprintf("set %s to %s or more, where all behind it bears that", least, schema.Format(schema.PressureDim, wanted))
		}
	}
	return low, from, remedy
}

// pilots holds the lowest pressure at each valve that air shifts against what it needs.
func (x *examiner) pilots(stocks map[string]stock) {
	for _, name := range sorted(x.m.Air.Parts) {
		p := x.m.Air.Parts[name]
		if p.Kind.Value != "valve" || p.Moved.Value != "coil" || !p.Pilot.Given() && !x.m.Cycle.Given() {
			continue
		}
		s := newSubject(x.m, "pilot", name, p.At)
		x.add(s)
		at := name
		s.text("port", "1")
		if p.Pilot.External.Value {
			at = name + "." + p.PilotPort()
			s.text("port", p.PilotPort())
		}
		switch _, why := x.air.at(at); {
		case !p.Pilot.Given():
			s.open("the least pressure with which it shifts is not given: add `pilot: least: bar: …` from its data sheet, 0 where the coil moves it alone", "pressure")
		case why != "":
			s.open(why, "pressure")
		default:
			low, from, remedy := x.lowestAt(at, p.Pilot.Least.SI, stocks)
			s.set("least", schema.PressureDim, p.Pilot.Least.SI, p.Pilot.Least)
			s.set("pressure", schema.PressureDim, low, from...)
			s.text("remedyPilot", sentence(remedy))
			if low >= p.Pilot.Least.SI && p.Pilot.Least.SI > 0 && !p.Pilot.External.Value {
				x.pilotsInFlow(s, name, low)
			}
		}
	}
}

// readings looks for a gauge on the stored side, and behind each regulator.
func (x *examiner) readings() {
	for _, name := range sorted(x.m.Air.Parts) {
		p := x.m.Air.Parts[name]
		kind, gauge := p.Kind.Value, p.Gauge
		if kind != "compressor" && kind != "regulator" {
			continue
		}
		found, reached := gauge.Value, kind == "compressor"
		stands := p.Switches.Off
		if kind == "regulator" {
			stands = p.Set
		}
		for _, source := range sorted(x.air.ways) {
			way := x.air.ways[source]
			at, ok := way.Parts[name]
			reached = reached || ok
			if !ok {
				continue
			}
			zone := at.Regulators
			if kind == "regulator" {
				zone = append(slices.Clone(zone), name)
				slices.Sort(zone)
			}
			for _, other := range sorted(way.Parts) {
				q := x.m.Air.Parts[other]
				reads := q.Kind.Value == "gauge" || q.Kind.Value == "receiver" && q.Gauge.Value
				found = found || reads && slices.Equal(way.Parts[other].Regulators, zone)
			}
		}
		if !reached || !found && !gauge.Given() && !x.m.Cycle.Given() {
			continue // a spec that says nothing of gauges and of how the machine runs
		}
		s := newSubject(x.m, "reading", name, p.At)
		x.add(s)
		s.flag("gauged", found, gauge, p.Kind)
		s.text("where", map[string]string{"compressor": "in the receiver", "regulator": "behind the regulator"}[kind])
		s.set("stands", schema.PressureDim, stands.SI, stands)
	}
}

// bowl looks at what a filter's water gathers in.
func (x *examiner) bowl(name string, p schema.AirPart) {
	if !p.Bowl.Given() || p.Bowl.Material.Value != "plastic" {
		return
	}
	s := newSubject(x.m, "bowl", name, p.Bowl.At)
	x.add(s)
	s.flag("guarded", p.Bowl.Guarded.Value, p.Bowl.Guarded, p.Bowl.Material)
	warm := x.m.Site.Warmest
	s.set("warmest", schema.TemperatureDim, warm.SI, warm)
	if zone, why := x.air.at(name); why == "" && zone.why == "" {
		s.set("pressure", schema.PressureDim, zone.pressure, zone.from...)
	} else {
		s.open(cmp.Or(why, zone.why), "pressure")
	}
}

// lubricator looks whether it stands behind a regulator.
func (x *examiner) lubricator(name string, p schema.AirPart) {
	s := newSubject(x.m, "lubricator", name, p.At)
	x.add(s)
	zone, why := x.air.at(name)
	if why != "" {
		s.open(why, "regulated")
		return
	}
	s.flag("regulated", zone.regulated, p.Kind)
	if zone.why == "" {
		s.set("pressure", schema.PressureDim, zone.pressure, zone.from...)
	} else {
		s.open(zone.why, "pressure")
	}
}

// cutLength compares a tube as it is cut with what it needs, its ends in the fittings.
func cutLength(s *Subject, r schema.Run) {
	if !r.Cut.Given() || !r.Length.Given() {
		return
	}
	needed, from := r.Length.SI, []schema.Input{r.Cut, r.Length}
	for _, f := range []schema.Fitting{r.Fittings.From, r.Fittings.To} {
		if f.Given() && !f.Inserts.Given() {
			s.open("how deep the tube goes into its fittings is not given: add `inserts: mm: …` to each", "cutSpare")
			return
		}
		needed += f.Inserts.SI
		from = append(from, f.Inserts)
	}
	s.set("cutNeeded", schema.LengthDim, needed, from...)
	s.set("cutSpare", schema.LengthDim, r.Cut.SI-needed, from...)
}
