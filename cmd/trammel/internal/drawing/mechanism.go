package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	pictureWidth  = 680.0 // px
	pictureHeight = 520.0
	margin        = 34.0
	loadRoom      = 150.0 // for what is written beside a load
	zoneName      = 9.6   // px of a letter of a zone's name, as large as a phone's page makes it
	zoneMore      = 8.6   // and of what stands below
)

// A Mechanism is the linkage of a machine, made ready to be drawn in any pose: each part is drawn once, and set where a pose has it.
type Mechanism struct {
	m       *schema.Machine
	id      string
	courses []checks.Course
	swept   []checks.SweptPart
	parts   []part
	least   [2]float64 // m
	most    [2]float64
	scale   float64 // px per m
	beside  float64 // px to the right, for what is written there
	defs    string
}

// A part is what moves as one, drawn about its own origin.
type part struct {
	id, name string
	load     bool
	place    func(p *Pose) Place
}

// A Place is where a part is set: in px, and turned by so many degrees, clockwise as one sees it.
type Place struct{ X, Y, Turn float64 }

func (p Place) String() string {
	s := "translate(" + num(p.X) + " " + num(p.Y) + ")"
	if p.Turn != 0 {
		s += " rotate(" + num(p.Turn) + ")"
	}
	return s
}

// A Pose is where the points, links and cylinders of a machine are: m and rad.
type Pose struct {
	points  map[string][2]float64
	turns   map[string]float64
	lengths map[string]float64
	angles  map[string]float64
	Rods    []float64 // how far each is out, by the sorted names of the cylinders
}

// NewMechanism prepares the drawing of a machine; id begins the ids of its parts, which must differ within a page.
func NewMechanism(m *schema.Machine, id string, courses []checks.Course, swept []checks.SweptPart) *Mechanism {
	d := &Mechanism{m: m, id: id, courses: courses, swept: swept}
	d.bound()
	d.draw()
	return d
}

// Known are the courses of which the poses are known.
func (d *Mechanism) Known() []int {
	var known []int
	for i, c := range d.courses {
		if len(c.Stroke) > 1 {
			known = append(known, i)
		}
	}
	return known
}

// drawn is the pose in which the spec has the machine.
func (d *Mechanism) drawn() *Pose {
	p := &Pose{points: map[string][2]float64{}, turns: map[string]float64{}, lengths: map[string]float64{}, angles: map[string]float64{}}
	for name, at := range d.m.Points {
		p.points[name] = [2]float64{at.X.SI, at.Y.SI}
	}
	for _, name := range keys(d.m.Cylinders) {
		y := d.m.Cylinders[name]
		a, b := p.points[y.Rear.At.Value], p.points[y.Front.At.Value]
		p.lengths[name] = math.Hypot(b[0]-a[0], b[1]-a[1])
		p.angles[name] = math.Atan2(b[1]-a[1], b[0]-a[0])
		p.Rods = append(p.Rods, p.lengths[name]-y.Closed.SI)
	}
	return p
}

// Pose is a course between two of its poses: at 2.5 half-way between the third and the fourth.
func (d *Mechanism) Pose(course int, at float64) *Pose {
	c := &d.courses[course]
	p := d.drawn()
	p.Rods = nil
	i := min(max(int(at), 0), len(c.Stroke)-2)
	between := func(list []float64) float64 { return list[i] + (at-float64(i))*(list[i+1]-list[i]) }
	for _, q := range c.Points {
		p.points[q.Name] = [2]float64{between(q.X), between(q.Y)}
	}
	for _, l := range c.Links {
		p.turns[l.Name] = between(l.Turn)
	}
	for _, y := range c.Cylinders {
		p.lengths[y.Name], p.angles[y.Name] = between(y.Length), between(y.Angle)
		p.Rods = append(p.Rods, p.lengths[y.Name]-d.m.Cylinders[y.Name].Closed.SI)
	}
	return p
}

// Find is the pose of all courses in which the rods are nearest to where they are wanted.
func (d *Mechanism) Find(rods []float64) (course int, at float64, found bool) {
	best := math.Inf(1)
	for _, k := range d.Known() {
		c := &d.courses[k]
		for i := range len(c.Stroke) - 1 {
			// The nearest point of the chord between two poses.
			along, length, start := 0.0, 0.0, d.Pose(k, float64(i)).Rods
			if len(start) != len(rods) {
				return 0, 0, false
			}
			next := d.Pose(k, float64(i+1)).Rods
			for r := range rods {
				step := next[r] - start[r]
				along += (rods[r] - start[r]) * step
				length += step * step
			}
			if length == 0 {
				continue
			}
			t, off := min(max(along/length, 0), 1), 0.0
			for r := range rods {
				miss := start[r] + t*(next[r]-start[r]) - rods[r]
				off += miss * miss
			}
			if off < best {
				best, course, at, found = off, k, float64(i)+t, true
			}
		}
	}
	return course, at, found
}

// bound finds what the picture must hold.
func (d *Mechanism) bound() {
	d.least, d.most = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	hold := func(x, y, around float64) {
		d.least = [2]float64{min(d.least[0], x-around), min(d.least[1], y-around)}
		d.most = [2]float64{max(d.most[0], x+around), max(d.most[1], y+around)}
	}
	around := map[string]float64{}
	for _, l := range d.m.Links {
		for _, p := range l.Points {
			around[p.Value] = max(around[p.Value], l.Outline.Width.SI/2)
		}
		for _, s := range l.Outline.Shapes {
			for _, p := range s.Along {
				around[p.Value] = max(around[p.Value], s.Width.SI/2)
			}
			if s.At.Given() {
				around[s.At.Value] = max(around[s.At.Value], s.Diameter.SI/2)
			}
			for _, c := range s.Corners {
				hold(c.X.SI, c.Y.SI, 0)
			}
		}
	}
	for name, p := range d.m.Points {
		hold(p.X.SI, p.Y.SI, around[name])
	}
	for _, c := range d.courses {
		for _, p := range c.Points {
			for i := range p.X {
				hold(p.X[i], p.Y[i], around[p.Name])
			}
		}
	}
	for _, s := range d.swept {
		for _, ring := range s.Rings {
			for _, q := range ring {
				hold(q.X, q.Y, 0)
			}
		}
	}
	if len(d.m.Points) == 0 {
		hold(0, 0, 0)
	}
	size := max(d.most[0]-d.least[0], d.most[1]-d.least[1])
	if size == 0 {
		size = 0.1
	}
	for i := range 2 { // one that has no height is still seen
		if room := size/8 - (d.most[i] - d.least[i]); room > 0 {
			d.least[i], d.most[i] = d.least[i]-room/2, d.most[i]+room/2
		}
	}
	if len(d.m.Loads) > 0 {
		d.beside = loadRoom - margin
	}
	d.scale = min((pictureWidth-2*margin-d.beside)/(d.most[0]-d.least[0]), (pictureHeight-2*margin)/(d.most[1]-d.least[1]))
}

func (d *Mechanism) size() (width, height float64) {
	return max((d.most[0]-d.least[0])*d.scale+2*margin+d.beside, 360), (d.most[1]-d.least[1])*d.scale + 2*margin + 26
}

// at is a place of the machine in the picture.
func (d *Mechanism) at(q [2]float64) (x, y float64) {
	width, _ := d.size()
	free := width - 2*margin - d.beside - (d.most[0]-d.least[0])*d.scale
	return margin + free/2 + (q[0]-d.least[0])*d.scale, margin + (d.most[1]-q[1])*d.scale
}

// local is a place of a part about its origin.
func (d *Mechanism) local(q, origin [2]float64) [2]float64 {
	return [2]float64{(q[0] - origin[0]) * d.scale, (origin[1] - q[1]) * d.scale}
}

func (d *Mechanism) part(p *pen, name, title string, place func(p *Pose) Place, draw func()) {
	id := fmt.Sprintf("%s-part%d", d.id, len(d.parts))
	d.parts = append(d.parts, part{id: id, name: name, place: place})
	p.open("g", "id", id)
	p.open("title")
	p.b.WriteString(escape(title))
	p.close("title")
	draw()
	p.close("g")
}

// draw draws every part once.
func (d *Mechanism) draw() {
	p := &pen{}
	drawn := d.drawn()
	fixed := map[string]bool{}
	names := keys(d.m.Links)
	slices.SortStableFunc(names, func(a, b string) int { // what stands still lies behind
		return number(d.m.Links[b].Ground.Value) - number(d.m.Links[a].Ground.Value)
	})
	for _, name := range names {
		l := d.m.Links[name]
		origin := drawn.points[l.Points[0].Value]
		first := l.Points[0].Value
		place := func(q *Pose) Place {
			x, y := d.at(q.points[first])
			return Place{x, y, -q.turns[name] * 180 / math.Pi}
		}
		title := "Link " + name
		if l.Ground.Value {
			title += ", which stands still"
			for _, at := range l.Points {
				fixed[at.Value] = true
			}
		}
		d.part(p, name, title, place, func() { d.link(p, l, drawn, origin) })
	}
	for _, name := range keys(d.m.Slides) {
		s := d.m.Slides[name]
		from, to := s.Along[0].Value, s.Along[1].Value
		d.part(p, name, "Guide "+name, func(q *Pose) Place {
			x, y := d.at(q.points[from])
			a, b := q.points[from], q.points[to]
			return Place{x, y, -math.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi}
		}, func() {
			a, b := drawn.points[from], drawn.points[to]
			length := math.Hypot(b[0]-a[0], b[1]-a[1]) * d.scale
			p.line("thin", 0, -7, length, -7)
			p.line("thin", 0, 7, length, 7)
		})
	}
	for _, name := range keys(d.m.Cylinders) {
		d.cylinder(p, name, d.m.Cylinders[name])
	}
	labels := d.loadLabels()
	// Loads come last: a pose can be drawn without them.
	for _, name := range keys(d.m.Loads) {
		l := d.m.Loads[name]
		d.part(p, name, "Load "+name, func(q *Pose) Place {
			x, y := d.at(q.points[l.At.Value])
			return Place{x, y, 0}
		}, func() {
			x, y, says := towards(name, l)
			p.line("load", 6*x, 6*y, 26*x, 26*y)
			p.path("full", true, [2]float64{34 * x, 34 * y}, [2]float64{24*x - 5*y, 24*y + 5*x}, [2]float64{24*x + 5*y, 24*y - 5*x})
			at := labels[name]
			p.text(at.x, at.y, at.anchor, "small label carried", says)
		})
		d.parts[len(d.parts)-1].load = true
	}
	d.defs = p.b.String()
}

func number(b bool) int {
	if b {
		return 1
	}
	return 0
}

// link draws a link's outline, or a bar through its points where it has none.
func (d *Mechanism) link(p *pen, l schema.Link, drawn *Pose, origin [2]float64) {
	at := func(point string) [2]float64 { return d.local(drawn.points[point], origin) }
	class := "link"
	if l.Ground.Value {
		class = "ground"
	}
	chain := func(points []schema.Text, width float64) {
		for i := range len(points) - 1 {
			p.tag("path", "class", class, "d", capsule(at(points[i].Value), at(points[i+1].Value), width/2*d.scale))
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
			q := at(s.At.Value)
			p.circle(class, q[0], q[1], s.Diameter.SI/2*d.scale)
		default:
			var corners [][2]float64
			for _, c := range s.Corners {
				corners = append(corners, d.local([2]float64{c.X.SI, c.Y.SI}, origin))
			}
			p.path(class, true, corners...)
		}
	}
	if l.Ground.Value {
		d.standing(p, l, at)
	} else if !l.Outline.Given() {
		points := make([][2]float64, len(l.Points))
		for i, q := range l.Points {
			points[i] = at(q.Value)
		}
		p.path("bar", len(points) > 2, points...)
	}
	for _, q := range l.Points {
		c, r := at(q.Value), 4.0
		if pin := d.m.Pivots[q.Value].Pin.Diameter; pin.Given() {
			r = max(r, pin.SI/2*d.scale)
		}
		p.circle("pin", c[0], c[1], r)
	}
}

// standing draws the ground: a hatched foot under each point of a fixed link, and what joins them.
func (d *Mechanism) standing(p *pen, l schema.Link, at func(string) [2]float64) {
	var joined [][2]float64
	var hatch strings.Builder
	const high, half, every = 15.0, 13.0, 5.0
	for _, q := range l.Points {
		c := at(q.Value)
		joined = append(joined, c)
		base := c[1] + high
		hatch.WriteString(way(true, c, [2]float64{c[0] - half*0.7, base}, [2]float64{c[0] + half*0.7, base}))
		hatch.WriteString(way(false, [2]float64{c[0] - half, base}, [2]float64{c[0] + half, base}))
		for x := c[0] - half + every; x <= c[0]+half; x += every {
			hatch.WriteString(way(false, [2]float64{x, base}, [2]float64{x - 5, base + 6}))
		}
	}
	p.tag("path", "class", "hatch", "stroke-dasharray", "6 4", "d", way(false, joined...))
	p.tag("path", "class", "hatch", "d", hatch.String())
}

// capsule is the outline of a bar with round ends.
func capsule(a, b [2]float64, r float64) string {
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	x, y := 1.0, 0.0
	if length > 0 {
		x, y = (b[0]-a[0])/length, (b[1]-a[1])/length
	}
	arc := fmt.Sprintf("A%s %s 0 0 1 ", num(r), num(r))
	to := func(q [2]float64, side float64) string { return num(q[0]+side*r*y) + " " + num(q[1]-side*r*x) }
	return "M" + to(a, 1) + "L" + to(b, 1) + arc + to(b, -1) + "L" + to(a, -1) + arc + to(a, 1) + "Z"
}

// cylinder draws barrel and rod along x, from the rear pin and up to the front pin.
func (d *Mechanism) cylinder(p *pen, name string, y schema.Cylinder) {
	k := d.scale
	place := func(point string) func(q *Pose) Place {
		return func(q *Pose) Place {
			px, py := d.at(q.points[point])
			return Place{px, py, -q.angles[name] * 180 / math.Pi}
		}
	}
	length := y.Closed.SI - y.Stroke.SI/4
	outside, behind := 1.2*y.Bore.SI, y.Bore.SI/2
	if y.Barrel.Given() {
		length, outside = y.Barrel.Length.SI, y.Barrel.Outside.SI
		behind = y.Barrel.Behind.SI
		if !y.Barrel.Behind.Given() {
			behind = y.Rear.Outside.SI / 2
		}
	}
	rod := y.Rod.SI
	if !y.Rod.Given() {
		rod = 0.4 * y.Bore.SI
	}
	d.part(p, name, "Rod of cylinder "+name, place(y.Front.At.Value), func() {
		reach := (y.Closed.SI + y.Stroke.SI - length) * k
		p.rect("rod", -reach, -max(rod*k/2, 1.5), reach, max(rod*k, 3))
		p.circle("rod", 0, 0, max(y.Front.Outside.SI/2*k, 6))
		p.circle("pin", 0, 0, 4)
	})
	d.part(p, name, "Barrel of cylinder "+name, place(y.Rear.At.Value), func() {
		p.rect("barrel", -behind*k, -outside/2*k, (length+behind)*k, outside*k)
		p.circle("pin", 0, 0, 4)
		for _, stop := range keys(d.m.Stops) {
			if s := d.m.Stops[stop]; s.Cylinder.Value == name {
				x := (y.Closed.SI + s.At.SI) * k
				p.open("g")
				p.open("title")
				p.b.WriteString(escape("Stop " + stop + ", as far as the rod's pin gets"))
				p.close("title")
				p.line("stop", x, -outside*0.6*k, x, outside*0.6*k)
				p.close("g")
			}
		}
	})
}

// set places the parts for a pose. Those of whose names focus has none are faded, where it has any.
func (d *Mechanism) set(p *pen, pose *Pose, focus []string, loads bool) {
	for _, one := range d.parts {
		if one.load && !loads {
			continue
		}
		use := []any{"href", "#" + one.id, "transform", one.place(pose).String()}
		if len(focus) > 0 && !slices.Contains(focus, one.name) {
			use = append(use, "class", "faded")
		}
		p.tag("use", use...)
	}
	d.springs(p, pose)
}

func (d *Mechanism) springs(p *pen, pose *Pose) {
	for _, name := range keys(d.m.Springs) {
		p.tag("path", "class", "spring", "d", d.spring(d.m.Springs[name], pose))
	}
}

// spring is a zigzag from one end of a spring to the other.
func (d *Mechanism) spring(s schema.Spring, pose *Pose) string {
	ax, ay := d.at(pose.points[s.From.Value])
	bx, by := d.at(pose.points[s.To.Value])
	length := math.Hypot(bx-ax, by-ay)
	points := [][2]float64{{ax, ay}}
	const turns, wide = 8, 6.0
	for i := 0; i <= 2*turns && length > 0; i++ {
		t, side := 0.1+0.8*float64(i)/(2*turns), wide*float64(i%2*2-1)
		points = append(points, [2]float64{ax + t*(bx-ax) - side*(by-ay)/length, ay + t*(by-ay) + side*(bx-ax)/length})
	}
	return way(false, append(points, [2]float64{bx, by})...)
}

// labels names the points of a pose.
func (d *Mechanism) labels(p *pen, pose *Pose, class string) {
	for i, name := range keys(d.m.Points) {
		x, y := d.at(pose.points[name])
		p.open("g", "data-label", fmt.Sprint(i), "transform", Place{x, y, 0}.String())
		p.text(7, -7, "start", class, short(name, 14))
		p.close("g")
	}
}

// around draws what does not move: the area swept, the ways of the tools, where people are.
func (d *Mechanism) around(p *pen) {
	for _, s := range d.swept {
		var all strings.Builder
		for _, ring := range s.Rings {
			points := make([][2]float64, len(ring))
			for i, q := range ring {
				points[i][0], points[i][1] = d.at([2]float64{q.X, q.Y})
			}
			all.WriteString(way(true, thinned(points)...))
		}
		if all.Len() > 0 {
			p.tag("path", "class", "swept", "fill-rule", "evenodd", "d", all.String())
		}
	}
	tools := map[string]bool{}
	for name := range d.m.Reaches {
		tools[name] = true
	}
	for _, l := range d.m.Loads {
		tools[l.At.Value] = true
	}
	for _, c := range d.courses {
		for _, q := range c.Points {
			if !tools[q.Name] {
				continue
			}
			points := make([][2]float64, len(q.X))
			for i := range q.X {
				points[i][0], points[i][1] = d.at([2]float64{q.X[i], q.Y[i]})
			}
			p.path("way", false, thinned(points)...)
		}
	}
}

// thinned leaves out points that would not be seen: nearer than a third of a pixel to the line through the others.
func thinned(points [][2]float64) [][2]float64 {
	if len(points) < 3 {
		return points
	}
	a, b := points[0], points[len(points)-1]
	far, at := 0.0, 0
	for i, q := range points[1 : len(points)-1] {
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		off := math.Hypot(q[0]-a[0], q[1]-a[1])
		if length > 0 {
			off = math.Abs((b[0]-a[0])*(q[1]-a[1])-(b[1]-a[1])*(q[0]-a[0])) / length
		}
		if off > far {
			far, at = off, i+1
		}
	}
	if far < 1.0/3 {
		return [][2]float64{a, b}
	}
	left := thinned(points[:at+1])
	return append(left[:len(left)-1:len(left)-1], thinned(points[at:])...)
}

// ruler draws a round length at the foot of the picture.
func (d *Mechanism) ruler(p *pen, scale, y float64) {
	length := math.Pow(10, math.Floor(math.Log10(150/scale)))
	for _, f := range []float64{5, 2} {
		if f*length*scale <= 150 {
			length *= f
			break
		}
	}
	p.line("thin", 12, y, 12+length*scale, y)
	p.line("thin", 12, y-4, 12, y+4)
	p.line("thin", 12+length*scale, y-4, 12+length*scale, y+4)
	p.text(18+length*scale, y+4, "start", "small", schema.Format(schema.LengthDim, length))
}

// Motion is the picture of the mechanism with both ends of its first stroke; what moves is in the group with the id of the mechanism and
// "-live".
func (d *Mechanism) Motion() Picture {
	p := &pen{}
	width, height := d.size()
	known := d.Known()
	describe := "The mechanism to scale, as drawn."
	if len(known) > 0 {
		c := d.courses[known[0]]
		describe = fmt.Sprintf("The mechanism to scale, with the rod of %s in; faded, the same with it out. Dotted edge: the area that moving parts sweep. Dashed: the way of the tools.", c.Cylinder)
	}
	p.begin(d.id+"-mechanism", "Mechanism of "+d.m.Name, describe, width, height)
	p.open("defs")
	p.b.WriteString(d.defs)
	p.close("defs")
	d.around(p)
	pose := d.drawn()
	if len(known) > 0 {
		last := d.Pose(known[0], float64(len(d.courses[known[0]].Stroke)-1))
		p.open("g", "class", "faded", "id", d.id+"-end")
		d.set(p, last, nil, false)
		p.close("g")
		pose = d.Pose(known[0], 0)
	}
	p.open("g", "id", d.id+"-live")
	d.set(p, pose, nil, true)
	d.labels(p, pose, "small strong label")
	p.close("g")
	d.ruler(p, d.scale, height-14)
	return Picture{d.id + "-mechanism", "Mechanism to scale", p.end()}
}

// Worst is a small picture of one pose; focus names the links and cylinders that stand out in it, points those that are ringed.
func (d *Mechanism) Worst(id string, course int, at float64, focus, points []string) Picture {
	p := &pen{}
	width, height := d.size()
	pose := d.Pose(course, at)
	title := "Pose at which it is worst"
	p.begin(id, title, "The mechanism in this pose, to scale; what the finding is about stands out.", width, height)
	d.set(p, pose, focus, false)
	for _, name := range points {
		if q, ok := pose.points[name]; ok {
			x, y := d.at(q)
			p.circle("ring", x, y, 13)
		}
	}
	d.labels(p, pose, "large strong label") // the page shows it at half its size
	d.ruler(p, d.scale, height-14)
	return Picture{id, title, p.end()}
}

// Zones is the picture of how near people come and of gaps that close on them; false where the spec knows of neither.
func (d *Mechanism) Zones(closings []checks.Closing) (Picture, bool) {
	all := checks.Margins(d.m)
	// Around nothing there is no margin.
	sweeps := slices.ContainsFunc(d.swept, func(s checks.SweptPart) bool { return len(s.Rings) > 0 })
	margins := slices.DeleteFunc(slices.Clone(all), func(m checks.Margin) bool { return m.Wide == 0 || !sweeps })
	least, most := d.least, d.most
	any := len(closings) > 0
	for _, m := range margins {
		any = true
		for _, s := range d.swept {
			for _, ring := range s.Rings {
				for _, q := range ring {
					least = [2]float64{min(least[0], q.X-m.Wide), min(least[1], q.Y-m.Wide)}
					most = [2]float64{max(most[0], q.X+m.Wide), max(most[1], q.Y+m.Wide)}
				}
			}
		}
	}
	drawn := d.drawn()
	for _, name := range keys(d.m.People) {
		if z := d.m.People[name].Stays; z.Given() {
			any = true
			c := drawn.points[z.From.Value]
			for i := range 2 {
				least[i], most[i] = min(least[i], c[i]-z.Away.SI), max(most[i], c[i]+z.Away.SI)
			}
		}
		for _, q := range d.m.People[name].Area {
			any = true
			least = [2]float64{min(least[0], q.X.SI), min(least[1], q.Y.SI)}
			most = [2]float64{max(most[0], q.X.SI), max(most[1], q.Y.SI)}
		}
	}
	if !any {
		return Picture{}, false
	}
	side := pictureHeight - 60
	scale := (side - 2*margin) / max(most[0]-least[0], most[1]-least[1])
	at := func(q [2]float64) (x, y float64) {
		return margin + (q[0]-least[0])*scale, margin + (most[1]-q[1])*scale
	}
	height := (most[1]-least[1])*scale + 2*margin + 20
	p := &pen{}
	var says []string
	for _, name := range keys(d.m.People) {
		if z := d.m.People[name].Stays; z.Given() {
			says = append(says, fmt.Sprintf("%s stays %s away from %s", name, z.Away, z.From.Value))
		}
		if len(d.m.People[name].Area) > 0 {
			says = append(says, fmt.Sprintf("%s is in the area that is drawn", name))
		}
	}
	for _, m := range all {
		says = append(says, m.Says)
	}
	for _, c := range closings {
		says = append(says, fmt.Sprintf("between %s a gap closes to %s, %s wants %s", c.Between, schema.Format(schema.LengthDim, c.Least), c.Part, schema.Format(schema.LengthDim, c.Needed)))
	}
	rings := func(class string) (top [2]float64) {
		top[1] = math.Inf(1)
		for _, s := range d.swept {
			for _, ring := range s.Rings {
				points := make([][2]float64, len(ring))
				for i, q := range ring {
					points[i][0], points[i][1] = at([2]float64{q.X, q.Y})
					if points[i][1] < top[1] {
						top = points[i]
					}
				}
				p.path(class, true, thinned(points)...)
			}
		}
		return top
	}
	slices.SortStableFunc(margins, func(a, b checks.Margin) int { return cmp.Compare(b.Wide, a.Wide) })
	tops := make([][2]float64, len(margins))
	for i, m := range margins {
		// A line as wide as the margin to either side covers what is that near, and is drawn as one, so that it nowhere lies on itself.
		p.open("g", "class", "margin", "stroke-width", 2*m.Wide*scale)
		tops[i] = rings("widened")
		p.close("g")
	}
	rings("swept")
	for _, c := range d.courses {
		for _, q := range c.Points {
			points := make([][2]float64, len(q.X))
			for i := range q.X {
				points[i][0], points[i][1] = at([2]float64{q.X[i], q.Y[i]})
			}
			p.path("way", false, thinned(points)...)
		}
	}
	right := (most[0]-least[0])*scale + 2*margin
	type note struct {
		x, y       float64 // where its line begins
		name, more string
	}
	var notes []note
	for _, name := range keys(d.m.People) {
		zone := d.m.People[name]
		if z := zone.Stays; z.Given() {
			x, y := at(drawn.points[z.From.Value])
			r := z.Away.SI * scale
			p.circle("zone", x, y, r)
			p.circle("full", x, y, 3)
			notes = append(notes, note{x + 0.714*r, y - 0.7*r, name, z.Away.String() + " from " + short(z.From.Value, 12)})
		}
		if len(zone.Area) == 0 {
			continue
		}
		area := make([][2]float64, len(zone.Area))
		begin := [2]float64{0, math.Inf(1)}
		for i, q := range zone.Area {
			area[i][0], area[i][1] = at([2]float64{q.X.SI, q.Y.SI})
			if c := area[i]; c[1] < begin[1] || c[1] == begin[1] && c[0] > begin[0] {
				begin = c // the corner at the top, to the right
			}
		}
		p.path("zone", true, area...)
		notes = append(notes, note{begin[0], begin[1], name, "in this area"})
	}
	for i, m := range margins {
		notes = append(notes, note{tops[i][0], tops[i][1] - m.Wide*scale, m.Zone, short(schema.Format(schema.LengthDim, m.Wide)+" "+m.To, 28)})
	}
	for _, c := range closings {
		var ends [2][2]float64
		for i, q := range c.On {
			ends[i][0], ends[i][1] = at([2]float64{q.X, q.Y})
		}
		middle := [2]float64{(ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2}
		p.path("line", false, ends[0], ends[1])
		for _, end := range ends {
			p.circle("ring", end[0], end[1], 4)
		}
		notes = append(notes, note{middle[0], middle[1], "gap of " + schema.Format(schema.LengthDim, c.Least), short(c.Part+" wants "+schema.Format(schema.LengthDim, c.Needed), 28)})
	}
	slices.SortStableFunc(notes, func(a, b note) int { return cmp.Compare(a.y, b.y) })
	last, room := math.Inf(-1), 180.0
	for _, n := range notes {
		room = max(room, 10+zoneName*float64(len([]rune(short(n.name, 26)))), 10+zoneMore*float64(len([]rune(n.more))))
		y := max(n.y, last+34, 14)
		last = y
		p.line("thin", n.x, n.y, right, y)
		p.text(right+4, y+4, "start", "small strong", short(n.name, 26))
		p.text(right+4, y+19, "start", "small", n.more)
	}
	d.ruler(p, scale, height-14)
	whole := &pen{}
	whole.begin(d.id+"-zones", "How near people come to "+d.m.Name, strings.Join(says, "; ")+".", max(right, 300)+room, height)
	whole.b.WriteString(p.b.String())
	return Picture{d.id + "-zones", "How near people come", whole.end()}, true
}

// A Track is one course as a page moves it: the strokes in mm, and where each part and each label is in each pose.
type Track struct {
	Name    string         `json:"name"`
	Says    []string       `json:"says"`
	Parts   [][][3]float64 `json:"parts"`
	Labels  [][][2]float64 `json:"labels"`
	Springs [][]string     `json:"springs"`
}

// Tracks are the courses that are known; says tells in words what a pose is like.
func (d *Mechanism) Tracks(says func(c *checks.Course, pose int) string) []Track {
	round := func(x float64) float64 { return math.Round(x*100)/100 + 0 } // never -0
	var all []Track
	for _, k := range d.Known() {
		c := &d.courses[k]
		t := Track{Name: Visible(strings.TrimSpace(c.Cylinder + " " + c.Others))}
		for i := range c.Stroke {
			pose := d.Pose(k, float64(i))
			var parts [][3]float64
			for _, one := range d.parts {
				at := one.place(pose)
				parts = append(parts, [3]float64{round(at.X), round(at.Y), round(at.Turn)})
			}
			var labels [][2]float64
			for _, name := range keys(d.m.Points) {
				x, y := d.at(pose.points[name])
				labels = append(labels, [2]float64{round(x), round(y)})
			}
			t.Says, t.Parts, t.Labels = append(t.Says, says(c, i)), append(t.Parts, parts), append(t.Labels, labels)
			var ways []string
			for _, name := range keys(d.m.Springs) {
				ways = append(ways, d.spring(d.m.Springs[name], pose))
			}
			t.Springs = append(t.Springs, ways)
		}
		all = append(all, t)
	}
	return all
}
