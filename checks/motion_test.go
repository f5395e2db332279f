package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// jib is a bench with a second link on the rocker's end Q, 100 mm to R, which a second cylinder between P and R tips. Drawn, the second is
// 170 mm long, and R lies to the right of the way from P to Q.
func jib(loads string) bench {
	b := math.Acos((120*120 + 170*170 - 100*100) / (2. * 120 * 170))
	at := math.Pi - 59.262*math.Pi/180 - b
	return bench{closed: "mm: 250", stroke: "mm: 20", machine: fmt.Sprintf(`
	points: R: {x: mm: %.6f, y: mm: %.6f}
	links: jib: {points: ["Q", "R"], mass: kg: 0}
	cylinders: tip: schema.#Cylinder & {bore: mm: 25, stroke: mm: 30, closed: mm: 150, rear: {at: "P", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "R", kind: "eye", hole: mm: 8, width: mm: 16}, source: "invented"}
	loads: {%s}`, 300+170*math.Cos(at), 170*math.Sin(at), loads)}
}

// TestTwoCylindersAgainstCosineRule: the triangles O P Q and P Q R give where R is for both lengths, and virtual work the forces along
// both rods, F = W dy/dL. Each cylinder moves with the other at either end, and both move together.
func TestTwoCylindersAgainstCosineRule(t *testing.T) {
	rise := func(lift, tip float64) float64 { // of R
		g := math.Acos((300*300 + 120*120 - lift*lift) / (2. * 300 * 120))
		b := math.Acos((120*120 + tip*tip - 100*100) / (2 * 120 * tip))
		return tip * math.Sin(math.Pi-g-b)
	}
	angle := func(lift, tip float64) float64 { // of the jib, at Q against the rocker
		g := math.Acos((300*300 + 120*120 - lift*lift) / (2. * 300 * 120))
		q := math.Acos((120*120 + 100*100 - tip*tip) / (2. * 120 * 100))
		return q - g
	}
	var lift, tip [2]float64 // out, in
	least, most := math.Inf(1), math.Inf(-1)
	look := func(l, c float64) {
		const h = 1e-4
		fl := 100 * (rise(l+h, c) - rise(l-h, c)) / (2 * h)
		fc := 100 * (rise(l, c+h) - rise(l, c-h)) / (2 * h)
		if l > 250 {
			lift[0] = max(lift[0], fl)
		}
		if l < 270 {
			lift[1] = max(lift[1], -fl)
		}
		if c > 150 {
			tip[0] = max(tip[0], fc)
		}
		if c < 180 {
			tip[1] = max(tip[1], -fc)
		}
		least, most = min(least, angle(l, c)), max(most, angle(l, c))
	}
	for k := range 2001 {
		part := float64(k) / 2000
		for _, end := range []float64{0, 1} {
			look(250+20*part, 150+30*end)
			look(250+20*end, 150+30*part)
		}
		look(250+20*part, 150+30*part)
	}
	e := examine(t, jib(fmt.Sprintf(`weight: {at: "R", mass: kg: %g}`, 100/9.80665)))
	e.want("linkage", "bench", "faults", "", 0, 0, "by drawing")
	e.want("cylinder", "lift", "loadOut", "N", lift[0], 0.02, "virtual work")
	e.want("cylinder", "lift", "loadIn", "N", lift[1], 0.02, "virtual work")
	e.want("cylinder", "tip", "loadOut", "N", tip[0], 0.02, "virtual work")
	e.want("cylinder", "tip", "loadIn", "N", tip[1], 0.02, "virtual work")
	e.want("link", "jib", "turns", "deg", (most-least)*180/math.Pi, 0.01, "cosine rule in both triangles")
	e.want("cylinder", "tip", "strokeReached", "mm", 30, 1e-6, "no dead point on the way")
	if f, _ := e.fact("cylinder", "lift", "loadIn"); !strings.Contains(f.Worst, "lift out by 20 mm and tip out by 0 mm") {
		t.Errorf("the worst pose is %q", f.Worst)
	}
}

// second is another cylinder on the bench's rocker, between U on the ground and Q.
func second(u, closed string) bench {
	return bench{machine: fmt.Sprintf(`
	points: U: {%s}
	links: base: {points: ["O", "U"], ground: true}
	cylinders: helper: schema.#Cylinder & {bore: mm: 25, stroke: mm: 20, closed: mm: %s, rear: {at: "U", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "Q", kind: "eye", hole: mm: 8, width: mm: 16}, source: "invented"}`, u, closed)}
}

// TestCylindersThatShare: two cylinders on one rocker are one too many (Grübler: 3 − 2 freedoms, 2 cylinders). Side by side on the same
// pins they move alike; from another pin each takes the length that the rocker leaves it, until one of them is at its end (cosine rule).
func TestCylindersThatShare(t *testing.T) {
	b := bench{machine: `cylinders: twin: schema.#Cylinder & {bore: mm: 20, stroke: mm: 20, closed: mm: 250, rear: {at: "O", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "Q", kind: "eye", hole: mm: 8, width: mm: 16}, source: "invented"}
	loads: weight: {at: "Q", force: N: 100, towards: deg: -90}`}
	e := examine(t, b)
	e.want("linkage", "bench", "faults", "", 0, 0, "they move alike")
	e.want("cylinder", "lift", "sharing", "", 1, 0, "Grübler")
	e.want("cylinder", "lift", "boreForAll", "mm", math.Sqrt(25*25+20*20), 1e-6, "areas add up")
	e.want("cylinder", "twin", "sharing", "", 0, 0, "counted once")
	alone := examine(t, bench{machine: `loads: weight: {at: "Q", force: N: 100, towards: deg: -90}`})
	whole := alone.number("cylinder", "lift", "loadOut", "N")
	e.want("cylinder", "lift", "loadOut", "N", whole*625/1025, 0.02, "by the areas of their pistons")
	e.want("cylinder", "twin", "loadOut", "N", whole*400/1025, 0.02, "by the areas of their pistons")

	e = examine(t, second("x: mm: 20, y: mm: -70", "269"))
	e.want("linkage", "bench", "faults", "", 0, 0, "Grübler: the rocker moves")
	if f, _ := e.fact("cylinder", "helper", "strokeStops"); !strings.Contains(f.Text, "where lift, which moves along, is at the end of its own stroke") {
		t.Errorf("says %q", f.Text)
	}
}

// TestRepairs: freedoms by Grübler's count, 3 per moving link less 2 per pivot and 1 per cylinder; a remedy brings them to 0.
func TestRepairs(t *testing.T) {
	loop := `
	points: {R: {x: mm: 200, y: mm: 250}, S: {x: mm: 50, y: mm: 200}%s}
	links: {one: {points: ["Q", "R"], mass: kg: 1}, two: {points: ["R", "S"], mass: kg: 1}, three: {points: ["%s", "O"], mass: kg: 1}}`
	for _, r := range []struct{ machine, fault, repair string }{
		// 3 × 4 − 2 × 5 − 1 = 1; a link from a loose one to the ground takes it away
		{fmt.Sprintf(loop, "", "S"), "can still move", "What is loose lacks a link"},
		// S and T lie in one place without being one, and the rocker alone is held
		{strings.Replace(fmt.Sprintf(loop, ", T: {x: mm: 238.66666666666666, y: mm: 103.14283565346165}", "S"), `"Q", "R"`, `"T", "R"`, 1) + `
	links: four: {points: ["R", "P"], mass: kg: 1}`, "T lie in one place", "Write Q for T"},
		// 3 × 2 − 2 × 3 = 0 without the cylinder: rocker and strut lock each other
		{`points: V: {x: mm: 200, y: mm: -50}, links: {base: {points: ["V", "O"], ground: true}, strut: {points: ["Q", "V"], mass: kg: 1}}`, "the links can't move", "Leave out one of rocker and strut"},
	} {
		e := examine(t, bench{machine: r.machine})
		if text := e.textOf("linkage", "bench", "fault"); !strings.Contains(text, r.fault) {
			t.Errorf("%s says %q, want %q", r.machine, text, r.fault)
		}
		if text := e.textOf("linkage", "bench", "repair"); !strings.HasPrefix(text, r.repair) {
			t.Errorf("%s says %q, want %q", r.machine, text, r.repair)
		}
	}
}

// TestFaultsNameWhatIsWrong: each mistake gets one sentence with the points, links or cylinders that it is about.
func TestFaultsNameWhatIsWrong(t *testing.T) {
	for _, r := range []struct {
		bench bench
		want  string
	}{
		{bench{closed: "mm: 265"}, "lift is drawn 260 mm long from pin to pin, and closed it is 265 mm: it is 5 mm too long to fit between O and Q"},
		{bench{closed: "mm: 200", stroke: "mm: 50"}, "lift is drawn 260 mm long from pin to pin, and with the rod out it reaches 250 mm: it is 10 mm too short to reach between O and Q"},
		{bench{machine: `points: {V: {x: mm: 0, y: mm: 300}, W: {x: mm: 80, y: mm: 300}}, links: bar: {points: ["V", "W"], mass: kg: 1}`}, "nothing joins bar to the fixed links"},
		// Two links stretched out between fixed points: V can give way to either side for an instant.
		{bench{machine: "points: {V: {x: mm: 420, y: mm: 0}, W: {x: mm: 540, y: mm: 0}}\nlinks: {one: {points: [\"P\", \"V\"], mass: kg: 0}, two: {points: [\"V\", \"W\"], mass: kg: 0}, far: {points: [\"W\"], ground: true}}"}, "the pose as drawn is one from which two ways lead on (V)"},
	} {
		e := examine(t, r.bench)
		f, _ := e.fact("linkage", "bench", "fault")
		if !strings.Contains(f.Text, r.want) || strings.Contains(f.Text, ";") {
			t.Errorf("says %q, want %q", f.Text, r.want)
		}
	}
}
