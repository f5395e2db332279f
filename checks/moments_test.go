package checks

import (
	"io/fs"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
)

func examinerOf(tb testing.TB, example string) *examiner {
	tb.Helper()
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/" + example)
	if err != nil {
		tb.Fatal(err)
	}
	x := &examiner{m: spec.Machines[0]}
	x.air, x.motion = followAir(x.m), move(x.m)
	x.begun = x.beginStrokes()
	return x
}

// TestMomentsCarryWeightAndInertia adds up what the ground bears of the tray lifter, by Newton's second law for all of it: the masses are
// those of its spec, and their accelerations come from differences of poses by the stroke. From the same follows, by moments about the edges
// of the feet, how near its base comes to tipping: base, clamps and the weight of all that moves hold it down, and what the masses set against
// their acceleration tips it, or holds it too.
func TestMomentsCarryWeightAndInertia(t *testing.T) {
	x := examinerOf(t, "tray-lifter")
	all := x.moments()
	if all.why+all.unrun != "" {
		t.Fatal(all.why, all.unrun)
	}
	seen := map[momentKind]int{}
	poses := x.motion.alone("lift")
	h := poses[1].Stroke - poses[0].Stroke
	a, b := x.foothold("post", "A"), x.foothold("post", "B")
	reserve := math.Inf(1)
	for i := range all.list {
		m := &all.list[i]
		seen[m.kind]++
		if m.kind == inPress {
			continue
		}
		sum := r2.Add(x.on(m, &a), x.on(m, &b))
		k := int(math.Round(m.pose.Stroke / h))
		want := r2.Vec{Y: -(0.16 + 0.16 + 1.2 + 2.5) * 9.80665}
		centre := func(k int, link string) r2.Vec {
			l := x.motion.link(link)
			b := x.motion.mechanism.Bodies[l]
			o := x.motion.mechanism.Points[b.Points[0]]
			return r2.Add(poses[k].Points[b.Points[0]], r2.Rotate(r2.Sub(b.Centre, o), poses[k].Angles[l], r2.Vec{}))
		}
		var holds, tips [2]float64 // about the edges at -150 and 250
		about := func(edge int, at, force r2.Vec) float64 {
			return float64(2*edge-1) * r2.Cross(r2.Sub(at, r2.Vec{X: []float64{-0.15, 0.25}[edge], Y: -0.19}), force)
		}
		for edge := range holds {
			holds[edge] += about(edge, r2.Vec{X: 0.02, Y: -0.1}, r2.Vec{Y: -7 * 9.80665})
			holds[edge] += about(edge, r2.Vec{X: -0.12, Y: -0.19}, r2.Vec{Y: -1000}) + about(edge, r2.Vec{X: 0.22, Y: -0.19}, r2.Vec{Y: -1000})
		}
		add := func(mass float64, at func(k int) r2.Vec) {
			near := min(max(k, 1), len(poses)-2) // of the ends, by the parabola through the last three
			before, middle, after, here := at(near-1), at(near), at(near+1), at(k)
			bends := r2.Add(r2.Sub(after, middle), r2.Sub(before, middle))
			a := r2.Scale(1/(h*h), bends)
			v := r2.Scale(1/(2*h), r2.Add(r2.Sub(after, before), r2.Scale(2*float64(k-near), bends)))
			inertia := r2.Scale(-mass, r2.Add(r2.Scale(m.acceleration, v), r2.Scale(m.speed*m.speed, a)))
			want = r2.Add(want, inertia)
			for edge := range holds {
				holds[edge] += about(edge, here, r2.Vec{Y: -mass * 9.80665})
				tips[edge] -= about(edge, here, inertia)
			}
		}
		for link, mass := range map[string]float64{"lower": 0.16, "upper": 0.16, "carrier": 1.2} {
			add(mass, func(k int) r2.Vec { return centre(k, link) })
		}
		add(2.5, func(k int) r2.Vec { return poses[k].Points[x.motion.point("T")] })
		if off := r2.Norm(r2.Sub(sum, want)); off > 1e-3*r2.Norm(want) {
			t.Errorf("%s: the ground carries %v, want %v", x.whenIn(m), sum, want)
		}
		for edge := range holds {
			if tips[edge] > 0 {
				reserve = min(reserve, holds[edge]/tips[edge])
			}
		}
	}
	x.subjects = nil
	x.mounting()
	if got := x.subjects[0].Facts["reserve"].SI; math.Abs(got-reserve) > 1e-2*reserve {
		t.Errorf("the base has a reserve of %g against tipping, want %g", got, reserve)
	}
	for kind := atRest; kind <= atArrival; kind++ {
		if seen[kind] == 0 && kind != inFirst && kind != inFall { // its tray rests where it is sent first
			t.Errorf("no moments of kind %d", kind)
		}
	}
}

// BenchmarkMoments computes what the machine carries, after its sweep and its strokes.
func BenchmarkMoments(b *testing.B) {
	x := examinerOf(b, "tray-lifter")
	x.moments()
	b.ReportAllocs()
	for b.Loop() {
		x.carried = nil
		x.moments()
	}
	b.ReportMetric(float64(len(x.carried.list)), "moments")
}
