package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
)

const (
	// mostScrews is how many times as many screws a remedy asks for, and mostSpread how many times as wide a pattern, before it calls for
	// something else.
	mostScrews, mostSpread = 4, 4
	// spreadStep is what the spread of screws is rounded to, m.
	spreadStep = 5e-3
)

// spacingOf is the least distance between two screws, 0 for one.
func spacingOf(screws []fastening.Place) float64 {
	near := math.Inf(1)
	for i, p := range screws {
		for _, q := range screws[:i] {
			near = min(near, math.Hypot(p.U-q.U, p.W-q.W))
		}
	}
	if math.IsInf(near, 1) {
		return 0
	}
	return near
}

// rowsOf finds the one or two rows in which screws stand, each from its first to its last. Other patterns have none.
func rowsOf(screws []fastening.Place) (rows [][2]fastening.Place) {
	for _, p := range screws[1:] {
		along := fastening.Place{U: p.U - screws[0].U, W: p.W - screws[0].W}
		long := math.Hypot(along.U, along.W)
		if long == 0 {
			return nil
		}
		// A row goes from one end to the other along this side; all screws stand in it, or half of them in one beside it.
		sides := map[int64][]fastening.Place{}
		for _, q := range screws {
			off := ((q.U-screws[0].U)*along.W - (q.W-screws[0].W)*along.U) / long
			at := int64(math.Round(off / 1e-6))
			sides[at] = append(sides[at], q)
		}
		if len(sides) > 2 {
			continue
		}
		by := func(a, b fastening.Place) int {
			return int(math.Copysign(1, (a.U-b.U)*along.U+(a.W-b.W)*along.W))
		}
		var found [][2]fastening.Place
		for _, at := range slices.Sorted(func(yield func(int64) bool) {
			for k := range sides {
				if !yield(k) {
					return
				}
			}
		}) {
			row := sides[at]
			if len(sides) == 2 && 2*len(row) != len(screws) {
				found = nil
				break
			}
			found = append(found, [2]fastening.Place{slices.MinFunc(row, by), slices.MaxFunc(row, by)})
		}
		size := func(rows [][2]fastening.Place) float64 {
			return math.Hypot(rows[0][1].U-rows[0][0].U, rows[0][1].W-rows[0][0].W)
		}
		if len(found) > 0 && (len(rows) == 0 || size(found) > size(rows)) {
			rows = found
		}
	}
	return rows
}

// evenly puts n screws in rows.
func evenly(rows [][2]fastening.Place, n int) (screws []fastening.Place) {
	in := n / len(rows)
	for _, row := range rows {
		for k := range in {
			part := float64(k) / float64(in-1)
			screws = append(screws, fastening.Place{U: row[0].U + part*(row[1].U-row[0].U), W: row[0].W + part*(row[1].W-row[0].W)})
		}
	}
	return screws
}

// betterPattern is the fewest screws over the same spread, no nearer to each other than a spacing in m, or the least spread of as many, with
// which a part is held; of a single screw, two in its place.
func betterPattern(screws []fastening.Place, spacing float64, holds func([]fastening.Place) bool) string {
	n := len(screws)
	if n == 1 {
		for apart := math.Ceil(max(spacing, 0.01)/spreadStep-1e-9) * spreadStep; apart <= 0.2; apart += spreadStep {
			at, along := screws[0], true
			for _, d := range []fastening.Place{{U: apart / 2}, {W: apart / 2}} {
				along = along && holds([]fastening.Place{{U: at.U - d.U, W: at.W - d.W}, {U: at.U + d.U, W: at.W + d.W}})
			}
			if along {
				return fmt.Sprintf("put in two, %s or more apart, since one alone hardly keeps the part from turning", schema.Format(schema.LengthDim, apart))
			}
		}
		return ""
	}
	if rows := rowsOf(screws); len(rows) > 0 && n%len(rows) == 0 {
		for more := n + len(rows); more <= mostScrews*n; more += len(rows) {
			in := evenly(rows, more)
			if spacingOf(in) < spacing-1e-9 {
				break
			}
			if holds(in) {
				where := "evenly over the same row"
				if len(rows) > 1 {
					where = fmt.Sprintf("in two rows of %d, evenly over the same spread", more/2)
				}
				return fmt.Sprintf("put in %d screws, %s, in place of %d", more, where, n)
			}
		}
	}
	near := spacingOf(screws)
	if near == 0 {
		return ""
	}
	var mid fastening.Place
	for _, p := range screws {
		mid.U, mid.W = mid.U+p.U/float64(n), mid.W+p.W/float64(n)
	}
	for apart := (math.Floor(near/spreadStep+1e-9) + 1) * spreadStep; apart <= mostSpread*near; apart += spreadStep {
		k := apart / near
		wider := slices.Clone(screws)
		for i, p := range screws {
			wider[i] = fastening.Place{U: mid.U + k*(p.U-mid.U), W: mid.W + k*(p.W-mid.W)}
		}
		if holds(wider) {
			if n == 2 {
				return fmt.Sprintf("set the two screws %s apart in place of %s, on a foot as much longer", schema.Format(schema.LengthDim, apart), schema.Format(schema.LengthDim, near))
			}
			return fmt.Sprintf("make the pattern of the screws %.2f times as wide each way (%s in place of %s between neighbours), on a foot as much larger", k, schema.Format(schema.LengthDim, apart), schema.Format(schema.LengthDim, near))
		}
	}
	return ""
}
