package trace

import "math"

// solve solves n linear equations in place by Gauss–Jordan elimination with
// partial pivoting. The right-hand side is the last column, and the solution takes
// its place; false where the matrix is singular.
func solve(m [][]float64) bool {
	n := len(m)
	for c := range n {
		best := c
		for r := c + 1; r < n; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[best][c]) {
				best = r
			}
		}
		m[c], m[best] = m[best], m[c]
		if m[c][c] == 0 || math.IsNaN(m[c][c]) {
			return false
		}
		for r := range n {
			if r == c {
				continue
			}
			f := m[r][c] / m[c][c]
			for k := c; k <= n; k++ {
				m[r][k] -= f * m[c][k]
			}
		}
	}
	for r := range n {
		m[r][n] /= m[r][r]
	}
	return true
}

// bands is a linear least-squares problem as its normal equations: a symmetric
// matrix with three bands beside its diagonal, m[k][j] in row k and column k+j,
// and the right-hand side.
type bands struct {
	m   [][4]float64
	rhs []float64
}

func (s bands) clone() bands {
	return bands{append([][4]float64(nil), s.m...), append([]float64(nil), s.rhs...)}
}

// square adds weight·(w·x[k:] - to)² to the sum of squares.
func (s bands) square(w [4]float64, k int, to, weight float64) {
	for i, a := range w {
		if a == 0 {
			continue
		}
		s.rhs[k+i] += weight * a * to
		for j := i; j < 4; j++ {
			if w[j] != 0 {
				s.m[k+i][j-i] += weight * a * w[j]
			}
		}
	}
}

// solve returns the x of the least sum; it overwrites s. It is a banded LDLᵀ
// factorisation without pivots (G. H. Golub, C. F. Van Loan, "Matrix
// Computations", 4.3), which a positive definite matrix does not need.
func (s bands) solve() []float64 {
	n := len(s.m)
	x := s.rhs
	for k := range n {
		s.m[k][0] += 1e-9 // positive where no gate bears on the row
		d := s.m[k][0]
		row := s.m[k]
		for i := 1; i < 4 && k+i < n; i++ {
			f := row[i] / d
			for j := i; j < 4 && k+j < n; j++ {
				s.m[k+i][j-i] -= f * row[j]
			}
			x[k+i] -= f * x[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for i := 1; i < 4 && k+i < n; i++ {
			x[k] -= s.m[k][i] * x[k+i]
		}
		x[k] /= s.m[k][0]
	}
	return x
}
