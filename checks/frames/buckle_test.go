package frames

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// pressed is how many times a load of 1 N down on each of some nodes a frame bears.
func pressed(t *testing.T, f Frame, nodes ...int) (float64, Mode) {
	t.Helper()
	var l Loads
	for _, n := range nodes {
		l.Nodes = append(l.Nodes, NodeLoad{Node: n, Force: r2.Vec{Y: -1}})
	}
	s := stiffen(t, f)
	var r Result
	if err := s.Bear(l, &r); err != nil {
		t.Fatal(err)
	}
	return s.Buckles(&r, 1e9)
}

// root finds where a function changes its sign.
func root(f func(float64) float64, low, high float64) float64 {
	for range 200 {
		if middle := (low + high) / 2; f(low)*f(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// TestColumnInARow: Euler's column, both ends turning, as more and more members in a row, of which each needs fewer pieces.
func TestColumnInARow(t *testing.T) {
	const h, ei = 1.5, 70e9 * 9e-8
	euler := math.Pi * math.Pi * ei / (h * h)
	for _, n := range []int{1, 2, 3, 4, 5, 6, 8, 16} {
		f := Frame{Nodes: []Node{{Held: pinned}}}
		for i := range n {
			f.Nodes = append(f.Nodes, Node{At: r2.Vec{Y: h * float64(i+1) / float64(n)}})
			f.Members = append(f.Members, Member{From: i, To: i + 1, Elasticity: 70e9, Area: 10, Moment: 9e-8})
		}
		f.Nodes[n].Held = [3]bool{true, false, false}
		got, _ := pressed(t, f, n)
		near(t, "in a row", got, euler, 2e-3*euler)
	}
}

// TestColumns: Euler's four columns (Timoshenko and Gere, Theory of Elastic Stability, chapter 2), 1.5 m, E I = 6300 N m².
func TestColumns(t *testing.T) {
	const h, ei = 1.5, 70e9 * 9e-8
	euler := math.Pi * math.Pi * ei / (h * h)
	top := func(foot, head [3]bool) Frame {
		return Frame{Nodes: []Node{{Held: foot}, {At: r2.Vec{Y: h}, Held: head}}, Members: []Member{{From: 0, To: 1, Elasticity: 70e9, Area: 10, Moment: 9e-8}}}
	}
	for _, c := range []struct {
		name       string
		foot, head [3]bool
		want       float64
		member     int
	}{
		{"fast and free", clamped, [3]bool{}, euler / 4, -1},
		{"both turn", pinned, [3]bool{true, false, false}, euler, 0},
		{"fast and turns", clamped, [3]bool{true, false, false}, 2.0457 * euler, 0},
		{"both fast", clamped, [3]bool{true, false, true}, 4 * euler, 0},
	} {
		got, how := pressed(t, top(c.foot, c.head), 1)
		near(t, c.name, got, c.want, 3.5e-3*c.want)
		if how.Member != c.member || how.Member < 0 && (how.Node != 1 || math.Abs(how.Way.X) < 0.99) {
			t.Errorf("%s: gives way at %+v", c.name, how)
		}
	}
	// On a foot of stiffness s it sways at k h tan k h = s h / E I.
	f := top(clamped, [3]bool{})
	f.Members[0].Spring[0] = 3000
	kh := root(func(x float64) float64 { return x*math.Tan(x) - 3000*h/ei }, 1e-6, math.Pi/2-1e-9)
	got, _ := pressed(t, f, 1)
	near(t, "foot on a spring", got, kh*kh*ei/(h*h), 2e-3*got)
	// What pulls never gives way.
	if got, _ := pressed(t, top([3]bool{true, false, false}, pinned), 0); got != 1e9 {
		t.Errorf("pulled, it bears %g", got)
	}
}

// TestPortalBuckles: both columns of a portal pressed (Timoshenko and Gere, 2.4, from memory), all of one section, h = 1.5 m, beam l = 2 m: with
// turning feet k h tan k h = 6 h / l, with clamped ones tan k h / k h = −l / 6 h; held at the corner it gives way in itself, later.
func TestPortalBuckles(t *testing.T) {
	const h, l, ei = 1.5, 2., 70e9 * 9e-8
	load := func(kh float64) float64 { return kh * kh * ei / (h * h) }
	kh := root(func(x float64) float64 { return x*math.Tan(x) - 6*h/l }, 1e-6, math.Pi/2-1e-9)
	got, how := pressed(t, portal(pinned), 1, 2)
	near(t, "turning feet", got, load(kh), 3e-3*got)
	if how.Node != 1 && how.Node != 2 || math.Abs(how.Way.X) < 0.99 {
		t.Errorf("gives way at %+v", how)
	}
	kh = root(func(x float64) float64 { return math.Tan(x)/x + l/(6*h) }, math.Pi/2+1e-9, math.Pi)
	got, _ = pressed(t, portal(clamped), 1, 2)
	near(t, "clamped feet", got, load(kh), 3e-3*got)
	f := portal(clamped)
	f.Nodes[1].Held[0] = true
	if held, _ := pressed(t, f, 1, 2); held < 2*got {
		t.Errorf("held at its corner it bears %g, else %g", held, got)
	}
}

// TestBucklingAgainstSciPy: 20 random frames with joints on springs (testdata/buckling.py).
func TestBucklingAgainstSciPy(t *testing.T) {
	text, err := os.ReadFile("testdata/scipy-buckling.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Nodes []struct {
			At   [2]float64
			Held [3]bool
		}
		Members []struct {
			From, To int
			E, A, I  float64
			Free     [2]bool
			Spring   [2]float64
		}
		Loads [][4]float64
		Want  struct {
			Moves   [][2]float64
			Reserve float64
		}
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 20 {
		t.Fatalf("%d frames", len(all))
	}
	for i, c := range all {
		var f Frame
		for _, n := range c.Nodes {
			f.Nodes = append(f.Nodes, Node{r2.Vec{X: n.At[0], Y: n.At[1]}, n.Held})
		}
		for _, m := range c.Members {
			f.Members = append(f.Members, Member{m.From, m.To, m.E, m.A, m.I, m.Free, m.Spring})
		}
		var l Loads
		for _, one := range c.Loads {
			l.Nodes = append(l.Nodes, NodeLoad{int(one[0]), r2.Vec{X: one[1], Y: one[2]}, one[3]})
		}
		s := stiffen(t, f)
		var r Result
		if err := s.Bear(l, &r); err != nil {
			t.Fatal(err)
		}
		most := 0.0
		for _, m := range c.Want.Moves {
			most = max(most, math.Hypot(m[0], m[1]))
		}
		for k, m := range c.Want.Moves {
			near(t, "move", r.Moves[k].Way.X, m[0], 1e-6*most)
			near(t, "move", r.Moves[k].Way.Y, m[1], 1e-6*most)
		}
		got, how := s.Buckles(&r, 1e6)
		if c.Want.Reserve > 1e6 { // nothing in it is pressed
			near(t, "reserve", got, 1e6, 0)
			continue
		}
		near(t, "reserve", got, c.Want.Reserve, 4e-3*c.Want.Reserve)
		if how.Node < 0 && how.Member < 0 {
			t.Errorf("frame %d gives way nowhere", i)
		}
	}
}

func BenchmarkBuckles(b *testing.B) {
	f := portal(clamped)
	s := stiffen(b, f)
	var r Result
	if err := s.Bear(Loads{Nodes: []NodeLoad{{Node: 1, Force: r2.Vec{Y: -1}}}}, &r); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s.Buckles(&r, 1e6)
	}
}
