package circuit

// A Motion is how a rod can go one way.
type Motion int

const (
	Rests  Motion = iota
	Moves         // pushed by air or a spring
	Falls         // carried by its load alone while the air ahead of the piston goes out
	Drifts        // the air ahead of the piston is shut in: it gives a little, and all the way as it leaks
)

func (m Motion) String() string {
	return name([]string{"rests", "moves", "falls", "drifts"}, int(m))
}

// A Span is where a rod can be, as shares of the stroke: 0 in, 1 out.
type Span struct{ From, To float64 }

// A Force is a range of net forces on the rod, N, positive out.
type Force struct{ Least, Most float64 }

// An Outcome is what a cylinder does.
type Outcome struct {
	Rear, Front Condition // a chamber that breathes is exhausted
	// Out and In are the ways it can go from where it can be. Both can be there when pressures or the place are not certain.
	Out, In Motion
	// Before is where it can be at first, After where it can come to rest.
	Before, After Span
	// AtIn and AtOut are the net forces with the rod in and out.
	AtIn, AtOut Force
}

// Stays tells that it does not move.
func (o Outcome) Stays() bool { return o.Out == Rests && o.In == Rests }

// move judges a cylinder.
func (y Cylinder) move(rear, front Condition, before Span) Outcome {
	o := Outcome{Rear: rear, Front: front, Before: before}
	least := func(s float64) float64 {
		return rear.Low*y.Rear - front.High*y.Front + y.springAt(s) + y.loadAt(s)
	}
	most := func(s float64) float64 {
		return rear.High*y.Rear - front.Low*y.Front + y.springAt(s) + y.loadAt(s)
	}
	o.AtIn, o.AtOut = Force{least(0), most(0)}, Force{least(1), most(1)}
	knots := max(len(y.Load), 2)
	places := []float64{before.From, before.To}
	for i := range knots {
		if s := float64(i) / float64(knots-1); s > before.From && s < before.To {
			places = append(places, s)
		}
	}
	out, in, fallsOut, fallsIn := false, false, true, true
	for _, s := range places {
		if f := most(s); before.From < 1 && f > y.Friction {
			out = true
			fallsOut = fallsOut && f-y.loadAt(s) <= 0
		}
		if f := least(s); before.To > 0 && f < -y.Friction {
			in = true
			fallsIn = fallsIn && f-y.loadAt(s) >= 0
		}
	}
	if out {
		o.Out = kindOf(front, fallsOut)
	}
	if in {
		o.In = kindOf(rear, fallsIn)
	}
	o.After = Span{y.rest(before.From, least), y.rest(before.To, most)}
	return o
}

// kindOf is how it moves against a chamber.
func kindOf(ahead Condition, falls bool) Motion {
	switch {
	case ahead.Status == Trapped:
		return Drifts
	case falls:
		return Falls
	}
	return Moves
}

// rest is where a rod comes to rest from s under a force that is straight between the knots.
func (y Cylinder) rest(s float64, force func(float64) float64) float64 {
	knots := max(len(y.Load), 2)
	at := func(i int) float64 { return float64(i) / float64(knots-1) }
	way := 1.0
	if f := force(s); f < -y.Friction {
		way = -1
	} else if f <= y.Friction {
		return s
	}
	for i := range knots {
		if way < 0 {
			i = knots - 1 - i
		}
		next := at(i)
		if (next-s)*way <= 0 {
			continue
		}
		// What is left of the force over the friction, along the way.
		here, there := way*force(s)-y.Friction, way*force(next)-y.Friction
		if there <= 0 {
			return s + (next-s)*here/(here-there)
		}
		s = next
	}
	return s
}

func (y Cylinder) loadAt(s float64) float64 {
	if len(y.Load) == 0 {
		return 0
	}
	x := s * float64(len(y.Load)-1)
	i := min(int(x), len(y.Load)-2)
	return y.Load[i] + (x-float64(i))*(y.Load[i+1]-y.Load[i])
}

func (y Cylinder) springAt(s float64) float64 {
	if y.Acting == DoubleActing {
		return 0
	}
	return y.Spring[0] + s*(y.Spring[1]-y.Spring[0])
}
