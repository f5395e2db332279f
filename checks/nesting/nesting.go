// Package nesting cuts pieces from bars of one length.
//
// It is one-dimensional bin packing: each piece takes its length and one cut of the saw, the last cut of a bar may fall beyond its end.
// The bound is L2 of Martello and Toth (Knapsack Problems, Wiley 1990, section 8.3, from memory). Bars are filled one after the other, each
// as full as the pieces left allow (the minimum bin slack heuristic of Gupta and Ho, 1999, from memory); where that misses the bound, a
// search of bounded length goes on. A plan says how far from the best it can be: Least.
//
// Lengths are in m.
package nesting

import (
	"fmt"
	"math"
	"slices"
)

// A Plan says which bar each piece is cut from.
type Plan struct {
	Bars  [][]int // places of the pieces in what Cut was given, the longest first
	Least int     // no plan has fewer bars
	Left  []float64
}

// grain is what lengths are rounded to: pieces up, bars down by less than one part in ten thousand of a millimetre.
const grain = 1e-7

// searchSteps bounds the search for a plan with fewer bars.
const searchSteps = 50_000

// fillSteps bounds the search for what fills one bar.
const fillSteps = 20_000

// Cut plans how to cut the pieces from bars of a length, with a saw that takes kerf each time. The error names the first piece that is
// longer than the bar, or a length that is none.
func Cut(bar, kerf float64, pieces []float64) (*Plan, error) {
	if !(bar > 0) || math.IsInf(bar, 0) || !(kerf >= 0) || math.IsInf(kerf, 0) {
		return nil, fmt.Errorf("a bar of %g m and a kerf of %g m can't be", bar, kerf)
	}
	n := &nest{room: int(math.Floor((bar+kerf)/grain + 0.5)), order: make([]int, len(pieces)), size: make([]int, len(pieces))}
	for i, p := range pieces {
		if !(p > 0) || p > bar+grain/2 {
			return nil, fmt.Errorf("piece %d is %g m long, and the bar %g m", i+1, p, bar)
		}
		n.order[i] = i
	}
	slices.SortStableFunc(n.order, func(a, b int) int {
		switch {
		case pieces[a] > pieces[b]:
			return -1
		case pieces[a] < pieces[b]:
			return 1
		}
		return 0
	})
	for i, piece := range n.order {
		n.size[i] = int(math.Floor((pieces[piece]+kerf)/grain + 0.5))
	}
	least := n.bound()
	bars := n.fill()
	if len(bars) > least {
		if better := n.search(least, len(bars)-1); better != nil {
			bars = better
		}
	}
	p := &Plan{Least: least}
	for _, b := range bars {
		left := n.room
		var of []int
		for _, i := range b {
			of = append(of, n.order[i])
			left -= n.size[i]
		}
		p.Bars = append(p.Bars, of)
		p.Left = append(p.Left, max(0, float64(left)*grain-kerf))
	}
	return p, nil
}

// A nest has the pieces by falling size, in grains, each with its cut.
type nest struct {
	room  int
	order []int
	size  []int
}

// bound is L2: pieces longer than half a bar each take one; those that don't fit beside them fill others.
func (n *nest) bound() int {
	least := 0
	for at := range n.size {
		// The threshold is one of the sizes up to half a bar, or none.
		k := n.size[at]
		if k > n.room/2 && at > 0 {
			continue
		}
		if k > n.room/2 {
			k = 0
		}
		least = max(least, n.boundAt(k))
	}
	return max(least, n.boundAt(0))
}

func (n *nest) boundAt(k int) int {
	large, half, free, small := 0, 0, 0, 0
	for _, s := range n.size {
		switch {
		case s > n.room-k:
			large++
		case 2*s > n.room:
			half++
			free += n.room - s
		case s >= k:
			small += s
		}
	}
	more := 0
	if small > free {
		more = (small - free + n.room - 1) / n.room
	}
	return large + half + more
}

// fill takes the longest piece left for each bar, and with it those that leave least.
func (n *nest) fill() (bars [][]int) {
	used := make([]bool, len(n.size))
	for left := len(n.size); left > 0; {
		first := slices.Index(used, false)
		best, room, steps := []int(nil), n.room-n.size[first]+1, 0
		var now []int
		var try func(from, free int)
		try = func(from, free int) {
			if free < room {
				best, room = slices.Clone(now), free
			}
			last := 0
			for i := from; i < len(n.size) && room > 0 && steps < fillSteps; i++ {
				if used[i] || n.size[i] > free || n.size[i] == last {
					continue
				}
				steps++
				last = n.size[i]
				now = append(now, i)
				try(i+1, free-n.size[i])
				now = now[:len(now)-1]
			}
		}
		try(first+1, n.room-n.size[first])
		bar := append([]int{first}, best...)
		for _, i := range bar {
			used[i] = true
		}
		left -= len(bar)
		bars = append(bars, bar)
	}
	return bars
}

// search looks for a plan of least to most bars: pieces by falling size, each into one of the bars that have room, the fullest first; bars
// with the same room are alike.
func (n *nest) search(least, most int) [][]int {
	for bars := least; bars <= most; bars++ {
		free := make([]int, bars)
		for i := range free {
			free[i] = n.room
		}
		spare := bars * n.room
		for _, s := range n.size {
			spare -= s
		}
		at := make([]int, len(n.size))
		steps := searchSteps
		var place func(i, spare int) bool
		place = func(i, spare int) bool {
			if i == len(n.size) {
				return true
			}
			if steps--; steps < 0 {
				return false
			}
			smallest := n.size[len(n.size)-1]
			for tried := n.size[i] - 1; ; {
				b := -1
				for j, f := range free {
					if f > tried && (b < 0 || f < free[b]) {
						b = j
					}
				}
				if b < 0 {
					return false
				}
				was := free[b]
				tried = was
				rest := was - n.size[i]
				lost := 0
				if rest < smallest {
					lost = rest // nothing fits any more
				}
				if lost > spare {
					continue
				}
				free[b], at[i] = rest, b
				if place(i+1, spare-lost) {
					return true
				}
				free[b] = was
				if was == n.room || rest == 0 {
					return false // a bar filled to the end, or a new one, is as good as any
				}
			}
		}
		if place(0, spare) {
			plan := make([][]int, bars)
			for i, b := range at {
				plan[b] = append(plan[b], i)
			}
			return slices.DeleteFunc(plan, func(b []int) bool { return len(b) == 0 })
		}
	}
	return nil
}
