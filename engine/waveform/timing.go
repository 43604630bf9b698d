package waveform

// References are the three levels at which a pulse is timed, as parts of the
// way from the low to the high state level.
type References struct {
	Low  float64 // 0 means 0.1
	Mid  float64 // 0 means 0.5
	High float64 // 0 means 0.9
}

func (r References) filled() References {
	if r.Low == 0 {
		r.Low = 0.1
	}
	if r.Mid == 0 {
		r.Mid = 0.5
	}
	if r.High == 0 {
		r.High = 0.9
	}
	return r
}

// Timing is how a signal that goes between two states does so, over its whole
// periods. Terms are those of IEEE Std 181-2003.
type Timing struct {
	Levels    Levels
	Periods   int     // whole periods, from the first to the last rising mid-reference instant
	Period    float64 // s, mean time between rising mid-reference instants
	Shortest  float64 // s, the shortest period
	Longest   float64 // s, the longest
	Frequency float64 // Hz, 1/Period
	Width     float64 // s, mean pulse width: from a rising to the next falling mid-reference instant
	Duty      float64 // Width/Period, 0 to 1
	Rise      float64 // s, mean transition duration between the low and the high reference level; 0 for steps
	Fall      float64 // s, the same of falling transitions
}

// Timing finds the state levels and times the pulses between them. A
// transition counts when it goes from the low reference level or below to the
// high one or above, or back; what turns round before (a runt) is not counted.
// The zero References are the usual 10, 50 and 90 %. It fails when the signal
// holds no whole period.
func (g Signal) Timing(r References) (Timing, error) {
	levels, err := g.StateLevels()
	if err != nil {
		return Timing{}, err
	}
	r = r.filled()
	if !(0 < r.Low && r.Low <= r.Mid && r.Mid <= r.High && r.High < 1) {
		return Timing{}, g.fail(ErrRequest, "give rising parts between 0 and 1, such as 0.1, 0.5, 0.9",
			"reference levels %g, %g, %g", r.Low, r.Mid, r.High)
	}
	at := func(part float64) float64 { return levels.Low + part*(levels.High-levels.Low) }
	all := g.passages(at(r.Low), at(r.Mid), at(r.High))
	for len(all) > 0 && !all[0].Rising {
		all = all[1:]
	}
	n := (len(all) - 1) / 2 // whole periods: passages alternate, and the first rises
	if n < 1 || !(all[2*n].At-all[0].At > least) {
		return Timing{}, g.fail(ErrNoPeriod, "record a longer stretch: two cycles hold a whole one for certain",
			"it makes %d transitions between its levels %.6g and %.6g, from the first that rises; a whole period needs 3",
			len(all), levels.Low, levels.High)
	}
	out := Timing{Levels: levels, Periods: n}
	width := 0.0
	for i := range n {
		up, down, next := all[2*i], all[2*i+1], all[2*i+2]
		width += down.At - up.At
		out.Rise += (up.reaches - up.leaves) / float64(n)
		out.Fall += (down.reaches - down.leaves) / float64(n)
		period := next.At - up.At
		if i == 0 || period < out.Shortest {
			out.Shortest = period
		}
		out.Longest = max(out.Longest, period)
	}
	span := all[2*n].At - all[0].At
	out.Period = span / float64(n)
	out.Frequency = float64(n) / span
	out.Width = width / float64(n)
	out.Duty = width / span
	return out, nil
}
