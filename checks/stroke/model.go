package stroke

import "math"

// Places in the state vector. Those that a machine lacks stay as they are.
const (
	iS     = 0 // stroke
	iV     = 1 // speed
	iP     = 2 // pressure and mass of chamber k, and pressure of its tube, at iP + 3k, iM + 3k and iTube + 3k
	iM     = 3
	iTube  = 4
	iSupP  = 8 // pressure and mass of the receiver
	iSupM  = 9
	states = 10
)

type vector [states]float64

// Works that are integrated beside the state, J.
const (
	wDrive = iota
	wCushion
	wLoad
	wFriction
	wDamper
	works
)

// negligible is the share of the swept volume below which a tube is counted to its chamber.
const negligible = 0.02

// A chamber is a Chamber made ready for many evaluations.
type chamber struct {
	*Chamber
	sign         float64 // of its growth with the stroke
	swept        float64 // sign times area: the growth of its volume with the stroke
	base         float64 // volume at stroke 0
	wall, girth  float64 // area of the wall at stroke 0, and its growth with the stroke
	tube         bool    // the tube is a volume of its own
	tubeVolume   float64
	tubeRate     float64 // R T/V of the tube
	in, out      path    // between the valve and the tube, or without tube all the way to the chamber
	portIn       path
	portOut      path
	portCushion  path    // portOut, or without tube out, through the needle
	edge         float64 // stroke at which the cushion begins
	cushioned    bool    // within the cushion
	lineOpen     float64 // time from which in and out pass air
	portOpen     float64 // time from which the port passes air
	lineIs       bool
	portIs       bool
	flow, inflow float64 // kg/s into the tube (or the chamber without one) and into the chamber, as last evaluated
}

// A model is the right side of the equations of motion in one phase: between two events nothing switches.
type model struct {
	m          *Machine
	sides      [2]chamber
	root       float64 // 1/√T of the air around
	receiver   bool
	isothermal bool
	n          int // states in use
	dir        float64
	inDamper   bool
	damperAt   float64 // stroke at which the damper begins
	toEnd      float64 // sign of the motion towards the end
	force      Forces
	mass       float64
}

func newModel(m *Machine) *model {
	x := &model{m: m, root: 1 / math.Sqrt(m.Air.Temperature), receiver: m.Supply.Receiver > 0, isothermal: math.IsInf(m.Air.Wall, 1), n: iSupP, toEnd: 1, damperAt: m.High - m.Damper.Length}
	if x.receiver {
		x.n = states
	}
	if m.Inward {
		x.toEnd, x.damperAt = -1, m.Low+m.Damper.Length
	}
	sound := math.Sqrt(heatRatio * gasConstant * m.Air.Temperature)
	bore := math.Sqrt(4 / math.Pi * max(m.Cap.Area, m.Rod.Area))
	for k, c := range []*Chamber{&m.Cap, &m.Rod} {
		y := &x.sides[k]
		*y = chamber{Chamber: c, sign: 1, base: c.Dead, girth: math.Pi * bore, edge: c.Cushion.Length}
		y.swept = c.Area
		if c.To == Open {
			continue
		}
		if k == 1 {
			y.sign, y.swept, y.girth, y.edge = -1, -c.Area, -y.girth, m.Stroke-c.Cushion.Length
			y.base += c.Area * m.Stroke
			y.wall = math.Pi * bore * m.Stroke
		}
		y.wall += 2 * c.Area
		y.lines(m)
		y.lineOpen = m.Delay
		y.portOpen = m.Delay + c.Line.Tube.Length/sound
		switch {
		case c.To == Shut:
			y.lineOpen, y.portOpen = math.Inf(1), 0
		case !y.tube:
			y.lineOpen = y.portOpen
		}
	}
	return x
}

// lines joins the elements of a chamber's line.
func (y *chamber) lines(m *Machine) {
	t := y.Line.Tube
	y.tubeVolume = math.Pi / 4 * t.Bore * t.Bore * t.Length
	y.tube = y.tubeVolume > negligible*y.Area*(m.High-m.Low) || y.tubeVolume > 0 && y.Cushion.Length > 0
	y.tubeRate = gasConstant * m.Air.Temperature / y.tubeVolume
	valveIn, valveOut := sides(y.Line.Valve)
	portIn, portOut := sides(y.Line.Port)
	needle := y.Cushion.Needle
	if !y.tube {
		y.base += y.tubeVolume
		if t.Length > 0 {
			valveIn, valveOut = append(valveIn, OfTube(t.Bore, t.Length)), append(valveOut, OfTube(t.Bore, t.Length))
		}
		valveIn, valveOut = append(valveIn, portIn...), append(valveOut, portOut...)
		y.in, y.out = pathOf(Series(valveIn...)), pathOf(outward(valveOut))
		y.portCushion = pathOf(outward(append(valveOut, needle)))
		return
	}
	half := OfTube(t.Bore, t.Length/2)
	valveIn, valveOut = append(valveIn, half), append(valveOut, half)
	portIn, portOut = append([]Conductance{half}, portIn...), append([]Conductance{half}, portOut...)
	y.in, y.out = pathOf(Series(valveIn...)), pathOf(outward(valveOut))
	y.portIn, y.portOut = pathOf(Series(portIn...)), pathOf(outward(portOut))
	y.portCushion = pathOf(outward(append(portOut, needle)))
}

func sides(elements []Element) (in, out []Conductance) {
	for _, e := range elements {
		in, out = append(in, e.In), append(out, e.Out)
	}
	return in, out
}

// outward is the series of what is listed from the valve to the chamber, passed the other way.
func outward(parts []Conductance) Conductance {
	back := make([]Conductance, len(parts))
	for i, c := range parts {
		back[len(parts)-1-i] = c
	}
	return Series(back...)
}

func (x *model) begin() vector {
	var y vector
	m := x.m
	y[iS] = m.Start
	for k := range x.sides {
		c := &x.sides[k]
		if c.To == Open {
			continue
		}
		y[iP+3*k] = c.Pressure
		y[iM+3*k] = c.Pressure * c.volume(m.Start) / (gasConstant * m.Air.Temperature)
		if c.tube {
			y[iTube+3*k] = c.Pressure
		}
	}
	if x.receiver {
		y[iSupP] = m.Supply.Pressure
		y[iSupM] = m.Supply.Pressure * m.Supply.Receiver / (gasConstant * m.Air.Temperature)
	}
	return y
}

func (c *chamber) volume(s float64) float64 { return c.base + c.swept*s }

// pressures are those of the chambers, the open ones' too.
func (x *model) pressures(y *vector) (capSide, rodSide float64) {
	capSide, rodSide = y[iP], y[iP+3]
	if x.sides[0].To == Open {
		capSide = x.m.Air.Pressure
	}
	if x.sides[1].To == Open {
		rodSide = x.m.Air.Pressure
	}
	return capSide, rodSide
}

func (x *model) supply(y *vector) float64 {
	if x.receiver {
		return y[iSupP]
	}
	return x.m.Supply.Pressure
}

// derive evaluates dy/dt and the powers, and with them the flows, and the forces: those on a mechanism that stands only where they are
// wanted, since nothing follows from them before they move it.
func (x *model) derive(y, d *vector, power *[works]float64, forces bool) {
	m := x.m
	s, v := y[iS], y[iV]
	ambient, wall := m.Air.Pressure, m.Air.Temperature
	supply, supplyRoot, supplyT, drawn := m.Supply.Pressure, x.root, wall, 0.0
	if x.receiver {
		supply = x.supply(y)
		supplyT = supply * m.Supply.Receiver / (y[iSupM] * gasConstant)
		supplyRoot = 1 / math.Sqrt(supplyT)
	}
	cushion := 0.0
	for k := range x.sides {
		c := &x.sides[k]
		if c.To == Open {
			continue
		}
		source, sourceRoot, sourceT := ambient, x.root, wall
		if c.To == Supplied {
			source, sourceRoot, sourceT = supply, supplyRoot, supplyT
		}
		p, mass := y[iP+3*k], y[iM+3*k]
		volume := c.volume(s)
		inverse := 1 / volume
		growth := c.swept * v
		t := wall
		if !x.isothermal {
			t = p * volume / (mass * gasConstant)
		}
		flow, inflow := 0.0, 0.0
		if c.tube {
			tube := y[iTube+3*k]
			if c.lineIs {
				if source >= tube {
					flow = c.in.flow(source, sourceRoot, tube)
				} else {
					flow = -c.out.flow(tube, x.root, source)
				}
			}
			if c.portIs {
				out := &c.portOut
				if c.cushioned {
					out = &c.portCushion
				}
				if tube >= p {
					inflow = c.portIn.flow(tube, x.root, p)
				} else {
					inflow = -out.flow(p, x.rootOf(t), tube)
				}
			}
			d[iTube+3*k] = c.tubeRate * (flow - inflow)
			sourceT = wall
		} else if c.lineIs {
			out := &c.out
			if c.cushioned {
				out = &c.portCushion
			}
			if source >= p {
				flow = c.in.flow(source, sourceRoot, p)
			} else {
				flow = -out.flow(p, x.rootOf(t), source)
			}
			inflow = flow
		}
		if c.To == Supplied {
			drawn += flow
		}
		c.flow, c.inflow = flow, inflow
		from := sourceT
		if inflow < 0 {
			from = t
		}
		d[iM+3*k] = inflow
		if x.isothermal {
			d[iP+3*k] = (gasConstant*wall*inflow - p*growth) * inverse
		} else {
			heat := m.Air.Wall * (c.wall + c.girth*s) * (wall - t)
			d[iP+3*k] = (heatRatio*(gasConstant*from*inflow-p*growth) + (heatRatio-1)*heat) * inverse
		}
		if c.cushioned && c.sign*x.toEnd < 0 {
			cushion -= (p - ambient) * growth
		}
	}
	if x.receiver {
		from := supplyT
		if drawn < 0 {
			from = wall
		}
		d[iSupM] = -drawn
		d[iSupP] = -heatRatio * gasConstant * from * drawn / m.Supply.Receiver
	}
	if x.dir == 0 && !forces {
		d[iS], d[iV] = 0, 0
		*power = [works]float64{}
		return
	}
	x.move(y, d, power, cushion)
}

// rootOf is 1/√T of a chamber's air.
func (x *model) rootOf(t float64) float64 {
	if x.isothermal {
		return x.root
	}
	return 1 / math.Sqrt(t)
}

// move evaluates the mechanism.
func (x *model) move(y, d *vector, power *[works]float64, cushion float64) {
	m := x.m
	v := y[iV]
	pose := m.Mechanism.At(y[iS])
	capSide, rodSide := x.pressures(y)
	x.mass = pose.Mass
	x.forces(&x.force, &pose, y[iS], v, capSide, rodSide)
	f := &x.force
	if x.dir == 0 {
		d[iS], d[iV] = 0, 0
		*power = [works]float64{}
		return
	}
	friction := x.dir*f.Friction + m.Friction.Viscous*v
	d[iS] = v
	d[iV] = (f.net() - friction - 0.5*pose.Slope*v*v) / pose.Mass
	power[wDrive] = f.Air*v + cushion
	power[wCushion] = cushion
	power[wLoad] = f.Load * v
	power[wFriction] = friction * v
	power[wDamper] = f.Damper * v
}

// forces are those at a stroke, a speed and pressures.
func (x *model) forces(f *Forces, pose *Pose, s, v, capSide, rodSide float64) {
	m := x.m
	capGauge, rodGauge := capSide-m.Air.Pressure, rodSide-m.Air.Pressure
	seal := m.Friction.Constant
	if capGauge > 0 {
		seal += m.Friction.PerPressure * capGauge
	}
	if rodGauge > 0 {
		seal += m.Friction.PerPressure * rodGauge
	}
	f.Air = capGauge*m.Cap.Area - rodGauge*m.Rod.Area
	f.Load = pose.Load
	f.Friction = seal + pose.Drag
	f.Holding = m.Friction.Breakaway*seal + pose.Drag
	f.Damper = 0
	if x.inDamper {
		f.Damper = m.Damper.Stiffness * (s - x.damperAt)
		if w := v * x.toEnd; w > 0 {
			f.Damper += x.toEnd * w * (m.Damper.Linear + m.Damper.Quadratic*w)
		}
	}
}

// net is the force towards greater strokes without friction.
func (f Forces) net() float64 { return f.Air - f.Load - f.Damper }
