package checks

import (
	"io/fs"
	"testing"

	"trammel.example/checks/linkage"
	"trammel.example/checks/space"
	"trammel.example/schema"
)

// BenchmarkFlagship is the whole stroke of the tray lifter: 200 poses, the reactions at each while the rod goes out and while it comes in,
// and how near all pairs of parts that it draws come to each other.
func BenchmarkFlagship(b *testing.B) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/tray-lifter")
	if err != nil {
		b.Fatal(err)
	}
	x := &examiner{m: spec.Machines[0]}
	x.motion = move(x.m)
	planes := x.flat()
	all := x.motion.weights
	for _, f := range x.motion.forces {
		all.Loads = append(all.Loads[:len(all.Loads):len(all.Loads)], f.load.Loads...)
	}
	poses := func(b *testing.B) {
		x.motion.runs = nil
		if err := x.motion.solve(200); err != nil {
			b.Fatal(err)
		}
		statics, err := x.motion.solver.Statics(all)
		if err != nil {
			b.Fatal(err)
		}
		var f linkage.Forces
		for i := range x.motion.runs[0].Poses {
			for _, way := range []linkage.Way{linkage.Extending, linkage.Closing} {
				if err := statics.Hold(&x.motion.runs[0].Poses[i], way, &f); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
	clearance := func(b *testing.B) {
		w := x.scenery(planes)
		if meetings, err := w.search(w.figures, space.Search{Within: ofInterest}); err != nil || len(meetings) == 0 {
			b.Fatal(len(meetings), err)
		}
	}
	b.Run("all", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			poses(b)
			clearance(b)
		}
	})
	b.Run("of it poses with forces", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			poses(b)
		}
	})
	b.Run("of it clearance", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			clearance(b)
		}
	})
}
