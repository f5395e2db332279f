package report

import (
	"sync"

	"trammel.example/checks"
	"trammel.example/schema"
)

// viewPoses of each stroke are enough to draw a smooth line through.
const viewPoses = 41

// A view is what several formats ask of a machine beyond what was judged. Each is computed when it is first asked for.
type view struct {
	courses func() []checks.Course
	swept   func() []checks.SweptPart
}

func viewOf(m *schema.Machine) *view {
	return &view{
		courses: sync.OnceValue(func() []checks.Course { return checks.Courses(m, viewPoses) }),
		swept:   sync.OnceValue(func() []checks.SweptPart { return checks.Swept(m) }),
	}
}

// Sharing gives the run with views that last: formats written from it, also at once, compute each but one time.
func (r Run) Sharing() Run {
	r.views = map[*schema.Machine]*view{}
	for _, s := range r.Specs {
		for _, j := range s.Judgements {
			r.views[j.Machine] = viewOf(j.Machine)
		}
	}
	return r
}

func (r Run) view(m *schema.Machine) *view {
	if v := r.views[m]; v != nil {
		return v
	}
	return viewOf(m)
}
