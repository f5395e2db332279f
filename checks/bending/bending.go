// Package bending computes how far a straight bar bends.
//
// # Equations
//
//	v” = M / (E I)     v aside, M the bending moment, E the modulus of elasticity, I the second moment of area
//
// integrated exactly for moments that are linear between places, and taken from the straight line through two supports. Of one load F:
//
//	held at both ends, F in the middle   F L³ / (48 E I)
//	held fast at one end, F at the other F L³ / (3 E I)
//
// # Units, validity, source
//
// SI: m, N, N m, Pa, m⁴. Slender bars (over ten times as long as deep), small deflections, one section all along (Euler and Bernoulli;
// any handbook, for instance Shigley's Mechanical Engineering Design, table A-9).
package bending

// A Moment is the bending moment at a place along the bar. Between two of them it is linear; two at one place are a jump.
type Moment struct{ X, M float64 }

// Aside gives how far the bar lies beside the straight line through it at a and b, at each place of at, for moments in order of X and the
// stiffness E I. out has room for each of at. Positive is where a positive moment has the hollow side.
func Aside(moments []Moment, stiffness, a, b float64, at, out []float64) {
	va, _ := Along(moments, stiffness, a)
	vb, _ := Along(moments, stiffness, b)
	for i, x := range at {
		v, _ := Along(moments, stiffness, x)
		out[i] = v - va - (vb-va)*(x-a)/(b-a)
	}
}

// Along gives how far the bar lies aside at a place, and its slope there, where v = v' = 0 at the first moment. Before that and beyond the last
// the bar is straight.
func Along(moments []Moment, stiffness, x float64) (v, slope float64) {
	if len(moments) == 0 || x <= moments[0].X {
		return 0, 0
	}
	for i := 1; i < len(moments); i++ {
		from, to := moments[i-1], moments[i]
		if to.X <= from.X {
			continue
		}
		d := min(x, to.X) - from.X
		rise := (to.M - from.M) / (to.X - from.X)
		v += slope*d + (from.M*d*d/2+rise*d*d*d/6)/stiffness
		slope += (from.M*d + rise*d*d/2) / stiffness
		if x <= to.X {
			return v, slope
		}
	}
	return v + slope*(x-moments[len(moments)-1].X), slope
}

// A Held says how a bar is held.
type Held int

const (
	BothEnds Held = iota // on two supports that let it turn, loaded in the middle
	OneEnd               // fast at one end, loaded at the other
)

// Moments is the largest moment in a bar of a length under a force.
func Moments(force, length float64, held Held) float64 {
	if held == OneEnd {
		return force * length
	}
	return force * length / 4
}

// Under is how far a bar of a length gives way under a force.
func Under(force, length, stiffness float64, held Held) float64 {
	if held == OneEnd {
		return force * length * length * length / (3 * stiffness)
	}
	return force * length * length * length / (48 * stiffness)
}
