package people

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// A curve is a track with a known place everywhere.
type curve func(s float64) Point

// sample takes a curve at n poses, evenly from a to b.
func (c curve) sample(a, b float64, n int) (sweep []float64, t Track) {
	for i := range n {
		s := a + (b-a)*float64(i)/float64(n-1)
		sweep, t.At = append(sweep, s), append(t.At, c(s))
	}
	return sweep, t
}

// farthest is the largest distance, by very fine steps.
func (c curve) farthest(about Point, a, b float64) float64 {
	far := 0.0
	for i := range 200001 {
		far = max(far, c(a+(b-a)*float64(i)/200000).from(about))
	}
	return far
}

func turning(hinge Point, r float64) curve {
	return func(s float64) Point { return Point{hinge.X + r*math.Cos(s), hinge.Y + r*math.Sin(s)} }
}

func swept(t *testing.T, about Point, sweep []float64, tracks ...Track) Circle {
	t.Helper()
	c, err := Swept(about, sweep, tracks)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Closed form: an arm of radius r turns about a hinge; seen from a point at a distance a from the hinge, it gets a + r away where it
// points straight away from the point. That direction lies between two poses.
func TestSweptAgainstAnArmAboutAHinge(t *testing.T) {
	hinge, about, r := Point{0.31, -0.12}, Point{0.05, 0.02}, 0.44
	want := hinge.from(about) + r
	straight := math.Atan2(hinge.Y-about.Y, hinge.X-about.X)
	for _, n := range []int{4, 6, 20, 92} {
		sweep, track := turning(hinge, r).sample(straight-0.8, straight+0.8, n) // n is even: straight is in the middle of a step
		c := swept(t, about, sweep, track)
		step := 1.6 / float64(n-1)
		if !(c.Reached < want && want <= c.Radius) {
			t.Errorf("%d poses: %.9g is not between %.9g and %.9g", n, want, c.Reached, c.Radius)
		}
		if slack := c.Radius - want; slack > 2*r*step*step/8 {
			t.Errorf("%d poses: the bound is %g too far", n, slack)
		}
		if c.Pose != n/2-1 && c.Pose != n/2 {
			t.Errorf("%d poses: farthest at pose %d", n, c.Pose)
		}
	}
}

// The margin that the file's header promises: steps of up to half a turn.
func TestSweptBoundsHalfTurns(t *testing.T) {
	hinge, r := Point{0.2, 0.1}, 0.5
	for _, step := range []float64{0.01, 0.5, 1, 2, 3, math.Pi} {
		for _, shift := range []float64{0, 0.3, 0.5, 0.77} {
			a := -step * (1 + shift)
			sweep, track := turning(hinge, r).sample(a, a+3*step, 4)
			for _, about := range []Point{{}, hinge, {0.2, -3}, {1, 0.6}} {
				far := turning(hinge, r).farthest(about, a, a+3*step)
				if c := swept(t, about, sweep, track); c.Radius < far-1e-12 || c.Reached > far+1e-12 {
					t.Errorf("step %g, shift %g, about %v: %g is not between %g and %g", step, shift, about, far, c.Reached, c.Radius)
				}
			}
		}
	}
}

// Other ways to move: uneven pace, a cusp, a point on a rolling wheel, a rocker that stops and comes back.
func TestSweptBoundsOtherTracks(t *testing.T) {
	for name, c := range map[string]curve{
		"ellipse":           func(s float64) Point { return Point{0.5 * math.Cos(s), 0.2 * math.Sin(s)} },
		"cycloid":           func(s float64) Point { return Point{0.1 * (s - math.Sin(s)), 0.1 * (1 - math.Cos(s))} },
		"arc, gathering":    func(s float64) Point { return turning(Point{}, 0.3)(s * s / 4) },
		"arc, dead point":   func(s float64) Point { return turning(Point{0.1, 0}, 0.3)(math.Sqrt(s)) },
		"rocker":            func(s float64) Point { return turning(Point{0, 0.2}, 0.3)(0.7 * math.Sin(2*s)) },
		"straight":          func(s float64) Point { return Point{0.1 * s, 0.3 - 0.05*s} },
		"straight and back": func(s float64) Point { return Point{0.2 * math.Sin(s), 0.4 * math.Sin(s)} },
	} {
		for _, about := range []Point{{}, {0.7, 0.1}, {-0.2, 0.35}} {
			far := c.farthest(about, 0, 5)
			width := math.Inf(1)
			for _, n := range []int{30, 60, 120, 240} {
				sweep, track := c.sample(0, 5, n)
				got := swept(t, about, sweep, track)
				if got.Radius < far-1e-12 || got.Reached > far+1e-12 {
					t.Errorf("%s about %v, %d poses: %.9g is not between %.9g and %.9g", name, about, n, far, got.Reached, got.Radius)
				}
				if w := got.Radius - got.Reached; w > width+1e-12 {
					t.Errorf("%s about %v, %d poses: the bounds part, %g after %g", name, about, n, w, width)
				} else {
					width = w
				}
			}
		}
	}
}

// The bound closes with the square of the step.
func TestSweptClosesWithTheSquareOfTheStep(t *testing.T) {
	hinge := Point{0.3, 0}
	var slack [2]float64
	for i, n := range []int{41, 81} {
		sweep, track := turning(hinge, 0.4).sample(-1, 1, n)
		slack[i] = swept(t, Point{}, sweep, track).Radius - 0.7
	}
	if ratio := slack[0] / slack[1]; math.Abs(ratio-4) > 0.02 {
		t.Errorf("half the step leaves 1/%g of the slack", ratio)
	}
}

// A straight track at an even pace has no stray: both bounds are its farther end. Steps may differ.
func TestSweptStraightIsExact(t *testing.T) {
	sweep := []float64{0, 0.1, 0.15, 0.4, 0.41}
	var track Track
	for _, s := range sweep {
		track.At = append(track.At, Point{0.3 * s, 0.2 - s})
	}
	track.HalfWidth = 0.015
	c := swept(t, Point{0.1, 0.05}, sweep, track)
	want := math.Hypot(0.3*0.41-0.1, 0.15-0.41) + 0.015
	if math.Abs(c.Radius-want) > 1e-12 || math.Abs(c.Reached-want) > 1e-12 || c.Pose != 4 {
		t.Errorf("got %+v, want %g", c, want)
	}
}

func TestSweptNamesTheTrack(t *testing.T) {
	sweep, inner := turning(Point{}, 0.30).sample(0, 1, 30)
	_, outer := turning(Point{}, 0.31).sample(0, 1, 30)
	if c := swept(t, Point{}, sweep, inner, outer); c.Track != 1 {
		t.Errorf("farthest is track %d", c.Track)
	}
	inner.HalfWidth = 0.02
	c := swept(t, Point{}, sweep, inner, outer)
	if c.Track != 0 {
		t.Errorf("with its width the inner track is the farthest, found %d", c.Track)
	}
	if math.Abs(c.Reached-0.32) > 1e-12 {
		t.Errorf("reached %g, want 0.32", c.Reached)
	}
}

// The circle stays the same when everything is turned, mirrored, moved, counted in another unit of sweep, or swept backwards; it
// grows with the machine.
func TestSweptIdentities(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 13857))
	for range 200 {
		n := 3 + rng.IntN(20)
		sweep, track, about := make([]float64, n), Track{At: make([]Point, n), HalfWidth: rng.Float64()}, Point{rng.Float64(), rng.Float64()}
		for i := range n {
			sweep[i] = float64(i) + rng.Float64()/2
			track.At[i] = Point{rng.NormFloat64(), rng.NormFloat64()}
		}
		base := swept(t, about, sweep, track)
		turn, size := rng.Float64()*7, 0.1+rng.Float64()
		change := func(p Point) Point {
			x, y := size*p.X, -size*p.Y
			return Point{x*math.Cos(turn) - y*math.Sin(turn) + 3, x*math.Sin(turn) + y*math.Cos(turn) - 2}
		}
		other := Track{HalfWidth: size * track.HalfWidth}
		var backwards []float64
		for i := n - 1; i >= 0; i-- {
			backwards = append(backwards, -40*sweep[i]+7)
			other.At = append(other.At, change(track.At[i]))
		}
		got := swept(t, change(about), backwards, other)
		if math.Abs(got.Radius-size*base.Radius) > 1e-9 || math.Abs(got.Reached-size*base.Reached) > 1e-9 || got.Pose != n-1-base.Pose {
			t.Fatalf("got %+v from %+v at size %g", got, base, size)
		}
	}
}

func TestSweptRefusesNonsense(t *testing.T) {
	sweep, good := turning(Point{}, 1).sample(0, 1, 4)
	bad := func(p Point) Track { return Track{At: []Point{{}, {}, p, {}}} }
	for name, r := range map[string]struct {
		sweep  []float64
		tracks []Track
		says   string
	}{
		"two poses":       {sweep[:2], []Track{{At: good.At[:2]}}, "at least three"},
		"no track":        {sweep, nil, "without tracks"},
		"too few places":  {sweep, []Track{good, {At: good.At[:3]}}, "track 1 has 3 places for 4 poses"},
		"standing sweep":  {[]float64{0, 1, 1, 2}, []Track{good}, "pose 2"},
		"falling sweep":   {[]float64{0, 1, 0.5, 2}, []Track{good}, "pose 2"},
		"NaN in sweep":    {[]float64{0, 1, math.NaN(), 2}, []Track{good}, "pose 2"},
		"endless sweep":   {[]float64{0, 1, 2, math.Inf(1)}, []Track{good}, "pose 3"},
		"negative width":  {sweep, []Track{{At: good.At, HalfWidth: -1}}, "half width of track 0"},
		"NaN width":       {sweep, []Track{{At: good.At, HalfWidth: math.NaN()}}, "half width"},
		"NaN place":       {sweep, []Track{bad(Point{math.NaN(), 0})}, "pose 2"},
		"endless place":   {sweep, []Track{bad(Point{0, math.Inf(-1)})}, "pose 2"},
		"too sharp":       {sweep, []Track{bad(Point{1e308, 0})}, "too sharply"},
		"steps too small": {[]float64{0, 1e-300, 2e-300, 1}, []Track{good}, "too sharply"},
	} {
		if c, err := Swept(Point{}, r.sweep, r.tracks); err == nil || !strings.Contains(err.Error(), r.says) {
			t.Errorf("%s: got %+v, %v; want it to say %q", name, c, err, r.says)
		}
	}
}

func BenchmarkSwept(b *testing.B) {
	sweep, track := turning(Point{0.3, 0}, 0.4).sample(-1, 1, 181)
	tracks := []Track{track, track, track, track, track, track, track, track}
	for b.Loop() {
		if _, err := Swept(Point{}, sweep, tracks); err != nil {
			b.Fatal(err)
		}
	}
}
