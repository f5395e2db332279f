package linkage

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// system is a mechanism as equations. Lengths are parts of its size, counted from its middle.
type system struct {
	size   float64 // m
	middle r2.Vec  // m
	moving int     // bodies that move; body number moving is the ground

	bodyOf     []int // moving number of each body, or moving for the ground
	bodies     []int // body of each moving number
	origin     []r2.Vec
	points     []attach // of each point: the body whose side the pivot counts for
	pivots     []pivotRows
	slides     []slideRow
	slidePoint []int    // of each slide
	ends       [][2]int // rear and front point of each cylinder
	lines      []cylinderRow
	spins      []spinRow
	entries    []entry
	template   []float64 // the entries that never change
	moved      map[place]r2.Vec
	rows       int
	first      []bool // rows that are not cylinders
}

// A place is a point as one body has it, by its moving number.
type place struct{ body, point int }

// An attach is a place on a body, in the body's own axes.
type attach struct {
	body int
	at   r2.Vec
}

// pivotRows keeps the place a at the place b, which belongs to the hub of the pivot.
type pivotRows struct {
	a, b           attach
	point          int
	row            int
	ax, ay, bx, by int // entries of the two turns
}

type slideRow struct {
	point, from attach
	normal      r2.Vec // of the line, in its body's axes
	along       r2.Vec
	row         int
	p, l        [3]int // entries of the point's and of the line's body
}

type cylinderRow struct {
	rear, front    attach
	row            int
	r, f           [3]int
	closed, stroke float64
	drawn          float64 // stroke as drawn
	angle          float64 // as drawn
}

// spinRow keeps the coordinate col at its target.
type spinRow struct {
	body, row int
}

// build makes the equations. moved says where bodies have points elsewhere than drawn, m.
func build(m Mechanism, size float64, moved map[place]r2.Vec) *system {
	s := &system{size: size, moved: moved}
	for _, p := range m.Points {
		s.middle = r2.Add(s.middle, r2.Scale(1/float64(len(m.Points)), p))
	}
	s.number(m)
	s.place(m)
	s.join(m)
	s.seal()
	return s
}

func (s *system) inside(p r2.Vec) r2.Vec { return r2.Scale(1/s.size, r2.Sub(p, s.middle)) }

func (s *system) number(m Mechanism) {
	for i, b := range m.Bodies {
		s.bodyOf = append(s.bodyOf, len(s.bodies))
		if !b.Ground {
			s.bodies = append(s.bodies, i)
		}
	}
	s.moving = len(s.bodies)
	for i, b := range m.Bodies {
		if b.Ground {
			s.bodyOf[i] = s.moving
		}
	}
}

// place chooses the origin of each body (a grounded point if it has one, else a point that it shares: there its turn drops out of the
// equations) and the hub of each point: the ground if it is there, else the first body.
func (s *system) place(m Mechanism) {
	members := make([]int, len(m.Points))
	hub := make([]int, len(m.Points))
	for i := range hub {
		hub[i] = -1
	}
	for i, b := range m.Bodies {
		for _, p := range b.Points {
			members[p]++
			if hub[p] < 0 || b.Ground {
				hub[p] = s.bodyOf[i]
			}
		}
	}
	for _, i := range s.bodies {
		points := m.Bodies[i].Points
		best, rank := points[0], 0
		for _, p := range points {
			r := 0
			if hub[p] == s.moving {
				r = 2
			} else if members[p] > 1 {
				r = 1
			}
			if r > rank {
				best, rank = p, r
			}
		}
		s.origin = append(s.origin, s.inside(m.Points[best]))
	}
	s.origin = append(s.origin, r2.Vec{}) // of the ground
	for p := range m.Points {
		if hub[p] < 0 {
			hub[p] = s.moving // a point of no body stays where it is
		}
		s.points = append(s.points, s.attach(m, hub[p], p))
	}
}

func (s *system) attach(m Mechanism, body, point int) attach {
	at, elsewhere := s.moved[place{body, point}]
	if !elsewhere {
		at = m.Points[point]
	}
	return attach{body, r2.Sub(s.inside(at), s.origin[body])}
}

func (s *system) join(m Mechanism) {
	for i, b := range m.Bodies {
		for _, p := range b.Points {
			own, hub := s.bodyOf[i], s.points[p]
			if own == hub.body {
				continue
			}
			s.addPivot(p, s.attach(m, own, p), hub)
		}
	}
	for _, l := range m.Slides {
		from, to := s.attach(m, s.bodyOf[l.Body], l.From), s.attach(m, s.bodyOf[l.Body], l.To)
		s.slidePoint = append(s.slidePoint, l.Point)
		s.addSlide(s.points[l.Point], from, r2.Unit(r2.Sub(to.at, from.at)))
	}
	for _, body := range s.spinning(m) {
		s.spins = append(s.spins, spinRow{body, s.rows})
		s.add(s.rows, body, 2, 1)
		s.rows++
	}
	s.first = make([]bool, s.rows, s.rows+len(m.Cylinders))
	for i := range s.first {
		s.first[i] = true
	}
	for _, c := range m.Cylinders {
		s.ends = append(s.ends, [2]int{c.Rear, c.Front})
		s.addCylinder(c)
		s.first = append(s.first, false)
	}
}

// spinning finds the moving bodies that only one point joins to anything: they can turn about it with nothing else moving.
func (s *system) spinning(m Mechanism) (bodies []int) {
	used := make([]int, len(m.Points))
	for _, b := range m.Bodies {
		for _, p := range b.Points {
			used[p]++
		}
	}
	for _, c := range m.Cylinders {
		used[c.Rear]++
		used[c.Front]++
	}
	line := make([]bool, len(m.Bodies))
	for _, l := range m.Slides {
		used[l.Point]++
		line[l.Body] = true
	}
	for k, i := range s.bodies {
		n := 0
		for _, p := range m.Bodies[i].Points {
			if used[p] > 1 {
				n++
			}
		}
		if n == 1 && !line[i] {
			bodies = append(bodies, k)
		}
	}
	return bodies
}

// add notes an entry for coordinate k of a body and returns its number. The ground has no coordinates, and an entry that is always
// zero gets none either: both are given the number -1 until seal.
func (s *system) add(row, body, k int, value float64) int {
	if body == s.moving {
		return -1
	}
	s.entries = append(s.entries, entry{int32(row), int32(3*body + k)})
	s.template = append(s.template, value)
	return len(s.entries) - 1
}

// addTurn is add for the turn of a body at a place on it.
func (s *system) addTurn(row int, a attach) int {
	if a.at == (r2.Vec{}) {
		return -1
	}
	return s.add(row, a.body, 2, 0)
}

func (s *system) addPivot(point int, a, b attach) {
	p := pivotRows{a: a, b: b, point: point, row: s.rows}
	s.add(p.row, a.body, 0, 1)
	s.add(p.row, b.body, 0, -1)
	s.add(p.row+1, a.body, 1, 1)
	s.add(p.row+1, b.body, 1, -1)
	p.ax, p.ay = s.addTurn(p.row, a), s.addTurn(p.row+1, a)
	p.bx, p.by = s.addTurn(p.row, b), s.addTurn(p.row+1, b)
	s.pivots = append(s.pivots, p)
	s.rows += 2
}

func (s *system) addSlide(point, from attach, along r2.Vec) {
	l := slideRow{point: point, from: from, along: along, normal: r2.Vec{X: -along.Y, Y: along.X}, row: s.rows}
	l.p = [3]int{s.add(l.row, point.body, 0, 0), s.add(l.row, point.body, 1, 0), s.addTurn(l.row, point)}
	l.l = [3]int{s.add(l.row, from.body, 0, 0), s.add(l.row, from.body, 1, 0), s.add(l.row, from.body, 2, 0)}
	s.slides = append(s.slides, l)
	s.rows++
}

func (s *system) addCylinder(c Cylinder) {
	l := cylinderRow{rear: s.points[c.Rear], front: s.points[c.Front], row: s.rows, closed: c.Closed / s.size, stroke: c.Stroke / s.size}
	d := r2.Sub(r2.Add(s.origin[l.front.body], l.front.at), r2.Add(s.origin[l.rear.body], l.rear.at))
	l.drawn = r2.Norm(d) - l.closed
	l.angle = math.Atan2(d.Y, d.X)
	l.r = [3]int{s.add(l.row, l.rear.body, 0, 0), s.add(l.row, l.rear.body, 1, 0), s.addTurn(l.row, l.rear)}
	l.f = [3]int{s.add(l.row, l.front.body, 0, 0), s.add(l.row, l.front.body, 1, 0), s.addTurn(l.row, l.front)}
	s.lines = append(s.lines, l)
	s.rows++
}

// seal points the entries that the ground and fixed zeros would have at a place behind all others, which nothing reads.
func (s *system) seal() {
	spare := len(s.entries)
	s.template = append(s.template, 0)
	fix := func(numbers ...*int) {
		for _, n := range numbers {
			if *n < 0 {
				*n = spare
			}
		}
	}
	for i := range s.pivots {
		p := &s.pivots[i]
		fix(&p.ax, &p.ay, &p.bx, &p.by)
	}
	for i := range s.slides {
		l := &s.slides[i]
		fix(&l.p[0], &l.p[1], &l.p[2], &l.l[0], &l.l[1], &l.l[2])
	}
	for i := range s.lines {
		l := &s.lines[i]
		fix(&l.r[0], &l.r[1], &l.r[2], &l.f[0], &l.f[1], &l.f[2])
	}
}

// cols is the number of unknowns.
func (s *system) cols() int { return 3 * s.moving }
