package ode

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Random polynomials against a search on a fine grid.
func TestLeavesAgainstGrid(t *testing.T) {
	const grid = 4000
	r := rand.New(rand.NewPCG(1, 2))
	found := 0
	for trial := range 3000 {
		n := []int{3, 4, 6, 7}[trial%4]
		var b bernstein
		for k := 0; k <= n; k++ {
			b[k] = r.NormFloat64()
		}
		b[0] = math.Abs(b[0])
		u, ok := b.leaves(n)
		if ok {
			found++
			if value, derivative := b.slope(n, u); math.Abs(value) > 1e-14 || derivative > 0 {
				t.Fatalf("%v: value %g, slope %g at the crossing %g", b[:n+1], value, derivative, u)
			}
		}
		for i := 1; i <= grid; i++ {
			at := float64(i) / grid
			if value, _ := b.slope(n, at); value < -1e-14 {
				if !ok || u > at {
					t.Fatalf("%v: negative at %g, but the crossing is %g, %v", b[:n+1], at, u, ok)
				}
				break
			} else if ok && at < u && value < 0 {
				t.Fatalf("%v: negative at %g before the crossing %g", b[:n+1], at, u)
			}
		}
	}
	if found < 1000 {
		t.Fatalf("only %d crossings in the sample", found)
	}
}

// fromRoots is a (s-r1)(s-r2)... in Bernstein form, by products of linear
// factors.
func fromRoots(a float64, roots ...float64) (b bernstein, n int) {
	b[0] = a
	for _, root := range roots {
		var c bernstein
		// (s-root) = (1-s)(-root) + s(1-root)
		for k := 0; k <= n; k++ {
			c[k] += -root * b[k] * float64(n+1-k) / float64(n+1)
			c[k+1] += (1 - root) * b[k] * float64(k+1) / float64(n+1)
		}
		b, n = c, n+1
	}
	return b, n
}

// The factors 6 make the coefficients exact, so that a touch is one.
func TestLeavesKnownRoots(t *testing.T) {
	for _, c := range []struct {
		name  string
		a     float64
		roots []float64
		want  float64 // 2 means none
	}{
		{"one", -1, []float64{0.25}, 0.25},
		{"two near each other", 1, []float64{0.5, 0.5 + 1e-6}, 0.5},
		{"touch", 1, []float64{0.375, 0.375}, 2},
		{"touch, then through", -6, []float64{0.25, 0.25, 0.8125}, 0.8125},
		{"close miss", -1, []float64{-0.1, 1.1}, 2},
		{"closer miss between", 1, nil, 2},
		{"through, back, through", -1, []float64{0.1, 0.4, 0.9}, 0.1},
		{"triple", -1, []float64{0.5, 0.5, 0.5}, 0.5},
		{"seven", -1, []float64{0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875}, 0.125},
		{"tiny", -1, []float64{1e-20}, 1e-20},
		{"at the end only", -1, []float64{1}, 2},
		{"inside and at the end", 1, []float64{0.5, 1}, 0.5},
		{"at the middle of the halving", -6, []float64{0.5, 0.5, 0.75}, 0.75},
		{"rest, own side, then through", -1, []float64{0, 0, 0.75}, 0.75},
		{"leaves zero for the other side", 1, []float64{0, 0.75}, 0},
		{"begins beyond", 1, []float64{0.5}, 0},
	} {
		b, n := fromRoots(c.a, c.roots...)
		if c.roots == nil { // (s-1/2)^2 + 1e-12, whose middle coefficient is negative
			b, n = bernstein{0.25 + 1e-12, -0.25 + 1e-12, 0.25 + 1e-12}, 2
		}
		u, ok := b.leaves(n)
		if !ok {
			u = 2
		}
		// A root of multiplicity 3 is only as good as the cube root of rounding.
		within := 1e-9 * c.want
		if c.name == "triple" {
			within = 1e-5
		}
		if math.Abs(u-c.want) > within {
			t.Errorf("%s: crossing at %v, want %v", c.name, u, c.want)
		}
	}
}

// Deflation divides by s.
func TestDeflate(t *testing.T) {
	b, n := fromRoots(3, 0, 0.2, 0.7, -1)
	want, m := fromRoots(3, 0.2, 0.7, -1)
	if n = b.deflate(n); n != m {
		t.Fatalf("degree %d, want %d", n, m)
	}
	for k := range b {
		if math.Abs(b[k]-want[k]) > 1e-15 {
			t.Errorf("coefficient %d: %g, want %g", k, b[k], want[k])
		}
	}
}
