package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// A driven cylinder is one of which every stroke can be computed.
type driven struct {
	x           *examiner
	name        string
	y           schema.Cylinder
	zone        airZone
	single      bool          // single-acting: nothing is joined to one of the ends, which breathes
	rear, front *line         // without a part at an end that breathes
	feed        [2][]linePart // of rear and front, between the valve and where the pressure is kept
	out         [2][]linePart
	outBare     [2]string // the ports at which the rear's and the front's air leaves without a silencer
	*burden
	spring   [2]float64 // what the spring of a single-acting cylinder does to the rod, positive out, with the rod in and out
	friction stroke.Friction
	dead     float64
	steps    int // left for searches

	outward, inward *goingStroke
	fromEmpty       *goingStroke   // nil where the machine takes none
	falling         []*goingStroke // on loss of air, the ways that the load may take
}

// A burden is the mechanism that a piston feels, which hangs on no pressure.
type burden struct {
	low, high float64
	mechanism stroke.Mechanism
	poses     []stroke.Pose // between low and high
	strokes   []float64     // of the sweep
	ratios    []float64     // the speed of the fastest point by the rod's, at each
}

// burdenBy is what one of a machine hangs on.
type burdenBy struct {
	cylinder string
	moving   float64
	spring   [2]float64
}

// A goingStroke is a stroke that is being computed until done is closed.
type goingStroke struct {
	machine stroke.Machine
	done    chan struct{}
	result  *stroke.Result
	err     error
}

// begin sets the strokes of the cylinder going.
func (d *driven) begin() {
	run := func(m stroke.Machine) *goingStroke {
		g := &goingStroke{machine: m, done: make(chan struct{})}
		go func() {
			defer close(g.done)
			g.result, g.err = stroke.Run(g.machine, d.options(strokeError))
		}()
		return g
	}
	d.outward, d.inward = run(d.machine(false, false)), run(d.machine(true, false))
	if inward, possible := d.first(); possible {
		d.fromEmpty = run(d.machine(inward, true))
	}
	for _, inward := range d.falls() {
		d.falling = append(d.falling, run(d.unfed(inward)))
	}
}

// driven gathers what the strokes of a cylinder are computed from, or says why they can't be.
func (x *examiner) driven(name string, y schema.Cylinder, p *plumber) (*driven, string) {
	d := &driven{x: x, name: name, y: y, steps: searchSteps}
	if x.briefly {
		d.steps = 0
	}
	var lacks []string
	missing := func(text string) {
		if text != "" {
			lacks = append(lacks, text)
		}
	}
	d.single = y.Acting.Value == "single"
	d.rear, d.front = &line{vent: -1}, &line{vent: -1}
	var joined []*line
	for i, end := range []string{"rear", "front"} {
		if _, has := y.Ports[end]; d.single && !has {
			continue // here it breathes
		}
		l, text := p.line(name, end)
		if text != "" {
			return nil, text
		}
		if x.m.Air.Parts[l.valve].Function.Value == "2/2" {
			return nil, fmt.Sprintf("%s is a 2/2 valve, which can't let the air of %s.%s out", l.valve, name, end)
		}
		*[]*line{d.rear, d.front}[i] = *l
		joined = append(joined, l)
		if l.vent >= 0 {
			d.out[i], d.outBare[i] = l.vents, l.ventBare
		} else {
			d.out[i], d.outBare[i] = p.exhaust(l.valve + "." + map[string]string{"4": "5", "2": "3"}[l.outlet])
			d.out[i] = allShared(d.out[i], l.share)
		}
		var fed bool
		if d.feed[i], fed = p.supply(l.valve+".1", map[string]bool{}); !fed {
			missing(fmt.Sprintf("no air comes to %s.1", l.valve))
		}
		d.feed[i] = allShared(d.feed[i], l.share)
	}
	// Two valves of their own shift at once; two outlets of two valves that have more hang on states that nobody declares.
	apart := func(l *line) bool { return x.m.Air.Parts[l.valve].Function.Value == "3/2" }
	if len(joined) == 2 && (d.rear.valve == d.front.valve) == (d.rear.outlet == d.front.outlet || apart(d.rear) || apart(d.front)) {
		return nil, fmt.Sprintf("its two ends are joined to %s.%s and %s.%s: strokes are computed for a cylinder between ports 2 and 4 of one valve, or with a 3/2 valve for each end", d.rear.valve, d.rear.outlet, d.front.valve, d.front.outlet)
	}
	why := x.motion.why(name)
	if missing(why); why == "" && x.motion.alone(name) == nil {
		missing(name + " moves only together with other cylinders: their strokes are not computed")
	}
	zone, text := x.air.at(name)
	missing(text)
	missing(zone.why)
	d.zone = zone
	if d.single && !y.Spring.Given() {
		missing("the force of its spring is not given: add `spring: N: …` from its data sheet")
	}
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
	if d.single {
		d.spring = springOf(y)
		if !y.Compressed.Given() {
			p.assume(y.Path+".compressed", schema.Format(schema.ForceDim, y.Spring.SI), "the spring's force grows as it is pressed; without `compressed` it is taken to keep its least")
		}
	}
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
		if d.single {
			d.friction.Constant = breakaway * push // all that there is when the spring brings it back
			p.assume(y.Path+".friction", schema.Format(schema.ForceDim, d.friction.Constant)+" with no air in it", "common practice: 0.1 bar on the piston")
		}
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
	by := burdenBy{d.name, d.y.Moving.SI, d.spring}
	if d.burden = mo.burdens[by]; d.burden != nil {
		return nil
	}
	d.burden = &burden{}
	sweep := mo.alone(d.name)
	between := mo.ranges[indexOf(mo.cylinders, d.name)]
	d.low, d.high = max(between[0], sweep[0].Stroke), min(between[1], sweep[len(sweep)-1].Stroke)
	var strokes []float64
	var poses []stroke.Pose
	for i := range sweep {
		mass, slope := mo.solver.EffectiveMass(&sweep[i], &mo.weights)
		out, in, _, _ := mo.against(&sweep[i])
		const fine = 1e-6 // kg, kg/m and N
		to := func(x float64) float64 { return math.Round(x/fine) * fine }
		pressed := d.spring[0] + (d.spring[1]-d.spring[0])*sweep[i].Stroke/d.y.Stroke.SI
		p := stroke.Pose{Mass: to(mass + d.y.Moving.SI), Slope: to(slope), Load: to((out-in)/2 - pressed), Drag: max(0, to((out+in)/2))}
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
	if err != nil {
		return err
	}
	d.mechanism = table
	mo.burdens[by] = d.burden
	return nil
}

// alone are the poses of a cylinder that moves while the others rest; nil where it never does.
func (mo *motion) alone(cylinder string) []linkage.Pose {
	for _, r := range mo.runs {
		if r.Lead == indexOf(mo.cylinders, cylinder) && len(r.others()) == 0 && len(r.Poses) >= 2 {
			return r.Poses
		}
	}
	return nil
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
	feed := slices.Clone(d.feed[0])
	if inward {
		feed = slices.Clone(d.feed[1])
	}
	for i := range feed {
		if feed[i].fills.C > 0 && empty && !d.centred() {
			feed[i].In = feed[i].fills
		}
	}
	slowest := math.Inf(1) // from empty nothing but the valve holds the rod back
	if !empty {
		slowest = d.slowest(inward)
	}
	if inward {
		m.Cap, m.Rod = d.chamber(push, d.rear, d.out[0], stroke.Exhausted, slowest), d.chamber(pull, d.front, feed, stroke.Supplied, slowest)
	} else {
		m.Cap, m.Rod = d.chamber(push, d.rear, feed, stroke.Supplied, slowest), d.chamber(pull, d.front, d.out[1], stroke.Exhausted, slowest)
	}
	exhausting := &m.Rod
	if inward {
		m.Start, exhausting = d.high, &m.Cap
	}
	if !empty {
		exhausting.Pressure = supply
	}
	for i, l := range []*line{d.rear, d.front} {
		if len(l.parts) == 0 {
			*[]*stroke.Chamber{&m.Cap, &m.Rod}[i] = stroke.Chamber{To: stroke.Open}
		}
	}
	for _, x := range []*float64{&m.Supply.Pressure, &m.Stroke, &m.Low, &m.High, &m.Start, &m.Friction.Constant, &m.Friction.PerPressure,
		&m.Cap.Area, &m.Cap.Dead, &m.Cap.Pressure, &m.Cap.Cushion.Length, &m.Cap.Cushion.Needle.C, &m.Cap.Line.Tube.Bore, &m.Cap.Line.Tube.Length,
		&m.Rod.Area, &m.Rod.Dead, &m.Rod.Pressure, &m.Rod.Cushion.Length, &m.Rod.Cushion.Needle.C, &m.Rod.Line.Tube.Bore, &m.Rod.Line.Tube.Length} {
		*x = steady(*x)
	}
	for _, side := range [][]stroke.Element{m.Cap.Line.Valve, m.Cap.Line.Port, m.Rod.Line.Valve, m.Rod.Line.Port} {
		for i := range side {
			for _, c := range []*stroke.Conductance{&side[i].In, &side[i].Out} {
				c.C, c.B = steady(c.C), steady(c.B)
			}
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

// slowest is the least conductance that the air passes on its way out of the cylinder, or into one that empties by a breather.
func (d *driven) slowest(inward bool) float64 {
	in, l, out, _ := d.sides(inward)
	way := l.parts
	if l.vent >= 0 {
		way = way[:l.vent]
	}
	least := math.Inf(1)
	for _, p := range slices.Concat(way, out) {
		least = min(least, p.Out.C)
	}
	if len(l.parts) == 0 {
		for _, p := range in.parts {
			least = min(least, p.In.C)
		}
	}
	return least
}

// chamber is one side of the piston with its line, and what lies beyond the valve. A stroke that takes as long as the slowest conductance
// leaves it knows little of a tube that fills and empties at once.
func (d *driven) chamber(area float64, l *line, beyond []linePart, to stroke.Connection, slowest float64) stroke.Chamber {
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
	main, most, widest := -1, 0.0, 0.0
	for i, p := range own {
		if v := p.tube.Bore * p.tube.Bore * p.tube.Length; v > most {
			main, most, widest = i, v, p.In.C
		}
	}
	// Such a tube would have the solver take thousands of steps, each as short as the tube's own time, for nothing that is seen.
	if main >= 0 && fillsAtOnce(own[main].tube, area*(d.high-d.low), widest, slowest) {
		main = -1
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

// fillsAtOnce reports whether a tube with the conductance c fills in no time beside a stroke that sweeps a volume through the slowest one.
func fillsAtOnce(t stroke.Tube, swept, c, slowest float64) bool {
	return math.Pi/4*t.Bore*t.Bore*t.Length/swept*slowest < atOnce*c
}

func (d *driven) options(tolerance float64) stroke.Options {
	o := stroke.Options{Tolerance: tolerance, Limit: max(slowest, 3*d.y.Time.SI)}
	if tolerance == strokeError {
		o.Samples = courseSamples
	}
	return o
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

// byInlet reports whether the only air that can be throttled on a way is that which goes in: the other end breathes.
func (d *driven) byInlet(inward bool) bool {
	_, l, _, _ := d.sides(inward)
	return len(l.parts) == 0
}

// powered reports whether air moves the rod on a way, and not a spring alone.
func (d *driven) powered(inward bool) bool {
	l, _, _, _ := d.sides(inward)
	return len(l.parts) > 0
}

// throttled is the end of the cylinder by which the air passes that a flow control holds back on a way.
func (d *driven) throttled(inward bool) string {
	if inward != d.byInlet(inward) {
		return "rear"
	}
	return "front"
}

// control is the setting of the flow control that holds the rod back, and the name of the port that its air passes.
func (d *driven) control(inward bool) (set, port schema.Input) {
	in, l, out, _ := d.sides(inward)
	set = schema.Conductance{}
	parts := slices.Concat(l.parts, out)
	if d.byInlet(inward) {
		parts = in.parts
	}
	for _, p := range parts {
		if p.control != "" && p.out != d.byInlet(inward) {
			set = d.x.m.Air.Parts[p.control].Throttles.Set
			break
		}
	}
	at := d.name + "." + d.throttled(inward)
	for _, r := range d.x.m.Air.Runs {
		for _, end := range []schema.Text{r.From, r.To} {
			if end.Value == at {
				port = end
			}
		}
	}
	return set, port
}

// first is the way of the stroke that the machine may take from empty: with a valve that returns to its rest, to where that sends it;
// else away from where the weights bring it without air. A machine that is there already takes none, and a single-acting cylinder none
// that differs from those after it; neither does a valve whose centre fills both ends before it is moved.
func (d *driven) first() (inward, possible bool) {
	valve := d.x.m.Air.Parts[d.rear.valve]
	if d.single || d.centred() && valve.Centre.Value == "pressure" {
		return false, false
	}
	low, high := d.poses[0].Load, d.poses[len(d.poses)-1].Load
	if valve.Returns.Value != "nothing" && !d.centred() {
		inward = d.front.outlet == "2"
		// It stands away from there unless its weight brings it.
		if inward {
			return true, !(low > 0 && high > 0)
		}
		return false, !(low < 0 && high < 0)
	}
	return low < 0 && high < 0, true
}

// centred reports whether the valve stands between its ends while it rests: the line before it is full when it is moved.
func (d *driven) centred() bool { return d.x.m.Air.Parts[d.rear.valve].Function.Value == "5/3" }

// filling is what the soft start before the valve lets through, where there is one.
func (d *driven) filling() schema.Conductance {
	feed := d.feed[0]
	if inward, _ := d.first(); inward {
		feed = d.feed[1]
	}
	for _, p := range feed {
		if p.fills.C > 0 {
			return d.x.m.Air.Parts[p.Name].Fills
		}
	}
	return schema.Conductance{}
}
