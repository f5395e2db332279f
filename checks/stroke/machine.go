package stroke

import (
	"fmt"
	"math"
)

// A Machine is a cylinder with its air and its mechanism at the moment at which the valve gets its signal.
type Machine struct {
	Air      Air
	Supply   Supply
	Cap, Rod Chamber // the chamber that grows with the stroke, and the one that shrinks

	Stroke float64 // of the cylinder, m: the volume of Rod is Dead + Area (Stroke - s)
	// Low and High are the strokes (m) at which the mechanism or the cylinder stops, 0 ≤ Low < High ≤ Stroke; it begins at rest at
	// Start and is meant to get to High, or with Inward to Low.
	Low, High, Start float64
	Inward           bool

	Mechanism Mechanism
	Friction  Friction
	Damper    Damper  // at the end that is meant to be reached
	Delay     float64 // from the signal until the valve is open, s
}

// Air is the air around the machine, which has the temperature of the walls and of the supply.
type Air struct {
	Pressure    float64 // Pa absolute
	Temperature float64 // K
	// Wall is the heat transfer coefficient h between the air and the walls of the chambers, W/(m² K). 0: adiabatic, +Inf: isothermal.
	// In moving cylinders some 20 to 100 (from memory).
	Wall float64
}

// Supply is where the air comes from.
type Supply struct {
	Pressure float64 // Pa absolute
	Receiver float64 // m³; 0 for a supply that keeps its pressure. A receiver gets no air and no heat during the stroke.
}

// A Connection is what the valve joins a chamber to once it is open.
type Connection int

const (
	Supplied  Connection = iota // to the supply
	Exhausted                   // to the air around
	Shut                        // to nothing: the chamber and its tube hold their air
	Open                        // no line: the chamber breathes freely through a port, as the spring side of a single-acting cylinder
)

// A Chamber is one side of the piston.
type Chamber struct {
	Area     float64 // of the piston on this side, m²
	Dead     float64 // volume at the end of the cylinder's stroke with port and passages, without the tube, m³
	Pressure float64 // at the start, in the tube too, Pa absolute
	To       Connection
	Line     Line
	Cushion  Cushion
}

// A Line is the way of the air between the valve's supply or exhaust and a chamber.
type Line struct {
	Valve []Element // between the supply or the air around and the tube, the one at the tube last
	Tube  Tube
	Port  []Element // between the tube and the chamber, the one at the chamber last
}

// A Tube joins the valve to the cylinder. Its zero value stands for a valve on the cylinder.
type Tube struct{ Bore, Length float64 } // m

// An Element is a valve's passage, a fitting, a flow control, a silencer, a length of supply tube. In is for air on its way to the
// chamber, Out for air that leaves it: a flow control that throttles what leaves has a small Out, a check valve an Out or In of C = 0.
type Element struct {
	Name    string
	In, Out Conductance
}

// A Cushion lets the air of a chamber out through its needle only while the piston is within Length (m) of the cylinder's end on that side.
type Cushion struct {
	Length float64
	Needle Conductance
}

// Friction is that of the cylinder's seals: Constant + PerPressure × the sum of the two chambers' gauge pressures + Viscous × speed.
// A cylinder of efficiency η without back pressure has PerPressure = (1 - η) A.
type Friction struct {
	Constant    float64 // N
	PerPressure float64 // N/Pa
	Viscous     float64 // N s/m
	Breakaway   float64 // ratio of the friction at rest to the one in slow motion, without Viscous, 1 or more; commonly 1.25 to 1.5
}

// A Damper works over the last Length (m) of the stroke: Stiffness × way in it, and while it is driven in Linear × speed + Quadratic ×
// speed². The quantities are those that the piston feels: a damper elsewhere in the mechanism has its force multiplied by i = dx/ds, and
// Stiffness and Linear by i², Quadratic by i³.
type Damper struct {
	Length    float64
	Linear    float64 // N s/m
	Quadratic float64 // N s²/m²
	Stiffness float64 // N/m
}

// Options say how to compute.
type Options struct {
	Tolerance float64 // relative error of a step; 0 for 1e-6
	Limit     float64 // longest time, s; 0 for 10 s
	Steps     int     // most steps, with those tried in vain; 0 for 50,000
	Samples   int     // most samples of the course; 0 for none
}

func (o Options) filled() (Options, error) {
	if o.Tolerance == 0 {
		o.Tolerance = 1e-6
	}
	if o.Limit == 0 {
		o.Limit = 10
	}
	if o.Steps == 0 {
		o.Steps = 50_000
	}
	if !(o.Tolerance >= 1e-12 && o.Tolerance <= 1e-2) {
		return o, fmt.Errorf("the tolerance must be from 1e-12 to 0.01, found %g", o.Tolerance)
	}
	if !(o.Limit > 0) || math.IsInf(o.Limit, 0) {
		return o, fmt.Errorf("the time limit must be above zero and finite, found %g s", o.Limit)
	}
	if o.Steps < 0 || o.Samples < 0 || o.Samples == 1 {
		return o, fmt.Errorf("a run needs steps, and none, two or more samples: found %d and %d", o.Steps, o.Samples)
	}
	return o, nil
}

// bound is a number with what it is called and what is allowed.
type bound struct {
	what  string
	value float64
	least float64
	above bool // least itself is not allowed
	unit  string
}

func (b bound) check() error {
	if b.value > b.least && !math.IsInf(b.value, 0) || b.value == b.least && !b.above {
		return nil
	}
	allowed := fmt.Sprintf("%g or more", b.least)
	if b.above {
		allowed = fmt.Sprintf("above %g", b.least)
	}
	return fmt.Errorf("%s must be %s and finite, found %g%s", b.what, allowed, b.value, b.unit)
}

func (m *Machine) check() error {
	for _, b := range []bound{
		{"the pressure of the air around", m.Air.Pressure, 0, true, " Pa"},
		{"the temperature of the air around", m.Air.Temperature, 0, true, " K"},
		{"the volume of the receiver", m.Supply.Receiver, 0, false, " m³"},
		{"the stroke of the cylinder", m.Stroke, 0, true, " m"},
		{"the constant friction", m.Friction.Constant, 0, false, " N"},
		{"the friction per pressure", m.Friction.PerPressure, 0, false, " N/Pa"},
		{"the viscous friction", m.Friction.Viscous, 0, false, " N s/m"},
		{"the breakaway ratio", m.Friction.Breakaway, 1, false, ""},
		{"the damper's length", m.Damper.Length, 0, false, " m"},
		{"the damper's linear coefficient", m.Damper.Linear, 0, false, " N s/m"},
		{"the damper's quadratic coefficient", m.Damper.Quadratic, 0, false, " N s²/m²"},
		{"the damper's stiffness", m.Damper.Stiffness, 0, false, " N/m"},
		{"the valve's delay", m.Delay, 0, false, " s"},
	} {
		if err := b.check(); err != nil {
			return err
		}
	}
	if !(m.Air.Wall >= 0) {
		return fmt.Errorf("the heat transfer coefficient must be 0 or more, or +Inf for isothermal, found %g W/(m² K)", m.Air.Wall)
	}
	if !(m.Supply.Pressure >= m.Air.Pressure) || math.IsInf(m.Supply.Pressure, 0) {
		return fmt.Errorf("the supply must have at least the pressure of the air around, %g Pa, found %g Pa: pressures are absolute here", m.Air.Pressure, m.Supply.Pressure)
	}
	if !(m.Low >= 0 && m.Low < m.High && m.High <= m.Stroke) {
		return fmt.Errorf("the stops must lie one above the other within the stroke of %g m, found %g and %g m", m.Stroke, m.Low, m.High)
	}
	if !(m.Start >= m.Low && m.Start <= m.High) || m.Start == m.end() {
		return fmt.Errorf("the motion must start between the stops at %g and %g m and not at its end, found %g m", m.Low, m.High, m.Start)
	}
	if m.Damper.Length > m.High-m.Low {
		return fmt.Errorf("the damper must be no longer than the way between the stops, %g m, found %g m", m.High-m.Low, m.Damper.Length)
	}
	if m.Mechanism == nil {
		return fmt.Errorf("the mechanism is missing")
	}
	const looks = 16
	for i := 0.0; i <= looks; i++ {
		s := m.Low + (m.High-m.Low)*i/looks
		if err := checkPose(s, m.Mechanism.At(s)); err != nil {
			return err
		}
	}
	if err := m.Cap.check("the cap chamber", m); err != nil {
		return err
	}
	return m.Rod.check("the rod chamber", m)
}

func (m *Machine) end() float64 {
	if m.Inward {
		return m.Low
	}
	return m.High
}

func (c *Chamber) check(name string, m *Machine) error {
	if c.To == Open {
		return bound{"the area of " + name, c.Area, 0, false, " m²"}.check()
	}
	for _, b := range []bound{
		{"the area of " + name, c.Area, 0, true, " m²"},
		{"the dead volume of " + name, c.Dead, 0, true, " m³"},
		{"the pressure at the start in " + name, c.Pressure, 0, true, " Pa"},
		{"the bore of the tube to " + name, c.Line.Tube.Bore, 0, c.Line.Tube.Length > 0, " m"},
		{"the length of the tube to " + name, c.Line.Tube.Length, 0, false, " m"},
		{"the length of the cushion of " + name, c.Cushion.Length, 0, false, " m"},
	} {
		if err := b.check(); err != nil {
			return err
		}
	}
	if c.Cushion.Length > m.Stroke {
		return fmt.Errorf("the cushion of %s must be no longer than the stroke of %g m, found %g m", name, m.Stroke, c.Cushion.Length)
	}
	if c.Cushion.Length > 0 {
		if err := c.Cushion.Needle.check("the cushion needle of " + name); err != nil {
			return err
		}
	}
	if c.To < Supplied || c.To > Open {
		return fmt.Errorf("%s has an unknown connection, %d", name, c.To)
	}
	parts := 0
	for _, side := range [][]Element{c.Line.Valve, c.Line.Port} {
		for _, e := range side {
			parts++
			if err := e.In.check(e.Name); err != nil {
				return err
			}
			if err := e.Out.check(e.Name); err != nil {
				return err
			}
			if e.In.C == 0 && e.Out.C == 0 {
				return fmt.Errorf("the sonic conductance of %s is zero both ways: one of them must be above zero", e.Name)
			}
		}
	}
	if c.To != Shut && parts == 0 && c.Line.Tube.Length == 0 {
		return fmt.Errorf("the line of %s has no part: it needs at least the valve's conductance", name)
	}
	return nil
}
