package nesting

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// whole fails where a plan leaves out a piece, cuts one twice, or cuts more from a bar than it has.
func whole(t testing.TB, bar, kerf float64, pieces []float64, p *Plan) {
	t.Helper()
	var all []int
	for i, b := range p.Bars {
		sum := -kerf
		for _, piece := range b {
			all = append(all, piece)
			sum += pieces[piece] + kerf
		}
		if sum > bar+1e-6 {
			t.Errorf("bar %d: %g m are cut from %g m", i, sum, bar)
		}
	}
	slices.Sort(all)
	for i, piece := range all {
		if i != piece || len(all) != len(pieces) {
			t.Fatalf("%d pieces, and the plan cuts %v", len(pieces), all)
		}
	}
	if len(p.Bars) < p.Least {
		t.Errorf("%d bars, fewer than the bound %d", len(p.Bars), p.Least)
	}
}

// Johnson's instance, for which first fit by falling size takes 11 bars for each 9 that are needed (D. S. Johnson, Near-optimal bin packing
// algorithms, MIT 1973; in Garey and Johnson, Computers and Intractability, 1979, section 6.1; from memory).
func TestJohnson(t *testing.T) {
	const e = 0.01
	for m := 1; m <= 4; m++ {
		var pieces []float64
		for range 6 * m {
			pieces = append(pieces, 0.5+e, 0.25+2*e, 0.25+e, 0.25-2*e, 0.25-2*e)
		}
		p, err := Cut(1, 0, pieces)
		if err != nil {
			t.Fatal(err)
		}
		whole(t, 1, 0, pieces, p)
		if len(p.Bars) != 9*m {
			t.Errorf("m = %d: %d bars, want %d", m, len(p.Bars), 9*m)
		}
	}
}

// Falkenauer's triplets (E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, J. Heuristics 2, 1996, from memory): bars cut
// into three without waste, so that the best is known: a third of the pieces. They are the
// hardest there are, and the plan may have three in a hundred more.
func TestTriplets(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for range 10 {
		var pieces []float64
		for range 66 {
			a := 0.38 + 0.11*rng.Float64()
			b := 0.25 + rng.Float64()*(0.5*(1-a)-0.25)
			a, b = float64(int(a*1e3))/1e3, float64(int(b*1e3))/1e3
			pieces = append(pieces, a, b, 1-a-b)
		}
		rng.Shuffle(len(pieces), func(i, j int) { pieces[i], pieces[j] = pieces[j], pieces[i] })
		p, err := Cut(1, 0, pieces)
		if err != nil {
			t.Fatal(err)
		}
		whole(t, 1, 0, pieces, p)
		if p.Least != 66 || len(p.Bars) > 68 {
			t.Errorf("%d bars, bound %d, best 66", len(p.Bars), p.Least)
		}
	}
}

// A saw of 3 mm takes two cuts from three pieces that fill the bar, and a third where something is left.
func TestKerf(t *testing.T) {
	for _, row := range []struct {
		bar    float64
		pieces []float64
		want   int
		left   float64
	}{
		{1, []float64{0.33, 0.33, 0.334}, 1, 0},
		{1, []float64{0.333, 0.333, 0.334}, 2, 0},
		{1, []float64{0.5, 0.49}, 1, 0.004}, // 1000 - 500 - 3 - 490 - 3
		{1, []float64{1}, 1, 0},
		{1, nil, 0, 0},
	} {
		p, err := Cut(row.bar, 0.003, row.pieces)
		if err != nil {
			t.Fatal(err)
		}
		whole(t, row.bar, 0.003, row.pieces, p)
		if len(p.Bars) != row.want {
			t.Errorf("%v: %d bars, want %d", row.pieces, len(p.Bars), row.want)
		}
		if len(p.Bars) == 1 && (p.Left[0] < row.left-1e-6 || p.Left[0] > row.left+1e-6) {
			t.Errorf("%v: %g m left, want %g", row.pieces, p.Left[0], row.left)
		}
	}
	if _, err := Cut(1, 0, []float64{0.5, 1.2}); err == nil || !strings.Contains(err.Error(), "piece 2 is 1.2 m long") {
		t.Errorf("a piece longer than the bar: %v", err)
	}
}

func BenchmarkCut(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	pieces := make([]float64, 200)
	for i := range pieces {
		pieces[i] = 0.05 + 0.9*rng.Float64()
	}
	var p *Plan
	for b.Loop() {
		p, _ = Cut(2, 0.003, pieces)
	}
	whole(b, 2, 0.003, pieces, p)
	b.ReportMetric(float64(len(p.Bars)-p.Least)/float64(p.Least), "off/bound")
}
