package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// circles gives the point at distance a from p and b from q, on the left of the way from p to q for side +1 and on the right for -1.
func circles(p, q r2.Vec, a, b, side float64) r2.Vec {
	d := r2.Sub(q, p)
	length := r2.Norm(d)
	u := r2.Scale(1/length, d)
	x := (a*a - b*b + length*length) / (2 * length)
	y := math.Sqrt(a*a - x*x)
	return r2.Add(p, r2.Add(r2.Scale(x, u), r2.Scale(side*y, normal(u))))
}

func polar(length, angle float64) r2.Vec {
	return r2.Vec{X: length * math.Cos(angle), Y: length * math.Sin(angle)}
}

// crankDriver puts a cylinder from a grounded point to the crank's pin so that the crank of length a at the origin can be turned
// between the angles low and high, neither at a dead point, and gives the stroke at an angle.
func crankDriver(a, low, high float64) (rear r2.Vec, closed, stroke float64, at func(angle float64) float64) {
	rear = polar(2*a, (low+high)/2+math.Pi/2)
	length := func(angle float64) float64 { return r2.Norm(r2.Sub(polar(a, angle), rear)) }
	closed, end := length(high), length(low)
	return rear, closed, end - closed, func(angle float64) float64 { return length(angle) - closed }
}

// fourBar is drawn at the crank angle given, with the crank from 0 to 1, the coupler to 2, the follower to 3.
func fourBar(a, b, c, d, drawn, low, high, side float64) (Mechanism, func(float64) float64) {
	rear, closed, stroke, at := crankDriver(a, low, high)
	o2, o4 := r2.Vec{}, r2.Vec{X: d}
	pin := polar(a, drawn)
	return Mechanism{
		Points: []r2.Vec{o2, pin, circles(pin, o4, b, c, side), o4, rear},
		Bodies: []Body{
			{Points: []int{0, 3, 4}, Ground: true},
			{Points: []int{0, 1}},
			{Points: []int{1, 2}},
			{Points: []int{2, 3}},
		},
		Cylinders: []Cylinder{{Rear: 4, Front: 1, Closed: closed, Stroke: stroke}},
	}, at
}

// sliderCrank has the crank from 0 to 1, the rod to 2, which slides along a grounded line at the height c.
func sliderCrank(a, b, c, drawn, low, high, side float64) (Mechanism, func(float64) float64) {
	rear, closed, stroke, at := crankDriver(a, low, high)
	pin := polar(a, drawn)
	x := pin.X + side*math.Sqrt(b*b-(pin.Y-c)*(pin.Y-c))
	return Mechanism{
		Points: []r2.Vec{{}, pin, {X: x, Y: c}, rear, {X: -3 * b, Y: c}, {X: 3 * b, Y: c}},
		Bodies: []Body{
			{Points: []int{0, 3, 4, 5}, Ground: true},
			{Points: []int{0, 1}},
			{Points: []int{1, 2}},
		},
		Slides:    []Slide{{Point: 2, Body: 0, From: 4, To: 5}},
		Cylinders: []Cylinder{{Rear: 3, Front: 1, Closed: closed, Stroke: stroke}},
	}, at
}

func mustPose(t *testing.T, s *Solver, stroke float64) *Pose {
	t.Helper()
	p, stop, err := s.PoseAt([]float64{stroke}, 0)
	if err != nil || stop != nil {
		t.Fatalf("stop %+v, error %v", stop, err)
	}
	return p
}

// way is the angle of the way from one point to another.
func way(p *Pose, from, to int) float64 {
	d := r2.Sub(p.Points[to], p.Points[from])
	return math.Atan2(d.Y, d.X)
}

// turned gives speed and acceleration of a body when the crank, body 1, has those given.
func turnedBy(p *Pose, body int, speed, acceleration float64) (w, a float64) {
	sd := speed / p.AngleRate[1]
	sdd := (acceleration - p.AngleBend[1]*sd*sd) / p.AngleRate[1]
	return p.AngleRate[body] * sd, p.AngleBend[body]*sd*sd + p.AngleRate[body]*sdd
}

// R. L. Norton, Design of Machinery, example 4-1 and the examples on its velocities and accelerations (from memory; recomputed by
// Freudenstein's equation). The machine is drawn with the crank at 70° and moved to 40°.
func TestNortonFourBar(t *testing.T) {
	for _, row := range []struct {
		name                 string
		side, theta3, theta4 float64
	}{
		{"open", 1, 20.2979, 57.3249},
		{"crossed", -1, -60.978, -98.005},
	} {
		m, at := fourBar(40*mm, 120*mm, 80*mm, 100*mm, 70*deg, 20*deg, 110*deg, row.side)
		p := mustPose(t, mustNew(t, m), at(40*deg))
		near(t, row.name+" coupler", way(p, 1, 2)/deg, row.theta3, 5e-4)
		near(t, row.name+" follower", way(p, 3, 2)/deg, row.theta4, 5e-4)
		if row.side < 0 {
			continue
		}
		w3, _ := turnedBy(p, 2, 25, 0)
		w4, _ := turnedBy(p, 3, 25, 0)
		near(t, "speed of the coupler, rad/s", w3, -4.121, 5e-4)
		near(t, "speed of the follower, rad/s", w4, 6.998, 5e-4)
		_, a3 := turnedBy(p, 2, 25, 15)
		_, a4 := turnedBy(p, 3, 25, 15)
		near(t, "acceleration of the coupler, rad/s²", a3, 296.089, 2e-3)
		near(t, "acceleration of the follower, rad/s²", a4, 470.134, 2e-3)
	}
}

// R. L. Norton, Design of Machinery, slider-crank example (from memory; recomputed).
func TestNortonSliderCrank(t *testing.T) {
	for _, row := range []struct {
		name            string
		side, angle, at float64
	}{
		{"open", 1, 152.91, 126.84},
		{"crossed", -1, 27.087, -86.838},
	} {
		m, at := sliderCrank(40*mm, 120*mm, -20*mm, 80*deg, 30*deg, 120*deg, row.side)
		p := mustPose(t, mustNew(t, m), at(60*deg))
		near(t, row.name+" rod", way(p, 2, 1)/deg, row.angle, 5e-3)
		near(t, row.name+" slider", p.Points[2].X/mm, row.at, 5e-3)
	}
}

// F. P. Beer, E. R. Johnston, Vector Mechanics for Engineers: Dynamics, the engine of crank 3 in, rod 8 in at 2000 rpm and 40° (from
// memory; recomputed).
func TestBeerJohnstonEngine(t *testing.T) {
	const inch, foot = 0.0254, 0.3048
	m, at := sliderCrank(3*inch, 8*inch, 0, 60*deg, 20*deg, 100*deg, 1)
	p := mustPose(t, mustNew(t, m), at(40*deg))
	near(t, "rod to the slide, deg", -way(p, 1, 2)/deg, 13.95, 5e-3)
	speed := -2000.0 / 60 * 2 * math.Pi // clockwise as published; here the crank is above the slide and turns towards it
	sd := speed / p.AngleRate[1]
	near(t, "piston, ft/s", p.Velocity[2].X*sd/foot, 43.6, 0.05)
	near(t, "rod, rad/s", p.AngleRate[2]*sd, 62.0, 0.05)
}

// F. P. Beer, E. R. Johnston, Vector Mechanics for Engineers: Dynamics, the linkage with AB 8i+14j, BD 12i+3j, DE 17i-17j at 20 rad/s
// (from memory; recomputed).
func TestBeerJohnstonFourBar(t *testing.T) {
	a, b := r2.Vec{}, r2.Vec{X: 8, Y: 14}
	d := r2.Add(b, r2.Vec{X: 12, Y: 3})
	e := r2.Sub(d, r2.Vec{X: -17, Y: 17})
	rear := r2.Vec{X: -20, Y: 15}
	length := r2.Norm(r2.Sub(b, rear))
	p := mustPose(t, mustNew(t, Mechanism{
		Points:    []r2.Vec{a, b, d, e, rear},
		Bodies:    []Body{{Points: []int{0, 3, 4}, Ground: true}, {Points: []int{0, 1}}, {Points: []int{1, 2}}, {Points: []int{2, 3}}},
		Cylinders: []Cylinder{{Rear: 4, Front: 1, Closed: length - 1, Stroke: 3}},
	}), 1)
	bd, _ := turnedBy(p, 2, 20, 0)
	de, _ := turnedBy(p, 3, 20, 0)
	near(t, "BD, rad/s", bd, -29.33, 5e-3)
	near(t, "DE, rad/s", de, 11.29, 5e-3)
}

// rocker is a lever of 120 mm at the origin, turned by a cylinder whose rear is 300 mm away.
func rocker(drawn, closed, stroke float64) Mechanism {
	return Mechanism{
		Points:    []r2.Vec{{}, {X: 300 * mm}, polar(120*mm, drawn)},
		Bodies:    []Body{{Points: []int{0, 1}, Ground: true}, {Points: []int{0, 2}}},
		Cylinders: []Cylinder{{Rear: 1, Front: 2, Closed: closed, Stroke: stroke}},
	}
}

// Constructed; cosine rule. A force of 295 N at 260 mm gives 35.108 N m about the pivot.
func TestRocker(t *testing.T) {
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	p := mustPose(t, s, 40*mm)
	near(t, "angle, deg", way(p, 0, 2)/deg, 59.262, 5e-4)
	lever := s.Levers()[0]
	near(t, "arm, mm", lever.Arm(p)/mm, 119.01, 5e-3)
	near(t, "turn by stroke is 1/arm", p.AngleRate[1]*lever.Arm(p), 1, 1e-12)
	near(t, "torque, N m", 295*lever.Arm(p), 35.108, 1e-3)
	// A weight across the lever's tip that makes this torque is held by this force.
	c := Case{Loads: []Load{{Point: 2, Force: r2.Scale(-35.108/(120*mm), normal(polar(1, way(p, 0, 2))))}}}
	near(t, "thrust, N", s.HoldingThrust(p, &c), 295, 0.01)
}

// F. P. Beer, E. R. Johnston, Vector Mechanics for Engineers: Statics, hydraulic-lift table by virtual work: 1000 kg on two
// linkages, θ 60°, a 0.70 m, L 3.20 m; s 2.91 m, 5.15 kN for each cylinder (from memory; recomputes to 5.157 kN and 2.914 m).
// E-B and G-C are the equal legs 2a, D the middle of E-B where the cylinder from H acts, B-C the platform.
func TestHydraulicLiftTable(t *testing.T) {
	const a, l = 0.70, 3.20
	tilt := 60 * deg
	leg := polar(2*a, tilt)
	e, g, h := r2.Vec{}, r2.Vec{X: -1.5}, r2.Vec{X: l}
	s := mustNew(t, Mechanism{
		Points: []r2.Vec{e, g, h, leg, r2.Scale(0.5, leg), r2.Add(g, leg), r2.Add(g, r2.Add(leg, r2.Vec{X: 0.4}))},
		Bodies: []Body{
			{Points: []int{0, 1, 2}, Ground: true},
			{Points: []int{0, 3, 4}},
			{Points: []int{1, 5}},
			{Points: []int{3, 5, 6}},
		},
		Cylinders: []Cylinder{{Rear: 2, Front: 4, Closed: 2.7, Stroke: 0.6}},
	})
	w := mustSweep(t, s, Drive{}, 3)
	length := r2.Norm(r2.Sub(r2.Scale(0.5, leg), h))
	near(t, "s, m", length, 2.91, 5e-3)
	p := mustPose(t, s, length-2.7)
	c := Case{Gravity: r2.Vec{Y: -9.81}, Loads: []Load{{Point: 6, Mass: 500}}}
	near(t, "force, kN", s.HoldingThrust(p, &c)/1e3, 5.15, 0.01)
	for i := range w.Poses {
		p := &w.Poses[i]
		theta := way(p, 0, 3)
		near(t, "force by F = W (s/L) cot θ", s.HoldingThrust(p, &c), 1000*9.81*p.Cylinders[0].Length/l/math.Tan(theta), 1e-8)
	}
}
