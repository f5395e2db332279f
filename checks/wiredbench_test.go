package checks

import "testing"

// BenchmarkWiring is the flagship's coil circuit, and what its coil does when it is let go.
func BenchmarkWiring(b *testing.B) {
	for _, example := range []string{"tray-lifter", "stage-petals"} {
		x := examinerOf(b, example)
		x.air = followAir(x.m)
		behaves := x.behavesOnce() // which the check has at hand
		b.Run(example+"/circuit", func(b *testing.B) {
			for b.Loop() {
				y := &examiner{m: x.m, air: x.air, motion: x.motion, behaves: behaves}
				y.wiring()
			}
		})
		b.Run(example+"/letting go", func(b *testing.B) {
			y := &examiner{m: x.m, air: x.air, motion: x.motion, behaves: behaves}
			e := y.wiring()
			for b.Loop() {
				e.lettingGo(y)
			}
		})
	}
}
