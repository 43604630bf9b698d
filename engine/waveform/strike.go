package waveform

import "math"

// Gong is what a hammer strikes: what it sounds with, and how fast that dies
// away.
type Gong struct {
	Partials []Partial // frequencies in Hz; amplitudes at the stroke, in proportion to those of the other gong
	Decay    float64   // s in which the sound falls to 1/e of its strength
}

// strikeRate is how many samples a second a struck sound has.
const strikeRate = 22050

// Strikes gives the sound of two gongs and a hammer between them that a
// current throws to and fro: one gong is struck where the signal rises through
// 0, the other where it falls through it. The signal is taken as one period of
// what goes on for ever, and so is the sound: what still rings at its end is
// heard at its beginning. It fails for a signal that never passes 0, for gongs
// without a frequency from 20 Hz to 10 kHz, and for a decay outside 1 ms to 2 s.
func (g Signal) Strikes(rising, falling Gong) (Signal, error) {
	all, err := g.Crossings(0, 0)
	if err != nil {
		return Signal{}, err
	}
	if len(all) == 0 {
		return Signal{}, g.fail(ErrFlat, "give a current that flows to and fro", "it never passes 0, so no gong is struck")
	}
	from, to, _ := g.Span()
	period := to - from
	n := math.Round(period * strikeRate)
	if !(n >= 2 && n <= 5*strikeRate) {
		return Signal{}, g.fail(ErrRequest, "give some whole turns", "it lasts %g s, and a sound is made of up to 5 s", period)
	}
	for _, gong := range []Gong{rising, falling} {
		if err := gong.check(); err != nil {
			return Signal{}, err
		}
	}
	out := Signal{Name: "strokes"}
	for i := range int(n) + 1 {
		out.T = append(out.T, from+period*float64(i)/n)
		out.Y = append(out.Y, 0)
	}
	for _, c := range all {
		gong := falling
		if c.Rising {
			gong = rising
		}
		for i, t := range out.T {
			since := math.Mod(t-c.At+period, period)
			for ; since < 7*gong.Decay; since += period {
				out.Y[i] += gong.at(since)
			}
		}
	}
	return out, nil
}

func (o Gong) check() error {
	if !(o.Decay >= 1e-3 && o.Decay <= 2) {
		return soundFailure("give a time from 0.001 to 2 s", "a gong that dies away in %g s", o.Decay)
	}
	if len(o.Partials) == 0 || len(o.Partials) > 8 {
		return soundFailure("give it 1 to 8", "a gong with %d partials", len(o.Partials))
	}
	for _, p := range o.Partials {
		if !(p.Frequency >= 20 && p.Frequency <= 1e4) || !(math.Abs(p.Amplitude) <= 1e6) {
			return soundFailure("give a frequency from 20 Hz to 10 kHz and an amplitude",
				"a gong's partial of %g Hz and amplitude %g", p.Frequency, p.Amplitude)
		}
	}
	return nil
}

// at gives the sound a time in s after one stroke.
func (o Gong) at(since float64) float64 {
	y := 0.0
	for _, p := range o.Partials {
		y += float64(p.Amplitude * math.Sin(2*math.Pi*math.Mod(p.Frequency*since, 1)))
	}
	return float64(y * math.Exp(-since/o.Decay))
}
