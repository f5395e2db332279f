package made

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// directions is how many ways a worst case is looked for in the plane: 16 find it to 1 - cos(π/16), 2 %.
const directions = 16

// A Tool is a point of the linkage, and the body whose angle counts there.
type Tool struct{ Point, Body int }

func (m *Machine) known(t Tool) bool {
	return t.Point >= 0 && t.Point < len(m.drawn.Points) && t.Body >= 0 && t.Body < len(m.drawn.Bodies)
}

// A Miss is how far a tool ends up from where it was drawn, at most over the poses.
type Miss struct {
	Distance   float64   // m
	By         r2.Vec    // of the largest distance, m
	DistanceAt float64   // stroke, m
	DistanceOf []float64 // sizes of that worst case, in the order of Parts

	Turn   float64 // the largest either way, rad
	TurnAt float64
	TurnOf []float64
}

func (m *Miss) take(by r2.Vec, turn, stroke float64, sizes []float64) {
	if d := r2.Norm(by); d > m.Distance || m.DistanceOf == nil {
		m.Distance, m.By, m.DistanceAt, m.DistanceOf = d, by, stroke, sizes
	}
	if math.Abs(turn) > math.Abs(m.Turn) || m.TurnOf == nil {
		m.Turn, m.TurnAt, m.TurnOf = turn, stroke, sizes
	}
}

// An Aim is where a tool ends up.
type Aim struct {
	Nominal Miss // with all sizes nominal
	Worst   Miss // with sizes at their limits

	// Searched tells that there are too many sizes with a tolerance (over six) to try all limits: the worst were looked for by adding
	// up what each size does alone, and then solved.
	Searched bool
	Blocked  []Blocked // sizes with which the linkage can't take all poses
}

// Aim finds the error of a tool over the poses of a sweep of the linkage as drawn. The time goes with the poses, times up to 64
// limits; 20 poses are enough for a smooth path. Give no poses at a stop: with some limits there is none. The error is a Fault of this package or of linkage.
func (m *Machine) Aim(poses []linkage.Pose, t Tool) (Aim, error) {
	if len(poses) == 0 || !m.known(t) {
		return Aim{}, Fault{Kind: NotAsked, Points: []int{t.Point}}
	}
	out := Aim{Searched: len(m.varying) > mostExact}
	into := func(miss *Miss, sizes []float64) error {
		blocked, err := m.run(poses, sizes, func(i int, _ *linkage.Variant, p *linkage.Pose) {
			miss.take(r2.Sub(p.Points[t.Point], poses[i].Points[t.Point]), p.Angles[t.Body]-poses[i].Angles[t.Body], p.Stroke, sizes)
		})
		if blocked != nil {
			out.Blocked = append(out.Blocked, *blocked)
		}
		return err
	}
	if err := into(&out.Nominal, m.nominal()); err != nil {
		return Aim{}, err
	}
	out.Worst = out.Nominal
	if len(m.varying) == 0 {
		return out, nil
	}
	ways := [][]float64{{0, 0, 1}, {0, 0, -1}}
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		ways = append(ways, []float64{cos, sin, 0})
	}
	corners, err := m.corners(poses, 3, func(_ *linkage.Variant, p *linkage.Pose, into []float64) {
		into[0], into[1], into[2] = p.Points[t.Point].X, p.Points[t.Point].Y, p.Angles[t.Body]
	}, ways)
	if err != nil {
		return Aim{}, err
	}
	for _, sizes := range corners {
		if err := into(&out.Worst, sizes); err != nil {
			return Aim{}, err
		}
	}
	return out, nil
}
