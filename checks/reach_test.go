package checks_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

const degrees = 180 / math.Pi

// A rocker is the bench's triangle O P Q with the points where a remedy may put them, mm: cosine rule in closed form.
type rocker struct{ o, p, q r2.Vec }

var asDrawn = rocker{q: r2.Vec{X: 238.66666666666666, Y: 103.14283565346165}, p: r2.Vec{X: 300}}

func distance(a, b r2.Vec) float64 { return r2.Norm(r2.Sub(a, b)) }

// angle at P for a length of the cylinder.
func (b rocker) angle(length float64) float64 {
	p, r := distance(b.o, b.p), distance(b.p, b.q)
	return math.Acos((p*p + r*r - length*length) / (2 * p * r))
}

// arm of the cylinder about P: twice the area of the triangle by the cylinder's length.
func (b rocker) arm(length float64) float64 {
	return distance(b.o, b.p) * distance(b.p, b.q) * math.Sin(b.angle(length)) / length
}

// end is where Q is for a length: P O turned by the angle at P, to the side on which Q is drawn.
func (b rocker) end(length float64) r2.Vec {
	way := r2.Scale(distance(b.p, b.q)/distance(b.o, b.p), r2.Sub(b.o, b.p))
	side := -1.0
	if r2.Cross(way, r2.Sub(b.q, b.p)) > 0 {
		side = 1
	}
	return r2.Add(b.p, r2.Rotate(way, side*b.angle(length), r2.Vec{}))
}

// numbers are those in a text, in order.
func numbers(text string) (list []float64) {
	for _, s := range regexp.MustCompile(`-?\d+(\.\d+)?`).FindAllString(text, -1) {
		v, _ := strconv.ParseFloat(s, 64)
		list = append(list, v)
	}
	return list
}

// textOf is a fact that is a text.
func (e examined) textOf(kind, name, fact string) string {
	e.t.Helper()
	f, ok := e.fact(kind, name, fact)
	if !ok || f.Text == "" {
		e.t.Fatalf("%s %s has no text %s: %v", kind, name, fact, f)
	}
	return f.Text
}

// TestReachAgainstCosineRule: what the rocker's end rises and travels and how far the rocker turns follow from the triangle O P Q with the
// cylinder's shortest and longest length. The stroke that a remedy names is held against the same formula.
func TestReachAgainstCosineRule(t *testing.T) {
	from, to := asDrawn.end(250), asDrawn.end(270)
	turned := (asDrawn.angle(270) - asDrawn.angle(250)) * degrees
	e := examine(t, bench{machine: fmt.Sprintf("reaches: {Q: {rises: mm: %g, travels: mm: %g}, rocker: turns: deg: %g}", (to.Y-from.Y)*0.8, distance(from, to)*1.05, turned+1)})
	e.want("reach", "Q", "rises", "mm", to.Y-from.Y, 1e-6, "cosine rule")
	e.want("reach", "Q", "travels", "mm", distance(from, to), 1e-6, "cosine rule")
	e.want("reach", "rocker", "turns", "deg", turned, 1e-6, "cosine rule")

	// 25 mm is the next stroke after 20; the rear pin goes back by 5 mm along the line of the cylinder as drawn, which is 260 mm long.
	longer := asDrawn
	longer.o = r2.Scale(-5./260, asDrawn.q)
	text := e.textOf("reach", "rocker", "remedyStroke")
	n := numbers(text)
	if len(n) != 4 || n[0] != 25 || math.Abs(n[1]-longer.o.X) > 0.051 || math.Abs(n[2]-longer.o.Y) > 0.051 || math.Abs(n[3]-(longer.angle(280)-longer.angle(255))*degrees) > 0.01 {
		t.Errorf("says %q, and a rear pin at %.4g with a stroke of 25 mm turns the rocker by %.4g°", text, longer.o, (longer.angle(280)-longer.angle(255))*degrees)
	}

	// The rise is done when the rod is out far enough that Q is 0.8 of it higher.
	e = examine(t, bench{machine: fmt.Sprintf("reaches: Q: rises: mm: %g", (to.Y-from.Y)*0.8)})
	needed := 250.0
	for asDrawn.end(needed).Y-from.Y < (to.Y-from.Y)*0.8 {
		needed += 0.001
	}
	e.want("reach", "Q", "strokeSpare", "mm", 270-needed, 20./200, "cosine rule, to the next of 201 poses")
	e.want("reach", "Q", "strokeSpareAdvised", "mm", 2, 1e-9, "common practice: the greater of 2 mm and 3 %")
}

// TestStopShortensStroke: a stop at 12 mm leaves the lengths from 250 to 262.
func TestStopShortensStroke(t *testing.T) {
	turned := func(length float64) float64 { return (asDrawn.angle(length) - asDrawn.angle(250)) * degrees }
	e := examine(t, bench{machine: fmt.Sprintf(`stops: end: {cylinder: "lift", at: mm: 12}, reaches: rocker: turns: deg: %g`, turned(265))})
	e.want("cylinder", "lift", "strokeReached", "mm", 12, 1e-9, "as stopped")
	e.want("reach", "rocker", "turns", "deg", turned(262), 1e-6, "cosine rule")
	if text := e.textOf("reach", "rocker", "remedyStroke"); !strings.HasPrefix(text, "Move the stops of lift: ") || math.Abs(numbers(text)[0]-turned(270)) > 0.01 {
		t.Errorf("says %q, and the whole stroke turns it by %g°", text, turned(270))
	}
}

// TestLeverAgainstCosineRule: the moment arm is twice the triangle's area by the cylinder's length.
func TestLeverAgainstCosineRule(t *testing.T) {
	for _, r := range []struct{ closed, stroke float64 }{{250, 20}, {205, 204}, {206, 205.9}} {
		e := examine(t, bench{closed: fmt.Sprintf("mm: %g", r.closed), stroke: fmt.Sprintf("mm: %g", r.stroke)})
		name := "lift on rocker at P"
		arm := min(asDrawn.arm(r.closed), asDrawn.arm(r.closed+r.stroke))
		e.want("lever", name, "arm", "mm", arm, 1e-6, "area of the triangle")
		turned := (asDrawn.angle(r.closed+r.stroke) - asDrawn.angle(r.closed)) * degrees
		e.want("lever", name, "turns", "deg", turned, 1e-6, "cosine rule")
		if turned < 120 {
			continue
		}
		text := e.textOf("lever", name, "remedyAnchor")
		n := numbers(text)
		better := asDrawn
		if strings.HasPrefix(text, "Put the rear pin") {
			better.o = r2.Vec{X: n[0], Y: n[1]}
			n = []float64{n[2], n[4]}
		} else {
			better.q, better.o = r2.Vec{X: n[0], Y: n[1]}, r2.Vec{X: n[2], Y: n[3]}
			n = n[4:]
		}
		least, most := better.arm(r.closed), (better.angle(r.closed+r.stroke)-better.angle(r.closed))*degrees
		least = min(least, better.arm(r.closed+r.stroke))
		if most > 120 || math.Abs(n[0]-least) > 0.01 || math.Abs(n[1]-most) > 0.06 || least < arm {
			t.Errorf("says %q; by the cosine rule the lever is %.5g mm and it turns by %.5g°", text, least, most)
		}
	}
}

// A fourBar is the bench with a coupler from Q to R and a follower from there to S on the ground, mm.
type fourBar struct {
	rocker
	r, s r2.Vec
}

func (b fourBar) spec(toggles string) bench {
	return bench{machine: fmt.Sprintf(`
	points: {R: {x: mm: %g, y: mm: %g}, S: {x: mm: %g, y: mm: %g}}
	links: {base: {points: ["S"], ground: true}, coupler: {points: ["Q", "R"], mass: kg: 0}, follower: {points: ["R", "S"], mass: kg: 0}}
	%s`, b.r.X, b.r.Y, b.s.X, b.s.Y, toggles)}
}

// angles are the transmission angle at R, by the cosine rule in the triangle Q R S, and how far the coupler is from lying in line with the rocker.
func (b fourBar) angles(length float64) (transmission, inLine float64) {
	q := b.end(length)
	f, g, c := distance(q, b.s), distance(b.q, b.r), distance(b.r, b.s)
	at := math.Acos((g*g + c*c - f*f) / (2 * g * c))
	// R lies to the side of the line from Q to S on which it is drawn.
	side := 1.0
	if r2.Cross(r2.Sub(b.s, b.q), r2.Sub(b.r, b.q)) < 0 {
		side = -1
	}
	turn := math.Acos((f*f + g*g - c*c) / (2 * f * g))
	u := r2.Rotate(r2.Unit(r2.Sub(b.s, q)), side*turn, r2.Vec{})
	v := r2.Unit(r2.Sub(q, b.p))
	return min(at, math.Pi-at) * degrees, math.Asin(math.Abs(r2.Cross(u, v))) * degrees
}

func (b fourBar) least() (transmission, inLine float64) {
	transmission, inLine = math.Inf(1), math.Inf(1)
	for k := range 201 {
		m, l := b.angles(250 + 20*float64(k)/200)
		transmission, inLine = min(transmission, m), min(inLine, l)
	}
	return transmission, inLine
}

// TestTransmissionAgainstCosineRule: cos μ = (b² + c² − f²)/2bc, with f from the driven end of the crank to the fixed pivot of the follower (the
// formula of any textbook of kinematics). The shift of a remedy is held against the same formula.
func TestTransmissionAgainstCosineRule(t *testing.T) {
	for _, b := range []fourBar{
		{asDrawn, r2.Vec{X: 150, Y: 230}, r2.Vec{X: 40, Y: 120}},
		{asDrawn, r2.Vec{X: 120, Y: 190}, r2.Vec{X: 25, Y: 190}},
		{asDrawn, r2.Vec{X: 120, Y: 190}, r2.Vec{X: 10, Y: 180}},
		{asDrawn, r2.Vec{X: 180, Y: 200}, r2.Vec{X: 90, Y: 160}},
		{asDrawn, r2.Vec{X: 180, Y: 180}, r2.Vec{X: 190, Y: 250}},
	} {
		e := examine(t, b.spec(""))
		transmission, inLine := b.least()
		e.want("link", "coupler", "transmission", "deg", transmission, 1e-4, "cosine rule")
		e.want("link", "coupler", "inLine", "deg", inLine, 1e-4, "positions by the cosine rule")
		if transmission >= 40 {
			continue
		}
		text := e.textOf("link", "coupler", "remedyTransmission")
		m := regexp.MustCompile(`^Move ([PQRS]) by (\S+) mm, to x (\S+) mm and y (\S+) mm: the angle is (\S+)° or more`).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("says %q", text)
		}
		n := numbers(strings.Join(m[2:], " "))
		better := b
		to := map[string]*r2.Vec{"P": &better.p, "Q": &better.q, "R": &better.r, "S": &better.s}[m[1]]
		if by := distance(*to, r2.Vec{X: n[1], Y: n[2]}); math.Abs(by-n[0]) > 1e-3*n[0] {
			t.Errorf("%q moves it by %g mm", text, by)
		}
		*to = r2.Vec{X: n[1], Y: n[2]}
		if got, _ := better.least(); got < 40 || math.Abs(got-n[3]) > 0.01 {
			t.Errorf("says %q, and the cosine rule %g°", text, got)
		}
		if n[0] < 5 {
			continue // rounding to whole millimetres is a large part of it
		}
		// Half of that shift, in any direction and of any pivot, would not do.
		for k := range 16 {
			by := r2.Rotate(r2.Vec{X: n[0] / 2}, math.Pi*float64(k)/8, r2.Vec{})
			for i := range 4 {
				short := b
				p := []*r2.Vec{&short.p, &short.q, &short.r, &short.s}[i]
				*p = r2.Add(*p, by)
				if got, _ := short.least(); got > 40 {
					t.Errorf("half of %q brings %g°", text, got)
				}
			}
		}
	}
	b := fourBar{asDrawn, r2.Vec{X: 120, Y: 190}, r2.Vec{X: 25, Y: 190}}
	e := examine(t, b.spec(`toggles: ["R"]`))
	if f, ok := e.fact("link", "coupler", "transmission"); ok {
		t.Errorf("R may come into line, and the coupler's angle there is judged: %v", f)
	}
}

// TestEvenAnchor holds the load that another anchor leaves against moments about P: a weight at Q, W (x_Q − x_P), by the arm of the cylinder, and
// the thrust of bore 25, rod 10 at 6 bar (ISO 6432: 294.52 N and 247.4 N).
func TestEvenAnchor(t *testing.T) {
	parts, runs := regulated("bar: 6")
	found := 0
	for _, r := range []struct{ closed, stroke float64 }{{240, 100}, {255, 110}, {230, 150}, {215, 190}} {
		b := bench{closed: fmt.Sprintf("mm: %g", r.closed), stroke: fmt.Sprintf("mm: %g", r.stroke), cylinder: "efficiency: 1, rod: mm: 10, " + ports, parts: parts, runs: runs,
			machine: fmt.Sprintf(`loads: weight: {at: "Q", mass: kg: %g}`, 300/9.80665)}
		load := func(b rocker) (most float64) {
			for k := range 2001 {
				l := r.closed + r.stroke*float64(k)/2000
				hold := 300 * (b.p.X - b.end(l).X) / b.arm(l)
				most = max(most, hold/294.52, -hold/247.4)
			}
			return most
		}
		turn := func(b rocker) float64 { return (b.angle(r.closed+r.stroke) - b.angle(r.closed)) * degrees }
		e := examine(t, b)
		text := e.textOf("cylinder", "lift", "remedyAnchor")
		n := numbers(text)
		if len(n) == 0 {
			continue
		}
		found++
		better := asDrawn
		better.o = r2.Vec{X: n[0], Y: n[1]}
		if math.Abs(n[2]-load(better)) > 2e-3 || math.Abs(n[3]-turn(better)) > 0.06 || n[2] > 0.95*load(asDrawn) || turn(better) < 0.9*turn(asDrawn) {
			t.Errorf("says %q; moments give %.4g of the thrust, %.4g as drawn, and %.4g°, %.4g° as drawn", text, load(better), load(asDrawn), turn(better), turn(asDrawn))
		}
	}
	if found < 2 {
		t.Errorf("%d of the four have a better anchor", found)
	}
}

// TestShorterStroke: pin to pin, the bench's cylinder is 180 to 420 mm long (triangle inequality). With the rear pin nearer by as much as the
// cylinder is shorter, both lengths stay within that.
func TestShorterStroke(t *testing.T) {
	e := examine(t, bench{closed: "mm: 230", stroke: "mm: 200"}) // to 430
	text := e.textOf("cylinder", "lift", "remedyStroke")
	n := numbers(text)
	shorter := asDrawn
	shorter.o = r2.Vec{X: n[1], Y: n[2]}
	long := distance(shorter.o, shorter.q)
	if n[0] != 160 || math.Abs(long-(260-40)) > 0.1 || 230-40+160 > distance(shorter.o, shorter.p)+120 || 230-40 < distance(shorter.o, shorter.p)-120 {
		t.Errorf("says %q; as drawn the cylinder is %.5g mm long then, and P is %.5g mm from its anchor", text, long, distance(shorter.o, shorter.p))
	}
	// Where all of what is there is needed, it can only be stopped: 2 mm before 420.
	e = examine(t, bench{closed: "mm: 230", stroke: "mm: 200", machine: fmt.Sprintf("reaches: rocker: turns: deg: %g", (asDrawn.angle(417)-asDrawn.angle(230))*degrees)})
	if n := numbers(e.textOf("cylinder", "lift", "remedyStroke")); n[0] != 420-2-230 {
		t.Errorf("stops it at %g mm", n[0])
	}
}
