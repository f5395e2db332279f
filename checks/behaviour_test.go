package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

const fivePorts = `ports: {"1": thread: "G1/4", "2": thread: "G1/4", "3": thread: "G1/4", "4": thread: "G1/4", "5": thread: "G1/4"}`

// worked is a bench whose weight of 2 kg presses the rod in, worked by one valve behind an isolator and a regulator of 6 bar.
func worked(valve, harmless, rear, front string) bench {
	return bench{
		cylinder: ports + `, rod: mm: 10, ` + harmless,
		parts: `shut: ` + part("Isolator", `exhausts: true, lockable: true, `+pair) + `
			line: ` + regulator("6") + `
			shift: ` + part("Valve", valve+`, `+fivePorts),
		runs: `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}, c: {from: "line.2", to: "shift.1"}
			rear: {from: "` + rear + `", to: "lift.rear"}, front: {from: "` + front + `", to: "lift.front"}`,
		machine: `loads: weight: {at: "Q", mass: kg: 2}`,
	}
}

// TestBehaviourByHand follows the air by what each position of a valve joins (ISO 1219-1, from memory): at rest, or at 12, port 1 feeds 2
// and 4 is let out by 5; at 14, port 1 feeds 4 and 2 is let out by 3; in the middle of a 5/3 all are shut, let out, or fed. A single coil
// with a spring comes back to 12, two coils stay as they were left (common practice, no source).
func TestBehaviourByHand(t *testing.T) {
	const single, double = `function: "5/2", moved: "coil", returns: "spring"`, `function: "5/2", moved: "coil", returns: "nothing"`
	for _, c := range []struct {
		what, valve, harmless string
		swapped               bool
		fails                 string
		remedy                string // part of it
	}{
		{"single, at rest it pulls in", single, "in", false, "", ""},
		{"tubes the other way round: it goes out at rest", single, "in", true, "crossed", "Swap the tubes at shift: rear to port 4"},
		{"at rest it pulls in, and out was wanted; the weight does too", single, "out", false, "crossed fallsAway", "Swap the tubes at shift: rear to port 2"},
		{"the weight brings it in without air", single, "out", true, "fallsAway", ""},
		{"two coils: it stays, and comes out again after the weight has pressed it in", double, "in", false, "stuck awayOnReturn", "spring brings back for shift"},
		{"air on both sides: the rear is the larger", `function: "5/3", centre: "pressure"`, "in", false, "awayOnPower", "5/2 that a spring brings back"},
		{"both let out: the weight presses it in", `function: "5/3", centre: "exhaust"`, "in", false, "", ""},
		{"both let out: the weight presses it in", `function: "5/3", centre: "exhaust"`, "out", false, "awayOnPower fallsAway", "swap the tubes"},
	} {
		rear, front := "shift.4", "shift.2"
		if c.swapped {
			rear, front = front, rear
		}
		e := examine(t, worked(c.valve, fmt.Sprintf("harmless: %q", c.harmless), rear, front))
		for event, facts := range map[string]string{
			"electricity lost":             "crossed awayOnPower stuck",
			"air lost":                     "fallsAway",
			"air back without electricity": "awayOnReturn",
		} {
			for _, fact := range strings.Fields(facts) {
				e.flag("behaviour", "lift on "+event, fact, strings.Contains(c.fails, fact), c.what)
			}
		}
		if c.remedy != "" {
			e.says("behaviour", "lift on electricity lost", "remedyRest", c.remedy)
		}
		// Moments about P with the rod in, where the weight's lever is longest: m g × 120 cos θ = F × 300 × 120 sin θ / 250.
		cos := (300.0*300 + 120*120 - 250*250) / (2 * 300 * 120)
		hold := 0.0
		if c.harmless == "out" {
			hold = 2 * 9.80665 * cos * 250 / (300 * math.Sqrt(1-cos*cos))
		}
		e.want("behaviour", "lift on air lost", "hold", "N", hold, 1e-4, c.what)
	}
}

// TestStopList: only the coils that the stop names let go.
func TestStopList(t *testing.T) {
	const valve = `function: "5/3", centre: "pressure", moved: "coil"`
	b := worked(valve, `harmless: "in"`, "shift.4", "shift.2")
	for _, s := range examine(t, b).subjects {
		if s.Name == "lift on stop pressed" {
			t.Error("nothing is stopped, and there is a behaviour on it")
		}
	}
	e := examineSpec(t, strings.Replace(b.spec(), "air: {", `air: {stop: ["shift"]`+"\n", 1))
	e.flag("behaviour", "lift on stop pressed", "moves", true, "the rear is the larger")
	e.flag("behaviour", "lift on stop pressed", "awayOnPower", false, "the loss of electricity says it already")
}

// TestTrappedAir: a closed centre shuts both outlets in (ISO 1219-1, from memory), with what the regulator let stand: 6 bar on π/4 25².
func TestTrappedAir(t *testing.T) {
	for centre, want := range map[string]bool{"closed": true, "exhaust": false, "pressure": false} {
		e := examine(t, worked(fmt.Sprintf(`function: "5/3", centre: %q`, centre), "", "shift.4", "shift.2"))
		e.flag("behaviour", "lift on isolated for work", "trapped", want, centre)
		if want {
			e.want("behaviour", "lift on isolated for work", "trappedPressure", "bar", 6, 1e-9, "the regulator's setting")
			e.want("behaviour", "lift on isolated for work", "trappedForce", "N", 0.6*math.Pi/4*25*25, 1e-6, "pressure × area")
			e.says("behaviour", "lift on isolated for work", "remedyTrapped", "Fit a hand valve (2/2, shut at rest) on a manifold in the tube at the rear and front of lift")
			if text := e.textOf("behaviour", "lift on isolated for work", "remedyTrapped"); strings.Contains(text, "exhaust centre") {
				t.Errorf("the weight falls with an exhaust centre, and it is offered: %s", text)
			}
		}
	}
	// A hand valve on the tube of each chamber lets the air out.
	b := worked(`function: "5/3"`, "", "shift.4", "shift.2")
	b.parts += `
		forkR: ` + part("Manifold", tee) + `
		forkF: ` + part("Manifold", tee) + `
		bleedR: ` + part("Valve", `function: "2/2", moved: "hand", `+pair) + `
		bleedF: ` + part("Valve", `function: "2/2", moved: "hand", `+pair) + `
		quietR: ` + part("Silencer", `ports: "1": thread: "G1/4"`) + `
		quietF: ` + part("Silencer", `ports: "1": thread: "G1/4"`)
	b.runs = `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}, c: {from: "line.2", to: "shift.1"}
		d: {from: "shift.4", to: "forkR.1"}, e: {from: "forkR.2", to: "lift.rear"}, f: {from: "forkR.3", to: "bleedR.1"}, g: {from: "bleedR.2", to: "quietR.1"}
		h: {from: "shift.2", to: "forkF.1"}, i: {from: "forkF.2", to: "lift.front"}, j: {from: "forkF.3", to: "bleedF.1"}, k: {from: "bleedF.2", to: "quietF.1"}`
	examine(t, b).flag("behaviour", "lift on isolated for work", "trapped", false, "bleeds")
}

// TestCircuitFaults names each mistake where it is, and finds none in a circuit that is whole (circuits by hand).
func TestCircuitFaults(t *testing.T) {
	const valve = `function: "5/2"`
	whole := worked(valve, "", "shift.4", "shift.2")
	examine(t, whole).flag("circuit", "bench", "faulty", false, "whole")
	open := worked(valve, "", "shift.4", "shift.2")
	open.runs = strings.Replace(open.runs, `rear: {from: "shift.4", to: "lift.rear"}, `, "", 1)
	e := examine(t, open)
	e.says("circuit", "shift", "fault", "Port shift.4 is open, and air under pressure comes to it")
	e.says("circuit", "shift", "remedyFault", "plug into shift.4")
	plugged := worked(valve, "", "shift.4", "shift.2")
	plugged.parts += "\nstopper3: " + part("Plug", `ports: "1": thread: "G1/4"`) + "\nstopper5: " + part("Plug", `ports: "1": thread: "G1/4"`)
	plugged.runs += `, p: {from: "stopper3.1", to: "shift.3"}, q: {from: "stopper5.1", to: "shift.5"}`
	plugged.runs = strings.Replace(plugged.runs, `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}`, `a: {from: "source.1", to: "line.1"}`, 1)
	examine(t, plugged).says("circuit", "lift", "fault", "No valve position lets the air out of lift.")
}

// TestPluggedExhaust: at 12 port 4 is let out by 5, at 14 port 2 by 3 (ISO 1219-1, from memory); which is plugged shuts in one chamber.
func TestPluggedExhaust(t *testing.T) {
	for port, chamber := range map[string]string{"3": "front", "5": "rear"} {
		b := worked(`function: "5/2"`, "", "shift.4", "shift.2")
		examine(t, b).flag("behaviour", "lift on normal", "shutIn", false, "both open")
		b.parts += "\nstopper: " + part("Plug", `ports: "1": thread: "G1/4"`)
		b.runs += `, p: {from: "stopper.1", to: "shift.` + port + `"}`
		e := examine(t, b)
		e.flag("behaviour", "lift on normal", "shutIn", true, port)
		e.text("behaviour", "lift on normal", "shutInWhere", chamber)
		e.says("behaviour", "lift on normal", "remedyShutIn", "Take the plug out of shift."+port)
	}
}

// TestSingleActing: a 3/2 at rest lets the rear out by 3 (ISO 1219-1, from memory), and the spring brings the rod in; open at rest, it feeds
// the rear, and the rod goes out. Without the spring's force nothing can be said.
func TestSingleActing(t *testing.T) {
	single := func(rest, spring string) examined {
		b := worked(`function: "3/2", rest: "`+rest+`"`, `acting: "single", harmless: "in"`+spring, "shift.2", "")
		b.cylinder = strings.Replace(b.cylinder, ports, `ports: rear: thread: "G1/8"`, 1)
		b.runs = strings.Replace(b.runs, `front: {from: "", to: "lift.front"}`, "", 1)
		return examine(t, b)
	}
	single("shut", "").open("behaviour", "lift on electricity lost", "awayOnPower")
	e := single("shut", ", spring: N: 20")
	e.flag("behaviour", "lift on electricity lost", "awayOnPower", false, "the spring brings it in")
	e.flag("behaviour", "lift on electricity lost", "stuck", false, "the spring brings it in")
	single("open", ", spring: N: 20").flag("behaviour", "lift on electricity lost", "awayOnPower", true, "fed at rest")
}
