package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

const (
	roomPressure    = 101325 // Pa absolute, ISO 2533
	roomTemperature = 293.15 // K, ISO 8778
	// wallHeat in W/(m² K) is between the air and a moving cylinder's walls: some 20 to 100 (from memory).
	wallHeat = 50
	// usualBreakaway is friction at rest by that in motion: 1.25 to 1.5. Common practice, no source.
	usualBreakaway = 1.4
	// deadBores is the length of the dead volume of a chamber, with port and passages, in bores. Common practice, no source.
	deadBores = 0.25
	// creepSpeed in m/s is that below which a common cylinder goes by jerks. Common practice, no source.
	creepSpeed = 0.05
	// widest in m is the largest bore of a tube that OfTube is good for.
	widest = 20e-3
	// wideOpen in m³/(s Pa) is far above what any part of a bench machine lets through.
	wideOpen = 1e-6
	// strokeError is the relative error of a step, which moves the facts by less than one in a thousand.
	strokeError = 1e-5
	// courseSamples are those of the course in which the fastest point is looked for, beside the moments when the rod is fastest and ends.
	courseSamples = 101
	// searchSteps are all the steps that the searches for one cylinder's remedies may take: some hundred strokes, or a tenth of a second.
	searchSteps = 200_000
	// searchError does where only one of two outcomes is asked for.
	searchError = 1e-4
	// lowestSetting in Pa is where the search for a pressure begins when none is set.
	lowestSetting = 1e4
	// slowest is the time in s after which a stroke that goes on is given up.
	slowest = 10
	// late and early are by how much a stroke may miss the time that is wanted of it. Common practice, no source.
	late, early = 1.2, 1.5
	// calmFirst is how much faster than later ones the first stroke may be, and slamSpeed (m/s) up to what it may be in any case.
	// Common practice, no source.
	calmFirst, slamSpeed = 2, 0.2
	// endSpeedMost in m/s and helpMost, a share of the thrust, are what a stroke may end at and be helped by without a flow control on the
	// air that leaves: rules/stroke.cue has them too.
	endSpeedMost, helpMost = 0.5, 0.05
	// pressureInHand is the set pressure by the lowest that does. Common practice, no source: a quarter in hand.
	pressureInHand = 1.25
)

// boreSeries are the bores in m of ISO 6432 and ISO 15552.
var boreSeries = []float64{8e-3, 10e-3, 12e-3, 16e-3, 20e-3, 25e-3, 32e-3, 40e-3, 50e-3, 63e-3, 80e-3, 100e-3, 125e-3, 160e-3, 200e-3, 250e-3, 320e-3}

// A driven cylinder is one of which every stroke can be computed.
type driven struct {
	x           *examiner
	name        string
	y           schema.Cylinder
	zone        airZone
	rear, front *line
	feed        []linePart // between the valve and where the pressure is kept
	out         [2][]linePart
	outBare     [2]string // the ports at which the rear's and the front's air leaves without a silencer
	low, high   float64
	mechanism   stroke.Mechanism
	poses       []stroke.Pose // between low and high
	strokes     []float64     // of the sweep
	ratios      []float64     // the speed of the fastest point by the rod's, at each
	friction    stroke.Friction
	dead        float64
	steps       int // left for searches
}

func (x *examiner) strokes() {
	for _, name := range sorted(x.m.Cylinders) {
		y := x.m.Cylinders[name]
		if !x.m.Air.Given() {
			continue // which the cylinder's pressure says
		}
		p := x.plumber()
		d, why := x.driven(name, y, p)
		out := newSubject(x.m, "stroke", name+" out", y.At)
		if why != "" {
			// A spec that says nothing of flow anywhere is judged by forces alone.
			fact := "starts"
			if p.given {
				fact = "arrives"
			}
			out.open(why, fact)
			x.add(out)
			continue
		}
		for _, a := range p.assumed {
			x.assume(out, a.Path, a.Value, a.Source)
		}
		in := newSubject(x.m, "stroke", name+" in", y.At)
		x.add(out)
		x.add(in)
		peakOut, peakIn := d.judge(out, false), d.judge(in, true)
		if inward, possible := d.first(); possible {
			first := newSubject(x.m, "stroke", name+" first", y.At)
			x.add(first)
			peak := peakOut
			if inward {
				peak = peakIn
			}
			d.judgeFirst(first, inward, peak)
		}
	}
}

// driven gathers what the strokes of a cylinder are computed from, or says why they can't be.
func (x *examiner) driven(name string, y schema.Cylinder, p *plumber) (*driven, string) {
	d := &driven{x: x, name: name, y: y, steps: searchSteps}
	var lacks []string
	missing := func(text string) {
		if text != "" {
			lacks = append(lacks, text)
		}
	}
	if y.Acting.Value != "double" {
		return nil, "it is single-acting, and strokes are computed for double-acting cylinders"
	}
	var text string
	if d.rear, text = p.line(name, "rear"); text != "" {
		return nil, text
	}
	if d.front, text = p.line(name, "front"); text != "" {
		return nil, text
	}
	if d.rear.valve != d.front.valve || d.rear.outlet == d.front.outlet {
		return nil, fmt.Sprintf("its two ends are joined to %s.%s and %s.%s: strokes are computed for a cylinder between ports 2 and 4 of one valve", d.rear.valve, d.rear.outlet, d.front.valve, d.front.outlet)
	}
	for i, l := range []*line{d.rear, d.front} {
		if l.vent >= 0 {
			d.out[i], d.outBare[i] = l.vents, l.ventBare
			continue
		}
		port := map[string]string{"4": "5", "2": "3"}[l.outlet]
		d.out[i], d.outBare[i] = p.exhaust(l.valve + "." + port)
	}
	var fed bool
	if d.feed, fed = p.supply(d.rear.valve+".1", map[string]bool{}); !fed {
		missing(fmt.Sprintf("no air comes to %s.1", d.rear.valve))
	}
	missing(x.motion.why(name))
	zone, text := x.air.at(name)
	missing(text)
	missing(zone.why)
	d.zone = zone
	if text := p.missing(); text != "" {
		missing("the stroke can't be computed without " + text)
	}
	if len(x.motion.unweighed) > 0 {
		missing(fmt.Sprintf("the weight of %s is not given: add `mass: kg: …` to each", strings.Join(x.motion.unweighed, ", ")))
	}
	if !y.Rod.Given() {
		missing("the rod's diameter is not given: add `rod: mm: …`, or `standard: \"ISO 6432\"`")
	}
	if !y.Moving.Given() {
		missing("the mass that moves with the rod is not given: add `moving: kg: …` to the cylinder")
	}
	if len(lacks) > 0 {
		return nil, strings.Join(lacks, "; ")
	}
	d.seals(p)
	if err := d.table(); err != nil {
		return nil, err.Error()
	}
	return d, ""
}

// seals takes friction and dead volumes as given, or as they usually are.
func (d *driven) seals(p *plumber) {
	y := d.y
	push, _ := pistonAreas(y)
	if y.Friction.Given() {
		d.friction.Constant = y.Friction.SI
	} else {
		d.friction.PerPressure = (1 - y.Efficiency.SI) * push
	}
	if y.Cushion.Given() && !y.Cushion.Needle.Given() {
		p.assume(y.Cushion.Path+".needle", "open", "its braking is left out; what it gets is counted where it begins")
	}
	d.friction.Breakaway = y.Breakaway.SI
	if !y.Breakaway.Given() {
		d.friction.Breakaway = usualBreakaway
		p.assume(y.Path+".breakaway", "1.4", "common practice: friction at rest 1.25 to 1.5 times that in motion")
	}
	d.dead = y.Dead.SI
	if !y.Dead.Given() {
		d.dead = deadBores * y.Bore.SI * push
		p.assume(y.Path+".dead", fmt.Sprintf("%.3g mL", d.dead*1e6), "common practice: a quarter of the bore long, with port and passages")
	}
}

// table makes the mechanism that the piston feels: effective mass, and loads by direction, over the stroke.
func (d *driven) table() error {
	mo := d.x.motion
	sweep := mo.sweeps[d.name].Poses
	d.low, d.high = max(0, sweep[0].Stroke), min(d.y.Stroke.SI, sweep[len(sweep)-1].Stroke)
	for _, s := range d.x.m.Stops {
		switch {
		case s.Cylinder.Value != d.name:
		case s.At.SI > d.y.Stroke.SI/2:
			d.high = min(d.high, s.At.SI)
		default:
			d.low = max(d.low, s.At.SI)
		}
	}
	var strokes []float64
	var poses []stroke.Pose
	for i := range sweep {
		mass, slope := mo.solver.EffectiveMass(&sweep[i], &mo.weights)
		out, in, _, _ := mo.thrusts(&sweep[i])
		const fine = 1e-6 // kg, kg/m and N
		to := func(x float64) float64 { return math.Round(x/fine) * fine }
		p := stroke.Pose{Mass: to(mass + d.y.Moving.SI), Slope: to(slope), Load: to((out - in) / 2), Drag: max(0, to((out+in)/2))}
		strokes, poses = append(strokes, steady(sweep[i].Stroke)), append(poses, p)
		ratio := 0.0
		for _, v := range sweep[i].Velocity {
			ratio = max(ratio, r2.Norm(v))
		}
		d.strokes, d.ratios = append(d.strokes, sweep[i].Stroke), append(d.ratios, ratio)
		if s := sweep[i].Stroke; s >= d.low && s <= d.high {
			d.poses = append(d.poses, p)
		}
	}
	if len(d.poses) < 2 {
		return fmt.Errorf("the stops leave it no way: from %s to %s", schema.Format(schema.LengthDim, d.low), schema.Format(schema.LengthDim, d.high))
	}
	table, err := stroke.NewTable(strokes, poses)
	d.mechanism = table
	return err
}

// machine is the cylinder at the moment at which its valve shifts: from the other end of its stroke, with air on the side that will
// exhaust, or with none on either.
func (d *driven) machine(inward, empty bool) stroke.Machine {
	push, pull := pistonAreas(d.y)
	supply := d.zone.pressure + roomPressure
	m := stroke.Machine{
		Air:    stroke.Air{Pressure: roomPressure, Temperature: roomTemperature, Wall: wallHeat},
		Supply: stroke.Supply{Pressure: supply},
		Stroke: d.y.Stroke.SI, Low: d.low, High: d.high, Start: d.low, Inward: inward,
		Mechanism: d.mechanism, Friction: d.friction,
	}
	feed := slices.Clone(d.feed)
	for i := range feed {
		if feed[i].fills.C > 0 && empty {
			feed[i].In = feed[i].fills
		}
	}
	if inward {
		m.Cap, m.Rod = d.chamber(push, d.rear, d.out[0], stroke.Exhausted), d.chamber(pull, d.front, feed, stroke.Supplied)
	} else {
		m.Cap, m.Rod = d.chamber(push, d.rear, feed, stroke.Supplied), d.chamber(pull, d.front, d.out[1], stroke.Exhausted)
	}
	exhausting := &m.Rod
	if inward {
		m.Start, exhausting = d.high, &m.Cap
	}
	if !empty {
		exhausting.Pressure = supply
	}
	for _, x := range []*float64{&m.Supply.Pressure, &m.Stroke, &m.Low, &m.High, &m.Start, &m.Friction.Constant, &m.Friction.PerPressure,
		&m.Cap.Area, &m.Cap.Dead, &m.Cap.Pressure, &m.Cap.Cushion.Length, &m.Cap.Cushion.Needle.C, &m.Cap.Line.Tube.Bore, &m.Cap.Line.Tube.Length,
		&m.Rod.Area, &m.Rod.Dead, &m.Rod.Pressure, &m.Rod.Cushion.Length, &m.Rod.Cushion.Needle.C, &m.Rod.Line.Tube.Bore, &m.Rod.Line.Tube.Length} {
		*x = steady(*x)
	}
	for _, side := range [][]stroke.Element{m.Cap.Line.Valve, m.Cap.Line.Port, m.Rod.Line.Valve, m.Rod.Line.Port} {
		for i := range side {
			side[i].In.C, side[i].Out.C = steady(side[i].In.C), steady(side[i].Out.C)
		}
	}
	return m
}

// steady leaves nine digits of a number. The control of steps makes a difference in the sixth digit out of one in the last, and one
// machine should come out the same whatever the units it is written in.
func steady(x float64) float64 {
	fraction, exponent := math.Frexp(x)
	return math.Ldexp(math.Round(fraction*(1<<30))/(1<<30), exponent)
}

// chamber is one side of the piston with its line, and what lies beyond the valve.
func (d *driven) chamber(area float64, l *line, beyond []linePart, to stroke.Connection) stroke.Chamber {
	c := stroke.Chamber{Area: area, Dead: d.dead, Pressure: roomPressure, To: to}
	if cushion := d.y.Cushion; cushion.Given() {
		c.Cushion = stroke.Cushion{Length: min(cushion.Length.SI, d.y.Stroke.SI), Needle: stroke.Conductance{C: wideOpen, B: usualRatio}}
		if cushion.Needle.Given() {
			c.Cushion.Needle.C = cushion.Needle.SI
		}
	}
	own := l.parts
	if to == stroke.Exhausted && l.vent >= 0 {
		own = own[:l.vent]
	}
	way := slices.Concat(own, beyond)
	// The solver has one tube with a volume on each line: the largest. The others count by what they let through.
	main, most := -1, 0.0
	for i, p := range own {
		if v := p.tube.Bore * p.tube.Bore * p.tube.Length; v > most {
			main, most = i, v
		}
	}
	for i := len(way) - 1; i >= 0; i-- {
		switch {
		case i == main:
			c.Line.Tube = way[i].tube
		case i > main:
			c.Line.Valve = append(c.Line.Valve, way[i].Element)
		default:
			c.Dead += math.Pi / 4 * way[i].tube.Bore * way[i].tube.Bore * way[i].tube.Length
			c.Line.Port = append(c.Line.Port, way[i].Element)
		}
	}
	return c
}

func (d *driven) options(tolerance float64) stroke.Options {
	o := stroke.Options{Tolerance: tolerance, Limit: max(slowest, 3*d.y.Time.SI)}
	if tolerance == strokeError {
		o.Samples = courseSamples
	}
	return o
}

// try computes a stroke in a search. With a value at which it can't be computed, or when the steps are used up, it does not arrive.
func (d *driven) try(m stroke.Machine) *stroke.Result {
	o := d.options(searchError)
	o.Steps = min(d.steps, searchSteps/10)
	r := &stroke.Result{Verdict: stroke.OutOfSteps}
	if o.Steps > 0 {
		if tried, err := stroke.Run(m, o); err == nil {
			r = tried
		}
	}
	d.steps -= max(r.Steps+r.Rejected, 1)
	return r
}

func (d *driven) sides(inward bool) (supplied, exhausting *line, out []linePart, bare string) {
	if inward {
		return d.front, d.rear, d.out[0], d.outBare[0]
	}
	return d.rear, d.front, d.out[1], d.outBare[1]
}

// inputs are the values that every stroke comes from, the one to change first before them.
func (d *driven) inputs(first ...schema.Input) []schema.Input {
	return append(append(first, d.zone.from...), d.y.Bore, d.y.Stroke)
}

// control is the setting of the flow control on the air that leaves, and the name of the port by which it leaves the cylinder.
func (d *driven) control(inward bool) (set, port schema.Input) {
	_, l, out, _ := d.sides(inward)
	set = schema.Conductance{}
	for _, p := range slices.Concat(l.parts, out) {
		if p.control != "" && p.out {
			set = d.x.m.Air.Parts[p.control].Throttles.Set
			break
		}
	}
	at := d.name + ".front"
	if inward {
		at = d.name + ".rear"
	}
	for _, r := range d.x.m.Air.Runs {
		for _, end := range []schema.Text{r.From, r.To} {
			if end.Value == at {
				port = end
			}
		}
	}
	return set, port
}

// judge sets the facts of a stroke from the other end, and gives its peak speed.
func (d *driven) judge(s *Subject, inward bool) float64 {
	m := d.machine(inward, false)
	r, known := d.course(s, m, inward)
	if !known {
		return math.NaN()
	}
	supplied, exhausting, out, bare := d.sides(inward)
	way := exhausting.parts
	if exhausting.vent >= 0 {
		way = way[:exhausting.vent]
	}
	throttled := slices.ContainsFunc(slices.Concat(way, out), func(p linePart) bool { return p.control != "" && p.out })
	s.flag("unthrottled", !throttled)
	for _, p := range supplied.parts {
		if p.control != "" {
			s.flag("backward", !p.out, d.x.m.Air.Parts[p.control].Throttles.Enters)
			s.text("control", p.control)
			if !p.out {
				s.text("turned", d.turned(p.control, !inward))
			}
		}
	}
	s.flag("exhaustBare", bare != "", d.x.m.Air.Parts[exhausting.valve].Function)
	s.text("exhaustPort", bare)
	s.set("valvePassage", schema.ConductanceDim, exhausting.parts[len(exhausting.parts)-1].Out.C, d.x.m.Air.Parts[exhausting.valve].Passage.C, d.x.m.Air.Parts[exhausting.valve].Passage.Nominal)
	d.tubeShare(s, supplied, m, inward)
	d.helping(s, m, inward)
	if r.Verdict != stroke.Arrives {
		s.text("remedyArrive", d.untilItArrives(m, r))
		return math.Abs(r.PeakSpeed.Speed)
	}
	d.lowest(s, m, inward)
	d.timing(s, m, r)
	d.slowing(s, m, r)
	d.creeping(s, m, r)
	return math.Abs(r.PeakSpeed.Speed)
}

// turned is what the stroke that empties a line does with its flow control the other way round.
func (d *driven) turned(control string, inward bool) string {
	m := d.machine(inward, false)
	for _, side := range [][]stroke.Element{m.Cap.Line.Valve, m.Cap.Line.Port, m.Rod.Line.Valve, m.Rod.Line.Port} {
		for i := range side {
			if side[i].Name == control {
				side[i].In, side[i].Out = side[i].Out, side[i].In
			}
		}
	}
	way := map[bool]string{false: "out", true: "in"}[inward]
	r := d.try(m)
	if r.Verdict != stroke.Arrives {
		return "open it further then: as it is set, the rod does not get all the way " + way
	}
	return fmt.Sprintf("computed again, the way %s takes %s then", way, schema.Format(schema.TimeDim, r.Arrived))
}

// course computes a stroke and sets what every one has; it reports whether it could.
func (d *driven) course(s *Subject, m stroke.Machine, inward bool) (*stroke.Result, bool) {
	r, err := stroke.Run(m, d.options(strokeError))
	switch {
	case err != nil:
		s.open("the stroke can't be computed: "+err.Error(), "arrives")
		return nil, false
	case r.Verdict == stroke.OutOfSteps:
		s.open("the stroke could not be computed within the steps allowed: see whether a volume, a mass or a conductance is out of all proportion", "arrives")
		return nil, false
	}
	s.text("way", map[bool]string{false: "out", true: "in"}[inward])
	s.set("set", schema.PressureDim, d.zone.pressure, d.zone.from...)
	s.flag("arrives", r.Verdict == stroke.Arrives, d.inputs()...)
	s.text("halts", d.halts(r))
	s.set("peakSpeed", schema.SpeedDim, math.Abs(r.PeakSpeed.Speed), d.inputs()...)
	s.worst("peakSpeed", "with the rod out by "+schema.Format(schema.LengthDim, r.PeakSpeed.Stroke))
	tip, at := d.tip(r)
	s.set("tipSpeed", schema.SpeedDim, tip, d.inputs()...)
	s.worst("tipSpeed", "with the rod out by "+schema.Format(schema.LengthDim, at))
	s.set("peakRear", schema.PressureDim, r.PeakCap-roomPressure, d.inputs()...)
	s.set("peakFront", schema.PressureDim, r.PeakRod-roomPressure, d.inputs()...)
	s.set("peakAcceleration", schema.AccelerationDim, math.Abs(r.PeakAcceleration.Acceleration), d.inputs()...)
	losses := slices.Clone(r.Losses)
	slices.SortStableFunc(losses, func(a, b stroke.Loss) int { return cmp.Compare(b.Share, a.Share) })
	var words []string
	for _, l := range losses {
		if l.Share >= 0.01 {
			words = append(words, fmt.Sprintf("%s %.0f %%", d.lossName(l), 100*l.Share))
		}
	}
	s.text("losses", strings.Join(words, ", "))
	if len(losses) > 0 {
		s.text("mostLost", d.lossName(losses[0]))
		s.set("mostLostShare", schema.NumberDim, losses[0].Share, d.inputs()...)
	}
	if r.Verdict != stroke.Arrives {
		return r, true
	}
	control, port := d.control(inward)
	if s.Name == d.name+" first" {
		control = d.filling()
	}
	s.set("time", schema.TimeDim, r.Arrived, d.inputs(control, d.y.Time)...)
	s.set("starts", schema.TimeDim, r.Started, d.inputs()...)
	s.set("endSpeed", schema.SpeedDim, math.Abs(r.Last.Speed), d.inputs(control, port)...)
	if cushion := d.y.Cushion; cushion.Given() {
		s.set("cushionEnergy", schema.EnergyDim, r.EntryEnergy, d.inputs(control)...)
		if cushion.Energy.Given() {
			s.set("cushionRated", schema.EnergyDim, cushion.Energy.SI, cushion.Energy)
		}
	}
	if !d.y.Cushion.Given() || d.y.Cushion.Needle.Given() {
		s.set("stopEnergy", schema.EnergyDim, r.Energy.Stop, d.inputs()...)
	}
	return r, true
}

// tip is the highest speed of any point of the linkage, and the stroke at which it has it.
func (d *driven) tip(r *stroke.Result) (speed, at float64) {
	for _, sample := range append(r.Course, r.PeakSpeed, r.Last) {
		i, _ := slices.BinarySearch(d.strokes, sample.Stroke)
		i = min(i, len(d.strokes)-1)
		ratio := d.ratios[i]
		if i > 0 {
			part := (sample.Stroke - d.strokes[i-1]) / (d.strokes[i] - d.strokes[i-1])
			ratio = d.ratios[i-1] + min(part, 1)*(ratio-d.ratios[i-1])
		}
		if v := math.Abs(sample.Speed) * ratio; v > speed {
			speed, at = v, sample.Stroke
		}
	}
	return speed, at
}

// lossName is an element by its line, since both may pass the same valve.
func (d *driven) lossName(l stroke.Loss) string {
	side, of := "rear", d.rear
	if l.Rod {
		side, of = "front", d.front
	}
	if l.Name == "tube" {
		most := 0.0
		for _, p := range of.parts {
			if v := p.tube.Bore * p.tube.Bore * p.tube.Length; v > most {
				most, l.Name = v, p.Name
			}
		}
	}
	return l.Name + " (" + side + ")"
}

// halts says in words why a stroke does not come to its end.
func (d *driven) halts(r *stroke.Result) string {
	at := schema.Format(schema.LengthDim, r.Last.Stroke)
	newtons := func(f float64) string { return schema.Format(schema.ForceDim, math.Abs(f)) }
	forces := fmt.Sprintf("the air gives at most %s there, and load and friction take up to %s", newtons(r.Forces.Air), newtons(math.Abs(r.Forces.Load)+r.Forces.Holding))
	switch r.Verdict {
	case stroke.NeverStarts:
		return "it never starts: " + forces
	case stroke.Stalls:
		return "it stops for good with the rod out by " + at + ": " + forces
	case stroke.OutOfTime:
		return fmt.Sprintf("after %s it has come to a rod out by %s, and is not there", schema.Format(schema.TimeDim, r.Last.Time), at)
	}
	return ""
}

// untilItArrives looks for a pressure and for a bore that do.
func (d *driven) untilItArrives(m stroke.Machine, r *stroke.Result) string {
	if r.Verdict == stroke.OutOfTime {
		return fmt.Sprintf("Open the flow controls further; or write the time that it may take, if more than %s is wanted", schema.Format(schema.TimeDim, r.Last.Time))
	}
	var ways []string
	rating := d.y.Rating.SI
	if !d.y.Rating.Given() {
		rating = 10e5
	}
	arrives := func(*stroke.Result) bool { return true }
	press := func(n *stroke.Machine, gauge float64) {
		n.Supply.Pressure = gauge + roomPressure
		for _, c := range []*stroke.Chamber{&n.Cap, &n.Rod} {
			if c.To == stroke.Exhausted {
				c.Pressure = n.Supply.Pressure
			}
		}
	}
	least, _ := d.search(m, max(d.zone.pressure, lowestSetting), 1.2, arrives, press)
	set, high := pressureInHand*least, m
	press(&high, set)
	if least > 0 && set <= rating && d.try(high).Verdict == stroke.Arrives {
		ways = append(ways, "with a set pressure of "+schema.Format(schema.PressureDim, set))
	}
	for _, bore := range boreSeries {
		if bore <= d.y.Bore.SI {
			continue
		}
		wide := *d
		wide.y.Bore.SI = bore
		wide.friction.Constant *= bore / d.y.Bore.SI
		wide.friction.PerPressure *= math.Pow(bore/d.y.Bore.SI, 2)
		wide.dead *= math.Pow(bore/d.y.Bore.SI, 3)
		if wide.try(wide.machine(m.Inward, false)).Verdict == stroke.Arrives {
			ways = append(ways, fmt.Sprintf("with a bore of %s at %s", schema.Format(schema.LengthDim, bore), schema.Format(schema.PressureDim, d.zone.pressure)))
			break
		}
		d.steps = wide.steps
	}
	if len(ways) == 0 {
		return "Neither more pressure nor any standard bore moves it: look for what blocks the linkage, or a load that is too large"
	}
	return "Computed again, it arrives " + strings.Join(ways, ", or ")
}

// tubeShare compares the tube with the chamber that it fills.
func (d *driven) tubeShare(s *Subject, l *line, m stroke.Machine, inward bool) {
	area := m.Cap.Area
	if inward {
		area = m.Rod.Area
	}
	swept := area * (d.high - d.low)
	length, bore, long := schema.Input(d.y.Stroke), 0.0, 0.0
	most := 0.0
	for _, name := range sorted(d.x.m.Air.Runs) {
		r := d.x.m.Air.Runs[name]
		if slices.ContainsFunc(l.parts, func(p linePart) bool { return p.tube.Length > 0 && p.Name == "tube "+name }) {
			if v := r.Tube.Inner.SI * r.Tube.Inner.SI * r.Length.SI; v > most {
				most, length, bore, long = v, r.Length, r.Tube.Inner.SI, r.Length.SI
			}
		}
	}
	s.set("tubeShare", schema.NumberDim, l.tubes/swept, length, d.y.Bore, d.y.Stroke)
	if bore == 0 {
		return
	}
	room := math.Pi / 4 * bore * bore
	if rest := swept/2 - (l.tubes - room*long); rest > 0 {
		s.text("nearer", fmt.Sprintf("a tube of %s or less", schema.Format(schema.LengthDim, rest/room)))
	} else {
		s.text("nearer", "it belongs on the cylinder")
	}
}

// helping finds the largest load that drives the rod the way it goes.
func (d *driven) helping(s *Subject, m stroke.Machine, inward bool) {
	most := 0.0
	for _, p := range d.poses {
		if inward {
			most = max(most, p.Load+p.Drag)
		} else {
			most = max(most, p.Drag-p.Load)
		}
	}
	area := m.Cap.Area
	if inward {
		area = m.Rod.Area
	}
	s.set("helpingLoad", schema.ForceDim, most)
	if d.zone.pressure > 0 {
		_, port := d.control(inward)
		s.set("helpingShare", schema.NumberDim, most/(d.zone.pressure*area), d.inputs(port)...)
	}
}

// lowest sets the pressures that move the machine at its start, and from rest anywhere on its way: slowly, with no back pressure.
//
//	p A = Load ± Drag + κ (F_0 + f_p p)
func (d *driven) lowest(s *Subject, m stroke.Machine, inward bool) {
	area := m.Cap.Area
	if inward {
		area = m.Rod.Area
	}
	effective := area - m.Friction.Breakaway*m.Friction.PerPressure
	if effective <= 0 || d.zone.pressure == 0 {
		return
	}
	needed := func(p stroke.Pose) float64 {
		load := p.Load
		if inward {
			load = -load
		}
		return max(0, (load+p.Drag+m.Friction.Breakaway*m.Friction.Constant)/effective)
	}
	begins, most := d.poses[0], 0.0
	if inward {
		begins = d.poses[len(d.poses)-1]
	}
	for _, p := range d.poses {
		most = max(most, needed(p))
	}
	s.set("movesAt", schema.PressureDim, needed(begins), d.inputs()...)
	s.set("restartsAt", schema.PressureDim, most, d.inputs()...)
	s.set("restartsShare", schema.NumberDim, most/d.zone.pressure, d.inputs()...)
	// What the rod takes of the piston's area does not grow with the bore.
	push, _ := pistonAreas(d.y)
	bore := math.Sqrt((area*pressureInHand*most/d.zone.pressure + push - area) * 4 / math.Pi)
	s.set("boreInHand", schema.LengthDim, bore, d.y.Bore)
	text := fmt.Sprintf("A bore of %s or more does at %s", schema.Format(schema.LengthDim, bore), schema.Format(schema.PressureDim, d.zone.pressure))
	if set := pressureInHand * most; !d.y.Rating.Given() || set <= d.y.Rating.SI {
		text = fmt.Sprintf("Set %s or more; or take a bore of %s or more at %s", schema.Format(schema.PressureDim, set), schema.Format(schema.LengthDim, bore), schema.Format(schema.PressureDim, d.zone.pressure))
	}
	s.text("moreInHand", text)
}

// timing holds the stroke against the time that is wanted of it.
func (d *driven) timing(s *Subject, m stroke.Machine, r *stroke.Result) {
	wanted := d.y.Time
	if !wanted.Given() {
		return
	}
	s.set("timeWanted", schema.TimeDim, wanted.SI, wanted)
	s.set("timeMost", schema.TimeDim, late*wanted.SI, wanted)
	s.set("timeLeast", schema.TimeDim, wanted.SI/early, wanted)
	if r.Arrived > late*wanted.SI {
		s.text("faster", d.faster(m, r))
	} else {
		s.text("faster", "Open the flow control further")
	}
}

// faster finds what the part that takes most of the loss must let through.
func (d *driven) faster(m stroke.Machine, r *stroke.Result) string {
	worst := slices.MaxFunc(r.Losses, func(a, b stroke.Loss) int { return cmp.Compare(a.Share, b.Share) })
	name := d.lossName(worst)
	inTime := func(r *stroke.Result) bool { return r.Arrived <= d.y.Time.SI }
	chamber := func(n *stroke.Machine) *stroke.Chamber {
		if worst.Rod {
			return &n.Rod
		}
		return &n.Cap
	}
	if worst.Name == "tube" {
		bore := chamber(&m).Line.Tube.Bore
		wide, _ := d.search(m, bore, 1.2, inTime, func(n *stroke.Machine, bore float64) { chamber(n).Line.Tube.Bore = bore })
		if wide > 0 && wide <= widest {
			return fmt.Sprintf("Take a tube with a bore of %s or more for %s", schema.Format(schema.LengthDim, wide), name)
		}
		return fmt.Sprintf("Take a wider tube for %s and open what comes next: %s", name, d.next(r))
	}
	now := 0.0
	change := func(n *stroke.Machine, c float64) {
		l := &chamber(n).Line
		l.Valve, l.Port = slices.Clone(l.Valve), slices.Clone(l.Port)
		for _, side := range [][]stroke.Element{l.Valve, l.Port} {
			for i := range side {
				if side[i].Name == worst.Name {
					k := &side[i].In
					if chamber(n).To == stroke.Exhausted {
						k = &side[i].Out
					}
					now = k.C
					if c > 0 {
						k.C = c
					}
				}
			}
		}
	}
	change(&m, 0)
	if now == 0 {
		return "Open the needle of the cushion: it takes most"
	}
	c, _ := d.search(m, now, 1.5, inTime, change)
	if c > 0 {
		do := "In place of %s take one that lets through %s or more"
		if d.x.m.Air.Parts[worst.Name].Kind.Value == "flow control" {
			do = "Set %s to %s or more"
		}
		return fmt.Sprintf(do, name, schema.Format(schema.ConductanceDim, c))
	}
	return fmt.Sprintf("A wider %s alone is not enough: next come %s", name, d.next(r))
}

// next are the parts that take most after the first.
func (d *driven) next(r *stroke.Result) string {
	losses := slices.Clone(r.Losses)
	slices.SortStableFunc(losses, func(a, b stroke.Loss) int { return cmp.Compare(b.Share, a.Share) })
	var names []string
	for _, l := range losses[1:min(3, len(losses))] {
		names = append(names, d.lossName(l))
	}
	return inWords(names)
}

// search finds the value nearest to from that does, going by a factor at a time and then by bisection of the logarithm, to two digits;
// and the stroke with it. 0: none does within a thousand times or until the stroke doesn't arrive any more.
func (d *driven) search(m stroke.Machine, from, factor float64, does func(*stroke.Result) bool, change func(n *stroke.Machine, value float64)) (float64, *stroke.Result) {
	try := func(v float64) (*stroke.Result, bool) {
		n := m
		change(&n, v)
		r := d.try(n)
		return r, r.Verdict == stroke.Arrives && does(r)
	}
	begin, to := from, from
	for {
		to *= factor
		r, ok := try(to)
		if ok {
			break
		}
		if factor < 1 && r.Verdict != stroke.Arrives || d.steps <= 0 || math.Abs(math.Log(to/begin)) > math.Log(1e3) {
			return 0, nil
		}
		from = to
	}
	for math.Abs(math.Log(to/from)) > 0.02 {
		v := math.Sqrt(from * to)
		if _, ok := try(v); ok {
			to = v
		} else {
			from = v
		}
	}
	// Rounded away from what does not do.
	step := math.Pow(10, math.Floor(math.Log10(to))-1)
	rounded := math.Ceil(to/step) * step
	if factor < 1 {
		rounded = math.Floor(to/step) * step
	}
	if r, ok := try(rounded); ok {
		return rounded, r
	}
	r, _ := try(to)
	return to, r
}

// slowing finds how far a flow control on the air that leaves must be closed for what the stroke should keep to.
func (d *driven) slowing(s *Subject, m stroke.Machine, r *stroke.Result) {
	end := "front"
	if m.Inward {
		end = "rear"
	}
	wanted, rated, speed := d.y.Time, d.y.Cushion.Energy, math.Abs(r.Last.Speed)
	unthrottled := s.Facts["unthrottled"].Flag
	hard := rated.Given() && r.EntryEnergy > rated.SI
	soon := wanted.Given() && r.Arrived < wanted.SI/early
	if !hard && !soon && !(unthrottled && (speed > endSpeedMost || s.Facts["helpingShare"].SI > helpMost)) {
		text := "Close the flow control at the %s port further"
		if unthrottled {
			text = "Put a flow control at the %s port that throttles the air leaving it"
		}
		s.text("slower", fmt.Sprintf(text, end))
		return
	}
	ok := func(r *stroke.Result) bool {
		return (!wanted.Given() || r.Arrived >= wanted.SI) && math.Abs(r.Last.Speed) <= endSpeedMost && (!rated.Given() || r.EntryEnergy <= rated.SI)
	}
	control := d.flowControl(&m)
	change := func(n *stroke.Machine, c float64) {
		if control != "" {
			throttle(n, control, c)
			return
		}
		l := &emptying(n).Line
		l.Port = append(slices.Clone(l.Port), stroke.Element{Name: "flow control", In: stroke.Conductance{C: wideOpen}, Out: stroke.Conductance{C: c, B: usualRatio}})
	}
	// One that is wide open lets through what the tube does.
	open := 0.0
	for _, l := range [][]stroke.Element{emptying(&m).Line.Valve, emptying(&m).Line.Port} {
		for _, e := range l {
			open = max(open, e.Out.C)
		}
	}
	c, then := d.search(m, open, 0.5, ok, change)
	if c == 0 {
		s.text("slower", fmt.Sprintf("No setting of a flow control at the %s port does: lower the pressure or the mass", end))
		return
	}
	s.set("setting", schema.ConductanceDim, c, d.inputs()...)
	do := "Set " + control
	switch {
	case control == "":
		do = fmt.Sprintf("Put a flow control at the %s port that throttles the air leaving it, and set it", end)
	case unthrottled:
		do = fmt.Sprintf("Turn %s round, so that it throttles the air leaving the %s port, and set it", control, end)
	}
	text := fmt.Sprintf("%s to %s: computed again, the stroke takes %s and ends at %s", do, schema.Format(schema.ConductanceDim, c), schema.Format(schema.TimeDim, then.Arrived), schema.Format(schema.SpeedDim, math.Abs(then.Last.Speed)))
	if d.y.Cushion.Given() {
		text += ", with " + schema.Format(schema.EnergyDim, then.EntryEnergy) + " for the cushion"
	}
	s.text("slower", text)
}

// creeping compares the mean speed with that below which seals stick and slip.
func (d *driven) creeping(s *Subject, m stroke.Machine, r *stroke.Result) {
	mean := func(r *stroke.Result) float64 { return (d.high - d.low) / (r.Arrived - r.Started) }
	control, _ := d.control(m.Inward)
	s.set("meanSpeed", schema.SpeedDim, mean(r), d.inputs(control, d.y.Time)...)
	if mean(r) >= creepSpeed {
		s.text("steadier", "Open the flow control further")
		return
	}
	set, _ := control.(schema.Conductance)
	name, c, then := d.flowControl(&m), 0.0, r
	if set.Given() {
		c, then = d.search(m, set.SI, 1.5, func(r *stroke.Result) bool { return mean(r) >= creepSpeed }, func(n *stroke.Machine, c float64) { throttle(n, name, c) })
	}
	if c == 0 {
		s.text("steadier", "Take a cylinder that is made for slow strokes, or a smaller bore with a higher pressure")
		return
	}
	s.text("steadier", fmt.Sprintf("Set %s to %s: computed again, the stroke takes %s; for a slower one take a cylinder that is made for it", name, schema.Format(schema.ConductanceDim, c), schema.Format(schema.TimeDim, then.Arrived)))
}

// emptying is the chamber that the stroke empties.
func emptying(m *stroke.Machine) *stroke.Chamber {
	if m.Inward {
		return &m.Cap
	}
	return &m.Rod
}

// flowControl is the one on the line of the chamber that empties, nearest to the cylinder and before one that does not throttle what
// leaves; "" without one.
func (d *driven) flowControl(m *stroke.Machine) string {
	l := &emptying(m).Line
	name := ""
	for _, side := range [][]stroke.Element{l.Valve, l.Port} {
		for _, e := range side {
			if d.x.m.Air.Parts[e.Name].Kind.Value == "flow control" && (name == "" || e.Out.C < e.In.C) {
				name = e.Name
			}
		}
	}
	return name
}

// throttle sets what a flow control lets out of the chamber that empties; the other way it is free.
func throttle(m *stroke.Machine, control string, c float64) {
	l := &emptying(m).Line
	l.Valve, l.Port = slices.Clone(l.Valve), slices.Clone(l.Port)
	for _, side := range [][]stroke.Element{l.Valve, l.Port} {
		for i := range side {
			if e := &side[i]; e.Name == control {
				e.In.C, e.Out.C = max(e.In.C, e.Out.C), c
			}
		}
	}
}

// first is the way of the stroke that the machine may take from empty: with a spring in the valve, to where its rest position sends it;
// else away from where the weights bring it without air. A machine that is there already takes none.
func (d *driven) first() (inward, possible bool) {
	low, high := d.poses[0].Load, d.poses[len(d.poses)-1].Load
	valve := d.x.m.Air.Parts[d.rear.valve]
	if valve.Spring.Value {
		inward = d.front.outlet == "2"
		// It stands away from there unless its weight brings it.
		if inward {
			return true, !(low > 0 && high > 0)
		}
		return false, !(low < 0 && high < 0)
	}
	return low < 0 && high < 0, true
}

// filling is what the soft start before the valve lets through, where there is one.
func (d *driven) filling() schema.Conductance {
	for _, p := range d.feed {
		if p.fills.C > 0 {
			return d.x.m.Air.Parts[p.Name].Fills
		}
	}
	return schema.Conductance{}
}

// judgeFirst sets the facts of the first stroke after the air was off: nothing holds the piston back.
func (d *driven) judgeFirst(s *Subject, inward bool, later float64) {
	m := d.machine(inward, true)
	r, known := d.course(s, m, inward)
	switch {
	case !known:
		return
	case r.Verdict != stroke.Arrives:
		s.text("remedyArrive", d.untilItArrives(m, r))
		return
	case math.IsNaN(later):
		return
	}
	allowed := max(calmFirst*later, slamSpeed)
	peak := func(r *stroke.Result) float64 { return math.Abs(r.PeakSpeed.Speed) }
	s.set("firstSpeed", schema.SpeedDim, peak(r), d.inputs(d.filling())...)
	s.set("firstSpeedAllowed", schema.SpeedDim, allowed, d.inputs()...)
	s.set("laterSpeed", schema.SpeedDim, later, d.inputs()...)
	rated := d.y.Cushion.Energy
	gentle := func(r *stroke.Result) bool {
		return peak(r) <= allowed && (!rated.Given() || r.EntryEnergy <= rated.SI)
	}
	if gentle(r) {
		s.text("softStart", "Fill the line slowly after it was empty")
		s.text("slower", "Fill the line slowly after it was empty")
		return
	}
	supplied := func(n *stroke.Machine) *stroke.Chamber {
		if inward {
			return &n.Rod
		}
		return &n.Cap
	}
	open := 0.0
	for _, e := range supplied(&m).Line.Valve {
		open = max(open, e.In.C)
	}
	has := slices.IndexFunc(supplied(&m).Line.Valve, func(e stroke.Element) bool { return d.x.m.Air.Parts[e.Name].Kind.Value == "soft start" })
	c, then := d.search(m, open, 0.5, gentle, func(n *stroke.Machine, c float64) {
		k := stroke.Conductance{C: c, B: usualRatio}
		l := &supplied(n).Line
		l.Valve = slices.Clone(l.Valve)
		if has >= 0 {
			l.Valve[has].In = k
		} else {
			l.Valve = slices.Insert(l.Valve, 0, stroke.Element{Name: "soft start", In: k, Out: k})
		}
	})
	text := "No slow filling through one throttle does: lower the pressure or the mass"
	if c > 0 {
		s.set("setting", schema.ConductanceDim, c, d.inputs()...)
		soft := "Put a soft start before " + d.rear.valve + " and set it"
		if has >= 0 {
			soft = "Set the soft start " + supplied(&m).Line.Valve[has].Name
		}
		text = fmt.Sprintf("%s to let through %s until the line is full: computed again, the rod gets to %s", soft, schema.Format(schema.ConductanceDim, c), schema.Format(schema.SpeedDim, peak(then)))
		if d.y.Cushion.Given() {
			text += ", with " + schema.Format(schema.EnergyDim, then.EntryEnergy) + " for the cushion"
		}
	}
	s.text("softStart", text)
	s.text("slower", text)
}
