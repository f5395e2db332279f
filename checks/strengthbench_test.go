package checks

import (
	"io/fs"
	"testing"

	"trammel.example/schema"
)

// BenchmarkStrength follows the forces into all pins, holes and bearings of an example, after its sweep.
func BenchmarkStrength(b *testing.B) {
	for _, example := range []string{"tray-lifter", "glue-press"} {
		spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/" + example)
		if err != nil {
			b.Fatal(err)
		}
		x := &examiner{m: spec.Machines[0]}
		x.air, x.motion = followAir(x.m), move(x.m)
		b.Run(example, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				x.subjects, x.motion.gripped = nil, nil
				x.strength()
			}
		})
	}
}
