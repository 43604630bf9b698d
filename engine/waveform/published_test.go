package waveform_test

import (
	"fmt"
	"math"
	"testing"

	"slipring/engine/waveform"
)

// must gives the value of a measure that has to succeed.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// sampled draws f with n straight lines from 0 to span.
func sampled(n int, span float64, f func(t float64) float64) waveform.Signal {
	g := waveform.Signal{Name: "sampled", Unit: "V"}
	for i := range n + 1 {
		t := span * float64(i) / float64(n)
		g.T = append(g.T, t)
		g.Y = append(g.Y, f(t))
	}
	return g
}

// repeated draws the corner points of one period, at instants from 0 up to 1,
// over a number of periods.
func repeated(periods int, period float64, stepped bool, corners ...[2]float64) waveform.Signal {
	g := waveform.Signal{Name: "repeated", Unit: "V", Stepped: stepped}
	for i := range periods {
		for _, c := range corners {
			g.T = append(g.T, (float64(i)+c[0])*period)
			g.Y = append(g.Y, c[1])
		}
	}
	if end := float64(periods) * period; g.T[len(g.T)-1] < end {
		g.T = append(g.T, end)
		g.Y = append(g.Y, corners[0][1])
	}
	return g
}

func square(periods int, duty float64) waveform.Signal {
	return repeated(periods, 0.05, true, [2]float64{0, 1}, [2]float64{duty, 0})
}

// TestPublishedDistortion holds the distortion of three waves against their
// closed forms. All of one signal's span is whole periods, so Harmonics is
// asked directly.
func TestPublishedDistortion(t *testing.T) {
	bipolar := repeated(4, 0.05, true, [2]float64{0, 1}, [2]float64{0.5, -1})
	triangle := repeated(4, 0.05, false, [2]float64{0, 0}, [2]float64{0.25, 1}, [2]float64{0.75, -1})
	saw := repeated(4, 0.05, false, [2]float64{0, -1}, [2]float64{1, 1})
	for _, c := range []struct {
		source string
		wave   waveform.Signal
		limit  int
		want   float64 // per cent
		within float64
	}{
		// closed forms, printed to four decimals at kevinfronczak.com (total
		// harmonic distortion and its effects); the definition is that of
		// IEC 61000-4-7:2002
		{"square, sqrt(pi^2/8 - 1)", bipolar, 0, 48.3426, 5e-5},
		{"triangle, sqrt(pi^4/96 - 1)", triangle, 0, 12.1153, 5e-5},
		{"sawtooth, sqrt(pi^2/6 - 1)", saw, 0, 80.3078, 5e-5},
		// sums of 1/k^2 over odd orders, computed with numpy; that meters stop
		// at order 40 or 50 is from memory (IEC 61000-4-7, IEEE 519)
		{"square up to order 40", bipolar, 40, 47.032, 5e-4},
		{"square up to order 50", bipolar, 50, 47.297, 5e-4},
	} {
		h := must(c.wave.Harmonics(4, 50))
		got := 100 * must(h.THD(c.limit))
		if !(math.Abs(got-c.want) <= c.within) {
			t.Errorf("%s: %.5f %%, want %g %%", c.source, got, c.want)
		}
	}
	// the same waves, cut to whole periods by the package itself
	if got := 100 * must(bipolar.THD(0)); math.Abs(got-48.3426) > 5e-5 {
		t.Errorf("square, cut to whole periods: %.5f %%", got)
	}
	if got := 100 * must(triangle.THD(0)); math.Abs(got-12.1153) > 5e-5 {
		t.Errorf("triangle, cut to whole periods: %.5f %%", got)
	}
	if got := 100 * must(saw.THD(0)); math.Abs(got-80.3078) > 5e-5 {
		t.Errorf("sawtooth, cut to whole periods: %.5f %%", got)
	}
}

// TestPulseWidthModulation: a contact of duty D and unit amplitude has the
// mean D, the r.m.s. sqrt(D) and the r.m.s. without the mean sqrt(D - D^2)
// (identities found in any book on power electronics). Numbers to four figures.
func TestPulseWidthModulation(t *testing.T) {
	for _, c := range []struct{ duty, mean, rms, ac float64 }{
		{0.25, 0.25, 0.5, 0.4330},
		{0.50, 0.50, 0.7071, 0.5},
		{0.75, 0.75, 0.8660, 0.4330},
	} {
		// a contact recorded at its changes, and the same on an oscilloscope
		// that takes 4000 samples a period
		scope := must(square(3, c.duty).Resample(12000))
		for name, g := range map[string]waveform.Signal{"changes": square(3, c.duty), "samples": scope} {
			within := 5e-5
			if name == "samples" {
				within = 2e-4 // its last sample has no time of its own
			}
			mean, rms, ac := must(g.Mean()), must(g.RMS()), must(g.ACRMS())
			if math.Abs(mean-c.mean) > within || math.Abs(rms-c.rms) > within || math.Abs(ac-c.ac) > within {
				t.Errorf("duty %g, by %s: mean %.5f, r.m.s. %.5f, without mean %.5f; want %g, %g, %g",
					c.duty, name, mean, rms, ac, c.mean, c.rms, c.ac)
			}
			got := must(g.Timing(waveform.References{}))
			if math.Abs(got.Duty-c.duty) > within {
				t.Errorf("duty by %s: %.5f, want %g", name, got.Duty, c.duty)
			}
		}
	}
}

// TestPulseTerms holds Timing against the definitions of IEEE Std 181-2003
// (state levels, 50 % mid-reference instants, pulse width, duty cycle =
// width/period, transition duration between the 10 and 90 % instants), on a
// pulse whose answers follow from its drawing: low level 0.2 V, high level
// 5.2 V, period 50 ms, rise of 4 ms from 10 ms on, fall of 2 ms from 30 ms on.
func TestPulseTerms(t *testing.T) {
	const ms = 1e-3
	g := repeated(5, 50*ms, false,
		[2]float64{0, 0.2}, [2]float64{0.2, 0.2}, [2]float64{0.28, 5.2}, [2]float64{0.6, 5.2}, [2]float64{0.64, 0.2})
	// uneven samples of the same drawing, and a spike that no state level may follow
	uneven := waveform.Signal{Name: "uneven"}
	for i := 0; ; i++ {
		at := 0.25 * float64(i) / 4000
		if i%3 == 1 {
			at += 0.25 / 9000
		}
		if at > 0.25 {
			break
		}
		uneven.T = append(uneven.T, at)
		uneven.Y = append(uneven.Y, g.At(at))
	}
	uneven.Y[300] += 2 // on the top of the first pulse
	for name, g := range map[string]waveform.Signal{"corners": g, "uneven samples": uneven} {
		got := must(g.Timing(waveform.References{}))
		want := waveform.Timing{
			Levels: waveform.Levels{Low: 0.2, High: 5.2}, Periods: 4,
			Period: 50 * ms, Shortest: 50 * ms, Longest: 50 * ms, Frequency: 20,
			Width: 19 * ms, Duty: 0.38, // from 12 ms to 31 ms
			Rise: 3.2 * ms, Fall: 1.6 * ms, // 0.8 of 4 ms and of 2 ms
		}
		// the fullest bins (20 mV) hold level time of 10 ms and more, and up to
		// 16 us of a transition, which moves the level by 16 uV at most; samples
		// also cut the corners of the drawing off, and the spike widens the bins
		level, time := 2e-5, 2e-5*ms
		if name == "uneven samples" {
			level, time = 0.03, 0.03*ms
		}
		check := func(what string, got, want, within float64) {
			if !(math.Abs(got-want) <= within) {
				t.Errorf("%s: %s %.9g, want %.9g", name, what, got, want)
			}
		}
		check("low level", got.Levels.Low, want.Levels.Low, level)
		check("high level", got.Levels.High, want.Levels.High, level)
		check("periods", float64(got.Periods), float64(want.Periods), 0)
		check("period", got.Period, want.Period, time)
		check("shortest period", got.Shortest, want.Shortest, time)
		check("longest period", got.Longest, want.Longest, time)
		check("frequency", got.Frequency, want.Frequency, time/ms)
		check("width", got.Width, want.Width, time)
		check("duty", got.Duty, want.Duty, time/(50*ms))
		check("rise", got.Rise, want.Rise, time)
		check("fall", got.Fall, want.Fall, time)
	}
	// other reference levels: 20 and 80 %
	got := must(g.Timing(waveform.References{Low: 0.2, High: 0.8}))
	if math.Abs(got.Rise-2.4*ms) > 2e-5*ms || math.Abs(got.Fall-1.2*ms) > 2e-5*ms {
		t.Errorf("20-80 %%: rise %.6g s, fall %.6g s; want 2.4 and 1.2 ms", got.Rise, got.Fall)
	}
}

// TestPublishedFrequency: what Frequency and Timing read off the voltage of an
// alternator is the frequency that the book gives for its poles and speed.
func TestPublishedFrequency(t *testing.T) {
	const neets = "Navy Electricity and Electronics Training Series, Module 5 (NAVEDTRA 14177), p. 3-14"
	const miller = "K. B. Miller, American Telephone Practice, Fig. 336"
	for _, c := range []struct {
		source string
		poles  float64
		rpm    float64
		want   float64 // Hz
	}{
		{neets, 2, 3600, 60},
		{neets, 4, 1800, 60},
		{neets, 6, 500, 25},
		{neets, 12, 4000, 400},
		{miller, 2, 1000, 16 + 2.0/3},
		{miller, 4, 1000, 33 + 1.0/3},
		{miller, 6, 1000, 50},
		{miller, 8, 1000, 66 + 2.0/3},
		{"caption of an inductor alternator with 300 pairs of poles, Wikimedia Commons", 600, 20000, 100000},
		{"examination question with 8 poles at 600 r/min", 8, 600, 40},
	} {
		t.Run(fmt.Sprintf("%g poles at %g a minute", c.poles, c.rpm), func(t *testing.T) {
			// the shaft's angle, and a voltage that the poles repeat on it, with
			// a third harmonic, seen at uneven instants of 10.3 cycles
			g := waveform.Signal{Name: "voltage"}
			cycles := 10.3
			span := cycles * 2 / c.poles / (c.rpm / 60)
			for i := range 2001 {
				at := span * (float64(i) + 0.4*math.Sin(float64(i))) / 2000
				th := 2 * math.Pi * c.rpm / 60 * at
				g.T = append(g.T, at)
				g.Y = append(g.Y, 7+100*math.Sin(c.poles/2*th-1)+10*math.Sin(3*c.poles/2*th))
			}
			for name, got := range map[string]float64{
				"crossings of the mean":   must(g.Frequency()),
				"mid-reference instants":  must(g.Timing(waveform.References{})).Frequency,
				"crossings of zero volts": must(g.HalfCycles(0)).Frequency,
			} {
				if math.Abs(got-c.want) > 1e-5*c.want {
					t.Errorf("%s by %s: %.6f Hz, want %g", c.source, name, got, c.want)
				}
			}
		})
	}
}
