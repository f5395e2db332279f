package checks_test

import (
	"math"
	"regexp"
	"strings"
	"testing"
)

// A load that has lost its air goes down as fast as the air under the piston leaves. At its lower end the load of 29.24 N less 10
// N of friction holds 0.392 bar in the rear, and a C that is not choked lets out q = C p √(1 − ((p0/p − b)/(1 − b))²) of free air.
func TestFallIsHeldByWhatLeaves(t *testing.T) {
	e := examine(t, drivenBench{throttle: "0.004", silenced: true}.replaced("breakaway: 1.3", "breakaway: 1"))
	p := 1.01325 + (29.24-10)/49.0874 // bar absolute
	speed := 0.004e-3 * math.Sqrt(1-math.Pow((1.01325/p-0.3)/0.7, 2)) / 4.90874e-4
	e.want("stroke", "lift falling in", "fallSpeed", "m/s", speed, 0.1*speed, "ISO 6358 by hand, on the load that virtual work by hand gives")
	e.text("stroke", "lift falling in", "way", "in")
	// 5 N of friction more than the load at its start, and nothing comes down.
	held := examine(t, drivenBench{silenced: true}.replaced("friction: N: 10", "friction: N: 35"))
	held.want("stroke", "lift falling in", "fallSpeed", "m/s", 0, 0, "equilibrium by hand: 35 N of friction hold 29 N of load")
}

// Through wide lines it falls nearly freely: what the weight loses from where it was to where the cushion begins, less friction.
func TestFallIntoACushion(t *testing.T) {
	wide := drivenBench{unmounted: true, silenced: true, tube: "20", passage: `{C: "L/(s bar)": 1.5, b: 0.3}`, cylinder: `cushion: {length: mm: 5, energy: mJ: 50}`}
	e := examine(t, wide.bench())
	// y = 120 sin θ with cos θ = (300² + 120² − L²)/72000, from L = 270 to 255 mm: 7.441 mm.
	free := 5*9.80665*7.441e-3 - 10*15e-3
	energy := e.number("stroke", "lift falling in", "fallEnergy", "J")
	if energy > free || energy < 0.8*free {
		t.Errorf("%g J at the cushion, want somewhat less than %g J: energy by hand", energy, free)
	}
	if _, ok := e.fact("stroke", "lift falling in", "fallSpeed"); ok {
		t.Error("the speed at the end is judged too, though the cushion's rating decides")
	}
	f, _ := e.fact("stroke", "lift falling in", "softer")
	if !strings.HasPrefix(f.Text, "Put a flow control at the rear port that throttles the air leaving it, and set it to ") {
		t.Errorf("%q", f.Text)
	}
}

// Two cylinders whose air leaves by one silencer at the same moment have half of it each: choked, v = C p0/2A.
func TestSharedSilencer(t *testing.T) {
	b := drivenBench{silenced: true}.bench()
	second := func(text string) string {
		for _, name := range []string{"lift", "shift", "low", "high"} {
			text = regexp.MustCompile(`\b`+name+`\b`).ReplaceAllString(text, name+"2")
		}
		return text
	}
	tube := `tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: 20`
	parts, runs := b.parts, b.runs
	// The other cylinder stands beside the first on posts and a rocker of its own.
	b.machine += besides + `
	cylinders: lift2: {for k, v in cylinders.lift if k != "rear" && k != "front" {(k): v}} & schema.#Cylinder & {rear: {at: "O2", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "Q2", kind: "eye", hole: mm: 8, width: mm: 16}}`
	from := strings.Index(parts, "shift:")
	to := strings.Index(parts, "quiet3:")
	mine := parts[from:to]
	b.parts = parts[:from] + mine + second(mine) + `
		quiet3: schema.#Silencer & {passage: {C: "L/(s bar)": 0.004, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}
		quiet5: schema.#Silencer & {passage: {C: "L/(s bar)": 1, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}
		quiet52: schema.#Silencer & {passage: {C: "L/(s bar)": 1, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}
		collector: schema.#Manifold & {ports: {"1": {thread: "G1/8", male: true}, "2": {thread: "G1/8", male: true}, "3": thread: "G1/8"}, source: "invented"}
		fork: schema.#Manifold & {ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": tube: mm: 6}, source: "invented"}`
	runs = strings.Replace(runs, `, q3: {from: "quiet3.1", to: "shift.3"}`, "", 1)
	lines := runs[strings.Index(runs, ", c: "):]
	renamed := second(lines)
	for _, k := range []string{"c", "d", "e", "f", "q5"} {
		renamed = strings.Replace(renamed, ", "+k+": ", ", "+k+"2: ", 1)
	}
	renamed = strings.Replace(renamed, "quiet5.1", "quiet52.1", 1)
	b.runs = strings.Replace(runs, `to: "shift.1"`, `to: "fork.1"`, 1) + renamed +
		`, s1: {from: "fork.2", to: "shift.1", ` + tube + `}, s2: {from: "fork.3", to: "shift2.1", ` + tube + `}` +
		`, x1: {from: "shift.3", to: "collector.1"}, x2: {from: "shift2.3", to: "collector.2"}, q: {from: "quiet3.1", to: "collector.3"}`
	e := examine(t, b)
	v := 0.004e-3 / 2 / 4.1233e-4 // m/s
	for name, other := range map[string]string{"lift out": "lift2 out", "lift2 out": "lift out"} {
		e.want("stroke", name, "sharedTime", "s", 0.02/v, 0.15*0.02/v, "ideal gas and ISO 6358's C, choked: v = C p0/2A")
		e.text("stroke", name, "sharedWith", other)
	}
	if _, ok := e.fact("stroke", "lift in", "sharedTime"); ok {
		t.Error("the way in shares a silencer, and has its own")
	}
}

// Two cylinders on one valve, whose lines meet before one flow control: choked, each has half of what that lets out, v = C p0/2A; and
// unlike, both go at one speed.
func TestOneValveForTwoCylinders(t *testing.T) {
	e := examine(t, twoOnOne("25", "0.004"))
	v := 0.004e-3 / 2 / 4.1233e-4 // m/s
	for _, name := range []string{"lift out", "lift2 out"} {
		e.want("stroke", name, "meanSpeed", "m/s", v, 0.12*v, "ideal gas and ISO 6358's C, choked: v = C p0/2A")
	}
	e = examine(t, twoOnOne("40", "0.004"))
	v = 0.004e-3 / (4.1233e-4 + 11.781e-4)
	for _, name := range []string{"lift out", "lift2 out"} {
		e.want("stroke", name, "meanSpeed", "m/s", v, 0.15*v, "the same with areas of 4.123 and 11.781 cm²: both at one speed")
	}
}

// twoOnOne is the bench twice, with the bore of the second's cylinder, on one valve with a flow control for the air that leaves the fronts.
func twoOnOne(bore, throttle string) bench {
	tube := `tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: `
	cylinder := `rod: mm: 10, moving: kg: 0.1, friction: N: 10, breakaway: 1.3, dead: mL: 3, ports: {rear: tube: mm: 6, front: tube: mm: 6}`
	return bench{
		cylinder: cylinder,
		parts: `
		line: schema.#Regulator & {set: bar: 5, relieving: true, range: {from: bar: 0.1, to: bar: 8.5}, ports: {"1": thread: "G1/4", "2": tube: mm: 6}, source: "invented"}
		shift: schema.#Valve & {function: "5/2", passage: {C: "L/(s bar)": 1, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": thread: "G1/8", "4": tube: mm: 6, "5": thread: "G1/8"}, source: "invented"}
		slow: schema.#FlowControl & {passage: {C: "L/(s bar)": 1, b: 0.3}, throttles: {enters: "1", set: "L/(s bar)": ` + throttle + `}, ports: {"1": tube: mm: 6, "2": tube: mm: 6}, source: "invented"}
		rears: schema.#Manifold & {ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": tube: mm: 6}, source: "invented"}
		fronts: schema.#Manifold & {ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": tube: mm: 6}, source: "invented"}
		quiet3: schema.#Silencer & {passage: {C: "L/(s bar)": 1, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}
		quiet5: schema.#Silencer & {passage: {C: "L/(s bar)": 1, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}`,
		runs: `a: {from: "source.1", to: "line.1"}, b: {from: "line.2", to: "shift.1", ` + tube + `200}, q3: {from: "quiet3.1", to: "shift.3"}, q5: {from: "quiet5.1", to: "shift.5"},
		c: {from: "shift.4", to: "rears.1", ` + tube + `100}, d: {from: "rears.2", to: "lift.rear", ` + tube + `100}, e: {from: "rears.3", to: "lift2.rear", ` + tube + `100},
		f: {from: "shift.2", to: "slow.2", ` + tube + `100}, g: {from: "slow.1", to: "fronts.1", ` + tube + `100}, h: {from: "fronts.2", to: "lift.front", ` + tube + `100}, i: {from: "fronts.3", to: "lift2.front", ` + tube + `100}`,
		machine: `loads: weight: {at: "Q", mass: kg: 5}` + besides + `
	cylinders: lift2: schema.#Cylinder & {bore: mm: ` + bore + `, stroke: mm: 20, closed: mm: 250, source: "invented", ` + cylinder + `, rear: {at: "O2", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "Q2", kind: "eye", hole: mm: 8, width: mm: 16}}`,
	}
}

// besides is the bench's linkage once more, beside it.
const besides = `
	points: {O2: {x: mm: 1000, y: mm: 0}, P2: {x: mm: 1300, y: mm: 0}, Q2: {x: mm: 1238.66666666666666, y: mm: 103.14283565346165}}
	links: {post2: {points: ["O2", "P2"], ground: true}, rocker2: {points: ["P2", "Q2"], mass: kg: 0}}
	loads: weight2: {at: "Q2", mass: kg: 5}`
