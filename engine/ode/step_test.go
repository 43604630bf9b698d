package ode

import (
	"math"
	"slices"
	"testing"
)

// Advance lands on its end exactly, whatever that does to the steps, and short
// frames cost no accuracy and no runaway of small steps.
func TestLandsExactly(t *testing.T) {
	for _, m := range methods {
		s := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: m.method, RelTol: 1e-9})
		start := kepler(0.5, 0)
		s.Start(0, start[:])
		for frame := 1; frame <= 1000; frame++ {
			end := float64(frame) / 60
			advance(t, s, end, nil)
			if s.Time() != end {
				t.Fatalf("%v: landed on %v, not %v", m.method, s.Time(), end)
			}
		}
		for k := 1.0; k < 1000; k++ {
			line := fixed(t, m.method, 1e9, Problem{Dim: 1, Derivative: func(_ float64, _, d []float64) { d[0] = 1 }})
			line.Start(-k/7, []float64{0})
			advance(t, line, 0.03*k, nil)
			if line.Time() != 0.03*k || line.Stats().Steps != 1 {
				t.Fatalf("%v: from %v landed on %v, not %v, in %d steps", m.method, -k/7, line.Time(), 0.03*k, line.Stats().Steps)
			}
		}
		if d := distance(s.State(), kepler(0.5, s.Time())); !(d < 1e-6) {
			t.Errorf("%v: off by %g", m.method, d)
		}
		if n := s.Stats().Steps; n > 2100 {
			t.Errorf("%v: %d steps for 1000 frames", m.method, n)
		}
	}
}

// A sliver of an Advance does not shorten the steps after it.
func TestShortAdvanceKeepsTheStep(t *testing.T) {
	for _, m := range methods {
		s := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: m.method})
		start := kepler(0, 0) // a circle, so all steps are alike
		s.Start(0, start[:])
		long := 0.0
		advance(t, s, 20, func(p *Piece) { long = max(long, p.T1-p.T0) })
		advance(t, s, 20+1e-9, nil)
		first := 0.0
		advance(t, s, 40, func(p *Piece) {
			if first == 0 {
				first = p.T1 - p.T0
			}
		})
		if first < 0.5*long {
			t.Errorf("%v: the step after the sliver is %g, before it %g", m.method, first, long)
		}
	}
}

// The longest step is kept, and an Advance a little longer than it is halved
// rather than left with a sliver.
func TestMaxStep(t *testing.T) {
	for _, m := range methods {
		for _, c := range []struct {
			end  float64
			want []float64
		}{
			{1, []float64{1}},
			{1.0625, []float64{0.53125, 0.53125}},
			{2.5, []float64{1, 1, 0.5}},
		} {
			s := fixed(t, m.method, 1, Problem{Dim: 1, Derivative: func(_ float64, _, d []float64) { d[0] = 1 }})
			s.Start(0, []float64{0})
			var got []float64
			advance(t, s, c.end, func(p *Piece) { got = append(got, p.T1-p.T0) })
			if !slices.Equal(got, c.want) {
				t.Errorf("%v: steps %v to %v, want %v", m.method, got, c.end, c.want)
			}
		}
	}
}

// Frames as long as the longest step take one step each, whatever rounding does
// to their ends.
func TestFramesOfMaxStep(t *testing.T) {
	for _, m := range methods {
		s := fixed(t, m.method, 0.01, Problem{Dim: 1, Derivative: func(_ float64, _, d []float64) { d[0] = 1 }})
		s.Start(0, []float64{0})
		for frame := 1; frame <= 1000; frame++ {
			advance(t, s, float64(frame)*0.01, nil)
		}
		if n := s.Stats().Steps; n != 1000 {
			t.Errorf("%v: %d steps for 1000 frames", m.method, n)
		}
	}
}

// No growth right after a rejection.
func TestNoGrowthAfterRejection(t *testing.T) {
	for _, m := range methods {
		s := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: m.method, FirstStep: 3})
		start := kepler(0.9, 0)
		s.Start(0, start[:])
		most, seen, checked := math.Inf(1), 0, 0
		advance(t, s, 100, func(p *Piece) {
			h := p.T1 - p.T0
			if h > most*(1+1e-9) && p.T1 < 100 {
				t.Errorf("%v: a step of %g after a rejection that led to %g", m.method, h, most)
			}
			most = math.Inf(1)
			if n := s.Stats().Rejected; n > seen {
				seen, most = n, h
				checked++
			}
		})
		if checked < 5 {
			t.Errorf("%v: only %d rejections", m.method, checked)
		}
	}
}

func TestInverseFifthRoot(t *testing.T) {
	for x := 1e-12; x < 1e12; x *= 1.37 {
		if d := relative(inverseFifthRoot(x), math.Pow(x, -0.2)); !(d < 1e-7) {
			t.Errorf("%g: off by %g", x, d)
		}
	}
}
