package stroke

// A course keeps samples at even times. When it is full, every other one goes and the distance doubles.
type course struct {
	samples []Sample
	step    float64 // s
}

func newCourse(o Options) course {
	const first = 1e-4 // s; shorter than what moves in a cylinder
	return course{samples: make([]Sample, 0, o.Samples), step: first}
}

// add takes the samples that fall into the last step, of h.
func (c *course) add(r *run, h float64) {
	if cap(c.samples) == 0 || h == 0 {
		return
	}
	for {
		at := float64(len(c.samples)) * c.step
		if at > r.t+h {
			return
		}
		if len(c.samples) == cap(c.samples)-1 { // one place is for the end
			kept := c.samples[:0]
			for i := 0; i < len(c.samples); i += 2 {
				kept = append(kept, c.samples[i])
			}
			c.samples = kept
			c.step *= 2
			continue
		}
		x := (at - r.t) / h
		y := r.all(x)
		capSide, rodSide := r.model.pressures(&y)
		c.samples = append(c.samples, Sample{Time: at, Stroke: y[iS], Speed: y[iV], Acceleration: r.slopeAt(iV, x), Cap: capSide, Rod: rodSide})
	}
}

func (c *course) end(last Sample) []Sample {
	if n := len(c.samples); cap(c.samples) > 0 && (n == 0 || c.samples[n-1].Time < last.Time) {
		return append(c.samples, last)
	}
	return c.samples
}
