package frames

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.9g, want %.9g ± %.2g", what, got, want, within)
	}
}

func stiffen(t testing.TB, f Frame) *Stiff {
	t.Helper()
	s, err := f.Stiffen()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func bear(t testing.TB, f Frame, l Loads) *Result {
	t.Helper()
	var r Result
	if err := stiffen(t, f).Bear(l, &r); err != nil {
		t.Fatal(err)
	}
	return &r
}

var (
	clamped = [3]bool{true, true, true}
	pinned  = [3]bool{true, true, false}
	roller  = [3]bool{false, true, false}
)

// beam is a span of 2 m, E I = 4200 N m².
func beam(first, last [3]bool) Frame {
	return Frame{
		Nodes:   []Node{{At: r2.Vec{}, Held: first}, {At: r2.Vec{X: 2}, Held: last}},
		Members: []Member{{From: 0, To: 1, Elasticity: 210e9, Area: 4e-4, Moment: 2e-8}},
	}
}

// TestBeams: Roark's Formulas for Stress and Strain, table of beams (cases also in Timoshenko, Strength of Materials; from memory).
func TestBeams(t *testing.T) {
	const l, ei, p, q = 2., 4200., 300., 150.
	middle := Loads{Points: []Point{{Member: 0, At: l / 2, Force: r2.Vec{Y: -p}}}}
	even := Loads{Spread: []Spread{{Member: 0, Force: r2.Vec{Y: -q}}}}
	inside := func(r *Result, x, want float64, what string) {
		t.Helper()
		_, m := r.Inside(0, x)
		near(t, what, m, want, 1e-9*p*l)
	}

	r := bear(t, beam(clamped, [3]bool{}), Loads{Nodes: []NodeLoad{{Node: 1, Force: r2.Vec{Y: -p}}}})
	near(t, "cantilever, tip", r.Moves[1].Way.Y, -p*l*l*l/(3*ei), 1e-12)
	near(t, "cantilever, turn of the tip", r.Moves[1].Turn, -p*l*l/(2*ei), 1e-12)
	near(t, "cantilever, what holds it", r.Reactions[0].Moment, p*l, 1e-8)
	inside(r, 0, -p*l, "cantilever, moment at its root")
	inside(r, l, 0, "cantilever, moment at its tip")

	r = bear(t, beam(clamped, [3]bool{}), Loads{Nodes: []NodeLoad{{Node: 1, Moment: 40}}})
	near(t, "cantilever under a moment, tip", r.Moves[1].Way.Y, 40*l*l/(2*ei), 1e-12)

	r = bear(t, beam(clamped, [3]bool{}), even)
	near(t, "cantilever under an even load, tip", r.Moves[1].Way.Y, -q*l*l*l*l/(8*ei), 1e-12)

	r = bear(t, beam(pinned, roller), even)
	near(t, "simple beam, turn of its end", r.Moves[0].Turn, -q*l*l*l/(24*ei), 1e-12)
	inside(r, l/2, q*l*l/8, "simple beam, moment in the middle")
	near(t, "simple beam, greatest stress", r.Stressed(0, 4e-4, 2e-8, 0.01).Stress, q*l*l/8*0.01/2e-8, 1e-3)

	r = bear(t, beam(clamped, clamped), middle)
	inside(r, 0, -p*l/8, "clamped beam, moment at its end")
	inside(r, l/2, p*l/8, "clamped beam, moment in the middle")

	r = bear(t, beam(clamped, clamped), even)
	inside(r, 0, -q*l*l/12, "clamped beam under an even load, end")
	inside(r, l/2, q*l*l/24, "clamped beam under an even load, middle")

	// A support that turns, and an end that turns on a support that does not, are the same.
	for what, f := range map[string]Frame{"roller": beam(clamped, roller), "free end": func() Frame {
		f := beam(clamped, [3]bool{false, true, true})
		f.Members[0].Free[1] = true
		return f
	}()} {
		r = bear(t, f, middle)
		inside(r, 0, -3*p*l/16, "propped, "+what+", moment at its end")
		near(t, "propped, "+what+", support", r.Reactions[1].Force.Y, 5*p/16, 1e-9*p)
		r = bear(t, f, even)
		near(t, "propped under an even load, "+what+", support", r.Reactions[1].Force.Y, 3*q*l/8, 1e-9*p)
		// Its greatest moment beside the end lies 5/8 l from there.
		inside(r, 5*l/8, 9*q*l*l/128, "propped under an even load, "+what+", moment within")
	}

	// Held at both ends against going along, a load along it goes to both by the lever.
	r = bear(t, beam(clamped, clamped), Loads{Points: []Point{{Member: 0, At: 0.5, Force: r2.Vec{X: 400}}}})
	near(t, "along, first end", r.Reactions[0].Force.X, -300, 1e-9)
	along, _ := r.Inside(0, 1)
	near(t, "along, beyond the load", along, -100, 1e-9)
	near(t, "greatest push", r.Stressed(0, 4e-4, 2e-8, 0.01).Push, 100, 1e-9)
}

// portal has columns of h = 1.5 m and a beam of 2 m, of the same section; stiff along.
func portal(foot [3]bool) Frame {
	m := func(from, to int) Member { return Member{From: from, To: to, Elasticity: 70e9, Area: 10, Moment: 9e-8} }
	return Frame{
		Nodes:   []Node{{At: r2.Vec{}, Held: foot}, {At: r2.Vec{Y: 1.5}}, {At: r2.Vec{X: 2, Y: 1.5}}, {At: r2.Vec{X: 2}, Held: foot}},
		Members: []Member{m(0, 1), m(1, 2), m(2, 3)},
	}
}

// TestPortal: a portal frame pushed aside at its corner (Kleinlogel, Rahmenformeln; Timoshenko and Young, Theory of Structures; from memory),
// k = I₂ h / (I₁ l) = 0.75: with turning feet the corners have P h / 2 and it sways by P h³ / (6 E I) (1 + 1 / (2 k)); with clamped ones the
// feet have P h / 2 · (3 k + 1) / (6 k + 1) and the corners P h / 2 · 3 k / (6 k + 1).
func TestPortal(t *testing.T) {
	const p, h, l, ei, k = 100., 1.5, 2., 70e9 * 9e-8, 0.75
	push := Loads{Nodes: []NodeLoad{{Node: 1, Force: r2.Vec{X: p}}}}
	r := bear(t, portal(pinned), push)
	near(t, "corner", math.Abs(r.Ends[0][5]), p*h/2, 1e-4)
	near(t, "sway", r.Moves[1].Way.X, p*h*h*h/(6*ei)*(1+1/(2*k)), 1e-7)
	near(t, "foot", r.Reactions[0].Force.X, -p/2, 1e-3)
	near(t, "lift", r.Reactions[0].Force.Y, -p*h/l, 1e-4)
	r = bear(t, portal(clamped), push)
	near(t, "clamped foot", r.Reactions[0].Moment, p*h/2*(3*k+1)/(6*k+1), 1e-3)
	near(t, "corner above a clamped foot", math.Abs(r.Ends[0][5]), p*h/2*3*k/(6*k+1), 1e-3)
}

// TestTruss: with all ends free only forces along are left: two bars at 45° under W have W / √2 each (statics).
func TestTruss(t *testing.T) {
	m := Member{Elasticity: 210e9, Area: 1e-4, Moment: 1e-9, Free: [2]bool{true, true}}
	a, b := m, m
	a.To, b.From, b.To = 1, 1, 2
	f := Frame{Nodes: []Node{{Held: pinned}, {At: r2.Vec{X: 1, Y: -1}}, {At: r2.Vec{X: 2}, Held: pinned}}, Members: []Member{a, b}}
	r := bear(t, f, Loads{Nodes: []NodeLoad{{Node: 1, Force: r2.Vec{Y: -500}}}})
	along, bends := r.Inside(0, 0.3)
	near(t, "bar", along, 500/math.Sqrt2, 1e-9)
	near(t, "moment in a bar", bends, 0, 1e-12)
	// By its work: W δ / 2 = Σ N² L / (2 E A).
	near(t, "down", r.Moves[1].Way.Y, -2*(500/math.Sqrt2)*(500/math.Sqrt2)*math.Sqrt2/(210e9*1e-4)/500, 1e-12)
	var into Result
	if err := stiffen(t, f).Bear(Loads{Nodes: []NodeLoad{{Node: 1, Moment: 3}}}, &into); !errors.Is(err, ErrTurns) {
		t.Errorf("a moment on a free joint: %v", err)
	}
}

// TestNoFrame: what moves is named, and where to.
func TestNoFrame(t *testing.T) {
	four := portal(pinned)
	four.Members[1].Free = [2]bool{true, true} // a four-bar
	_, err := four.Stiffen()
	var moves *Moves
	if !errors.As(err, &moves) || moves.Turns || moves.Node != 1 && moves.Node != 2 || math.Abs(moves.Way.X-1) > 1e-3 {
		t.Errorf("a four-bar: %#v", err)
	}
	hanging := portal(clamped)
	hanging.Nodes = append(hanging.Nodes, Node{At: r2.Vec{X: 5}}, Node{At: r2.Vec{X: 6}})
	hanging.Members = append(hanging.Members, Member{From: 4, To: 5, Elasticity: 1, Area: 1, Moment: 1})
	var loose *Loose
	if _, err := hanging.Stiffen(); !errors.As(err, &loose) || loose.Member != 3 {
		t.Errorf("a member in the air: %#v", err)
	}
	rolls := beam(roller, roller)
	if _, err := rolls.Stiffen(); !errors.As(err, &moves) || math.Abs(moves.Way.X-1) > 1e-9 {
		t.Errorf("a beam on two rollers: %#v", err)
	}
	stick := portal(clamped)
	stick.Nodes = append(stick.Nodes, Node{At: r2.Vec{X: 3, Y: 1.5}})
	stick.Members = append(stick.Members, Member{From: 2, To: 4, Elasticity: 70e9, Area: 1e-4, Moment: 1e-9, Free: [2]bool{true, false}})
	if _, err := stick.Stiffen(); !errors.As(err, &moves) || moves.Node != 4 {
		t.Errorf("an arm that hangs from a hinge: %#v", err)
	}
	// Members of very different stiffness are a frame all the same.
	uneven := portal(clamped)
	uneven.Members[1].Area, uneven.Members[1].Moment = 1e-3, 9e-12
	if _, err := uneven.Stiffen(); err != nil {
		t.Errorf("a frame with a thin beam: %v", err)
	}
}

// TestAgainstSciPy: 20 random frames with free ends, even loads, forces at nodes and on members, solved by SciPy (testdata/frames.py).
func TestAgainstSciPy(t *testing.T) {
	data, err := os.ReadFile("testdata/scipy-frames.json")
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
			Spread   [2]float64
			Point    *[3]float64
		}
		Loads [][4]float64
		Want  struct {
			Moves     [][2]float64
			Reactions [][3]float64
			Ends      [][4]float64 // along and moment, first and last end
		}
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 20 {
		t.Fatalf("%d frames", len(all))
	}
	var r Result
	for k, one := range all {
		var f Frame
		var l Loads
		for _, n := range one.Nodes {
			f.Nodes = append(f.Nodes, Node{At: r2.Vec{X: n.At[0], Y: n.At[1]}, Held: n.Held})
		}
		for i, m := range one.Members {
			f.Members = append(f.Members, Member{From: m.From, To: m.To, Elasticity: m.E, Area: m.A, Moment: m.I, Free: m.Free})
			if m.Spread != [2]float64{} {
				l.Spread = append(l.Spread, Spread{i, r2.Vec{X: m.Spread[0], Y: m.Spread[1]}})
			}
			if p := m.Point; p != nil {
				l.Points = append(l.Points, Point{i, p[0], r2.Vec{X: p[1], Y: p[2]}})
			}
		}
		for _, p := range one.Loads {
			l.Nodes = append(l.Nodes, NodeLoad{Node: int(p[0]), Force: r2.Vec{X: p[1], Y: p[2]}, Moment: p[3]})
		}
		if err := stiffen(t, f).Bear(l, &r); err != nil {
			t.Errorf("frame %d: %v", k, err)
			continue
		}
		most := 0.0
		for _, m := range one.Want.Moves {
			most = max(most, math.Hypot(m[0], m[1]))
		}
		for i, want := range one.Want.Moves {
			near(t, "way", r.Moves[i].Way.X, want[0], 1e-6*most)
			near(t, "way up", r.Moves[i].Way.Y, want[1], 1e-6*most)
		}
		var sum r2.Vec
		for i, want := range one.Want.Reactions {
			near(t, "reaction across", r.Reactions[i].Force.X, want[0], 1e-3)
			near(t, "reaction up", r.Reactions[i].Force.Y, want[1], 1e-3)
			near(t, "reaction's moment", r.Reactions[i].Moment, want[2], 1e-3)
			sum = r2.Add(sum, r.Reactions[i].Force)
		}
		for i, want := range one.Want.Ends {
			got := [4]float64{r.Ends[i][0], r.Ends[i][2], r.Ends[i][3], r.Ends[i][5]}
			for j := range want {
				near(t, "end", got[j], want[j], 1e-3)
			}
		}
		// All forces are in balance.
		for _, p := range l.Nodes {
			sum = r2.Add(sum, p.Force)
		}
		for _, q := range l.Spread {
			sum = r2.Add(sum, r2.Scale(r.bars[q.Member].length, q.Force))
		}
		for _, p := range l.Points {
			sum = r2.Add(sum, p.Force)
		}
		near(t, "balance", r2.Norm(sum), 0, 1e-4)
		if t.Failed() {
			t.Fatalf("frame %d", k)
		}
	}
}

// tower has 100 members: 20 storeys of two posts, a beam and two diagonals.
func tower() Frame {
	f := Frame{Nodes: []Node{{Held: clamped}, {At: r2.Vec{X: 0.4}, Held: clamped}}}
	for i := range 20 {
		y := 0.3 * float64(i+1)
		f.Nodes = append(f.Nodes, Node{At: r2.Vec{Y: y}}, Node{At: r2.Vec{X: 0.4, Y: y}})
		a := 2 * i
		for _, m := range [][2]int{{a, a + 2}, {a + 1, a + 3}, {a + 2, a + 3}, {a, a + 3}, {a + 1, a + 2}} {
			f.Members = append(f.Members, Member{From: m[0], To: m[1], Elasticity: 70e9, Area: 3e-4, Moment: 2e-8})
		}
	}
	return f
}

// BenchmarkFrame prepares 100 members, bears one load, and looks for where the frame gives way as a whole.
func BenchmarkFrame(b *testing.B) {
	f := tower()
	if len(f.Members) != 100 {
		b.Fatal(len(f.Members))
	}
	l := Loads{Nodes: []NodeLoad{{Node: 41, Force: r2.Vec{X: 500, Y: -2000}}}, Spread: []Spread{{Member: 2, Force: r2.Vec{Y: -20}}}}
	bear := func(b *testing.B, buckles bool) {
		b.ReportAllocs()
		for b.Loop() {
			s, err := f.Stiffen()
			if err != nil {
				b.Fatal(err)
			}
			var r Result
			if err := s.Bear(l, &r); err != nil {
				b.Fatal(err)
			}
			if buckles {
				if reserve, _ := s.Buckles(&r, 100); reserve == 100 {
					b.Fatal("nothing found")
				}
			}
		}
	}
	b.Run("bears", func(b *testing.B) { bear(b, false) })
	b.Run("buckles", func(b *testing.B) { bear(b, true) })
}
