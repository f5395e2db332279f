package people

// The circle that a machine sweeps about a point.
//
//	Reached = max over tracks and poses of |p_i - c| + w
//	Radius  = max over tracks and steps of max(|p_i - c|, |p_i+1 - c|) + stray + w
//	stray   = 2 h^2/8 max(|p''_i|, |p''_i+1|)      in the first and the last step the one that has poses on both sides
//	p''_i   = 2 ((p_i+1 - p_i)/h_i - (p_i - p_i-1)/h_i-1) / (h_i + h_i-1)
//
// Symbols: p place of a track at a pose m; c the point m; w half width about the track m; s what the sweep counts (stroke m, angle
// rad, time s); h step of s; p'' second derivative of p by s; stray how far a track can be from the chord of a step m.
//
// Within a step a track is no farther from its chord than h^2/8 times the largest |p''| there (error of linear interpolation), and a
// chord is nowhere farther from a point than at one of its ends. The |p''| of the step is taken as twice the larger of the estimates
// at its ends, so that Radius bounds the sweep as long as |p''| does not rise above that between two poses. A track that turns about
// a point at an even pace is bounded for steps of up to half a turn: the sagitta is 1/cos^2(a/4) times h^2/8 |p''_i|, a the angle of a
// step. The sweep lies between Reached and Radius; finer steps bring them together with the square of the step.
//
// A rigid outline of straight edges is nowhere farther from a point than at one of its corners: give the corners as tracks, or the
// pivots of a link with half its width. Loads that swing, broken parts and thrown parts go farther.
//
// Source: the error of linear interpolation is textbook calculus (Davis, Interpolation and Approximation, theorem 3.1.1, from memory);
// the factor 2 is this project's margin.

import (
	"fmt"
	"math"
)

// Point is a place in the plane, m.
type Point struct{ X, Y float64 }

// Track is where a point of the machine is at each pose of a sweep.
type Track struct {
	At        []Point
	HalfWidth float64 // m of material about the track, zero or more
}

// Circle is the circle that a machine sweeps.
type Circle struct {
	Radius  float64 // m, an upper bound between the poses too
	Reached float64 // m, the farthest at a pose

	// The track and the pose that make Radius what it is: the farther end of the step.
	Track, Pose int
}

// Swept is the circle about a point that holds all tracks. The sweep gives what it counts at each pose, rising, at least three. About
// a point that moves, give tracks relative to it and the point zero.
func Swept(about Point, sweep []float64, tracks []Track) (Circle, error) {
	if len(sweep) < 3 {
		return Circle{}, fmt.Errorf("a sweep of %d poses does not show how its tracks bend: at least three", len(sweep))
	}
	if len(tracks) == 0 {
		return Circle{}, fmt.Errorf("a sweep without tracks has no circle")
	}
	for i, s := range sweep {
		if math.IsNaN(s) || math.IsInf(s, 0) || i > 0 && s <= sweep[i-1] {
			return Circle{}, fmt.Errorf("the sweep must rise from pose to pose, found %g at pose %d", s, i)
		}
	}
	c := Circle{Radius: math.Inf(-1)}
	for k, t := range tracks {
		if len(t.At) != len(sweep) {
			return Circle{}, fmt.Errorf("track %d has %d places for %d poses", k, len(t.At), len(sweep))
		}
		if err := notNegative(fmt.Sprintf("half width of track %d", k), t.HalfWidth); err != nil {
			return Circle{}, err
		}
		for i := range t.At {
			away := t.At[i].from(about)
			if math.IsNaN(away) || math.IsInf(away, 0) {
				return Circle{}, fmt.Errorf("track %d at pose %d has no finite distance from the point", k, i)
			}
			c.Reached = max(c.Reached, away+t.HalfWidth)
		}
		for i := range len(sweep) - 1 {
			pose := i
			if t.At[i+1].from(about) > t.At[i].from(about) {
				pose = i + 1
			}
			r := t.At[pose].from(about) + t.stray(sweep, i) + t.HalfWidth
			if math.IsNaN(r) || math.IsInf(r, 0) {
				return Circle{}, fmt.Errorf("track %d bends too sharply after pose %d for a circle to hold it", k, i)
			}
			if r > c.Radius {
				c.Radius, c.Track, c.Pose = r, k, pose
			}
		}
	}
	return c, nil
}

func (p Point) from(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// stray bounds how far a track is from the chord between pose i and the next.
func (t Track) stray(sweep []float64, i int) float64 {
	h := sweep[i+1] - sweep[i]
	last := len(sweep) - 2 // the last pose that has one on either side
	return 2 * h * h / 8 * max(t.bend(sweep, max(i, 1)), t.bend(sweep, min(i+1, last)))
}

// bend is the size of the second derivative of a track by the sweep at a pose that has one on either side.
func (t Track) bend(sweep []float64, i int) float64 {
	before, after := sweep[i]-sweep[i-1], sweep[i+1]-sweep[i]
	x := (t.At[i+1].X-t.At[i].X)/after - (t.At[i].X-t.At[i-1].X)/before
	y := (t.At[i+1].Y-t.At[i].Y)/after - (t.At[i].Y-t.At[i-1].Y)/before
	return 2 * math.Hypot(x, y) / (before + after)
}
