package pins

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	if !(math.Abs(got-want) <= part*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// The handbook's pin with play in eye and fork, M = F/8 (eye + 2 cheek) (Roloff and Matek, Maschinenelemente; from memory), asked from
// either side: it does not matter which of the two counts as the holder.
func TestEyeInFork(t *testing.T) {
	const eye, cheek, force = 0.016, 0.007, 850.0
	layers := []Layer{{cheek / 2, cheek, 0}, {cheek + eye/2, eye, 1}, {cheek + eye + cheek/2, cheek, 0}}
	want := force / 8 * (eye + 2*cheek)
	for holder := range 2 {
		f := []r2.Vec{{X: -force * 0.6, Y: -force * 0.8}, {X: force * 0.6, Y: force * 0.8}}
		r := Load{Layers: layers, Forces: f, Holder: holder}.Bear(Result{})
		near(t, "bending", r.Bending, want, 1e-12)
		near(t, "place", r.BendingAt, cheek+eye/2, 1e-12)
		near(t, "shear", r.Shear, force/2, 1e-12)
		near(t, "cheek", r2.Norm(r.Layers[0]), force/2, 1e-12)
	}
}

// Hibbeler, Mechanics of Materials (8th edition, from memory), problems 1-47, 1-48 and 1-61: pins in double shear. The books' mean stress
// is three quarters of the largest.
func TestDoubleShearOfTextbook(t *testing.T) {
	for _, c := range []struct{ force, d, mean float64 }{{135.61e3, 0.025, 138e6}, {165e3, 0.018, 324e6}, {2 * 15.27e3, 0.018, 60e6}} {
		layers := []Layer{{0, 0.01, 0}, {0.02, 0.02, 1}, {0.04, 0.01, 0}}
		r := Load{Layers: layers, Forces: []r2.Vec{{}, {Y: c.force}}}.Bear(Result{})
		near(t, "mean shear", 0.75*ShearStress(r.Shear, c.d), c.mean, 2e-3)
	}
}

// A pin held in one plate with the load beside it, by integrating twice: q is even over either half of the plate, and the moment is largest
// where the shear is nothing.
func TestHeldOnOneSide(t *testing.T) {
	const plate, lug, force = 0.012, 0.008, 400.0
	const arm = lug/2 + plate/2 // to the plate's middle
	r := Load{Layers: []Layer{{plate / 2, plate, 0}, {plate + lug/2, lug, 1}}, Forces: []r2.Vec{{}, {X: force}}}.Bear(Result{})
	near1 := force/2 + force*arm/(plate/2)
	s := plate / 2 * force / near1
	want := force*lug/2 + force*s/2
	if r.Bending > want*(1+1e-12) || r.Bending < want*(1-5e-3) {
		t.Errorf("bending: got %g, want %g", r.Bending, want)
	}
	near(t, "shear", r.Shear, near1-force, 1e-9)
	near(t, "stress", BendingStress(r.Bending, 0.008), 32*r.Bending/(math.Pi*math.Pow(0.008, 3)), 1e-12)
}

// Three bodies: the sums of forces and of moments on the pin are nothing, and a pin seen from its other end bears the same.
func TestEquilibriumAndMirror(t *testing.T) {
	layers := []Layer{{0.005, 0.01, 0}, {0.014, 0.006, 1}, {0.03, 0.016, 2}, {0.048, 0.006, 1}, {0.07, 0.012, 0}}
	forces := []r2.Vec{{}, {X: 310, Y: -90}, {X: -77, Y: 205}}
	r := Load{Layers: layers, Forces: forces}.Bear(Result{})
	var sum, turn r2.Vec
	for i, f := range r.Layers {
		sum, turn = r2.Add(sum, f), r2.Add(turn, r2.Scale(layers[i].At, f))
	}
	if r2.Norm(sum) > 1e-9 || r2.Norm(turn) > 1e-9 {
		t.Errorf("forces %v and moments %v are left", sum, turn)
	}
	mirror := make([]Layer, len(layers))
	for i, a := range layers {
		a.At = 0.1 - a.At
		mirror[len(layers)-1-i] = a
	}
	m := Load{Layers: mirror, Forces: forces}.Bear(Result{})
	near(t, "mirrored bending", m.Bending, r.Bending, 1e-12)
	near(t, "mirrored shear", m.Shear, r.Shear, 1e-12)
}

// TestThreadOnPin: the eye in a fork again, cut where its thread begins: M and V there by hand, from the cheek's own equation, and in a gap
// between two parts.
func TestThreadOnPin(t *testing.T) {
	const eye, cheek, gap, force = 0.016, 0.007, 0.002, 850.0
	layers := []Layer{{cheek / 2, cheek, 0}, {cheek + gap + eye/2, eye, 1}, {cheek + gap + eye + gap + cheek/2, cheek, 0}}
	end := 2*cheek + 2*gap + eye
	bear := func(from, to float64) Result {
		return Load{Layers: layers, Forces: []r2.Vec{{}, {X: 600, Y: 601.9}}, Thread: Thread{from, to}}.Bear(Result{})
	}
	p := math.Hypot(600, 601.9)
	near(t, "force", p, force, 1e-3)
	for _, left := range []float64{0.001, 0.0035, 0.0061} { // of the far cheek, from its outer face
		r := bear(end-left, end)
		near(t, "shear in the cheek", r.InThread.Shear, p/2*left/cheek, 1e-9)
		near(t, "bending in the cheek", r.InThread.Bending, p/2/cheek*left*left/2, 1e-9)
		near(t, "place", r.InThread.BendingAt, end-left, 1e-9)
	}
	r := bear(end-cheek-gap/4, end)
	near(t, "shear in the gap", r.InThread.Shear, p/2, 1e-9)
	near(t, "bending in the gap", r.InThread.Bending, p/2*(cheek/2+gap/4), 1e-9)
	if r = bear(0, end); r.InThread != r.Largest {
		t.Errorf("in a thread over all of it %v, on the whole %v", r.InThread, r.Largest)
	}
	if r = bear(0, cheek/2); r.InThread.Shear >= r.Shear || math.Abs(r.InThread.Bending-p/2*cheek/8) > 1e-9 {
		t.Errorf("in a thread at the other end %v", r.InThread)
	}
	if r = bear(0, 0); r.InThread != (Largest{}) {
		t.Errorf("without a thread: %v", r.InThread)
	}
}
