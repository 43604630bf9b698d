package waveform_test

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	"slipring/engine/waveform"
)

// TestAverages: a straight ramp from 0 to 1 has the mean 1/2, the r.m.s.
// 1/sqrt(3) and, without the mean, 1/sqrt(12) (any calculus book), wherever its
// samples lie.
func TestAverages(t *testing.T) {
	for _, at := range [][]float64{{0, 1}, {0, 0.01, 0.9, 1}, {0, 0.3, 0.3, 0.5, 1}} {
		g := waveform.Signal{T: at, Y: at}
		mean, rms, ac := must(g.Mean()), must(g.RMS()), must(g.ACRMS())
		if math.Abs(mean-0.5) > 1e-15 || math.Abs(rms-1/math.Sqrt(3)) > 1e-15 || math.Abs(ac-1/math.Sqrt(12)) > 1e-15 {
			t.Errorf("ramp at %v: mean %.16g, r.m.s. %.16g, without mean %.16g", at, mean, rms, ac)
		}
	}
	// a small ripple on a large mean keeps its figures
	g := repeated(7, 0.05, true, [2]float64{0, 1e6 + 1e-3}, [2]float64{0.5, 1e6 - 1e-3})
	if ac := must(g.ACRMS()); math.Abs(ac-1e-3) > 1e-9 {
		t.Errorf("ripple of 1 mV on 1 MV: %.12g", ac)
	}
	// held, not joined: the last value of a contact has no time of its own
	c := waveform.Signal{Stepped: true, T: []float64{0, 3, 4}, Y: []float64{1, 0, 1}}
	if mean := must(c.Mean()); mean != 0.75 {
		t.Errorf("contact closed for 3 of 4 s: mean %g", mean)
	}
	low, high, err := c.Range()
	if low != 0 || high != 1 || err != nil {
		t.Errorf("range %g to %g, %v", low, high, err)
	}
}

// TestHarmonicsAgainstFFT: of a periodic drawing with m even samples a period,
// the component of order k is gonum's discrete one times (sin x/x)^2 with
// x = pi k/m, the transform of the triangle that joins samples by lines.
func TestHarmonicsAgainstFFT(t *testing.T) {
	const m, periods = 90, 3
	value := func(u float64) float64 {
		return 2 + 5*math.Cos(2*math.Pi*u-1) + math.Exp(math.Sin(4*math.Pi*u)) + 0.3*math.Sin(40*math.Pi*u)
	}
	g := sampled(m*periods, 0.05*periods, func(t float64) float64 { return value(t / 0.05) })
	h := must(g.Harmonics(periods, 2*m))
	if math.Abs(h.Frequency-20) > 1e-12 {
		t.Errorf("fundamental at %g Hz", h.Frequency)
	}
	c := fourier.NewFFT(m).Coefficients(nil, g.Y[:m])
	for k := 1; k <= 2*m; k++ {
		alias := k % m
		if alias > m/2 {
			alias = m - alias
		}
		x := math.Pi * float64(k) / m
		shape := math.Pow(math.Sin(x)/x, 2)
		want := 2 * cmplx.Abs(c[alias]) / m * shape
		if !(math.Abs(h.Amplitude[k]-want) <= 1e-13) {
			t.Errorf("order %d: %.15g, want %.15g", k, h.Amplitude[k], want)
		}
		if want > 1e-3 && k <= m/2 {
			off := math.Remainder(h.Phase[k]-cmplx.Phase(c[k]), 2*math.Pi)
			if math.Abs(off) > 1e-10 {
				t.Errorf("order %d: phase %g, gonum %g", k, h.Phase[k], cmplx.Phase(c[k]))
			}
		}
	}
}

// TestHarmonicsSum: Parseval's theorem, and the sum of the components is the
// signal again.
func TestHarmonicsSum(t *testing.T) {
	g := repeated(2, 0.05, false, [2]float64{0, 1}, [2]float64{0.1, 4}, [2]float64{0.13, -2}, [2]float64{0.6, 0}, [2]float64{0.61, 3})
	h := must(g.Harmonics(2, 4000))
	sum := 0.0
	for _, a := range h.Amplitude[1:] {
		sum += a * a / 2
	}
	if got := math.Sqrt(sum); math.Abs(got-h.ACRMS) > 1e-6*h.ACRMS {
		t.Errorf("sum of squares gives %.9g, r.m.s. %.9g", got, h.ACRMS)
	}
	for _, at := range []float64{0, 0.004, 0.0283, 0.0399, 0.0707} {
		y := h.Amplitude[0]
		for k := 1; k < len(h.Amplitude); k++ {
			y += h.Amplitude[k] * math.Cos(2*math.Pi*float64(k)*h.Frequency*at+h.Phase[k])
		}
		if want := g.At(at); math.Abs(y-want) > 3e-3 {
			t.Errorf("at %g s the components sum up to %.5f, the signal is %.5f", at, y, want)
		}
	}
	all, listed := must(h.THD(0)), must(h.THD(4000))
	if math.Abs(all-listed) > 1e-5*all {
		t.Errorf("distortion of all orders %.9g, of 4000 orders %.9g", all, listed)
	}
}

// TestShortPieces: a piece split into very short and very steep ones gives the
// same components.
func TestShortPieces(t *testing.T) {
	plain := repeated(1, 1, false, [2]float64{0, 0}, [2]float64{0.3, 2}, [2]float64{0.7, -1})
	split := plain
	split.T, split.Y = nil, nil
	for i := range plain.T {
		split.T = append(split.T, plain.T[i])
		split.Y = append(split.Y, plain.Y[i])
		for _, d := range []float64{1e-12, 1e-9, 1e-6} {
			if at := plain.T[i] + d; at < 1 {
				split.T = append(split.T, at)
				split.Y = append(split.Y, plain.At(at))
			}
		}
	}
	a, b := must(plain.Harmonics(1, 300)), must(split.Harmonics(1, 300))
	for k := 1; k <= 300; k++ {
		if math.Abs(a.Amplitude[k]-b.Amplitude[k]) > 1e-14 {
			t.Errorf("order %d: %.17g, split up %.17g", k, a.Amplitude[k], b.Amplitude[k])
		}
	}
	// a step of 1 ns is as good as a jump
	jump := repeated(1, 1, true, [2]float64{0, 1}, [2]float64{0.5, -1})
	steep := repeated(1, 1, false, [2]float64{0, 1}, [2]float64{0.5 - 5e-10, 1}, [2]float64{0.5 + 5e-10, -1}, [2]float64{1, -1})
	a, b = must(jump.Harmonics(1, 300)), must(steep.Harmonics(1, 300))
	for k := 1; k <= 300; k++ {
		if math.Abs(a.Amplitude[k]-b.Amplitude[k]) > 1e-11 {
			t.Errorf("order %d: %.15g, steep %.15g", k, a.Amplitude[k], b.Amplitude[k])
		}
	}
}

// TestSpectrum: a sine in the middle of a line, beside the mean, and one
// halfway between two lines, which a Hann window shows 15.1 % low (1.42 dB;
// F. J. Harris, Proc. IEEE 66 (1978), Table I).
func TestSpectrum(t *testing.T) {
	for _, c := range []struct{ frequency, want float64 }{{160, 3}, {160.5, 3 * math.Pow(10, -1.42/20)}} {
		g := sampled(1<<15, 1, func(t float64) float64 { return -7 + 3*math.Cos(2*math.Pi*c.frequency*t+0.5) })
		s := must(g.Spectrum(1 << 15))
		if math.Abs(s.Amplitude[160]-c.want) > 1e-3*c.want {
			t.Errorf("%g Hz: line 160 shows %.5f, want %.5f", c.frequency, s.Amplitude[160], c.want)
		}
		if s.Frequency[160] != 160 || len(s.Frequency) != 1<<14+1 || math.Abs(s.Amplitude[0]-7) > 6/(2*math.Pi*160) { // a half cycle may be left over
			t.Errorf("line 160 at %g Hz of %d lines; mean %g", s.Frequency[160], len(s.Frequency), s.Amplitude[0])
		}
	}
	// without a number it takes the next power of two
	g := sampled(999, 1, func(t float64) float64 { return math.Sin(40 * t) })
	if n := len(must(g.Spectrum(0)).Frequency); n != 513 {
		t.Errorf("%d lines of 1000 samples, want 513", n)
	}
}

func TestResample(t *testing.T) {
	g := waveform.Signal{T: []float64{1, 2, 2, 5}, Y: []float64{0, 1, 4, 7}}
	got := must(g.Resample(8))
	for k, want := range []float64{0, 0.5, 4, 4.5, 5, 5.5, 6, 6.5} {
		if got.T[k] != 1+float64(k)/2 || math.Abs(got.Y[k]-want) > 1e-15 {
			t.Errorf("sample %d at %g s is %g, want %g", k, got.T[k], got.Y[k], want)
		}
	}
	c := waveform.Signal{Stepped: true, T: []float64{0, 1, 3, 4}, Y: []float64{0, 1, 0, 1}}
	got = must(c.Resample(4))
	for k, want := range []float64{0, 1, 1, 0} {
		if got.Y[k] != want {
			t.Errorf("contact at %g s: %g, want %g", got.T[k], got.Y[k], want)
		}
	}
}

// TestStateLevels: which bins count, on drawings whose histogram is plain.
func TestStateLevels(t *testing.T) {
	for _, c := range []struct {
		what      string
		g         waveform.Signal
		low, high float64
		within    float64
	}{
		{"a contact: its own values", square(4, 0.3), 0, 1, 0},
		// of three levels the one at 2/5 is the fullest and belongs to the lower half
		{"three levels", repeated(3, 1, true, [2]float64{0, 0}, [2]float64{0.1, 4}, [2]float64{0.8, 10}), 4, 10, 1e-12},
		{"three levels, the other way up", repeated(3, 1, true, [2]float64{0, 10}, [2]float64{0.1, 6}, [2]float64{0.8, 0}), 0, 6, 1e-12},
		// no level is fuller than another: the extremes, to a bin of 2/256
		{"a triangle", repeated(3, 0.7, false, [2]float64{0, 0}, [2]float64{0.25, 1}, [2]float64{0.75, -1}), -1, 1, 2.0 / 256},
		// a sine spends most time near its crests
		{"a sine", sampled(3000, 1, func(t float64) float64 { return 5 * math.Sin(40*math.Pi*t) }), -5, 5, 10.0 / 256},
		// a lone spike takes no time: a half without time has its extreme
		{"a spike", waveform.Signal{Stepped: true, T: []float64{0, 1, 1, 2}, Y: []float64{3, 9, 3, 3}}, 3, 9, 1e-12},
		// three samples at 2 last 0.3 s, one at 0 lasts 0.7 s: time counts, not samples
		{"uneven samples", waveform.Signal{Stepped: true, T: []float64{0, 0.1, 0.2, 0.3, 1, 2}, Y: []float64{2, 2, 2, 0, 10, 10}}, 0, 10, 1e-12},
	} {
		got := must(c.g.StateLevels())
		if !(math.Abs(got.Low-c.low) <= c.within) || !(math.Abs(got.High-c.high) <= c.within) {
			t.Errorf("%s: %g and %g, want %g and %g", c.what, got.Low, got.High, c.low, c.high)
		}
	}
}

// The Hann window of Spectrum against F. J. Harris, Proc. IEEE 66 (1978), Table I
// (values from memory, which a computation of periodic windows repeats): noise
// bandwidth 1.50 bins, scallop loss 1.42 dB, worst-case loss 3.18 dB, highest
// sidelobe -31.5 dB, all within 0.05.
func TestHannWindow(t *testing.T) {
	const n = 1 << 12
	at := func(frequency float64) []float64 {
		g := sampled(n, 1, func(t float64) float64 { return math.Cos(2*math.Pi*frequency*t + 0.3) })
		return must(g.Spectrum(n)).Amplitude
	}
	middle := at(512)
	bandwidth := 0.0
	for _, a := range middle[1:] {
		bandwidth += a * a / (middle[512] * middle[512])
	}
	scallop := -20 * math.Log10(at(512.5)[512])
	sidelobe := 0.0
	for off := 2.0; off < 4; off += 0.02 {
		sidelobe = max(sidelobe, at(512 + off)[512])
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"noise bandwidth", bandwidth, 1.50},
		{"scallop loss", scallop, 1.42},
		{"worst-case loss", scallop + 10*math.Log10(bandwidth), 3.18},
		{"highest sidelobe", 20 * math.Log10(sidelobe), -31.5},
	} {
		if math.Abs(c.got-c.want) > 0.05 {
			t.Errorf("%s %.3f, Harris has %.2f", c.what, c.got, c.want)
		}
	}
}
