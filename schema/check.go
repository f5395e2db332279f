package schema

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"trammel.example/schema/standards"
)

// A checker looks for mistakes that types alone don't show: names of things that are not there, choices of which exactly one is wanted,
// designations that no table has, sizes that contradict each other.
type checker struct {
	m        *Machine
	mistakes *Mistakes
	wrong    map[string]bool // links and ends of cylinders that have a sentence: what names them says nothing more
}

func check(m *Machine, mistakes *Mistakes) {
	c := &checker{m, mistakes, map[string]bool{}}
	c.profiled()
	c.links()
	c.materials()
	for _, name := range sorted(m.Cylinders) {
		c.cylinder(m.Cylinders[name])
	}
	for _, name := range sorted(m.Pivots) {
		c.pivot(name, m.Pivots[name])
	}
	for _, name := range sorted(m.Loads) {
		c.load(m.Loads[name])
	}
	c.motion()
	for _, name := range sorted(m.Fastenings) {
		c.fastening(m.Fastenings[name])
		c.joints(m.Fastenings[name])
	}
	for _, name := range sorted(m.Fixings) {
		c.fixing(m.Fixings[name])
	}
	c.assembly(m.Assembly)
	c.base(m.Base)
	c.frame(m.Frame)
	c.air()
	c.cycle()
	c.wiring()
	for _, name := range sorted(m.People) {
		c.zone(m.People[name])
	}
	c.firstAir(m.FirstAir)
	c.purchases(m.Purchases, m.Fastenings)
}

func (c *checker) purchases(list []Purchase, fastenings map[string]Fastening) {
	var first Price
	lines := map[string]Purchase{}
	for _, p := range list {
		if name := p.Screw.Value + p.Item.Value; len(p.For) == 0 && name != "" {
			if other, twice := lines[name]; twice {
				c.add(p.Origin, "%s is %s, as %s is: make one line of them, with the sum of both counts", p.Path, name, other.Path)
			}
			lines[name] = p
		}
		switch {
		case p.Screw.Given() == p.Item.Given():
			c.add(p.Origin, "%s wants either a screw or an item: write `screw: \"M5x12\"`, or `item` with a name from the bill of materials", p.Path)
		case p.Item.Given() && len(p.For) > 0:
			c.add(p.For[0].Origin, "%s: `for` goes with a screw; an item is bought for whatever takes it", p.Path)
		case p.Screw.Given() && p.Length.Given():
			c.add(p.Length.Origin, "%s: a length goes with what is cut off bars and rolls; a screw has its own in its name", p.Path)
		case p.Kerf.Given() && !p.Length.Given():
			c.add(p.Kerf.Origin, "%s has a kerf and no length: add `length: m: …` of the bar that the saw cuts", p.Path)
		}
		if p.Price.Given() && first.Given() && p.Price.Currency.Value != first.Currency.Value {
			c.add(p.Price.Currency.Origin, "%s is in %s, and %s in %s: one list has one currency, or its sum means nothing", p.Path, p.Price.Currency.Value, first.Path, first.Currency.Value)
		}
		if !first.Given() {
			first = p.Price
		}
		if thread, _, _ := strings.Cut(p.Screw.Value, "x"); p.Screw.Given() {
			c.known(p.Screw, thread, standards.ThreadNames(), "thread")
		}
		for _, f := range p.For {
			if !p.Screw.Given() {
				break
			}
			c.named(f, sorted(fastenings), "fastening")
			thread, _, _ := strings.Cut(p.Screw.Value, "x")
			screw := fastenings[f.Value].Screw.Thread.Value
			if names := standards.ThreadNames(); slices.Contains(names, thread) && slices.Contains(names, screw) && diameterOf(screw) != thread {
				c.add(f.Origin, "%s is an %s for `%s`, whose screw is %s", p.Path, p.Screw.Value, f.Value, screw)
			}
		}
	}
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

func (c *checker) add(o Origin, format string, args ...any) {
	at := o.At
	if at.File == "" {
		at = c.m.At
	}
	c.mistakes.add(at, o.Path, format, args...)
}

// named demands that a text is one of the names of a kind of thing.
func (c *checker) named(t Text, names []string, kind string) bool {
	if !t.Given() || slices.Contains(names, t.Value) {
		return true
	}
	if len(names) == 0 {
		if c.wrong[kind] {
			return false // said once: there are none of the kind
		}
		c.wrong[kind] = true
	}
	c.add(t.Origin, "%s names the %s `%s`, which does not exist: %s", t.Path, kind, t.Value, meant(t.Value, names))
	return false
}

// known demands that a designation is in a standard's table.
func (c *checker) known(t Text, value string, names []string, kind string) bool {
	if !t.Given() || slices.Contains(names, value) {
		return true
	}
	c.add(t.Origin, "%s is %q, which is no %s that trammel knows: %s", t.Path, t.Value, kind, meant(value, names))
	return false
}

// thread demands a metric thread of the tables.
func (c *checker) thread(t Text) bool {
	name, pitch, _ := strings.Cut(t.Value, "x")
	if row, err := standards.ThreadByName(name); err == nil && pitch != "" {
		if p, err := strconv.ParseFloat(pitch, 64); err == nil && math.Abs(p*1e-3-row.Pitch) < 1e-9 {
			c.add(t.Origin, "%s is %q, which is the coarse thread: write it %q", t.Path, t.Value, name)
			return false
		}
	}
	if size, err := strconv.ParseFloat(strings.TrimPrefix(name, "M"), 64); err == nil && size < 3 {
		// Smaller than all that are known, and no slip for one of them.
		c.add(t.Origin, "%s is %q, which is no thread that trammel knows: allowed: %s", t.Path, t.Value, strings.Join(quotedNames(standards.ThreadNames()), ", "))
		return false
	}
	return c.known(t, t.Value, standards.ThreadNames(), "thread")
}

func diameterOf(thread string) string {
	diameter, _, _ := strings.Cut(thread, "x")
	return diameter
}

// tappable demands of a tapped hole a material that a thread is cut in, or its own tensile strength.
func (c *checker) tappable(t TappedHole) {
	if t.Tensile.Given() || !t.Material.Given() {
		return
	}
	c.material(t.Material)
	if row, err := standards.MaterialByName(t.Material.Value); err == nil && row.EngagedUsual == 0 {
		c.add(t.Material.Origin, "%s is %s, in which no thread is cut: screw through it into a nut", t.Material.Path, t.Material.Value)
	}
}

// one demands that exactly one of several fields is there.
func (c *checker) one(o Origin, fields ...choice) {
	var have, all []string
	for _, f := range fields {
		all = append(all, "`"+f.name+"`")
		if f.given {
			have = append(have, "`"+f.name+"`")
		}
	}
	switch len(have) {
	case 0:
		c.add(o, "%s says nothing that trammel can use: give it one of %s", o.Path, strings.Join(all, ", "))
	case 1:
	default:
		c.add(o, "%s has %s at once: keep one of them", o.Path, andList(have))
	}
}

type choice struct {
	name  string
	given bool
}

func (c *checker) links() {
	points := sorted(c.m.Points)
	grounded := false
	if len(c.m.Links) == 0 {
		c.mistakes.add(c.m.At, "links", "the machine has no links: add `links: post: {points: [\"A\", \"B\"], ground: true}`")
		return
	}
	for _, name := range sorted(c.m.Links) {
		l := c.m.Links[name]
		grounded = grounded || l.Ground.Value
		seen := map[string]bool{}
		c.wrong[name] = len(l.Points) == 0
		for _, p := range l.Points {
			if !c.named(p, points, "point") {
				c.wrong[name] = true
			}
			if seen[p.Value] {
				c.add(p.Origin, "%s names the point `%s` twice", l.Path, p.Value)
			}
			seen[p.Value] = true
		}
		for i, p := range l.Points {
			for _, q := range l.Points[:i] {
				a, b := c.m.Points[p.Value], c.m.Points[q.Value]
				if a.X.Given() && b.X.Given() && p.Value != q.Value && math.Hypot(a.X.SI-b.X.SI, a.Y.SI-b.Y.SI) < 1e-6 {
					c.add(l.Origin, "%s goes through `%s` and `%s`, which are drawn at one place: a link needs a length", l.Path, q.Value, p.Value)
				}
			}
		}
	}
	if !grounded {
		c.mistakes.add(c.m.At, "links", "no link of the machine stands still: add `ground: true` to the one that is fixed")
	}
	used := map[string]bool{}
	for _, l := range c.m.Links {
		for _, p := range l.Points {
			used[p.Value] = true
		}
	}
	for _, name := range points {
		if !used[name] && !slices.Contains(slices.Collect(maps.Values(c.wrong)), true) {
			c.add(c.m.Points[name].Origin, "the point `%s` is on no link: name it in one, or take it out", name)
		}
	}
}

func (c *checker) cylinder(y Cylinder) {
	points := sorted(c.m.Points)
	rear, front := c.named(y.Rear.At, points, "point"), c.named(y.Front.At, points, "point")
	if y.Rod.Given() && y.Bore.Given() && y.Rod.SI >= y.Bore.SI {
		c.add(y.Rod.Origin, "%s is %s, and the bore is %s: a rod is thinner than its piston", y.Rod.Path, y.Rod, y.Bore)
	}
	if y.Closed.Given() && y.Stroke.Given() && y.Closed.SI <= y.Stroke.SI {
		c.add(y.Closed.Origin, "%s is %s, and the stroke is %s: pin to pin with the rod in, a cylinder is longer than its stroke", y.Closed.Path, y.Closed, y.Stroke)
	}
	for _, e := range []CylinderEnd{y.Rear, y.Front} {
		if e.Kind.Value == "fork" && !e.Gap.Given() {
			c.add(e.Origin, "%s is a fork without a gap: add `gap: mm: 10`, the room between its cheeks", e.Path)
		}
		if e.Kind.Value == "eye" && e.Gap.Given() {
			c.add(e.Gap.Origin, "%s is an eye and has a gap: leave the gap out, or make it `kind: \"fork\"`", e.Path)
		}
		c.pinned(e)
		if e.Gap.Given() && e.Width.Given() && e.Gap.SI >= e.Width.SI {
			c.add(e.Gap.Origin, "%s is %s, and the fork is %s wide over both cheeks", e.Gap.Path, e.Gap, e.Width)
		}
		if e.Outside.Given() && e.Hole.Given() && e.Outside.SI <= e.Hole.SI {
			c.add(e.Outside.Origin, "%s is %s, and its hole is %s", e.Outside.Path, e.Outside, e.Hole)
		}
		c.thread(e.Rework.Tap)
		c.screwedOn(y, e)
		if r := e.Rework; r.Given() {
			c.one(r.Origin, choice{"open", r.Open.Given()}, choice{"tap", r.Tap.Given()})
		}
	}
	c.ports(y.Ports)
	if y.Acting.Value == "single" && len(y.Ports) == 2 {
		c.add(y.Acting.Origin, "%s is single-acting and has ports rear and front: it has one, rear where air pushes the rod out, front where it pulls it in", y.Path)
	}
	if y.Acting.Value == "double" && y.Spring.Given() {
		c.add(y.Spring.Origin, "%s is of a double-acting cylinder, which has no spring: leave it out, or write `acting: \"single\"`", y.Spring.Path)
	}
	if y.Compressed.Given() && !(y.Compressed.SI >= y.Spring.SI) {
		c.add(y.Compressed.Origin, "%s is %s, and the spring's least force `spring` is %s: pressed, a spring is stronger", y.Compressed.Path, y.Compressed, y.Spring)
	}
	if !rear || !front {
		return
	}
	a, b := y.Rear.At.Value, y.Front.At.Value
	if a == b {
		c.wrong[y.Front.Path] = true
		c.add(y.Front.At.Origin, "%s has both ends at `%s`: its front must push another point", y.Path, a)
		return
	}
	for _, name := range sorted(c.m.Links) {
		has := map[string]bool{}
		for _, p := range c.m.Links[name].Points {
			has[p.Value] = true
		}
		if has[a] && has[b] {
			c.wrong[y.Rear.Path], c.wrong[y.Front.Path] = true, true
			c.add(y.Front.At.Origin, "%s has both ends on the link `%s` (`%s` and `%s`): it could never move", y.Path, name, a, b)
		}
	}
}

// screwedOn looks at an eye or fork on the rod's thread.
func (c *checker) screwedOn(y Cylinder, e CylinderEnd) {
	o := e.ScrewedOn
	if !o.Given() {
		return
	}
	c.thread(o.Thread)
	if e.Kind.Value == "fixed" {
		c.add(o.Origin, "%s is of an end without a pin: it is for an eye or a fork on the rod, leave it out", o.Path)
	}
	if e.Path == y.Rear.Path {
		c.add(o.Origin, "%s is of the rear end, which is no rod: give it to `front`", o.Path)
	}
	if row, err := standards.ThreadByName(o.Thread.Value); err == nil && y.Rod.Given() && row.Nominal > y.Rod.SI {
		c.add(o.Thread.Origin, "%s is %s, and the rod is %s: its thread is no thicker than the rod", o.Thread.Path, o.Thread.Value, y.Rod)
	}
	if o.Depth.Given() && o.Engaged.Given() && o.Engaged.SI > o.Depth.SI {
		c.add(o.Engaged.Origin, "%s is %s, and its thread is %s deep", o.Engaged.Path, o.Engaged, o.Depth)
	}
}

// pinned demands of a cylinder's end what a pin needs, and of a fixed one nothing of the kind.
func (c *checker) pinned(e CylinderEnd) {
	if e.Kind.Value != "fixed" {
		if e.Kind.Given() && !e.Hole.Given() {
			c.add(e.Origin, "%s has no hole: add `hole: {mm: 8, fit: \"H9\"}`", e.Path)
		}
		if e.Kind.Given() && !e.Width.Given() {
			c.add(e.Origin, "%s has no width: add `width: mm: 16`", e.Path)
		}
		if e.Tilts.Given() && e.Kind.Value == "fork" {
			c.add(e.Tilts.Origin, "%s: a fork does not tilt on its pin; a ball is in an eye", e.Tilts.Path)
		}
		return
	}
	var out []string
	for _, f := range []choice{{"hole", e.Hole.Given()}, {"width", e.Width.Given()}, {"gap", e.Gap.Given()}, {"outside", e.Outside.Given()}, {"swing", e.Swing.Given()}, {"tilts", e.Tilts.Given()}, {"rework", e.Rework.Given()}} {
		if f.given {
			out = append(out, "`"+f.name+"`")
		}
	}
	if len(out) > 0 {
		c.add(e.Kind.Origin, "%s is fixed and has no pin: leave %s out, or make it an eye or a fork", e.Path, andList(out))
	}
}

func (c *checker) ports(ports map[string]Port) {
	for _, name := range sorted(ports) {
		p := ports[name]
		c.one(p.Origin, choice{"thread", p.Thread.Given()}, choice{"tube", p.Tube.Given()})
		if row, err := standards.PortThreadByName(p.Thread.Value); err == nil && p.Male.Value && !row.Male {
			c.add(p.Male.Origin, "%s is %s, which is made as an inside thread only: leave `male` out", p.Path, p.Thread.Value)
		} else if err == nil && !p.Male.Value && !row.Female {
			c.add(p.Thread.Origin, "%s is %s, which is made as an outside thread only: add `male: true`", p.Path, p.Thread.Value)
		}
		c.known(p.Thread, p.Thread.Value, standards.PortThreadNames(), "port thread")
	}
}

func (c *checker) pivot(point string, p Pivot) {
	bodies := append(sorted(c.m.Links), sorted(c.m.Cylinders)...)
	if _, ok := c.m.Points[point]; !ok {
		c.add(p.Origin, "pivots names the point `%s`, which does not exist: %s", point, meant(point, sorted(c.m.Points)))
		return
	}
	c.named(p.Pin.TurnsWith, bodies, "link or cylinder")
	c.thread(p.Pin.Thread)
	if p.Pin.Torque.Given() && !p.Pin.Thread.Given() {
		c.add(p.Pin.Torque.Origin, "%s has a torque and no thread: add `thread: \"M8\"`, or leave the torque out", p.Pin.Path)
	}
	if p.Pin.Shank.Given() && !p.Pin.Thread.Given() {
		c.add(p.Pin.Shank.Origin, "%s has a shank and no thread: add `thread: \"M8\"`, or leave the shank out", p.Pin.Path)
	}
	if shank, length := p.Pin.Shank, p.Pin.Length; shank.Given() && length.Given() && shank.SI > length.SI {
		c.add(shank.Origin, "%s is %s, and the bolt is %s long under its head: the shank is the part of that without thread", shank.Path, shank, length)
	}
	c.keepers(p)
	c.material(p.Pin.Material)
	if p.Pin.Material.Given() && p.Pin.Yield.Given() {
		c.add(p.Pin.Yield.Origin, "%s has a `material` and a `yield` of its own: keep one of the two", p.Pin.Path)
	}
	c.setScrews(point, p.Pin)
	if outside := p.Sleeve.Outside; outside.Given() && p.Pin.Diameter.Given() && outside.Least <= p.Pin.Diameter.Most {
		c.add(outside.Origin, "%s is %s, and the pin is %s: a sleeve goes over its pin and must be thicker", outside.Path, outside, p.Pin.Diameter)
	}
	if p.Between.Given() && p.Sleeve.Given() {
		c.add(p.Sleeve.Origin, "%s is held by `between` and by a `sleeve` at once: keep the one that takes the clamping", p.Path)
	}
	cheeks := map[string]int{}
	for _, l := range p.Stack {
		c.layer(point, p, l)
		if l.Cylinder.Given() {
			cheeks[l.Cylinder.Value]++
		}
	}
	for _, name := range sorted(cheeks) {
		if end, ok := c.end(name); ok && end.Kind.Value == "fixed" {
			c.add(p.Origin, "%s has %s in its stack, and that end is fixed: it has no pin", p.Path, name)
		} else if ok && (end.Kind.Value == "fork") != (cheeks[name] == 2) {
			want := "once, as it is an eye"
			if end.Kind.Value == "fork" {
				want = "twice, once for each cheek, with what is in the fork between them"
			}
			c.add(p.Origin, "%s has %s %s in its stack; it stands there %s", p.Path, name, times(cheeks[name]), want)
		}
	}
}

// keepers demands a thread of a pin that a nut keeps or that is screwed in, and a part that it is screwed into.
func (c *checker) keepers(p Pivot) {
	wanted := "M…"
	if t, ok := standards.CoarseThread(p.Pin.Diameter.SI); ok {
		wanted = t.Name
	}
	screwed := slices.ContainsFunc(p.Stack, func(l Layer) bool { return l.Screwed.Value })
	for _, k := range p.Pin.Kept {
		switch {
		case k.Value != "nut" && k.Value != "lock nut" && k.Value != "thread":
		case !p.Pin.Thread.Given():
			c.add(k.Origin, "%s is %q, and the pin has no thread: add `thread: %q` to it", k.Path, k.Value, wanted)
		case k.Value == "thread" && !screwed:
			c.add(k.Origin, "%s is %q, and the pin is screwed into nothing: add `screwed: true` to the part of the stack that has its thread", k.Path, k.Value)
		}
	}
}

// setScrews wants a link in two parts: the screws hold the one that carries some of its points.
func (c *checker) setScrews(point string, pin Pin) {
	w := pin.SetScrews
	if !w.Given() {
		return
	}
	c.thread(w.Thread)
	link, isLink := c.m.Links[pin.TurnsWith.Value]
	if !isLink {
		c.add(w.Origin, "%s holds a lever on the pin, and the pin turns with `%s`, which is no link: let it turn with the link that the lever is a part of", w.Path, pin.TurnsWith.Value)
		return
	}
	var names []string
	for _, p := range link.Points {
		if p.Value != point {
			names = append(names, p.Value)
		}
	}
	for _, p := range w.Carries {
		c.named(p, names, "point of "+pin.TurnsWith.Value)
	}
	if len(w.Carries) > 0 && len(w.Carries) >= len(names) && len(names) > 0 {
		c.add(w.Origin, "%s carries all points of `%s` but its pivot: then nothing comes through the screws; name those on one side of them", w.Path, pin.TurnsWith.Value)
	}
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// end finds a cylinder's end by a name such as lift.rear.
func (c *checker) end(name string) (CylinderEnd, bool) {
	cylinder, end, _ := strings.Cut(name, ".")
	y, ok := c.m.Cylinders[cylinder]
	switch {
	case ok && end == "rear":
		return y.Rear, true
	case ok && end == "front":
		return y.Front, true
	}
	return CylinderEnd{}, false
}

func (c *checker) endNames() []string {
	var names []string
	for _, y := range sorted(c.m.Cylinders) {
		names = append(names, y+".front", y+".rear")
	}
	return names
}

func (c *checker) layer(point string, p Pivot, l Layer) {
	c.one(l.Origin, choice{"link", l.Link.Given()}, choice{"cylinder", l.Cylinder.Given()}, choice{"block", l.Block.Given()},
		choice{"washer", l.Washer.Given()}, choice{"spacer", l.Spacer.Given()})
	switch {
	case l.Link.Given() && c.named(l.Link, sorted(c.m.Links), "link"):
		c.onLink(l.Link, point)
		if !l.Thick.Given() {
			c.add(l.Link.Origin, "%s is a link without a thickness: add `thick: mm: 20`, along the pin", l.Path)
		}
	case l.Cylinder.Given() && c.named(l.Cylinder, c.endNames(), "cylinder's end"):
		if end, _ := c.end(l.Cylinder.Value); end.At.Value != point && !c.wrong[end.Path] && slices.Contains(sorted(c.m.Points), end.At.Value) {
			c.add(l.Cylinder.Origin, "%s has %s on the pin at `%s`, and the cylinder's end is at `%s`", p.Path, l.Cylinder.Value, point, end.At.Value)
		}
	case l.Block.Given():
		if !l.On.Given() {
			c.add(l.Origin, "%s is a block that is fixed to nothing: add `on: \"post\"`, the link that carries it", l.Path)
		} else if c.named(l.On, sorted(c.m.Links), "link") {
			c.onLink(l.On, point)
		}
	}
	if l.On.Given() && !l.Block.Given() {
		c.add(l.On.Origin, "%s is for a block; this layer is none: leave `on` out", l.On.Path)
	}
	if l.Thick.Given() && !l.Link.Given() {
		c.add(l.Thick.Origin, "%s has a thickness of its own: leave `thick` out", l.Path)
	}
	if l.Hole.Given() && !l.Link.Given() {
		c.add(l.Hole.Origin, "%s has a hole of its own: leave `hole` out", l.Path)
	}
	c.material(l.Material)
	for _, f := range []struct {
		name  string
		given Origin
	}{{"material", l.Material.Origin}, {"pressure", l.Pressure.Origin}, {"wall", l.Wall.Origin}} {
		if f.given.Given() && !l.Link.Given() {
			c.add(f.given, "%s is no link: leave `%s` out", l.Path, f.name)
		}
	}
	if l.Material.Given() && l.Pressure.Given() {
		c.add(l.Pressure.Origin, "%s has a `material` and a `pressure` that its bush may have: keep the one that the pin bears on", l.Path)
	}
	if l.Wall.Given() && l.Thick.Given() && 2*l.Wall.SI >= l.Thick.SI {
		c.add(l.Wall.Origin, "%s is %s, and the link is %s thick along the pin: two such walls leave no hollow between them", l.Wall.Path, l.Wall, l.Thick)
	}
	if l.Screwed.Value && !p.Pin.Thread.Given() {
		c.add(l.Screwed.Origin, "%s is screwed onto a pin without a thread: add `thread: \"M8\"` to the pin", l.Path)
	}
}

// onLink demands that a link goes through the point whose pivot names it.
func (c *checker) onLink(t Text, point string) {
	if c.wrong[t.Value] {
		return
	}
	for _, p := range c.m.Links[t.Value].Points {
		if p.Value == point {
			return
		}
	}
	c.add(t.Origin, "%s has the link `%s` on the pin at `%s`, and that link does not go through `%s`", t.Path, t.Value, point, point)
}

func (c *checker) load(l Load) {
	c.named(l.At, sorted(c.m.Points), "point")
	c.one(l.Origin, choice{"mass", l.Mass.Given()}, choice{"force", l.Force.Given()})
	if l.Force.Given() != l.Towards.Given() {
		c.add(l.Origin, "%s needs `force` and `towards` together: `force: N: 40, towards: deg: -90` points down", l.Path)
	}
}

// grip demands something to clamp of a screw with a nut, and of one that holds a part on a link.
func (c *checker) grip(f Fastening) {
	if slices.ContainsFunc(f.Stack, func(l Clamped) bool { return l.Part.Given() }) || len(f.Stack) > 0 && incomplete(f.Stack) {
		return
	}
	what := ""
	switch {
	case f.Into.Nut.Given():
		what = "its screw draws its nut against nothing"
	case f.Into.SlotNut.Given():
		what = "its screw draws its slot nut against nothing but the slot's lips"
	case len(f.Joints) > 0:
		what = "its `joints` hold a part on a link"
	default:
		return
	}
	c.add(f.Origin, "%s has no part in its stack, and %s: add what lies under the head, as in `stack: [{part: \"foot\", thick: mm: 5.5}]`", f.Path, what)
}

// incomplete says that a layer is neither washer nor part, which has its own sentence.
func incomplete(stack []Clamped) bool {
	return slices.ContainsFunc(stack, func(l Clamped) bool { return !l.Part.Given() && !l.Washer.Given() && !l.Spring.Given() })
}

func (c *checker) fastening(f Fastening) {
	if c.thread(f.Screw.Thread) && f.Screw.Head.Given() {
		if _, err := standards.HeadFor(f.Screw.Head.Value, f.Screw.Thread.Value); err != nil {
			c.add(f.Screw.Head.Origin, "%s: %v", f.Screw.Path, err)
		}
	}
	c.known(f.Screw.Class, f.Screw.Class.Value, standards.PropertyClassNames(), "property class")
	for _, l := range f.Stack {
		c.one(l.Origin, choice{"washer", l.Washer.Given()}, choice{"spring", l.Spring.Given()}, choice{"part", l.Part.Given()})
		if l.Part.Given() != l.Thick.Given() {
			c.add(l.Origin, "%s needs `part` and `thick` together: `part: \"foot\", thick: mm: 5.5`", l.Path)
		}
		c.material(l.Material)
		for _, f := range []choice{{"material", l.Material.Given()}, {"sleeve", l.Sleeve.Given()}} {
			if f.given && !l.Part.Given() && (l.Washer.Given() || l.Spring.Given()) {
				c.add(l.Origin, "%s is no part: leave `%s` out", l.Path, f.name)
			}
		}
	}
	c.grip(f)
	if r := f.Room; r.Given() && !r.Recess.Given() && !r.Beside.Given() && !r.Above.Given() {
		c.add(r.Origin, "%s says nothing that trammel can use: give it `recess`, `beside` or `above`", r.Path)
	}
	in := f.Into
	c.one(in.Origin, choice{"nut", in.Nut.Given()}, choice{"slotNut", in.SlotNut.Given()}, choice{"tapped", in.Tapped.Given()})
	if in.SlotNut.Given() != in.Profile.Given() {
		c.add(in.Origin, "%s needs `slotNut` and `profile` together: the nut pulls against the profile's lips", in.Path)
	}
	c.thread(in.SlotNut.Thread)
	c.thread(in.Tapped.Thread)
	if in.Nut.Given() {
		c.known(in.Nut.Class, in.Nut.Class.Value, standards.NutClassNames(), "nut class")
		thread := f.Screw.Thread
		if c.thread(in.Nut.Thread) && in.Nut.Thread.Given() {
			thread = in.Nut.Thread
		}
		if _, err := standards.NutFor(in.Nut.Style.Value, thread.Value); err != nil && !in.Nut.Height.Given() && slices.Contains(standards.ThreadNames(), thread.Value) {
			c.add(in.Nut.Style.Origin, "%s: %v; give its own `height`", in.Nut.Path, err)
		}
	}
	if t := in.Tapped; t.Given() {
		if !t.Tensile.Given() {
			c.tappable(t)
		}
		if row, err := standards.ThreadByName(t.Thread.Value); err == nil && t.Edge.Given() && t.Edge.SI <= row.Nominal/2 {
			c.add(t.Edge.Origin, "%s is %s, and the thread reaches %s from its middle: the hole lies outside the part", t.Edge.Path, t.Edge, Format(LengthDim, row.Nominal/2))
		}
		if t.Drilled.Given() && t.Depth.Given() && t.Drilled.SI < t.Depth.SI {
			c.add(t.Drilled.Origin, "%s is %s, and the thread is %s deep", t.Drilled.Path, t.Drilled, t.Depth)
		}
	}
	if s := in.Profile.Slot; s.Lip.Given() && s.Depth.Given() && s.Lip.SI >= s.Depth.SI {
		c.add(s.Lip.Origin, "%s is %s, and the whole slot is %s deep", s.Lip.Path, s.Lip, s.Depth)
	}
}

func (c *checker) air() {
	air := c.m.Air
	if !air.Given() {
		return
	}
	sources := 0
	for _, name := range sorted(air.Parts) {
		p := air.Parts[name]
		if _, clash := c.m.Cylinders[name]; clash {
			c.add(p.Origin, "%s has the name of a cylinder: give one of them another", p.Path)
		}
		c.ports(p.Ports)
		c.passage(p.Passage)
		c.passage(p.Vents)
		c.throttle(p)
		c.pilotPort(p)
		switch p.Kind.Value {
		case "compressor":
			sources++
			if p.Delivers.Given() && p.Displaces.Given() && p.Delivers.SI >= p.Displaces.SI {
				c.add(p.Delivers.Origin, "%s is %s of free air, and its pistons sweep %s: it delivers less than that, 0.5 to 0.7 of it", p.Delivers.Path, p.Delivers, p.Displaces)
			}
			if p.Switches.On.Given() && p.Switches.Off.Given() && p.Switches.On.SI >= p.Switches.Off.SI {
				c.add(p.Switches.On.Origin, "%s: it switches on at %s and off at %s; on lies below off", p.Switches.Path, p.Switches.On, p.Switches.Off)
			}
		case "regulator":
			if !p.Set.Given() {
				c.add(p.Origin, "%s has no set pressure: add `set: bar: 5`", p.Path)
			}
			if p.Set.Given() && p.Range.To.SI > p.Range.From.SI && p.Set.SI > p.Range.To.SI {
				c.add(p.Set.Origin, "%s is %s, and its spring reaches to %s: pressures are gauge here, above that of the room; an absolute one is 1.013 bar more", p.Set.Path, p.Set, p.Range.To)
			}
			if p.Range.From.Given() && p.Range.To.Given() && p.Range.From.SI >= p.Range.To.SI {
				c.add(p.Range.From.Origin, "%s goes from %s to %s", p.Range.Path, p.Range.From, p.Range.To)
			}
		}
	}
	if len(air.Parts) == 0 {
		return // which has its own sentence
	}
	if sources == 0 {
		c.add(air.Origin, "the air comes from nowhere: add a compressor to `air.parts`")
	}
	for _, v := range air.Stop {
		if !c.named(v, sorted(air.Parts), "part") {
			continue
		}
		if p := air.Parts[v.Value]; p.Kind.Value != "valve" {
			c.add(v.Origin, "%s names `%s`, a %s: the stop takes the current from valves", v.Path, v.Value, p.Kind.Value)
		} else if p.Moved.Value != "coil" {
			c.add(v.Origin, "%s names `%s`, which no coil moves: the stop takes the current from coils", v.Path, v.Value)
		}
	}
	for _, name := range sorted(air.Start) {
		c.start(name, air.Start[name])
	}
	used := map[string]string{}
	for _, name := range sorted(air.Runs) {
		c.run(name, air.Runs[name], used)
	}
}

// start looks whether a coil brings about the position that the controller gives a valve.
func (c *checker) start(valve string, position Text) {
	p, ok := c.m.Air.Parts[valve]
	switch {
	case !ok:
		c.add(position.Origin, "%s names the part `%s`, which does not exist: %s", position.Path, valve, meant(valve, sorted(c.m.Air.Parts)))
		return
	case p.Kind.Value != "valve":
		c.add(position.Origin, "%s names a %s: the controller switches valves", position.Path, p.Kind.Value)
		return
	case p.Moved.Value != "coil":
		c.add(position.Origin, "%s names a valve that no coil moves: the controller switches coils", position.Path)
		return
	}
	coils := p.Coils()
	if !slices.Contains(coils, position.Value) {
		c.add(position.Origin, "%s is `%s`, and the coils of this %s bring about %s", position.Path, position.Value, p.Function.Value, orList(coils))
	}
}

// throttle looks whether a flow control is open further than it can be.
func (c *checker) throttle(p AirPart) {
	t := p.Throttles
	if _, ok := p.Ports[t.Enters.Value]; t.Enters.Given() && !ok {
		c.add(t.Enters.Origin, "%s names port `%s`, and the part has %s", t.Enters.Path, t.Enters.Value, portList(p.Ports))
	}
	if free := p.Passage.C; t.Set.Given() && free.Given() && t.Set.SI > free.SI {
		c.add(t.Set.Origin, "%s is %s, and the way that it leaves free lets through %s: throttled, it is less", t.Set.Path, t.Set, free)
	}
}

// pilotPort demands that an external pilot has its port, on a valve that a coil moves.
func (c *checker) pilotPort(p AirPart) {
	if p.Pilot.Given() && p.Moved.Value != "coil" {
		c.add(p.Pilot.Origin, "%s is of a coil, and this valve is moved by %s: leave it out", p.Pilot.Path, p.Moved.Value)
	} else if _, has := p.Ports[p.PilotPort()]; p.Pilot.External.Value && !has {
		c.add(p.Pilot.External.Origin, "%s gets its air by port %s, and the valve has %s", p.Pilot.Path, p.PilotPort(), portList(p.Ports))
	}
}

func (c *checker) passage(p Passage) {
	if p.Given() {
		c.one(p.Origin, choice{"C", p.C.Given()}, choice{"nominal", p.Nominal.Given()}, choice{"Kv", p.Kv.Given()}, choice{"Cv", p.Cv.Given()})
	}
}

func (c *checker) run(name string, r Run, used map[string]string) {
	for i, end := range []Text{r.From, r.To} {
		part, port, _ := strings.Cut(end.Value, ".")
		ports, ok := c.portsOf(part)
		if !ok {
			c.add(end.Origin, "%s names the part `%s`, which does not exist: %s", end.Path, part, meant(part, append(sorted(c.m.Air.Parts), sorted(c.m.Cylinders)...)))
			continue
		}
		p, ok := ports[port]
		if !ok && ports == nil && (c.m.Cylinders[part].Standard.Given() || c.m.Air.Parts[part].Kind.Value == "" && !c.m.Cylinders[part].Given()) {
			continue // the part itself is not known, which has its own sentence
		}
		if !ok {
			c.add(end.Origin, "%s names port `%s` of `%s`, which has %s", end.Path, port, part, portList(ports))
			continue
		}
		if other, twice := used[end.Value]; twice {
			c.add(end.Origin, "the runs %s (%s) and %s both end at `%s`: a port takes one run; branch with a manifold", other, c.m.Air.Runs[other].At, name, end.Value)
		}
		used[end.Value] = name
		fitting, side := r.Fittings.From, "from"
		if i == 1 {
			fitting, side = r.Fittings.To, "to"
		}
		if r.Tube.Given() && p.Thread.Given() && !fitting.Given() {
			c.add(end.Origin, "%s brings a tube to the thread of `%s` without a fitting: add `fittings: %s: bin.…`", r.Path, end.Value, side)
		}
		if fitting.Given() {
			c.passage(fitting.Passage)
			c.known(fitting.Thread, fitting.Thread.Value, standards.PortThreadNames(), "port thread")
		}
		if !r.Tube.Given() && p.Tube.Given() {
			c.add(end.Origin, "%s screws something into `%s`, which takes a tube: add the tube", r.Path, end.Value)
		}
	}
	if r.From.Value == r.To.Value && r.From.Given() {
		c.add(r.To.Origin, "%s runs from `%s` to itself", r.Path, r.From.Value)
	}
	if t := r.Tube; t.Outer.Given() && t.Inner.Given() {
		if t.Inner.SI >= t.Outer.SI {
			c.add(t.Inner.Origin, "%s is %s, and the tube's outside is %s", t.Inner.Path, t.Inner, t.Outer)
		}
		if len(t.Ratings) == 0 && !t.Burst.Given() {
			c.add(t.Origin, "%s has neither `ratings` nor a `burst` pressure: add `ratings: [{at: degC: 20, bar: 10}]`", t.Path)
		}
	}
}

func (c *checker) portsOf(part string) (map[string]Port, bool) {
	if p, ok := c.m.Air.Parts[part]; ok {
		return p.Ports, true
	}
	y, ok := c.m.Cylinders[part]
	return y.Ports, ok
}

func portList(ports map[string]Port) string {
	if len(ports) == 0 {
		return "no ports: add `ports`"
	}
	return "ports " + andList(sorted(ports))
}

func (c *checker) zone(z Zone) {
	for _, p := range z.Reaches {
		c.named(p, sorted(c.m.Points), "point")
	}
	c.named(z.Stays.From, sorted(c.m.Points), "point")
	if len(z.Reaches) == 0 && !z.Stays.Given() && len(z.Area) == 0 {
		c.add(z.Origin, "%s says neither what these people reach nor where they are: add `reaches: [\"T\"]`, `stays: {from: \"A\", away: mm: 900}` or an `area`", z.Path)
	}
	if len(z.Area) > 0 {
		c.zoneArea(z)
	}
	g := z.Guard
	switch kind := g.Kind.Value; {
	case !g.Given():
	case kind == "mesh" && !g.Opening.Given():
		c.add(g.Kind.Origin, "%s is a mesh without an `opening`: add how wide its openings are, as in `opening: mm: 20`", g.Path)
	case (kind == "gate" || kind == "two hands") && !g.Stops.Given():
		c.add(g.Kind.Origin, "%s is of kind %q and does not say in which time the machine stands still: add `stops: s: 0.3`, as measured", g.Path, kind)
	case (kind == "fixed" || kind == "mesh") && g.Stops.Given():
		c.add(g.Stops.Origin, "%s is for kind \"gate\" or \"two hands\": a guard of kind %q stops nothing", g.Stops.Path, kind)
	case kind == "two hands" && g.Opening.Given():
		c.add(g.Opening.Origin, "%s is given to a control for two hands, which has no openings: leave it out, or add a guard of kind \"mesh\" in a zone of its own", g.Opening.Path)
	case kind == "two hands" && g.Height.Given():
		c.add(g.Height.Origin, "%s is given to a control for two hands, over which nobody has to reach: leave it out, or add a guard of another kind in a zone of its own", g.Height.Path)
	case g.Height.Given() && !g.Floor.Given():
		c.add(g.Height.Origin, "%s is counted from what people stand on, and nothing says where that is in the drawing: add `floor: mm: -850`", g.Height.Path)
	case g.Floor.Given() && !g.Height.Given():
		c.add(g.Floor.Origin, "%s is where the `height` of the guard is counted from, and there is none: add `height: mm: 1400`, or leave it out", g.Floor.Path)
	case kind == "two hands" && z.Who.Value != "builder":
		c.add(g.Kind.Origin, "%s keeps the hands of the one who works it, and %s has a %s in it: say what keeps others out", g.Path, z.Path, z.Who.Value)
	}
}

// zoneArea reports an area whose sides cross, or that the machine stands in.
func (c *checker) zoneArea(z Zone) {
	n := len(z.Area)
	side := func(p, q, r Point) float64 {
		return (q.X.SI-p.X.SI)*(r.Y.SI-p.Y.SI) - (q.Y.SI-p.Y.SI)*(r.X.SI-p.X.SI)
	}
	for i, p := range z.Area {
		q := z.Area[(i+1)%n]
		for k := range n {
			r, s := z.Area[k], z.Area[(k+1)%n]
			apart := k == i || (k+1)%n == i || (i+1)%n == k
			if !apart && side(p, q, r)*side(p, q, s) <= 0 && side(r, s, p)*side(r, s, q) <= 0 && k > i {
				c.add(p.Origin, "the sides of %s.area from corner %d to %d and from %d to %d cross or touch: give the corners in their order around it", z.Path, i+1, (i+1)%n+1, k+1, (k+1)%n+1)
				return
			}
		}
	}
	doubled := 0.0
	for i := 1; i+1 < n; i++ {
		doubled += side(z.Area[0], z.Area[i], z.Area[i+1])
	}
	if math.Abs(doubled) < 1e-8 {
		c.add(z.Area[0].Origin, "the corners of %s.area enclose no area: give three or more that do not lie on a line", z.Path)
		return
	}
	for _, name := range sorted(c.m.Links) {
		if !c.m.Links[name].Ground.Value {
			continue
		}
		for _, text := range c.m.Links[name].Points {
			p, inside := c.m.Points[text.Value], false
			for i, a := range z.Area {
				b := z.Area[(i+1)%n]
				if (a.Y.SI > p.Y.SI) != (b.Y.SI > p.Y.SI) && p.X.SI < a.X.SI+(p.Y.SI-a.Y.SI)/(b.Y.SI-a.Y.SI)*(b.X.SI-a.X.SI) {
					inside = !inside
				}
			}
			if inside {
				c.add(z.Area[0].Origin, "%s.area has point `%s` in it, where %s stands: people are beside the machine; draw the area around where they are", z.Path, text.Value, name)
				return
			}
		}
	}
}

func (c *checker) firstAir(f FirstAir) {
	for i, p := range f.Steps {
		if i > 0 && p.SI <= f.Steps[i-1].SI {
			c.add(p.Origin, "%s is %s, after a step of %s: the pressure of a first test rises from step to step", p.Path, p, f.Steps[i-1])
		}
	}
	var isolators []string
	for _, name := range sorted(c.m.Air.Parts) {
		if c.m.Air.Parts[name].Kind.Value == "isolator" {
			isolators = append(isolators, name)
		}
	}
	c.named(f.Isolator, isolators, "isolator")
}
