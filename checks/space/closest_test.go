package space

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// turning is a sweep in which each body turns about its own origin, from and to the angles given.
func turning(steps int, origins []r2.Vec, from, to []float64) Motion {
	var m Motion
	for k := range steps {
		s := float64(k) / float64(steps-1)
		poses, rates := make([]Pose, len(origins)), make([]Pose, len(origins))
		for i := range poses {
			poses[i] = Pose{At: origins[i], Turn: from[i] + s*(to[i]-from[i])}
			rates[i] = Pose{Turn: to[i] - from[i]}
		}
		m.S, m.Poses, m.Rates = append(m.S, s), append(m.Poses, poses), append(m.Rates, rates)
	}
	return m
}

// Closed form: the middle line of a bar through the origin is x sin(a - s) from a pin at the distance x in the direction a.
func TestBarTurnsOntoPin(t *testing.T) {
	const x, a, wide, pin = 0.2, 1.1, 0.016, 0.012
	scene := Scene{Shapes: two(must(Bar(wide, v(0, 0), v(0.3, 0))), must(Circle(v(x*math.Cos(a), x*math.Sin(a)), pin)))}
	for _, steps := range []int{2, 3, 17, 400} {
		motion := turning(steps, []r2.Vec{{}, {}}, []float64{0, 0}, []float64{2, 0})
		for _, clearance := range []float64{0, 0.003, 0.05} {
			got := closest(t, scene, motion, Search{Clearance: clearance})[0]
			near(t, "least distance", got.Distance, -(wide+pin)/2, 1e-8)
			near(t, "s of it", got.S, a/2, 1e-6)
			first := a - math.Asin(((wide+pin)/2+clearance)/x)
			near(t, "first contact", got.First, first/2, 1e-12)
			if !got.Nearer || got.Far || got.Shapes != [2]int{0, 1} {
				t.Errorf("%+v", got)
			}
		}
	}
}

// Closed form: two bars of length l, hinged a distance d apart and turned alike towards each other, meet with their tips on the middle
// line, where 2 l cos s = d - w.
func TestTwoBarsMeetAtTheirTips(t *testing.T) {
	const l, d, w = 0.15, 0.25, 0.02
	bar := must(Bar(w, v(0, 0), v(l, 0)))
	for _, steps := range []int{2, 40} {
		motion := turning(steps, []r2.Vec{{}, v(d, 0)}, []float64{1.4, math.Pi - 1.4}, []float64{0.4, math.Pi - 0.4})
		got := closest(t, Scene{Shapes: two(bar, bar)}, motion, Search{})[0]
		if !got.Nearer {
			t.Fatalf("%+v", got)
		}
		near(t, "first contact", got.First, 1.4-math.Acos((d-w)/(2*l)), 1e-12)
	}
	// Stopped before that, what is left between them is known too, and so are the nearest points.
	motion := turning(9, []r2.Vec{{}, v(d, 0)}, []float64{1.4, math.Pi - 1.4}, []float64{0.9, math.Pi - 0.9})
	got := closest(t, Scene{Shapes: two(bar, bar)}, motion, Search{})[0]
	near(t, "least distance", got.Distance, d-w-2*l*math.Cos(0.9), 1e-12)
	near(t, "s of it", got.S, 1, 0)
	near(t, "x of the point on the first", got.On[0].X, l*math.Cos(0.9)+w/2, 1e-12)
	near(t, "y of the point on the second", got.On[1].Y, l*math.Sin(0.9), 1e-12)
	near(t, "x of the point on the second", got.On[1].X, d-l*math.Cos(0.9)-w/2, 1e-12)
	if got.Nearer || got.First != 0 {
		t.Errorf("meets: %+v", got)
	}
}

// A pin of 1 mm crosses a strip of 0.2 mm, a metre in one step. At both steps they are far apart.
func TestNothingSlipsThroughBetweenSteps(t *testing.T) {
	scene := Scene{Shapes: two(must(Bar(0.2e-3, v(0, -0.1), v(0, 0.1))), must(Circle(v(0, 0), 1e-3)))}
	motion := Motion{S: []float64{0, 1}, Poses: [][]Pose{{{}, {At: v(-0.61, 0.05)}}, {{}, {At: v(0.39, 0.05)}}}}
	got := closest(t, scene, motion, Search{})[0]
	near(t, "least distance", got.Distance, -0.6e-3, 1e-8)
	near(t, "first contact", got.First, 0.61-0.6e-3, 1e-12)
	// It misses the strip's end by 0.05 mm.
	for k := range motion.Poses {
		motion.Poses[k][1].At.Y = 0.1 + 0.65e-3
	}
	got = closest(t, scene, motion, Search{})[0]
	near(t, "distance past the end", got.Distance, 0.05e-3, 1e-9)
	near(t, "s of it", got.S, 0.61, 1e-6)
	if got.Nearer {
		t.Errorf("meets: %+v", got)
	}
}

func TestLayers(t *testing.T) {
	shapes := two(must(Circle(v(0, 0), 0.1)), must(Circle(v(0, 0), 0.1)))
	motion := Motion{S: []float64{0}, Poses: [][]Pose{{{}, {}}}}
	for _, c := range []struct {
		low  float64
		want int
	}{{0.009, 1}, {0.0101, 0}, {0.01, 0}, {10 * 0.001, 0}, {0.01 - 1e-7, 1}} {
		shapes[1].Low, shapes[1].High = c.low, 0.02
		if got := closest(t, Scene{Shapes: shapes}, motion, Search{}); len(got) != c.want {
			t.Errorf("a layer from %g m upward on one that ends at 0.01 m: %d pairs, want %d", c.low, len(got), c.want)
		}
	}
}

func TestIgnoredAndJoined(t *testing.T) {
	bar := must(Bar(0.02, v(0, 0), v(0.2, 0)))
	shapes := two(bar, bar)
	motion := turning(5, []r2.Vec{{}, {}}, []float64{0.5, 0}, []float64{1.5, 0})
	if got := closest(t, Scene{Shapes: shapes, Ignored: [][2]int{{1, 0}}}, motion, Search{}); len(got) != 0 {
		t.Errorf("an ignored pair: %+v", got)
	}
	joined := Scene{Shapes: shapes, Joints: []Joint{{Bodies: [2]int{0, 1}, Radius: 0.05}}}
	// Closed form: beyond 50 mm the middle lines are nearest at the cuts, 2 · 50 mm · sin(s/2) apart.
	near(t, "bars on one pivot", closest(t, joined, motion, Search{})[0].Distance, 0.1*math.Sin(0.25)-0.02, 1e-12)
	joined.Joints[0].Radius = 0.21
	if got := closest(t, joined, motion, Search{}); len(got) != 0 {
		t.Errorf("a joint that leaves nothing: %+v", got)
	}
	shapes[1].Body = 0
	if got := closest(t, Scene{Shapes: shapes}, motion, Search{}); len(got) != 0 {
		t.Errorf("shapes of one body: %+v", got)
	}
}

func TestWithinLeavesOutFarPairs(t *testing.T) {
	scene, motion := lifter(60)
	all := closest(t, scene, motion, Search{})
	far := 0
	for i, got := range closest(t, scene, motion, Search{Within: 0.05}) {
		switch {
		case got.Far && all[i].Distance < 0.05-1e-5:
			t.Errorf("left out: %+v", all[i])
		case got.Far:
			far++
			if got.Distance != 0.05 {
				t.Errorf("distance of a far pair: %g", got.Distance)
			}
		case math.Abs(got.Distance-all[i].Distance) > 1e-5:
			t.Errorf("%+v, in full %+v", got, all[i])
		}
	}
	if far < 10 || far > len(all)-10 {
		t.Errorf("%d of %d pairs are far: the test shows nothing", far, len(all))
	}
}

// Six straight steps are off by some mm; solved poses where it matters bring the answer to that of 3,000 steps.
func TestSolvedPosesSettleWhatStepsMiss(t *testing.T) {
	scene, fine := lifter(3001)
	want := closest(t, scene, fine, Search{Clearance: 5e-3})
	_, coarse := lifter(6)
	coarse.Rates = nil
	worst := 0.0
	for i, got := range closest(t, scene, coarse, Search{Clearance: 5e-3}) {
		worst = max(worst, math.Abs(got.Distance-want[i].Distance))
	}
	if worst < 1e-4 {
		t.Fatalf("six steps are only off by %g m: the test shows nothing", worst)
	}
	calls := 0
	coarse.Solve = func(s float64) ([]Pose, []Pose, error) {
		calls++
		poses, _ := lifterAt(s)
		return poses, nil, nil
	}
	_, rated := lifter(4)
	rated.Solve = func(s float64) ([]Pose, []Pose, error) {
		poses, rates := lifterAt(s)
		return poses, rates, nil
	}
	for i, got := range closest(t, scene, rated, Search{Clearance: 5e-3}) {
		near(t, "least distance, with rates", got.Distance, want[i].Distance, 2e-5)
	}
	for i, got := range closest(t, scene, coarse, Search{Clearance: 5e-3}) {
		near(t, "least distance", got.Distance, want[i].Distance, 2e-5)
		if got.Nearer != want[i].Nearer {
			t.Errorf("%+v, want %+v", got, want[i])
		}
		if got.Nearer {
			near(t, "first contact", got.First, want[i].First, 3e-4)
		}
	}
	if calls == 0 {
		t.Error("no pose was solved")
	}
	// A step that isn't the solved pose can't be mended.
	_, wrong := lifter(6)
	wrong.Solve = func(s float64) ([]Pose, []Pose, error) {
		poses, rates := lifterAt(s + 0.01)
		return poses, rates, nil
	}
	s, err := New(scene, wrong)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Closest(Search{}); err == nil || !strings.Contains(err.Error(), "differs from step") {
		t.Errorf("error %v", err)
	}
	failed := errors.New("no pose there")
	coarse.Solve = func(float64) ([]Pose, []Pose, error) { return nil, nil, failed }
	if s, err = New(scene, coarse); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Closest(Search{}); !errors.Is(err, failed) {
		t.Errorf("error %v, want that of Solve", err)
	}
}

// wild makes a scene of random outlines on bodies that move at random, turning up to half a turn a step.
func wild(rng *rand.Rand, bodies, steps int, rates bool) (Scene, Motion) {
	in := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	var scene Scene
	for body := range bodies {
		for range 1 + rng.IntN(2) {
			var o Outline
			switch rng.IntN(4) {
			case 0:
				o = must(Circle(v(in(-0.1, 0.1), in(-0.1, 0.1)), in(0.005, 0.08)))
			case 1:
				o = must(Bar(in(0.004, 0.03), v(0, 0), v(in(0.05, 0.2), 0), v(in(0.05, 0.2), in(0.02, 0.1))))
			default:
				var ring []r2.Vec
				n := 3 + rng.IntN(6)
				for i := range n {
					a, r := 2*math.Pi*float64(i)/float64(n), in(0.02, 0.15)
					ring = append(ring, v(r*math.Cos(a), r*math.Sin(a)))
				}
				o = must(Polygon(ring...))
			}
			scene.Shapes = append(scene.Shapes, Shape{Body: body, Outline: o, Low: 0, High: 0.01})
		}
	}
	var m Motion
	for k := range steps {
		at := make([]Pose, bodies)
		by := make([]Pose, bodies)
		for i := range at {
			at[i] = Pose{At: v(in(-0.35, 0.35), in(-0.35, 0.35)), Turn: in(-1.5, 1.5)}
			by[i] = Pose{At: v(in(-0.5, 0.5), in(-0.5, 0.5)), Turn: in(-3, 3)}
		}
		m.S, m.Poses, m.Rates = append(m.S, float64(k)+in(0, 0.5)), append(m.Poses, at), append(m.Rates, by)
	}
	if !rates {
		m.Rates = nil
	}
	return scene, m
}

// stillAt gives the distances of all pairs at one parameter.
func stillAt(t *testing.T, scene Scene, motion Motion, s *Space, at float64) []Approach {
	t.Helper()
	poses := make([]Pose, motion.bodies())
	for i := range poses {
		p, err := s.Pose(i, at)
		if err != nil {
			t.Fatal(err)
		}
		poses[i] = p
	}
	return closest(t, scene, Motion{S: []float64{at}, Poses: [][]Pose{poses}}, Search{})
}

// Against dense sampling of the same motion: no sample is nearer than what is found, what is found is there, and no sample before the
// first contact is nearer than the clearance. Distances themselves are checked against shapely.
func TestSearchAgainstDenseSampling(t *testing.T) {
	const tolerance = 1e-5
	touches := 0
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 1))
		scene, motion := wild(rng, 2+rng.IntN(2), 2+rng.IntN(3), seed%2 == 0)
		clearance := 0.02 * rng.Float64()
		s, err := New(scene, motion)
		if err != nil {
			t.Fatal(err)
		}
		found, err := s.Closest(Search{Clearance: clearance})
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range found {
			near(t, "the distance at its place", stillAt(t, scene, motion, s, f.S)[i].Distance, f.Distance, 1e-9)
			if across := r2.Norm(r2.Sub(f.On[1], f.On[0])); math.Abs(across-math.Abs(f.Distance)) > 1e-9 {
				t.Errorf("seed %d: nearest points %g m apart at a distance of %g m", seed, across, f.Distance)
			}
			if f.Nearer != (f.Distance < clearance) {
				t.Errorf("seed %d: %+v with a clearance of %g m", seed, f, clearance)
			}
			if f.Nearer && f.First > motion.S[0] {
				touches++
				near(t, "the distance at the first contact", stillAt(t, scene, motion, s, f.First)[i].Distance, clearance, 2*tolerance)
			}
		}
		first, last := motion.S[0], motion.S[len(motion.S)-1]
		const samples = 500
		for k := range samples + 1 {
			at := first + (last-first)*float64(k)/samples
			for i, there := range stillAt(t, scene, motion, s, at) {
				if there.Distance < found[i].Distance-tolerance {
					t.Errorf("seed %d: %g m at %g, least is %g m at %g", seed, there.Distance, at, found[i].Distance, found[i].S)
				}
				if there.Distance < clearance-2*tolerance && at < found[i].First {
					t.Errorf("seed %d: %g m at %g already, first at %g", seed, there.Distance, at, found[i].First)
				}
			}
		}
	}
	if touches < 20 {
		t.Errorf("only %d first contacts on the way", touches)
	}
}

// Mirrored, turned, moved, scaled, reversed and reordered scenes give the same.
func TestSymmetries(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 2))
		scene, motion := wild(rng, 3, 4, true)
		want := closest(t, scene, motion, Search{Clearance: 0.01})
		same := func(what string, scene Scene, motion Motion, scale float64, s func(float64) float64, index func(int) int) {
			t.Helper()
			got := closest(t, scene, motion, Search{Clearance: 0.01 * scale, Tolerance: 1e-5 * scale})
			if len(got) != len(want) {
				t.Fatalf("%s: %d pairs, want %d", what, len(got), len(want))
			}
			for _, g := range got {
				pair := [2]int{index(g.Shapes[0]), index(g.Shapes[1])}
				slices.Sort(pair[:])
				w := want[slices.IndexFunc(want, func(a Approach) bool { return a.Shapes == pair })]
				near(t, what+": least distance", g.Distance/scale, w.Distance, 1e-5)
				if g.Nearer != w.Nearer {
					t.Errorf("%s: %+v, want %+v", what, g, w)
				}
				if g.Nearer && s != nil {
					near(t, what+": first contact", s(g.First), w.First, 1e-4)
				}
			}
		}
		itself := func(x float64) float64 { return x }
		keep := func(i int) int { return i }
		moved := func(shape func(r2.Vec) r2.Vec, scale float64, pose func(Pose, bool) Pose) (Scene, Motion) {
			var sc Scene
			for _, sh := range scene.Shapes {
				var o Outline
				for _, p := range sh.Outline.pieces {
					q := piece{radius: p.radius * scale}
					for _, c := range p.core {
						q.core = append(q.core, shape(c))
					}
					if len(q.core) > 2 && area(q.core) < 0 {
						slices.Reverse(q.core)
					}
					o.pieces = append(o.pieces, q)
				}
				sh.Outline = o
				sc.Shapes = append(sc.Shapes, sh)
			}
			m := Motion{S: motion.S}
			for k := range motion.S {
				var at, by []Pose
				for i := range motion.Poses[k] {
					at, by = append(at, pose(motion.Poses[k][i], true)), append(by, pose(motion.Rates[k][i], false))
				}
				m.Poses, m.Rates = append(m.Poses, at), append(m.Rates, by)
			}
			return sc, m
		}
		mirror := func(p r2.Vec) r2.Vec { return v(-p.X, p.Y) }
		sc, m := moved(mirror, 1, func(p Pose, _ bool) Pose { return Pose{mirror(p.At), -p.Turn} })
		same("mirrored", sc, m, 1, itself, keep)
		sc, m = moved(func(p r2.Vec) r2.Vec { return p }, 1, func(p Pose, place bool) Pose {
			at := r2.Rotate(p.At, 0.7, r2.Vec{})
			if !place {
				return Pose{at, p.Turn}
			}
			return Pose{r2.Add(at, v(3, -2)), p.Turn + 0.7}
		})
		same("turned and moved", sc, m, 1, itself, keep)
		sc, m = moved(func(p r2.Vec) r2.Vec { return r2.Scale(20, p) }, 20, func(p Pose, _ bool) Pose { return Pose{r2.Scale(20, p.At), p.Turn} })
		same("scaled", sc, m, 20, itself, keep)
		n := len(scene.Shapes)
		sc = Scene{Shapes: slices.Clone(scene.Shapes)}
		slices.Reverse(sc.Shapes)
		same("reordered", sc, motion, 1, itself, func(i int) int { return n - 1 - i })
		m = Motion{}
		for k := len(motion.S) - 1; k >= 0; k-- {
			var by []Pose
			for _, p := range motion.Rates[k] {
				by = append(by, Pose{r2.Scale(-1, p.At), -p.Turn})
			}
			m.S, m.Poses, m.Rates = append(m.S, -motion.S[k]), append(m.Poses, motion.Poses[k]), append(m.Rates, by)
		}
		same("run backward", scene, m, 1, nil, keep)
	}
}

// The bounds of a stretch against its derivatives by differences, and the stretch against its ends.
func TestBoundsHoldTheMotion(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 3))
		_, motion := wild(rng, 1, 2, true)
		ways, _ := motion.stretches()
		w := ways[0]
		const h = 1e-4
		for u := h; u < 1-h; u += 0.01 {
			a, b, c := w.at(u-h), w.at(u), w.at(u+h)
			speed, spin := r2.Norm(r2.Sub(c.At, a.At))/(2*h), math.Abs(c.Turn-a.Turn)/(2*h)
			bend := r2.Norm(r2.Add(r2.Sub(c.At, r2.Scale(2, b.At)), a.At)) / (h * h)
			turnBend := math.Abs(c.Turn-2*b.Turn+a.Turn)/(h*h) + spin*spin
			if speed > w.speed+1e-6 || spin > w.spin+1e-6 || bend > w.bend+1e-6 || turnBend > w.turnBend+1e-6 {
				t.Fatalf("seed %d at %g: %g %g %g %g beyond %+v", seed, u, speed, spin, bend, turnBend, w)
			}
		}
		if to := w.at(1); r2.Norm(r2.Sub(to.At, motion.Poses[1][0].At)) > 1e-12 || math.Abs(to.Turn-motion.Poses[1][0].Turn) > 1e-12 {
			t.Errorf("seed %d: the stretch ends at %+v, the step is %+v", seed, to, motion.Poses[1][0])
		}
	}
}

func TestSearchAllocatesOnlyItsAnswer(t *testing.T) {
	scene, motion := lifter(200)
	s, err := New(scene, motion)
	if err != nil {
		t.Fatal(err)
	}
	if n := testing.AllocsPerRun(3, func() {
		if _, err := s.Closest(Search{Clearance: 3e-3}); err != nil {
			t.Fatal(err)
		}
	}); n > 1 {
		t.Errorf("%g allocations", n)
	}
}
