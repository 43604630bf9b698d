package waveform

import "fmt"

// Crossing is a passage of the signal through a level.
type Crossing struct {
	At     float64 // s
	Rising bool

	// instants at which the signal leaves the near threshold for the last time
	// and reaches the far one
	leaves, reaches float64
}

// Crossings gives the passages through a level in order of time. Only a
// passage that goes from level - margin or below to level + margin or above,
// or back, counts, so that noise smaller than the margin makes none. Its
// instant is where the drawing meets the level; of several meetings within one
// passage, the middle between the first and the last. Level and margin are in
// the signal's unit; margin may be 0. A signal that starts on the level has
// not passed it.
func (g Signal) Crossings(level, margin float64) ([]Crossing, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	if !(margin >= 0 && margin <= most) || !(level >= -most && level <= most) {
		return nil, g.fail(ErrRequest, "give a level and a margin of 0 or more, in the signal's unit",
			"level %g with margin %g", level, margin)
	}
	return g.passages(level-margin, level, level+margin), nil
}

// passages finds the passages from low or below through level to high or
// above, and back; low <= level <= high.
func (g Signal) passages(low, level, high float64) []Crossing {
	var out []Crossing
	// with all three equal, a signal that only touches the level does not pass
	below := func(y float64) bool { return y < low || y == low && low < level }
	above := func(y float64) bool { return y > high || y == high && high > level }

	const unknown, isLow, isHigh = 0, 1, 2
	state := unknown
	switch {
	case below(g.Y[0]):
		state = isLow
	case above(g.Y[0]):
		state = isHigh
	}
	var first, last, left float64
	touched := false
	left = g.T[0]
	g.walk(func(t0, t1, a, b float64) {
		if from, to, ok := meet(t0, t1, a, b, level); ok {
			if !touched {
				first = from
			}
			last, touched = to, true
		}
		if state == isLow && above(b) || state == isHigh && below(b) {
			c := Crossing{At: first + (last-first)/2, Rising: state == isLow}
			near, far := low, high
			if !c.Rising {
				near, far = high, low
			}
			c.leaves, c.reaches = left, c.At
			if _, t, ok := meet(t0, t1, a, b, near); ok {
				c.leaves = t
			}
			if t, _, ok := meet(t0, t1, a, b, far); ok {
				c.reaches = t
			}
			out = append(out, c)
		}
		switch {
		case below(b):
			state, touched = isLow, false
		case above(b):
			state, touched = isHigh, false
		}
		// the last instant at the threshold of the state that it is in
		switch state {
		case isLow:
			if _, t, ok := meet(t0, t1, a, b, low); ok {
				left = t
			}
		case isHigh:
			if _, t, ok := meet(t0, t1, a, b, high); ok {
				left = t
			}
		}
	})
	return out
}

// meet gives the instants between which a straight piece lies on the level;
// they are one instant unless the piece is level itself.
func meet(t0, t1, a, b, level float64) (from, to float64, ok bool) {
	switch {
	case a == level && b == level:
		return t0, t1, true
	case a == level:
		return t0, t0, true
	case b == level:
		return t1, t1, true
	case (a < level) == (b < level):
		return 0, 0, false
	}
	t := t0 + (t1-t0)*((level-a)/(b-a))
	t = min(max(t, t0), t1)
	return t, t, true
}

// crossingMargin is the part of the range, on each side of the level, that a
// signal must pass for Frequency, HalfCycles and WholePeriods.
const crossingMargin = 0.05

// Frequency gives the mean number of cycles a second, in Hz, from the first to
// the last rising passage through the signal's mean. Passages smaller than a
// twentieth of the range to either side do not count. It fails when there are
// fewer than two.
func (g Signal) Frequency() (float64, error) {
	up, err := g.rising()
	if err != nil {
		return 0, err
	}
	n := len(up) - 1
	return float64(n) / (up[n] - up[0]), nil
}

// WholePeriods cuts the signal to its whole periods, from the first to the
// last rising passage through its mean as in Frequency, and tells how many
// they are. Time is counted from the first.
func (g Signal) WholePeriods() (Signal, int, error) {
	up, err := g.rising()
	if err != nil {
		return Signal{}, 0, err
	}
	n := len(up) - 1
	cut, err := g.Window(up[0], up[n])
	return cut, n, err
}

// rising gives the instants of the rising passages through the mean: two of
// them or more, and not all at once.
func (g Signal) rising() ([]float64, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	level := g.mean()
	all, err := g.passagesAbout(level)
	if err != nil {
		return nil, err
	}
	var up []float64
	for _, c := range all {
		if c.Rising {
			up = append(up, c.At)
		}
	}
	if err := g.twoOrMore(up, fmt.Sprintf("its mean of %.6g", level)); err != nil {
		return nil, err
	}
	return up, nil
}

// passagesAbout finds the passages through a level with the usual margin.
func (g Signal) passagesAbout(level float64) ([]Crossing, error) {
	low, high := g.extremes()
	if !(high > low) {
		return nil, g.fail(ErrFlat, "measure a stretch in which it changes", "it is %g all the time", low)
	}
	m := crossingMargin * (high - low)
	return g.passages(level-m, level, level+m), nil
}

func (g Signal) twoOrMore(up []float64, what string) error {
	if n := len(up); n < 2 || !(up[n-1]-up[0] > least) {
		return g.fail(ErrNoPeriod, "record a longer stretch: two cycles hold a whole one for certain",
			"it rises through %s %d times; a whole period needs 2", what, n)
	}
	return nil
}

// HalfCycles compares the times that a signal spends above and below a level
// in its whole cycles.
type HalfCycles struct {
	Cycles       int     // whole cycles measured
	Frequency    float64 // Hz, of whole cycles
	Upper, Lower float64 // s, mean duration of a half cycle above and below the level
	Inequality   float64 // (Lower - Upper)/(Lower + Upper): 0 when they are equal
}

// HalfCycles measures the half cycles about a level, such as 0 V, in the
// signal's unit, from its first to its last rising passage through it. When
// the signal's frequency is swayed once a cycle, as by a shaft that speeds up
// and slows within each turn, the inequality is (2/π) times the once-per-cycle
// relative sway, by the part of it that is in quadrature; an offset of the
// level by a part p of the peak does the same with (2/π) p (both to first
// order, for a sine).
func (g Signal) HalfCycles(level float64) (HalfCycles, error) {
	if err := g.check(); err != nil {
		return HalfCycles{}, err
	}
	if !(level >= -most && level <= most) {
		return HalfCycles{}, g.fail(ErrRequest, "give a level in the signal's unit, such as 0", "level %g", level)
	}
	all, err := g.passagesAbout(level)
	if err != nil {
		return HalfCycles{}, err
	}
	var up []float64
	above, fell := 0.0, 0.0 // fell: time above up to the latest fall
	for _, c := range all {
		switch {
		case c.Rising:
			up = append(up, c.At)
			above = fell
		case len(up) > 0:
			fell += c.At - up[len(up)-1]
		}
	}
	if err := g.twoOrMore(up, fmt.Sprintf("the level %.6g", level)); err != nil {
		return HalfCycles{}, err
	}
	n := len(up) - 1
	span := up[n] - up[0]
	below := span - above
	return HalfCycles{
		Cycles: n, Frequency: float64(n) / span,
		Upper: above / float64(n), Lower: below / float64(n),
		Inequality: (below - above) / span,
	}, nil
}
