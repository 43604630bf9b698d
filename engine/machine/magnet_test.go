package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

func TestMagnetization(t *testing.T) {
	for _, p := range []float64{0, 1, 1.5, 2, 3, 6} {
		m := machine.Magnetization{Residual: 0.02, Slope: 1.5, Saturation: 0.4, Sharpness: p, Linkage: 30, Leakage: 2}
		for _, i := range []float64{-1.2, -0.1, 0, 0.05, 0.3, 0.9, 3} {
			const h = 1e-6
			slope := (m.Constant(i+h) - m.Constant(i-h)) / (2 * h)
			if math.Abs(slope-m.SlopeAt(i)) > 1e-5 {
				t.Errorf("p %g, %g A: slope %g, by differences %g", p, i, m.SlopeAt(i), slope)
			}
			if got := m.CurrentFor(m.Constant(i)); math.Abs(got-i) > 1e-8 {
				t.Errorf("p %g: the current for K(%g A) is %g", p, i, got)
			}
			if want := 2 + 30*m.SlopeAt(i); m.Inductance(i) != want {
				t.Errorf("p %g, %g A: inductance %g, want %g", p, i, m.Inductance(i), want)
			}
			stored := (m.Stored(i+h) - m.Stored(i-h)) / (2 * h)
			if want := i * m.Inductance(i); math.Abs(stored-want) > 1e-4 {
				t.Errorf("p %g, %g A: stored energy rises by %g J/A, want i L = %g", p, i, stored, want)
			}
		}
		// half a saturation current: the form itself, with p written out
		q := p
		if p == 0 {
			q = 2
		}
		if want := 0.02 + 1.5*0.2/math.Pow(1+math.Pow(0.5, q), 1/q); math.Abs(m.Constant(0.2)-want) > 1e-14 {
			t.Errorf("p %g: K(0.2 A) is %g, want %g", p, m.Constant(0.2), want)
		}
		if !math.IsInf(m.CurrentFor(1), 1) || !math.IsInf(m.CurrentFor(-1), -1) {
			t.Errorf("p %g: the iron gives more than it can", p)
		}
	}
}
