package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Angles that tell how well force passes on. With v the way of a pivot and u the line of the link that drives it there, the
// transmission angle is what the angle between u and v lacks of a right angle, sin μ = |u·v|/|v|. For a four-bar that is the acute
// angle between coupler and follower, for a slider-crank the one between rod and the normal of the slide (R. L. Norton, Design of
// Machinery, chapter 4, from memory).

// A Coupler is a moving link with two places where it joins other links, neither of them grounded.
type Coupler struct {
	Body   int
	Pivots [2]int
	// Driven is the end where the force leaves the coupler, 0 or 1: that farther from the cylinder, by links. It is -1 where the cylinder
	// acts on the coupler itself or both ends are equally far.
	Driven int
}

// Couplers lists the couplers of the linkage as driven by a cylinder.
func (s *Solver) Couplers(lead int) (list []Coupler) {
	m := &s.mechanism
	away := s.away(lead)
	users := make([][]int, len(m.Points)) // moving numbers of the bodies at each point
	for i, b := range m.Bodies {
		for _, p := range b.Points {
			users[p] = append(users[p], s.bodyOf[i])
		}
	}
	slide := make([]bool, len(m.Points))
	onLine := make([]bool, len(m.Bodies))
	for _, l := range m.Slides {
		slide[l.Point], onLine[l.Body] = true, true
	}
	for k, i := range s.bodies {
		if onLine[i] {
			continue
		}
		c := Coupler{Body: i, Driven: -1}
		var far [2]int
		n, grounded := 0, false
		for _, p := range m.Bodies[i].Points {
			if len(users[p]) < 2 && !slide[p] {
				continue
			}
			grounded = grounded || s.points[p].body == s.moving
			if n < 2 {
				c.Pivots[n], far[n] = p, away[k]
				for _, o := range users[p] {
					far[n] = max(far[n], away[o])
				}
				if slide[p] && len(users[p]) < 2 {
					far[n]++
				}
			}
			n++
		}
		if n != 2 || grounded {
			continue
		}
		if far[0] > far[1] {
			c.Driven = 0
		} else if far[1] > far[0] {
			c.Driven = 1
		}
		list = append(list, c)
	}
	return list
}

// away counts the pivots between each moving body and the ends of a cylinder. The ground counts as no way.
func (s *Solver) away(lead int) []int {
	away := make([]int, s.moving+1)
	for i := range s.moving {
		away[i] = math.MaxInt / 2
	}
	away[s.moving] = -1 // never the far side
	var queue []int
	ends := s.mechanism.Cylinders[lead]
	for i, b := range s.mechanism.Bodies {
		if k := s.bodyOf[i]; k < s.moving && (has(b, ends.Rear) && s.points[ends.Rear].body != s.moving || has(b, ends.Front) && s.points[ends.Front].body != s.moving) {
			away[k] = 0
			queue = append(queue, k)
		}
	}
	for len(queue) > 0 {
		k := queue[0]
		queue = queue[1:]
		reach := func(a, b int) {
			if a == k && away[b] > away[k]+1 {
				away[b] = away[k] + 1
				queue = append(queue, b)
			}
		}
		for _, p := range s.pivots {
			if p.b.body != s.moving {
				reach(p.a.body, p.b.body)
				reach(p.b.body, p.a.body)
			}
		}
		for _, l := range s.slides {
			if l.point.body != s.moving && l.from.body != s.moving {
				reach(l.point.body, l.from.body)
				reach(l.from.body, l.point.body)
			}
		}
	}
	return away
}

// Transmission is the angle (rad, 0 to π/2) with which a coupler passes force on at one of its ends, 0 or 1. Where the end stands
// still for an instant, the way it is about to take counts.
func (c Coupler) Transmission(p *Pose, end int) float64 {
	u := r2.Unit(r2.Sub(p.Points[c.Pivots[1]], p.Points[c.Pivots[0]]))
	at := c.Pivots[end]
	v := p.Velocity[at]
	if still := leastPart * (1 + r2.Norm(p.Velocity[c.Pivots[1-end]])); r2.Norm(v) < still {
		v = p.Acceleration[at]
	}
	if r2.Norm(v) == 0 {
		return 0
	}
	return asin(math.Abs(r2.Dot(u, r2.Unit(v))))
}

// A Lever is a grounded pivot of a body that a cylinder acts on.
type Lever struct {
	Cylinder, Body int
	Pivot, Eye     int  // the grounded pivot, and the end of the cylinder
	rear           bool // the eye is the cylinder's rear
}

// Levers lists them, in order of cylinders.
func (s *Solver) Levers() (list []Lever) {
	for c, cylinder := range s.mechanism.Cylinders {
		for _, eye := range []int{cylinder.Rear, cylinder.Front} {
			for _, i := range s.bodies {
				b := s.mechanism.Bodies[i]
				if !has(b, eye) || s.points[eye].body == s.moving {
					continue
				}
				for _, p := range b.Points {
					if s.points[p].body == s.moving {
						list = append(list, Lever{c, i, p, eye, eye == cylinder.Rear})
					}
				}
			}
		}
	}
	return list
}

// Arm is the moment arm (m) of the cylinder about the pivot: positive where pushing turns the body from x towards y.
func (l Lever) Arm(p *Pose) float64 {
	sin, cos := math.Sincos(p.Cylinders[l.Cylinder].Angle)
	push := r2.Vec{X: cos, Y: sin}
	if l.rear {
		push = r2.Scale(-1, push)
	}
	return r2.Cross(r2.Sub(p.Points[l.Eye], p.Points[l.Pivot]), push)
}

// A FourBar is a closed chain of four links, the ground among them or not.
type FourBar struct {
	Bodies  [4]int // in order; the first pivot is between the first and the second
	Pivots  [4]int
	Lengths [4]float64 // of the links from pivot to pivot, m: that of Bodies[k] lies between Pivots[k-1] and Pivots[k]

	// Surplus is shortest + longest - the other two, as a part of the sum of all: below zero the shortest link can turn right round
	// (Grashof), and at zero the four links can come to lie in one line, where the chain can change over.
	Surplus float64
}

// FourBars lists the closed chains of four links; none for a linkage that has no single way to move.
func (s *Solver) FourBars() (list []FourBar) {
	if s.movable() != nil {
		return nil
	}
	type side struct{ body, pivot int }
	m := &s.mechanism
	next := make([][]side, s.moving+1)
	users := make([][]int, len(m.Points))
	for i, b := range m.Bodies {
		for _, p := range b.Points {
			if k := s.bodyOf[i]; !slices.Contains(users[p], k) {
				users[p] = append(users[p], k)
			}
		}
	}
	for p, at := range users {
		for _, a := range at {
			for _, b := range at {
				if a != b {
					next[a] = append(next[a], side{b, p})
				}
			}
		}
	}
	name := func(k int) int {
		if k < s.moving {
			return s.bodies[k]
		}
		return slices.Index(s.bodyOf, s.moving)
	}
	for a := range next {
		for _, ab := range next[a] {
			if ab.body <= a {
				continue
			}
			for _, bc := range next[ab.body] {
				if bc.body <= a || bc.pivot == ab.pivot {
					continue
				}
				for _, cd := range next[bc.body] {
					if cd.body <= ab.body || cd.pivot == ab.pivot || cd.pivot == bc.pivot {
						continue
					}
					for _, da := range next[cd.body] {
						b, c, d := ab.body, bc.body, cd.body
						pivots := [4]int{ab.pivot, bc.pivot, cd.pivot, da.pivot}
						// each chain once: from its lowest body, towards the lower neighbour
						if da.body != a || !distinct(pivots) {
							continue
						}
						list = append(list, s.fourBar([4]int{name(a), name(b), name(c), name(d)}, pivots))
					}
				}
			}
		}
	}
	return list
}

func distinct(p [4]int) bool {
	return p[0] != p[1] && p[0] != p[2] && p[0] != p[3] && p[1] != p[2] && p[1] != p[3] && p[2] != p[3]
}

func (s *Solver) fourBar(bodies, pivots [4]int) FourBar {
	f := FourBar{Bodies: bodies, Pivots: pivots}
	sum := 0.0
	for k := range pivots {
		f.Lengths[k] = r2.Norm(r2.Sub(s.mechanism.Points[pivots[k]], s.mechanism.Points[pivots[(k+3)%4]]))
		sum += f.Lengths[k]
	}
	sorted := f.Lengths
	slices.Sort(sorted[:])
	f.Surplus = (sorted[0] + sorted[3] - sorted[1] - sorted[2]) / sum
	return f
}

// Margin is how far (rad) the chain is from lying in one line: the largest angle, over its pivots, between the two links that meet
// there and the line. A chain with Surplus near zero changes over where it is 0.
func (f FourBar) Margin(p *Pose) float64 {
	most := 0.0
	for k := range f.Pivots {
		here := p.Points[f.Pivots[k]]
		a, b := r2.Sub(p.Points[f.Pivots[(k+3)%4]], here), r2.Sub(p.Points[f.Pivots[(k+1)%4]], here)
		most = max(most, math.Atan2(math.Abs(r2.Cross(a, b)), math.Abs(r2.Dot(a, b))))
	}
	return most
}
