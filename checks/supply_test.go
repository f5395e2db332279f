package checks_test

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// planned is the driven bench with a compressor that says what it gives, and a plan: out at 0, in at 4 s, anew after 10 s.
func planned(compressor, more string) bench {
	b := drivenBench{}.bench()
	b.parts += "\n\t\tsource: {" + compressor + "}"
	b.machine += `
	cycle: {period: s: 10, steps: [{cylinder: "lift", goes: "out", at: s: 0, stands: s: 1}, {cylinder: "lift", goes: "in", at: s: 4}]}
	` + more
	return b
}

// Free air of the bench's strokes in mL, by the formula of handbooks on 100 kPa: what is swept at 6.01325 bar; the chamber's 3 mL and 520 mm
// of a tube of 4 mm by 5 bar.
func airByHand() (out, in float64) {
	still := (3 + math.Pi/4*0.16*52) * 5
	return math.Pi/4*6.25*2*6.01325 + still, math.Pi/4*(6.25-1)*2*6.01325 + still
}

func TestPlanByHand(t *testing.T) {
	e := examine(t, planned(`delivers: "L/min": 10, tank: volume: L: 1`, ""))
	out, in := airByHand()
	const handbook = "handbook air consumption, ISO 8778"
	e.want("step", "lift out at 0 s", "air", "mL", out, 0.01, handbook)
	e.want("step", "lift in at 4 s", "air", "mL", in, 0.01, handbook)
	e.want("supply", "source", "perCycle", "mL", 1.2*(out+in), 0.02, "a fifth for leaks: common practice, no source")
	demand := 1.2 * (out + in) * 6e-3
	e.want("supply", "source", "demand", "L/min", demand, 1e-3, "six cycles a minute")
	e.want("supply", "source", "runs", "", demand/10, 1e-4, "by hand")
	e.want("supply", "source", "duty", "", 0.5, 1e-9, "common practice, no source")
	e.want("supply", "source", "deliversNeeded", "L/min", 2*demand, 2e-3, "by hand")
	e.want("supply", "source", "periodLeast", "s", math.Ceil(demand*10/5*10)/10, 1e-9, "by hand, rounded up")

	// The stroke's time is that of its course; from command to command there are 4 and 6 s.
	time := e.number("stroke", "lift out", "time", "s")
	e.want("step", "lift out at 0 s", "time", "s", time, 1e-9, "the computed stroke")
	e.want("step", "lift out at 0 s", "room", "", 3/time, 1e-6, "4 s less the 1 s that it stands")
	e.want("step", "lift in at 4 s", "until", "s", 6, 1e-9, "from 4 s to the next beginning")

	// One stroke at a time: what it takes beyond 10 L/min in its time comes out of 1 L at 7 bar, without heat.
	short := 1.2*out - time*1e4/60
	e.want("supply", "source", "short", "mL", short, 0.02, "by hand")
	low := 8.01325*math.Pow(1-short*1e-3/8.01325, 1.4) - 1.01325
	e.want("supply", "source", "lowest", "bar", low, 1e-4, "p v^1.4 by hand")
	e.want("step", "lift out at 0 s", "pressure", "bar", 5, 1e-9, "the setting lies below that")
	if low < 5 || low > 7 {
		t.Errorf("the receiver falls to %g bar: choose another tank", low)
	}
	e.want("supply", "source", "recovers", "s", (8-low)*1/((10-demand)/60), 0.02, "Boyle's law by hand, in L and bar")

	// Four machines take four times as much.
	e = examine(t, planned(`delivers: "L/min": 10, duty: 0.6, copies: 4, tank: volume: L: 1`, ""))
	e.want("supply", "source", "demand", "L/min", 4*demand, 4e-3, "by hand")
	e.want("supply", "source", "duty", "", 0.6, 1e-9, "as written")

	// Nearly without a tank, the pressure that is left is the receiver's.
	e = examine(t, planned(`delivers: "L/min": 1, tank: volume: mL: 50`, ""))
	left := e.number("supply", "source", "lowest", "bar")
	e.want("step", "lift out at 0 s", "pressure", "bar", left, 1e-9, "the lower of setting and receiver")
	if left >= 5 {
		t.Errorf("%g bar stay in a bottle of 50 mL", left)
	}
}

// TestPlanLacksData: what a plan can't be judged for is named; without a plan nothing is asked.
func TestPlanLacksData(t *testing.T) {
	e := examine(t, planned("", ""))
	e.open("supply", "source", "runs")
	e = examine(t, planned(`delivers: "L/min": 10`, ""))
	e.open("supply", "source", "lowest")
	e.want("supply", "source", "demand", "L/min", 1.2*6e-3*sum(airByHand()), 1e-3, "needs no tank")
	if f, _ := e.fact("supply", "source", "lowest"); !strings.Contains(f.Why, "tank: volume: L: …") {
		t.Errorf("the tank is missing, and it says %q", f.Why)
	}
	e = examine(t, drivenBench{}.bench())
	if f, ok := e.fact("supply", "source", "runs"); ok {
		t.Errorf("without a plan there is %v", f)
	}
	for _, s := range e.subjects {
		if s.Kind == "pilot" || s.Kind == "reading" || s.Kind == "step" {
			t.Errorf("without a plan there is %s %s", s.Kind, s.Name)
		}
	}
}

func sum(a, b float64) float64 { return a + b }

// TestDisplacementIsNotDelivery: common practice, no source: 0.5 to 0.7 of what is swept comes out. A tank of 12 L from 7 to 8 bar takes
// 12 L of free air (Boyle's law), at 0.6 × 100 L/min 12 s.
func TestDisplacementIsNotDelivery(t *testing.T) {
	e := examine(t, planned(`displaces: "L/min": 100, tank: volume: L: 12`, ""))
	e.flag("supply", "source", "guessed", true, "as written")
	e.want("supply", "source", "counted", "L/min", 60, 1e-9, "by hand")
	e.want("supply", "source", "comes", "L/min", 60, 1e-9, "by hand")
	e.want("supply", "source", "delivers", "L/min", 70, 1e-9, "the most, for the relief valve")
	if f, _ := e.fact("supply", "source", "measured"); !strings.Contains(f.Text, "from 7 bar to 8 bar in 12 s") {
		t.Errorf("it is measured so: %q", f.Text)
	}
	e = examine(t, planned(`displaces: "L/min": 100, delivers: "L/min": 55`, ""))
	e.flag("supply", "source", "guessed", false, "as written")
	e.want("supply", "source", "counted", "L/min", 55, 1e-9, "as written")
}

// TestPilotPressure: a pilot has the lower of setting and receiver; without a plan the receiver is at its cut-in, 7 bar.
func TestPilotPressure(t *testing.T) {
	valve := `shift: {moved: "coil", pilot: least: bar: 2}`
	for _, row := range []struct {
		set  string
		want float64
	}{{"1.5", 1.5}, {"5", 5}, {"8", 7}} {
		e := examine(t, drivenBench{set: row.set, spring: " ", more: valve}.bench())
		e.want("pilot", "shift", "pressure", "bar", row.want, 1e-9, "by hand")
		e.want("pilot", "shift", "least", "bar", 2, 1e-9, "as written")
	}
	// Fed from before the regulator, an external pilot has the cut-in, and none of that gets into the valve itself.
	outside := drivenBench{set: "1.5", spring: " ", more: `shift: {moved: "coil", pilot: {least: bar: 2, external: true}, ports: "14": thread: "G1/8"}
		tap: ` + part("Manifold", tee)}.bench()
	outside.runs = strings.Replace(outside.runs, `a: {from: "source.1", to: "line.1"}`, `a: {from: "source.1", to: "tap.1"}, a2: {from: "tap.2", to: "line.1"}, a3: {from: "tap.3", to: "shift.14"}`, 1)
	own := examine(t, outside)
	own.want("pilot", "shift", "pressure", "bar", 7, 1e-9, "by hand")
	own.want("part", "shift", "pressure", "bar", 1.5, 1e-9, "by hand")
	own.flag("circuit", "bench", "faulty", false, "ISO 11727 (from memory): 14 takes the pilot's air")

	b := planned(`delivers: "L/min": 1, tank: volume: mL: 50`, "")
	b.parts += "\n\t\t" + strings.Replace(valve, `moved: "coil", `, "", 1)
	e := examine(t, b)
	e.want("pilot", "shift", "pressure", "bar", e.number("supply", "source", "lowest", "bar"), 1e-9, "the receiver is lower")
	e = examine(t, planned(`delivers: "L/min": 1, tank: volume: mL: 50`, ""))
	e.open("pilot", "shift", "pressure")
}

// TestReadings: a gauge stands for the zone between the same regulators.
func TestReadings(t *testing.T) {
	e := examine(t, planned("", ""))
	e.flag("reading", "source", "gauged", false, "by hand")
	e.flag("reading", "line", "gauged", false, "by hand")
	e = examine(t, planned("gauge: true", ""))
	e.flag("reading", "source", "gauged", true, "as written")
	e.flag("reading", "line", "gauged", false, "the compressor's shows what is before the regulator")
	b := planned("", "")
	b.parts += "\n\t\ttee: " + part("Manifold", tee) + "\n\t\tdial: " + part("Gauge", `ports: "1": thread: "G1/4"`)
	b.runs = strings.Replace(b.runs, `a: {from: "source.1", to: "line.1"}`, `a: {from: "source.1", to: "tee.1"}, a2: {from: "tee.2", to: "line.1"}, a3: {from: "tee.3", to: "dial.1"}`, 1)
	e = examine(t, b)
	e.flag("reading", "source", "gauged", true, "the dial is before the regulator")
	e.flag("reading", "line", "gauged", false, "the dial is before the regulator")
}

// TestFrost: the dew point of dry air lies 3 K under the coldest place; common practice, no source.
func TestFrost(t *testing.T) {
	e := examine(t, planned("", "site: coldest: degC: 2"))
	e.want("supply", "source", "dewPointMost", "degC", -1, 1e-9, "by hand")
	e.want("supply", "source", "dewPoint", "degC", 2, 1e-9, "saturated in the receiver, which is as cold")
	e = examine(t, planned("", "site: coldest: degC: 5"))
	if f, ok := e.fact("supply", "source", "dewPoint"); ok {
		t.Errorf("nothing freezes at 5 °C, and the dew point is %v", f)
	}
	b := planned("", "site: coldest: degC: 2")
	b.parts += "\n\t\tdry: " + part("Dryer", "dewPoint: degC: -10, "+pair)
	b.runs = strings.Replace(b.runs, `a: {from: "source.1", to: "line.1"}`, `a: {from: "source.1", to: "dry.1"}, a2: {from: "dry.2", to: "line.1"}`, 1)
	e = examine(t, b)
	e.want("supply", "source", "dewPoint", "degC", -10, 1e-9, "the dryer's")
}

// TestVessels: 10 bar on 4.9 and 5.1 L lie on either side of 50 bar L. The energy is checked at the solver.
func TestVessels(t *testing.T) {
	e := examine(t, planned(`tank: volume: L: 4.9`, ""))
	if f, ok := e.fact("vessel", "source", "marked"); ok {
		t.Errorf("49 bar L, and marked is %v", f)
	}
	e = examine(t, planned(`tank: volume: L: 5.1`, ""))
	e.open("vessel", "source", "marked")
	e.want("vessel", "source", "barLitres", "", 51, 1e-9, "by hand")
	e.want("vessel", "source", "volumeUnmarked", "L", 5, 1e-9, "by hand")
	e = examine(t, planned(`tank: {volume: L: 5.1, marked: false}`, ""))
	e.flag("vessel", "source", "marked", false, "as written")
}

// TestWater: tables of handbooks have 51.1 g of water in 1 m³ of saturated air at 40 °C. At 65 %, pressed from 1.013 to 8.013 bar and cooled
// back, 51.1 × (0.65 − 1.013/8.013) = 26.8 g of each m³ fall out.
func TestWater(t *testing.T) {
	e := examine(t, planned(`delivers: "L/min": 10, tank: {volume: L: 4, drain: "none"}`, ""))
	e.flag("low point", "source", "drained", false, "as written")
	out, in := airByHand()
	taken := 1.2 * (out + in) * 1e-6 * 6 * 60 * 8  // m³ of free air
	taken *= 313.15 / 293.15 * 1e5 / 101325 * 1.05 // at 40 °C and 1.01325 bar; 5 % of it are vapour
	e.want("low point", "source", "water", "g", 26.8*taken, 0.04*26.8*taken, "table of saturated air")
	e = examine(t, planned(`delivers: "L/min": 10, tank: {volume: L: 4, drain: "automatic"}`, ""))
	e.flag("low point", "source", "drained", true, "as written")
	e = examine(t, planned(`delivers: "L/min": 10, tank: volume: L: 4`, ""))
	e.open("low point", "source", "drained")
}

func TestPartsOfThePreparation(t *testing.T) {
	b := planned("", "site: warmest: degC: 45")
	b.parts += "\n\t\tclean: " + part("Filter", `bowl: material: "plastic", `+pair) + "\n\t\tearly: " + part("Lubricator", pair) + "\n\t\tlate: " + part("Lubricator", `ports: {"1": thread: "G1/4", "2": tube: mm: 6}`)
	b.runs = strings.Replace(b.runs, `a: {from: "source.1", to: "line.1"}, b: {from: "line.2", to: "shift.1"`,
		`a: {from: "source.1", to: "clean.1"}, a2: {from: "clean.2", to: "early.1"}, a3: {from: "early.2", to: "line.1"}, b: {from: "late.2", to: "shift.1"`, 1)
	b.parts = strings.Replace(b.parts, `ports: {"1": thread: "G1/4", "2": tube: mm: 6}`, `ports: {"1": thread: "G1/4", "2": thread: "G1/4"}`, 1)
	b.runs += `, b2: {from: "line.2", to: "late.1"}`
	e := examine(t, b)
	e.flag("bowl", "clean", "guarded", false, "no guard is written")
	e.want("bowl", "clean", "warmest", "degC", 45, 1e-9, "as written")
	e.want("bowl", "clean", "pressure", "bar", 10, 1e-9, "the relief valve's setting")
	e.flag("lubricator", "early", "regulated", false, "by hand")
	e.flag("lubricator", "late", "regulated", true, "by hand")
}

// TestCutLength: 500 mm between the fittings and 15 mm in each make 530.
func TestCutLength(t *testing.T) {
	fitting := `{tube: mm: 6, thread: "G1/4", inserts: mm: 15, source: "invented"}`
	tube := `tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}`
	run := func(cut, fitting string) bench {
		return bench{cylinder: `ports: {rear: thread: "G1/4", front: thread: "G1/4"}`, runs: `a: {from: "source.1", to: "lift.rear", length: mm: 500, cut: mm: ` + cut + `, fittings: {from: ` + fitting + `, to: ` + fitting + `}, ` + tube + `}`}
	}
	e := examine(t, run("520", fitting))
	e.want("tube", "a", "cutNeeded", "mm", 530, 1e-9, "by hand")
	e.want("tube", "a", "cutSpare", "mm", -10, 1e-9, "by hand")
	e = examine(t, run("520", strings.Replace(fitting, "inserts: mm: 15, ", "", 1)))
	e.open("tube", "a", "cutSpare")
}

// TestSagRemedies does what the sentence about a sagging receiver says, and looks again: the petals of the puppet stage, on a tank of 0.45 L.
func TestSagRemedies(t *testing.T) {
	petals := func(litres, delay string) examined {
		t.Helper()
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS("../examples/stage-petals")); err != nil {
			t.Fatal(err)
		}
		d, err := strconv.ParseFloat(delay, 64)
		if err != nil {
			t.Fatalf("the delay is %q", delay)
		}
		var steps []string
		for n := range 4 {
			steps = append(steps, fmt.Sprintf(`{cylinder: "raise %d", goes: "out", at: s: %g, stands: s: 3}`, n+1, float64(n)*d))
		}
		for _, e := range [][3]string{
			{"parts.cue", "volume: L: 9", "volume: L: " + litres},
			{"petals.cue", `for n, _ in petals {cylinder: "raise \(n)", goes: "out", at: s: 0, stands: s: 3}`, strings.Join(steps, ", ")},
		} {
			path := filepath.Join(dir, e[0])
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(text), e[1]) {
				t.Fatalf("%s does not hold %q", e[0], e[1])
			}
			if err := os.WriteFile(path, []byte(strings.Replace(string(text), e[1], e[2], 1)), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		spec, err := schema.NewLoader(dir, map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files}).Load(".")
		if err != nil {
			t.Fatal(err)
		}
		return examined{t, checks.Examine(spec.Machines[0])}
	}
	e := petals("0.45", "0")
	low, setting := e.number("supply", "source", "lowest", "bar"), e.number("supply", "source", "setting", "bar")
	if low >= setting {
		t.Fatalf("the receiver falls to %g bar alone", low)
	}
	f, _ := e.fact("supply", "source", "remedySag")
	said := regexp.MustCompile(`receivers of (\S+) L in all: computed again, they fall to (\S+) bar; .* begin (\S+) s after the one before: computed again, the receiver falls to (\S+) bar`).FindStringSubmatch(f.Text)
	if said == nil {
		t.Fatalf("the remedy is %q", f.Text)
	}
	for _, again := range []struct{ litres, delay, falls string }{{said[1], "0", said[2]}, {"0.45", said[3], said[4]}} {
		now := petals(again.litres, again.delay).number("supply", "source", "lowest", "bar")
		falls, err := strconv.ParseFloat(again.falls, 64)
		if err != nil || now < setting || math.Abs(now-falls) > 1e-3 {
			t.Errorf("with %s L and %s s between strokes it falls to %g bar, and should to %s bar", again.litres, again.delay, now, again.falls)
		}
	}
}

// TestRoomRemedies does what the sentence about an early command says, and looks again.
func TestRoomRemedies(t *testing.T) {
	plan := func(period, back string) examined {
		t.Helper()
		b := drivenBench{}.bench()
		b.machine += `
	cycle: {period: s: ` + period + `, steps: [{cylinder: "lift", goes: "in", at: s: ` + back + `}, {cylinder: "lift", goes: "out", at: s: 0, stands: s: 3}]}`
		return examine(t, b)
	}
	number := func(text, after string) string {
		t.Helper()
		_, rest, _ := strings.Cut(text, after)
		digits, _, found := strings.Cut(rest, " ")
		if !found {
			t.Fatalf("no number after %q in %q", after, text)
		}
		return digits
	}
	e := plan("10", "3.1")
	f, _ := e.fact("step", "lift out at 0 s", "remedyRoom")
	if early := e.number("step", "lift out at 0 s", "room", ""); early >= 1 {
		t.Fatalf("0.1 s for a stroke leaves room %g", early)
	}
	later, longer := number(f.Text, "Send it back at "), number(f.Text, "alike, to ")
	if room := plan("10", later).number("step", "lift out at 0 s", "room", ""); room < 1.3 {
		t.Errorf("sent back at %s s it has room %g", later, room)
	}
	period, err := strconv.ParseFloat(longer, 64)
	if err != nil {
		t.Fatal(err)
	}
	if room := plan(longer, fmt.Sprint(3.1*period/10)).number("step", "lift out at 0 s", "room", ""); room < 1.3 {
		t.Errorf("stretched to %s s it has room %g", longer, room)
	}
	e = plan("8.1", "8")
	f, _ = e.fact("step", "lift in at 8 s", "remedyRoom")
	whole := number(f.Text, "Let the whole cycle take ")
	if room := plan(whole, "8").number("step", "lift in at 8 s", "room", ""); room < 1.3 {
		t.Errorf("in a cycle of %s s it has room %g", whole, room)
	}
}

// TestSingleActingTakesAirOneWay: its spring brings it back. 4.909 cm² × 2 cm at 6.01325 bar, and 250 mm of a tube of 4 mm by 5 bar.
func TestSingleActingTakesAirOneWay(t *testing.T) {
	e := examine(t, bench{
		cylinder: `acting: "single", spring: N: 20, rod: mm: 10, dead: mL: 1, time: s: 0.5, ports: rear: tube: mm: 6`,
		parts: `line: ` + regulator("5") + `
		source: {delivers: "L/min": 10, tank: volume: L: 2}
		shift: ` + part("Valve", `function: "3/2", moved: "hand", ports: {"1": thread: "G1/4", "2": tube: mm: 6, "3": thread: "G1/8"}`),
		runs:    `a: {from: "source.1", to: "line.1"}, b: {from: "line.2", to: "shift.1"}, c: {from: "shift.2", to: "lift.rear", tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: 250}`,
		machine: `cycle: {period: s: 4, steps: [{cylinder: "lift", goes: "out", at: s: 0}, {cylinder: "lift", goes: "in", at: s: 2}]}`,
	})
	out := math.Pi/4*6.25*2*6.01325 + (1+math.Pi/4*0.16*25)*5
	e.want("step", "lift out at 0 s", "air", "mL", out, 0.01, "by hand")
	e.want("supply", "source", "perCycle", "mL", 1.2*out, 0.01, "by hand")
	e.want("step", "lift out at 0 s", "room", "", 4, 1e-9, "2 s for a stroke of 0.5 s, as written")
}

// Between two parts that let through alike, into an empty room: with b = 0.3 for both, the flow from 6.013 bar is choked in the second,
// q = C p, and p follows from the ellipse of the first, q/(C 6.013) = √(1 − ((p/6.013 − 0.3)/0.7)²) = p/6.013.
func TestPilotInFlow(t *testing.T) {
	// r² = 1 − ((r − 0.3)/0.7)², with r = p/6.013: (1 + 1/0.49) r² − (0.6/0.49) r + 0.09/0.49 − 1 = 0
	a, h, c := 1+1/0.49, 0.6/0.49, 0.09/0.49-1
	r := (h + math.Sqrt(h*h-4*a*c)) / (2 * a)
	b := drivenBench{unmounted: true, spring: " ", more: `shift: {moved: "coil", pilot: least: bar: 4}`}.bench()
	tube := `tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: `
	b.parts += `
		throat: schema.#Manifold & {passage: {C: "L/(s bar)": 0.02, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6}, source: "invented"}`
	b.parts = strings.Replace(b.parts, `passage: {C: "L/(s bar)": 1, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3"`, `passage: {C: "L/(s bar)": 0.02, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3"`, 1)
	b.runs = strings.Replace(b.runs, `to: "shift.1"`, `to: "throat.1"`, 1) + `, t: {from: "throat.2", to: "shift.1", ` + tube + `20}`
	e := examine(t, b)
	e.want("pilot", "shift", "flowing", "bar", r*6.01325-1.01325, 0.02, "ISO 6358-1's ellipse solved by hand for two alike; the tubes let through fifty times as much")
	e.text("pilot", "shift", "feedThrough", "throat")
	if f, _ := e.fact("pilot", "shift", "remedyFlow"); !strings.HasPrefix(f.Text, "Bring what throat lets through to 0.031 L/(s bar) or more") {
		t.Errorf("%q: 4 bar want 1.29 times as much by the same ellipse, the next quarters are 1.56 times", f.Text)
	}
}
