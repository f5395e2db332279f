package stroke

import "math"

const (
	bar     = 1e5  // Pa
	dm3bar  = 1e-8 // m³/(s Pa) in 1 dm³/(s bar)
	ambient = standardAtmosphere
	cm3     = 1e-6
)

func both(name string, c, b float64) Element {
	k := Conductance{c * dm3bar, b}
	return Element{name, k, k}
}

func control(in, out, b float64) Element {
	return Element{"flow control", Conductance{in * dm3bar, b}, Conductance{out * dm3bar, b}}
}

// lifter is a cylinder 25/10 × 100 mm at 6 bar gauge that lifts through a linkage: a bore and rod of ISO 6432, the rest made up.
func lifter() Machine {
	area := math.Pi / 4 * 0.025 * 0.025
	rod := area - math.Pi/4*0.01*0.01
	valve, tube := both("valve", 1.2, 0.3), Tube{0.004, 0.8}
	var strokes []float64
	var poses []Pose
	for i := 0.0; i <= 32; i++ {
		s := 0.1 * i / 32
		strokes = append(strokes, s)
		poses = append(poses, Pose{Mass: 4 + 20*s + 150*s*s, Slope: 20 + 300*s, Load: 80 + 600*s, Drag: 6})
	}
	table, err := NewTable(strokes, poses)
	if err != nil {
		panic(err)
	}
	return Machine{
		Air:    Air{ambient, 293.15, 50},
		Supply: Supply{Pressure: 6*bar + ambient},
		Cap:    Chamber{Area: area, Dead: 3 * cm3, Pressure: ambient, To: Supplied, Line: Line{Valve: []Element{valve}, Tube: tube, Port: []Element{control(1.5, 0.25, 0.3)}}},
		Rod: Chamber{Area: rod, Dead: 3 * cm3, Pressure: 6*bar + ambient, To: Exhausted,
			Line: Line{Valve: []Element{both("silencer", 1.5, 0.4), valve}, Tube: tube, Port: []Element{control(1.5, 0.25, 0.3)}}, Cushion: Cushion{0.015, Conductance{0.05 * dm3bar, 0.3}}},
		Stroke: 0.1, High: 0.1, Mechanism: table,
		Friction: Friction{Constant: 5, PerPressure: 3e-5, Viscous: 20, Breakaway: 1.4},
		Delay:    0.015,
	}
}
