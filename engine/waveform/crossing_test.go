package waveform_test

import (
	"math"
	"testing"

	"slipring/engine/waveform"
)

func TestCrossings(t *testing.T) {
	line := func(y ...float64) waveform.Signal {
		g := waveform.Signal{Y: y}
		for i := range y {
			g.T = append(g.T, float64(i))
		}
		return g
	}
	held := func(y ...float64) waveform.Signal {
		g := line(y...)
		g.Stepped = true
		return g
	}
	up, down := true, false
	for _, c := range []struct {
		what   string
		g      waveform.Signal
		margin float64
		at     []float64
		rising []bool
	}{
		{"up and down", line(-1, 1, -3), 0, []float64{0.5, 1.25}, []bool{up, down}},
		{"through a sample on the level", line(-1, 0, 1), 0, []float64{1}, []bool{up}},
		{"along the level: its middle", line(-1, 0, 0, 0, 1), 0, []float64{2}, []bool{up}},
		{"only touching it", line(-1, 0, -1, 0, -1), 0, nil, nil},
		{"touching it along", line(1, 0, 0, 1), 0, nil, nil},
		{"beginning on it", line(0, 1, -1, 0), 0, []float64{1.5}, []bool{down}},
		{"flat on it", line(0, 0, 0), 0, nil, nil},
		{"noise within the margin", line(-1, 0.2, -0.2, 0.2, -1, 1), 0.5, []float64{4.5}, []bool{up}},
		{"a passage that hesitates: its middle", line(-1, 0.2, -0.2, 1), 0.5, []float64{(1/1.2 + 2 + 0.2/1.2) / 2}, []bool{up}},
		{"to the margin itself", line(-0.5, 0.5), 0.5, []float64{0.5}, []bool{up}},
		{"not quite to the margin", line(-1, 0.49, -1), 0.5, nil, nil},
		{"steps", held(-1, 1, 1, -1), 0.5, []float64{1, 3}, []bool{up, down}},
		{"steps by way of the level", held(-1, 0, 0, 1, 1), 0.5, []float64{2}, []bool{up}},
	} {
		got := must(c.g.Crossings(0, c.margin))
		if len(got) != len(c.at) {
			t.Errorf("%s: %d crossings %v, want %v", c.what, len(got), got, c.at)
			continue
		}
		for i := range got {
			if math.Abs(got[i].At-c.at[i]) > 1e-15 || got[i].Rising != c.rising[i] {
				t.Errorf("%s: crossing %d at %g, rising %v; want %g, %v", c.what, i, got[i].At, got[i].Rising, c.at[i], c.rising[i])
			}
		}
	}
	// a jump of lines is a crossing at its instant
	g := waveform.Signal{T: []float64{0, 1, 1, 2}, Y: []float64{-1, -1, 1, 1}}
	if got := must(g.Crossings(0, 0.5)); len(got) != 1 || got[0].At != 1 {
		t.Errorf("jump: %v", got)
	}
}

// TestHalfCycles: a generator whose shaft speeds up and slows once in each
// turn, th = wt + eps sin(wt + phi), gives e = (1 + eps cos(wt + phi)) sin th;
// to first order in eps its zeros lie at wt = -eps sin phi (rising) and
// pi + eps sin phi (falling), so the lower half is longer by -(2/pi) eps sin phi
// of the period, and with an offset p of the voltage by -(2/pi) p.
func TestHalfCycles(t *testing.T) {
	const f = 19.95
	w := 2 * math.Pi * f
	for _, c := range []struct{ eps, phi, offset float64 }{
		{0, 0, 0}, {1.5e-4, math.Pi / 2, 0}, {1e-3, 0.7, 0}, {5e-3, -math.Pi / 2, 0}, {5e-3, 0, 0}, {0, 0, 0.005}, {0, 0, -0.02},
	} {
		g := sampled(5000, 1.03, func(t float64) float64 {
			th := w*t + c.eps*math.Sin(w*t+c.phi)
			return 119 * (c.offset + (1+c.eps*math.Cos(w*t+c.phi))*math.Sin(th))
		})
		got := must(g.HalfCycles(0))
		want := -2/math.Pi*c.eps*math.Sin(c.phi) - 2/math.Pi*c.offset
		// second order terms are as the square of eps and of the offset
		within := 1e-6 + 3*(c.eps*c.eps+c.offset*c.offset)
		if !(math.Abs(got.Inequality-want) <= within) {
			t.Errorf("eps %g, phi %g, offset %g: inequality %.6g, want %.6g", c.eps, c.phi, c.offset, got.Inequality, want)
		}
		if math.Abs(got.Frequency-f) > 1e-5*f || got.Cycles != 19 { // of 20.5; the rise at 0 s is not seen to pass
			t.Errorf("%g Hz in %d cycles, want %g Hz in 19", got.Frequency, got.Cycles, f)
		}
		if math.Abs((got.Upper+got.Lower)*got.Frequency-1) > 1e-12 {
			t.Errorf("halves of %g and %g s do not make a period at %g Hz", got.Upper, got.Lower, got.Frequency)
		}
	}
}

// TestNoisyFrequency: noise within the margin makes no cycles of its own.
func TestNoisyFrequency(t *testing.T) {
	seed := uint32(7)
	g := sampled(20000, 2, func(t float64) float64 {
		seed = seed*1664525 + 1013904223
		return math.Sin(2*math.Pi*19.85*t) + 0.08*(float64(seed>>8)/(1<<24)-0.5)
	})
	// noise of 0.023 r.m.s. moves a passage by 0.19 ms; two of them, 1.9 s apart,
	// make 2.7 mHz, three times which is allowed
	if got := must(g.Frequency()); math.Abs(got-19.85) > 8e-3 {
		t.Errorf("%.6f Hz, want 19.85", got)
	}
	cut, n, err := g.WholePeriods()
	if err != nil || n != 38 {
		t.Fatalf("%d periods, %v; want 38", n, err)
	}
	if _, to, _ := cut.Span(); math.Abs(to-38/19.85) > 8e-4 {
		t.Errorf("38 periods take %.6f s", to)
	}
}

// TestTimingCountsTransitions: a contact that bounces makes pulses of their
// own; a runt that turns round before the far level makes none.
func TestTimingCountsTransitions(t *testing.T) {
	bounce := repeated(5, 0.05, true,
		[2]float64{0, 0}, [2]float64{0.2, 1}, [2]float64{0.22, 0}, [2]float64{0.24, 1}, [2]float64{0.8, 0})
	got := must(bounce.Timing(waveform.References{}))
	// from the first rise to the last there are 4 periods of two pulses, and
	// the bounce of the fifth
	if got.Periods != 9 || got.Rise != 0 || got.Fall != 0 {
		t.Errorf("bouncing: %d periods, rise %g s, fall %g s", got.Periods, got.Rise, got.Fall)
	}
	if math.Abs(got.Shortest-0.002) > 1e-12 || math.Abs(got.Longest-0.048) > 1e-12 {
		t.Errorf("bouncing: periods from %g to %g s", got.Shortest, got.Longest)
	}
	runt := repeated(5, 0.05, false,
		[2]float64{0, 0}, [2]float64{0.1, 0}, [2]float64{0.12, 0.6}, [2]float64{0.14, 0},
		[2]float64{0.4, 0}, [2]float64{0.42, 1}, [2]float64{0.8, 1}, [2]float64{0.82, 0})
	if got := must(runt.Timing(waveform.References{})); got.Periods != 4 || math.Abs(got.Duty-0.4) > 1e-4 {
		t.Errorf("with runts: %d periods, duty %g; want 4 and 0.4", got.Periods, got.Duty)
	}
}
