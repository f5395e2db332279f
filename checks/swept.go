package checks

import (
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/space"
	"trammel.example/schema"
)

// sweptTolerance in m is how far the boundary of what a part sweeps may lie outside of what it really covers, in machines up to half a metre; then it grows
// with them.
const sweptTolerance = 3e-3

// A SweptPart is the area that a moving part covers over the stroke of a cylinder.
type SweptPart struct {
	Part     string // as findings call it
	Cylinder string // that moves
	Others   string // as in a Course
	// Rings are the boundaries of the area, m: counter-clockwise around it, clockwise around holes in it. None of what the part covers lies
	// outside.
	Rings [][]r2.Vec
	Why   string // the area is not known; there are no rings then
}

// Swept computes what the moving parts of a machine cover. Parts without an outline, and those of a machine whose motion is not known, are
// left out; the facts of its room say so.
func Swept(m *schema.Machine) []SweptPart {
	x := &examiner{m: m, motion: move(m)}
	if len(x.motion.faults) > 0 {
		return nil
	}
	w := x.scenery(x.flat())
	scene, of := w.scene(w.figures)
	var parts []string
	shapes := map[string][]int{}
	for i, f := range of {
		if f := &w.figures[f]; !w.carriers[f.carrier].ground {
			if shapes[f.part] == nil {
				parts = append(parts, f.part)
			}
			shapes[f.part] = append(shapes[f.part], i)
		}
	}
	// Each part in each run is found by itself, on all processors.
	var all []SweptPart
	var finds []func(one *SweptPart)
	for k := range x.motion.runs {
		r := &x.motion.runs[k]
		if len(r.Poses) < 2 {
			continue
		}
		motion := w.motionOf(k)
		for _, part := range parts {
			all = append(all, SweptPart{Part: part, Cylinder: x.motion.cylinders[r.Lead], Others: x.motion.rest(r)})
			finds = append(finds, func(one *SweptPart) {
				own := motion
				own.Solve = w.between(k)
				s, err := space.New(scene, own)
				var region space.Region
				if err == nil {
					region, err = s.Envelope(max(sweptTolerance, x.motion.size()/250), shapes[part]...)
				}
				if one.Rings = region.Rings; err != nil {
					one.Why = fmt.Sprintf("what %s sweeps is not known: %v", part, err)
				}
			})
		}
	}
	var next atomic.Int64
	var workers sync.WaitGroup
	for range min(len(finds), runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(finds); i = int(next.Add(1)) - 1 {
				finds[i](&all[i])
			}
		})
	}
	workers.Wait()
	return all
}
