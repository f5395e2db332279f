package linkage

import "slices"

// mostStates is how many cylinders may rest at either end in every combination. With more, the combinations would outgrow their use.
const mostStates = 5

// Drives lists the sweeps that show the whole motion of a machine: each cylinder with the others at each of their rest states, closed
// and extended in every combination (as drawn, all closed and all extended where there are more than six), and at last all
// together. Cylinders that share a freedom move as one, led by the first.
func (s *Solver) Drives() (list []Drive) {
	var groups [][]int
	for i := range s.lines {
		set := []int{i}
		for _, tied := range s.mobility.Tied {
			if slices.Contains(tied, i) {
				set = tied
			}
		}
		if set[0] == i {
			groups = append(groups, set)
		}
	}
	for g, group := range groups {
		others := slices.Delete(slices.Clone(groups), g, g+1)
		drive := func(extended func(k int) bool) {
			d := Drive{Lead: group[0], With: group[1:], At: make([]float64, len(s.lines))}
			for k, other := range others {
				for _, i := range other {
					if extended(k) {
						d.At[i] = s.mechanism.Cylinders[i].Stroke
					}
				}
			}
			list = append(list, d)
		}
		if len(others) > mostStates {
			list = append(list, Drive{Lead: group[0], With: group[1:]})
			drive(func(int) bool { return false })
			drive(func(int) bool { return true })
			continue
		}
		for state := range 1 << len(others) {
			drive(func(k int) bool { return state>>k&1 == 1 })
		}
	}
	if len(groups) > 1 {
		all := Drive{Lead: groups[0][0]}
		for i := range s.lines {
			if i != all.Lead {
				all.With = append(all.With, i)
			}
		}
		list = append(list, all)
	}
	return list
}
