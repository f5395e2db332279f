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
	var tByP, tByM, tByS float64 // slopes of the chamber's temperature
	if !x.isothermal {
		t = p / (mass * gasConstant * inverse)
		root = 1 / math.Sqrt(t)
		tByP, tByM, tByS = t/p, -t/mass, t*c.swept*inverse
	}
	source, sourceRoot, sourceT, receiver := ambient, x.root, wall, false
	if c.To == Supplied {
		source, sourceRoot, sourceT, receiver = a.supply, a.root, a.temperature, a.receiver
	}
	// A flow goes with 1/√T of where it comes from: with -½ of T's share.
	var flow float64
	var by local // of the flow through the valve; without a tube that into the chamber
	lineEnd, end, endRoot, out := lP, p, root, &c.out
	if c.tube {
		lineEnd, end, endRoot = lTube, tube, x.root
	} else if c.cushioned {
		out = &c.portCushion
	}
	if c.lineIs {
		if source >= end {
			var bySource float64
			flow, bySource, by[lineEnd] = c.in.slopes(source, sourceRoot, end)
			if receiver {
				by[lSupP], by[lSupM] = bySource-0.5*flow/source, 0.5*flow/y[iSupM]
			}
		} else {
			q, byEnd, bySource := out.slopes(end, endRoot, source)
			flow, by[lineEnd] = -q, -byEnd
			if receiver {
				by[lSupP] = -bySource
			}
			if !c.tube {
				half := 0.5 * q / t
				by[lP] += half * tByP
				by[lM] += half * tByM
				by[lS] += half * tByS
			}
		}
	}
	if receiver {
		a.taken += flow
		for i := range own {
			j.back[k][bSupM][i] = -by[i]
		}
		for i := range border {
			j.border[bSupM][i] -= by[own+i]
		}
	}
	rows := &j.sides[k]
	inflow := flow
	if c.tube {
		inflow, sourceT, receiver = 0, wall, false
		throughValve := by
		by = local{}
		if c.portIs {
			if tube >= p {
				inflow, by[lTube], by[lP] = c.portIn.slopes(tube, x.root, p)
			} else {
				out := &c.portOut
				if c.cushioned {
					out = &c.portCushion
				}
				q, byP, byTube := out.slopes(p, root, tube)
				half := 0.5 * q / t
				inflow, by[lTube], by[lP], by[lM], by[lS] = -q, -byTube, half*tByP-byP, half*tByM, half*tByS
			}
		}
		for i := range by {
			rows[lTube][i] = c.tubeRate * (throughValve[i] - by[i])
		}
	}
	rows[lM] = by
	row := &rows[lP]
	if x.isothermal {
		share := gasConstant * wall * inverse
		for i := range row {
			row[i] = share * by[i]
		}
		row[lP] -= growth * inverse
		row[lV] -= p * c.swept * inverse
		row[lS] -= (gasConstant*wall*inflow - p*growth) * inverse * inverse * c.swept
	} else {
		from := sourceT
		if inflow < 0 {
			from = t
		}
		share := heatRatio * gasConstant * inverse
		for i := range row {
			row[i] = share * from * by[i]
		}
		heat := (heatRatio - 1) * m.Air.Wall
		area := c.wall + c.girth*s
		byT := -heat * area * inverse // by the chamber's temperature
		if inflow < 0 {
			byT += share * inflow
		} else if receiver {
			row[lSupP] += share * inflow * sourceT / source
			row[lSupM] -= share * inflow * sourceT / y[iSupM]
		}
		row[lP] += byT*tByP - heatRatio*growth*inverse
		row[lM] += byT * tByM
		row[lV] -= heatRatio * p * c.swept * inverse
		rate := (heatRatio*(gasConstant*from*inflow-p*growth) + heat*area*(wall-t)) * inverse
		row[lS] += byT*tByS + (heat*c.girth*(wall-t)-rate*c.swept)*inverse
	}
	if c.cushioned && c.sign*x.toEnd < 0 {
		of := &j.powers[wCushion]
		of.speed -= (p - ambient) * c.swept
		if k == 0 {
			of.capSide -= growth
		} else {
			of.rodSide -= growth
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
	receiver bool
	still    bool                    // no state of the border is in use
	inverse  [2][own][own]float64    // of the sides' own blocks
	carried  [2][own][border]float64 // inverse times the block to the right of it
	schur    [border][border]float64 // inverse of what is left for the border
}

func (e *eliminated) eliminate(j *jacobian, x *model, shift float64) {
	e.receiver, e.still = x.receiver, x.dir == 0 && !x.receiver
	for k := range e.inverse {
		e.side(k, j, shift)
	}
	if e.still {
		return
	}
	for r := range border {
		for c := range border {
			e.schur[r][c] = -j.border[r][c]
		}
		e.schur[r][r] += shift
	}
	for k := range e.carried {
		w := &e.carried[k]
		// Of a side's own states only the chamber's pressure moves the piston.
		push := j.back[k][bV][lP]
		e.schur[bV][bS] += push * w[lP][bS]
		e.schur[bV][bV] += push * w[lP][bV]
		if !e.receiver {
			continue
		}
		e.schur[bV][bSupP] += push * w[lP][bSupP]
		e.schur[bV][bSupM] += push * w[lP][bSupM]
		for r := bSupP; r <= bSupM; r++ {
			back := &j.back[k][r]
			for c := range border {
				e.schur[r][c] += back[lP]*w[lP][c] + back[lM]*w[lM][c] + back[lTube]*w[lTube][c]
			}
		}
	}
	if e.receiver {
		invert(&e.schur)
		return
	}
	m := &e.schur
	f := 1 / (m[bS][bS]*m[bV][bV] - m[bS][bV]*m[bV][bS])
	m[bS][bS], m[bS][bV], m[bV][bS], m[bV][bV] = f*m[bV][bV], -f*m[bS][bV], -f*m[bV][bS], f*m[bS][bS]
}

// side inverts a side's own block, by its cofactors.
func (e *eliminated) side(k int, j *jacobian, shift float64) {
	d := &j.sides[k]
	a00, a01, a02 := shift-d[0][0], -d[0][1], -d[0][2]
	a10, a11, a12 := -d[1][0], shift-d[1][1], -d[1][2]
	a20, a21, a22 := -d[2][0], -d[2][1], shift-d[2][2]
	c0, c1, c2 := a11*a22-a12*a21, a12*a20-a10*a22, a10*a21-a11*a20
	f := 1 / (a00*c0 + a01*c1 + a02*c2)
	e.inverse[k] = [own][own]float64{
		{f * c0, f * (a02*a21 - a01*a22), f * (a01*a12 - a02*a11)},
		{f * c1, f * (a00*a22 - a02*a20), f * (a02*a10 - a00*a12)},
		{f * c2, f * (a01*a20 - a00*a21), f * (a00*a11 - a01*a10)},
	}
	if e.still {
		return
	}
	columns := bV + 1
	if e.receiver {
		columns = border
	}
	w := &e.carried[k]
	for r := range own {
		a := &e.inverse[k][r]
		for c := range columns {
			w[r][c] = -(a[0]*d[0][own+c] + a[1]*d[1][own+c] + a[2]*d[2][own+c])
		}
	}
}

// invert puts the inverse in the place of a (Gauss and Jordan). Pivots stay on the diagonal: each state damps itself.
func invert(a *[border][border]float64) {
	for k := range border {
		p := 1 / a[k][k]
		a[k][k] = 1
		for c := range border {
			a[k][c] *= p
		}
		for r := range border {
			if r == k {
				continue
			}
			f := a[r][k]
			a[r][k] = 0
			for c := range border {
				a[r][c] -= f * a[k][c]
			}
		}
	}
}

// solve puts the solution in the place of b.
func (e *eliminated) solve(j *jacobian, b *vector) {
	s, v, supP, supM := b[iS], b[iV], b[iSupP], b[iSupM]
	for k := range e.inverse {
		a, at := &e.inverse[k], iP+3*k
		p, m, t := b[at], b[at+1], b[at+2]
		p, m, t = a[0][0]*p+a[0][1]*m+a[0][2]*t, a[1][0]*p+a[1][1]*m+a[1][2]*t, a[2][0]*p+a[2][1]*m+a[2][2]*t
		b[at], b[at+1], b[at+2] = p, m, t
		v += j.back[k][bV][lP] * p
		if e.receiver {
			onP, onM := &j.back[k][bSupP], &j.back[k][bSupM]
			supP += onP[lP]*p + onP[lM]*m + onP[lTube]*t
			supM += onM[lP]*p + onM[lM]*m + onM[lTube]*t
		}
	}
	if e.still {
		return
	}
	z := &e.schur
	if !e.receiver {
		s, v = z[bS][bS]*s+z[bS][bV]*v, z[bV][bS]*s+z[bV][bV]*v
		b[iS], b[iV] = s, v
		for k := range e.carried {
			w, at := &e.carried[k], iP+3*k
			b[at] -= w[lP][bS]*s + w[lP][bV]*v
			b[at+1] -= w[lM][bS]*s + w[lM][bV]*v
			b[at+2] -= w[lTube][bS]*s + w[lTube][bV]*v
		}
		return
	}
	left := [border]float64{bS: s, bV: v, bSupP: supP, bSupM: supM}
	for r := range border {
		sum := 0.0
		for c := range border {
			sum += z[r][c] * left[c]
		}
		b[borders[r]] = sum
		for k := range e.carried {
			for i := range own {
				b[iP+3*k+i] -= e.carried[k][i][r] * sum
			}
		}
	}
}
