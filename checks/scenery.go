package checks

import (
	"cmp"
	"errors"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/space"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// posesApart is how many of the sweep's poses the search goes from one step to the next. It follows the way between exactly.
const posesApart = 4

// A figure is one piece of a part's outline, in the frame of its carrier.
type figure struct {
	part    string // as a person would call it
	carrier int
	pin     string // by which its layers are counted
	outline space.Outline
	layers  []interval
	blame   schema.Input // the value to change
	bought  bool
	// Of a bar or a circle: what it is made again with when its width changes.
	width  float64
	points []r2.Vec
}

// A carrier is what a figure moves with: a link from its drawn place, or a cylinder's barrel or rod along x from its pin.
type carrier struct {
	body   string // link or cylinder
	index  int    // of it
	turns  bool   // with the cylinder
	rod    bool
	origin int // point
	ground bool
	// Of a link's figures that cover a pin held in a cylinder's fork: the ends that hold it. How deep a fork's slot is does not show in an outline.
	forks []string
}

// A scenery is all that takes up room.
type scenery struct {
	x        *examiner
	planes   *planes
	carriers []carrier
	figures  []figure
	ignored  [][2]int // pairs of carriers
	joints   []space.Joint
	unseen   []string              // parts that are left out, and why
	blame    []schema.Input        // where they are written
	seen     int                   // moving parts that say what room they take
	found    []meeting             // as drawn
	plays    map[string]float64    // of links and cylinders, with what they bend
	fixed    map[string]bool       // points that stand still
	searches map[int]*space.Motion // by run
}

// scenery collects the figures of links, cylinders, and bolts' heads and nuts.
func (x *examiner) scenery(planes *planes) *scenery {
	w := &scenery{x: x, planes: planes, plays: x.plays(), fixed: map[string]bool{}, searches: map[int]*space.Motion{}}
	for _, l := range x.m.Links {
		for _, p := range l.Points {
			w.fixed[p.Value] = w.fixed[p.Value] || l.Ground.Value
		}
	}
	for _, name := range x.motion.links {
		w.link(name)
	}
	for _, name := range x.motion.cylinders {
		w.cylinder(name)
	}
	for _, point := range sorted(x.m.Pivots) {
		w.keepers(point, x.m.Pivots[point])
	}
	w.oneGroup()
	w.join()
	return w
}

// z is where a part's layers on a pin lie.
func (w *scenery) z(body, point string) []interval {
	s := w.planes.stacks[point]
	if s == nil {
		return nil
	}
	all := s.layersOf(body)
	for i := range all {
		all[i] = all[i].moved(w.planes.tied[point].by)
	}
	return all
}

// pins are the points at which a stack has a part in it.
func (w *scenery) pins(body string) []string {
	var points []string
	for _, p := range sorted(w.planes.stacks) {
		if len(w.planes.stacks[p].layersOf(body)) > 0 {
			points = append(points, p)
		}
	}
	return points
}

// skip notes a part that is left out.
func (w *scenery) skip(blame schema.Input, part, why string) {
	w.unseen, w.blame = append(w.unseen, part+" "+why), append(w.blame, blame)
}

func (w *scenery) link(name string) {
	l := w.x.m.Links[name]
	ground := l.Ground.Value
	switch {
	case !l.Outline.Given() && ground:
		return // most of a stand is out of the way
	case !l.Outline.Given():
		w.skip(l.Points[0], name, "has no `outline`")
		return
	case !ground:
		w.seen++
	}
	pins := w.pins(name)
	if len(pins) == 0 {
		w.skip(l.Points[0], name, "is in no pivot's `stack`, which would give its layer")
		return
	}
	if w.planes.offsetOf(name) > planeTolerance {
		return // another rule asks for its plane first
	}
	// Where it is thinnest it is a plate; where it is thicker it has a hub.
	thick := func(point string) (sum float64) {
		for _, i := range w.z(name, point) {
			sum += i.high - i.low
		}
		return sum
	}
	plate := w.z(name, slices.MinFunc(pins, func(a, b string) int { return cmp.Compare(thick(a), thick(b)) }))
	frame := w.frameOf(name, "")
	at := w.drawn(w.x.motion.points[frame.origin])
	put := func(f figure) {
		f.part, f.pin = name, pins[0]
		for i := range f.points {
			f.points[i] = r2.Sub(f.points[i], at)
		}
		f.carrier = w.carrierFor(frame, f)
		w.figures = append(w.figures, f)
	}
	before := len(w.figures)
	chain := func(points []schema.Text, width schema.Length) {
		for i := range max(1, len(points)-1) {
			var ends []r2.Vec
			for _, p := range points[i:min(i+2, len(points))] {
				ends = append(ends, w.drawn(p.Value))
			}
			put(figure{layers: plate, blame: width, width: width.SI, points: ends})
		}
	}
	if l.Outline.Width.Given() {
		chain(l.Points, l.Outline.Width)
	}
	for _, s := range l.Outline.Shapes {
		switch {
		case s.Along != nil:
			chain(s.Along, s.Width)
		case s.At.Given():
			put(figure{layers: plate, blame: s.Diameter, width: s.Diameter.SI, points: []r2.Vec{w.drawn(s.At.Value)}})
		default:
			var corners []r2.Vec
			for _, c := range s.Corners {
				corners = append(corners, r2.Vec{X: c.X.SI, Y: c.Y.SI})
			}
			put(figure{layers: plate, blame: s.Corners[0].X, points: corners})
		}
	}
	for _, point := range pins {
		width := w.widthAt(l, point)
		if hub := w.z(name, point); width.Given() && !within(hub, plate) {
			put(figure{layers: hub, blame: width, width: width.SI, points: []r2.Vec{w.drawn(point)}})
		}
	}
	for i := before; i < len(w.figures); i++ {
		var err error
		if w.figures[i].outline, err = w.figures[i].drawnWith(w.figures[i].width); err != nil {
			w.figures = w.figures[:before]
			w.skip(l.Points[0], name, "has an outline that can't be used: "+err.Error())
			return
		}
	}
}

// frameOf is what moves with a link, or with the end of a cylinder that is at a point. A link is placed by a pin that stands still, where it
// has one.
func (w *scenery) frameOf(body, point string) carrier {
	if y, ok := w.x.m.Cylinders[body]; ok {
		c := carrier{body: body, index: indexOf(w.x.motion.cylinders, body), turns: true, rod: y.Front.At.Value == point, origin: w.x.motion.point(y.Rear.At.Value)}
		if c.rod {
			c.origin = w.x.motion.point(point)
		}
		return c
	}
	l := w.x.m.Links[body]
	origin := slices.IndexFunc(l.Points, func(p schema.Text) bool { return w.fixed[p.Value] })
	return carrier{body: body, index: w.x.motion.link(body), origin: w.x.motion.point(l.Points[max(origin, 0)].Value), ground: l.Ground.Value}
}

// drawnWith is the figure's outline with another width.
func (f *figure) drawnWith(width float64) (space.Outline, error) {
	if width == 0 {
		return space.Polygon(f.points...)
	}
	return space.Bar(width, f.points...)
}

func within(inner, outer []interval) bool {
	return !slices.ContainsFunc(inner, func(i interval) bool {
		return !slices.ContainsFunc(outer, func(o interval) bool { return i.low >= o.low-rounding && i.high <= o.high+rounding })
	})
}

// widthAt is how wide a link is at one of its points.
func (w *scenery) widthAt(l schema.Link, point string) schema.Length {
	if l.Outline.Width.Given() {
		return l.Outline.Width
	}
	for _, s := range l.Outline.Shapes {
		if s.At.Value == point {
			return s.Diameter
		}
		if slices.ContainsFunc(s.Along, func(p schema.Text) bool { return p.Value == point }) {
			return s.Width
		}
	}
	return schema.Length{}
}

func (w *scenery) drawn(point string) r2.Vec {
	p := w.x.m.Points[point]
	return r2.Vec{X: p.X.SI, Y: p.Y.SI}
}

// carrierFor finds the carrier of a link's figure, or adds one.
func (w *scenery) carrierFor(frame carrier, f figure) int {
	for _, c := range w.x.motion.cylinders {
		y := w.x.m.Cylinders[c]
		for _, end := range []struct {
			name string
			of   schema.CylinderEnd
		}{{"front", y.Front}, {"rear", y.Rear}} {
			point := end.of.At.Value
			if end.of.Kind.Value != "fork" || !goesThrough(w.x.m.Links[frame.body], point) || len(w.z(c, point)) == 0 {
				continue
			}
			fork := hull(w.z(c, point))
			if held := w.z(frame.body, point); len(held) > 0 && within(held, []interval{fork}) && f.covers(r2.Sub(w.drawn(point), w.drawn(w.x.motion.points[frame.origin]))) {
				frame.forks = append(frame.forks, c+"."+end.name)
			}
		}
	}
	return w.carry(frame)
}

func (w *scenery) carry(frame carrier) int {
	same := func(c carrier) bool {
		return c.body == frame.body && c.rod == frame.rod && slices.Equal(c.forks, frame.forks)
	}
	if i := slices.IndexFunc(w.carriers, same); i >= 0 {
		return i
	}
	w.carriers = append(w.carriers, frame)
	return len(w.carriers) - 1
}

// covers says whether a figure lies over a point, or ends on it: rounding does not decide that.
func (f *figure) covers(p r2.Vec) bool {
	if f.width > 0 {
		return fromLine(p, f.points[0], f.points[len(f.points)-1]) <= f.width/2+tolerance
	}
	inside := false // crossings of a ray along x
	for i, a := range f.points {
		b := f.points[(i+1)%len(f.points)]
		if fromLine(p, a, b) <= tolerance {
			return true
		}
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// fromLine is how far a point is from a line between two others.
func fromLine(p, from, to r2.Vec) float64 {
	way, t := r2.Sub(to, from), 0.0
	if l := r2.Norm2(way); l > 0 {
		t = max(0, min(1, r2.Dot(r2.Sub(p, from), way)/l))
	}
	return r2.Norm(r2.Sub(p, r2.Add(from, r2.Scale(t, way))))
}

func (w *scenery) cylinder(name string) {
	y := w.x.m.Cylinders[name]
	if !y.Barrel.Given() {
		w.skip(y.Bore, name, "has no `barrel`")
		return
	}
	w.seen++
	pins := w.pins(name)
	switch {
	case len(pins) == 0:
		w.skip(y.Bore, name, "is in no pivot's `stack`, which would give its layer")
		return
	case w.planes.offsetOf(name) > planeTolerance:
		return // another rule asks for its plane first
	}
	middle := hull(w.z(name, pins[0])).middle()
	barrel, rod := w.carry(w.frameOf(name, y.Rear.At.Value)), w.carry(w.frameOf(name, y.Front.At.Value))
	tube := func(part string, on int, blame schema.Length, from, to float64) {
		r := blame.SI / 2
		f := figure{part: part, carrier: on, pin: pins[0], blame: blame, bought: true, layers: []interval{{middle - r, middle + r}},
			points: []r2.Vec{{X: from, Y: -r}, {X: to, Y: -r}, {X: to, Y: r}, {X: from, Y: r}}}
		var err error
		if f.outline, err = f.drawnWith(0); err != nil {
			w.skip(y.Bore, part, "has an outline that can't be used: "+err.Error())
			return
		}
		w.figures = append(w.figures, f)
	}
	behind := y.Barrel.Behind.SI
	if !y.Barrel.Behind.Given() {
		behind = y.Rear.Outside.SI / 2
	}
	tube(name+" barrel", barrel, y.Barrel.Outside, -behind, y.Barrel.Length.SI)
	if out := y.Closed.SI + y.Stroke.SI - y.Barrel.Length.SI; y.Rod.Given() && out > 0 {
		tube(name+" rod", rod, y.Rod, -out, 0)
	}
	w.knuckle(name, " barrel", barrel, y.Rear)
	w.knuckle(name, " rod", rod, y.Front)
}

// knuckle adds the round of an eye or a fork.
func (w *scenery) knuckle(name, part string, on int, end schema.CylinderEnd) {
	layers := w.z(name, end.At.Value)
	if !end.Outside.Given() || len(layers) == 0 {
		return
	}
	f := figure{part: name + part, carrier: on, pin: end.At.Value, blame: end.Outside, bought: true, layers: layers, width: end.Outside.SI, points: []r2.Vec{{}}}
	var err error
	if f.outline, err = f.drawnWith(f.width); err == nil {
		w.figures = append(w.figures, f)
	}
}

// keepers adds the head and the nut of a bolt that is used as a pin: of hexagon screws and nuts, whose sizes are known. They turn with
// the pin.
func (w *scenery) keepers(point string, p schema.Pivot) {
	if !p.Pin.Thread.Given() {
		return
	}
	frame := w.frameOf(p.Pin.TurnsWith.Value, point)
	faces := hull(w.planes.stacks[point].at).moved(w.planes.tied[point].by)
	for i, kept := range p.Pin.Kept {
		var across, high float64
		switch kept.Value {
		case "head":
			if h, err := standards.HeadFor("hex", p.Pin.Thread.Value); err == nil {
				across, high = h.Across, h.Height
			}
		case "nut", "lock nut":
			if n, err := standards.NutFor(map[string]string{"nut": "hex", "lock nut": "lock"}[kept.Value], p.Pin.Thread.Value); err == nil {
				across, high = n.Corners, n.Height
			}
		}
		if across == 0 {
			continue
		}
		layer := interval{faces.low - high, faces.low}
		if i == 1 {
			layer = interval{faces.high, faces.high + high}
		}
		f := figure{part: kept.Value + " at " + point, carrier: w.carry(frame), pin: point, blame: kept, bought: true, layers: []interval{layer}, width: across, points: []r2.Vec{w.at(&frame, point)}}
		var err error
		if f.outline, err = f.drawnWith(across); err == nil {
			w.figures = append(w.figures, f)
		}
	}
}

// oneGroup leaves out the parts of which nothing says how they lie to most others along the pins.
func (w *scenery) oneGroup() {
	size := map[string]int{}
	for _, f := range w.figures {
		size[w.planes.tied[f.pin].to]++
	}
	most := ""
	for _, g := range sorted(size) {
		if size[g] > size[most] {
			most = g
		}
	}
	var kept []figure
	for _, f := range w.figures {
		if w.planes.tied[f.pin].to == most {
			kept = append(kept, f)
			continue
		}
		body, why := w.carriers[f.carrier].body, "shares no pin with what the others turn on, which would give its layer"
		if w.x.m.Links[body].Outline.Given() || w.x.m.Cylinders[body].Barrel.Given() {
			if !slices.Contains(w.unseen, body+" "+why) {
				w.skip(f.blame, body, why)
			}
		}
	}
	w.figures = kept
}

// at is where a point of its body is in a carrier's frame.
func (w *scenery) at(c *carrier, point string) r2.Vec {
	if c.turns {
		return r2.Vec{}
	}
	return r2.Sub(w.drawn(point), w.drawn(w.x.motion.points[c.origin]))
}

// radius is how far a part is round at a pin: within that its stack says what lies beside what.
func (w *scenery) radius(c *carrier, point string) float64 {
	if !c.turns {
		return w.widthAt(w.x.m.Links[c.body], point).SI / 2
	}
	y := w.x.m.Cylinders[c.body]
	if c.rod {
		return y.Front.Outside.SI / 2
	}
	return y.Rear.Outside.SI / 2
}

// scene is what the solver compares, and the figure that each of its shapes belongs to.
func (w *scenery) scene(figures []figure) (scene space.Scene, of []int) {
	for i, f := range figures {
		for _, l := range f.layers {
			scene.Shapes = append(scene.Shapes, space.Shape{Body: f.carrier, Outline: f.outline, Low: l.low, High: l.high})
			of = append(of, i)
		}
	}
	scene.Ignored, scene.Joints = w.ignored, w.joints
	return scene, of
}

// join finds the pairs of carriers that are not compared, and the pins where two are held together.
func (w *scenery) join() {
	pinned := map[string][]int{} // carriers on each point
	for i := range w.carriers {
		a := &w.carriers[i]
		if a.turns {
			point := w.x.motion.points[a.origin]
			pinned[point] = append(pinned[point], i)
		} else {
			for _, p := range w.x.m.Links[a.body].Points {
				pinned[p.Value] = append(pinned[p.Value], i)
			}
		}
		for k := range w.carriers[:i] {
			if b := &w.carriers[k]; a.body == b.body || a.ground && b.ground {
				w.ignored = append(w.ignored, [2]int{k, i})
			}
		}
	}
	for _, point := range sorted(pinned) {
		on := pinned[point]
		for n, i := range on {
			for _, k := range on[:n] {
				a, b := &w.carriers[k], &w.carriers[i]
				radius := max(w.radius(a, point), w.radius(b, point))
				switch {
				case a.body == b.body:
				case a.inFork(b) || b.inFork(a):
					w.ignored = append(w.ignored, [2]int{k, i})
				case radius > 0:
					w.joints = append(w.joints, space.Joint{Bodies: [2]int{k, i}, At: [2]r2.Vec{w.at(a, point), w.at(b, point)}, Radius: radius})
				}
			}
		}
	}
	// What runs in a guide lies in it.
	for _, name := range sorted(w.x.m.Slides) {
		s := w.x.m.Slides[name]
		for _, i := range pinned[s.Point.Value] {
			for _, k := range pinned[s.Along[0].Value] {
				if slices.Contains(pinned[s.Along[1].Value], k) && k != i {
					w.ignored = append(w.ignored, [2]int{k, i})
				}
			}
		}
	}
}

// inFork says that a link's figures lie in the fork of a cylinder's end.
func (c *carrier) inFork(end *carrier) bool {
	return end.turns && slices.Contains(c.forks, end.body+map[bool]string{true: ".front", false: ".rear"}[end.rod])
}

// poses are those of the carriers, and their rates.
func (w *scenery) poses(p *linkage.Pose) (poses, rates []space.Pose) {
	for i := range w.carriers {
		c := &w.carriers[i]
		at, rate := space.Pose{At: p.Points[c.origin]}, space.Pose{At: p.Velocity[c.origin]}
		if c.turns {
			at.Turn, rate.Turn = p.Cylinders[c.index].Angle, p.Cylinders[c.index].AngleRate
		} else {
			at.Turn, rate.Turn = p.Angles[c.index], p.AngleRate[c.index]
		}
		poses, rates = append(poses, at), append(rates, rate)
	}
	return poses, rates
}

// motionOf is the motion of the carriers over a run.
func (w *scenery) motionOf(run int) space.Motion {
	if m := w.searches[run]; m != nil {
		return *m
	}
	sweep := w.x.motion.runs[run].Sweep
	m := &space.Motion{}
	for i := range sweep.Poses {
		p := &sweep.Poses[i]
		last := i == len(sweep.Poses)-1
		if i%posesApart != 0 && !last || len(m.S) > 0 && p.Stroke <= m.S[len(m.S)-1] {
			continue
		}
		poses, rates := w.poses(p)
		m.S, m.Poses, m.Rates = append(m.S, p.Stroke), append(m.Poses, poses), append(m.Rates, rates)
	}
	m.Solve = w.between(run)
	w.searches[run] = m
	return *m
}

// between finds the poses of the carriers between those of a run's sweep. Each goroutine needs its own.
func (w *scenery) between(run int) func(s float64) (poses, rates []space.Pose, err error) {
	var follower *linkage.Follower
	return func(s float64) (poses, rates []space.Pose, err error) {
		if follower == nil {
			follower = w.x.motion.solver.Follow(w.x.motion.runs[run].Sweep)
		}
		p, ok := follower.At(s)
		if !ok {
			return nil, nil, errors.New("the linkage does not get there")
		}
		poses, rates = w.poses(p)
		return poses, rates, nil
	}
}
