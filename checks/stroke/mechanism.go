package stroke

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
)

// A Pose is what the piston feels of the mechanism at one stroke.
type Pose struct {
	Mass  float64 // effective mass m(s), with piston and rod, kg
	Slope float64 // dm/ds, kg/m; it must be the slope of Mass, or energy is not kept
	// Load is the force (N) against the growth of s that weights, springs and outside forces need; it is below zero where they pull
	// the rod out. Of a load that is known by direction, it is (F_out + F_in)/2, both counted against the growth of s.
	Load float64
	// Drag is the friction (N, zero or more) of pivots and guides against either motion: (F_out - F_in)/2.
	Drag float64
}

// A Mechanism tells the pose at the stroke s (m). It is asked some thousand times in a run and should not allocate; it must be continuous.
type Mechanism interface {
	At(s float64) Pose
}

// A Constant is a mechanism that is the same at every stroke, such as a weight on a rail.
type Constant Pose

// At gives the constant pose.
func (c Constant) At(float64) Pose { return Pose(c) }

// A Table is a mechanism known at some strokes and smooth in between: cubics that keep the given Mass and Slope, and monotone cubics
// (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984) through Load and Drag. Outside of its strokes, where only trial steps go, the
// mass goes on in a straight line and the rest stays, so that nothing jumps at the end.
type Table struct {
	rows    []row
	density float64 // rows per m, in the mean
}

// A row holds the cubics from a stroke to the next one, in powers of the way from there.
type row struct {
	s                float64
	mass, load, drag [4]float64
}

// NewTable makes a table of the poses at the strokes (m, growing). Steps need not be equal, but are looked up fastest when they are.
func NewTable(strokes []float64, poses []Pose) (*Table, error) {
	if len(strokes) != len(poses) || len(strokes) < 2 {
		return nil, fmt.Errorf("a table needs two or more strokes with a pose each, found %d strokes and %d poses", len(strokes), len(poses))
	}
	t := &Table{rows: make([]row, len(poses)), density: float64(len(strokes)-1) / (strokes[len(strokes)-1] - strokes[0])}
	load, drag := make([]float64, len(poses)), make([]float64, len(poses))
	for i, p := range poses {
		if err := checkPose(strokes[i], p); err != nil {
			return nil, err
		}
		if i > 0 && !(strokes[i] > strokes[i-1]) {
			return nil, fmt.Errorf("the strokes of a table must grow, found %g m after %g m", strokes[i], strokes[i-1])
		}
		load[i], drag[i] = p.Load, p.Drag
	}
	loadSlopes, dragSlopes := monotone(strokes, load), monotone(strokes, drag)
	for i, p := range poses {
		r := row{s: strokes[i], mass: [4]float64{p.Mass, p.Slope}, load: [4]float64{p.Load}, drag: [4]float64{p.Drag}}
		if i+1 < len(poses) {
			a, b, h := strokes[i], strokes[i+1], strokes[i+1]-strokes[i]
			r.mass = hermite(p.Mass, poses[i+1].Mass, p.Slope, poses[i+1].Slope, h)
			r.load = hermite(load[i], load[i+1], loadSlopes(a), loadSlopes(b), h)
			r.drag = hermite(drag[i], drag[i+1], dragSlopes(a), dragSlopes(b), h)
		}
		t.rows[i] = r
	}
	return t, nil
}

// Added is a mechanism with a force Load (N) more against the growth of s, as of a stronger spring.
type Added struct {
	To   Mechanism
	Load float64
}

// At gives the pose with the load.
func (a Added) At(s float64) Pose {
	p := a.To.At(s)
	p.Load += a.Load
	return p
}

// monotone gives the slopes of a monotone cubic. Two points leave no choice but the straight line.
func monotone(x, y []float64) func(float64) float64 {
	if len(x) == 2 {
		slope := (y[1] - y[0]) / (x[1] - x[0])
		return func(float64) float64 { return slope }
	}
	var f interp.FritschButland
	if err := f.Fit(x, y); err != nil {
		panic(err) // only a NaN or unsorted x, which NewTable refuses
	}
	return f.PredictDerivative
}

// At interpolates.
func (t *Table) At(s float64) Pose {
	last := len(t.rows) - 1
	if math.IsNaN(s) {
		return Pose{s, s, s, s} // a trial step that went to where there is no state; it is refused
	}
	if s < t.rows[0].s {
		return t.rows[0].beyond(s)
	}
	if s > t.rows[last].s {
		return t.rows[last].beyond(s)
	}
	i := min(int((s-t.rows[0].s)*t.density), last-1)
	for s < t.rows[i].s {
		i--
	}
	for s > t.rows[i+1].s {
		i++
	}
	r := &t.rows[i]
	x := s - r.s
	at := func(c *[4]float64) float64 { return c[0] + x*(c[1]+x*(c[2]+x*c[3])) }
	return Pose{Mass: at(&r.mass), Slope: r.mass[1] + x*(2*r.mass[2]+x*3*r.mass[3]), Load: at(&r.load), Drag: at(&r.drag)}
}

// beyond is the pose at s outside the table, of which r is the nearest row.
func (r *row) beyond(s float64) Pose {
	return Pose{Mass: r.mass[0] + (s-r.s)*r.mass[1], Slope: r.mass[1], Load: r.load[0], Drag: r.drag[0]}
}

// hermite is the cubic with values y0, y1 and slopes d0, d1 at 0 and h, in powers of x.
func hermite(y0, y1, d0, d1, h float64) [4]float64 {
	rise := (y1 - y0) / h
	return [4]float64{y0, d0, (3*rise - 2*d0 - d1) / h, (d0 + d1 - 2*rise) / (h * h)}
}

func checkPose(s float64, p Pose) error {
	for _, v := range []float64{s, p.Mass, p.Slope, p.Load, p.Drag} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("the mechanism's pose at the stroke %g m must be finite, found %+v", s, p)
		}
	}
	if p.Mass <= 0 {
		return fmt.Errorf("the effective mass must be above zero, found %g kg at the stroke %g m", p.Mass, s)
	}
	if p.Drag < 0 {
		return fmt.Errorf("the drag of pivots and guides must be zero or more, found %g N at the stroke %g m", p.Drag, s)
	}
	return nil
}
