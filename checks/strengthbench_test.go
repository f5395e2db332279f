package checks

import (
	"runtime/debug"
	"testing"
)

// BenchmarkStrength follows the forces into all that holds an example together, after its sweep and its strokes: links, pins, holes, bearings,
// hubs, screws, frame and base.
func BenchmarkStrength(b *testing.B) {
	// Garbage is collected as the program does it: not below 128 MB.
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(128 << 20))
	for _, example := range []string{"tray-lifter", "glue-press"} {
		x := examinerOf(b, example)
		x.moments() // waits for the strokes
		b.Run(example, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				x.subjects, x.carried, x.arrivals, x.motion.gripped, x.motion.loaded = nil, nil, nil, nil, nil
				x.stalls()
				x.sections()
				x.carrying()
				x.strength()
				x.stoppings()
				x.screwGroups()
				x.fixings()
				x.mounting()
				x.frame()
				x.springings()
				x.hubs()
			}
		})
	}
}

// BenchmarkTightening judges all screws by themselves: their length, thread, torque and clamping, which nothing of the motion is in.
func BenchmarkTightening(b *testing.B) {
	x := examinerOf(b, "tray-lifter")
	b.ReportAllocs()
	for b.Loop() {
		x.subjects = nil
		x.fastenings()
	}
}
