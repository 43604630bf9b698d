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
	MostArmature    float64 // A, greatest, since the simulation began
	Bus             float64 // V, mean, at the motor
	BatteryPower    float64 // W, mean, drawn from the battery

	Output          float64 // V r.m.s. at the slip rings
	OutputSpread    float64 // V, largest less smallest r.m.s. voltage of a turn
	OutputPower     float64 // W, mean, out of the slip rings
	Direct          float64 // V, mean, at the generator's commutator
	GeneratorField  float64 // A, mean
	RegulatorClosed float64 // part of the time for which the regulator contact is closed
	RegulatorRate   float64 // times a second that the regulator contact makes
	HalfCycles      float64 // by how much of the period the negative half of the EMF is longer than the positive
	Beyond          string  // why the figures are extrapolations; "" when they are not

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

// MeasureFor goes on for a time in s of at least 1, through all that is
// planned. The result sums up the whole turns of the last quarter of it (at
// least 1 s, at most 5 s; or that time as it is, when the shaft makes fewer
// than two turns), save that the extremes of speed and current are those of
// the whole time.
func (s *Simulation) MeasureFor(seconds float64) (Summary, error) {
	if !(seconds >= 1 && finite(seconds)) {
		return Summary{}, fmt.Errorf("a run of %g s cannot be summed up; it takes at least 1 s", seconds)
	}
	end := min(max(seconds/4, 1), 5)
	g := &s.gauge
	defer func() { g.keep = false }()
	s.watch()
	if err := s.Advance(seconds - end); err != nil {
		return Summary{}, err
	}
	start, from := s.Time(), s.solver.State()[atAngle]
	g.turns, g.zeros, g.now, g.started = g.turns[:0], g.zeros[:0], Turn{Start: start}, true
	if err := s.Advance(end); err != nil {
		return Summary{}, err
	}
	low, high := extremes(g.speeds)
	g.period = 0
	var out Summary
	if len(g.turns) > 2 {
		out = s.sum(g.turns[1:]) // the first is only the rest of one
	} else {
		all := g.now
		for _, t := range g.turns {
			for i, v := range t.sums {
				all.sums[i] += v
			}
		}
		all.Start, all.Length = start, s.Time()-start
		out = s.sum([]Turn{all})
		out.Turns, out.ClosuresPerTurn = 0, 0
		out.Frequency = (s.solver.State()[atAngle] - from) / (2 * math.Pi) / all.Length
	}
	out.LowSpeed, out.HighSpeed = low, high
	return out, nil
}

// watch makes the gauge keep turns, speeds and zeros from now on.
func (s *Simulation) watch() {
	g := &s.gauge
	angle := s.solver.State()[atAngle]
	g.keep = true
	g.turns, g.zeros = g.turns[:0], g.zeros[:0]
	g.half = math.Pi * (math.Floor((angle+s.sys.output.Angle)/math.Pi) + 1)
	g.speeds = append(g.speeds[:0], sample{s.Time(), s.solver.State()[atSpeed]})
}

func (s *Simulation) sum(turns []Turn) Summary {
	n := len(turns)
	start, last := turns[0].Start, turns[n-1]
	end := last.Start + last.Length
	span := end - start
	var all [sums]float64
	closures, regulator := 0, 0
	low, high := math.Inf(1), math.Inf(-1)
	weak, strong := math.Inf(1), math.Inf(-1)
	for _, t := range turns {
		for i, v := range t.sums {
			all[i] += v / span
		}
		closures += t.Closures
		regulator += t.RegulatorClosures
		low, high = min(low, t.Open), max(high, t.Open)
		weak, strong = min(weak, t.OutputVoltage), max(strong, t.OutputVoltage)
	}
	out := Summary{
		Turns:           n,
		Frequency:       float64(n) / span,
		OpenFraction:    min(all[governorOpen], 1), // rounding apart
		ClosuresPerTurn: float64(closures) / float64(n),
		Spread:          high - low,
		FieldCurrent:    all[fieldCurrent],
		ArmatureCurrent: all[armatureCurrent],
		MostArmature:    s.gauge.most.armature,
		Bus:             all[bus],
		BatteryPower:    all[batteryPower],
		Output:          math.Sqrt(all[alternatingSquared]),
		OutputSpread:    strong - weak,
		OutputPower:     all[alternatingPower],
		Direct:          all[direct],
		GeneratorField:  all[exciting],
		RegulatorClosed: min(all[regulatorShut], 1),
		RegulatorRate:   float64(regulator) / span,
		HalfCycles:      halfCycles(s.gauge.zeros, start, end),
		Beyond:          s.Beyond(),
		Period:          s.gauge.period,
	}
	speeds := within(s.gauge.speeds, start, end)
	out.LowSpeed, out.HighSpeed = extremes(speeds)
	if out.Period != 1 {
		out.HuntFrequency = swing(speeds, out.Frequency)
		out.Hunts = out.HuntFrequency > 0
	}
	return out
}

// within gives the samples from the last before start up to end.
func within(x []sample, start, end float64) []sample {
	for len(x) > 1 && x[1].t <= start {
		x = x[1:]
	}
	for len(x) > 1 && x[len(x)-1].t > end {
		x = x[:len(x)-1]
	}
	return x
}

// halfCycles compares the two halves of the EMF's cycles between two instants.
func halfCycles(zeros []zero, start, end float64) float64 {
	var up, down float64
	for i := 2; i < len(zeros); i++ {
		a, b, c := zeros[i-2], zeros[i-1], zeros[i]
		if a.rising && a.t >= start && c.t <= end {
			up += b.t - a.t
			down += c.t - b.t
		}
	}
	if up+down == 0 {
		return 0
	}
	return (down - up) / (up + down)
}

// speedLimit is the part of the usual speed up to which losses are taken to be
// known.
const speedLimit = 1.25

// Beyond says in plain words why what the machine has done since the
// simulation began is an extrapolation, or "" when it is not.
func (s *Simulation) Beyond() string {
	m := &s.sys
	usual := m.output.Frequency
	if m.hasGovernor {
		usual = m.weight.ContactSpeed
	}
	switch fast := s.gauge.most.speed / (2 * math.Pi); {
	case usual > 0 && fast > speedLimit*usual:
		return fmt.Sprintf("the shaft passed %.0f %% of its usual speed, where air, bearings and brushes were never measured", 100*fast/usual)
	case m.hasMotor && math.Abs(s.solver.State()[atField]) > 3*m.motor.Field.Saturation:
		return "the motor's iron is driven far past the end of its open-circuit curve"
	case m.hasGenerator && math.Abs(s.solver.State()[atExciting]) > 3*m.generator.Field.Saturation:
		return "the generator's iron is driven far past the end of its open-circuit curve"
	}
	return ""
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
