package stroke

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The slopes in closed form are those of differences, at random states of the random machines in every phase they can be in.
func TestJacobian(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	between := func(low, high float64) float64 { return low + random.Float64()*(high-low) }
	receivers, direct := 0, 0
	for n, c := range randomStrokes(t) {
		m := c.machine()
		if n%3 == 0 {
			m.Supply.Receiver = between(1e-3, 1e-2)
			receivers++
		}
		if n%4 == 0 {
			m.Cap.Line.Tube.Length, m.Rod.Line.Tube.Length = 0, 0
			direct++
		}
		if n%5 == 0 {
			m.Damper = Damper{Length: m.High - m.Low, Stiffness: 300, Linear: 50, Quadratic: 20}
		}
		x := newModel(&m)
		for dir := -1.0; dir <= 1; dir++ {
			x.dir, x.inDamper = dir, dir == x.toEnd && m.Damper.Length > 0
			y := x.begin()
			y[iS] = between(m.Low+0.1*(m.High-m.Low), m.High-0.1*(m.High-m.Low))
			y[iV] = dir * between(0.1, 0.5)
			for k := range x.sides {
				s := &x.sides[k]
				if s.To == Open {
					continue
				}
				s.lineIs, s.portIs, s.cushioned = true, true, s.Cushion.Length > 0
				y[iP+3*k] = between(1.5e5, 6e5)
				y[iM+3*k] = y[iP+3*k] * s.volume(y[iS]) / (gasConstant * between(250, 330))
				if s.tube {
					y[iTube+3*k] = between(1.5e5, 6e5)
				}
			}
			if x.receiver {
				y[iSupP] = between(5e5, 8e5)
				y[iSupM] = y[iSupP] * m.Supply.Receiver / (gasConstant * between(270, 300))
			}
			var j jacobian
			x.differentiate(&y, &j)
			for at := range x.n {
				if y[at] == 0 {
					continue
				}
				step := 1e-6 * math.Abs(y[at])
				low, high := y, y
				low[at] -= step
				high[at] += step
				var dLow, dHigh, scale vector
				var wLow, wHigh [works]float64
				x.derive(&low, &dLow, &wLow, false)
				x.derive(&high, &dHigh, &wHigh, false)
				var unit vector
				unit[at] = 1
				for i := range scale {
					scale[i] = max(math.Abs(dLow[i]), math.Abs(dHigh[i])) / math.Abs(y[at])
				}
				for i, got := range j.times(&unit) {
					if want := (dHigh[i] - dLow[i]) / (2 * step); math.Abs(got-want) > 1e-4*max(math.Abs(want), scale[i]) {
						t.Errorf("machine %d, direction %g: slope of state %d by state %d is %g, by differences %g", n, dir, i, at, got, want)
					}
				}
				var work [works]float64
				j.work(&unit, &work)
				for i, got := range work {
					if dir == 0 {
						break
					}
					usual := max(math.Abs(wLow[i]), math.Abs(wHigh[i])) / math.Abs(y[at])
					if want := (wHigh[i] - wLow[i]) / (2 * step); math.Abs(got-want) > 1e-4*max(math.Abs(want), usual) {
						t.Errorf("machine %d, direction %g: slope of power %d by state %d is %g, by differences %g", n, dir, i, at, got, want)
					}
				}
			}
			// What is solved for gives what it was solved from.
			const shift = 4e3
			var e eliminated
			e.eliminate(&j, x, shift)
			var right vector
			for i := range x.n {
				if dir != 0 || i >= iP {
					right[i] = between(-1, 1) * max(math.Abs(y[i]), 0.1)
				}
			}
			solved := right
			e.solve(&j, &solved)
			product := j.times(&solved)
			for i := range x.n {
				if got := shift*solved[i] - product[i]; math.Abs(got-right[i]) > 1e-9*(math.Abs(right[i])+math.Abs(product[i])) {
					t.Errorf("machine %d, direction %g: row %d gives %g, want %g", n, dir, i, got, right[i])
				}
			}
		}
	}
	if receivers == 0 || direct == 0 {
		t.Error("some kind of machine is left out")
	}
}

// times multiplies the slopes by d.
func (j *jacobian) times(d *vector) (product vector) {
	for k := range j.sides {
		of := [locals]float64{d[iP+3*k], d[iM+3*k], d[iTube+3*k], d[iS], d[iV], d[iSupP], d[iSupM]}
		for r := range own {
			for c := range locals {
				product[iP+3*k+r] += j.sides[k][r][c] * of[c]
			}
		}
		for r := range border {
			for c := range own {
				product[borders[r]] += j.back[k][r][c] * of[c]
			}
		}
	}
	for r := range border {
		for c := range border {
			product[borders[r]] += j.border[r][c] * d[borders[c]]
		}
	}
	return product
}
