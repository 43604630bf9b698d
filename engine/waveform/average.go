package waveform

import "math"

// walk calls each with every piece of the drawing in order of time: from
// (t0, a) to (t1, b) in a straight line. A stepped signal gives level pieces
// with upright ones (t0 == t1) between them.
func (g Signal) walk(each func(t0, t1, a, b float64)) {
	for i := 1; i < len(g.T); i++ {
		t0, t1, a, b := g.T[i-1], g.T[i], g.Y[i-1], g.Y[i]
		if !g.Stepped {
			each(t0, t1, a, b)
			continue
		}
		each(t0, t1, a, a)
		if a != b {
			each(t1, t1, a, b)
		}
	}
}

// Span gives the first and the last instant of the signal, in s.
func (g Signal) Span() (from, to float64, err error) {
	if err := g.check(); err != nil {
		return 0, 0, err
	}
	return g.T[0], g.T[len(g.T)-1], nil
}

// Range gives the lowest and the highest value, in the signal's unit.
func (g Signal) Range() (low, high float64, err error) {
	if err := g.check(); err != nil {
		return 0, 0, err
	}
	low, high = g.extremes()
	return low, high, nil
}

func (g Signal) extremes() (low, high float64) {
	low, high = g.Y[0], g.Y[0]
	for _, y := range g.Y {
		low, high = min(low, y), max(high, y)
	}
	return low, high
}

// Mean gives the mean over the whole span, 1/T ∫ y dt, in the signal's unit.
// The integral is exact for the drawing. For a periodic signal let the span be
// whole periods: see WholePeriods and Set.Turns.
func (g Signal) Mean() (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	return g.mean(), nil
}

func (g Signal) mean() float64 {
	span := g.T[len(g.T)-1] - g.T[0]
	// a deviation from some value of the signal rounds less than the value
	base, sum := g.Y[0], 0.0
	g.walk(func(t0, t1, a, b float64) {
		sum += (t1 - t0) / span * ((a - base) + (b - base)) / 2
	})
	low, high := g.extremes()
	return min(max(base+sum, low), high) // rounding must not carry it outside
}

// RMS gives the root of the mean square over the whole span,
// sqrt(1/T ∫ y² dt), in the signal's unit; the integral is exact.
func (g Signal) RMS() (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	return g.about(0), nil
}

// ACRMS gives the r.m.s. of what is left when the mean is taken away, as a
// meter with a capacitor before it shows; in the signal's unit.
func (g Signal) ACRMS() (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	return g.about(g.mean()), nil
}

// about gives the root of the mean square deviation from base. On a straight
// piece from a to b the mean square is (a² + ab + b²)/3.
func (g Signal) about(base float64) float64 {
	low, high := g.extremes()
	scale := max(math.Abs(low-base), math.Abs(high-base))
	if scale == 0 {
		return 0
	}
	span := g.T[len(g.T)-1] - g.T[0]
	sum := 0.0
	g.walk(func(t0, t1, a, b float64) {
		a, b = (a-base)/scale, (b-base)/scale
		sum += (t1 - t0) / span * (a*a + a*b + b*b) / 3
	})
	return scale * math.Sqrt(min(sum, 1))
}
