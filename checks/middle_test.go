package checks_test

import (
	"math"
	"strings"
	"testing"
)

// TestInTheMiddle: a centre that feeds both sides drives the rod out with p (A − a), the areas of the piston without and with the rod; a
// closed one leaves the load to the air that is shut in (ISO 1219-1, from memory).
func TestInTheMiddle(t *testing.T) {
	const name = "lift on normal"
	for centre, want := range map[string][2]bool{"pressure": {true, false}, "closed": {false, true}, "exhaust": {false, false}} {
		e := examine(t, worked(`function: "5/3", centre: "`+centre+`"`, "", "shift.4", "shift.2"))
		e.flag("behaviour", name, "creeps", want[0], centre)
		e.flag("behaviour", name, "sinks", want[1], centre)
		e.flag("behaviour", name, "declared", false, centre)
		// Moments about P: the weight's lever is longest with the rod in, its share along the rod largest there too.
		load := func(length float64) float64 {
			cos := (300.0*300 + 120*120 - length*length) / (2 * 300 * 120)
			return 2 * 9.80665 * cos * length / (300 * math.Sqrt(1-cos*cos))
		}
		if want[0] {
			e.want("behaviour", name, "creepForce", "N", 0.6*math.Pi/4*10*10-load(270), 1e-3, "p (A − a) − load, with the rod out")
			if text := e.textOf("behaviour", name, "remedyCreeps"); !strings.Contains(text, "closed centre for shift") || strings.Contains(text, "exhaust centre") {
				t.Errorf("the weight brings the rod in with an exhaust centre, and a closed one keeps it: %s", text)
			}
		}
		if want[1] {
			e.want("behaviour", name, "sinkLoad", "N", load(250), 1e-4, "load with the rod in")
			e.want("behaviour", name, "sinkHold", "N", 1.5*load(250), 1e-4, "half as much again")
			e.text("behaviour", name, "sinksWay", "in")
			e.says("behaviour", name, "remedySinks", "pilot-operated check valve into the rear port of lift, its pilot on a manifold in the tube to the front port")
		}
	}
	// The load goes where the rod harms nobody.
	examine(t, worked(`function: "5/3", centre: "closed"`, `harmless: "in"`, "shift.4", "shift.2")).flag("behaviour", name, "sinks", false, "harmless in")
}

// TestPilotCheck: it shuts while there is no pressure at its pilot (ISO 1219-1, from memory), so the load that presses the rod in does not
// fall without air, and what is shut in is trapped.
func TestPilotCheck(t *testing.T) {
	held := func(check string) examined {
		b := worked(`function: "5/3", centre: "exhaust"`, `harmless: "out"`, "shift.4", "shift.2")
		b.parts += "\nhold: " + check + "\nfork: " + part("Manifold", tee)
		b.runs = `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}, c: {from: "line.2", to: "shift.1"}
			d: {from: "shift.4", to: "hold.1"}, e: {from: "hold.2", to: "lift.rear"}
			f: {from: "shift.2", to: "fork.1"}, g: {from: "fork.2", to: "lift.front"}, h: {from: "fork.3", to: "hold.3"}`
		if strings.Contains(check, "Pilot") {
			b.runs = strings.Replace(b.runs, "hold.3", "hold.12", 1)
		}
		return examine(t, b)
	}
	e := held(part("PilotCheckValve", `ports: {"1": thread: "G1/4", "2": thread: "G1/4", "12": thread: "G1/4"}`))
	e.flag("circuit", "bench", "faulty", false, "whole")
	e.flag("behaviour", "lift on air lost", "fallsAway", false, "the check valve shuts")
	e.flag("behaviour", "lift on isolated for work", "trapped", true, "the check valve shuts")
	e.text("behaviour", "lift on isolated for work", "trappedIn", "rear")
	// A manifold in its place lets the load fall.
	held(part("Manifold", tee)).flag("behaviour", "lift on air lost", "fallsAway", true, "open")
}

// TestShuttle: the inlet with more pressure passes (ISO 1219-1, from memory): a hand valve beside the coil's moves the same cylinder.
func TestShuttle(t *testing.T) {
	b := worked(`function: "3/2"`, `acting: "single", spring: N: 60, harmless: "in"`, "", "")
	b.cylinder = strings.Replace(b.cylinder, ports, `ports: rear: thread: "G1/8"`, 1)
	b.parts += `
		feed: ` + part("Manifold", tee) + `
		hand: ` + part("Valve", `function: "3/2", moved: "hand", `+`ports: {"1": thread: "G1/4", "2": thread: "G1/4", "3": thread: "G1/4"}`) + `
		either: ` + part("ShuttleValve", tee)
	b.runs = `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}, c: {from: "line.2", to: "feed.1"}, d: {from: "feed.2", to: "shift.1"}
		e: {from: "feed.3", to: "hand.1"}, f: {from: "shift.2", to: "either.1"}, g: {from: "hand.2", to: "either.3"}, h: {from: "either.2", to: "lift.rear"}`
	e := examine(t, b)
	e.flag("circuit", "bench", "faulty", false, "whole")
	e.says("behaviour", "lift on normal", "does", "moves out with hand at 12 and shift at 10")
	e.flag("behaviour", "lift on electricity lost", "awayOnPower", false, "both let go")
}

// TestCheckValveTurned has one sentence for what stands behind a check valve that is fitted backward.
func TestCheckValveTurned(t *testing.T) {
	b := worked(`function: "5/2"`, "", "shift.4", "shift.2")
	b.parts += "\nkeep: " + part("CheckValve", pair)
	b.runs = strings.Replace(b.runs, `b: {from: "shut.2", to: "line.1"}`, `b: {from: "shut.2", to: "keep.2"}, n: {from: "keep.1", to: "line.1"}`, 1)
	e := examine(t, b)
	e.says("circuit", "keep", "fault", "Air comes to port 2 of keep")
	faults := 0
	for _, s := range e.subjects {
		if s.Kind == "circuit" {
			faults++
		}
	}
	if faults != 1 {
		t.Errorf("%d faults, want 1", faults)
	}
}

// TestRingOfManifolds names all runs and manifolds of the ring.
func TestRingOfManifolds(t *testing.T) {
	b := worked(`function: "5/2"`, "", "shift.4", "shift.2")
	b.parts += "\nfork: " + part("Manifold", tee) + "\njoin: " + part("Manifold", tee)
	b.runs = strings.Replace(b.runs, `c: {from: "line.2", to: "shift.1"}`, `c: {from: "line.2", to: "fork.1"}, m: {from: "fork.2", to: "join.2"}, n: {from: "fork.3", to: "join.3"}, o: {from: "join.1", to: "shift.1"}`, 1)
	examine(t, b).says("circuit", "fork, join, m, n", "fault", "The runs m and n make a ring with nothing but fork and join in it")
}

// TestControllerStart: a coil that is on brings about 14, and 1 feeds 4 (ISO 1219-1, from memory).
func TestControllerStart(t *testing.T) {
	b := worked(`function: "5/2"`, `harmless: "in"`, "shift.4", "shift.2")
	examine(t, b).flag("behaviour", "lift on controller reset", "awayOnStart", false, "no coil is on")
	e := examineSpec(t, strings.Replace(b.spec(), "air: {", "air: {start: shift: \"14\"\n", 1))
	e.flag("behaviour", "lift on controller reset", "awayOnStart", true, "14")
	e.says("behaviour", "lift on controller reset", "remedyRest", "Take shift out of `start`")
}

// TestStopLetGo: a coil that has its current again brings its valve back to where it was before the stop.
func TestStopLetGo(t *testing.T) {
	b := worked(`function: "5/2"`, `harmless: "in"`, "shift.4", "shift.2")
	for resumes, want := range map[string]bool{"true": true, "false": false} {
		e := examineSpec(t, strings.Replace(b.spec(), "air: {", "air: {stop: [\"shift\"], resumes: "+resumes+"\n", 1))
		e.flag("behaviour", "lift on stop released", "moves", true, "out by the coil, or in by the spring")
		e.flag("behaviour", "lift on stop released", "awayOnRelease", want, resumes)
	}
}

// TestReturnByAir: without air at port 1 nothing brings the valve back (common practice, no source).
func TestReturnByAir(t *testing.T) {
	for returns, want := range map[string]bool{"air": true, "spring": false} {
		e := examine(t, worked(`function: "5/2", returns: "`+returns+`"`, `harmless: "in"`, "shift.4", "shift.2"))
		e.flag("behaviour", "lift on air back without electricity", "returnsLate", want, returns)
		e.flag("behaviour", "lift on air back without electricity", "awayOnReturn", false, returns)
	}
}

// TestSpringBack: 2 kg hung from the rocker's end press the rod in, and a spring that is to push it out has them against it. Moments about P.
func TestSpringBack(t *testing.T) {
	b := worked(`function: "3/2"`, `acting: "single", spring: N: 20`, "", "shift.2")
	b.cylinder = strings.Replace(b.cylinder, ports, `ports: front: thread: "G1/8"`, 1)
	b.runs = strings.Replace(b.runs, `rear: {from: "", to: "lift.rear"}, `, "", 1)
	e := examine(t, b)
	cos := (300.0*300 + 120*120 - 250*250) / (2 * 300 * 120)
	load := 2 * 9.80665 * cos * 250 / (300 * math.Sqrt(1-cos*cos))
	friction := 0.01 * math.Pi / 4 * 25 * 25 // 0.1 bar on the piston: common practice, no source
	e.want("behaviour", "lift on normal", "spring", "N", 20, 1e-9, "as written")
	e.want("behaviour", "lift on normal", "springNeeded", "N", load+friction, 1e-4, "load + friction")
	e.want("behaviour", "lift on normal", "springLoad", "N", 20-friction, 1e-4, "spring − friction")
}

// TestReceiverKeepsAir: a check valve before a receiver lets nothing back (ISO 1219-1, from memory).
func TestReceiverKeepsAir(t *testing.T) {
	b := worked(`function: "5/2"`, "", "shift.4", "shift.2")
	b.parts += "\nkeep: " + part("CheckValve", pair) + "\nstore: " + part("Receiver", `volume: L: 5, `+pair)
	b.runs = strings.Replace(b.runs, `b: {from: "shut.2", to: "line.1"}`, `b: {from: "shut.2", to: "keep.1"}, m: {from: "keep.2", to: "store.1"}, n: {from: "store.2", to: "line.1"}`, 1)
	e := examine(t, b)
	e.flag("store", "store", "keepsAir", true, "behind the check valve")
	e.want("store", "store", "kept", "bar", 8, 1e-9, "the compressor's cut-out")
	e.says("store", "store", "remedyKept", "hand valve (2/2, shut at rest)")
	b.parts = strings.Replace(b.parts, "keep: schema.#CheckValve", "keep: schema.#Filter", 1)
	examine(t, b).flag("store", "store", "keepsAir", false, "the shut-off valve lets it out")
	b.parts = strings.Replace(b.parts, "exhausts: true", "exhausts: false", 1)
	e = examine(t, b)
	e.flag("store", "store", "keepsAir", true, "nothing lets it out")
	e.says("store", "store", "remedyKept", "a shut-off valve for shut that exhausts")
}
