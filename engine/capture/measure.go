package capture

import (
	"fmt"
	"math"
	"sort"

	"slipring/engine/diag"
	"slipring/engine/waveform"
)

// measured is a channel with what was found on it.
type measured struct {
	Channel
	signal    waveform.Signal
	low, high float64 // state levels
	noise     float64 // of one sample
	two       bool    // it goes between two levels
	pulses    pulses
	wave      wave
	period    float64 // s; 0 when none was found
	uPeriod   float64
	at, uAt   float64 // s, of a rise
	edges     []edge
	rises     transition // how long they take
	falls     transition
}

// Measure finds all that a capture shows.
func Measure(c *Capture) Report {
	var r Report
	var all []*measured
	for _, ch := range c.Channels {
		m := &measured{Channel: ch}
		ok := m.find(&r)
		if !ok {
			for _, name := range []string{Frequency, Period, FractionHigh, FractionLow} {
				r.Missing = append(r.Missing, Missing{ch.Name, name, "no whole turn was found"})
			}
		}
		all = append(all, m)
	}
	reference := referenceOf(all)
	if reference != nil {
		r.Begin, r.Period = reference.at, reference.period
	}
	for _, m := range all {
		r.Doubts = append(r.Doubts, m.single())
		if m.period > 0 {
			m.times(&r)
			m.heights(&r)
			m.against(reference, len(all), &r)
		}
	}
	return r
}

// single gives how far one value may be off.
func (m *measured) single() Doubt {
	d := Doubt{m.Name, math.Hypot(m.noise, m.quantum/math.Sqrt(12)), m.grain / math.Sqrt(12)}
	if m.seen != nil {
		d.Height, d.Time = m.seen.level, math.Hypot(m.seen.edge, d.Time)
		if m.seen.zeroless == "" {
			d.Height = math.Hypot(d.Height, m.seen.zero)
		}
	}
	return d
}

func (m *measured) say(r *Report, level diag.Level, text, hint string) {
	at := m.place
	at.Level, at.Text, at.Hint = level, fmt.Sprintf("channel %q %s", m.Name, text), hint
	r.Messages = append(r.Messages, at)
}

func (m *measured) add(r *Report, name string, value, uncertainty float64, unit, why string) {
	r.Results = append(r.Results, Result{m.Name, name, value, unit, uncertainty, why})
}

func (m *measured) lacks(r *Report, name, why string) {
	r.Missing = append(r.Missing, Missing{m.Name, name, why})
}

// find finds levels, edges and period.
func (m *measured) find(r *Report) bool {
	m.signal = m.Signal()
	if m.seen != nil && m.seen.twoLevels {
		m.low, m.high, m.two, m.edges = m.seen.low, m.seen.high, true, m.seen.edges
		return m.fitEdges(r)
	}
	levels, err := m.signal.StateLevels()
	if err != nil {
		m.say(r, diag.Warning, "does not change", "leave it out, or connect it and record again")
		return false
	}
	m.low, m.high = levels.Low, levels.High
	m.noise = noiseOf(m.Y)
	m.settle()
	if !m.two {
		m.low, m.high = outer(m.Y)
	}
	step := m.high - m.low
	crossings, err := m.signal.Crossings((m.low+m.high)/2, step/4)
	if err != nil {
		m.say(r, diag.Error, "cannot be measured: "+err.Error(), "record it again")
		return false
	}
	for _, x := range crossings {
		last := len(m.edges) - 1
		if m.noise > 0.08*step && last >= 0 && x.At-m.edges[last].at < 1.5*m.Step {
			m.edges = m.edges[:last] // a single sample, which so much noise throws across
			continue
		}
		m.edges = append(m.edges, edge{x.At, x.Rising})
	}
	if m.two && m.seen == nil {
		m.noise = m.noiseWithin()
		return m.fitEdges(r)
	}
	m.two = false
	p, ok := fitPulses(m.edges, doubt{grain: m.Step})
	if !ok {
		m.tooFew(r)
		return false
	}
	w, ok := fitWave(m.Channel, 1/p.period)
	if !ok {
		m.say(r, diag.Error, fmt.Sprintf("has only %.3g samples a turn", p.period/m.Step), "record more samples a second: twenty a turn or more")
		return false
	}
	m.wave = w
	if !m.clipped && m.cut() {
		m.clipped = true
		m.say(r, diag.Warning, "is cut off flat at its extremes: it clips", "choose more volts a division and record again; times are measured, heights are not")
	}
	m.noise = w.noise
	m.period, m.uPeriod = 1/w.frequency, w.uFrequency/sq(w.frequency)
	m.at, m.uAt = w.at, w.uAt
	if w.turns < 2 {
		m.say(r, diag.Warning, fmt.Sprintf("shows only %d whole turns", w.turns), "record two turns or more")
	}
	return true
}

func (m *measured) tooFew(r *Report) {
	m.say(r, diag.Error, fmt.Sprintf("shows too few turns: it passes the middle between its levels %d times, and 3 are needed", len(m.edges)), "record two turns or more")
}

func (m *measured) fitEdges(r *Report) bool {
	d := doubt{grain: m.grain, counted: m.counted, guessed: m.guessed}
	if m.seen != nil {
		d.edge, d.common, d.period, d.hidden = m.seen.edge, m.seen.fraction, m.seen.period, m.seen.hidden
	} else {
		m.rises, m.falls = m.transitions()
		slow := m.Step
		if m.rises.n+m.falls.n > 0 {
			slow = max(m.Step, (m.rises.sum+m.falls.sum)/float64(m.rises.n+m.falls.n)/0.8)
		}
		// A straight line between two samples, which lie by parts f and 1 - f of their
		// distance from the middle level, has f² + (1 - f)² of the variance of one: a
		// half where they lie at the two levels, 2/3 in the mean of all f.
		d.edge = m.noise / (m.high - m.low) * slow * math.Sqrt(0.5)
		if slow > 2*m.Step {
			// Samples within the edge show where it is: there is no rounding. Where it is
			// curved, the straight line is off by the same at each rise. With h between
			// samples and an exponential of time constant s that is f (1 - f) h²/(2 s), in
			// the mean h²/(12 s) with s = slow/2.75; even from 0 to that, 1/√12 of it.
			d.edge *= math.Sqrt(4.0 / 3)
			d.grain = 0
			d.common = 2.75 * m.Step * m.Step / (12 * slow) / math.Sqrt(12)
		}
	}
	p, ok := fitPulses(m.edges, d)
	if !ok {
		m.tooFew(r)
		return false
	}
	m.pulses = p
	m.period, m.uPeriod, m.at, m.uAt = p.period, p.uPeriod, p.at, p.uAt
	if turns := (m.edges[len(m.edges)-1].at - m.edges[0].at) / p.period; turns < 1.999 {
		m.say(r, diag.Warning, fmt.Sprintf("shows only %.1f turns between its edges", turns), "record two turns or more")
	}
	if p.ratio > 10 {
		m.say(r, diag.Warning, fmt.Sprintf("has edges that come unevenly, by %.2g s: an edge was lost, or the turns differ", p.scatter), "look at the capture; a longer record tells which")
	}
	if p.each > 1 {
		m.say(r, diag.Warning, fmt.Sprintf("rises %d times a turn: where it bounces, the fraction counts all the time that it is high", p.each), "a contact's first touch shows only with more than 1000 samples a second")
	}
	if m.seen == nil && m.rises.n > 0 && m.rises.sum/float64(m.rises.n) > 0.1*min(p.high, 1-p.high)*p.period/float64(p.each) && m.rises.sum/float64(m.rises.n) > 1.6*m.Step {
		m.say(r, diag.Warning, "rises for longer than a tenth of its pulse, so that the fraction depends on the level at which it is read", "the level is the middle between the two states")
	}
	if m.alikeWorthSaying() {
		m.say(r, diag.Warning, "turns in step with the samples, so that all edges are rounded alike and no mean makes that better", "record with another number of samples a second, or time a division, and compare")
	}
	return true
}

func (m *measured) alikeWorthSaying() bool {
	return m.pulses.alike && m.seen == nil && m.grain > m.pulses.period/1000
}

// noiseOf gives the noise of one sample from third differences, which a slow
// signal hardly has: by their median, so that edges do not count.
func noiseOf(y []float64) float64 {
	if len(y) < 8 {
		return 0
	}
	stride := max(1, len(y)/20000)
	var d []float64
	for i := 3; i < len(y); i += stride {
		d = append(d, math.Abs(y[i]-3*y[i-1]+3*y[i-2]-y[i-3]))
	}
	sort.Float64s(d)
	// of a normal quantity the median of the size is 0.6745 deviations
	return d[len(d)/2] / 0.6745 / math.Sqrt(20)
}

// noiseWithin gives the noise of one sample from neighbours that are both in the
// same state, however few samples a turn has.
func (m *measured) noiseWithin() float64 {
	var d []float64
	middle, near := (m.low+m.high)/2, (m.high-m.low)/20
	for i := 1; i < len(m.Y); i += max(1, len(m.Y)/20000) {
		a, b := m.Y[i-1]-middle, m.Y[i]-middle
		if math.Abs(a) > near && math.Abs(b) > near && (a > 0) == (b > 0) {
			d = append(d, math.Abs(a-b))
		}
	}
	if len(d) == 0 {
		return m.noise
	}
	sort.Float64s(d)
	return d[len(d)/2] / 0.6745 / math.Sqrt2
}

// outer gives the values below and above which one sample in a hundred lies.
func outer(y []float64) (low, high float64) {
	var some []float64
	for i := 0; i < len(y); i += max(1, len(y)/50000) {
		some = append(some, y[i])
	}
	sort.Float64s(some)
	k := len(some) / 100
	return some[k], some[len(some)-1-k]
}

// settle says whether a signal has two levels, between which it changes fast,
// and finds them anew as medians when there is noise.
func (m *measured) settle() {
	for _, part := range []float64{0.1, 0.1, 0.03} {
		step := m.high - m.low
		near := min(max(part*step, 2.5*m.noise), 0.4*step)
		var low, high []float64
		stride := max(1, len(m.Y)/50000)
		n, between := 0, 0
		for i := 0; i < len(m.Y); i += stride {
			n++
			if part := (m.Y[i] - m.low) / step; part > 0.25 && part < 0.75 {
				between++
			}
			switch y := m.Y[i]; {
			case math.Abs(y-m.low) <= near:
				low = append(low, y)
			case math.Abs(y-m.high) <= near:
				high = append(high, y)
			}
		}
		if part == 0.1 {
			m.two = len(low) > 0 && len(high) > 0 && float64(len(low)+len(high)) > 0.6*float64(n) && float64(between) < 0.17*float64(n)
		}
		if !m.two || len(low) == 0 || len(high) == 0 {
			return
		}
		sort.Float64s(low)
		sort.Float64s(high)
		m.low, m.high = low[len(low)/2], high[len(high)/2]
	}
}

// cut says whether a signal that has no two levels stands still at an extreme,
// sample after sample.
func (m *measured) cut() bool {
	low, high, _ := m.signal.Range()
	for _, extreme := range []float64{low, high} {
		at, run, longest := 0, 0, 0
		for _, y := range m.Y {
			if y == extreme {
				at++
				run++
				longest = max(longest, run)
			} else {
				run = 0
			}
		}
		// A sine read to 8 bits is at its extreme code for 4 % of the time.
		if longest >= 5 && float64(at) > 0.1*float64(len(m.Y)) {
			return true
		}
	}
	return false
}

// transition is how long passages from 10 to 90 % take.
type transition struct {
	n              int
	sum, sumSquare float64
}

func (t *transition) add(x float64) { t.n++; t.sum += x; t.sumSquare += x * x }

// transitions times each edge between 10 and 90 % of the way (IEEE Std 181).
func (m *measured) transitions() (rises, falls transition) {
	step := m.high - m.low
	a, b := m.low+0.1*step, m.low+0.9*step
	for _, e := range m.edges {
		i := int((e.at - m.From) / m.Step)
		first, last := a, b
		if !e.rising {
			first, last = b, a
		}
		from, ok := m.reach(i, -1, first)
		to, ok2 := m.reach(i+1, 1, last)
		if !ok || !ok2 {
			continue
		}
		if e.rising {
			rises.add(to - from)
		} else {
			falls.add(to - from)
		}
	}
	return rises, falls
}

// reach goes from sample i on until the signal has passed a level, and gives
// where, between samples, it did.
func (m *measured) reach(i, way int, level float64) (float64, bool) {
	for j := i; j >= 0 && j < len(m.Y); j += way {
		k := j - way
		if k < 0 || k >= len(m.Y) {
			continue
		}
		if y, z := m.Y[j], m.Y[k]; (y-level)*(z-level) <= 0 && y != z {
			x := float64(k) + float64(j-k)*(level-z)/(y-z)
			return m.From + x*m.Step, true
		}
	}
	return 0, false
}

// referenceOf gives the channel whose rise begins a turn: the first without two
// levels, or the first of all.
func referenceOf(all []*measured) *measured {
	var reference *measured
	for _, m := range all {
		if m.period > 0 && (reference == nil || reference.two && !m.two) {
			reference = m
		}
	}
	return reference
}
