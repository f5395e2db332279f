package checks

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/space"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// ofInterest in m is how near two parts come before they are spoken of.
	ofInterest = 25e-3
	// movingClearance in m is what stays between two parts that pass each other, beside the play of their pivots. Common practice, no source.
	movingClearance = 3e-3
	// besideClearance in m is what stays along the pins between parts that pass beside each other; as between a fork's cheek and a link.
	besideClearance = 1e-3
	// posesApart is how many of the sweep's poses the search goes from one step to the next. It follows the way between exactly.
	posesApart = 4
)

// A figure is one piece of a part's outline, in the frame of its carrier.
type figure struct {
	part    string // as a person would call it
	carrier int
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
	unseen   []string                 // moving parts that are left out, and why
	blame    []schema.Input           // where they are written
	seen     int                      // moving parts that say what room they take
	found    []meeting                // as drawn
	searches map[string]*space.Motion // by cylinder
}

// space judges how the parts pass each other, and what hoses bear.
func (x *examiner) space() {
	planes := x.flat()
	x.hoses()
	if len(x.motion.cylinders) == 0 {
		return
	}
	s := newSubject(x.m, "room", x.m.Name, x.m.At)
	x.add(s)
	for _, c := range x.motion.cylinders {
		if why := x.motion.why(c); why != "" {
			s.open(why, "unseen")
			return
		}
	}
	w := &scenery{x: x, planes: planes, searches: map[string]*space.Motion{}}
	w.build()
	if w.seen == 0 {
		s.open("no moving part says how wide it is: add `outline: width: mm: …` to the links and `barrel: {outside: mm: …, length: mm: …}` to the cylinders, and parts that hit each other are found", "unseen")
		return
	}
	s.set("unseen", schema.NumberDim, float64(len(w.unseen)), w.blame...)
	s.text("unseenWhat", strings.Join(w.unseen, "; "))
	meetings, err := w.search(w.figures, space.Search{Within: ofInterest})
	if err != nil {
		s.open("the search for parts that hit each other stopped: "+err.Error(), "unseen")
		return
	}
	w.found = meetings
	for _, m := range meetings {
		w.pair(m)
	}
}

// build collects the figures of links, cylinders, and bolts' heads and nuts.
func (w *scenery) build() {
	x := w.x
	for i, name := range x.motion.links {
		w.link(i, name)
	}
	for i, name := range x.motion.cylinders {
		w.cylinder(i, name)
	}
	for _, point := range sorted(x.m.Pivots) {
		w.keepers(point, x.m.Pivots[point])
	}
	w.oneGroup()
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

// skip notes a moving part that is left out.
func (w *scenery) skip(ground bool, blame schema.Input, part, why string) {
	if !ground {
		w.unseen, w.blame = append(w.unseen, part+" "+why), append(w.blame, blame)
	}
}

func (w *scenery) link(index int, name string) {
	l := w.x.m.Links[name]
	ground := l.Ground.Value
	if !l.Outline.Given() {
		w.skip(ground, l.Points[0], name, "has no `outline`")
		return
	}
	if !ground {
		w.seen++
	}
	pins := w.pins(name)
	if len(pins) == 0 {
		w.skip(ground, l.Points[0], name, "is in no pivot's `stack`, which would give its layer")
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
	origin := w.x.motion.point(l.Points[0].Value)
	for _, p := range l.Points {
		if w.fixed(p.Value) {
			origin = w.x.motion.point(p.Value)
			break
		}
	}
	frame := carrier{body: name, index: index, origin: origin, ground: ground}
	at := w.drawn(w.x.motion.points[origin])
	put := func(f figure) {
		f.part = name
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
			w.skip(ground, l.Points[0], name, "has an outline that can't be used: "+err.Error())
			return
		}
	}
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

// fixed says whether a point stands still.
func (w *scenery) fixed(point string) bool {
	for _, l := range w.x.m.Links {
		if l.Ground.Value && goesThrough(l, point) {
			return true
		}
	}
	return false
}

// carrierFor finds the carrier of a link's figure, or adds one.
func (w *scenery) carrierFor(frame carrier, f figure) int {
	for i, c := range w.x.motion.cylinders {
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
				frame.forks = append(frame.forks, w.x.motion.cylinders[i]+"."+end.name)
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

// covers says whether a figure lies over a point.
func (f *figure) covers(p r2.Vec) bool {
	if f.width > 0 {
		from, to := f.points[0], f.points[len(f.points)-1]
		way, t := r2.Sub(to, from), 0.0
		if l := r2.Norm2(way); l > 0 {
			t = max(0, min(1, r2.Dot(r2.Sub(p, from), way)/l))
		}
		return r2.Norm(r2.Sub(p, r2.Add(from, r2.Scale(t, way)))) <= f.width/2
	}
	inside := false // crossings of a ray along x
	for i, a := range f.points {
		b := f.points[(i+1)%len(f.points)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

func (w *scenery) cylinder(index int, name string) {
	y := w.x.m.Cylinders[name]
	if !y.Barrel.Given() {
		w.skip(false, y.Bore, name, "has no `barrel`")
		return
	}
	w.seen++
	pins := w.pins(name)
	switch {
	case len(pins) == 0:
		w.skip(false, y.Bore, name, "is in no pivot's `stack`, which would give its layer")
		return
	case w.planes.offsetOf(name) > planeTolerance:
		return // another rule asks for its plane first
	}
	middle := hull(w.z(name, pins[0])).middle()
	barrel := w.carry(carrier{body: name, index: index, turns: true, origin: w.x.motion.point(y.Rear.At.Value)})
	rod := w.carry(carrier{body: name, index: index, turns: true, rod: true, origin: w.x.motion.point(y.Front.At.Value)})
	tube := func(part string, on int, blame schema.Length, from, to float64) {
		r := blame.SI / 2
		f := figure{part: part, carrier: on, blame: blame, bought: true, layers: []interval{{middle - r, middle + r}},
			points: []r2.Vec{{X: from, Y: -r}, {X: to, Y: -r}, {X: to, Y: r}, {X: from, Y: r}}}
		var err error
		if f.outline, err = f.drawnWith(0); err != nil {
			w.skip(false, y.Bore, part, "has an outline that can't be used: "+err.Error())
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
	w.knuckle(name+" barrel", barrel, y.Rear, w.z(name, y.Rear.At.Value))
	w.knuckle(name+" rod", rod, y.Front, w.z(name, y.Front.At.Value))
}

// knuckle adds the round of an eye or a fork.
func (w *scenery) knuckle(part string, on int, end schema.CylinderEnd, layers []interval) {
	if !end.Outside.Given() || len(layers) == 0 {
		return
	}
	f := figure{part: part, carrier: on, blame: end.Outside, bought: true, layers: layers, width: end.Outside.SI, points: []r2.Vec{{}}}
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
	on := slices.IndexFunc(w.carriers, func(c carrier) bool {
		if c.body != p.Pin.TurnsWith.Value {
			return false
		}
		return !c.turns || c.rod == (w.x.m.Cylinders[c.body].Front.At.Value == point)
	})
	if on < 0 {
		return
	}
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
		f := figure{part: kept.Value + " at " + point, carrier: on, blame: kept, bought: true, layers: []interval{layer}, width: across, points: []r2.Vec{{}}}
		if c := w.carriers[on]; !c.turns {
			f.points[0] = r2.Sub(w.drawn(point), w.drawn(w.x.motion.points[c.origin]))
		}
		var err error
		if f.outline, err = f.drawnWith(across); err == nil {
			w.figures = append(w.figures, f)
		}
	}
}

// oneGroup leaves out the parts of which nothing says how they lie to most others along the pins.
func (w *scenery) oneGroup() {
	group := func(body string) string {
		if pins := w.pins(body); len(pins) > 0 {
			return w.planes.tied[pins[0]].to
		}
		return ""
	}
	size := map[string]int{}
	for _, f := range w.figures {
		size[group(w.carriers[f.carrier].body)]++
	}
	most := ""
	for _, g := range sorted(size) {
		if size[g] > size[most] {
			most = g
		}
	}
	var kept []figure
	for _, f := range w.figures {
		c := w.carriers[f.carrier]
		if group(c.body) == most {
			kept = append(kept, f)
			continue
		}
		if text := c.body + " shares no pin with what the others turn on, so that its layer is not known"; !c.ground && !slices.Contains(w.unseen, text) {
			w.unseen, w.blame = append(w.unseen, text), append(w.blame, f.blame)
		}
	}
	w.figures = kept
}

// onPoint says whether a carrier is pinned at a point, and where that is in its frame.
func (w *scenery) onPoint(c *carrier, point string) (r2.Vec, bool) {
	if c.turns {
		return r2.Vec{}, w.x.motion.points[c.origin] == point
	}
	return r2.Sub(w.drawn(point), w.drawn(w.x.motion.points[c.origin])), goesThrough(w.x.m.Links[c.body], point)
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

// apart says that two carriers are not compared: they are one part, stand still, hold each other in a fork or in a slide.
func (w *scenery) apart(a, b *carrier) bool {
	if a.body == b.body || a.ground && b.ground {
		return true
	}
	for _, p := range [2][2]*carrier{{a, b}, {b, a}} {
		end := ".rear"
		if p[1].rod {
			end = ".front"
		}
		if p[1].turns && slices.Contains(p[0].forks, p[1].body+end) {
			return true
		}
		for _, s := range w.x.m.Slides {
			if !p[0].turns && !p[1].turns && goesThrough(w.x.m.Links[p[0].body], s.Point.Value) &&
				goesThrough(w.x.m.Links[p[1].body], s.Along[0].Value) && goesThrough(w.x.m.Links[p[1].body], s.Along[1].Value) {
				return true
			}
		}
	}
	return false
}

// scene is what the solver compares, and the figure that each of its shapes belongs to.
func (w *scenery) scene(figures []figure) (scene space.Scene, of []int) {
	for i, f := range figures {
		for _, l := range f.layers {
			scene.Shapes = append(scene.Shapes, space.Shape{Body: f.carrier, Outline: f.outline, Low: l.low, High: l.high})
			of = append(of, i)
		}
	}
	for i := range w.carriers {
		for k := range w.carriers[:i] {
			a, b := &w.carriers[k], &w.carriers[i]
			if w.apart(a, b) {
				scene.Ignored = append(scene.Ignored, [2]int{k, i})
				continue
			}
			for _, point := range w.x.motion.points {
				u, ok := w.onPoint(a, point)
				v, too := w.onPoint(b, point)
				if radius := max(w.radius(a, point), w.radius(b, point)); ok && too && radius > 0 {
					scene.Joints = append(scene.Joints, space.Joint{Bodies: [2]int{k, i}, At: [2]r2.Vec{u, v}, Radius: radius})
				}
			}
		}
	}
	return scene, of
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

// motionOf is the motion of the carriers over a cylinder's stroke.
func (w *scenery) motionOf(cylinder string) space.Motion {
	if m := w.searches[cylinder]; m != nil {
		return *m
	}
	sweep := w.x.motion.sweeps[cylinder]
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
	var follower *linkage.Follower
	m.Solve = func(s float64) (poses, rates []space.Pose, err error) {
		if follower == nil {
			follower = w.x.motion.solver.Follow(sweep)
		}
		p, ok := follower.At(s)
		if !ok {
			return nil, nil, errors.New("the linkage does not get there")
		}
		poses, rates = w.poses(p)
		return poses, rates, nil
	}
	w.searches[cylinder] = m
	return *m
}

// A meeting is how near two parts come over all strokes.
type meeting struct {
	figures  [2]int
	distance float64
	cylinder string  // that moves them
	stroke   float64 // of it
	nearer   bool    // than the search's clearance
	first    float64 // stroke from which on
}

// search finds how near every two parts come, in the order of the figures.
func (w *scenery) search(figures []figure, q space.Search) ([]meeting, error) {
	scene, of := w.scene(figures)
	nearest := map[[2]string]int{}
	var out []meeting
	for _, c := range w.x.motion.cylinders {
		s, err := space.New(scene, w.motionOf(c))
		if err != nil {
			return nil, err
		}
		found, err := s.Closest(q)
		if err != nil {
			return nil, err
		}
		for _, a := range found {
			if a.Far {
				continue
			}
			m := meeting{[2]int{of[a.Shapes[0]], of[a.Shapes[1]]}, a.Distance, c, a.S, a.Nearer, a.First}
			key := [2]string{figures[m.figures[0]].part, figures[m.figures[1]].part}
			i, known := nearest[key]
			switch {
			case !known:
				nearest[key] = len(out)
				out = append(out, m)
			case m.distance < out[i].distance:
				if out[i].nearer && out[i].cylinder == c {
					m.first = min(m.first, out[i].first)
				}
				out[i] = m
			case m.nearer && out[i].cylinder == c:
				out[i].first = min(m.first, out[i].first)
			}
		}
	}
	return out, nil
}

// play is the most room that a part has on one of its pins.
func (w *scenery) play(body string) float64 {
	most := 0.0
	for _, s := range w.x.subjects {
		if s.Kind != "fit" {
			continue
		}
		_, what, _ := strings.Cut(s.Name, ": ")
		cylinder, _, _ := strings.Cut(what, ".")
		if f := s.Facts["clearanceMost"]; f.Kind == Quantity && (what == "link "+body || cylinder == body) {
			most = max(most, f.SI)
		}
	}
	return most
}

func (w *scenery) needed(m meeting) float64 {
	sum := movingClearance
	for _, f := range m.figures {
		sum += w.play(w.carriers[w.figures[f].carrier].body)
	}
	return sum
}

func (w *scenery) pair(m meeting) {
	a, b := &w.figures[m.figures[0]], &w.figures[m.figures[1]]
	s := newSubject(w.x.m, "pair", a.part+" and "+b.part, schema.OriginOf(a.blame).At)
	w.x.add(s)
	s.set("distance", schema.LengthDim, m.distance, a.blame, b.blame)
	s.worst("distance", w.rodOut(m.cylinder, m.stroke))
	s.flag("apart", m.distance >= 0)
	needed := w.needed(m)
	s.set("needed", schema.LengthDim, needed)
	if m.nearer {
		s.text("first", w.rodOut(m.cylinder, m.first))
	}
	if m.distance < needed {
		s.text("remedyRoom", w.remedy(m, needed))
	}
}

func (w *scenery) rodOut(cylinder string, stroke float64) string {
	return "with the rod of " + cylinder + " out by " + schema.Format(schema.LengthDim, stroke)
}

// remedy offers what gives two parts the room that they need. Each offer has been tried.
func (w *scenery) remedy(m meeting, needed float64) string {
	var offers []string
	for side, i := range m.figures {
		if text := w.narrower(m, i, needed); text != "" {
			offers = append(offers, text)
		}
		if text := w.without(m, i); text != "" {
			offers = append(offers, text)
		}
		if text := w.aside(m, i, m.figures[1-side]); text != "" {
			offers = append(offers, text)
		}
	}
	if text := w.stop(m, needed); text != "" {
		offers = append(offers, text)
	}
	if len(offers) == 0 {
		return fmt.Sprintf("draw one of the two anew, with %s more between them", schema.Format(schema.LengthDim, needed-m.distance))
	}
	return strings.Join(offers, ", or ")
}

// enough says whether a change gives a pair the room it needs, and brings the changed part no nearer to any other than it was or may be.
func (w *scenery) enough(figures []figure, part string, m meeting) bool {
	found, err := w.search(figures, space.Search{Within: ofInterest})
	if err != nil {
		return false
	}
	before := map[[2]string]float64{}
	for _, f := range w.found {
		before[w.parts(f)] = f.distance
	}
	for _, f := range found {
		parts, limit := w.parts(f), w.needed(f)
		if old, ok := before[parts]; ok && parts != w.parts(m) {
			limit = min(limit, old-tolerance)
		}
		if (parts == w.parts(m) || slices.Contains(parts[:], part)) && f.distance < limit {
			return false
		}
	}
	return true
}

// tolerance in m of the distances that the search finds.
const tolerance = 1e-5

func (w *scenery) parts(m meeting) [2]string {
	return [2]string{w.figures[m.figures[0]].part, w.figures[m.figures[1]].part}
}

// step in m is what widths and places are rounded to in an offer.
const step = 0.1e-3

// narrower tries one of the two with less width: twice what is missing, since a bar loses half on either side.
func (w *scenery) narrower(m meeting, i int, needed float64) string {
	f := w.figures[i]
	c := w.carriers[f.carrier]
	if f.width == 0 || f.bought {
		return ""
	}
	width := math.Floor((f.width-2*(needed-m.distance))/step+rounding) * step
	hole := 0.0
	for _, s := range w.planes.stacks {
		for _, o := range s.members {
			if o.Link.Value == c.body {
				hole = max(hole, o.Hole.SI)
			}
		}
	}
	if width < hole+2*wallLeast(hole) {
		return ""
	}
	figures := slices.Clone(w.figures)
	for k := range figures {
		if schema.OriginOf(figures[k].blame).Path != schema.OriginOf(f.blame).Path {
			continue
		}
		var err error
		if figures[k].outline, err = figures[k].drawnWith(width); err != nil {
			return ""
		}
	}
	if !w.enough(figures, f.part, m) {
		return ""
	}
	return fmt.Sprintf("make %s %s wide or less there, in place of %s", f.part, schema.Format(schema.LengthDim, width), schema.Format(schema.LengthDim, f.width))
}

// without tries a link without one of the shapes that stick out of it.
func (w *scenery) without(m meeting, i int) string {
	f := w.figures[i]
	if f.width > 0 || f.bought || !w.enough(slices.Delete(slices.Clone(w.figures), i, i+1), f.part, m) {
		return ""
	}
	at := w.drawn(w.x.motion.points[w.carriers[f.carrier].origin])
	at = r2.Add(at, f.points[0])
	mm := func(x float64) string { return schema.Format(schema.LengthDim, x) }
	return fmt.Sprintf("take the shape off %s whose first corner is drawn at (%s, %s), or cut it back where they meet", f.part, mm(at.X), mm(at.Y))
}

// aside tries a link in another layer along its pins, beyond the other part: the whole of it, or its two flats farther apart.
func (w *scenery) aside(m meeting, i, other int) string {
	f := &w.figures[i]
	c := w.carriers[f.carrier]
	if c.turns || c.ground {
		return ""
	}
	own, beside := hull(f.layers), hull(w.figures[other].layers)
	if len(f.layers) == 2 {
		low, high := f.layers[0].high, f.layers[1].low
		return w.spread(m, f.part, c.body, max(low-beside.low, beside.high-high)+besideClearance)
	}
	for _, move := range []struct {
		by      float64
		towards string
	}{{beside.high + besideClearance - own.low, "towards the viewer"}, {beside.low - besideClearance - own.high, "to the back"}} {
		by := math.Copysign(math.Ceil(math.Abs(move.by)/step-rounding)*step, move.by)
		moved := func(l interval) interval { return l.moved(by) }
		if len(w.inTheWay(c.body, moved)) > 0 || !w.enough(w.layered([]string{c.body}, moved), f.part, m) {
			continue
		}
		return fmt.Sprintf("move %s by %s along its pins, %s, with spacers", c.body, schema.Format(schema.LengthDim, math.Abs(by)), move.towards)
	}
	return ""
}

// spread tries the two flats of a link farther apart, and with them those of the links outside of it.
func (w *scenery) spread(m meeting, part, body string, by float64) string {
	by = math.Ceil(by/step-rounding) * step
	pins := w.pins(body)
	middle := hull(w.z(body, pins[0])).middle()
	moved := func(l interval) interval { return l.moved(math.Copysign(by, l.middle()-middle)) }
	bodies := []string{body}
	for k := 0; k < len(bodies); k++ {
		for _, b := range w.inTheWay(bodies[k], moved) {
			if slices.Contains(bodies, b) {
				continue
			}
			if _, isLink := w.x.m.Links[b]; !isLink || slices.ContainsFunc(w.pins(b), func(p string) bool { return len(w.z(b, p)) != 2 }) {
				return ""
			}
			bodies = append(bodies, b)
		}
	}
	if by <= 0 || !w.enough(w.layered(bodies, moved), part, m) {
		return ""
	}
	return fmt.Sprintf("set both flats of %s %s farther out on all of their pins", inWords(bodies), schema.Format(schema.LengthDim, by))
}

// layered are the figures with those of some parts in other layers.
func (w *scenery) layered(bodies []string, moved func(interval) interval) []figure {
	figures := slices.Clone(w.figures)
	for n := range figures {
		if !slices.Contains(bodies, w.carriers[figures[n].carrier].body) {
			continue
		}
		figures[n].layers = nil
		for _, l := range w.figures[n].layers {
			figures[n].layers = append(figures[n].layers, moved(l))
		}
	}
	return figures
}

// inTheWay are the parts on a part's pins that lie where its layers would. Washers and spacers give way, and blocks are screwed on wherever
// the pin wants them.
func (w *scenery) inTheWay(body string, moved func(interval) interval) []string {
	var found []string
	for _, point := range w.pins(body) {
		for _, other := range w.planes.stacks[point].bodies() {
			for _, own := range w.z(body, point) {
				if other != body && !slices.Contains(found, other) && slices.ContainsFunc(w.z(other, point), moved(own).meets) {
					found = append(found, other)
				}
			}
		}
	}
	return found
}

// stop tries a stroke that ends before the two come too near.
func (w *scenery) stop(m meeting, needed float64) string {
	found, err := w.search(w.figures, space.Search{Within: ofInterest, Clearance: needed})
	if err != nil {
		return ""
	}
	motion := w.motionOf(m.cylinder)
	half := (motion.S[0] + motion.S[len(motion.S)-1]) / 2
	for _, f := range found {
		if at := math.Floor(f.first/step) * step; w.parts(f) == w.parts(m) && f.nearer && f.cylinder == m.cylinder && at > half {
			return fmt.Sprintf("stop the rod of %s at %s", m.cylinder, schema.Format(schema.LengthDim, at))
		}
	}
	return ""
}

// hoseSpare is how much longer than its longest way a tube over a joint has to be. Common practice, no source: a tenth.
const hoseSpare = 1.1

// hoses judges the tubes that hang over a joint.
func (x *examiner) hoses() {
	for _, name := range sorted(x.m.Air.Runs) {
		r := x.m.Air.Runs[name]
		if !r.Over.Given() {
			continue
		}
		s := newSubject(x.m, "hose", name, r.At)
		x.add(s)
		x.hose(s, r)
	}
}

func (x *examiner) hose(s *Subject, r schema.Run) {
	s.text("over", r.Over.From.Value+" and "+r.Over.To.Value)
	if r.Length.Given() {
		s.set("length", schema.LengthDim, r.Length.SI, r.Length)
	} else {
		s.open("how long the tube is between the two points is not given: add `length: mm: …`", "length", "bend")
	}
	if r.Tube.Bend.Given() {
		s.set("bendLeast", schema.LengthDim, r.Tube.Bend.SI, r.Tube.Bend)
	} else {
		s.open("how tightly the tube may be bent is not given: add `bend: mm: …` from its data sheet", "bendLeast")
	}
	far, near, farWhen, nearWhen := 0.0, math.Inf(1), "", ""
	for _, c := range x.motion.cylinders {
		if why := x.motion.why(c); why != "" {
			s.open(why, "lengthNeeded", "bend")
			return
		}
		reach, err := x.reach(c, r)
		if err != nil {
			s.open("the way of the tube can't be followed: "+err.Error(), "lengthNeeded", "bend")
			return
		}
		when := func(stroke float64) string {
			return "with the rod of " + c + " out by " + schema.Format(schema.LengthDim, stroke)
		}
		if reach.Longest > far {
			far, farWhen = reach.Longest, when(reach.LongestS)
		}
		if reach.Nearest < near {
			near, nearWhen = reach.Nearest, when(reach.NearestS)
		}
	}
	if farWhen == "" {
		s.open("nothing moves the machine: it has no cylinder", "lengthNeeded", "bend")
		return
	}
	s.set("longest", schema.LengthDim, far, r.Over.From, r.Over.To)
	s.worst("longest", farWhen)
	if r.Length.Given() {
		s.worst("length", farWhen)
	}
	s.set("lengthNeeded", schema.LengthDim, hoseSpare*far, r.Over.From, r.Over.To)
	s.worst("lengthNeeded", farWhen)
	s.set("nearest", schema.LengthDim, near, r.Over.From, r.Over.To)
	if r.Length.Given() {
		if _, bend := space.BendRadii(r.Length.SI, near); !math.IsInf(bend, 1) {
			s.set("bend", schema.LengthDim, bend, r.Length, r.Over.From, r.Over.To)
			s.worst("bend", nearWhen)
		}
	}
	s.set("remedyLength", schema.LengthDim, hoseLength(hoseSpare*far, near, r.Tube.Bend.SI))
}

// hoseLength is the shortest length, to 1 mm, that reaches and is bent no tighter than a radius where the ends are nearest. Where the least
// length is bent too tight, a longer one is bent tighter still until it is much longer than the way.
func hoseLength(least, near, radius float64) float64 {
	does := func(length float64) bool {
		_, bend := space.BendRadii(length, near)
		return bend >= radius
	}
	if !does(least) {
		short := least
		for least *= 2; !does(least); least *= 2 {
			short = least
		}
		for least-short > step {
			if middle := (short + least) / 2; does(middle) {
				least = middle
			} else {
				short = middle
			}
		}
	}
	return math.Ceil(least*1e3-rounding) / 1e3
}

// reach follows both ends of a tube over a stroke.
func (x *examiner) reach(cylinder string, r schema.Run) (space.HoseReach, error) {
	sweep := x.motion.sweeps[cylinder]
	var m space.Motion
	ends := [2]int{x.motion.point(r.Over.From.Value), x.motion.point(r.Over.To.Value)}
	for i := range sweep.Poses {
		p := &sweep.Poses[i]
		if len(m.S) > 0 && p.Stroke <= m.S[len(m.S)-1] {
			continue
		}
		m.S = append(m.S, p.Stroke)
		m.Poses = append(m.Poses, []space.Pose{{At: p.Points[ends[0]]}, {At: p.Points[ends[1]]}})
		m.Rates = append(m.Rates, []space.Pose{{At: p.Velocity[ends[0]]}, {At: p.Velocity[ends[1]]}})
	}
	s, err := space.New(space.Scene{}, m)
	if err != nil {
		return space.HoseReach{}, err
	}
	length := r.Length.SI
	if !r.Length.Given() {
		length = 1 // any: only the ways of the ends are asked for
	}
	return s.Hose(space.Hose{Ends: [2]space.HoseEnd{{Body: 0}, {Body: 1}}, Length: length}, 0)
}
