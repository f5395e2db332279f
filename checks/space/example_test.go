package space_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/space"
)

// An arm turns by 90° over a post that stands in its layer.
func Example() {
	arm, err := space.Bar(0.020, r2.Vec{}, r2.Vec{X: 0.250})
	if err != nil {
		panic(err)
	}
	post, err := space.Circle(r2.Vec{X: 0.150, Y: 0.150}, 0.030)
	if err != nil {
		panic(err)
	}
	const ground, lever = 0, 1
	scene := space.Scene{Shapes: []space.Shape{
		{Body: lever, Outline: arm, Low: 0, High: 0.008},
		{Body: ground, Outline: post, Low: 0, High: 0.040},
	}}
	sweep := space.Motion{
		S:     []float64{0, 1},
		Poses: [][]space.Pose{{{}, {}}, {{}, {Turn: math.Pi / 2}}},
	}
	s, err := space.New(scene, sweep)
	if err != nil {
		panic(err)
	}
	pairs, err := s.Closest(space.Search{Clearance: 0.003})
	if err != nil {
		panic(err)
	}
	for _, p := range pairs {
		fmt.Printf("shapes %d and %d: %.1f mm, nearer than 3 mm from %.3f of the sweep on\n", p.Shapes[0], p.Shapes[1], p.Distance*1000, p.First)
	}
	swept, err := s.Envelope(0.001, 0)
	if err != nil {
		panic(err)
	}
	fmt.Printf("the arm sweeps %.0f cm²\n", swept.Area*1e4)
	// Output:
	// shapes 0 and 1: -25.0 mm, nearer than 3 mm from 0.416 of the sweep on
	// the arm sweeps 589 cm²
}
