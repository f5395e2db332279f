package checks

import (
	"io/fs"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/frames"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// TestFrameBearsTheWholeMachine: at rest with its weights alone the feet of a frame that carries all fixed points bear exactly what the moving
// parts and the members weigh, with its moment (statics of the whole: pivots, slides and springs are inner forces).
func TestFrameBearsTheWholeMachine(t *testing.T) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/crate-ejector")
	if err != nil {
		t.Fatal(err)
	}
	x := &examiner{m: spec.Machines[0]}
	x.air, x.motion = followAir(x.m), move(x.m)
	x.begun = x.beginStrokes()
	list := x.moments().list
	d := x.stand(newSubject(x.m, "frame", "frame", schema.Place{}))
	s, err := d.stiff()
	if err != nil {
		t.Fatal(err)
	}
	var own linkage.Wrench // of the members
	for _, one := range d.loads.Spread {
		m := d.frame.Members[one.Member]
		weight := r2.Scale(d.length(m), one.Force)
		middle := r2.Scale(0.5, r2.Add(d.frame.Nodes[m.From].At, d.frame.Nodes[m.To].At))
		own.Force, own.Moment = r2.Add(own.Force, weight), own.Moment+r2.Cross(middle, weight)
	}
	looked := 0
	for i := range list {
		m := &list[i]
		if m.kind != atRest || len(m.loads) > 0 {
			continue
		}
		looked++
		if why := d.put(m); why != "" {
			t.Fatal(why)
		}
		var r frames.Result
		if err := s.Bear(d.loads, &r); err != nil {
			t.Fatal(err)
		}
		want, _ := x.motion.solver.OnGround(m.pose, &x.motion.weights, 0, 0)
		force, moment := r2.Add(want.Force, own.Force), want.Moment+own.Moment
		for k, one := range r.Reactions {
			force = r2.Add(force, one.Force)
			moment += one.Moment + r2.Cross(d.frame.Nodes[k].At, one.Force)
		}
		if r2.Norm(force) > 1e-6 || math.Abs(moment) > 1e-6 {
			t.Errorf("%s: %v and %g N m are left over", x.motion.when(m.pose), force, moment)
		}
	}
	if looked < 10 {
		t.Errorf("%d poses", looked)
	}
}
