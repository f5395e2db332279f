package checks

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/people"
	"trammel.example/schema"
)

const (
	// leastWay in m is how far a place that moves as it does in a pose would have to get over the whole stroke to push anybody: the gap of a finger of
	// ISO 13854. Without it the force beside a pivot would have no end.
	leastWay = 0.025
	// capSides are those of the half circle at the end of a bar; the corners lie on it.
	capSides = 8
)

// A place is one on a link that people get to, and how fast it moves for 1 m/s of the rod. Its rate is 0 where they get to none.
type place struct {
	rate float64
	link int
	from r2.Vec // its first point, drawn
}

// A contact is what people get to of the machine in a pose: the place that moves fastest, which strikes hardest, and the one that moves slowest, which
// pushes hardest.
type contact struct{ fast, slow place }

// A side is a straight piece of a link's edge, from the link's first point, as drawn.
type side struct {
	link int
	ends [2]r2.Vec
}

// contacts are those of a zone's people along the links in each pose of each run, for 1 m/s of the rod: where they stand, from how near they come on, and,
// fastest alone, with a hand round a point that they touch. They do not hang on any pressure; nil where a guard stands between.
func (x *examiner) contacts(s *Subject, name string, z schema.Zone) [][]contact {
	if all, known := x.motion.contacts[name]; known {
		return all
	}
	if x.motion.contacts == nil {
		x.motion.contacts = map[string][][]contact{}
	}
	var all [][]contact
	if reach := x.reached(z); !z.Guard.Given() && len(x.motion.runs) > 0 && x.getsIn(name, s, reach) {
		sides, sizes := x.sides()
		all = make([][]contact, len(x.motion.runs))
		for k := range x.motion.runs {
			poses := x.motion.runs[k].Poses
			all[k] = make([]contact, len(poses))
			least := 0.0
			if n := len(poses); n > 1 {
				least = leastWay / math.Abs(poses[n-1].Stroke-poses[0].Stroke)
			}
			for i := range poses {
				all[k][i] = x.contactAt(&poses[i], reach, sides, sizes, least)
			}
		}
	}
	x.motion.contacts[name] = all
	return all
}

// getsIn says whether anything of the machine may get to where a zone's people are, by what its subject has of that already.
func (x *examiner) getsIn(name string, s *Subject, reach *reached) bool {
	away := func(f Fact, known bool) bool { return known && f.Kind == Quantity && f.SI >= 0 }
	if f, known := x.areas[name]["areaMargin"]; away(f, known) {
		reach.area = nil
	}
	if f, known := s.Facts["margin"]; away(f, known) {
		reach.stays = false
	}
	return len(reach.touched) > 0 || reach.stays || reach.area != nil
}

// shapesOf goes through the bars and polygons of a link's outline as drawn; a circle is a bar whose ends are one. One without an outline has none.
func (x *examiner) shapesOf(l schema.Link, bar func(from, to r2.Vec, width float64), polygon func(corners []r2.Vec)) {
	chain := func(points []schema.Text, width float64) {
		for k := range len(points) - 1 {
			bar(x.drawnAt(points[k].Value), x.drawnAt(points[k+1].Value), width)
		}
	}
	if l.Outline.Width.Given() {
		chain(l.Points, l.Outline.Width.SI)
	}
	for _, s := range l.Outline.Shapes {
		switch {
		case s.Along != nil:
			chain(s.Along, s.Width.SI)
		case s.At.Given():
			bar(x.drawnAt(s.At.Value), x.drawnAt(s.At.Value), s.Diameter.SI)
		default:
			var corners []r2.Vec
			for _, c := range s.Corners {
				corners = append(corners, r2.Vec{X: c.X.SI, Y: c.Y.SI})
			}
			polygon(corners)
		}
	}
}

func (x *examiner) drawnAt(point string) r2.Vec {
	p := x.m.Points[point]
	return r2.Vec{X: p.X.SI, Y: p.Y.SI}
}

// sides are the straight pieces of the edges of all moving links, and how far each link gets from its first point: of its outline, or the lines from point to
// point of one that has none.
func (x *examiner) sides() ([]side, []float64) {
	var all []side
	sizes := make([]float64, len(x.motion.links))
	for i, name := range x.motion.links {
		l := x.m.Links[name]
		if l.Ground.Value {
			continue
		}
		first := x.drawnAt(l.Points[0].Value)
		closed := func(corners []r2.Vec) {
			for k, c := range corners {
				next := corners[(k+1)%len(corners)]
				all = append(all, side{i, [2]r2.Vec{r2.Sub(c, first), r2.Sub(next, first)}})
				sizes[i] = max(sizes[i], r2.Norm(r2.Sub(c, first)))
			}
		}
		if !l.Outline.Given() {
			for k := range len(l.Points) - 1 {
				closed([]r2.Vec{x.drawnAt(l.Points[k].Value), x.drawnAt(l.Points[k+1].Value)})
			}
		}
		x.shapesOf(l, func(from, to r2.Vec, width float64) { closed(bar(from, to, width)) }, closed)
	}
	return all, sizes
}

// A tip is a place of a link's outline that may get farther than any other: the middle of a round end, with its radius, or a corner.
type tip struct {
	place
	radius float64
}

// tips are those of all moving links with an outline, link by link.
func (x *examiner) tips() []tip {
	var all []tip
	for i, name := range x.motion.links {
		l := x.m.Links[name]
		if l.Ground.Value {
			continue
		}
		first := x.drawnAt(l.Points[0].Value)
		put := func(at r2.Vec, radius float64) {
			all = append(all, tip{place{link: i, from: r2.Sub(at, first)}, radius})
		}
		x.shapesOf(l, func(from, to r2.Vec, width float64) {
			put(from, width/2)
			if to != from {
				put(to, width/2)
			}
		}, func(corners []r2.Vec) {
			for _, c := range corners {
				put(c, 0)
			}
		})
	}
	return all
}

// A linkFrame is where a link is in a pose, and how it moves for 1 m/s of the rod.
type linkFrame struct {
	at, moves       r2.Vec // of its first point
	sin, cos, turns float64
}

func (x *examiner) frameIn(pose *linkage.Pose, link int) linkFrame {
	first := x.motion.point(x.m.Links[x.motion.links[link]].Points[0].Value)
	f := linkFrame{at: pose.Points[first], moves: pose.Velocity[first], turns: pose.AngleRate[link]}
	f.sin, f.cos = math.Sincos(pose.Angles[link])
	return f
}

// moved is where a place is that was drawn so far from the first point, and how fast it moves.
func (f *linkFrame) moved(from r2.Vec) (at, v r2.Vec) {
	arm := r2.Vec{X: from.X*f.cos - from.Y*f.sin, Y: from.X*f.sin + from.Y*f.cos}
	return r2.Add(f.at, arm), r2.Add(f.moves, r2.Vec{X: -f.turns * arm.Y, Y: f.turns * arm.X})
}

// bar are the corners of a bar with round ends; of a circle where both ends are one.
func bar(from, to r2.Vec, width float64) []r2.Vec {
	along := math.Atan2(to.Y-from.Y, to.X-from.X)
	var corners []r2.Vec
	for k := range 2 * (capSides + 1) {
		end, turn := to, k
		if k > capSides {
			end, turn = from, k-1
		}
		sin, cos := math.Sincos(along - math.Pi/2 + float64(turn)*math.Pi/capSides)
		corners = append(corners, r2.Add(end, r2.Scale(width/2, r2.Vec{X: cos, Y: sin})))
	}
	return corners
}

func (x *examiner) contactAt(pose *linkage.Pose, reach *reached, sides []side, sizes []float64, least float64) contact {
	var c contact
	link, far := -1, true
	var f linkFrame
	for i := range sides {
		s := &sides[i]
		if s.link != link {
			link = s.link
			f = x.frameIn(pose, link)
			far = !reach.near(f.at, sizes[link], pose)
		}
		if far {
			continue
		}
		var ends, v [2]r2.Vec
		for k, e := range s.ends {
			ends[k], v[k] = f.moved(e)
		}
		on := func(t float64) r2.Vec { return r2.Add(s.ends[0], r2.Scale(t, r2.Sub(s.ends[1], s.ends[0]))) }
		strikes := func(p people.Part) {
			if t, rate := people.Fastest(p, v[0], v[1]); rate > c.fast.rate {
				c.fast = place{rate, link, on(t)}
			}
		}
		for _, i := range reach.touched {
			if p, ok := people.InCircle(pose.Points[i], people.HandReach, ends[0], ends[1]); ok {
				strikes(p)
			}
		}
		var parts []people.Part
		if reach.area != nil {
			parts = people.InArea(reach.corners, ends[0], ends[1])
		}
		if reach.stays {
			parts = append(parts, people.OutsideCircle(pose.Points[reach.kept], reach.away, ends[0], ends[1])...)
		}
		for _, p := range parts {
			strikes(p)
			if t, rate, ok := people.Slowest(p, v[0], v[1], least); ok && (c.slow.rate == 0 || rate < c.slow.rate) {
				c.slow = place{rate, link, on(t)}
			}
		}
	}
	return c
}

// placeName says where on a link a place is: how far from the nearest of its points.
func (x *examiner) placeName(p place) string {
	l := x.m.Links[x.motion.links[p.link]]
	first := x.drawnAt(l.Points[0].Value)
	name, least := "", math.Inf(1)
	for _, q := range l.Points {
		if d := r2.Norm(r2.Sub(r2.Sub(x.drawnAt(q.Value), first), p.from)); d < least-tolerance {
			name, least = q.Value, d
		}
	}
	if least < tolerance {
		return "point " + name
	}
	return x.motion.links[p.link] + ", " + schema.Format(schema.LengthDim, least) + " from point " + name + ","
}
