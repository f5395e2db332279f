package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/air"
	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// usualRatio is the critical pressure ratio of a part whose data sheet gives none: 0.2 to 0.5. Common practice, no source.
const usualRatio = 0.3

// A part of a line is what the air passes on the way between a valve and a cylinder: an element, or a tube.
type linePart struct {
	stroke.Element
	tube stroke.Tube // a tube where its length is above zero
	// control is the flow control's name where it throttles, out whether it throttles the air that leaves the cylinder.
	control string
	out     bool
	// fills is what a soft start lets through while the line behind it is empty.
	fills stroke.Conductance
	// part is the share of it that is this cylinder's, where others pass it too; 0 for all.
	part float64
}

// A line is what lies between one end of a cylinder and its valve.
type line struct {
	valve, outlet string
	parts         []linePart // from the cylinder to the valve
	vent          int        // how many of them the air passes that a quick exhaust lets out; -1 without one
	vents         []linePart // from there to the room
	ventBare      string     // the port by which it leaves with no silencer on it
	tubes         float64    // volume, m³
	// share is the part of what lies towards the valve from where cylinders' lines meet that is this one's; 1 for a line of its own.
	share float64
}

// A plumber follows the runs. What is missing is collected, so that one sentence can name it all.
type plumber struct {
	x        *examiner
	runs     map[string]string // run by port
	passages []string          // parts without a passage
	lengths  []string          // runs without a length
	set      []string          // flow controls without a way or a setting
	fills    []string          // soft starts without what they let through while they fill
	assumed  []schema.Assumption
}

func (x *examiner) plumber() *plumber {
	p := &plumber{x: x, runs: map[string]string{}}
	for name, r := range x.m.Air.Runs {
		p.runs[r.From.Value], p.runs[r.To.Value] = name, name
	}
	return p
}

// conductance is what a part's passage lets through.
func (p *plumber) conductance(of schema.Passage, name string) stroke.Conductance {
	if !of.Given() {
		if !slices.Contains(p.passages, name) {
			p.passages = append(p.passages, name)
		}
		return stroke.Conductance{}
	}
	b := of.B.SI
	if !of.B.Given() {
		b = usualRatio
		p.assume(of.Path+".b", "0.3", "common practice: 0.2 to 0.5")
	}
	switch {
	case of.C.Given():
		return stroke.Conductance{C: of.C.SI, B: b}
	case of.Nominal.Given():
		return stroke.FromNominalFlow(of.Nominal.SI, b)
	case of.Kv.Given():
		return stroke.FromKv(of.Kv.SI, b)
	}
	return stroke.FromCv(of.Cv.SI, b)
}

func (p *plumber) assume(path, value, source string) {
	a := schema.Assumption{Path: path, Value: value, Source: source}
	if !slices.Contains(p.assumed, a) {
		p.assumed = append(p.assumed, a)
	}
}

func both(name string, c stroke.Conductance) linePart {
	return linePart{Element: stroke.Element{Name: name, In: c, Out: c}}
}

// run is what a run has: its fittings, where they say what they let through, and its tube.
func (p *plumber) run(name string) []linePart {
	r := p.x.m.Air.Runs[name]
	if !r.Tube.Given() {
		return nil
	}
	var parts []linePart
	for _, f := range []schema.Fitting{r.Fittings.From, r.Fittings.To} {
		if f.Passage.Given() {
			parts = append(parts, both("fitting of "+name, p.conductance(f.Passage, "")))
		}
	}
	if !r.Length.Given() {
		p.lengths = append(p.lengths, name)
		return parts
	}
	t := stroke.Tube{Bore: r.Tube.Inner.SI, Length: r.Length.SI}
	tube := both("tube "+name, stroke.OfTube(t.Bore, t.Length))
	tube.tube = t
	return append(parts, tube)
}

// follow goes over the run at a port, and gives what lies on it and the port at its other end; "" where no run is there.
func (p *plumber) follow(port string) ([]linePart, string) {
	name, ok := p.runs[port]
	if !ok {
		return nil, ""
	}
	r := p.x.m.Air.Runs[name]
	if r.From.Value == port {
		return p.run(name), r.To.Value
	}
	return p.run(name), r.From.Value
}

// line follows the runs from one end of a cylinder to its valve.
func (p *plumber) line(cylinder, end string) (*line, string) {
	l := &line{vent: -1, share: 1}
	at := cylinder + "." + end
	for range len(p.x.m.Air.Runs) {
		parts, next := p.follow(at)
		if next == "" {
			return nil, fmt.Sprintf("no run leads on from %s", at)
		}
		l.add(parts)
		port := portOf(next)
		part := p.x.m.Air.Parts[port.Part]
		switch part.Kind.Value {
		case "valve":
			if port.Name != "2" && port.Name != "4" {
				return nil, fmt.Sprintf("%s.%s is joined to port %s of %s, and a cylinder is worked from 2 and 4", cylinder, end, port.Name, port.Part)
			}
			l.valve, l.outlet = port.Part, port.Name
			l.add([]linePart{both(port.Part, p.conductance(part.Passage, port.Part))})
			return l, ""
		case "flow control":
			l.add([]linePart{p.throttle(port.Part, part, port.Name)})
		case "quick exhaust":
			if port.Name != "2" {
				return nil, fmt.Sprintf("%s is joined to %s.%s by its port %s: a quick exhaust has the cylinder at 2 and the valve at 1", port.Part, cylinder, end, port.Name)
			}
			l.vent = len(l.parts)
			l.vents, l.ventBare = p.exhaust(port.Part + ".3")
			l.vents = append([]linePart{both(port.Part, p.conductance(part.Vents, port.Part+" (as `vents`)"))}, l.vents...)
			l.add([]linePart{both(port.Part, p.conductance(part.Passage, port.Part))})
			at = port.Part + ".1"
			continue
		case "check valve":
			return nil, fmt.Sprintf("%s, a check valve, lets the air of %s.%s go one way alone: strokes are computed for lines by which it comes and goes", port.Part, cylinder, end)
		default:
			if part.Passage.Given() {
				l.add([]linePart{both(port.Part, p.conductance(part.Passage, ""))})
			}
		}
		others := slices.DeleteFunc(p.otherPorts(port.Part, port.Name), p.takesNone)
		if len(others) > 1 {
			if on := p.meeting(cylinder, end, others, l); on != "" {
				at = on
				continue
			}
		}
		if len(others) != 1 {
			return nil, fmt.Sprintf("the line of %s.%s ends or branches at %s, where no valve is: a stroke is computed for a cylinder with a valve of its own", cylinder, end, port.Part)
		}
		at = others[0]
	}
	return nil, fmt.Sprintf("the line of %s.%s runs in a ring", cylinder, end)
}

func (l *line) add(parts []linePart) {
	for _, part := range parts {
		part = part.shared(l.share)
		l.tubes += math.Pi / 4 * part.tube.Bore * part.tube.Bore * part.tube.Length
		l.parts = append(l.parts, part)
	}
}

// shared is one cylinder's part of what others pass too: of what it lets through, and of its volume.
func (p linePart) shared(share float64) linePart {
	p.In.C *= share
	p.Out.C *= share
	p.fills.C *= share
	p.tube.Bore *= math.Sqrt(share)
	p.part = share
	return p
}

func allShared(parts []linePart, share float64) []linePart {
	parts = slices.Clone(parts)
	for i := range parts {
		parts[i] = parts[i].shared(share)
	}
	return parts
}

// meeting finds the port that leads on to the valve where a line meets those of other cylinders, which it then shares by the pistons'
// areas: alike, they go at one speed. "" where there is none.
func (p *plumber) meeting(cylinder, end string, others []string, l *line) string {
	on, rest := "", 0.0
	for _, port := range others {
		area, valves := p.behind(port, map[string]bool{portOf(port).Part: true})
		switch {
		case valves == 1 && area == 0 && on == "":
			on = port
		case valves == 0 && area > 0:
			rest += area
		default:
			return ""
		}
	}
	if on == "" {
		return ""
	}
	own := p.areaAt(cylinder, end)
	l.share *= own / (own + rest)
	p.assume(p.x.m.Cylinders[cylinder].Path, "shared line", fmt.Sprintf("a model's choice: beyond %s the air is shared by the areas of the pistons that it moves", portOf(on).Part))
	return on
}

// behind adds up the areas of the pistons, and counts the valves, that lie behind a port.
func (p *plumber) behind(port string, seen map[string]bool) (area float64, valves int) {
	_, next := p.follow(port)
	if next == "" {
		return 0, 0
	}
	to := portOf(next)
	if _, is := p.x.m.Cylinders[to.Part]; is {
		return p.areaAt(to.Part, to.Name), 0
	}
	if p.x.m.Air.Parts[to.Part].Kind.Value == "valve" {
		return 0, 1
	}
	if seen[to.Part] {
		return 0, 0
	}
	seen[to.Part] = true
	for _, other := range p.otherPorts(to.Part, to.Name) {
		if !p.takesNone(other) {
			a, v := p.behind(other, seen)
			area, valves = area+a, valves+v
		}
	}
	return area, valves
}

func (p *plumber) areaAt(cylinder, end string) float64 {
	push, pull := pistonAreas(p.x.m.Cylinders[cylinder])
	if end == "rear" {
		return push
	}
	return pull
}

// otherPorts are those of a part that a run is joined to, but for one.
func (p *plumber) otherPorts(part, but string) []string {
	var others []string
	for _, name := range sorted(p.x.m.Air.Parts[part].Ports) {
		if _, used := p.runs[part+"."+name]; used && name != but {
			others = append(others, part+"."+name)
		}
	}
	return others
}

// takesNone reports whether a port only passes a signal on: it is a pilot itself, or leads to one, to a gauge or to a plug.
func (p *plumber) takesNone(port string) bool {
	pilot := func(of air.Port) bool {
		kind := p.x.m.Air.Parts[of.Part].Kind.Value
		return kind == "pilot-operated check valve" && of.Name == "12" || kind == "valve" && slices.Contains([]string{"10", "12", "14"}, of.Name)
	}
	run := p.x.m.Air.Runs[p.runs[port]]
	far := portOf(run.From.Value)
	if run.From.Value == port {
		far = portOf(run.To.Value)
	}
	kind := p.x.m.Air.Parts[far.Part].Kind.Value
	return pilot(portOf(port)) || pilot(far) || kind == "gauge" || kind == "plug"
}

// throttle is a flow control that faces the cylinder with a port.
func (p *plumber) throttle(name string, part schema.AirPart, facing string) linePart {
	free := p.conductance(part.Passage, name)
	e := both(name, free)
	if !part.Throttles.Given() || !part.Throttles.Set.Given() {
		p.set = append(p.set, name)
		return e
	}
	e.control, e.out = name, part.Throttles.Enters.Value == facing
	set := stroke.Conductance{C: part.Throttles.Set.SI, B: free.B}
	if e.out {
		e.Out = set
	} else {
		e.In = set
	}
	return e
}

// exhaust is what lies behind a port by which air leaves, and the port that is bare in the end, without a silencer.
func (p *plumber) exhaust(at string) (parts []linePart, bare string) {
	for range len(p.x.m.Air.Runs) {
		more, next := p.follow(at)
		if next == "" {
			return parts, at
		}
		parts = append(parts, more...)
		port := portOf(next)
		part := p.x.m.Air.Parts[port.Part]
		switch {
		case part.Kind.Value == "plug":
			return append(parts, linePart{Element: stroke.Element{Name: port.Part}}), ""
		case part.Kind.Value == "silencer":
			return append(parts, both(port.Part, p.conductance(part.Passage, port.Part))), ""
		case part.Kind.Value == "flow control":
			parts = append(parts, p.throttle(port.Part, part, port.Name))
		case part.Passage.Given():
			parts = append(parts, both(port.Part, p.conductance(part.Passage, "")))
		}
		others := p.otherPorts(port.Part, port.Name)
		if len(others) == 0 {
			for _, open := range sorted(part.Ports) {
				if open != port.Name {
					return parts, port.Part + "." + open
				}
			}
			return parts, next
		}
		// Where exhausts meet, the air leaves by the silencer: ports of valves are ways in.
		at = others[len(others)-1]
		for _, o := range others {
			_, end := p.follow(o)
			if p.x.m.Air.Parts[portOf(end).Part].Kind.Value == "silencer" {
				at = o
			}
		}
	}
	return parts, ""
}

// supply is what lies between a port that wants air and the regulator, receiver or compressor that it comes from.
func (p *plumber) supply(at string, seen map[string]bool) ([]linePart, bool) {
	parts, next := p.follow(at)
	if next == "" {
		return nil, false
	}
	port := portOf(next)
	part := p.x.m.Air.Parts[port.Part]
	switch part.Kind.Value {
	case "regulator", "receiver", "compressor":
		return parts, true
	case "valve", "":
		return nil, false
	}
	if seen[port.Part] {
		return nil, false
	}
	seen[port.Part] = true
	lengths := len(p.lengths)
	for _, other := range p.otherPorts(port.Part, port.Name) {
		behind, ok := p.supply(other, seen)
		if !ok {
			p.lengths = p.lengths[:lengths] // a branch that no air comes by
			continue
		}
		switch {
		case part.Kind.Value == "flow control":
			parts = append(parts, p.throttle(port.Part, part, port.Name))
		case part.Kind.Value == "soft start":
			soft := both(port.Part, p.conductance(part.Passage, port.Part))
			soft.fills = stroke.Conductance{C: part.Fills.SI, B: soft.In.B}
			if !part.Fills.Given() {
				p.fills = append(p.fills, port.Part)
			}
			parts = append(parts, soft)
		case part.Passage.Given():
			parts = append(parts, both(port.Part, p.conductance(part.Passage, "")))
		}
		return append(parts, behind...), true
	}
	return nil, false
}

// missing is one sentence of what the lines lack; "" for nothing.
func (p *plumber) missing() string {
	var lacks []string
	lack := func(names []string, what, add string) {
		if len(names) > 0 {
			var once []string // both chambers may be fed by one
			for _, n := range names {
				if !slices.Contains(once, n) {
					once = append(once, n)
				}
			}
			lacks = append(lacks, fmt.Sprintf("%s of %s (add `%s`)", what, inWords(once), add))
		}
	}
	lack(p.passages, "the passage", `passage: {C: "L/(s bar)": …, b: …}`)
	lack(p.set, "the setting", `throttles: {enters: "1", set: "L/(s bar)": …}`)
	lack(p.fills, "the slow passage", `fills: "L/(s bar)": …`)
	lack(p.lengths, "the length of the tube", `length: mm: …`)
	return strings.Join(lacks, "; ")
}
