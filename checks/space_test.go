package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// stacked is the bench with its pivots: the post and the eye at O, with a spacer between; the post and the rocker's two flats at P; the
// flats with the eye between them at Q.
func stacked(spacer float64, outline, barrel, fields string) bench {
	b := bench{cylinder: barrel, machine: fmt.Sprintf(`
	links: rocker: {%s}
	pivots: {
		O: {
			pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8}, {spacer: mm: %g}, {cylinder: "lift.rear", runs: true}]
		}
		P: {
			pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8}, {link: "rocker", thick: mm: 6, runs: true}, {spacer: mm: 16}, {link: "rocker", thick: mm: 6, runs: true}]
		}
		Q: {
			pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "rocker"}
			stack: [{link: "rocker", thick: mm: 6, hole: {mm: 8, fit: "H7"}}, {cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 6}]
		}
	}
	%s`, outline, spacer, fields)}
	return b.withEye(`hole: {mm: 8, fit: "H9"}, width: mm: 16, outside: mm: 18`)
}

// Source: the thicknesses added by hand. From the post's middle, the eye at O lies 4 + spacer + 8 mm in front and the middle of the flats
// 4 + 6 + 8 mm; at Q the eye is in the middle of the flats.
func TestPlanesByHand(t *testing.T) {
	for _, c := range []struct{ spacer, want float64 }{{6, 0}, {6.4, 0.4}, {2.5, 3.5}, {20, 14}} {
		e := examine(t, stacked(c.spacer, "", "", ""))
		e.want("plane", "lift", "outOfPlane", "mm", c.want, 1e-9, "|spacer − 6|")
	}
	// What the remedy says, done, closes the loop.
	e := examine(t, stacked(2.5, "", "", ""))
	f, _ := e.fact("plane", "lift", "remedyPlane")
	if want := "add a spacer of 3.5 mm between link post and lift.rear at O"; !strings.Contains(f.Text, want) {
		t.Errorf("remedy %q, want %q", f.Text, want)
	}
	e = examine(t, stacked(20, "", "", ""))
	f, _ = e.fact("plane", "lift", "remedyPlane")
	if want := "take 14 mm out of the spacers and washers between link post and lift.rear at O"; f.Text != want {
		t.Errorf("remedy %q, want %q", f.Text, want)
	}
	// A block is screwed on wherever its pin wants it: it ties nothing.
	free := stacked(2.5, "", "", "")
	free.machine = strings.Replace(free.machine, `stack: [{link: "post", thick: mm: 8}, {spacer`, `stack: [{block: {bore: mm: 8, width: mm: 8, source: "invented"}, on: "post"}, {spacer`, 1)
	for _, s := range examine(t, free).subjects {
		if s.Kind == "plane" {
			t.Errorf("%s is said to have its ends in planes of their own, and nothing fixes the block at O", s.Name)
		}
	}
	// What has room lies in its middle: 1 mm more between the cheeks moves the eye by half.
	roomy := stacked(6, "", "", "")
	roomy.machine = strings.Replace(roomy.machine, `{cylinder: "lift.rear", runs: true}]`, `{cylinder: "lift.rear", runs: true}, {link: "post", thick: mm: 8}]
			between: mm: 23`, 1)
	// Of two cheeks of the post the one lies in the plane of its plate at P: 4 + 0.5 + 6 + 8 from its middle.
	examine(t, roomy).want("plane", "post", "outOfPlane", "mm", 0.5, 1e-9, "18.5 − 18")
}

const barrel = `barrel: {outside: mm: 30, length: mm: %g}`

// Source: the cosine rule puts the rocker at more than 90° to the cylinder all the way from 250 to 270 mm, so that its end at Q is what is
// nearest to the barrel's front; the clearances are those of ISO 286-2 at 8 mm: H7/h6 24 µm, H9/h6 45 µm.
func TestWhatIsNeededBetweenParts(t *testing.T) {
	for _, c := range []struct{ length, width, want float64 }{{225, 20, 15}, {236, 20, 4}, {236, 22, 3}, {243, 20, -3}} {
		e := examine(t, stacked(6, fmt.Sprintf("outline: width: mm: %g", c.width), fmt.Sprintf(barrel, c.length), ""))
		e.want("pair", "rocker and lift barrel", "distance", "mm", c.want, 0.011, "closed − barrel − half the width")
		e.want("pair", "rocker and lift barrel", "needed", "mm", 3.069, 1e-9, "3 + 0.024 + 0.045")
		f, _ := e.fact("pair", "rocker and lift barrel", "distance")
		if want := "with the rod of lift out by 0 mm"; f.Worst != want {
			t.Errorf("found %q, want %q", f.Worst, want)
		}
		e.flag("pair", "rocker and lift barrel", "apart", c.want >= 0, "by its sign")
		// The width that is offered does.
		if c.want == 3 {
			f, _ := e.fact("pair", "rocker and lift barrel", "remedyRoom")
			if want := "make rocker 21.8 mm wide"; !strings.Contains(f.Text, want) {
				t.Errorf("remedy %q, want %q (22 − 2 × 0.069)", f.Text, want)
			}
		}
	}
	// Out of reach: nobody speaks of it.
	e := examine(t, stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), ""))
	for _, s := range e.subjects {
		if s.Kind == "pair" {
			t.Errorf("a pair %s, %v", s.Name, s.Facts["distance"])
		}
	}
	// A link that bends comes nearer by so much.
	soft := stacked(6, `outline: width: mm: 20, section: {moment: mm4: 50, material: "PLA"}`, fmt.Sprintf(barrel, 236.0), "")
	bends := examineSpec(t, strings.Replace(soft.spec(), `["P", "Q"], mass: kg: 0`, `["P", "Q"], mass: kg: 5`, 1))
	bent := bends.number("section", "rocker", "deflection", "mm")
	if bent < 0.1 {
		t.Fatalf("the rocker bends by %g mm", bent)
	}
	bends.want("pair", "rocker and lift barrel", "needed", "mm", 3.069+bent, 1e-9, "3 + 0.024 + 0.045 + deflection")
}

// Sources: ISO 4014 and ISO 7040: the head of an M8 is 5.45 mm high, the lock nut 8 mm. They stand before and behind the stack at Q, where
// the eye is 16 mm wide between two flats of 6 mm: 14 mm from the middle. A link that passes there meets one and not the other.
func TestHeadsAndNutsOfPivotBolts(t *testing.T) {
	for _, c := range []struct {
		room float64 // between the post and the flats
		with string
	}{{9.5, ""}, {5.5, ""}, {5.4, "head at Q"}, {0.5, "head at Q"}} {
		b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 150.0), "")
		b.machine = strings.Replace(b.machine, `kept: ["clip", "clip"], turnsWith: "rocker"`, `thread: "M8", shank: mm: 30, kept: ["head", "lock nut"], turnsWith: "rocker"`, 1)
		// The post is a plate behind the flats, and a shape of it lies behind Q.
		b.machine += `
	links: post: outline: shapes: [{corners: [{x: mm: 200, y: mm: 60}, {x: mm: 280, y: mm: 60}, {x: mm: 280, y: mm: 160}, {x: mm: 200, y: mm: 160}]}]`
		b.machine = strings.Replace(b.machine, `P: {
			pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8}, {link`, fmt.Sprintf(`P: {
			pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8}, {washer: mm: %g}, {link`, c.room), 1)
		b.machine = strings.Replace(b.machine, `{spacer: mm: 6}`, fmt.Sprintf(`{spacer: mm: %g}`, c.room+6), 1)
		e := examine(t, b)
		e.want("plane", "lift", "outOfPlane", "mm", 0, 1e-9, "both moved alike")
		met := ""
		for _, s := range e.subjects {
			if s.Kind == "pair" {
				_, met, _ = strings.Cut(s.Name, "post and ")
			}
		}
		if met != c.with {
			t.Errorf("%g mm between post and flats: meets %q, want %q", c.room, met, c.with)
		}
	}
}

// The flats have the barrel between them, 9 mm from the middle, and the barrel reaches 15 mm from it: 6 mm farther out, and 1 mm beside
// each. What is offered is done, and no pair is left.
func TestFlatsFartherOut(t *testing.T) {
	free := func(farther float64) examined {
		b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 243.0), "")
		for _, edit := range [][2]string{
			{`stack: [{link: "post", thick: mm: 8}, {link: "rocker"`, `stack: [{block: {bore: mm: 8, width: mm: 8, source: "invented"}, on: "post"}, {link: "rocker"`},
			{`{spacer: mm: 16}`, fmt.Sprintf(`{spacer: mm: %g}`, 18+2*farther)},
			{`{cylinder: "lift.front", runs: true}`, fmt.Sprintf(`{spacer: mm: %[1]g}, {cylinder: "lift.front", runs: true}, {spacer: mm: %[1]g}`, farther+1)},
		} {
			if !strings.Contains(b.machine, edit[0]) {
				t.Fatalf("not there: %s", edit[0])
			}
			b.machine = strings.Replace(b.machine, edit[0], edit[1], 1)
		}
		return examine(t, b)
	}
	f, _ := free(0).fact("pair", "rocker and lift barrel", "remedyRoom")
	if want := "set both flats of rocker 7 mm farther out"; !strings.Contains(f.Text, want) {
		t.Errorf("remedy %q, want %q", f.Text, want)
	}
	for _, s := range free(7).subjects {
		if s.Kind == "pair" {
			t.Errorf("a pair %s, %v", s.Name, s.Facts["distance"])
		}
	}
}

// Source: the cosine rule. The barrel turns about O: L² = 600 L cos θ − 75600. A corner of the post, 150 mm from O and 19.2 mm beside the
// barrel's middle when it is closed, has 3.045 mm (3 + 0.045 of the eyes) to it where 150 sin β = 18.045: after 11.4 mm of the stroke.
func TestStrokeUpToWhichThereIsRoom(t *testing.T) {
	at := math.Acos((250*250+300*300-120*120)/(2*250*300.0)) + math.Asin(19.2/150)
	x, y := 150*math.Cos(at), 150*math.Sin(at)
	b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), fmt.Sprintf(`
	links: post: outline: shapes: [{corners: [{x: mm: %[1]g, y: mm: %[2]g}, {x: mm: %[1]g + 20, y: mm: %[2]g + 60}, {x: mm: %[1]g - 20, y: mm: %[2]g + 60}]}]`, x, y))
	for _, edit := range [][2]string{
		{`stack: [{link: "post", thick: mm: 8}, {link: "rocker", thick: mm: 6, runs: true}, {spacer: mm: 16}`, `stack: [{link: "rocker", thick: mm: 6, runs: true}, {link: "post", thick: mm: 16}`},
		{`stack: [{link: "post", thick: mm: 8}, {spacer: mm: 6}, {cylinder`, `stack: [{block: {bore: mm: 8, width: mm: 8, source: "invented"}, on: "post"}, {cylinder`},
	} {
		if !strings.Contains(b.machine, edit[0]) {
			t.Fatalf("not there: %s", edit[0])
		}
		b.machine = strings.Replace(b.machine, edit[0], edit[1], 1)
	}
	e := examine(t, b)
	theta := at - math.Asin(18.045/150)
	stroke := 300*math.Cos(theta) - math.Sqrt(math.Pow(300*math.Cos(theta), 2)-75600) - 250
	f, _ := e.fact("pair", "post and lift barrel", "remedyRoom")
	if want := fmt.Sprintf("stop the rod of lift at %.1f mm", math.Floor(stroke*10)/10); !strings.Contains(f.Text, want) {
		t.Errorf("remedy %q, want %q", f.Text, want)
	}
}

func TestPartsThatAreNotSeen(t *testing.T) {
	for _, c := range []struct {
		outline, barrel string
		want            float64
	}{{"outline: width: mm: 20", "", 1}, {"", fmt.Sprintf(barrel, 200.0), 1}, {"outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), 0}} {
		examine(t, stacked(6, c.outline, c.barrel, "")).want("room", "bench", "unseen", "", c.want, 0, "counted: rocker and lift move, the post does not")
	}
	examine(t, stacked(6, "", "", "")).open("room", "bench", "unseen")
	// A shape without a layer is not seen either; nor is one that can't be.
	b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), "")
	b.machine = "links: rocker: outline: width: mm: 20"
	examine(t, b).want("room", "bench", "unseen", "", 2, 0, "no stacks")
	b.machine += "\nlinks: post: outline: width: mm: 20"
	examine(t, b).want("room", "bench", "unseen", "", 3, 0, "the post has a shape and no layer")
	// Blocks on the post tie nothing: how the cylinder lies to the rocker is not known where no stack has both.
	b = stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), "")
	b.machine = strings.Replace(b.machine, `stack: [{link: "post", thick: mm: 8}, {spacer`, `stack: [{block: {bore: mm: 8, width: mm: 8, source: "invented"}, on: "post"}, {spacer`, 1)
	b.machine = strings.Replace(b.machine, `, {cylinder: "lift.front", runs: true}, `, `, {spacer: mm: 16}, `, 1)
	examine(t, b).want("room", "bench", "unseen", "", 1, 0, "one of the two")
	crossed := `outline: shapes: [{corners: [{x: mm: 0, y: mm: 0}, {x: mm: 10, y: mm: 10}, {x: mm: 10, y: mm: 0}, {x: mm: 0, y: mm: 10}]}]`
	e := examine(t, stacked(6, crossed, fmt.Sprintf(barrel, 200.0), ""))
	e.want("room", "bench", "unseen", "", 1, 0, "its sides cross")
	if f, _ := e.fact("room", "bench", "unseenWhat"); !strings.Contains(f.Text, "rocker has an outline that can't be used") {
		t.Errorf("not said why: %q", f.Text)
	}
	// Where nothing is known of the motion, nothing is known of the room.
	b = stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 200.0), "")
	b.closed = "mm: 300"
	examine(t, b).open("room", "bench", "unseen")
}

// Source: O Q is the cylinder, 250 to 270 mm; P Q is the rocker, 120 mm all the time.
func TestHoseOverTheRocker(t *testing.T) {
	over := func(from, to, fields, tube string) examined {
		b := bench{
			parts: `a: schema.#Valve & {function: "3/2", ports: {"1": thread: "G1/4", "2": tube: mm: 6}, source: "invented"}
			c: schema.#Silencer & {ports: "1": tube: mm: 6, source: "invented"}`,
			runs: fmt.Sprintf(`x: {from: "source.1", to: "a.1"}, y: {from: "a.2", to: "c.1", over: {from: %q, to: %q}, %s
				tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", source: "invented", burst: bar: 40, %s}}`, from, to, fields, tube),
		}
		return examine(t, b)
	}
	e := over("O", "Q", "length: mm: 300,", "bend: mm: 20")
	e.want("hose", "y", "longest", "mm", 270, 1e-6, "the cylinder extended")
	e.want("hose", "y", "nearest", "mm", 250, 1e-6, "the cylinder closed")
	e.want("hose", "y", "lengthNeeded", "mm", 297, 1e-6, "1.1 × 270")
	// 2 E(m)/K(m) − 1 = 250/300 at m = 0.163041: SciPy, ellipk, ellipe and brentq.
	e.want("hose", "y", "bend", "mm", 113.15769, 0.01, "SciPy: length / (4 √m K(m))")
	e = over("P", "Q", "length: mm: 130,", "bend: mm: 20")
	e.want("hose", "y", "longest", "mm", 120, 0.01, "the rocker's length")
	e.want("hose", "y", "nearest", "mm", 120, 0.01, "the rocker's length")
	e = over("O", "Q", "", "")
	for _, fact := range []string{"length", "bend", "bendLeast"} {
		e.open("hose", "y", fact)
	}
	// A tube that is too short has no bend, and what the remedy says is long enough.
	e = over("O", "Q", "length: mm: 200,", "bend: mm: 20")
	if f, ok := e.fact("hose", "y", "bend"); ok {
		t.Errorf("a tube that does not reach has a bend: %v", f)
	}
	e.want("hose", "y", "remedyLength", "mm", 297, 1e-6, "1.1 × 270, bent to more than 20 mm")
	for _, least := range []float64{95, 150} {
		e = over("O", "Q", "length: mm: 300,", fmt.Sprintf("bend: mm: %g", least))
		length := e.number("hose", "y", "remedyLength", "mm")
		e = over("O", "Q", fmt.Sprintf("length: mm: %g,", length), fmt.Sprintf("bend: mm: %g", least))
		if bend := e.number("hose", "y", "bend", "mm"); bend < least || length < 297 || math.Abs(length-math.Round(length)) > 1e-9 {
			t.Errorf("a length of %g mm is bent to %g mm, asked for %g", length, bend, least)
		}
	}
}
