package people

// Reach over a guard.
//
//	c >= table(a, b)      the safer of the rows and columns around a and b; never between them
//
// Symbols: a height m of the dangerous place above what people stand on; b height m of the guard above the same; c horizontal distance m
// from the guard to the dangerous place. Range: persons of 14 years and over who stand at the guard, with nothing to climb on; a guard
// from 1 m on, since a lower one does not hold the body back, and the standard wants more than a guard alone below 1.4 m.
//
// Source: ISO 13857:2019 table 2 (high risk), from memory; that values between two rows or columns take the safer is confirmed by
// published summaries. Compare it with the standard before a machine depends on it.

import (
	"errors"
	"fmt"
)

// LowestGuard is the height (m) from which a guard holds the body back.
const LowestGuard = 1.0

// guardHeights are the columns of the table, mm.
var guardHeights = []float64{1000, 1200, 1400, 1600, 1800, 2000, 2200, 2400, 2500, 2700}

// overRows are the rows of the table from the ground up, mm: a, then c by column; what is not listed is zero.
var overRows = []struct {
	height   float64
	distance []float64
}{
	{0, []float64{1100, 500}},
	{200, []float64{1200, 900}},
	{400, []float64{1400, 1200, 400}},
	{600, []float64{1400, 1300, 800}},
	{800, []float64{1500, 1300, 900, 600}},
	{1000, []float64{1500, 1400, 1000, 800}},
	{1200, []float64{1500, 1400, 1100, 900, 700}},
	{1400, []float64{1500, 1400, 1100, 900, 800}},
	{1600, []float64{1500, 1400, 1100, 900, 800, 500}},
	{1800, []float64{1500, 1400, 1100, 900, 800, 600}},
	{2000, []float64{1400, 1300, 1100, 900, 800, 600, 400}},
	{2200, []float64{1300, 1200, 1000, 900, 800, 600, 400, 300}},
	{2400, []float64{1100, 1000, 900, 800, 700, 600, 400, 300, 100}},
	{2600, []float64{900, 800, 700, 600, 600, 500, 400, 300, 100}},
	{2700, nil},
}

// OverGuard is the least horizontal distance (m) from a guard to dangerous places between two heights above what people stand on, low and
// high, all in m. Zero says that nobody gets over it. The error tells a guard that is too low to hold anybody back. Source: ISO 13857:2019
// table 2.
func OverGuard(low, high, guard float64) (float64, error) {
	if err := notNegative("height of the dangerous place", max(low, 0)); err != nil {
		return 0, err
	}
	if !(high >= low) {
		return 0, errors.New("the heights of the dangerous places must rise")
	}
	if !(guard >= LowestGuard-roundoff) {
		return 0, fmt.Errorf("a guard %.4g mm high does not hold the body back: the table of reach over guards begins at %g mm", guard*1e3, LowestGuard*1e3)
	}
	column := 0
	for i, b := range guardHeights {
		if guard*1e3 >= b-roundoff*1e3 {
			column = i
		}
	}
	most := 0.0
	for i, r := range overRows {
		// A row counts for heights on to the rows beside it.
		below, above := r.height, r.height
		if i > 0 {
			below = overRows[i-1].height
		}
		if i < len(overRows)-1 {
			above = overRows[i+1].height
		}
		touches := high*1e3 > below && low*1e3 < above || high*1e3 >= r.height && low*1e3 <= r.height
		if (touches || i == 0 && low < 0) && column < len(r.distance) {
			most = max(most, r.distance[column])
		}
	}
	return most / 1e3, nil
}

// LowestOver is the lowest height (m) of a guard at a distance (m) over which nobody reaches dangerous places between two heights (m), of
// those that the table has. Source: ISO 13857:2019 table 2.
func LowestOver(low, high, distance float64) float64 {
	for _, b := range guardHeights {
		if needed, err := OverGuard(low, high, b/1e3); err == nil && needed <= distance+roundoff {
			return b / 1e3
		}
	}
	return guardHeights[len(guardHeights)-1] / 1e3
}
