package checks

import (
	"math"
	"strconv"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// breakaway is the pressure at which an unloaded cylinder begins to move: common practice, some 0.1 bar for a small one that is clean.
const breakaway = 0.1e5

// posesOfLoad is every how many poses of a sweep the load on a rod is taken.
const posesOfLoad = 10

var circuitKinds = map[string]circuit.Kind{
	"compressor": circuit.Compressor, "relief valve": circuit.ReliefValve, "receiver": circuit.Receiver, "isolator": circuit.Isolator,
	"filter": circuit.Filter, "dryer": circuit.Filter, "lubricator": circuit.Filter, "regulator": circuit.Regulator, "gauge": circuit.Gauge, "valve": circuit.ValveKind,
	"flow control": circuit.FlowControl, "silencer": circuit.Silencer, "plug": circuit.Plug, "quick exhaust": circuit.QuickExhaust, "soft start": circuit.SoftStart, "manifold": circuit.Manifold,
	"check valve": circuit.Check, "pilot-operated check valve": circuit.PilotCheck, "shuttle valve": circuit.Shuttle,
}

var (
	ways      = map[string]circuit.Ways{"2/2": circuit.TwoTwo, "3/2": circuit.ThreeTwo, "5/2": circuit.FiveTwo, "5/3": circuit.FiveThree}
	moved     = map[string]circuit.Moved{"coil": circuit.ByCoil, "hand": circuit.ByHand, "air": circuit.ByAir}
	returns   = map[string]circuit.Return{"spring": circuit.BySpring, "air": circuit.ByItsAir, "nothing": circuit.Remembers}
	centres   = map[string]circuit.Centre{"closed": circuit.ClosedCentre, "exhaust": circuit.ExhaustCentre, "pressure": circuit.PressureCentre}
	throttles = map[string]circuit.Throttles{"1": circuit.From1To2, "2": circuit.From2To1} // by where the air enters
)

// network is the machine's circuit. Each cylinder's load is that of one of the sweeps that it leads: they differ by where the other
// cylinders are.
func (x *examiner) network(sweep int) circuit.Network {
	n := circuit.Network{Components: map[string]circuit.Component{}, Runs: map[string]circuit.Run{}, Start: map[string]string{}}
	for name, p := range x.m.Air.Parts {
		c := circuit.Component{Kind: circuitKinds[p.Kind.Value]}
		switch c.Kind {
		case circuit.Compressor:
			c.Pressure = p.Switches.Off.SI
		case circuit.ReliefValve:
			c.Pressure = p.Set.SI
		case circuit.Regulator:
			c.Pressure, c.Relieving = p.Set.SI, p.Relieving.Value
		case circuit.Isolator:
			c.Exhausts = p.Exhausts.Value
		case circuit.FlowControl:
			c.Throttles = throttles[p.Throttles.Enters.Value]
			if x.airRunsAt(name) == 1 {
				c = circuit.Component{Kind: circuit.ExhaustThrottle} // screwed into an exhaust, open behind
			}
		case circuit.Receiver, circuit.Manifold:
			for port := range p.Ports {
				number, _ := strconv.Atoi(port)
				c.Ports = max(c.Ports, number)
			}
		case circuit.ValveKind:
			c.Valve = circuit.Valve{Ways: ways[p.Function.Value], Moved: moved[p.Moved.Value], Return: returns[p.Returns.Value],
				Centre: centres[p.Centre.Value], Open: p.Rest.Value == "open"}
			if p.Pilot.External.Value {
				c.Valve.Pilot = circuit.ExternalPilot
			}
		}
		n.Components[name] = c
	}
	for name, y := range x.m.Cylinders {
		push, pull := pistonAreas(y)
		c := circuit.Cylinder{Rear: push, Front: pull, Load: x.loadOn(name, sweep), Friction: breakaway * push}
		if math.IsNaN(pull) {
			c.Front = push
		}
		if y.Acting.Value == "single" {
			c.Acting, c.Spring = circuit.Pushing, springOf(y)
			if _, rear := y.Ports["rear"]; !rear {
				c.Acting = circuit.Pulling
			}
		}
		n.Components[name] = circuit.Component{Kind: circuit.CylinderKind, Cylinder: c}
	}
	for name, r := range x.m.Air.Runs {
		run := circuit.Run{A: circuitPort(r.From.Value), B: circuitPort(r.To.Value)}
		for _, end := range []*circuit.Port{&run.A, &run.B} {
			if n.Components[end.Component].Kind == circuit.ExhaustThrottle {
				end.Name = "1" // whichever of its two is joined
			}
		}
		n.Runs[name] = run
	}
	for _, v := range x.m.Air.Stop {
		n.Stop = append(n.Stop, v.Value)
	}
	for valve, position := range x.m.Air.Start {
		n.Start[valve] = position.Value
	}
	return n
}

// springOf is what the spring of a single-acting cylinder does to its rod, positive out, with the rod in and out. Where the data sheet
// says nothing of the pressed spring, it keeps its least force.
func springOf(y schema.Cylinder) [2]float64 {
	least, most := y.Spring.SI, y.Spring.SI
	if y.Compressed.Given() {
		most = y.Compressed.SI
	}
	if _, rear := y.Ports["rear"]; rear {
		return [2]float64{-least, -most}
	}
	return [2]float64{most, least}
}

// airRunsAt counts the ends of runs at a part.
func (x *examiner) airRunsAt(part string) (n int) {
	for _, r := range x.m.Air.Runs {
		for _, end := range []schema.Text{r.From, r.To} {
			if of, _, _ := strings.Cut(end.Value, "."); of == part {
				n++
			}
		}
	}
	return n
}

func circuitPort(name string) circuit.Port {
	part, port, _ := strings.Cut(name, ".")
	return circuit.Port{Component: part, Name: port}
}

// sweepsLed are the runs of the linkage that a cylinder leads.
func (x *examiner) sweepsLed(cylinder string) []*run {
	var led []*run
	for k := range x.motion.runs {
		if r := &x.motion.runs[k]; x.motion.cylinders[r.Lead] == cylinder && len(r.Poses) >= 2 {
			led = append(led, r)
		}
	}
	return led
}

// loadOn is what weights and springs of the machine do to a rod, positive out, from rod in to rod out. A load that is a force may be
// absent, and is left out.
func (x *examiner) loadOn(cylinder string, sweep int) []float64 {
	led := x.sweepsLed(cylinder)
	if len(led) == 0 {
		return nil
	}
	poses := led[sweep%len(led)].Poses
	var load []float64
	for i := 0; i < len(poses); i += posesOfLoad {
		load = append(load, -x.motion.solver.HoldingThrust(&poses[i], &x.motion.weights))
	}
	if len(load) < 2 {
		return nil
	}
	return load
}

// unknownBehaviour says what keeps the behaviour of a cylinder from being known; "" when it is.
func (x *examiner) unknownBehaviour(name string, y schema.Cylinder) string {
	if x.air.why != "" {
		return x.air.why
	}
	if _, why := x.air.at(name); why != "" {
		return why
	}
	if why := x.motion.why(name); why != "" {
		return why
	}
	if l := x.motion.unweighed; len(l) > 0 {
		return "the weight of " + strings.Join(l, ", ") + " is not given: add `mass: kg: …` to each (an estimate will do, nothing will not)"
	}
	if !y.Rod.Given() {
		return "its rod is not given: add `rod: mm: …` from its data sheet"
	}
	if y.Acting.Value == "single" && !y.Spring.Given() {
		return "the force of its spring is not given: add `spring: N: …` from its data sheet"
	}
	return ""
}
