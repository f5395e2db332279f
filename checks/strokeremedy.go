package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// boreSeries are the bores in m of ISO 6432 and ISO 15552.
var boreSeries = []float64{8e-3, 10e-3, 12e-3, 16e-3, 20e-3, 25e-3, 32e-3, 40e-3, 50e-3, 63e-3, 80e-3, 100e-3, 125e-3, 160e-3, 200e-3, 250e-3, 320e-3}

// try computes a stroke in a search. With a value at which it can't be computed, or when the steps are used up, it does not arrive.
func (d *driven) try(m stroke.Machine) *stroke.Result {
	o := d.options(searchError)
	o.Steps = min(d.steps, searchSteps/10)
	if d.y.Fastest.Given() {
		o.Samples = courseSamples // in which the fastest point is looked for
	}
	r := &stroke.Result{Verdict: stroke.OutOfSteps}
	if o.Steps > 0 {
		if tried, err := stroke.Run(withoutQuickTubes(m), o); err == nil {
			r = tried
		}
	}
	d.steps -= max(r.Steps+r.Rejected, 1)
	return r
}

// withoutQuickTubes is a machine whose tubes with volumes are only resistances, where they fill at once beside a stroke that a throttle
// makes slow: see chamber.
func withoutQuickTubes(m stroke.Machine) stroke.Machine {
	held, slowest := throttleable(&m), math.Inf(1)
	for _, side := range [][]stroke.Element{held.Line.Valve, held.Line.Port} {
		for i := range side {
			slowest = min(slowest, passed(held, &side[i]).C)
		}
	}
	for _, c := range []*stroke.Chamber{&m.Cap, &m.Rod} {
		t := c.Line.Tube
		if t.Length == 0 {
			continue
		}
		wide := stroke.OfTube(t.Bore, t.Length)
		if fillsAtOnce(t, c.Area*(m.High-m.Low), wide.C, slowest) {
			c.Line = stroke.Line{Valve: slices.Concat(c.Line.Valve, []stroke.Element{{Name: "tube", In: wide, Out: wide}}, c.Line.Port)}
		}
	}
	return m
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
	way := wayOf(inward)
	r := d.try(m)
	if r.Verdict != stroke.Arrives {
		return "open it further then: as it is set, the rod does not get all the way " + way
	}
	return fmt.Sprintf("computed again, the way %s takes %s then", way, schema.Format(schema.TimeDim, r.Arrived))
}

// untilItArrives looks for a pressure and for a bore that do.
func (d *driven) untilItArrives(m stroke.Machine, r *stroke.Result) string {
	if r.Verdict == stroke.OutOfTime {
		return fmt.Sprintf("Open the flow controls further; or write the time that it may take, if more than %s is wanted", schema.Format(schema.TimeDim, r.Last.Time))
	}
	if !d.powered(m.Inward) {
		return d.byAStrongerSpring(m)
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

// byAStrongerSpring looks for the spring that brings the rod of a single-acting cylinder back.
func (d *driven) byAStrongerSpring(m stroke.Machine) string {
	strong := *d
	most := math.Abs(d.spring[0]+d.spring[1]) / 2 // of the whole stroke, N
	extra, _ := strong.search(m, max(0.02*most, 0.1), 1.5, func(*stroke.Result) bool { return true }, func(n *stroke.Machine, extra float64) {
		if !m.Inward {
			extra = -extra
		}
		n.Mechanism = stroke.Added{To: d.mechanism, Load: extra}
	})
	if extra == 0 {
		return "No spring does that a cylinder can have: take a double-acting one"
	}
	least := min(math.Abs(d.spring[0]), math.Abs(d.spring[1])) + extra
	return fmt.Sprintf("Take one whose spring has %s or more at its least: computed again, it arrives; or a double-acting cylinder", schema.Format(schema.ForceDim, least))
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
		return fmt.Sprintf(do, name, schema.Format(schema.ConductanceDim, d.whole(worst.Name, c)))
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
	wanted, rated, speed, fastest := d.y.Time, d.y.Cushion.Energy, math.Abs(r.Last.Speed), d.y.Fastest
	unthrottled := s.Facts["unthrottled"].Flag
	if helped := s.Facts["helpingLoad"].SI; d.byInlet(m.Inward) && s.Facts["helpingShare"].SI > helpMost {
		least := min(math.Abs(d.spring[0]), math.Abs(d.spring[1])) + helped
		s.text("slower", fmt.Sprintf("Take one whose spring has %s or more at its least, so that the load drives nothing; or a double-acting cylinder with a flow control on the air that leaves", schema.Format(schema.ForceDim, least)))
		return
	}
	hard := rated.Given() && r.EntryEnergy > rated.SI
	soon := wanted.Given() && r.Arrived < wanted.SI/early
	fast := fastest.Given() && s.Facts["tipSpeed"].SI > fastest.SI
	if !hard && !soon && !fast && !(unthrottled && (speed > endSpeedMost || s.Facts["helpingShare"].SI > helpMost)) {
		s.text("slower", d.someControl(m.Inward, unthrottled))
		return
	}
	ok := func(r *stroke.Result) bool {
		if tip, _ := d.tip(r); fastest.Given() && tip > fastest.SI {
			return false
		}
		return (!wanted.Given() || r.Arrived >= wanted.SI) && math.Abs(r.Last.Speed) <= endSpeedMost && (!rated.Given() || r.EntryEnergy <= rated.SI)
	}
	do, c, then := d.heldBack(m, ok)
	if c == 0 {
		s.text("slower", do)
		return
	}
	s.set("setting", schema.ConductanceDim, c, d.inputs()...)
	text := fmt.Sprintf("%s: computed again, the stroke takes %s and ends at %s", do, schema.Format(schema.TimeDim, then.Arrived), schema.Format(schema.SpeedDim, math.Abs(then.Last.Speed)))
	if d.y.Cushion.Given() {
		text += ", with " + schema.Format(schema.EnergyDim, then.EntryEnergy) + " for the cushion"
	}
	if d.meanSpeed(then) < creepSpeed {
		text += fmt.Sprintf("; that is so slow that common seals stick and slip, and a cylinder made for slow strokes is wanted, or %s or less", schema.Format(schema.TimeDim, then.Started+(d.high-d.low)/creepSpeed))
	}
	s.text("slower", text)
}

// someControl says where a flow control holds a way back, without its setting.
func (d *driven) someControl(inward, unthrottled bool) string {
	end, passing := d.throttled(inward), "leaving it"
	if d.byInlet(inward) {
		passing = "going into it"
	}
	if unthrottled {
		return fmt.Sprintf("Put a flow control at the %s port that throttles the air %s", end, passing)
	}
	return fmt.Sprintf("Close the flow control at the %s port further", end)
}

// heldBack looks for the setting of the flow control that holds the rod back, there or to be put there, with which a stroke does. It says
// what to do, with 0 that nothing does.
func (d *driven) heldBack(m stroke.Machine, ok func(*stroke.Result) bool) (do string, c float64, then *stroke.Result) {
	end, passing := d.throttled(m.Inward), "leaving it"
	if d.byInlet(m.Inward) {
		passing = "going into it"
	}
	control := d.flowControl(&m)
	change := func(n *stroke.Machine, c float64) {
		if control != "" {
			throttle(n, control, c)
			return
		}
		held := throttleable(n)
		e := stroke.Element{Name: "flow control", In: stroke.Conductance{C: wideOpen}, Out: stroke.Conductance{C: wideOpen}}
		*passed(held, &e) = stroke.Conductance{C: c, B: usualRatio}
		held.Line.Port = append(slices.Clone(held.Line.Port), e)
	}
	// One that is wide open lets through what the tube does.
	open, turned := 0.0, false
	held := throttleable(&m)
	for _, l := range [][]stroke.Element{held.Line.Valve, held.Line.Port} {
		for _, e := range l {
			open = max(open, passed(held, &e).C)
			turned = turned || e.Name == control && passed(held, &e).C == max(e.In.C, e.Out.C) && e.In.C != e.Out.C
		}
	}
	if c, then = d.search(m, open, 0.5, ok, change); c == 0 {
		return fmt.Sprintf("No setting of a flow control at the %s port does: lower the pressure or the mass", end), 0, nil
	}
	do = "Set " + control
	switch {
	case control == "":
		do = fmt.Sprintf("Put a flow control at the %s port that throttles the air %s, and set it", end, passing)
	case turned:
		do = fmt.Sprintf("Turn %s round, so that at the %s port it throttles the air %s, and set it", control, end, passing)
	}
	c = d.whole(control, c)
	return do + " to " + schema.Format(schema.ConductanceDim, c), c, then
}

// whole is what a part must let through in all, of which c is this cylinder's share.
func (d *driven) whole(part string, c float64) float64 {
	for _, parts := range [][]linePart{d.rear.parts, d.front.parts, d.out[0], d.out[1], d.feed[0], d.feed[1]} {
		for _, p := range parts {
			if p.Name == part && p.part > 0 {
				return c / p.part
			}
		}
	}
	return c
}

func (d *driven) meanSpeed(r *stroke.Result) float64 {
	return (d.high - d.low) / (r.Arrived - r.Started)
}

// creeping compares the mean speed with that below which seals stick and slip.
func (d *driven) creeping(s *Subject, m stroke.Machine, r *stroke.Result) {
	control, _ := d.control(m.Inward)
	s.set("meanSpeed", schema.SpeedDim, d.meanSpeed(r), d.inputs(control, d.y.Time)...)
	if d.meanSpeed(r) >= creepSpeed {
		s.text("steadier", "Open the flow control further")
		return
	}
	set, _ := control.(schema.Conductance)
	name, c, then := d.flowControl(&m), 0.0, r
	if set.Given() {
		c, then = d.search(m, set.SI, 1.5, func(r *stroke.Result) bool { return d.meanSpeed(r) >= creepSpeed }, func(n *stroke.Machine, c float64) { throttle(n, name, c) })
	}
	if c == 0 {
		s.text("steadier", "Take a cylinder that is made for slow strokes, or a smaller bore with a higher pressure")
		return
	}
	s.text("steadier", fmt.Sprintf("Set %s to %s: computed again, the stroke takes %s; for a slower one take a cylinder that is made for it", name, schema.Format(schema.ConductanceDim, d.whole(name, c)), schema.Format(schema.TimeDim, then.Arrived)))
}

// throttleable is the chamber whose air a flow control can hold back: the one that the stroke empties, or where that breathes the other.
func throttleable(m *stroke.Machine) *stroke.Chamber {
	empties, fills := &m.Rod, &m.Cap
	if m.Inward {
		empties, fills = fills, empties
	}
	if empties.To == stroke.Open {
		return fills
	}
	return empties
}

// passed is what an element lets through the way that the air of a chamber goes.
func passed(c *stroke.Chamber, e *stroke.Element) *stroke.Conductance {
	if c.To == stroke.Supplied {
		return &e.In
	}
	return &e.Out
}

// flowControl is the one on the line of the chamber whose air can be held back, nearest to the cylinder and before one that does not
// throttle it; "" without one.
func (d *driven) flowControl(m *stroke.Machine) string {
	held := throttleable(m)
	name := ""
	for _, side := range [][]stroke.Element{held.Line.Valve, held.Line.Port} {
		for _, e := range side {
			if d.x.m.Air.Parts[e.Name].Kind.Value == "flow control" && (name == "" || passed(held, &e).C < max(e.In.C, e.Out.C)) {
				name = e.Name
			}
		}
	}
	return name
}

// throttle sets what a flow control lets through of the air that it holds back; the other way it is free.
func throttle(m *stroke.Machine, control string, c float64) {
	held := throttleable(m)
	l := &held.Line
	l.Valve, l.Port = slices.Clone(l.Valve), slices.Clone(l.Port)
	for _, side := range [][]stroke.Element{l.Valve, l.Port} {
		for i := range side {
			if e := &side[i]; e.Name == control {
				free := max(e.In.C, e.Out.C)
				e.In.C, e.Out.C = free, free
				passed(held, e).C = c
			}
		}
	}
}
