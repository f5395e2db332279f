package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks"
)

// strutOfKnee is what the strut of knee carries for the thrust of 6 bar, N, with the rod out by so much (mm), and where T is on its guide, mm
// from P: by moments about P, and by the theorem of Pythagoras in the triangle P, Q, T.
func strutOfKnee(out float64) (force, along float64) {
	a := 250 + out
	cos := (300*300 + 120*120 - a*a) / (2 * 300 * 120)
	q := r2.Scale(120, r2.Vec{X: -cos, Y: math.Sqrt(1 - cos*cos)})
	u := r2.Vec{X: -0.5, Y: math.Sqrt(0.75)}
	on := r2.Dot(q, u)
	along = on + math.Sqrt(150*150-(120*120-on*on))
	rod, strut := r2.Unit(r2.Add(q, r2.Vec{X: 300})), r2.Unit(r2.Sub(r2.Scale(along, u), q))
	return math.Abs(thrustAt6bar * r2.Cross(q, rod) / r2.Cross(q, strut)), along
}

// asPrinted checks that a number is another as it is printed, to four digits.
func asPrinted(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-3*want {
		t.Errorf("%s: got %g, want %g", what, got, want)
	}
}

// kneeInParts is knee with pins at Q and O and a strut of bar.
func kneeInParts(d, bar, withstands float64, more string) bench {
	const pin = `length: mm: 60, kept: ["clip", "clip"], material: "C45"`
	return knee(10, fmt.Sprintf(`
	links: strut: {withstands: N: %g, section: {moment: mm4: %g, depth: mm: %g, area: mm2: %g, material: "S235"}}
	pivots: {
		Q: {pin: {diameter: mm: %g, %[6]s, turnsWith: "rocker"}, stack: [{link: "rocker", thick: mm: 6, material: "S235"}, {cylinder: "lift.front", runs: true}, {link: "strut", thick: mm: 12, runs: true, material: "S235"}]}
		O: {pin: {diameter: mm: 8, %[6]s, turnsWith: "post"}, stack: [{link: "post", thick: mm: 6, material: "S235"}, {cylinder: "lift.rear", runs: true}, {link: "post", thick: mm: 6, material: "S235"}]}
	}
	%[7]s`, withstands, math.Pow(bar, 4)/12, bar, bar*bar, d, pin, more))
}

// TestDeadPointLeavesTheRest: of what lies at the dead point of knee the facts are open there alone, and say what they come to in all else, by
// moments about P. What carries the thrust and no more is judged, and so is what fails already.
func TestDeadPointLeavesTheRest(t *testing.T) {
	e := examine(t, kneeInParts(100, 40, 1e6, ""))
	for _, f := range [][3]string{
		{"stall", "strut", "force"}, {"member", "strut", "compression"}, {"member", "strut", "stress"},
		{"pin", "Q", "bending"}, {"pin", "Q", "shear"}, {"seat", "Q: link rocker", "pressure"}, {"seat", "Q: link strut", "pressure"},
	} {
		e.leftOpen(f[0], f[1], f[2], kneeInLine, "In all else it comes to")
	}
	f, _ := e.fact("stall", "strut", "force")
	var from, to, stop, back, gives, most float64
	var unit string
	if _, err := fmt.Sscanf(f.Why, "with lift out between %g mm and %g mm, where something holds T,", &from, &to); err != nil {
		t.Fatal(f.Why)
	}
	_, way, _ := strings.Cut(f.Why, "`stops` that ends the stroke of lift at ")
	if _, err := fmt.Sscanf(way, "%g mm on its way out or at %g mm on its way in, or let what T meets give way by %g mm or more. In all else it comes to %g %s", &stop, &back, &gives, &most, &unit); err != nil || unit != "N" {
		t.Fatal(err, f.Why)
	}
	before, at := strutOfKnee(from)
	after, on := strutOfKnee(to)
	asPrinted(t, "the strut, N", most, max(before, after))
	_, inLine := strutOfKnee(kneeInLine)
	if least := max(math.Abs(inLine-at), math.Abs(inLine-on)); gives < least || gives > least+0.01 {
		t.Errorf("T moves by %g mm there, and not %g", least, gives)
	}
	// Pulled it carries less; what it carries is thrust by itself.
	e.want("seat", "O: link post", "pressure", "MPa", thrustAt6bar/2/(8*6), 1e-3, "half of the thrust in each")
	e.want("pin", "O", "moment", "Nm", thrustAt6bar/8*(0.016+2*0.006), 1e-3, "handbook: F/8 (eye + 2 cheek)")
	// What fails in all else does.
	weak := examine(t, kneeInParts(4, 4, before/2, ""))
	for _, f := range [][3]string{{"stall", "strut", "force"}, {"member", "strut", "compression"}, {"member", "strut", "stress"}, {"pin", "Q", "bending"}, {"seat", "Q: link strut", "pressure"}} {
		got, _ := weak.fact(f[0], f[1], f[2])
		if got.Kind != checks.Quantity || !strings.Contains(got.Worst, ", and more next to a dead point, with lift out between") {
			t.Errorf("%v is %v, %s", f, got, got.Worst)
		}
	}
	weak.want("stall", "strut", "force", "N", max(before, after), 1e-3*before, "moments about P")
	stress := max(before, after) / 16
	weak.want("member", "strut", "stress", "MPa", stress, 1e-3*stress, "N / A")
	// With the stop that it asks for nothing is open.
	stopped := examine(t, kneeInParts(100, 40, 1e6, fmt.Sprintf(`stops: out: {cylinder: "lift", at: mm: %g}`, stop)))
	held, _ := strutOfKnee(stop)
	stopped.want("stall", "strut", "force", "N", held, 1e-3*held, "moments about P")
	stopped.want("member", "strut", "compression", "N", held, 1e-3*held, "moments about P")
	stopped.number("pin", "Q", "bending", "MPa")
	stopped.number("frame member", "column", "stress", "MPa")
}

// TestDeadPointAtTheEnd: a stroke that ends where strut and rocker are in line is open to its end, and a stop a little before it is asked for.
func TestDeadPointAtTheEnd(t *testing.T) {
	b := kneeInParts(100, 40, 1e6, "")
	b.stroke = fmt.Sprintf("mm: %.12g", kneeInLine)
	e := examine(t, b)
	f, _ := e.fact("stall", "strut", "force")
	var from, to, stop, most float64
	var unit string
	if _, err := fmt.Sscanf(f.Why, "with lift out between %g mm and %g mm,", &from, &to); err != nil || math.Abs(to-kneeInLine) > 0.01 {
		t.Fatal(f)
	}
	_, way, _ := strings.Cut(f.Why, "ends the stroke of lift at ")
	_, rest, _ := strings.Cut(f.Why, "In all else it comes to ")
	fmt.Sscanf(way, "%g mm on its way out, or let", &stop)
	if fmt.Sscanf(rest, "%g %s", &most, &unit); unit != "N" && unit != "kN" {
		t.Fatal(f.Why)
	}
	if unit == "kN" {
		most *= 1000
	}
	if stop == 0 || stop > from || stop < from-0.1 {
		t.Errorf("stops at %g mm, before %g mm: %s", stop, from, f.Why)
	}
	if want, _ := strutOfKnee(from); math.Abs(most-want) > 0.01*want {
		t.Errorf("elsewhere %g N, want %g N", most, want)
	}
	e.leftOpen("pin", "Q", "bending", kneeInLine, "In all else")
	e.want("pin", "O", "moment", "Nm", thrustAt6bar/8*(0.016+2*0.006), 1e-3, "the thrust alone")
}

// TestBoundedAtDeadPoint: a strut from a point of the rocker that is nearer to its pivot than the rod comes into line with it at the end of the stroke.
// What it gets has no bound there, but by moments about P it turns the hub as the rod does, by the thrust and its arm, 300 mm × the sine of its
// slope, which is the most at the end. The foot under O bears the thrust too.
func TestBoundedAtDeadPoint(t *testing.T) {
	b := knee(10, `pivots: P: {pin: {diameter: mm: 20, length: mm: 60, kept: ["clip", "clip"], turnsWith: "rocker", setScrews: {thread: "M8", count: 2, torque: Nm: 20, carries: ["S"]}}, stack: [{link: "rocker", thick: mm: 20}, {link: "post", thick: mm: 10}]}
	fastenings: bolts: {screw: {thread: "M8", length: mm: 25, head: "hex", class: "8.8"}, stack: [{part: "foot", thick: mm: 10, material: "S235"}], into: nut: style: "hex", count: 4, torque: Nm: 20
		joints: [{on: "post", carries: ["O"], looks: deg: 90, friction: 0.3, screws: [{x: mm: -20, y: mm: -20, z: mm: 15}, {x: mm: 20, y: mm: -20, z: mm: 15}, {x: mm: -20, y: mm: -20, z: mm: -15}, {x: mm: 20, y: mm: -20, z: mm: -15}]}]}`)
	b.stroke = fmt.Sprintf("mm: %.12g", kneeInLine)
	const share, long = 100. / 120, 150
	sx, sy := share*(238.66666666666666-300), share*103.14283565346165
	ux, uy := -0.5, math.Sqrt(0.75)
	at := sx*ux + sy*uy
	at += math.Sqrt(long*long - (100*100 - at*at))
	from := strings.Index(b.machine, "points: {T: {")
	to := from + strings.Index(b.machine[from:], ", U:")
	b.machine = b.machine[:from] + fmt.Sprintf("points: {S: {x: mm: %.14g, y: mm: %.14g}, T: {x: mm: %.12g, y: mm: %.12g}", 300+sx, sy, 300+at*ux, at*uy) + b.machine[to:]
	b.machine = strings.Replace(b.machine, `strut: {points: ["Q", "T"]`, `strut: {points: ["S", "T"]`, 1)
	e := examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "S"]`, 1))
	_, up := acrossAndUp(250 + kneeInLine)
	want := thrustAt6bar * 0.3 * up
	e.want("hub", "P", "torque", "Nm", want, 1e-3*want, "moments about P")
	// The screws of the foot at O, 20 mm below it and 20 mm to either side, are pulled most where the rod is steepest: by a quarter of the pull of
	// 247.40 N (ISO 6432) up and, by moments about the face, a quarter of its part across.
	across, _ := acrossAndUp(250 + kneeInLine)
	pull := 247.40 / 4 * (up + across)
	e.want("screw group", "bolts at O", "pull", "N", pull, 1e-4*pull, "statics")
	e.leftOpen("frame member", "column", "stress", kneeInLine, "In all else")
}
