package drawing

import (
	"math"

	"trammel.example/schema"
)

// hangingHeight is the room that a part takes which hangs on a port.
const hangingHeight = 40.0

// symbols gives each part its symbol and says where its ports are. A part with a port on either side of it stands with the one that gets
// the air below.
func (d *diagram) symbols() {
	for _, name := range keys(d.nodes) {
		n := d.nodes[name]
		if y, ok := d.m.Cylinders[name]; ok {
			d.cylinderSymbol(n, y)
		} else {
			d.partSymbol(n, d.m.Air.Parts[name])
		}
		for _, h := range d.hung[name] {
			if n.ports[h.port].way == down {
				n.below = hangingHeight
			} else {
				n.above = hangingHeight
			}
		}
		says := short(name, 18)
		n.writing = max(n.writing, 8+6.2*float64(len([]rune(says))))
		paint := n.paint
		n.paint = func(p *pen, x, y float64) {
			paint(p, x, y)
			p.text(x+n.halfWidth+max(0, n.shift)+5, y+4, "start", "small strong", says)
		}
	}
}

// feeding is the port of a part with two by which it gets its air, and the other.
func (d *diagram) feeding(name string) (in, out string) {
	for _, t := range d.tubes {
		if t.b == name && (t.portB == "1" || t.portB == "2") {
			if t.portB == "2" {
				return "2", "1"
			}
			return "1", "2"
		}
	}
	for _, t := range d.tubes {
		if t.a == name && t.portA == "1" {
			return "2", "1"
		}
	}
	return "1", "2"
}

func (d *diagram) partSymbol(n *node, part schema.AirPart) {
	in, out := d.feeding(n.name)
	inline := func(half float64) {
		n.halfWidth, n.halfHeight = half, half
		n.ports[in], n.ports[out] = connection{0, half, down}, connection{0, -half, up}
	}
	switch part.Kind.Value {
	case "compressor":
		n.halfWidth, n.halfHeight = 20, 20
		n.ports["1"] = connection{0, -20, up}
		n.paint = compressorSymbol
	case "receiver":
		n.halfWidth, n.halfHeight = 34, 16
		n.joined = true
		d.manyPorts(n, part)
		n.paint = receiverSymbol
	case "filter":
		inline(18)
		n.paint = filterSymbol
	case "dryer":
		inline(18)
		n.paint = dryerSymbol
	case "lubricator":
		inline(18)
		n.paint = lubricatorSymbol
	case "check valve":
		inline(14)
		n.paint = func(p *pen, x, y float64) {
			p.line("thin", x, y-14, x, y-4.5)
			p.line("thin", x, y+4.5, x, y+14)
			seatedBall(p, x, y, in == "1")
		}
	case "pilot-operated check valve":
		inline(20)
		n.ports["12"] = connection{13, 20, down}
		n.paint = func(p *pen, x, y float64) { pilotCheckSymbol(p, x, y, in == "1") }
	case "shuttle valve":
		n.halfWidth, n.halfHeight = 26, 20
		n.ports["1"], n.ports["3"], n.ports["2"] = connection{-19, 20, down}, connection{19, 20, down}, connection{0, -20, up}
		n.paint = shuttleSymbol
	case "regulator":
		inline(18)
		n.halfWidth = 40
		n.paint = func(p *pen, x, y float64) { regulatorSymbol(p, x, y, part.Relieving.Value, in == "1") }
		if part.Set.Given() {
			n.writing = 90
		}
	case "flow control":
		inline(24)
		free := map[string]string{"1": "2", "2": "1"}[part.Throttles.Enters.Value] // where the air enters that passes freely
		n.paint = func(p *pen, x, y float64) { flowControlSymbol(p, x, y, free == in) }
	case "soft start":
		inline(22)
		n.paint = softStartSymbol
	case "isolator":
		d.isolatorSymbol(n, part, in, out)
	case "quick exhaust":
		n.halfWidth, n.halfHeight = 22, 22
		n.ports["1"], n.ports["2"], n.ports["3"] = connection{-10, 22, down}, connection{-10, -22, up}, connection{12, 22, down}
		n.paint = quickExhaustSymbol
	case "manifold":
		n.halfHeight = 5
		n.joined = true
		d.manyPorts(n, part)
		n.paint = func(p *pen, x, y float64) {
			p.rect("void", x-n.halfWidth, y-5, 2*n.halfWidth, 10)
		}
	case "valve":
		d.valveSymbol(n, part)
	default:
		inline(16)
		// A kind that has no symbol here yet is named in words: the part, and what it is.
		n.writing = 150
		n.paint = func(p *pen, x, y float64) {
			p.rect("void", x-16, y-16, 32, 32)
			p.text(x+21, y+17, "start", "small", part.Kind.Value)
		}
	}
	d.unseenPorts(n)
}

// unseenPorts gives a place to ports that a tube uses and the symbol does not show, so that no tube is lost.
func (d *diagram) unseenPorts(n *node) {
	for _, t := range d.tubes {
		for _, end := range [][2]string{{t.a, t.portA}, {t.b, t.portB}} {
			if _, known := n.ports[end[1]]; end[0] == n.name && !known {
				n.ports[end[1]] = connection{-n.halfWidth, n.halfHeight, down}
			}
		}
	}
	for _, h := range d.hung[n.name] {
		if _, known := n.ports[h.port]; !known {
			n.ports[h.port] = connection{n.halfWidth, n.halfHeight, down}
		}
	}
}

// manyPorts sets the ports of a part whose ports are all joined: those that get the air below, the others above.
func (d *diagram) manyPorts(n *node, part schema.AirPart) {
	var below, above []string
	for _, port := range keys(part.Ports) {
		fed := false
		for _, t := range d.tubes {
			fed = fed || t.b == n.name && t.portB == port
		}
		if fed {
			below = append(below, port)
		} else {
			above = append(above, port)
		}
	}
	const apart = 34.0
	n.halfWidth = max(n.halfWidth, apart/2*float64(max(len(below), len(above), 1)))
	for i, port := range below {
		n.ports[port] = connection{(float64(i) - float64(len(below)-1)/2) * apart, n.halfHeight, down}
	}
	for i, port := range above {
		n.ports[port] = connection{(float64(i) - float64(len(above)-1)/2) * apart, -n.halfHeight, up}
	}
}

func compressorSymbol(p *pen, x, y float64) {
	p.circle("void", x, y, 20)
	// Hollow, since it is air, and pointing outwards, since it delivers it.
	p.path("void", true, [2]float64{x, y - 20}, [2]float64{x - 9, y - 5}, [2]float64{x + 9, y - 5})
}

func receiverSymbol(p *pen, x, y float64) {
	p.tag("rect", "class", "void", "x", x-34, "y", y-16, "width", 68.0, "height", 32.0, "rx", 16.0)
}

func filterSymbol(p *pen, x, y float64) {
	conditionerSymbol(p, x, y)
	p.tag("line", "class", "thin", "stroke-dasharray", "4 3", "x1", x-18, "y1", y, "x2", x+18, "y2", y)
}

// conditionerSymbol is what all that treats air has in common: a square on its corner, with the ports at corners.
func conditionerSymbol(p *pen, x, y float64) {
	p.path("void", true, [2]float64{x, y - 18}, [2]float64{x + 18, y}, [2]float64{x, y + 18}, [2]float64{x - 18, y})
}

// dryerSymbol has a line along the flow on either side of it.
func dryerSymbol(p *pen, x, y float64) {
	conditionerSymbol(p, x, y)
	for _, side := range []float64{-1, 1} {
		p.line("thin dryer", x+9*side, y-9, x+9*side, y+9)
	}
}

// lubricatorSymbol has a short line across the flow, from the corner beside it inwards: the oil that comes in.
func lubricatorSymbol(p *pen, x, y float64) {
	conditionerSymbol(p, x, y)
	p.line("thin oil", x-18, y, x-7, y)
}

// arrow draws a line with a full head at its second end.
func arrow(p *pen, x1, y1, x2, y2 float64) {
	p.line("thin", x1, y1, x2, y2)
	length := math.Hypot(x2-x1, y2-y1)
	ux, uy := (x2-x1)/length, (y2-y1)/length
	p.path("full", true, [2]float64{x2, y2}, [2]float64{x2 - 7*ux - 3*uy, y2 - 7*uy + 3*ux}, [2]float64{x2 - 7*ux + 3*uy, y2 - 7*uy - 3*ux})
}

// coil spring from a place to the right.
func springSymbol(p *pen, x, y, long float64) {
	points := [][2]float64{{x, y}}
	for i := range 5 {
		points = append(points, [2]float64{x + long*(float64(i)+0.5)/5, y + 6*float64(i%2*2-1)})
	}
	p.path("thin", false, append(points, [2]float64{x + long, y})...)
}

func regulatorSymbol(p *pen, x, y float64, relieving, upwards bool) {
	p.rect("void", x-18, y-18, 36, 36)
	to := -18.0
	if !upwards {
		to = 18
	}
	arrow(p, x, y-to, x, y+to) // open at rest: in line with its ports
	springSymbol(p, x+18, y, 18)
	arrow(p, x+16, y+13, x+38, y-13) // adjusted
	// Its outlet acts against the spring.
	p.tag("path", "class", "thin", "stroke-dasharray", "4 3", "d", way(false, [2]float64{x, y + to*1.4}, [2]float64{x - 26, y + to*1.4}, [2]float64{x - 26, y}, [2]float64{x - 18, y}))
	p.line("thin", x, y+to, x, y+to*1.4)
	if relieving {
		exhaustSymbol(p, x-9, y-to, -to/18)
	}
}

// exhaustSymbol is the open triangle of air that goes out, from a port on downwards (1) or upwards (-1).
func exhaustSymbol(p *pen, x, y, side float64) {
	p.path("void", true, [2]float64{x - 5, y}, [2]float64{x + 5, y}, [2]float64{x, y + 8*side})
}

// flowControlSymbol is a throttle that is set, beside it the check valve by which the other way is free: upwards or downwards.
func flowControlSymbol(p *pen, x, y float64, freeUpwards bool) {
	p.tag("rect", "class", "void", "stroke-dasharray", "6 3", "x", x-24, "y", y-24, "width", 48.0, "height", 48.0)
	const aside = 12.0
	p.path("thin", false, [2]float64{x, y - 24}, [2]float64{x, y - 17}, [2]float64{x - aside, y - 17}, [2]float64{x - aside, y + 17}, [2]float64{x, y + 17}, [2]float64{x, y + 24})
	p.path("thin", false, [2]float64{x, y - 17}, [2]float64{x + aside, y - 17}, [2]float64{x + aside, y + 17}, [2]float64{x, y + 17})
	p.tag("path", "class", "thin throttle", "d", "M"+num(x-aside-6)+" "+num(y-8)+"q6 8 0 16M"+num(x-aside+6)+" "+num(y-8)+"q-6 8 0 16")
	arrow(p, x-aside-9, y+10, x-aside+9, y-10)
	seatedBall(p, x+aside, y, freeUpwards)
}

// seatedBall is a check valve: the ball lies on the side that the free air goes to, in a seat whose point is where it comes from.
func seatedBall(p *pen, x, y float64, freeUpwards bool) {
	side := 1.0
	if !freeUpwards {
		side = -1
	}
	p.path("thin seat", false, [2]float64{x - 7, y - 4*side}, [2]float64{x, y + 4*side}, [2]float64{x + 7, y - 4*side})
	p.circle("void ball", x, y-4*side, 4.5)
}

// pilotCheckSymbol has in one frame a check valve and the dashed line of the pilot, which comes to the point of the seat and lifts the ball.
func pilotCheckSymbol(p *pen, x, y float64, freeUpwards bool) {
	p.tag("rect", "class", "void", "stroke-dasharray", "8 3 2 3", "x", x-20, "y", y-20, "width", 40.0, "height", 40.0)
	p.line("thin", x, y-20, x, y-4.5)
	p.line("thin", x, y+4.5, x, y+20)
	seatedBall(p, x, y, freeUpwards)
	to := 5.0
	if !freeUpwards {
		to = -5
	}
	p.tag("path", "class", "thin pilot", "stroke-dasharray", "4 3", "d", way(false, [2]float64{x + 13, y + 20}, [2]float64{x + 13, y + to}, [2]float64{x, y + to}))
}

// shuttleSymbol has one ball between two seats, an inlet behind each, and the outlet between them.
func shuttleSymbol(p *pen, x, y float64) {
	p.rect("void", x-26, y-20, 52, 40)
	for _, side := range []float64{-1, 1} {
		p.path("thin", false, [2]float64{x + 19*side, y + 20}, [2]float64{x + 19*side, y}, [2]float64{x + 14*side, y})
		p.path("thin seat", false, [2]float64{x + 6*side, y - 7}, [2]float64{x + 14*side, y}, [2]float64{x + 6*side, y + 7})
	}
	p.line("thin", x, y, x, y-20)
	p.circle("void ball", x-6, y, 4.5)
}

func softStartSymbol(p *pen, x, y float64) {
	p.tag("rect", "class", "void", "stroke-dasharray", "6 3", "x", x-22, "y", y-22, "width", 44.0, "height", 44.0)
	arrow(p, x, y+22, x, y-22)
	p.tag("path", "class", "thin throttle", "d", "M"+num(x-8)+" "+num(y-8)+"q6 8 0 16M"+num(x+8)+" "+num(y-8)+"q-6 8 0 16")
}

func quickExhaustSymbol(p *pen, x, y float64) {
	p.rect("void", x-22, y-22, 44, 44)
	p.path("thin", false, [2]float64{x - 10, y - 22}, [2]float64{x - 10, y - 6})
	p.path("thin", false, [2]float64{x - 10, y + 22}, [2]float64{x - 10, y + 6})
	p.path("thin", false, [2]float64{x - 10, y - 12}, [2]float64{x + 12, y - 12}, [2]float64{x + 12, y + 22})
	p.path("thin seat", false, [2]float64{x - 16, y + 2}, [2]float64{x - 10, y + 9}, [2]float64{x - 4, y + 2})
	p.circle("void ball", x-10, y+1, 4.5)
	p.path("thin seat", false, [2]float64{x + 6, y - 2}, [2]float64{x + 12, y - 9}, [2]float64{x + 18, y - 2})
}

// hang draws a part that ends a way at the port that it is fitted to.
func (d *diagram) hang(p *pen, n *node, h hanging) {
	c := n.ports[h.port]
	x, y, side := n.x+c.x, n.y+c.y, 1.0
	if c.way == up {
		side = -1
	}
	p.open("g", "data-part", h.part)
	p.open("title")
	p.b.WriteString(escape(h.part + " on " + n.name + "." + h.port))
	p.close("title")
	p.line("thin", x, y, x, y+14*side)
	end := y + 14*side
	switch d.m.Air.Parts[h.part].Kind.Value {
	case "silencer":
		top := min(end, end+14*side)
		p.rect("void", x-7, top, 14, 14)
		for i := range 3 {
			p.line("thin", x-7, top+3.5*float64(i+1), x+7, top+3.5*float64(i+1))
		}
		exhaustSymbol(p, x, end+14*side, side)
	case "plug":
		p.path("line", false, [2]float64{x - 5, end - 5}, [2]float64{x + 5, end + 5})
		p.path("line", false, [2]float64{x - 5, end + 5}, [2]float64{x + 5, end - 5})
	case "gauge":
		p.circle("void", x, end+10*side, 10)
		arrow(p, x-6, end+10*side+6, x+6, end+10*side-6)
	case "relief valve":
		top := min(end, end+18*side)
		p.rect("void", x-9, top, 18, 18)
		arrow(p, x+4, end, x+4, end+18*side) // beside the ports: shut at rest
		springSymbol(p, x+9, top+9, 12)
		exhaustSymbol(p, x, end+18*side, side)
	case "flow control": // a throttle into the open
		p.tag("path", "class", "thin throttle", "d", "M"+num(x-6)+" "+num(end-2*side)+"q6 "+num(8*side)+" 0 "+num(16*side)+"M"+num(x+6)+" "+num(end-2*side)+"q-6 "+num(8*side)+" 0 "+num(16*side))
		p.line("thin", x, end, x, end+14*side)
		arrow(p, x-9, end+12, x+9, end)
		exhaustSymbol(p, x, end+14*side, side)
	}
	p.close("g")
}

// cylinderSymbol is a cylinder with its rod in, and the spring of one that air moves one way only.
func (d *diagram) cylinderSymbol(n *node, y schema.Cylinder) {
	n.halfWidth, n.halfHeight = 62, 20
	n.ports["rear"], n.ports["front"] = connection{-40, 20, down}, connection{40, 20, down}
	single := y.Acting.Value == "single"
	pulls := single && !y.Ports["rear"].Given() && y.Ports["front"].Given()
	n.paint = func(p *pen, x, cy float64) {
		p.rect("void", x-50, cy-20, 100, 40)
		piston := x - 28
		if pulls {
			piston = x + 24
		}
		p.rect("void", piston-4, cy-20, 8, 40)
		p.rect("void", piston+4, cy-4, x+62-piston-4, 8)
		if single && pulls {
			springSymbol(p, x-50, cy, piston-4-(x-50))
		} else if single {
			springSymbol(p, piston+4, cy-11, x+50-piston-4)
		}
	}
	if pulls {
		delete(n.ports, "rear")
	} else if single {
		delete(n.ports, "front")
	}
	d.unseenPorts(n)
}

// A way through one position of a valve: from one port to another, or shut where it leads nowhere.
type passage struct{ from, to string }

// positions are what each box of a valve shows, from left to right, the position that it is, and which of them is the rest.
func positions(v schema.AirPart) (boxes [][]passage, names []string, rest int) {
	open, shut := []passage{{"1", "2"}}, []passage{{"1", ""}, {"2", ""}}
	switch v.Function.Value {
	case "2/2":
	case "3/2":
		open, shut = []passage{{"1", "2"}, {"3", ""}}, []passage{{"2", "3"}, {"1", ""}}
	case "5/2":
		return [][]passage{{{"1", "4"}, {"2", "3"}, {"5", ""}}, {{"1", "2"}, {"4", "5"}, {"3", ""}}}, []string{"14", "12"}, 1
	case "5/3":
		centre := map[string][]passage{
			"closed": {{"1", ""}, {"2", ""}, {"3", ""}, {"4", ""}, {"5", ""}}, "exhaust": {{"4", "5"}, {"2", "3"}, {"1", ""}}, "pressure": {{"1", "4"}, {"1", "2"}, {"5", ""}, {"3", ""}},
		}[v.Centre.Value]
		return [][]passage{{{"1", "4"}, {"2", "3"}, {"5", ""}}, centre, {{"1", "2"}, {"4", "5"}, {"3", ""}}}, []string{"14", "centre", "12"}, 1
	}
	if v.Rest.Value == "open" {
		return [][]passage{shut, open}, []string{"10", "12"}, 1
	}
	return [][]passage{open, shut}, []string{"12", "10"}, 1
}

// places are the ports of a box from its middle.
func places(function string) (map[string]connection, float64) {
	const h = 20.0
	switch function {
	case "2/2":
		return map[string]connection{"1": {0, h, down}, "2": {0, -h, up}}, 20
	case "3/2":
		return map[string]connection{"1": {-step / 2, h, down}, "3": {step / 2, h, down}, "2": {-step / 2, -h, up}}, 26
	}
	return map[string]connection{"5": {-step, h, down}, "1": {0, h, down}, "3": {step, h, down}, "4": {-step / 2, -h, up}, "2": {step / 2, -h, up}}, 40
}

func (d *diagram) valveSymbol(n *node, v schema.AirPart) {
	boxes, names, rest := positions(v)
	ports, half := places(v.Function.Value)
	d.boxes(n, boxes, rest, d.box(n.name, names, rest), ports, half)
	n.writing = 2*half + 110 // the boxes may be shifted
	leftEnd, rightEnd := -half*float64(len(boxes)), half*float64(len(boxes))
	paint := n.paint
	n.paint = func(p *pen, x, y float64) {
		paint(p, x, y)
		x += n.shift
		drive := func(at, side float64) {
			switch v.Moved.Value {
			case "hand":
				handSymbol(p, x+at, y, side)
			case "air":
				pilotSymbol(p, x+at, y, side)
			default:
				coilSymbol(p, x+at, y, side)
			}
		}
		drive(leftEnd, -1)
		switch {
		case v.Function.Value == "5/3":
			drive(rightEnd, 1)
			springSymbol(p, x+leftEnd-16, y+14, 16)
			springSymbol(p, x+rightEnd, y+14, 16)
		case v.Returns.Value == "spring":
			springSymbol(p, x+rightEnd, y, 18)
		case v.Returns.Value == "air":
			pilotSymbol(p, x+rightEnd, y, 1)
		case v.Moved.Value == "hand":
			detentSymbol(p, x+rightEnd, y)
		default:
			drive(rightEnd, 1)
		}
	}
	n.halfWidth += 24
}

// isolatorSymbol is a hand valve that stays as it is left, open in service, and lets out what is behind it where it can.
func (d *diagram) isolatorSymbol(n *node, part schema.AirPart, in, out string) {
	ports, half := places("2/2")
	boxes := [][]passage{{{"1", ""}, {"2", ""}}, {{"1", "2"}}}
	if part.Exhausts.Value {
		ports, half = places("3/2")
		boxes = [][]passage{{{"2", "3"}, {"1", ""}}, {{"1", "2"}, {"3", ""}}}
	}
	d.boxes(n, boxes, 1, 1, ports, half)
	if in == "2" {
		n.ports["1"], n.ports["2"] = n.ports["2"], n.ports["1"]
	}
	end := 2 * half
	paint := n.paint
	n.paint = func(p *pen, x, y float64) {
		paint(p, x, y)
		handSymbol(p, x-end, y, -1)
		detentSymbol(p, x+end, y)
		if part.Exhausts.Value {
			q := ports["3"]
			exhaustSymbol(p, x+half+q.x, y+q.y, 1)
		}
	}
	n.halfWidth += 24
}

// boxes sets the squares of a valve beside each other. The tubes stay where the one of the rest is; the one that the valve is at is shifted
// to them.
func (d *diagram) boxes(n *node, boxes [][]passage, rest, at int, ports map[string]connection, half float64) {
	const h = 20.0
	count := float64(len(boxes))
	middle := func(i int) float64 { return (2*float64(i) - count + 1) * half }
	for port, c := range ports {
		n.ports[port] = connection{middle(rest) + c.x, c.y, c.way}
	}
	n.halfWidth, n.halfHeight = half*count, h
	n.shift = middle(rest) - middle(at)
	n.paint = func(p *pen, x, y float64) {
		for i, box := range boxes {
			cx := x + n.shift + middle(i)
			p.rect("void", cx-half, y-h, 2*half, 2*h)
			for _, w := range box {
				a := ports[w.from]
				if w.to != "" {
					b := ports[w.to]
					arrow(p, cx+a.x, y+a.y, cx+b.x, y+b.y)
					continue
				}
				inner := y + a.y*0.6
				p.line("thin", cx+a.x, y+a.y, cx+a.x, inner)
				p.line("thin", cx+a.x-5, inner, cx+a.x+5, inner)
			}
		}
	}
}

// coilSymbol is one winding: a rectangle with a slanting line.
func coilSymbol(p *pen, x, y, side float64) {
	x0 := min(x, x+20*side)
	p.rect("void", x0, y-9, 20, 18)
	p.line("thin coil", x0+10-5*side, y+9, x0+10+5*side, y-9)
}

// handSymbol is that of any muscular control: a bar across the end of a stem.
func handSymbol(p *pen, x, y, side float64) {
	p.line("thin", x, y-4, x+14*side, y-4)
	p.line("thin", x, y+4, x+14*side, y+4)
	p.line("line hand", x+16*side, y-10, x+16*side, y+10)
}

// pilotSymbol is control by air: a hollow triangle that points at the valve.
func pilotSymbol(p *pen, x, y, side float64) {
	p.path("void pilot", true, [2]float64{x, y}, [2]float64{x + 10*side, y - 6}, [2]float64{x + 10*side, y + 6})
	p.tag("line", "class", "thin", "stroke-dasharray", "4 3", "x1", x+10*side, "y1", y, "x2", x+22*side, "y2", y)
}

// detentSymbol is a catch that keeps the valve where it was left.
func detentSymbol(p *pen, x, y float64) {
	p.path("thin detent", false, [2]float64{x, y - 4}, [2]float64{x + 4, y - 4}, [2]float64{x + 8, y + 2}, [2]float64{x + 12, y - 4}, [2]float64{x + 18, y - 4})
	p.line("thin", x+8, y+4, x+8, y+10)
}
