package linkage

import (
	"math"
	"testing"
)

// The moments along a bar have the largest that Member gives, and end with none: the textbook's diagram of a beam with a load between
// its supports, F a b / l.
func TestMoments(t *testing.T) {
	s := mustNew(t, lifter())
	c := Case{Loads: []Load{{Point: 5, Mass: 3}}}
	c.Gravity.Y = -9.80665
	st, err := s.Statics(c)
	if err != nil {
		t.Fatal(err)
	}
	w := mustSweep(t, s, Drive{}, 12)
	var f Forces
	var list []Moment
	for i := range w.Poses {
		if err := st.Hold(&w.Poses[i], Standing, &f); err != nil {
			t.Fatal(err)
		}
		for body, b := range s.Mechanism().Bodies {
			list = st.Moments(body, &f, list)
			if b.Ground {
				if len(list) != 0 {
					t.Errorf("the ground has moments %v", list)
				}
				continue
			}
			most := 0.0
			for _, m := range list {
				most = max(most, math.Abs(m.Bending))
			}
			near(t, "largest", most, math.Abs(st.Member(body, &f).Bending), 1e-12*max(1, most))
			near(t, "at the end", list[len(list)-1].Bending, 0, 1e-9)
			if from, to := st.Bar(body); from == to {
				t.Errorf("body %d has no bar", body)
			}
		}
	}
}
