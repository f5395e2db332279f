package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/air"
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
	// atOnce is the share of a stroke's time that a tube's filling may take without being followed.
	atOnce = 0.01
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

// A begunStroke is what strokes needs of one cylinder.
type begunStroke struct {
	name    string
	y       schema.Cylinder
	plumber *plumber
	driven  *driven
	why     string // without driven
}

// beginStrokes sets all strokes going beside whatever else is examined: they take the most time of all that is computed.
func (x *examiner) beginStrokes() (begun []begunStroke) {
	if !x.m.Air.Given() {
		return nil // which the cylinder's pressure says
	}
	for _, name := range sorted(x.m.Cylinders) {
		b := begunStroke{name: name, y: x.m.Cylinders[name], plumber: x.plumber()}
		if b.driven, b.why = x.driven(name, b.y, b.plumber); b.driven != nil {
			b.driven.begin()
		}
		begun = append(begun, b)
	}
	return begun
}

func (x *examiner) strokes() {
	for _, b := range x.begun {
		name, y, p, d := b.name, b.y, b.plumber, b.driven
		out := newSubject(x.m, "stroke", name+" out", y.At)
		if d == nil {
			out.open(b.why, "arrives")
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
		d.tipByCourse(out, in)
		if d.fromEmpty != nil {
			inward, _ := d.first()
			first := newSubject(x.m, "stroke", name+" first", y.At)
			x.add(first)
			peak := peakOut
			if inward {
				peak = peakIn
			}
			d.judgeFirst(first, inward, peak)
		}
		for _, f := range d.falling {
			fall := newSubject(x.m, "stroke", name+" falling "+wayOf(f.machine.Inward), y.At)
			x.add(fall)
			d.judgeFall(fall, f)
		}
	}
	x.silencersShared()
}

// judge sets the facts of a stroke from the other end, and gives its peak speed.
func (d *driven) judge(s *Subject, inward bool) float64 {
	going := d.outward
	if inward {
		going = d.inward
	}
	m := going.machine
	r, known := d.course(s, going, inward)
	if !known {
		return math.NaN()
	}
	supplied, exhausting, out, bare := d.sides(inward)
	way := exhausting.parts
	if exhausting.vent >= 0 {
		way = way[:exhausting.vent]
	}
	throttled := slices.ContainsFunc(slices.Concat(way, out), func(p linePart) bool { return p.control != "" && p.out })
	d.bypassed(s, exhausting, inward)
	s.flag("unheld", !throttled && !s.Facts["bypassed"].Flag)
	s.text("throttles", "throttles the air that leaves")
	if d.byInlet(inward) {
		throttled = slices.ContainsFunc(supplied.parts, func(p linePart) bool { return p.control != "" && !p.out })
		s.text("throttles", "throttles the air that goes in")
	}
	s.flag("unthrottled", !throttled && !s.Facts["bypassed"].Flag)
	for _, p := range supplied.parts {
		if p.control != "" && !d.single {
			s.flag("backward", !p.out, d.x.m.Air.Parts[p.control].Throttles.Enters)
			s.text("control", p.control)
			if !p.out {
				s.text("turned", d.turned(p.control, !inward))
			}
		}
	}
	if !d.byInlet(inward) {
		s.flag("exhaustBare", bare != "", d.x.m.Air.Parts[exhausting.valve].Function)
		s.text("exhaustPort", bare)
		d.sounds(s, exhausting.valve, bare != "", slices.Concat(way, out))
		s.set("valvePassage", schema.ConductanceDim, exhausting.parts[len(exhausting.parts)-1].Out.C, d.x.m.Air.Parts[exhausting.valve].Passage.C, d.x.m.Air.Parts[exhausting.valve].Passage.Nominal)
	}
	if d.powered(inward) {
		d.tubeShare(s, supplied, m, inward)
		d.helping(s, m, inward)
	}
	s.text("tubeCosts", "it costs air")
	s.text("runsAhead", "once the rod moves, it runs ahead of the air, and lurches")
	if r.Verdict != stroke.Arrives {
		s.text("remedyArrive", d.untilItArrives(m, r))
		s.text("slower", d.someControl(inward, s.Facts["unthrottled"].Flag))
		return math.Abs(r.PeakSpeed.Speed)
	}
	s.text("tubeCosts", "it costs air, and the rod waits "+schema.Format(schema.TimeDim, r.Started))
	s.text("runsAhead", fmt.Sprintf("it runs ahead of the air, at up to %s, and lurches", schema.Format(schema.SpeedDim, math.Abs(r.PeakSpeed.Speed))))
	if d.powered(inward) {
		d.lowest(s, m, inward)
	}
	d.timing(s, m, r)
	d.slowing(s, m, r)
	d.creeping(s, m, r)
	return math.Abs(r.PeakSpeed.Speed)
}

// sounds works out the jet in which the air leaves a bare port, by the narrowest that it passes.
func (d *driven) sounds(s *Subject, valve string, bare bool, way []linePart) {
	function := d.x.m.Air.Parts[valve].Function
	if !bare {
		s.set("exhaustJet", schema.PowerDim, 0, function)
		return
	}
	narrowest := math.Inf(1)
	for _, p := range way {
		if p.tube.Length == 0 && p.Out.C > 0 {
			narrowest = min(narrowest, p.Out.C)
		}
	}
	power := air.JetPower(narrowest, d.zone.pressure, roomPressure)
	s.set("exhaustJet", schema.PowerDim, power, append([]schema.Input{function}, d.zone.from...)...)
	s.set("exhaustFlow", schema.FlowDim, narrowest*(d.zone.pressure+roomPressure))
	s.set("exhaustFrom", schema.PressureDim, d.zone.pressure)
	least, most := air.JetSound(power)
	s.text("exhaustSound", fmt.Sprintf("%.0f to %.0f dB", least, most))
}

// course computes a stroke and sets what every one has; it reports whether it could.
func (d *driven) course(s *Subject, going *goingStroke, inward bool) (*stroke.Result, bool) {
	<-going.done
	r := going.result
	switch {
	case going.err != nil:
		s.open("the stroke can't be computed: "+going.err.Error(), "arrives")
		return nil, false
	case r.Verdict == stroke.OutOfSteps:
		s.open("the stroke could not be computed within the steps allowed: see whether a volume, a mass or a conductance is out of all proportion", "arrives")
		return nil, false
	}
	s.text("way", wayOf(inward))
	s.set("set", schema.PressureDim, d.zone.pressure, d.zone.from...)
	s.text("driven", "With "+schema.Format(schema.PressureDim, d.zone.pressure))
	s.flag("arrives", r.Verdict == stroke.Arrives, d.inputs()...)
	if !d.powered(inward) {
		s.text("driven", "With its spring alone")
		s.flag("arrives", r.Verdict == stroke.Arrives, d.inputs(d.y.Spring)...)
	}
	s.text("halts", d.halts(r, inward))
	s.set("peakSpeed", schema.SpeedDim, math.Abs(r.PeakSpeed.Speed), d.inputs()...)
	s.worst("peakSpeed", "with the rod out by "+schema.Format(schema.LengthDim, r.PeakSpeed.Stroke), d.rods(r.PeakSpeed.Stroke)...)
	tip, at := d.tip(r)
	s.set("tipSpeed", schema.SpeedDim, tip, d.inputs()...)
	if d.y.Fastest.Given() {
		control, _ := d.control(inward)
		s.set("tipSpeed", schema.SpeedDim, tip, d.inputs(d.y.Fastest, control)...)
		s.set("tipAllowed", schema.SpeedDim, d.y.Fastest.SI, d.y.Fastest)
	}
	s.worst("tipSpeed", "with the rod out by "+schema.Format(schema.LengthDim, at), d.rods(at)...)
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

// rods are how far all rods are out at a stroke of this one, which moves alone, m.
func (d *driven) rods(stroke float64) []float64 {
	rods := rodsOut(&d.x.motion.alone(d.name)[0])
	rods[indexOf(d.x.motion.cylinders, d.name)] = stroke
	return rods
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

// tipByCourse says how fast the fastest point is by the quicker of both strokes, where no time is given for them.
func (d *driven) tipByCourse(out, in *Subject) {
	y := d.x.subject("cylinder", d.name)
	if _, moves := y.Facts["tipRatio"]; !moves || d.y.Time.Given() {
		return
	}
	least, inward := math.Inf(1), false
	for k, s := range []*Subject{out, in} {
		time, known := s.Facts["time"]
		if moving := time.SI - s.Facts["starts"].SI; known && moving < least {
			least, inward = moving, k == 1
		}
	}
	if math.IsInf(least, 1) {
		return
	}
	control, _ := d.control(inward)
	d.x.tipSpeed(y, d.name, d.y, least, d.inputs(control)...)
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
func (d *driven) halts(r *stroke.Result, inward bool) string {
	at := schema.Format(schema.LengthDim, r.Last.Stroke)
	newtons := func(f float64) string { return schema.Format(schema.ForceDim, math.Abs(f)) }
	forces := fmt.Sprintf("the air gives at most %s there, and load and friction take up to %s", newtons(r.Forces.Air), newtons(math.Abs(r.Forces.Load)+r.Forces.Holding))
	if !d.powered(inward) {
		spring := math.Abs(d.spring[0] + (d.spring[1]-d.spring[0])*r.Last.Stroke/d.y.Stroke.SI)
		load := r.Forces.Load // with the spring's
		if inward {
			load = -load
		}
		forces = fmt.Sprintf("the spring gives %s there, and load and friction take up to %s", newtons(spring), newtons(max(0, spring+load)+r.Forces.Holding))
	}
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

// bypassed finds the flow control that air which leaves never comes to, since a quick exhaust lets it out before.
func (d *driven) bypassed(s *Subject, l *line, inward bool) {
	past := -1
	if l.vent >= 0 {
		past = slices.IndexFunc(l.parts[l.vent:], func(p linePart) bool { return p.control != "" && p.out })
	}
	s.flag("bypassed", past >= 0)
	if past < 0 {
		return
	}
	past += l.vent
	control := l.parts[past]
	s.flag("bypassed", true, d.x.m.Air.Parts[control.control].Throttles.Set)
	s.text("passedBy", control.control)
	s.text("bypassedBy", l.parts[l.vent].Name)
	other := *d
	moved := *l
	moved.parts = slices.Insert(slices.Delete(slices.Clone(l.parts), past, past+1), 0, control)
	moved.vent++
	if inward {
		other.rear = &moved
	} else {
		other.front = &moved
	}
	s.text("before", "see then what it has to be set to, for as it is the rod does not get to its end")
	if r := other.try(other.machine(inward, false)); r.Verdict == stroke.Arrives {
		s.text("before", fmt.Sprintf("computed again, the stroke takes %s then and ends at %s", schema.Format(schema.TimeDim, r.Arrived), schema.Format(schema.SpeedDim, math.Abs(r.Last.Speed))))
	}
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

// helping finds the largest load that drives the rod the way it goes. The spring of a single-acting cylinder works against every way that
// air drives, and a load that it holds runs away with nothing.
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

// judgeFirst sets the facts of the first stroke after the air was off: nothing holds the piston back.
func (d *driven) judgeFirst(s *Subject, inward bool, later float64) {
	m := d.fromEmpty.machine
	r, known := d.course(s, d.fromEmpty, inward)
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
	valve := d.x.m.Air.Parts[d.rear.valve]
	s.set("firstSpeed", schema.SpeedDim, peak(r), d.inputs(d.filling())...)
	if d.centred() {
		s.set("firstSpeed", schema.SpeedDim, peak(r), d.inputs(valve.Centre, valve.Function)...)
	}
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
	if d.centred() {
		text := fmt.Sprintf("A soft start does not help, for the line is full when %s is moved: take `centre: \"pressure\"`, which fills both ends first, and the rod gets to %s; or a 5/2 behind a soft start", d.rear.valve, schema.Format(schema.SpeedDim, later))
		s.text("softStart", text)
		s.text("slower", text)
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
