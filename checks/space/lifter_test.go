package space

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func v(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }

// must is for outlines that a test knows to be good.
func must(o Outline, err error) Outline {
	if err != nil {
		panic(err)
	}
	return o
}

const arm, high = 0.25, 0.14 // m, of the lifter

// lifterAt gives the poses of the lifter's bodies and their rates.
func lifterAt(s float64) (poses, rates []Pose) {
	a, b := v(0, 0), v(0, high)
	sin, cos := math.Sincos(s)
	c, dc := r2.Add(a, v(arm*cos, arm*sin)), v(-arm*sin, arm*cos)
	k, dk := r2.Add(b, v(0.21*cos-0.07*sin, 0.21*sin+0.07*cos)), v(-0.21*sin-0.07*cos, 0.21*cos-0.07*sin)
	d := r2.Sub(k, a)
	turn, dturn := math.Atan2(d.Y, d.X), r2.Cross(d, dk)/r2.Norm2(d)
	return []Pose{{}, {At: a, Turn: s}, {At: b, Turn: s}, {At: c}, {At: a, Turn: turn}, {At: k, Turn: turn}},
		[]Pose{{}, {Turn: 1}, {Turn: 1}, {At: dc}, {Turn: dturn}, {At: dk, Turn: dturn}}
}

// lifter is a parallelogram that lifts a tray: two arms on a post, a carrier, a cylinder from the lower pivot of the post to the upper
// arm, with bolt heads and eyes. Its motion is known in closed form: s is the turn of the arms, the bodies are post, lower arm, upper
// arm, carrier, barrel and rod.
func lifter(steps int) (Scene, Motion) {
	const post, lower, upper, carrier, barrel, rod = 0, 1, 2, 3, 4, 5
	a, b := v(0, 0), v(0, high)
	var m Motion
	for k := range steps {
		s := -0.3 + 0.9*float64(k)/float64(max(steps-1, 1))
		poses, rates := lifterAt(s)
		m.S, m.Poses, m.Rates = append(m.S, s), append(m.Poses, poses), append(m.Rates, rates)
	}
	mm := 1e-3
	return Scene{
		Shapes: []Shape{
			{post, must(Polygon(v(-0.06, -0.05), v(-0.02, -0.05), v(-0.02, 0.19), v(-0.06, 0.19))), -0.05, 0.05},
			{post, must(Bar(0.03, v(-0.02, 0), a)), 20 * mm, 28 * mm},
			{post, must(Bar(0.03, v(-0.02, high), b)), 20 * mm, 28 * mm},
			{lower, must(Bar(0.02, v(0, 0), v(arm, 0))), 0, 20 * mm},
			{upper, must(Bar(0.02, v(0, 0), v(arm, 0))), 0, 20 * mm},
			{upper, must(Polygon(v(0.18, 0.005), v(0.24, 0.005), v(0.22, 0.085), v(0.2, 0.085))), 0, 20 * mm},
			{carrier, must(Polygon(v(-0.012, -0.015), v(0.1, -0.015), v(0.1, 0.01), v(0.012, 0.02), v(0.012, high+0.015), v(-0.012, high+0.015))), -8 * mm, 8 * mm},
			{carrier, must(Circle(v(0, 0), 0.013)), -18 * mm, 22 * mm},
			{carrier, must(Circle(v(0, high), 0.013)), -18 * mm, 22 * mm},
			{barrel, must(Bar(0.03, v(0, 0), v(0.17, 0))), -20 * mm, 10 * mm},
			{rod, must(Bar(0.01, v(-0.11, 0), v(0, 0))), -5 * mm, 5 * mm},
			{rod, must(Polygon(v(-0.03, -0.01), v(0.012, -0.01), v(0.012, 0.01), v(-0.03, 0.01))), -10 * mm, 10 * mm},
		},
		Ignored: [][2]int{{barrel, rod}},
		Joints: []Joint{
			{[2]int{post, lower}, [2]r2.Vec{a, {}}, 0.03},
			{[2]int{post, upper}, [2]r2.Vec{b, {}}, 0.03},
			{[2]int{lower, carrier}, [2]r2.Vec{v(arm, 0), {}}, 0.03},
			{[2]int{upper, carrier}, [2]r2.Vec{v(arm, 0), v(0, high)}, 0.03},
			{[2]int{post, barrel}, [2]r2.Vec{a, {}}, 0.03},
			{[2]int{lower, barrel}, [2]r2.Vec{{}, {}}, 0.03},
			{[2]int{upper, rod}, [2]r2.Vec{v(0.21, 0.07), {}}, 0.03},
		},
	}, m
}

func BenchmarkLifter(b *testing.B) {
	for _, bench := range []struct {
		name   string
		search Search
	}{
		{"every pair to 0.01 mm", Search{Clearance: 3e-3}},
		{"pairs within 20 mm", Search{Clearance: 3e-3, Within: 20e-3}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			scene, motion := lifter(200)
			b.ReportAllocs()
			for b.Loop() {
				s, err := New(scene, motion)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := s.Closest(bench.search); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("tables alone", func(b *testing.B) {
		scene, motion := lifter(200)
		b.ReportAllocs()
		for b.Loop() {
			if _, err := New(scene, motion); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("search alone", func(b *testing.B) {
		scene, motion := lifter(200)
		s, err := New(scene, motion)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		for b.Loop() {
			if _, err := s.Closest(Search{Clearance: 3e-3}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
