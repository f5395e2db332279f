package checks_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trammel.example/schema"
)

// pinned is a bench of which the cylinder pushes with the 294.52 N that ISO 6432 gives a bore of 25 mm at 6 bar, against something
// that holds its front pin.
func pinned(stackAtQ, pinAtQ, more string) bench {
	b := hardlyMoving()
	b.machine += `
	reaches: Q: rises: mm: 0.001
	pivots: Q: {pin: {kept: ["clip", "clip"], turnsWith: "rocker", ` + pinAtQ + `}, stack: [` + stackAtQ + `]}` + more
	return b
}

// hardlyMoving is a bench at 6 bar whose strokes are known and too short to bring anything, without weight.
func hardlyMoving() bench {
	b := drivenBench{set: "6"}.bench()
	b.closed, b.stroke = "mm: 259.99", "mm: 0.02"
	b.cylinder = strings.Replace(b.cylinder, "moving: kg: 0.1", "moving: kg: 0.00001", 1)
	b.machine = strings.Replace(b.machine, "mass: kg: 5", "mass: kg: 0.00001", 1)
	return b
}

const thrustAt6bar = 294.524 // N, ISO 6432: pressure × piston area

// TestPinInFork: the handbook's M = F/8 (eye + 2 cheek) (Roloff and Matek, Maschinenelemente, from memory), with the whole thrust, and 4/3
// of the mean shear of half of it. A pin as thick as the remedy says, and one of the yield strength that it names, are tried in the spec.
func TestPinInFork(t *testing.T) {
	fork := `{link: "rocker", thick: mm: 6, material: "S235"}, {cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 6, material: "S235"}`
	spec := func(d, yield float64) bench {
		return pinned(fork, fmt.Sprintf("diameter: mm: %g, yield: MPa: %.15g", d, yield), "")
	}
	e := examine(t, spec(4, 200))
	moment := thrustAt6bar / 8 * (0.016 + 2*0.006)
	bending := func(d float64) float64 { return 32 * moment / (math.Pi * d * d * d) * 1e3 } // mm to MPa
	e.want("pin", "Q", "moment", "Nm", moment, 1e-4*moment, "handbook")
	e.want("pin", "Q", "bending", "MPa", bending(4), 1e-4*bending(4), "handbook")
	e.want("pin", "Q", "bendingAllowed", "MPa", 100, 1e-9, "half of the yield strength")
	shear := 4. / 3 * thrustAt6bar / 2 / (math.Pi / 4 * 16)
	e.want("pin", "Q", "shear", "MPa", shear, 1e-4*shear, "double shear")
	e.want("pin", "Q", "shearAllowed", "MPa", 200/(2*math.Sqrt(3)), 1e-9, "von Mises")
	e.text("pin", "Q", "bendsAt", "in lift.front")
	e.says("pin", "Q", "remedyPin", "Take a pin of 5 mm")
	after := examine(t, spec(5, 200))
	after.want("pin", "Q", "bending", "MPa", bending(5), 1e-4*bending(5), "with the pin of the remedy")
	e.says("pin", "Q", "remedyPin", fmt.Sprintf("yield strength of %g MPa", math.Ceil(2*bending(4))))
	after = examine(t, spec(4, math.Ceil(2*bending(4))))
	if got, allowed := after.number("pin", "Q", "bending", "MPa"), after.number("pin", "Q", "bendingAllowed", "MPa"); got > allowed {
		t.Errorf("with the strength of the remedy: %g MPa, %g allowed", got, allowed)
	}
	// Each cheek takes half of the thrust on 4 mm × 6 mm; EN 1993-1-8, table 3.10: 0.6 of the yield strength.
	e.want("seat", "Q: link rocker", "force", "N", thrustAt6bar/2, 0.02, "shared evenly")
	e.want("seat", "Q: link rocker", "pressure", "MPa", thrustAt6bar/2/24, 1e-3, "projected area")
	e.want("seat", "Q: link rocker", "pressureAllowed", "MPa", 0.6*235, 1e-9, "EN 1993-1-8")
}

// TestPinOnOneSide: held in one plate it bears more than its load at the plate's face, by the arm to the middle of the eye, and less than by
// the arm from the middle of the plate; what the remedy says of a fork is that of a fork in the spec.
func TestPinOnOneSide(t *testing.T) {
	const pin = "diameter: mm: 4, yield: MPa: 700"
	e := examine(t, pinned(`{link: "rocker", thick: mm: 6}, {cylinder: "lift.front", runs: true}`, pin, ""))
	moment := e.number("pin", "Q", "moment", "Nm")
	if low, high := thrustAt6bar*0.008, thrustAt6bar*0.011; moment < low || moment > high {
		t.Errorf("%g N m, between %g and %g wanted", moment, low, high)
	}
	fork := examine(t, pinned(`{link: "rocker", thick: mm: 6}, {cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 6}`, pin, ""))
	f, _ := fork.fact("pin", "Q", "bending")
	e.says("pin", "Q", "remedyPin", "as a fork does: that leaves "+f.String())
}

// TestHollowLinkUnderPin: through two walls of 1.5 mm the pin presses on 3 mm, and a bush of the length that the remedy gives bears it.
func TestHollowLinkUnderPin(t *testing.T) {
	spec := func(thick float64, wall string) bench {
		return pinned(fmt.Sprintf(`{cylinder: "lift.front"}, {link: "rocker", thick: mm: %g, hole: mm: 4, material: "EN AW-6060-T66", %s runs: true}`, thick, wall), `diameter: mm: 4`, "")
	}
	e := examine(t, spec(20, "wall: mm: 0.7,"))
	e.want("seat", "Q: link rocker", "pressure", "MPa", thrustAt6bar/(4*1.4), 1e-2, "both walls")
	e.want("seat", "Q: link rocker", "pressureAllowed", "MPa", 0.3*150, 1e-9, "half of EN 1993-1-8, where it turns")
	text := e.textOf("seat", "Q: link rocker", "remedySeat")
	if !strings.HasPrefix(text, "Put a bush right through it (or plates on its walls), so that it is 2 mm thick") {
		t.Errorf("says %q", text)
	}
	e = examine(t, spec(2, ""))
	if got := e.number("seat", "Q: link rocker", "pressure", "MPa"); got > 45 {
		t.Errorf("with the thickness of the remedy: %g MPa", got)
	}
}

// TestBearingLoad: what something that holds Q leaves of the thrust is the part of it along the rocker, by the cosine rule at Q, and each
// block at P has half of that. ISO 76 (from memory): a static safety of 1.5.
func TestBearingLoad(t *testing.T) {
	block := `{block: {bore: mm: 8, width: mm: 12, static: N: 30, source: "invented"}, on: "post"}`
	e := examine(t, pinned(`{cylinder: "lift.front"}, {link: "rocker", thick: mm: 6, runs: true}`, `diameter: mm: 8`, `
	pivots: P: {pin: {diameter: mm: 8, kept: ["clip", "clip"], turnsWith: "post"}, stack: [`+block+`, {link: "rocker", thick: mm: 10, runs: true}, `+block+`]}`))
	along := thrustAt6bar * math.Abs(260.*260+120*120-300*300) / (2 * 260 * 120)
	e.want("seat", "P: block on post", "force", "N", along/2, 0.02, "cosine rule")
	e.want("seat", "P: block on post", "forceAllowed", "N", 20, 1e-9, "ISO 76")
	e.want("seat", "P: block on post", "staticNeeded", "N", along*0.75, 0.03, "ISO 76")
}

// TestPinWithoutForces: what the forces can't be known without is said, and nothing is passed over.
func TestPinWithoutForces(t *testing.T) {
	b := pinned(`{link: "rocker", thick: mm: 6, material: "S235"}, {cylinder: "lift.front", runs: true}`, `diameter: mm: 8, material: "C45"`, "")
	b.parts, b.runs = "", ""
	e := examine(t, b)
	e.open("pin", "Q", "bending")
	e.open("seat", "Q: link rocker", "pressure")
}

// TestBoltThroughFork: the handbook's pin in eye and fork, threaded from within the eye: its middle bends on the core, 3.141 mm, and what is
// cut beside the far cheek is the stress area, 8.78 mm² (ISO 724 and ISO 898-1 for M4). Plain as far as the remedy says it is a pin again.
func TestBoltThroughFork(t *testing.T) {
	fork := `{link: "rocker", thick: mm: 6}, {cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 6}`
	spec := func(shank string) bench {
		return pinned(fork, `diameter: mm: 4, thread: "M4", yield: MPa: 450, `+shank, "")
	}
	moment := thrustAt6bar / 8 * (0.016 + 2*0.006)
	bending := func(mm float64) float64 { return 32 * moment / (math.Pi * mm * mm * mm) * 1e3 }
	for _, shank := range []string{"shank: mm: 10", "shank: mm: 14", ""} {
		e := examine(t, spec(shank))
		e.want("pin", "Q", "bending", "MPa", bending(3.141), 1e-3*bending(3.141), "on the core")
		e.want("pin", "Q", "moment", "Nm", moment, 1e-4*moment, "handbook")
		shear := 4. / 3 * thrustAt6bar / 2 / 8.78
		e.want("pin", "Q", "shear", "MPa", shear, 1e-3*shear, "stress area")
		e.text("pin", "Q", "bendsAt", "in lift.front, on the core of its thread (3.141 mm)")
		e.text("pin", "Q", "shearsAt", "in its thread")
		e.says("pin", "Q", "remedyPin", "Use a bolt that is plain for 22.3 mm under its head, or take a bolt of 5 mm")
		if assumed := e.assumes("pin", "Q", "shank"); assumed != (shank == "") {
			t.Errorf("%q: shank assumed: %v", shank, assumed)
		}
	}
	after := examine(t, spec("shank: mm: 22.3"))
	after.want("pin", "Q", "bending", "MPa", bending(4), 1e-3*bending(4), "with the shank of the remedy")
	if got, allowed := after.number("pin", "Q", "shear", "MPa"), after.number("pin", "Q", "shearAllowed", "MPa"); got > allowed {
		t.Errorf("with the shank of the remedy: %g MPa, %g allowed", got, allowed)
	}
}

// assumes says whether a subject stands in for something that the spec does not give, by the end of its path.
func (e examined) assumes(kind, name, field string) bool {
	for _, s := range e.subjects {
		if s.Kind == kind && s.Name == name {
			return slices.ContainsFunc(s.Assumed, func(a schema.Assumption) bool { return strings.HasSuffix(a.Path, "."+field) })
		}
	}
	return false
}
