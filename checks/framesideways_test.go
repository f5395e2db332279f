package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// flat is a strip of steel on edge, deep in the plane of the drawing and weak out of it (I in mm⁴).
func flat(lateral float64) string {
	return fmt.Sprintf(`{moment: mm4: 26667, lateral: mm4: %g, depth: mm: 40, area: mm2: 200, material: "S235"}`, lateral)
}

// piled is a posted bench whose post of 500 mm is of pieces, from the foot up to heights in mm, each of its own section.
func piled(tops []float64, sections []string, more string) bench {
	b := posted(flat(400), more)
	nodes, members, below := "nodes: {foot: {x: mm: 0, y: mm: -500}", "members: {", "foot"
	for i, s := range sections {
		above := "O"
		if i < len(tops) {
			above = fmt.Sprintf("n%d", i+1)
			nodes += fmt.Sprintf(", %s: {x: mm: 0, y: mm: %g}", above, tops[i]-500)
		}
		members += fmt.Sprintf("\n\t\t\tp%d: {between: [%q, %q], section: %s, mass: kg: 0.000001}", i+1, below, above, s)
		below = above
	}
	b.machine = strings.Replace(b.machine, "nodes: foot: {x: mm: 0, y: mm: -500}", nodes+"}", 1)
	from := strings.Index(b.machine, "members: post:")
	to := from + strings.Index(b.machine[from:], "\n")
	b.machine = b.machine[:from] + members + "}" + b.machine[to:]
	return b
}

// steel is E of S235 in MPa (EN 1993-1-1, 3.2.6), by which the tests reckon in N and mm.
const steel = 210e3

func euler(lateral, length, k float64) float64 {
	return math.Pi * math.Pi * steel * lateral / (k * k * length * length)
}

// root of f between two places, by halving.
func root(low, high float64, f func(float64) float64) float64 {
	for range 100 {
		if middle := (low + high) / 2; f(low)*f(middle) <= 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return low
}

// sidewaysOf finds the one piece of which sideways facts are, and what it may bear.
func (e examined) sidewaysOf() (name string, allowed float64) {
	e.t.Helper()
	for _, s := range e.subjects {
		if f, known := s.Facts["sidewaysAllowed"]; known {
			if name != "" {
				e.t.Errorf("%s and %s are both judged", name, s.Name)
			}
			name, allowed = s.Name, f.SI
		}
	}
	if name == "" {
		e.t.Fatal("nothing is judged sideways")
	}
	return name, allowed
}

// TestPostSideways holds whole frames against closed forms of columns: Euler's with k = 1 and 2 (Gere and Goodno, Mechanics of Materials, 7th
// edition, chapter 11), the stepped one tan(k₁ l₁) tan(k₂ l₂) = k₂ / k₁ on one foot, and one that runs on past a joint that is held,
// by the stability functions of its lower part (Timoshenko and Gere, Theory of Elastic Stability, chapter 2, from memory).
func TestPostSideways(t *testing.T) {
	weak := flat(400)
	past := func(a, b float64, far func(u float64) float64) float64 { // free over a, held, running on over b
		k := root(0.2/a, math.Pi/2/a*(1-1e-9), func(k float64) float64 { return far(k*b)/b - k*math.Tan(k*a) })
		return k * k * steel * 400
	}
	farFast := func(u float64) float64 {
		return u * (math.Sin(u) - u*math.Cos(u)) / (2 - 2*math.Cos(u) - u*math.Sin(u))
	}
	farTurns := func(u float64) float64 { return u * u * math.Sin(u) / (math.Sin(u) - u*math.Cos(u)) }
	stepped := func(below, above, i, j float64) float64 {
		return root(1, min(euler(i, below, 2), euler(j, above, 2))*(1-1e-9), func(f float64) float64 {
			k, l := math.Sqrt(f/(steel*i)), math.Sqrt(f/(steel*j))
			return math.Tan(k*below)*math.Tan(l*above) - l/k
		})
	}
	for _, c := range []struct {
		name     string
		tops     []float64
		sections []string
		more     string
		want     float64 // N, without any reserve
		within   float64
	}{
		{"one piece on one foot", nil, []string{weak}, ``, euler(400, 500, 2), 1e-6},
		{"four pieces on one foot", []float64{100, 200, 450}, []string{weak, weak, weak, weak}, ``, euler(400, 500, 2), 1e-6},
		{"without any that is braced", []float64{100, 200, 450}, []string{weak, weak, weak, weak}, `braced: []`, euler(400, 500, 2), 1e-6},
		{"held at its head", []float64{100, 200, 450}, []string{weak, weak, weak, weak}, `braced: ["O"]`, euler(400, 500, 1), 1e-6},
		{"a weak top", []float64{200}, []string{flat(900), weak}, ``, stepped(200, 300, 900, 400), 3e-3},
		{"a weak foot", []float64{350}, []string{weak, flat(2000)}, ``, stepped(350, 150, 400, 2000), 3e-3},
		{"held halfway", []float64{250}, []string{weak, weak}, `braced: ["n1"]`, past(250, 250, farFast), 3e-3},
		{"held low", []float64{100}, []string{weak, weak}, `braced: ["n1"]`, past(400, 100, farFast), 3e-3},
		{"held twice", []float64{100, 300}, []string{weak, weak, weak}, `braced: ["n2", "n1"]`, past(200, 200, farTurns), 3e-3},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := examine(t, piled(c.tops, c.sections, c.more))
			name, got := e.sidewaysOf()
			if got *= 3.5; math.Abs(got-c.want) > c.within*c.want {
				t.Errorf("it bears %g N, want %g", got, c.want)
			}
			_, up := acrossAndUp(270)
			e.want("frame member", name, "sidewaysPush", "N", up*thrustAt6bar, 0.03, "statics")
		})
	}
	// Of what stands above the joint that is pressed nothing is said.
	b := piled([]float64{250}, []string{weak, weak}, `braced: ["O"]`)
	b.machine = strings.Replace(b.machine, "p1:", `mast: {between: ["O", "top"], section: `+weak+`, mass: kg: 0.000001}
			p1:`, 1)
	b.machine = strings.Replace(b.machine, "nodes: {", "nodes: {top: {x: mm: 0, y: mm: 90}, ", 1)
	if name, got := examine(t, b).sidewaysOf(); name == "mast" || math.Abs(got*3.5/euler(400, 500, 1)-1) > 1e-6 {
		t.Errorf("%s bears %g N", name, got*3.5)
	}
	// A member between two joints that are held is judged by itself, as before.
	e := examine(t, posted(weak, `braced: ["O"]`))
	if f, known := e.fact("frame member", "post", "sidewaysAllowed"); known {
		t.Errorf("judged twice: %v", f)
	}
	e.want("frame member", "post", "compressionAllowed", "N", euler(400, 500, 1)/3.5, 1e-3, "Euler")
}

// fails and bears of the one column that is judged.
func (e examined) failsSideways() bool {
	name, allowed := e.sidewaysOf()
	return e.number("frame member", name, "sidewaysPush", "N") > allowed
}

// TestRemediesSideways tries in the spec what is said to help: the second moment, and the joint that is held.
func TestRemediesSideways(t *testing.T) {
	tops := []float64{150, 300}
	with := func(lateral float64, more string) examined {
		return examine(t, piled(tops, []string{flat(lateral), flat(lateral), flat(lateral)}, more))
	}
	e := with(100, "")
	if !e.failsSideways() {
		t.Fatal("it bears all")
	}
	name, _ := e.sidewaysOf()
	remedy := e.textOf("frame member", name, "remedySideways")
	var mm4 float64
	if _, err := fmt.Sscanf(remedy, "Take a section with a second moment out of the plane (`lateral`) of %g mm⁴ or more for `p1`, `p2` and `p3`", &mm4); err != nil {
		t.Fatal(err, remedy)
	}
	if with(mm4, "").failsSideways() || !with(mm4*0.98, "").failsSideways() {
		t.Errorf("%g mm⁴ are not just enough", mm4)
	}
	from := strings.Index(remedy, "`braced")
	if from < 0 {
		t.Fatal(remedy)
	}
	list, rest, _ := strings.Cut(remedy[from+1:], "`")
	var times float64
	if _, err := fmt.Sscanf(rest, "): then it bears %g times", &times); err != nil {
		t.Fatal(err, rest)
	}
	least := math.Inf(1)
	for _, s := range with(100, list).subjects {
		if a, known := s.Facts["sidewaysAllowed"]; known {
			least = min(least, a.SI*3.5/s.Facts["sidewaysPush"].SI)
		}
	}
	if math.Abs(least-times) > 1e-3*times {
		t.Errorf("%s: it bears %g times what it gets, and %g is said", list, least, times)
	}
	// Of uneven sections so many times each.
	e = examine(t, piled(tops, []string{flat(80), flat(100), flat(80)}, ""))
	name, _ = e.sidewaysOf()
	remedy = e.textOf("frame member", name, "remedySideways")
	if _, err := fmt.Sscanf(remedy, "Take sections with %g times", &times); err != nil {
		t.Fatal(err, remedy)
	}
	if examine(t, piled(tops, []string{flat(80 * times), flat(100 * times), flat(80 * times)}, "")).failsSideways() {
		t.Errorf("%g times is not enough", times)
	}
}

// TestUsuallyHeld: the corners of a portal are taken to be held where nothing is written, and the frame says so; an arm on one of its beams, or
// on a single post, is not.
func TestUsuallyHeld(t *testing.T) {
	portal := func(more string, stub float64) examined {
		b := posted(flat(400), more)
		b.machine = strings.Replace(b.machine, "nodes: foot: {x: mm: 0, y: mm: -500}", `nodes: {foot: {x: mm: -150, y: mm: -900}, corner: {x: mm: -150, y: mm: -400}, other: {x: mm: 150, y: mm: -400}, right: {x: mm: 150, y: mm: -900}, middle: {x: mm: 0, y: mm: -400}}`, 1)
		from := strings.Index(b.machine, "members: post:")
		to := from + strings.Index(b.machine[from:], "\n")
		members := `members: {`
		for name, ends := range map[string]string{"leg": `"foot", "corner"`, "beam": `"corner", "middle"`, "beyond": `"middle", "other"`, "prop": `"right", "other"`, "stub": `"middle", "O"`} {
			lateral := 400.0
			if name == "stub" {
				lateral = stub
			}
			members += fmt.Sprintf("\n\t\t\t%s: {between: [%s], section: %s, mass: kg: 0.000001}", name, ends, flat(lateral))
		}
		b.machine = b.machine[:from] + members + "}" + b.machine[to:]
		b.machine = strings.Replace(b.machine, "supports: [", `supports: [{at: "right", held: "pinned"}, `, 1)
		return examine(t, b)
	}
	e := portal("", 400)
	const usual, twisted = "`corner` and `other` held sideways", "`stub` kept upright sideways by the twist of what they meet"
	assumed := func(e examined, path, value string) (is bool) {
		for _, s := range e.subjects {
			for _, a := range s.Assumed {
				is = is || a.Path == path && a.Value == value
			}
		}
		return is
	}
	if !assumed(e, "frame.braced", usual) || assumed(e, "frame.members", twisted) {
		t.Error("it is not said that its corners are held")
	}
	unknown := func(e examined, name, says string) {
		t.Helper()
		f, _ := e.fact("frame member", name, "sidewaysPush")
		if f.Kind != checks.Open || !strings.Contains(f.Why, says) {
			t.Errorf("%s: %v", name, f)
		}
	}
	// The stub stands on the beam alone.
	unknown(e, "stub", "Where a second frame with cross bars, a wall or a panel holds `middle` and `O`, write `braced: [\"O\", \"corner\", \"middle\", \"other\"]`")
	// Unless it is so thick that hardly anything presses on it: 118 N of π² E I / 400² mm² / 3.5.
	if thick := portal("", 20000); !assumed(thick, "frame.members", twisted) {
		t.Error("it is not said that the thick stub is kept upright")
	} else if f, known := thick.fact("frame member", "stub", "sidewaysPush"); known {
		t.Errorf("the thick stub: %v", f)
	}
	// The beam between the corners is one column.
	pressed := "beam"
	if _, known := e.fact("frame member", pressed, "sidewaysAs"); !known {
		pressed = "beyond"
	}
	e.says("frame member", pressed, "sidewaysAs", "a column of 300 mm that only `corner` and `other` hold")
	// Its halves are pressed unevenly: with the one as hard as the other it would bear less, and alone more.
	if got := e.number("frame member", pressed, "sidewaysAllowed", "N") * 3.5; got < euler(400, 300, 1) || got > 4*euler(400, 300, 1) {
		t.Errorf("the beam bears %g N", got)
	}
	e = portal(`braced: ["corner", "middle", "O", "other"]`, 400)
	if assumed(e, "frame.braced", usual) {
		t.Error("what is written is said to be assumed")
	}
	for _, name := range []string{"stub", "beam", "leg"} {
		if f, known := e.fact("frame member", name, "sidewaysPush"); known {
			t.Errorf("%s: %v", name, f)
		}
	}
	// Without cross bars the leg that is held fast stands free; the other one has nothing that keeps it upright.
	e = portal(`braced: []`, 400)
	e.want("frame member", "leg", "sidewaysAllowed", "N", euler(400, 500, 2)/3.5, 1e-3, "Euler")
	unknown(e, "prop", "only `right` holds the line from there to `other`, which tilts on it")
	// An arm on a post is no corner.
	b := piled([]float64{400}, []string{flat(400), flat(400)}, "")
	b.machine = strings.Replace(b.machine, "p1:", `arm: {between: ["n1", "end"], section: `+flat(400)+`, mass: kg: 0.000001}
			p1:`, 1)
	b.machine = strings.Replace(b.machine, "nodes: {", "nodes: {end: {x: mm: 90, y: mm: -100}, ", 1)
	_, got := examine(t, b).sidewaysOf()
	if want := euler(400, 500, 2) / 3.5; math.Abs(got-want) > 1e-6*want {
		t.Errorf("with an arm it bears %g N, want %g", got, want)
	}
}
