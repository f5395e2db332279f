package made

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// longer makes one arm longer by a size.
func longer(m linkage.Mechanism, arm int, by Span) Spacing {
	b := m.Bodies[arm+1].Points
	length := r2.Norm(r2.Sub(m.Points[b[1]], m.Points[b[0]]))
	return Spacing{Body: arm + 1, From: b[0], To: b[1], Cut: Exactly(length), Adds: []Span{by}}
}

func filled(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// Three equal arms, the middle one longer by d. Pushed apart, it takes the play of both its pivots and of both of each outer arm's:
// 2c + 2c = d. With stiff pivots its force is that of the middle of three springs of k/2, F = k d / 3. (Constructed; sums of forces
// and moments on the carrier.)
func TestThreeArms(t *testing.T) {
	const d, k = 0.04 * mm, 5e6
	mech := arms(250*mm, 0, 60*mm, 120*mm)
	s, poses := swept(t, mech, 7)
	n := len(mech.Points)
	m := mustNew(t, s, Parts{Spacings: []Spacing{longer(mech, 1, Exactly(d))}})
	for _, row := range []struct {
		name               string
		play, share, force float64
	}{
		{"no play", 0, math.Inf(1), k * d / 3},
		{"half of the play needed", d / 8, 2, k * d / 6},
		{"more than needed", d / 3, 0.75, 0},
	} {
		fit, err := m.Fit(poses, Pivots{Play: filled(n, row.play), Stiffness: filled(n, k)})
		if err != nil || len(fit.Blocked) > 0 {
			t.Fatalf("error %v, blocked %v", err, fit.Blocked)
		}
		if fit.Redundant != 1 || fit.Searched {
			t.Errorf("got %+v", fit)
		}
		near(t, row.name+": gap", fit.Nominal.Gap, d, 2e-3*d)
		near(t, row.name+": play", fit.Nominal.Play, d/4, 2e-3*d)
		near(t, row.name+": force", fit.Nominal.Force, row.force, 1e-2*k*d/3)
		if math.IsInf(row.share, 1) {
			if !math.IsInf(fit.Nominal.Share, 1) {
				t.Errorf("%s: share %g", row.name, fit.Nominal.Share)
			}
			continue
		}
		near(t, row.name+": share", fit.Nominal.Share, row.share, 5e-3*row.share)
	}
}

// Equal but for a bracket that stands aside by (x, y): along an arm at the angle θ that is x cos θ + y sin θ.
func TestBracketOutOfLine(t *testing.T) {
	const x, y = 0.02 * mm, -0.05 * mm
	mech := arms(250*mm, 0, 60*mm, 120*mm)
	s, poses := swept(t, mech, 9)
	m := mustNew(t, s, Parts{Shifts: []Shift{{Body: 0, Point: 2, X: Exactly(x), Y: Exactly(y)}}})
	want := 0.0
	for i := range poses {
		sin, cos := math.Sincos(poses[i].Angles[1])
		want = max(want, math.Abs(x*cos+y*sin))
		fit, err := m.Fit(poses[i:i+1], Pivots{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "play", fit.Nominal.Play, math.Abs(x*cos+y*sin)/4, 1e-3*math.Hypot(x, y))
	}
	fit, err := m.Fit(poses, Pivots{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "play over the sweep", fit.Nominal.Play, want/4, 1e-3*math.Hypot(x, y))
}

// Four equally spaced arms: the carrier can take any place that is a straight line over the arms, and the best line through the
// lengths (d, 0, 0, 0) at 0, 1, 2, 3 misses by d/3 (Chebyshev's line over the points 0, 1, 3: the divided difference by the sum of its
// weights, de la Vallée Poussin). Both ends of an arm share that.
func TestFourArms(t *testing.T) {
	const d = 0.06 * mm
	mech := arms(250*mm, 0, 50*mm, 100*mm, 150*mm)
	s, poses := swept(t, mech, 4)
	m := mustNew(t, s, Parts{Spacings: []Spacing{longer(mech, 3, Exactly(d))}})
	fit, err := m.Fit(poses, Pivots{Stiffness: filled(len(mech.Points), 1e6)})
	if err != nil {
		t.Fatal(err)
	}
	if fit.Redundant != 2 {
		t.Errorf("%d constraints too many", fit.Redundant)
	}
	near(t, "play", fit.Nominal.Play, d/6, 3e-3*d)
	// Springs of k/2: the line of least squares through (0, 0, 0, d) at 0, 1, 2, 3 misses the third arm by 4/10 of d (normal equations).
	near(t, "force", fit.Nominal.Force, 0.5e6*d*0.4, 1e-2*0.5e6*d)
}

// Springs with dead bands on a carrier: the arms' forces by direct minimising of the energy, on a fine grid.
func TestForceWithPlay(t *testing.T) {
	const k, c = 2e6, 3e-6
	mech := arms(250*mm, 0, 50*mm, 100*mm, 150*mm)
	s, poses := swept(t, mech, 3)
	off := []float64{0, 0.05 * mm, -0.03 * mm, 0.02 * mm}
	var p Parts
	for i, v := range off {
		p.Spacings = append(p.Spacings, longer(mech, i, Exactly(v)))
	}
	n := len(mech.Points)
	fit, err := mustNew(t, s, p).Fit(poses[:1], Pivots{Play: filled(n, c), Stiffness: filled(n, k)})
	if err != nil {
		t.Fatal(err)
	}
	// Arm i is off by off_i - a - b i; beyond 2c both ends of k in series resist. Newton's method on the two sums of forces.
	force := func(i int, a, b float64) (f, slope float64) {
		e := off[i] - a - b*float64(i)
		if math.Abs(e) <= 2*c {
			return 0, 0
		}
		return k / 2 * (e - math.Copysign(2*c, e)), k / 2
	}
	a, b := 0.0, 0.0
	for range 100 {
		var f0, f1, k00, k01, k11 float64
		for i := range off {
			f, slope := force(i, a, b)
			x := float64(i)
			f0, f1 = f0+f, f1+f*x
			k00, k01, k11 = k00+slope, k01+slope*x, k11+slope*x*x
		}
		det := k00*k11 - k01*k01
		if det == 0 {
			t.Fatal("an arm is slack")
		}
		a, b = a+0.5*(f0*k11-f1*k01)/det, b+0.5*(f1*k00-f0*k01)/det
	}
	most := 0.0
	for i := range off {
		f, _ := force(i, a, b)
		most = max(most, math.Abs(f))
	}
	near(t, "force", fit.Nominal.Force, most, 1e-2*most)
}

// Tolerances: three arms within ± d are worst with the middle one long and the outer ones short, or the other way: 2d of gap.
func TestWorstArms(t *testing.T) {
	const d = 0.03 * mm
	mech := arms(250*mm, 0, 60*mm, 120*mm)
	s, poses := swept(t, mech, 5)
	var p Parts
	for i := range 3 {
		p.Spacings = append(p.Spacings, longer(mech, i, Within(0, d)))
	}
	fit, err := mustNew(t, s, p).Fit(poses, Pivots{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "nominal", fit.Nominal.Play, 0, 1e-12)
	near(t, "worst", fit.Worst.Play, 2*d/4, 2e-3*d)
	// With more sizes the limits are looked for: sharing the tolerance with brackets changes nothing.
	for i := range 4 {
		p.Shifts = append(p.Shifts, Shift{Body: 0, Point: []int{0, 2, 4, 6}[i], X: Within(0, 1e-9), Y: Within(0, 1e-9)})
	}
	fit, err = mustNew(t, s, p).Fit(poses, Pivots{})
	if err != nil {
		t.Fatal(err)
	}
	if !fit.Searched {
		t.Error("not marked as searched")
	}
	near(t, "worst of many", fit.Worst.Play, 2*d/4, 2e-3*d)
}

func TestNothingCanBind(t *testing.T) {
	mech := arms(250*mm, 0, 60*mm)
	s, poses := swept(t, mech, 3)
	fit, err := mustNew(t, s, Parts{Spacings: []Spacing{longer(mech, 0, Exactly(2*mm))}}).Fit(poses, Pivots{})
	if err != nil || fit.Redundant != 0 || fit.Nominal.Play != 0 {
		t.Errorf("got %+v, %v", fit, err)
	}
}
