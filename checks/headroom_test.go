package checks_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestHeadRoom: an M6 x 20 socket head is 10.22 wide and 6 high (ISO 4762), a washer 12 (ISO 7089); the key of 5 has a short arm of 28 (ISO 2936),
// 3 of it in the head. A hexagon is 11.55 over its corners and 4.15 high (ISO 4014), its socket wrench 1.4 × 10 + 1. The screw comes in at its
// whole length. What the remedy asks for has room.
func TestHeadRoom(t *testing.T) {
	at := func(head, washer, room string) examined {
		return examine(t, fastened(`thread: "M6", length: mm: 20, head: "`+head+`", class: "8.8"`, washer+`{part: "plate", thick: mm: 10}`, `nut: style: "hex"`, "torque: Nm: 8, room: {"+room+"}"))
	}
	const washer = `{washer: size: "M6"}, `
	for _, r := range []struct {
		head, washer, room string
		spare              float64
	}{
		{"socket", "", "recess: mm: 11", 11 - 10.22},
		{"socket", washer, "recess: mm: 11", 11 - 12},
		{"socket", washer, "beside: mm: 7", 7 - 6},
		{"socket", "", "above: mm: 30", 30 - (6 + 28 - 3)},
		{"hex", "", "recess: mm: 14", 14 - 15},
		{"hex", "", "above: mm: 30", 30 - (20 + 4.15)},
		{"hex", "", "above: mm: 30, beside: mm: 7", 7 - 7.5},
		{"countersunk", "", "above: mm: 30", 30 - (25 - 3 + 0)},
		{"countersunk", "", "above: mm: 20", 20 - (25 - 3)},
	} {
		at(r.head, r.washer, r.room).want("fastening", "joint", "headSpare", "mm", r.spare, 1e-9, "by hand: "+r.head+" "+r.room)
	}
	e := at("hex", "", "recess: mm: 14")
	f, _ := e.fact("fastening", "joint", "remedyHead")
	if want := "Take a screw with a socket head, or sink the recess 15 mm wide"; f.Text != want {
		t.Errorf("remedy %q, want %q", f.Text, want)
	}
	for _, ok := range []examined{at("socket", "", "recess: mm: 14"), at("hex", "", "recess: mm: 15")} {
		if spare := ok.number("fastening", "joint", "headSpare", "mm"); spare < -1e-9 {
			t.Errorf("as the remedy has it %g mm is left", spare)
		}
	}
	if f, given := at("hex", "", "recess: mm: 20").fact("fastening", "joint", "remedyHead"); given {
		t.Errorf("a head with room has the remedy %q", f.Text)
	}
}

// TestScrewedOn: M10x1.25 with 8 mm in mesh has 0.8 d; 1.25 d are 12.5 mm, 4 turns of 1.25 mm more (3.6), to 13 mm, and the cylinder of 250 mm is
// 245 mm then.
func TestScrewedOn(t *testing.T) {
	on := func(fields string) examined {
		return examine(t, bench{}.withEye(`hole: mm: 8, width: mm: 16, screwedOn: {thread: "M10x1.25", `+fields+`}`))
	}
	e := on("engaged: mm: 8, jamNut: false")
	e.want("cylinder end", "lift.front", "engagedDiameters", "", 0.8, 1e-9, "8 / 10")
	e.flag("cylinder end", "lift.front", "jammed", false, "as it is written")
	f, _ := e.fact("cylinder end", "lift.front", "remedyScrewedOn")
	if !strings.Contains(f.Text, "by 4 turns more, to 13 mm; `closed` is 245 mm then") {
		t.Errorf("remedy: %q", f.Text)
	}
	f, _ = on("engaged: mm: 8, depth: mm: 12, jamNut: true").fact("cylinder end", "lift.front", "remedyScrewedOn")
	if f.Text != "Take an end whose thread is 13 mm deep or more: this one has 12 mm" {
		t.Errorf("remedy: %q", f.Text)
	}
	on("engaged: mm: 13, jamNut: true").want("cylinder end", "lift.front", "engagedDiameters", "", 1.3, 1e-9, "as the remedy has it")
}

// TestSlidIn counts the ends of a slot that the steps before leave open.
func TestSlidIn(t *testing.T) {
	at := func(slot, enters string, steps string) examined {
		b := fastened(`thread: "M5", length: mm: 12, head: "socket", class: "8.8"`, `{part: "foot", thick: mm: 5.5}`,
			`slotNut: {slot: mm: 6, thread: "M5", thick: mm: 3.4, source: "invented", enters: "`+enters+`"}, profile: {slot: {width: mm: 6, depth: mm: 8.2, lip: mm: 1.5}, source: "invented"}`+slot,
			"count: 4, torque: Nm: 3")
		b.machine += "\n" + steps
		return examine(t, b)
	}
	const slot = `, slot: "post"`
	first, second := `{does: "foot", closes: [{slot: "post", end: "first"}]}`, `{does: "cap", closes: [{slot: "post", end: "second"}]}`
	for _, r := range []struct {
		steps string
		open  float64
	}{
		{`{does: "blocks", fastens: ["joint"]}, ` + first, 2},
		{first + `, {does: "blocks", fastens: ["joint"]}, ` + second, 1},
		{first + ", " + second + `, {does: "blocks", fastens: ["joint"]}`, 0},
		{first + `, {does: "cap", loads: ["joint"], closes: [{slot: "post", end: "second"}]}, {does: "blocks", fastens: ["joint"]}`, 1},
		{`{does: "both", closes: [{slot: "post", end: "first"}, {slot: "post", end: "second"}]}, {does: "blocks", fastens: ["joint"]}`, 0},
	} {
		e := at(slot, "end", fmt.Sprintf("assembly: [%s]", r.steps))
		e.want("fastening", "joint", "endsOpen", "", r.open, 0, "counted")
		f, given := e.fact("fastening", "joint", "remedyNuts")
		if given != (r.open == 0) || given && !strings.Contains(f.Text, "Slide all 4 nuts in before") {
			t.Errorf("%s: remedy %q", r.steps, f.Text)
		}
	}
	at(slot, "end", "").open("fastening", "joint", "endsOpen")
	at("", "end", "").open("fastening", "joint", "endsOpen")
	at(slot, "end", `assembly: [{does: "nothing"}]`).open("fastening", "joint", "endsOpen")
	if f, given := at(slot, "face", "").fact("fastening", "joint", "endsOpen"); given {
		t.Errorf("a nut that goes in through the face waits for %v", f)
	}
}
