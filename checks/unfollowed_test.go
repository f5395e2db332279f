package checks_test

import (
	"slices"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestNotFollowed: each line stands as long as its field is left out, and goes with it.
func TestNotFollowed(t *testing.T) {
	spec := func(pin, layer, block, fastening, nut, joint string) string {
		return bench{machine: `
		pivots: P: {pin: {diameter: mm: 8, kept: ["clip", "clip"], turnsWith: "post"` + pin + `}, stack: [{block: {bore: mm: 8, width: mm: 12, source: "invented"` + block + `}, on: "post"}, {link: "rocker", thick: mm: 10, runs: true` + layer + `}]}
		fastenings: foot: {screw: {thread: "M5", length: mm: 12, head: "socket", class: "8.8"}, stack: [{part: "foot", thick: mm: 5.5}]
			into: {slot: "front", profile: {slot: {width: mm: 6, depth: mm: 8, lip: mm: 1.5}, source: "invented"}, slotNut: {slot: mm: 6, thread: "M5", thick: mm: 3.4, source: "invented"` + nut + `}}` + fastening + `}
		fastenings: arm: {screw: {thread: "M5", length: mm: 12, head: "socket", class: "8.8"}, stack: [{part: "foot", thick: mm: 5.5}], count: 2, into: nut: style: "hex"
			joints: [{on: "post", carries: ["P"], friction: 0.2, screws: [{x: mm: 280, y: mm: 0}, {x: mm: 320, y: mm: 0}]` + joint + `}]}`}.spec()
	}
	lines := func(text string) []string {
		var all []string
		for _, u := range checks.NotFollowed(load(t, text)) {
			all = append(all, u.What+" "+strings.Join(u.Of, ", ")+": "+u.Add)
		}
		return all
	}
	want := []string{
		"what bends and shears the pin at P: `material` or `yield` to its pin",
		"how hard the pin presses in the links at P: `material`, or `pressure` of the bush, to their layers",
		"what the bearings carry at P: `static` to their blocks",
		"what the machine pulls and shears at the screws of foot: `joints`, or `load`",
		"whether the holes tear out at the joints of arm: `edge`, `thick` and `material`",
		"whether the slot is still open for the nuts of foot: `enters` to their `slotNut`",
	}
	given := []string{`, material: "C45"`, `, material: "S235"`, `, static: N: 500`, `, load: N: 100`, `, edge: mm: 10, thick: mm: 5, material: "S235"`, `, enters: "face"`}
	field := func(i int) func(k int) string {
		return func(k int) string {
			if k == i || i == len(want) {
				return given[k]
			}
			return ""
		}
	}
	for i := -1; i <= len(want); i++ {
		f := field(i)
		got := lines(spec(f(0), f(1), f(2), f(3), f(5), f(4)))
		expected := slices.Clone(want)
		switch {
		case i == len(want):
			expected = nil
		case i >= 0:
			expected = slices.Delete(expected, i, i+1)
		}
		if !slices.Equal(got, expected) {
			t.Errorf("with field %d: %q, want %q", i, got, expected)
		}
	}
}
