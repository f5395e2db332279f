package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/checks/wiring"
	"trammel.example/schema"
)

const (
	// letGoAt is the share of a coil's own current at which it has surely let go. Common practice, no source: 0.1 to 0.4.
	letGoAt = 0.1
	// perWatt is the time constant of a coil by its power, s/W: IEC 60947-5-1 (from memory) counts on 0.95 of the current after 6 ms for each
	// watt, which is three time constants.
	perWatt = 2e-3
	// mostByPower is where that table ends, W.
	mostByPower = 50
	// varistorAt is the voltage of a varistor in a coil's plug over that of the coil. Common practice, no source.
	varistorAt = 2.5
	// forward is what a diode takes beside the Zener diode in line with it, V.
	forward = 0.7
)

// zeners are usual voltages of Zener and suppressor diodes, V (the E12 series of IEC 60063), and transistors those that a driver may bear
// (common practice, no source).
var (
	zeners      = []float64{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82, 100}
	transistors = []float64{20, 30, 40, 55, 60, 80, 100, 150, 200, 400, 600}
)

// timeConstant is a coil's inductance over its resistance, and whether that is assumed.
func timeConstant(c schema.Coil) (seconds float64, assumed bool) {
	if c.TimeConstant.Given() {
		return c.TimeConstant.SI, false
	}
	return perWatt * min(c.Volts.SI*c.Volts.SI/ohmsOf(c), mostByPower), true
}

// A quench is what takes a coil's current when its driver lets go.
type quench struct {
	words   string
	diodes  []string // of the wiring
	drivers bool     // it is built into the driver
	from    []schema.Input
}

// quenchOf is the first of: a diode across the coil, what is built into the coil, what is built into a driver.
func (e *electric) quenchOf(c schema.CoilOf) (q quench) {
	coil := e.coilOf(c)
	for _, name := range e.across(c) {
		d := e.w.Diodes[name]
		q.words, q.diodes, q.from = "the diode "+name, append(q.diodes, name), append(q.from, d.Clamps, d.Current)
	}
	for _, d := range e.drivenBy[c.Name] {
		if suppressed := e.w.Drivers[d].Suppressed; suppressed.Value {
			if q.drivers = true; q.words == "" {
				q.words, q.from = "what is built into "+d, []schema.Input{suppressed}
			}
		}
	}
	if coil.Suppressed.Value != "none" && q.diodes == nil {
		q.words, q.from = "the "+coil.Suppressed.Value+" built into it", []schema.Input{coil.Clamps, coil.Suppressed}
	}
	return q
}

// A lettingGo is what follows when the drivers of a coil let go.
type lettingGo struct {
	time  float64            // until the coil's current is down to a tenth of its own, s
	peaks map[string]float64 // of its drivers, V
	ok    bool               // it can be followed
}

// bears names a driver that bears less than it gets; "" where all that is known is borne.
func (e *electric) bears(l lettingGo) string {
	for _, d := range sorted(l.peaks) {
		if blocks := e.w.Drivers[d].Blocks; blocks.Given() && l.peaks[d] > blocks.SI {
			return d
		}
	}
	return ""
}

// lets follows a coil that its drivers let go, cold, with the supply at its highest. A drop above 0 stands for a diode straight across the
// coil in the place of whatever takes its current.
func (e *electric) lets(c schema.CoilOf, drop float64) (l lettingGo, ok bool) {
	key := letKey{c.Name, drop}
	if l, known := e.let[key]; known {
		return l, l.ok
	}
	l, l.ok = e.letsAnew(c, drop)
	e.let[key] = l
	return l, l.ok
}

type letKey struct {
	coil string
	drop float64
}

func (e *electric) letsAnew(c schema.CoilOf, drop float64) (l lettingGo, ok bool) {
	volts := e.w.Supply.Volts.SI * (1 + e.w.Supply.Tolerance.SI)
	drivers := e.driversFor([]string{c.Name})
	state := wireState{volts: volts, drivers: drivers}
	on, err := e.solve(state)
	if err != nil {
		return l, false
	}
	state.drivers, state.lets = nil, map[string]bool{}
	var coils []wiring.Coil
	var own float64
	for _, other := range e.coils {
		if !slices.ContainsFunc(e.drivenBy[other.Name], func(d string) bool { return drivers[d] }) {
			continue
		}
		ohms := ohmsOf(e.coilOf(other))
		tau, _ := timeConstant(e.coilOf(other))
		state.lets[other.Name] = true
		coils = append(coils, wiring.Coil{A: e.nodes[other.Plus], B: e.nodes[other.Minus], Ohms: ohms, Henries: tau * ohms, Amps: on.coils[other.Name] / ohms})
		if other.Name == c.Name {
			own = on.coils[other.Name] / e.coilOf(c).Volts.SI
		}
	}
	if drop > 0 {
		state.across, state.drop = c, drop
		state.without = e.quenchOf(c)
	}
	n, _, _ := e.network(state)
	got, err := n.LetGo(coils, min(letGoAt/math.Abs(own), 1))
	if err != nil {
		return l, false
	}
	l.peaks = map[string]float64{}
	for d := range drivers {
		l.peaks[d] = math.Abs(got.Volts[e.nodes[d+".out"]] - got.Volts[e.nodes[d+".common"]])
	}
	for k := range coils {
		if coils[k].A == e.nodes[c.Plus] && coils[k].B == e.nodes[c.Minus] {
			l.time = got.Time[k]
		}
	}
	return l, !math.IsInf(l.time, 1)
}

// lettingGo holds how coils let go against the plan, or what their valves want, and what their drivers see against what those bear.
func (e *electric) lettingGo(x *examiner) {
	if e == nil {
		return
	}
	peaks := map[string]float64{}
	worst := map[string]schema.CoilOf{}
	for _, c := range e.coils {
		coil, s := e.coilOf(c), x.subject("coil", c.Name)
		if coil.Kind.Value != "dc" {
			s.open("it is for alternating current: how it lets go, and what its driver sees then, hangs on the moment in the wave, and is not judged, nor are its hum and its power factor", "letsGoAfter")
			continue
		}
		bare := s.Facts["bare"]
		if bare.Kind != Flag {
			continue // no driver switches it, or what is said of it says why not
		}
		tau, assumed := timeConstant(coil)
		if assumed {
			x.assume(s, coil.Path+".timeConstant", ms(tau), fmt.Sprintf("IEC 60947-5-1 (from memory): 2 ms for each watt, %g W at most", float64(mostByPower)))
		}
		if coil.Suppressed.Value == "varistor" && !coil.Clamps.Given() {
			x.assume(s, coil.Path+".clamps", schema.Format(schema.VoltageDim, varistorAt*coil.Volts.SI), "common practice: 2.5 × the coil's voltage")
		}
		if bare.Flag {
			if l, ok := e.lets(c, forward); ok {
				s.set("withDiode", schema.TimeDim, l.time)
			}
			continue
		}
		l, ok := e.lets(c, 0)
		if !ok {
			s.open("what takes its current when it is switched off can't be followed", "letsGoAfter")
			continue
		}
		q := e.quenchOf(c)
		s.set("letsGoAfter", schema.TimeDim, l.time, append(q.from, coil.TimeConstant, coil.Watts, coil.Current, coil.Ohms)...)
		s.text("quench", q.words)
		for d, peak := range l.peaks {
			if peak > peaks[d] {
				peaks[d], worst[d] = peak, c
			}
		}
		by, why, from := coil.LetsGoWithin.SI, "`letsGoWithin` leaves it", schema.Input(coil.LetsGoWithin)
		if !coil.LetsGoWithin.Given() {
			by = math.Inf(1)
		}
		if step, left := e.leftAfter(x, c); step != nil && left < by {
			by, why, from = left, "The step "+step.Name+" leaves it, beside its stroke and its stand,", x.m.Cycle.Period
		}
		if math.IsInf(by, 1) {
			continue
		}
		s.set("letsGoBy", schema.TimeDim, by, from)
		s.text("letsGoWhy", why)
		if l.time > by {
			s.text("remedyLetGo", e.sooner(c, q, by))
		}
	}
	for _, d := range sorted(e.w.Drivers) {
		if peaks[d] == 0 {
			continue
		}
		driver, s := e.w.Drivers[d], x.subject("driver", d)
		if driver.Suppressed.Value {
			x.assume(s, driver.Path+".suppressed", "a diode from `out` to the other pole of the supply", "common practice: drivers for coils")
		}
		s.set("peak", schema.VoltageDim, peaks[d], append([]schema.Input{driver.Blocks}, e.quenchOf(worst[d]).from...)...)
		s.text("lets", worst[d].Name)
		if !driver.Blocks.Given() {
			s.open(fmt.Sprintf("what it bears when it is off is not given, and it gets %s then: add `blocks: V: …` from its data sheet", schema.Format(schema.VoltageDim, peaks[d])), "blocks")
			continue
		}
		s.set("blocks", schema.VoltageDim, driver.Blocks.SI, driver.Blocks)
		if peaks[d] > driver.Blocks.SI {
			s.text("remedyPeak", e.gentler(d, worst[d], peaks[d]))
		}
	}
}

// leftAfter is the step of the plan that a coil begins by letting go and that has the least time to spare, and that time. One that has
// none to spare is found out for itself.
func (e *electric) leftAfter(x *examiner, c schema.CoilOf) (least *Subject, left float64) {
	left = math.Inf(1)
	for _, s := range x.subjects {
		until, known := s.Facts["until"]
		if s.Kind != "step" || !known {
			continue
		}
		// What sends the rod the other way is let go when the step begins.
		end := map[string]string{"in": "rear", "out": "front"}[s.Facts["way"].Text]
		l, why := x.plumber().line(s.Facts["cylinder"].Text, end)
		if spare := until.SI - s.Facts["stands"].SI - s.Facts["time"].SI; why == "" && drives(c, l) && spare > 0 && spare < left {
			least, left = s, spare
		}
	}
	return least, left
}

// sooner finds the suppressor with which a coil lets go in time, and solves again with it.
func (e *electric) sooner(c schema.CoilOf, q quench, by float64) string {
	var tried, bearable float64
	for _, z := range zeners {
		l, ok := e.lets(c, z+forward)
		if !ok {
			continue
		}
		if d := e.bears(l); l.time <= by && d == "" {
			return fmt.Sprintf("%s: computed again, it lets go after %s, and %s", inPlace(q, z), ms(l.time), sees(l))
		} else if l.time <= by {
			return fmt.Sprintf("%s, with a driver for %s or more in the place of %s: computed again, it lets go after %s, and %s", inPlace(q, z), schema.Format(schema.VoltageDim, usual(transistors, l.peaks[d])), d, ms(l.time), sees(l))
		}
		tried, bearable = l.time, z
	}
	if bearable == 0 {
		return "Leave it more time, or take a coil of less power"
	}
	return fmt.Sprintf("No suppressor does that: with one for %s it still takes %s. Leave it more time, or take a coil of less power", schema.Format(schema.VoltageDim, bearable), ms(tried))
}

// gentler finds the highest clamping voltage that a driver bears, and solves again with it; where even a diode is too much, another driver.
func (e *electric) gentler(driver string, c schema.CoilOf, peak float64) string {
	q := e.quenchOf(c)
	for _, z := range slices.Backward(append([]float64{0}, zeners...)) {
		if l, ok := e.lets(c, z+forward); ok && e.bears(l) == "" {
			return fmt.Sprintf("%s: computed again, %s, and %s lets go after %s; or take a driver for %s or more", inPlace(q, z), sees(l), c.Name, ms(l.time), schema.Format(schema.VoltageDim, usual(transistors, peak)))
		}
	}
	return fmt.Sprintf("Take a driver for %s or more", schema.Format(schema.VoltageDim, usual(transistors, peak)))
}

// inPlace says what goes across a coil instead of what is there.
func inPlace(q quench, zener float64) string {
	what := "a plain diode"
	if zener > 0 {
		volts := schema.Format(schema.VoltageDim, zener)
		what = fmt.Sprintf("a diode and a Zener diode of %s in line, or a suppressor diode of %s (`clamps: V: %g`),", volts, volts, zener)
	}
	switch {
	case q.drivers:
		return "Take a driver without a path of its own, and put " + what + " straight across the coil"
	case q.diodes == nil:
		return "Take a coil with nothing built in, and put " + what + " straight across it"
	}
	return "Put " + what + " in the place of " + q.words
}

func sees(l lettingGo) string {
	var words []string
	for _, d := range sorted(l.peaks) {
		words = append(words, d+" gets "+schema.Format(schema.VoltageDim, l.peaks[d]))
	}
	return inWords(words)
}

// usual is the first of a series from a value on, and the value itself beyond it.
func usual(series []float64, least float64) float64 {
	for _, v := range series {
		if v >= least {
			return v
		}
	}
	return math.Ceil(least)
}

func ms(seconds float64) string { return fmt.Sprintf("%.3g ms", seconds*1e3) }
