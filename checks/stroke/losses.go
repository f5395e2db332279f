package stroke

import "math"

// A reach is a row of elements between two volumes, listed from the valve to the chamber.
type reach struct {
	names   []string
	in, out []Conductance
	rate    []float64 // q Δp of each, as last seen
	sum     []float64 // its integral
	flow    float64   // as last seen, without sign
	mass    float64   // its integral
	needle  bool      // the last one counts in a cushion only, and outward only
}

// losses keeps account of what is lost in the two lines: before and behind the tube of each.
type losses struct {
	reaches [2][2]reach
}

func (a *reach) add(name string, in, out Conductance) {
	a.names, a.in, a.out = append(a.names, name), append(a.in, in), append(a.out, out)
	a.rate, a.sum = append(a.rate, 0), append(a.sum, 0)
}

func newLosses(x *model) losses {
	var l losses
	for k := range x.sides {
		c := &x.sides[k]
		if c.To == Open {
			continue
		}
		valve, port := &l.reaches[k][0], &l.reaches[k][1]
		if !c.tube {
			port = valve
		}
		for _, e := range c.Line.Valve {
			valve.add(e.Name, e.In, e.Out)
		}
		if length := c.Line.Tube.Length; c.tube {
			half := OfTube(c.Line.Tube.Bore, length/2)
			valve.add("tube", half, half)
			port.add("tube", half, half)
		} else if length > 0 {
			whole := OfTube(c.Line.Tube.Bore, length)
			valve.add("tube", whole, whole)
		}
		for _, e := range c.Line.Port {
			port.add(e.Name, e.In, e.Out)
		}
		if c.Cushion.Length > 0 {
			port.add("cushion", Conductance{}, c.Cushion.Needle)
			port.needle = true
		}
	}
	return l
}

// look evaluates the rates from the flows that x last evaluated at y.
func (l *losses) look(x *model, y *vector) {
	for k := range x.sides {
		c := &x.sides[k]
		if c.To == Open {
			continue
		}
		source := x.m.Air.Pressure
		if c.To == Supplied {
			source = x.supply(y)
		}
		p := y[iP+3*k]
		if !c.tube {
			l.reaches[k][0].look(c.flow, source, p, x.root, c.cushioned)
			continue
		}
		l.reaches[k][0].look(c.flow, source, y[iTube+3*k], x.root, false)
		l.reaches[k][1].look(c.inflow, y[iTube+3*k], p, x.root, c.cushioned)
	}
}

// look marches against the flow q from one end to the other. The march is scaled to end at the pressure that is there, from which the
// ellipse of the whole and a temperature other than that of the air around part it a little.
func (a *reach) look(q, first, last, root float64, cushioned bool) {
	a.flow = math.Abs(q)
	clear(a.rate)
	if q == 0 {
		return
	}
	free := a.flow / (referenceDensity * math.Sqrt(referenceTemperature) * root)
	n := len(a.in)
	p := min(first, last)
	if q > 0 {
		if a.needle {
			n--
		}
		for i := n - 1; i >= 0; i-- {
			next := Upstream(a.in[i], free, p)
			a.rate[i], p = next-p, next
		}
	} else {
		if a.needle && !cushioned {
			n--
		}
		for i := range n {
			next := Upstream(a.out[i], free, p)
			a.rate[i], p = next-p, next
		}
	}
	if total := p - min(first, last); total > 0 {
		scale := a.flow * math.Abs(first-last) / total
		for i := range a.rate {
			a.rate[i] *= scale
		}
	}
}

// book adds a step of h that ends at y, by the trapezium rule.
func (l *losses) book(x *model, y *vector, h float64) {
	l.half(h)
	l.look(x, y)
	l.half(h)
}

func (l *losses) half(h float64) {
	for k := range l.reaches {
		for i := range l.reaches[k] {
			a := &l.reaches[k][i]
			a.mass += h / 2 * a.flow
			for j, rate := range a.rate {
				a.sum[j] += h / 2 * rate
			}
		}
	}
}

func (l *losses) shares() []Loss {
	total, count := 0.0, 0
	for k := range l.reaches {
		for i := range l.reaches[k] {
			for _, s := range l.reaches[k][i].sum {
				total += s
				count++
			}
		}
	}
	all := make([]Loss, 0, count)
	for k := range l.reaches {
		for i := range l.reaches[k] {
			a := &l.reaches[k][i]
			for j, name := range a.names {
				loss := Loss{Name: name, Rod: k == 1}
				if total > 0 {
					loss.Share = a.sum[j] / total
				}
				if a.mass > 0 {
					loss.Mean = a.sum[j] / a.mass
				}
				if i == 1 && j == 0 { // the tube's other half
					all[len(all)-1].Share += loss.Share
					all[len(all)-1].Mean += loss.Mean
					continue
				}
				all = append(all, loss)
			}
		}
	}
	return all
}
