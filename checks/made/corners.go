package made

import "trammel.example/checks/linkage"

const (
	// mostExact is how many sizes with tolerance are tried at all of their limits. Each one more doubles the time.
	mostExact = 6
	// fewPoses is about how many poses are taken to look for the worst limits: these change slowly along a stroke.
	fewPoses = 12
)

// A sample takes what a made linkage gives in one pose.
type sample func(pose int, v *linkage.Variant, p *linkage.Pose)

// A Blocked is a pose that the linkage can't take with these sizes, on the branch that was drawn.
type Blocked struct {
	Stroke float64   // m
	Sizes  []float64 // in the order of Parts
}

// run solves the linkage with sizes at every pose. It stops at the first that can't be taken.
func (m *Machine) run(poses []linkage.Pose, sizes []float64, each sample) (*Blocked, error) {
	stroke, blocked, err := m.solve(poses, m.places(sizes), m.longer(sizes), each)
	if blocked {
		return &Blocked{Stroke: stroke, Sizes: sizes}, err
	}
	return nil, err
}

func (m *Machine) solve(poses []linkage.Pose, places []linkage.Place, longer []float64, each sample) (stroke float64, blocked bool, err error) {
	v, err := m.solver.Variant(places, longer)
	if err != nil {
		return 0, false, err
	}
	var room linkage.Pose
	for i := range poses {
		if stop := v.Pose(&poses[i], &room); stop != nil {
			return stop.Stroke, true, nil
		}
		each(i, v, &room)
	}
	return 0, false, nil
}

func (m *Machine) nominal() []float64 {
	sizes := make([]float64, len(m.sizes))
	for i, x := range m.sizes {
		sizes[i] = x.Nominal
	}
	return sizes
}

// at gives the sizes where bit k of a corner says whether the k-th varying one is most.
func (m *Machine) at(corner []bool) []float64 {
	sizes := m.nominal()
	for k, i := range m.varying {
		if sizes[i] = m.sizes[i].Least; corner[k] {
			sizes[i] = m.sizes[i].Most
		}
	}
	return sizes
}

// corners gives the limits to try: all of them for a few sizes. For more, each size is put at its limits alone, and the limits are
// combined that by the sum of these effects (first order) make one of n quantities, or a combination of them by directions, greatest.
func (m *Machine) corners(poses []linkage.Pose, n int, read func(v *linkage.Variant, p *linkage.Pose, into []float64), directions [][]float64) ([][]float64, error) {
	var out [][]float64
	if len(m.varying) <= mostExact {
		for bits := range 1 << len(m.varying) {
			corner := make([]bool, len(m.varying))
			for k := range corner {
				corner[k] = bits>>k&1 == 1
			}
			out = append(out, m.at(corner))
		}
		return out, nil
	}
	var few []linkage.Pose
	for i := range poses {
		if i%(1+len(poses)/fewPoses) == 0 || i == len(poses)-1 {
			few = append(few, poses[i])
		}
	}
	// effect[k][pose][quantity]: at most less at least
	effect := make([][][]float64, len(m.varying))
	for k, i := range m.varying {
		effect[k] = make([][]float64, len(few))
		for p := range few {
			effect[k][p] = make([]float64, n)
		}
		into := make([]float64, n)
		for limit, size := range [2]float64{m.sizes[i].Least, m.sizes[i].Most} {
			sizes := m.nominal()
			sizes[i] = size
			if _, err := m.run(few, sizes, func(pose int, v *linkage.Variant, p *linkage.Pose) {
				read(v, p, into)
				for q, x := range into {
					effect[k][pose][q] += float64(2*limit-1) * x
				}
			}); err != nil {
				return nil, err
			}
		}
	}
	seen := map[string]bool{}
	for p := range few {
		for _, d := range directions {
			corner := make([]bool, len(m.varying))
			key := make([]byte, len(m.varying))
			for k := range corner {
				sum := 0.0
				for q, u := range d {
					sum += u * effect[k][p][q]
				}
				if corner[k] = sum > 0; corner[k] {
					key[k] = 1
				}
			}
			if !seen[string(key)] {
				seen[string(key)] = true
				out = append(out, m.at(corner))
			}
		}
	}
	return out, nil
}
