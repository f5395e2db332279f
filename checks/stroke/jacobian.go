package stroke

import "math"

// Places among the states that one side knows of: its own (pressure and mass of the chamber, pressure of the tube), and those on the border
// between the sides.
const (
	lP = iota
	lM
	lTube
	own
)

const (
	bS = iota
	bV
	bSupP
	bSupM
	border
)

const (
	lS     = own + bS
	lV     = own + bV
	lSupP  = own + bSupP
	lSupM  = own + bSupM
	locals = own + border
)

// local is a quantity's slope by what its side knows of.
type local [locals]float64

// borders are the places of the border's states in the state vector.
var borders = [border]int{bS: iS, bV: iV, bSupP: iSupP, bSupM: iSupM}

// A jacobian holds the slopes of what derive evaluates by the states. The two sides know of each other through the border only.
type jacobian struct {
	sides  [2][own]local           // of the side's own states
	border [border][border]float64 // of the border's states by each other
	back   [2][border][own]float64 // of the border's states by the sides' own
	powers [works]struct{ stroke, speed, capSide, rodSide float64 }
}

// work adds to the powers what they grow by with the states' increment d.
func (j *jacobian) work(d *vector, power *[works]float64) {
	for w := range power {
		p := &j.powers[w]
		power[w] += p.stroke*d[iS] + p.speed*d[iV] + p.capSide*d[iP] + p.rodSide*d[iP+3]
	}
}

// air is what the sides' slopes have in common.
type air struct {
	supply, root, temperature float64 // 1/√T beside T
	receiver                  bool
	taken                     float64 // from the supply, kg/s
}

// differentiate evaluates the jacobian at y.
func (x *model) differentiate(y *vector, j *jacobian) {
	*j = jacobian{}
	m := x.m
	a := air{supply: m.Supply.Pressure, root: x.root, temperature: m.Air.Temperature}
	if x.receiver {
		a.receiver = true
		a.supply = x.supply(y)
		a.temperature = a.supply * m.Supply.Receiver / (y[iSupM] * gasConstant)
		a.root = 1 / math.Sqrt(a.temperature)
	}
	for k := range x.sides {
		if x.sides[k].To != Open {
			x.differentiateSide(k, y, &a, j)
		}
	}
	if x.receiver {
		// The row of the mass holds what is taken; that of the pressure follows from it.
		from, byP, byM := a.temperature, a.temperature/a.supply, -a.temperature/y[iSupM]
		if a.taken < 0 {
			from, byP, byM = m.Air.Temperature, 0, 0
		}
		rate := heatRatio * gasConstant / m.Supply.Receiver
		for i := range border {
			j.border[bSupP][i] = rate * from * j.border[bSupM][i]
		}
		j.border[bSupP][bSupP] -= rate * a.taken * byP
		j.border[bSupP][bSupM] -= rate * a.taken * byM
		for k := range j.back {
			for i := range own {
				j.back[k][bSupP][i] = rate * from * j.back[k][bSupM][i]
			}
		}
	}
	if x.dir != 0 {
		x.differentiateMotion(y, j)
	}
}

func (x *model) differentiateSide(k int, y *vector, a *air, j *jacobian) {
	m, c := x.m, &x.sides[k]
	s, v := y[iS], y[iV]
	ambient, wall := m.Air.Pressure, m.Air.Temperature
	p, mass, tube := y[iP+3*k], y[iM+3*k], y[iTube+3*k]
	inverse := 1 / c.volume(s)
	growth := c.swept * v
	t, root := wall, x.root
	var tBy local // slope of the chamber's temperature
	if !x.isothermal {
		t = p / (mass * gasConstant * inverse)
		root = 1 / math.Sqrt(t)
		tBy[lP], tBy[lM], tBy[lS] = t/p, -t/mass, t*c.swept*inverse
	}
	source, sourceRoot, sourceT, receiver := ambient, x.root, wall, false
	if c.To == Supplied {
		source, sourceRoot, sourceT, receiver = a.supply, a.root, a.temperature, a.receiver
	}
	// A flow goes with 1/√T of where it comes from: with -½ of T's share.
	var flow, inflow float64
	var flowBy, inflowBy local
	lineEnd, end, endRoot, out := lP, p, root, &c.out
	if c.tube {
		lineEnd, end, endRoot = lTube, tube, x.root
	} else if c.cushioned {
		out = &c.portCushion
	}
	if c.lineIs {
		if source >= end {
			var by float64
			flow, by, flowBy[lineEnd] = c.in.slopes(source, sourceRoot, end)
			if receiver {
				flowBy[lSupP], flowBy[lSupM] = by-0.5*flow/source, 0.5*flow/y[iSupM]
			}
		} else {
			q, by1, by2 := out.slopes(end, endRoot, source)
			flow, flowBy[lineEnd] = -q, -by1
			if receiver {
				flowBy[lSupP] = -by2
			}
			if !c.tube {
				for i := range tBy {
					flowBy[i] += 0.5 * q / t * tBy[i]
				}
			}
		}
	}
	rows := &j.sides[k]
	if c.tube {
		if c.portIs {
			if tube >= p {
				inflow, inflowBy[lTube], inflowBy[lP] = c.portIn.slopes(tube, x.root, p)
			} else {
				out := &c.portOut
				if c.cushioned {
					out = &c.portCushion
				}
				q, by1, by2 := out.slopes(p, root, tube)
				inflow, inflowBy[lTube], inflowBy[lP] = -q, -by2, -by1
				for i := range tBy {
					inflowBy[i] += 0.5 * q / t * tBy[i]
				}
			}
		}
		for i := range inflowBy {
			rows[lTube][i] = c.tubeRate * (flowBy[i] - inflowBy[i])
		}
		sourceT = wall
	} else {
		inflow, inflowBy = flow, flowBy
	}
	if receiver {
		a.taken += flow
		for i := range own {
			j.back[k][bSupM][i] = -flowBy[i]
		}
		for i := range border {
			j.border[bSupM][i] -= flowBy[own+i]
		}
	}
	rows[lM] = inflowBy
	row := &rows[lP]
	if x.isothermal {
		for i := range row {
			row[i] = gasConstant * wall * inflowBy[i] * inverse
		}
		row[lP] -= growth * inverse
		row[lV] -= p * c.swept * inverse
		row[lS] -= (gasConstant*wall*inflow - p*growth) * inverse * inverse * c.swept
	} else {
		from := sourceT
		var fromBy local
		switch {
		case inflow < 0:
			from, fromBy = t, tBy
		case receiver && !c.tube:
			fromBy[lSupP], fromBy[lSupM] = sourceT/source, -sourceT/y[iSupM]
		}
		heat := (heatRatio - 1) * m.Air.Wall
		area := c.wall + c.girth*s
		for i := range row {
			row[i] = (heatRatio*gasConstant*(from*inflowBy[i]+inflow*fromBy[i]) - heat*area*tBy[i]) * inverse
		}
		row[lP] -= heatRatio * growth * inverse
		row[lV] -= heatRatio * p * c.swept * inverse
		rate := (heatRatio*(gasConstant*from*inflow-p*growth) + heat*area*(wall-t)) * inverse
		row[lS] += (heat*c.girth*(wall-t) - rate*c.swept) * inverse
	}
	if c.cushioned && c.sign*x.toEnd < 0 {
		by := &j.powers[wCushion]
		by.speed -= (p - ambient) * c.swept
		if k == 0 {
			by.capSide -= growth
		} else {
			by.rodSide -= growth
		}
	}
}

// differentiateMotion adds the slopes of the mechanism. Those of the pose are differences over a way that is short against any change of it.
func (x *model) differentiateMotion(y *vector, j *jacobian) {
	m := x.m
	s, v := y[iS], y[iV]
	way := 1e-6 * (m.High - m.Low)
	if s+way > m.High {
		way = -way
	}
	pose, next := m.Mechanism.At(s), m.Mechanism.At(s+way)
	loadBy, dragBy, slopeBy := (next.Load-pose.Load)/way, (next.Drag-pose.Drag)/way, (next.Slope-pose.Slope)/way
	capSide, rodSide := x.pressures(y)
	var f Forces
	x.forces(&f, &pose, s, v, capSide, rodSide)
	friction := x.dir*f.Friction + m.Friction.Viscous*v
	var capBy, rodBy, capSeal, rodSeal float64 // of thrust and of friction
	if m.Cap.To != Open {
		capBy = m.Cap.Area
		if capSide > m.Air.Pressure {
			capSeal = x.dir * m.Friction.PerPressure
		}
	}
	if m.Rod.To != Open {
		rodBy = -m.Rod.Area
		if rodSide > m.Air.Pressure {
			rodSeal = x.dir * m.Friction.PerPressure
		}
	}
	damperS, damperV := 0.0, 0.0
	if x.inDamper {
		damperS = m.Damper.Stiffness
		if w := v * x.toEnd; w > 0 {
			damperV = m.Damper.Linear + 2*m.Damper.Quadratic*w
		}
	}
	acceleration := (f.net() - friction - 0.5*pose.Slope*v*v) / pose.Mass
	j.border[bS][bV] = 1
	j.border[bV][bS] = (-loadBy - damperS - x.dir*dragBy - 0.5*slopeBy*v*v - acceleration*pose.Slope) / pose.Mass
	j.border[bV][bV] = (-damperV - m.Friction.Viscous - pose.Slope*v) / pose.Mass
	j.back[0][bV][lP] = (capBy - capSeal) / pose.Mass
	j.back[1][bV][lP] = (rodBy - rodSeal) / pose.Mass
	cushion := j.powers[wCushion]
	drive := &j.powers[wDrive]
	drive.speed, drive.capSide, drive.rodSide = f.Air+cushion.speed, capBy*v+cushion.capSide, rodBy*v+cushion.rodSide
	load := &j.powers[wLoad]
	load.stroke, load.speed = loadBy*v, f.Load
	rubbed := &j.powers[wFriction]
	rubbed.stroke, rubbed.speed, rubbed.capSide, rubbed.rodSide = x.dir*dragBy*v, friction+m.Friction.Viscous*v, capSeal*v, rodSeal*v
	damped := &j.powers[wDamper]
	damped.stroke, damped.speed = damperS*v, f.Damper+damperV*v
}

// eliminated is (shift I - J) made ready to be solved: a side's own states first, which leaves a small system for the border.
type eliminated struct {
	n       int                        // of the border's states in use
	inverse [2][border][border]float64 // of the sides' own blocks, in their first rows and columns
	carried [2][own][border]float64    // inverse times the block to the right of it
	schur   [border][border]float64    // inverse of what is left for the border
}

func (e *eliminated) eliminate(j *jacobian, x *model, shift float64) {
	switch {
	case x.receiver:
		e.n = border
	case x.dir != 0:
		e.n = 2
	default:
		e.n = 0
	}
	for r := range e.n {
		for c := range e.n {
			e.schur[r][c] = -j.border[r][c]
		}
		e.schur[r][r] += shift
	}
	for k := range e.inverse {
		a, w := &e.inverse[k], &e.carried[k]
		for r := range own {
			for c := range own {
				a[r][c] = -j.sides[k][r][c]
			}
			a[r][r] += shift
		}
		invert(a, own)
		for r := range own {
			for c := range e.n {
				w[r][c] = -(a[r][0]*j.sides[k][0][own+c] + a[r][1]*j.sides[k][1][own+c] + a[r][2]*j.sides[k][2][own+c])
			}
		}
		for r := bV; r < e.n; r++ { // the stroke's own slope is the speed alone
			back := &j.back[k][r]
			for c := range e.n {
				e.schur[r][c] += back[0]*w[0][c] + back[1]*w[1][c] + back[2]*w[2][c]
			}
		}
	}
	invert(&e.schur, e.n)
}

// invert puts the inverse of the first n rows and columns in their place (Gauss and Jordan). Pivots stay on the diagonal: each state damps
// itself.
func invert(a *[border][border]float64, n int) {
	for k := range n {
		p := 1 / a[k][k]
		a[k][k] = 1
		for c := range n {
			a[k][c] *= p
		}
		for r := range n {
			if r == k {
				continue
			}
			f := a[r][k]
			a[r][k] = 0
			for c := range n {
				a[r][c] -= f * a[k][c]
			}
		}
	}
}

// solve puts the solution in the place of b.
func (e *eliminated) solve(j *jacobian, b *vector) {
	var left, z [border]float64
	for r := range e.n {
		left[r] = b[borders[r]]
	}
	for k := range e.inverse {
		a := &e.inverse[k]
		at := iP + 3*k
		p, m, t := b[at], b[at+1], b[at+2]
		p, m, t = a[0][0]*p+a[0][1]*m+a[0][2]*t, a[1][0]*p+a[1][1]*m+a[1][2]*t, a[2][0]*p+a[2][1]*m+a[2][2]*t
		b[at], b[at+1], b[at+2] = p, m, t
		for r := bV; r < e.n; r++ {
			back := &j.back[k][r]
			left[r] += back[0]*p + back[1]*m + back[2]*t
		}
	}
	for r := range e.n {
		for c := range e.n {
			z[r] += e.schur[r][c] * left[c]
		}
		b[borders[r]] = z[r]
	}
	for k := range e.carried {
		w := &e.carried[k]
		at := iP + 3*k
		for c := range e.n {
			b[at] -= w[0][c] * z[c]
			b[at+1] -= w[1][c] * z[c]
			b[at+2] -= w[2][c] * z[c]
		}
	}
}
