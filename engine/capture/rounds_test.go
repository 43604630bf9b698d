package capture

import (
	"math"
	"math/rand/v2"
	"testing"

	"slipring/engine/sweeptest"
)

// The variance of a weighted sum of roundings against the sum itself, over even
// places of the first edge in a grain.
func TestRounds(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		n     int
	}{{10, 20}, {10.5, 20}, {10.25, 16}, {541.37, 17}, {7.02, 10}, {61.963, 16}, {10.0001, 16}, {83.31, 3}} {
		mean, slope := 0.0, 0.0
		const phases = 2000
		middle := float64(c.n-1) / 2
		squares := float64(c.n) * float64(c.n*c.n-1) / 12
		for j := range phases {
			m, s := 0.0, 0.0
			for k := range c.n {
				x := (float64(j)+0.5)/phases + float64(k)*c.ratio
				e := x - math.Floor(x) - 0.5
				m += e / float64(c.n)
				s += e * (float64(k) - middle) / squares
			}
			mean += 12 * m * m / phases
			slope += 12 * s * s / phases
		}
		like := alike(c.n, c.ratio, 0, 0)
		if got := weigh(like, 1/float64(c.n), 0); math.Abs(got-mean) > 0.03*mean+0.02 {
			t.Errorf("ratio %g, n %d: the mean has %g of one rounding, want %g", c.ratio, c.n, got, mean)
		}
		if got := weigh(like, 0, 1/squares); math.Abs(got-slope) > 0.03*slope+0.02/squares {
			t.Errorf("ratio %g, n %d: the slope has %g of one rounding, want %g", c.ratio, c.n, got, slope)
		}
	}
}

// Edges alone, rounded to a grain of 1, in every ratio of it to the turn: what is
// stated is neither too small nor too large.
func TestCoverageOfEdges(t *testing.T) {
	random := sweeptest.Random(t)
	for _, c := range []struct {
		name     string
		turns    float64 // how many, about
		from, to float64 // grains a turn
		noise    float64 // grains
		known    bool
		guessed  bool // the grain is 1, or another, or much smaller, each a third of times
	}{
		{"17 turns", 17, 500, 625, 0.01, true, false},
		{"17 turns of few samples", 17, 10, 12.5, 0.01, true, false},
		{"17 turns, noise", 17, 500, 625, 0.3, true, false},
		{"17 turns, nearly in step", 17, 499.9, 500.1, 0.01, true, false},
		{"17 turns, in step", 17, 500, 500, 0.01, true, false},
		{"200 turns", 200, 50, 60, 0.05, true, false},
		{"4 turns", 4, 100, 130, 0.05, true, false},
		{"3 turns", 3, 150, 200, 0.05, true, false},
		{"4 turns, in step", 4, 125, 125, 0.05, true, false},
		{"4 turns, columns unknown", 4, 100, 130, 0.05, false, false},
		{"17 turns, columns unknown", 17, 29, 31, 0.05, false, false},
		{"17 turns in step, columns unknown", 17, 30, 30, 0.01, false, false},
		{"4 turns, grain guessed", 4, 100, 130, 0.05, false, true},
		{"17 turns, grain guessed", 17, 29, 31, 0.05, false, true},
	} {
		var y tally
		for range sweeptest.Count(200, 400) {
			period := c.from + (c.to-c.from)*random.Float64()
			high, first := 0.3+0.4*random.Float64(), random.Float64()
			grain := 1.0
			if c.guessed {
				grain = []float64{1, 0.8 + 0.4*random.Float64(), 0.01}[random.IntN(3)]
			}
			edges, true0 := roundedEdges(random, period/grain, high, first, c.turns+random.Float64(), c.noise/grain)
			for i := range edges {
				edges[i].at *= grain
			}
			true0 *= grain
			p, ok := fitPulses(edges, doubt{edge: c.noise, grain: 1, counted: c.known, guessed: c.guessed})
			if !ok {
				t.Fatal(c.name, len(edges))
			}
			y.add(c.name+": "+FractionHigh, Result{Name: FractionHigh, Value: p.high, Uncertainty: p.uHigh}, high)
			if c.from < c.to {
				y.add(c.name+": "+Period, Result{Name: Period, Value: p.period, Uncertainty: p.uPeriod}, period)
			}
			at := (p.at - true0) / period
			y.add(c.name+": at", Result{Name: Phase, Value: 360 * at, Uncertainty: 360 * p.uAt / period}, 0)
		}
		y.check(t)
	}
}

// roundedEdges gives edges of a contact, each rounded to the middle of its grain, and
// where it first rises.
func roundedEdges(random *rand.Rand, period, high, begin, turns, noise float64) (edges []edge, rise float64) {
	rise = (1-begin)*period + 1000*random.Float64()
	from := rise - (1-begin)*period
	for k := -1.0; k <= turns+1; k++ {
		for i, x := range []float64{rise + k*period, rise + (k+high)*period} {
			if x > from && x < from+turns*period {
				edges = append(edges, edge{math.Floor(x+noise*random.NormFloat64()) + 0.5, i == 0})
			}
		}
	}
	return edges, rise
}
