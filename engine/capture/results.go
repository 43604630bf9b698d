package capture

import (
	"fmt"
	"math"
	"math/cmplx"
)

// times gives what is a time or a part of one.
func (m *measured) times(r *Report) {
	f := 1 / m.period
	why := m.whyTimes()
	if m.timeless {
		m.lacks(r, Frequency, "the time a division is not given")
		m.lacks(r, Period, "the time a division is not given")
	} else {
		m.add(r, Frequency, f, m.uPeriod*f*f, "Hz", why)
		m.add(r, Period, m.period, m.uPeriod, "s", why)
	}
	if !m.two {
		for _, name := range []string{FractionHigh, FractionLow, RiseTime, FallTime} {
			m.lacks(r, name, "it has no two levels between which it changes")
		}
		return
	}
	m.add(r, FractionHigh, m.pulses.high, m.pulses.uHigh, "", why)
	m.add(r, FractionLow, 1-m.pulses.high, m.pulses.uHigh, "", why)
	m.transition(r, RiseTime, m.rises)
	m.transition(r, FallTime, m.falls)
}

func (m *measured) whyTimes() string {
	if !m.two {
		if m.wave.jitter {
			return fmt.Sprintf("%d turns, which differ", m.wave.turns)
		}
		return fmt.Sprintf("%d turns, noise", m.wave.turns)
	}
	p := m.pulses
	why := fmt.Sprintf("%d edges, each to %s", p.edges, m.length(p.scatter))
	switch {
	case p.alike && m.seen != nil:
		return why + ", all rounded alike by columns of the screen"
	case p.alike:
		return why + ", all rounded alike: samples in step"
	case m.seen != nil && m.seen.hidden:
		return why + ", pixels, partly hidden"
	case m.seen != nil:
		return why + ", pixels and columns of the screen"
	case p.ratio > 3:
		return why + ", the turns differ"
	}
	return why + ", distance of samples"
}

// length writes a time with the prefix that suits it, or as a part of a division
// of the screen, where nobody said how long that is.
func (m *measured) length(s float64) string {
	switch {
	case m.timeless:
		return fmt.Sprintf("%.3g of a division", s)
	case s >= 1:
		return fmt.Sprintf("%.3g s", s)
	case s >= 1e-3:
		return fmt.Sprintf("%.3g ms", s*1e3)
	}
	return fmt.Sprintf("%.3g µs", s*1e6)
}

func (m *measured) transition(r *Report, name string, t transition) {
	n := float64(t.n)
	switch {
	case m.seen != nil:
		m.lacks(r, name, "a picture does not show it")
		return
	case m.clipped:
		m.lacks(r, name, "the channel clips")
		return
	case t.n == 0:
		m.lacks(r, name, "no whole edge was found")
		return
	case m.noise > 0.04*(m.high-m.low):
		m.lacks(r, name, "the noise hides it")
		return
	case t.sum/n < 1.6*m.Step:
		m.lacks(r, name, "it is over between two samples, in less than "+m.length(2*m.Step))
		return
	}
	mean := t.sum / n
	scatter := max(0, t.sumSquare/n-mean*mean)
	slope := 0.8 * (m.high - m.low) / mean
	s0 := sq(m.noise/slope) + sq(m.Step)/12
	u := math.Sqrt((4*s0+scatter*n)/(4+n-1)/n + sq(m.Step)/144)
	m.add(r, name, mean, u, "s", fmt.Sprintf("%d edges, 10 to 90 %%, distance of samples", t.n))
}

// heights gives what is a height of the trace.
func (m *measured) heights(r *Report) {
	if m.clipped || m.scale {
		why := "the channel clips"
		if m.scale {
			why = "the volts a division are not given"
		}
		for _, name := range []string{RMS, Mean, PeakToPeak, Distortion} {
			m.lacks(r, name, why)
		}
		if !m.clipped {
			m.half(r)
		} else {
			m.lacks(r, HalfDifference, why)
		}
		return
	}
	level, zero := m.quantum/math.Sqrt(12), 0.0
	if m.noise > m.quantum/2 {
		level /= math.Sqrt(float64(len(m.Y)))
	}
	if m.seen != nil {
		level, zero = m.seen.level, m.seen.zero
	}
	if m.two {
		m.stateHeights(r, level, zero)
	} else {
		m.waveHeights(r, level, zero)
	}
	m.half(r)
	m.distortion(r)
}

// stateHeights averages each state by itself, and weighs them by the time that
// it lasts, since single samples near an edge would count too much.
func (m *measured) stateHeights(r *Report, level, zero float64) {
	low, high := m.states()
	p := m.pulses
	noise := m.noise * m.noise
	mean := p.high*high.mean() + (1-p.high)*low.mean()
	square := max(0, p.high*high.square()+(1-p.high)*low.square()-noise)
	rms := math.Sqrt(square)
	n := float64(low.n + high.n)
	step := m.high - m.low
	// which samples on a slow edge count to which state is chance
	ends := 0.0
	if n := m.rises.n + m.falls.n; m.seen != nil || n > 0 && (m.rises.sum+m.falls.sum)/float64(n) > 1.6*m.Step {
		ends = step * m.Step / m.period * math.Sqrt(2*float64(p.each)/12/max(1, float64(p.edges)/2))
	}
	u := math.Sqrt(sq(step*p.uHigh) + ends*ends + noise/n + level*level + zero*zero)
	m.fromZero(r, Mean, mean, u, m.Unit, m.whyHeights())
	if rms > 0 {
		slope := math.Abs(m.high*m.high-m.low*m.low) / (2 * rms)
		ur := math.Sqrt(sq(slope*p.uHigh) + sq(slope/step*ends) + noise/n + sq(math.Hypot(level, zero)*mean/rms) + sq(noise/(2*rms))*2/n)
		m.fromZero(r, RMS, rms, ur, m.Unit, m.whyHeights())
	} else {
		m.lacks(r, RMS, "it is lost in noise")
	}
	pp, up := m.extremes(high, low)
	m.add(r, PeakToPeak, pp, math.Sqrt(up*up+2*level*level), m.Unit, "levels, "+m.whyHeight())
}

// fromZero adds a result that counts from 0 V, or says why it cannot be told.
func (m *measured) fromZero(r *Report, name string, value, uncertainty float64, unit, why string) {
	if m.zeroless() {
		m.lacks(r, name, m.seen.zeroless)
		return
	}
	m.add(r, name, value, uncertainty, unit, why)
}

// zeroless says whether nothing tells where 0 V lies.
func (m *measured) zeroless() bool { return m.seen != nil && m.seen.zeroless != "" }

// whyHeights is why a height above 0 V is unsure, whyHeight one from peak to peak.
func (m *measured) whyHeights() string {
	if m.seen != nil {
		return fmt.Sprintf("%s, 0 V read to %g of a division", m.whyHeight(), m.seen.zeroRead)
	}
	return m.whyHeight()
}

func (m *measured) whyHeight() string {
	if m.seen != nil {
		return "height of a pixel, thickness of the trace"
	}
	if m.two {
		return "edges, noise"
	}
	return "noise, steps of the values"
}

// state is the samples of one level.
type state struct {
	n                int
	base, sum, sumSq float64
}

func (s state) mean() float64 { return s.base + s.sum/float64(max(s.n, 1)) }
func (s state) spread() float64 {
	n := float64(max(s.n, 1))
	return max(0, s.sumSq/n-sq(s.sum/n))
}
func (s state) square() float64 { return s.spread() + sq(s.mean()) }

// states parts the samples between the first and the last edge into those of the
// low and of the high state.
func (m *measured) states() (low, high state) {
	low.base, high.base = m.low, m.high
	i := 0
	end := m.edges[len(m.edges)-1].at
	for k, y := range m.Y {
		t := m.From + float64(k)*m.Step
		if t < m.edges[0].at || t > end {
			continue
		}
		for i+1 < len(m.edges) && m.edges[i+1].at <= t {
			i++
		}
		s := &low
		if m.edges[i].rising {
			s = &high
		}
		s.n++
		d := y - s.base
		s.sum += d
		s.sumSq += d * d
	}
	return low, high
}

// extremes gives the height from peak to peak of the mean turn: the two levels,
// or what stands out above or below them by more than noise does. So many parts of a
// turn are looked at that one in many would stand out by chance: noise makes a peak
// in one record of a thousand (by the tail of the normal distribution, shared among
// all parts).
func (m *measured) extremes(high, low state) (height, u float64) {
	bins := max(10, min(200, len(m.Y)/20))
	if perTurn := int(m.period / m.Step); perTurn < bins {
		bins = max(4, perTurn)
	}
	sum, n := make([]float64, bins), make([]float64, bins)
	for i, y := range m.Y {
		x := (m.From + float64(i)*m.Step - m.at) / m.period
		k := min(bins-1, int((x-math.Floor(x))*float64(bins)))
		sum[k] += y
		n[k]++
	}
	beyond := math.Sqrt2 * math.Erfcinv(2*0.001/float64(bins)) // deviations
	top, bottom := m.high, m.low
	uTop, uBottom := m.noise/math.Sqrt(float64(max(high.n, 1)))*1.25, m.noise/math.Sqrt(float64(max(low.n, 1)))*1.25
	for k := range sum {
		if n[k] == 0 {
			continue
		}
		y, e := sum[k]/n[k], m.noise/math.Sqrt(n[k])
		if y > top && y-m.high > beyond*e {
			top, uTop = y, e
		}
		if y < bottom && m.low-y > beyond*e {
			bottom, uBottom = y, e
		}
	}
	return top - bottom, math.Hypot(uTop, uBottom)
}

// waveHeights gives heights of a signal without two levels, from its harmonics.
func (m *measured) waveHeights(r *Report, level, zero float64) {
	w := m.wave
	n := float64(w.samples)
	square := sq(w.offset) + w.left
	for _, h := range w.harmonics[1:] {
		a := cmplx.Abs(h)
		square += a * a / 2
	}
	square -= float64(len(w.harmonics)-1) * 2 * w.noise * w.noise / n
	rms := math.Sqrt(max(square, 0))
	ends := cmplx.Abs(w.harmonics[1]) * m.uPeriod / m.period
	common := math.Hypot(level, w.noise/math.Sqrt(n))
	m.fromZero(r, Mean, w.offset, math.Hypot(math.Hypot(common, zero), ends), m.Unit, m.whyHeights())
	if rms > 0 {
		common = math.Hypot(common, zero*w.offset/rms)
	}
	m.fromZero(r, RMS, rms, math.Hypot(common, ends/2), m.Unit, m.whyHeights())
	low, high := math.Inf(1), math.Inf(-1)
	for i := range 2000 {
		z := cmplx.Rect(1, 2*math.Pi*float64(i)/2000)
		p, y := complex(1, 0), w.offset
		for _, h := range w.harmonics[1:] {
			p *= z
			y += real(h)*real(p) - imag(h)*imag(p)
		}
		low, high = min(low, y), max(high, y)
	}
	orders := float64(len(w.harmonics) - 1)
	m.add(r, PeakToPeak, high-low, math.Sqrt(2*level*level+2*w.noise*w.noise*(2*orders+1)/n+2*w.left), m.Unit, m.whyHeight())
}

// half gives by how much the half turn below 0 is longer than that above, as a
// part of the turn.
func (m *measured) half(r *Report) {
	low, high := m.low, m.high
	if !m.scale && m.zeroless() {
		m.lacks(r, HalfDifference, m.seen.zeroless)
		return
	}
	if m.scale || !(low < 0 && high > 0) || -low < 0.2*(high-low) || high < 0.2*(high-low) {
		m.lacks(r, HalfDifference, "it does not go to and fro about zero")
		return
	}
	crossings, err := m.signal.Crossings(0, (high-low)/8)
	if err != nil || len(crossings) < 3 {
		m.lacks(r, HalfDifference, "too few passages through zero")
		return
	}
	var edges []edge
	for _, x := range crossings {
		edges = append(edges, edge{x.At, x.Rising})
	}
	d := doubt{grain: m.Step / 4, counted: false}
	if m.two {
		d = doubt{grain: m.grain, counted: m.counted, guessed: m.guessed}
	}
	slope := (high - low) / m.Step
	if !m.two {
		slope = 2 * math.Pi * cmplx.Abs(m.wave.harmonics[1]) / m.period
	}
	d.edge = m.noise / slope
	if m.seen != nil {
		d = doubt{edge: m.seen.edge, grain: m.grain, guessed: m.guessed, common: m.seen.fraction, hidden: m.seen.hidden}
		d.edge = math.Hypot(d.edge, m.seen.level/slope)
		d.common = math.Hypot(d.common, 2*m.seen.zero/slope) // a rise comes later, and the fall after it earlier
	}
	p, ok := fitPulses(edges, d)
	if !ok {
		m.lacks(r, HalfDifference, "too few passages through zero")
		return
	}
	m.add(r, HalfDifference, 1-2*p.high, 2*p.uHigh, "", fmt.Sprintf("%d passages through zero, noise", len(edges)))
}

// distortion gives the total harmonic distortion (IEC 61000-4-7) of what goes to
// and fro.
func (m *measured) distortion(r *Report) {
	w := m.wave
	if m.two {
		if m.zeroless() {
			m.lacks(r, Distortion, m.seen.zeroless)
			return
		}
		mean := (m.low + m.high) / 2
		if math.Abs(mean) > 0.3*(m.high-m.low) {
			m.lacks(r, Distortion, "it does not go to and fro about zero")
			return
		}
		if m.period/m.Step < 100 {
			m.lacks(r, Distortion, "with steps it takes 100 samples a turn or more")
			return
		}
		w.spectrum(m.Channel, 1/m.period)
	}
	orders := len(w.harmonics) - 1
	if orders < 2 || m.period/m.Step < 10 {
		m.lacks(r, Distortion, "there are too few samples a turn")
		return
	}
	one := cmplx.Abs(w.harmonics[1])
	ua := math.Sqrt(2*sq(w.noise)/float64(w.samples)) / one
	if m.seen != nil {
		ua = math.Hypot(ua, m.seen.level/one*0.3)
	}
	x := 0.0
	for _, h := range w.harmonics[2:] {
		x += sq(cmplx.Abs(h) / one)
	}
	k := float64(orders - 1)
	x -= 2 * k * sq(ua)
	sd := math.Sqrt(k) * ua * ua
	d := math.Sqrt(max(x, 0))
	u := math.Hypot(ua*math.Sqrt(1+d*d), sd/(2*max(d, math.Sqrt(sd))))
	m.add(r, Distortion, d, u, "", fmt.Sprintf("up to order %d, noise", orders))
}

// against gives where in the turn of another channel this one rises, and how
// many edges it has there.
func (m *measured) against(reference *measured, channels int, r *Report) {
	if channels < 2 || reference == nil {
		m.lacks(r, Phase, "there is no other channel")
	}
	if m.two {
		turn := m.period
		if reference != nil && !reference.two {
			turn = reference.period
		}
		n := 2 * float64(m.pulses.each) * turn / m.period
		u := n * m.uPeriod / m.period
		if turn != m.period {
			u = n * math.Hypot(m.uPeriod/m.period, reference.uPeriod/turn)
		}
		m.add(r, EdgesATurn, n, u, "", fmt.Sprintf("%d edges", len(m.edges)))
	} else {
		m.lacks(r, EdgesATurn, "it has no two levels between which it changes")
	}
	if m == reference || reference == nil || channels < 2 {
		return
	}
	ratio := m.period / reference.period
	far := math.Abs(m.at-reference.at) / reference.period
	u := math.Hypot(m.uPeriod/m.period, reference.uPeriod/reference.period)
	turns := float64(len(m.Y)) * m.Step / reference.period
	if math.Abs(ratio-1) > 0.2/max(turns, 1)+5*u {
		m.lacks(r, Phase, fmt.Sprintf("it does not turn with %q", reference.Name))
		return
	}
	x := (m.at - reference.at) / reference.period
	x -= math.Round(x)
	up := math.Hypot(m.uAt, reference.uAt) / reference.period
	up = math.Hypot(up, (far-math.Floor(far))*reference.uPeriod/reference.period)
	m.add(r, Phase, 360*x, 360*up, "°", fmt.Sprintf("its rise after that of %q", reference.Name))
}
