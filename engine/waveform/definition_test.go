package waveform_test

import (
	"math"
	"testing"

	"slipring/engine/waveform"
)

// What this file holds to are definitions and identities; the numbers follow
// from the drawings in it. Published numbers are in published_test.go.

// A contact of duty D and unit amplitude has the mean D, the r.m.s. sqrt(D) and
// the r.m.s. without the mean sqrt(D - D^2): identities, to four figures.
func TestDutyIdentities(t *testing.T) {
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

// TestPulseTermsByDefinition holds Timing against the definitions of IEEE Std 181-2003
// (state levels, 50 % mid-reference instants, pulse width, duty cycle =
// width/period, transition duration between the 10 and 90 % instants), on a
// pulse whose answers follow from its drawing: low level 0.2 V, high level
// 5.2 V, period 50 ms, rise of 4 ms from 10 ms on, fall of 2 ms from 30 ms on.
func TestPulseTermsByDefinition(t *testing.T) {
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
