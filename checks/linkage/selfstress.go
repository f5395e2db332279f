package linkage

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Where constraints repeat others, the forces of those left out are free; the least set of all is found by the normal equations.

// repeat prepares least.
func (t *Statics) repeat(f *Forces) {
	n := t.x.rows
	left := t.x.program.dropped
	t.x.follow(f.c, f.q)
	for i := range left {
		for j := range left {
			f.gram[i*len(left)+j] = floats.Dot(f.c[i*n:(i+1)*n], f.c[j*n:(j+1)*n])
		}
		f.gram[i*len(left)+i]++
	}
	f.factors, _ = lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: len(left), Stride: len(left), Data: f.gram}) // 1 + C Cᵀ has a root
}

// follow finds how the constraints left out follow from those kept: J_left = C J_kept, with a row of C for each. row is room.
func (x *state) follow(c, row []float64) {
	clear(c)
	for i, left := range x.program.dropped {
		clear(row)
		for k, e := range x.entries {
			if e.row == left {
				row[e.col] += x.jac[k]
			}
		}
		x.program.solveTransposed(x.lu, row, c[i*x.rows:(i+1)*x.rows], x.scratch)
	}
}

// least adds the self-stress that makes the sum of squares least: the forces λ of the constraints left out solve (1 + C Cᵀ) λ = C λ0,
// and those kept become λ0 - Cᵀ λ.
func (t *Statics) least(f *Forces, lambda []float64) {
	left, n := t.x.program.dropped, t.x.rows
	for i := range left {
		f.small[i] = floats.Dot(f.c[i*n:(i+1)*n], lambda)
	}
	lapack64.Potrs(f.factors, blas64.General{Rows: len(left), Cols: 1, Stride: 1, Data: f.small})
	for i, row := range left {
		floats.AddScaled(lambda, -f.small[i], f.c[i*n:(i+1)*n])
		lambda[row] = f.small[i]
	}
}
