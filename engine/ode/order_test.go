package ode

import (
	"math"
	"testing"
)

var methods = []struct {
	method       Method
	order, dense int
}{
	{DormandPrince54, 5, 4},
	{DormandPrince8, 8, 7},
}

// fixed makes a solver that takes equal steps of h: every coordinate's Scale is
// so large that the error test always passes.
func fixed(t *testing.T, method Method, h float64, p Problem) *Solver {
	t.Helper()
	p.Scale = make([]float64, p.Dim)
	for i := range p.Scale {
		p.Scale[i] = 1e12
	}
	return solver(t, p, Settings{Method: method, FirstStep: h, MaxStep: h})
}

func solver(t *testing.T, p Problem, s Settings) *Solver {
	t.Helper()
	if p.Scale == nil {
		p.Scale = make([]float64, p.Dim)
		for i := range p.Scale {
			p.Scale[i] = 1
		}
	}
	v, err := New(p, s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func advance(t *testing.T, s *Solver, tEnd float64, each func(*Piece)) {
	t.Helper()
	if err := s.Advance(tEnd, each); err != nil {
		t.Fatal(err)
	}
}

// One step of a method of order p is exact for y' = t^k up to k = p-1 and not
// beyond: the quadrature conditions of Hairer, Norsett, Wanner, section II.1
// (equation 1.11a). The dense output of order q is exact up to k = q-1. A wrong
// digit in a weight or a node fails here.
func TestQuadratureConditions(t *testing.T) {
	for _, m := range methods {
		for k := 0; k <= m.order; k++ {
			s := fixed(t, m.method, 1, Problem{Dim: 1, Derivative: func(t float64, _, d []float64) {
				d[0] = float64(k+1) * math.Pow(t, float64(k))
			}})
			s.Start(0, []float64{0})
			inside := 0.0
			advance(t, s, 1, func(p *Piece) {
				for _, u := range []float64{0.1, 0.35, 0.5, 0.8} {
					inside = max(inside, math.Abs(p.At(u, 0)-math.Pow(u, float64(k+1))))
				}
			})
			if st := s.Stats(); st.Steps != 1 || st.Rejected != 0 {
				t.Fatalf("%v: not a single step: %+v", m.method, st)
			}
			end := math.Abs(s.State()[0] - 1)
			if exact := k < m.order; exact != (end < 2e-15) {
				t.Errorf("%v, y' = %d t^%d: error at the end %g", m.method, k+1, k, end)
			}
			if exact := k < m.dense; exact != (inside < 1e-14) {
				t.Errorf("%v, y' = %d t^%d: dense error %g", m.method, k+1, k, inside)
			}
		}
	}
}

// The nodes are the row sums of the stages (Hairer, Norsett, Wanner, equation
// II.1.9), so time may as well be carried as a coordinate.
func TestRowSums(t *testing.T) {
	for _, m := range methods {
		plain := fixed(t, m.method, 1, Problem{Dim: 1, Derivative: func(t float64, y, d []float64) {
			d[0] = y[0]*math.Cos(3*t) - math.Sin(5*t)
		}})
		carried := fixed(t, m.method, 1, Problem{Dim: 2, Derivative: func(_ float64, y, d []float64) {
			d[0] = y[0]*math.Cos(3*y[1]) - math.Sin(5*y[1])
			d[1] = 1
		}})
		plain.Start(0, []float64{1})
		carried.Start(0, []float64{1, 0})
		var a, b []float64
		points := func(to *[]float64) func(*Piece) {
			return func(p *Piece) { *to = append(*to, p.At(p.T0+0.3*(p.T1-p.T0), 0), p.At(p.T1, 0)) }
		}
		advance(t, plain, 4, points(&a))
		advance(t, carried, 4, points(&b))
		for i := range a {
			if math.Abs(a[i]-b[i]) > 1e-13 {
				t.Errorf("%v: %.17g with time given, %.17g with time carried", m.method, a[i], b[i])
			}
		}
	}
}

// twoBody is problem class D of DETEST: T. E. Hull, W. H. Enright,
// B. M. Fellen, A. E. Sedgwick, SIAM J. Numer. Anal. 9 (1972) 603-637. The
// solution is Kepler's: x = cos u - e, y = sqrt(1-e^2) sin u, u - e sin u = t.
func twoBody(_ float64, y, d []float64) {
	r := math.Hypot(y[0], y[1])
	r *= r * r
	d[0], d[1], d[2], d[3] = y[2], y[3], -y[0]/r, -y[1]/r
}

func kepler(e, t float64) [4]float64 {
	u := t
	for range 50 {
		u -= (u - e*math.Sin(u) - t) / (1 - e*math.Cos(u))
	}
	b := math.Sqrt(1 - e*e)
	w := 1 / (1 - e*math.Cos(u))
	return [4]float64{math.Cos(u) - e, b * math.Sin(u), -math.Sin(u) * w, b * math.Cos(u) * w}
}

func distance(y []float64, want [4]float64) float64 {
	sum := 0.0
	for i, v := range want {
		sum += (y[i] - v) * (y[i] - v)
	}
	return math.Sqrt(sum)
}

const eccentricity = 0.3 // D2 of DETEST

// Halving the step must divide the error by 2^order.
func TestOrder(t *testing.T) {
	for _, m := range methods {
		var errors []float64
		first := 100.0 // steps
		if m.method == DormandPrince8 {
			first = 50 // more would bring the error down to rounding
		}
		for _, n := range []float64{first, 2 * first} {
			start := kepler(eccentricity, 0)
			s := fixed(t, m.method, 6/n, Problem{Dim: 4, Derivative: twoBody})
			s.Start(0, start[:])
			advance(t, s, 6, nil)
			errors = append(errors, distance(s.State(), kepler(eccentricity, 6)))
		}
		if rate := math.Log2(errors[0] / errors[1]); math.Abs(rate-float64(m.order)) > 0.5 {
			t.Errorf("%v: errors %.3g fall at order %.2f", m.method, errors, rate)
		}
	}
}

// Over one step from an exact state the end is wrong by h^(order+1), and the
// worst place inside by h^(dense order+1).
func TestLocalOrder(t *testing.T) {
	for _, m := range methods {
		var ends, insides []float64
		for _, h := range []float64{0.25, 0.125} {
			start := kepler(eccentricity, 1)
			s := fixed(t, m.method, h, Problem{Dim: 4, Derivative: twoBody})
			s.Start(1, start[:])
			inside := 0.0
			advance(t, s, 1+h, func(p *Piece) {
				var y [4]float64
				for i := 1; i < 20; i++ {
					at := 1 + h*float64(i)/20
					p.Fill(at, y[:])
					inside = max(inside, distance(y[:], kepler(eccentricity, at)))
				}
			})
			ends = append(ends, distance(s.State(), kepler(eccentricity, 1+h)))
			insides = append(insides, inside)
		}
		if rate := math.Log2(ends[0] / ends[1]); math.Abs(rate-float64(m.order+1)) > 0.6 {
			t.Errorf("%v: errors of one step %.3g fall at order %.2f", m.method, ends, rate)
		}
		if rate := math.Log2(insides[0] / insides[1]); math.Abs(rate-float64(m.dense+1)) > 0.6 {
			t.Errorf("%v: dense errors %.3g fall at order %.2f", m.method, insides, rate)
		}
	}
}

// The error norms of single steps that scipy 1.10.1 finds, which writes the
// same two estimates down on its own; printed by testdata/errornorm.py.
func TestErrorNorm(t *testing.T) {
	for _, c := range []struct {
		method Method
		h      float64
		want   float64
	}{
		{DormandPrince54, 0.1, 0.0693453173956942},
		{DormandPrince54, 0.3, 13.891506956275128},
		{DormandPrince8, 0.1, 7.773086279312554e-06},
		{DormandPrince8, 0.3, 0.0688972552091428},
	} {
		s := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: c.method, RelTol: 1e-6})
		start := kepler(eccentricity, 0)
		s.Start(0, start[:])
		twoBody(0, s.y, s.k[0])
		trial := s.trial54
		if c.method == DormandPrince8 {
			trial = s.trial853
		}
		// A sum that cancels to rounding, divided by the tolerance.
		if got := trial(c.h); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v, h = %g: %.16g, scipy %.16g", c.method, c.h, got, c.want)
		}
	}
}
