package waveform

// Levels are the two states between which a signal goes, in its unit.
type Levels struct {
	Low, High float64
}

// levelBins is the number of bins of StateLevels: what an 8-bit oscilloscope
// tells apart.
const levelBins = 256

// StateLevels gives the levels of the low and the high state as the modes of
// the lower and the upper half of the amplitude histogram (IEEE Std 181-2003,
// state levels by the histogram method). The histogram has 256 bins from the
// lowest to the highest value and holds the time spent in each, so samples
// need not be evenly spaced; the level is the mean of the signal within the
// fullest bin, so a stepped signal gives its own values. Of bins as full as
// each other the one nearest to the extreme counts: a triangle has no states,
// and is given its extremes. It fails on a flat signal.
func (g Signal) StateLevels() (Levels, error) {
	if err := g.check(); err != nil {
		return Levels{}, err
	}
	low, high := g.extremes()
	if !(high > low) {
		return Levels{}, g.fail(ErrFlat, "measure a stretch in which it changes", "it is %g all the time", low)
	}
	h := histogram{low: low, width: (high - low) / levelBins, span: g.T[len(g.T)-1] - g.T[0]}
	if !(h.width > 0) {
		return Levels{}, g.fail(ErrFlat, "measure a stretch in which it changes",
			"it goes from %g to %g only", low, high)
	}
	g.walk(h.add)
	out := Levels{Low: low, High: high}
	if y, ok := h.mode(0, levelBins/2, 1); ok {
		out.Low = y
	}
	if y, ok := h.mode(levelBins-1, levelBins/2-1, -1); ok {
		out.High = y
	}
	return out, nil
}

// histogram holds, for each bin, the part of the span that the signal spends
// in it and the integral of the signal over that part, counted from low in
// widths of a bin.
type histogram struct {
	low, width     float64
	span           float64
	time, integral [levelBins]float64
}

// add spreads a straight piece over the bins that it passes through.
func (h *histogram) add(t0, t1, a, b float64) {
	dt := (t1 - t0) / h.span
	if dt == 0 {
		return
	}
	a, b = (min(a, b)-h.low)/h.width, (max(a, b)-h.low)/h.width
	first, last := bin(a), bin(b)
	if first == last {
		h.time[first] += dt
		h.integral[first] += dt * (a + b) / 2
		return
	}
	for k := first; k <= last; k++ {
		from, to := max(a, float64(k)), b
		if k < last {
			to = min(b, float64(k+1))
		}
		part := dt * max(0, to-from) / (b - a)
		h.time[k] += part
		h.integral[k] += part * (from + to) / 2
	}
}

func bin(y float64) int { return min(max(int(y), 0), levelBins-1) }

// mode gives the mean within the fullest bin, looking from bin first towards
// bin end (not included). A later bin must be fuller by more than rounding.
// There is none when no time is spent in these bins, as with a lone spike.
func (h *histogram) mode(first, end, step int) (float64, bool) {
	best := first
	for k := first; k != end; k += step {
		if h.time[k] > h.time[best]*(1+1e-9) {
			best = k
		}
	}
	if h.time[best] == 0 {
		return 0, false
	}
	return h.low + h.width*(h.integral[best]/h.time[best]), true
}
