package checks

import (
	"io/fs"
	"testing"

	"trammel.example/schema"
)

// BenchmarkFrameOfMachine follows all moments of an example into its frame.
func BenchmarkFrameOfMachine(b *testing.B) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/crate-ejector")
	if err != nil {
		b.Fatal(err)
	}
	x := &examiner{m: spec.Machines[0]}
	x.air, x.motion = followAir(x.m), move(x.m)
	x.begun = x.beginStrokes()
	b.ReportMetric(float64(len(x.moments().list)), "moments")
	b.ReportAllocs()
	for b.Loop() {
		x.subjects = nil
		x.frame()
	}
}
