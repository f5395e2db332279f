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
// those of its spec, and their accelerations come from differences of three poses by the stroke.
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
	for i := range all.list {
		m := &all.list[i]
		seen[m.kind]++
		if m.kind == inPress {
			continue
		}
		sum := r2.Add(x.on(m, &a), x.on(m, &b))
		k := int(math.Round(m.pose.Stroke / h))
		if k == 0 || k == len(poses)-1 {
			continue
		}
		want := r2.Vec{Y: -(0.16 + 0.16 + 1.2 + 2.5) * 9.80665}
		centre := func(k int, link string) r2.Vec {
			l := x.motion.link(link)
			b := x.motion.mechanism.Bodies[l]
			o := x.motion.mechanism.Points[b.Points[0]]
			return r2.Add(poses[k].Points[b.Points[0]], r2.Rotate(r2.Sub(b.Centre, o), poses[k].Angles[l], r2.Vec{}))
		}
		add := func(mass float64, at func(k int) r2.Vec) {
			before, here, after := at(k-1), at(k), at(k+1)
			v := r2.Scale(1/(2*h), r2.Sub(after, before))
			a := r2.Scale(1/(h*h), r2.Add(r2.Sub(after, here), r2.Sub(before, here)))
			want = r2.Sub(want, r2.Scale(mass, r2.Add(r2.Scale(m.acceleration, v), r2.Scale(m.speed*m.speed, a))))
		}
		for link, mass := range map[string]float64{"lower": 0.16, "upper": 0.16, "carrier": 1.2} {
			add(mass, func(k int) r2.Vec { return centre(k, link) })
		}
		add(2.5, func(k int) r2.Vec { return poses[k].Points[x.motion.point("T")] })
		if off := r2.Norm(r2.Sub(sum, want)); off > 1e-3*r2.Norm(want) {
			t.Errorf("%s: the ground carries %v, want %v", x.whenIn(m), sum, want)
		}
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
