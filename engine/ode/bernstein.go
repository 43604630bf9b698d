package ode

import "math"

// The certificate of crossings. A polynomial on [0, 1] lies in the convex hull
// of its Bernstein coefficients, so coefficients of one sign prove that it has
// no root there, and by Descartes' rule exactly one change of sign among them
// proves that it has exactly one. In between the interval is halved with de
// Casteljau's scheme.
//
// Source: G. Farin, Curves and Surfaces for Computer-Aided Geometric Design,
// chapters on the Bernstein form (convex hull, variation diminishing,
// subdivision); J. M. Lane and R. F. Riesenfeld, Bounds on a polynomial,
// BIT 21 (1981) 112-117.

// maxDegree is that of the longer of the two dense outputs.
const maxDegree = 7

// bernstein holds the coefficients 0..degree of a polynomial on [0, 1].
type bernstein [maxDegree + 1]float64

// maxDepth ends the halving. A dip that is still undecided there has a width
// of 2^-40 steps and a depth that rounding hides: it is a touch.
const maxDepth = 40

// deflate divides out the root at 0, which must be exact: the coefficients of
// p(s)/s are b[k]*n/k. It returns the new degree.
func (b *bernstein) deflate(n int) int {
	for k := 1; k <= n; k++ {
		b[k-1] = b[k] * float64(n) / float64(k)
	}
	b[n] = 0
	return n - 1
}

// flip changes the sign of every coefficient.
func (b *bernstein) flip(n int) {
	for k := 0; k <= n; k++ {
		b[k] = -b[k]
	}
}

// split cuts [0, 1] at u into the coefficients of both parts.
func (b *bernstein) split(n int, u float64, left, right *bernstein) {
	*right = *b
	left[0] = right[0]
	for j := 1; j <= n; j++ {
		for k := 0; k <= n-j; k++ {
			right[k] += u * (right[k+1] - right[k])
		}
		left[j] = right[0]
	}
}

// slope returns the value and the derivative at u.
func (b *bernstein) slope(n int, u float64) (value, derivative float64) {
	w := *b
	for j := 1; j < n; j++ {
		for k := 0; k <= n-j; k++ {
			w[k] += u * (w[k+1] - w[k])
		}
	}
	d := w[1] - w[0]
	return w[0] + u*d, float64(n) * d
}

// leaves reports the first place in [0, 1] where a polynomial that begins on
// the positive side goes to the negative side. One that begins on the negative
// side, or leaves zero for it, does so at 0. A root at 0 that is exact, as
// after a crossing that set its coordinate to its level, is thus never taken
// for the next crossing, and no sign of a rounding error is asked for.
func (b *bernstein) leaves(n int) (u float64, ok bool) {
	return b.search(n, 0, 1, 0)
}

func (b *bernstein) search(n int, low, width float64, depth int) (float64, bool) {
	changes, first, last := 0, 0.0, 0.0
	for k := 0; k <= n; k++ {
		if b[k] == 0 {
			continue
		}
		if first == 0 {
			first = b[k]
		} else if (b[k] < 0) != (last < 0) {
			changes++
		}
		last = b[k]
	}
	switch {
	case first < 0:
		return low, true
	case changes == 0:
		return 0, false
	case changes == 1 && b[n] < 0:
		return low + width*b.bracketed(n), true
	case depth == maxDepth:
		return low + width, b[n] < 0
	}
	var left, right bernstein
	b.split(n, 0.5, &left, &right)
	width /= 2
	if u, ok := left.search(n, low, width, depth+1); ok {
		return u, true
	}
	return right.search(n, low+width, width, depth+1)
}

// highest returns the greatest value on [0, 1], when one that is already known
// is not greater. The coefficients bound what a part can hold; each halving
// brings them four times nearer to the polynomial.
func (b *bernstein) highest(n int, known, tolerance float64) float64 {
	top := b[0]
	for k := 1; k <= n; k++ {
		top = max(top, b[k])
	}
	if !(top > known+tolerance) {
		return known
	}
	var left, right bernstein
	b.split(n, 0.5, &left, &right)
	known = left.highest(n, max(known, left[n]), tolerance)
	return right.highest(n, known, tolerance)
}

// bracketed returns the only root in (0, 1), where b goes from positive to
// negative: Newton's method, kept inside the shrinking bracket. What it
// returns is the last iterate, never the end of the bracket that lags behind.
func (b *bernstein) bracketed(n int) float64 {
	low, high := 0.0, 1.0
	p := *b
	for p[0] == 0 { // a start on the level is not the root that is meant
		n = p.deflate(n)
	}
	u := p[0] / (p[0] - p[n])
	for range 100 {
		value, derivative := p.slope(n, u)
		if value == 0 {
			return u
		}
		if value > 0 {
			low = u
		} else {
			high = u
		}
		next := u - value/derivative
		if !(next > low && next < high) {
			next = low + (high-low)/2
		}
		// Relative, since a bounce that dies away has its root very near 0.
		if math.Abs(next-u) <= 0x1p-52*next || next == low || next == high {
			return next
		}
		u = next
	}
	return u
}
