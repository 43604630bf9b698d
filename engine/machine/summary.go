package machine

import (
	"fmt"
	"math"
)

// Summary is what a run shows over a number of whole turns. Frequencies and
// speeds are in turns a second, which for the two-pole output are Hz.
type Summary struct {
	Turns           int     // turns that the summary is over
	Frequency       float64 // mean over the turns
	OpenFraction    float64 // part of the time for which the governor contact is open
	ClosuresPerTurn float64 // of the governor contact
	Spread          float64 // largest less smallest open fraction of a turn
	LowSpeed        float64 // slowest instant
	HighSpeed       float64 // fastest instant
	FieldCurrent    float64 // A, mean, of the motor
	ArmatureCurrent float64 // A, mean, of the motor
	Bus             float64 // V, mean, at the motor
	Output          float64 // V r.m.s. at the slip rings

	Period        int     // turns after which everything repeats; 0 when it does not
	Hunts         bool    // the speed swings, and more slowly than once in two turns
	HuntFrequency float64 // Hz, of that swing; 0 without hunting
}

// Numbers of turns that Measure takes: of a machine that repeats itself, and
// of one that does not.
const (
	steadyTurns = 60
	longTurns   = 240
)

// Measure goes on for a number of turns that depends on whether the machine
// settled, and sums them up. The machine must be at the start of a turn, as
// Settle leaves it.
func (s *Simulation) Measure() (Summary, error) {
	n := longTurns
	if s.gauge.period > 0 {
		n = steadyTurns // a multiple of every period from 1 to 6
	}
	return s.MeasureTurns(n)
}

// MeasureTurns goes on for n whole turns and sums them up.
func (s *Simulation) MeasureTurns(n int) (Summary, error) {
	g := &s.gauge
	s.watch()
	defer func() { g.keep = false }()
	for limit := s.Time() + 10 + float64(n); len(g.turns) < n; {
		if s.Time() > limit {
			return Summary{}, fmt.Errorf("the shaft makes only %d turns in %d s under this load", len(g.turns), 10+n)
		}
		if err := s.Advance(0.1); err != nil {
			return Summary{}, err
		}
	}
	return s.sum(g.turns[:n]), nil
}

// MeasureFor goes on for a time in s; the result sums up the last whole turns
// of it, at most a second's worth, save that its extremes of speed are those
// of the whole time.
func (s *Simulation) MeasureFor(seconds float64) (Summary, error) {
	g := &s.gauge
	s.watch()
	defer func() { g.keep = false }()
	if err := s.Advance(seconds); err != nil {
		return Summary{}, err
	}
	if len(g.turns) == 0 {
		return Summary{}, fmt.Errorf("the shaft makes no whole turn in %g s", seconds)
	}
	low, high := extremes(g.speeds)
	g.period = 0
	out := s.sum(g.turns[max(0, len(g.turns)-20):])
	out.LowSpeed, out.HighSpeed = low, high
	return out, nil
}

// watch makes the gauge keep turns and speeds from now on.
func (s *Simulation) watch() {
	g := &s.gauge
	g.keep = true
	g.turns = g.turns[:0]
	g.speeds = append(g.speeds[:0], sample{s.Time(), s.solver.State()[atSpeed]})
}

func (s *Simulation) sum(turns []Turn) Summary {
	n := len(turns)
	last := turns[n-1]
	end := last.Start + last.Length
	span := end - turns[0].Start
	out := Summary{Turns: n, Frequency: float64(n) / span, Period: s.gauge.period}
	var all integrals
	closures := 0
	low, high := math.Inf(1), math.Inf(-1)
	for _, t := range turns {
		all.open += t.open
		all.armature += t.armature
		all.field += t.field
		all.bus += t.bus
		all.outputSquared += t.outputSquared
		closures += t.Closures
		low, high = min(low, t.Open), max(high, t.Open)
	}
	out.OpenFraction = all.open / span
	out.ClosuresPerTurn = float64(closures) / float64(n)
	out.Spread = high - low
	out.ArmatureCurrent = all.armature / span
	out.FieldCurrent = all.field / span
	out.Bus = all.bus / span
	out.Output = math.Sqrt(all.outputSquared / span)

	speeds := s.gauge.speeds
	for len(speeds) > 1 && speeds[1].t <= turns[0].Start {
		speeds = speeds[1:]
	}
	for len(speeds) > 1 && speeds[len(speeds)-1].t > end {
		speeds = speeds[:len(speeds)-1]
	}
	out.LowSpeed, out.HighSpeed = extremes(speeds)
	if out.Period != 1 {
		out.HuntFrequency = swing(speeds, out.Frequency)
		out.Hunts = out.HuntFrequency > 0
	}
	return out
}

func extremes(x []sample) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range x {
		low, high = min(low, v.y), max(high, v.y)
	}
	return low / (2 * math.Pi), high / (2 * math.Pi)
}

// swing measures how often a second the speed swings about its middle, from
// its rising passages through the middle; a swing counts only when it leaves
// the middle by a tenth of the whole range on both sides. Swings that are
// smaller than 0.1 % of the speed, or quicker than once in two turns, are not
// hunting, and give 0.
func swing(speeds []sample, frequency float64) float64 {
	low, high := extremes(speeds)
	if high-low < 1e-3*frequency {
		return 0
	}
	middle := math.Pi * (low + high)
	margin := 0.1 * 2 * math.Pi * (high - low)
	var first, last float64
	passages := -1
	armed := false
	for i, v := range speeds {
		switch {
		case v.y < middle-margin:
			armed = true
		case armed && v.y > middle+margin:
			armed = false
			// the passage itself lies before this sample
			j := i
			for j > 0 && speeds[j-1].y > middle {
				j--
			}
			t := v.t
			if j > 0 {
				a, b := speeds[j-1], speeds[j]
				t = a.t + (b.t-a.t)*(middle-a.y)/(b.y-a.y)
			}
			if passages < 0 {
				first = t
			}
			last = t
			passages++
		}
	}
	if passages < 2 {
		return 0
	}
	f := float64(passages) / (last - first)
	if f > 0.5*frequency*0.98 {
		return 0
	}
	return f
}
