package linkage

import "slices"

// mostStates is how many cylinders may rest at either end in every combination. With more, the combinations would outgrow their use.
const mostStates = 5

// Drives lists the sweeps that show the whole motion of a machine: each cylinder with the others at each of their rest states, closed
// and extended in every combination (as drawn, all closed and all extended where there are more than six), and at last all
// together. Of cylinders that share a freedom as many are placed as it takes, and the others follow.
func (s *Solver) Drives() (list []Drive) {
	var placed []int
	follow := s.followers(-1)
	for i := range s.lines {
		if !slices.Contains(follow, i) {
			placed = append(placed, i)
		}
	}
	for g, lead := range placed {
		others := slices.Delete(slices.Clone(placed), g, g+1)
		drive := func(extended func(k int) bool) {
			d := Drive{Lead: lead, Follow: follow, At: make([]float64, len(s.lines))}
			for k, i := range others {
				if extended(k) {
					d.At[i] = s.mechanism.Cylinders[i].Stroke
				}
			}
			list = append(list, d)
		}
		if len(others) > mostStates {
			list = append(list, Drive{Lead: lead, Follow: follow})
			drive(func(int) bool { return false })
			drive(func(int) bool { return true })
			continue
		}
		for state := range 1 << len(others) {
			drive(func(k int) bool { return state>>k&1 == 1 })
		}
	}
	if len(placed) > 1 {
		list = append(list, Drive{Lead: placed[0], With: placed[1:], Follow: follow})
	}
	return list
}

// followers picks, of cylinders that share freedoms, those that need not be placed: the later ones, and not the lead. Those that are
// stuck need not either.
func (s *Solver) followers(lead int) (follow []int) {
	follow = slices.Clone(s.mobility.Stuck)
	for _, set := range s.mobility.Tied {
		spare := slices.DeleteFunc(slices.Clone(set), func(i int) bool { return !slices.Contains(s.mobility.Surplus, i) })
		kept := slices.DeleteFunc(slices.Clone(set), func(i int) bool { return slices.Contains(spare, i) })
		if len(spare) == 1 || len(kept) == 1 { // any of the set will do
			order := slices.DeleteFunc(slices.Clone(set), func(i int) bool { return i == lead })
			spare = order[len(order)-len(spare):]
		} else if k := slices.Index(spare, lead); k >= 0 {
			spare[k] = kept[len(kept)-1]
		}
		follow = append(follow, spare...)
	}
	slices.Sort(follow)
	return follow
}
