package machine

import (
	"fmt"
	"math"

	"slipring/engine/waveform"
)

// Summary is what a run shows over a number of whole turns. Frequencies and
// speeds are in turns a second, which for the two-pole output are Hz. A figure
// of a part that the machine has not is NaN.
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
	Stopped         string  // why the shaft stands still at the end; "" when it turns

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
			return Summary{}, s.standstill(len(g.turns))
		}
		if err := s.Advance(0.1); err != nil {
			return Summary{}, err
		}
	}
	out := s.sum(g.turns[:n])
	out.without(s.sys)
	return out, nil
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
	start, from := s.Time(), s.solver.State()[s.sys.shaft.angle]
	g.turns, g.zeros, g.now, g.started = g.turns[:0], g.zeros[:0], Turn{Start: start, speed: nowhere}, true
	if err := s.Advance(end); err != nil {
		return Summary{}, err
	}
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
			all.speed.take(t.speed.low, t.speed.high)
		}
		all.Start, all.Length = start, s.Time()-start
		out = s.sum([]Turn{all})
		out.Turns, out.ClosuresPerTurn = 0, 0
		out.Frequency = (s.solver.State()[s.sys.shaft.angle] - from) / (2 * math.Pi) / all.Length
	}
	out.LowSpeed, out.HighSpeed = g.watched.low/(2*math.Pi), g.watched.high/(2*math.Pi)
	out.without(s.sys)
	return out, nil
}

// without takes out the figures of parts that the machine has not.
func (o *Summary) without(m *system) {
	none := func(has bool, figures ...*float64) {
		for _, f := range figures {
			if !has {
				*f = nan
			}
		}
	}
	none(m.governor != nil, &o.OpenFraction, &o.ClosuresPerTurn, &o.Spread)
	none(m.motor != nil, &o.FieldCurrent, &o.ArmatureCurrent, &o.MostArmature, &o.Bus, &o.BatteryPower)
	none(m.output.stands(), &o.Output, &o.OutputSpread, &o.HalfCycles)
	none(m.generator != nil, &o.OutputPower, &o.Direct, &o.GeneratorField)
	none(m.regulator != nil, &o.RegulatorClosed, &o.RegulatorRate)
}

// watch makes the gauge keep turns and zeros from now on.
func (s *Simulation) watch() {
	g := &s.gauge
	angle := s.solver.State()[s.sys.shaft.angle]
	g.keep = true
	g.turns, g.zeros = g.turns[:0], g.zeros[:0]
	g.half = math.Pi * (math.Floor((angle+s.sys.output.Angle)/math.Pi) + 1)
	w := s.solver.State()[s.sys.shaft.speed]
	g.watched = span{w, w}
}

func (s *Simulation) sum(turns []Turn) Summary {
	n := len(turns)
	start, last := turns[0].Start, turns[n-1]
	end := last.Start + last.Length
	span := end - start
	var all [sums]float64
	closures, regulator := 0, 0
	open, volts, speed := nowhere, nowhere, nowhere
	for _, t := range turns {
		for i, v := range t.sums {
			all[i] += v / span
		}
		closures += t.Closures
		regulator += t.RegulatorClosures
		open.take(t.Open, t.Open)
		volts.take(t.OutputVoltage, t.OutputVoltage)
		speed.take(t.speed.low, t.speed.high)
	}
	out := Summary{
		Turns:           n,
		Frequency:       float64(n) / span,
		OpenFraction:    fraction(all[governorOpen], all[governorShut]),
		ClosuresPerTurn: float64(closures) / float64(n),
		Spread:          open.high - open.low,
		LowSpeed:        speed.low / (2 * math.Pi),
		HighSpeed:       speed.high / (2 * math.Pi),
		FieldCurrent:    all[fieldCurrent],
		ArmatureCurrent: all[armatureCurrent],
		MostArmature:    s.gauge.most.armature,
		Bus:             all[bus],
		BatteryPower:    all[batteryPower],
		Output:          math.Sqrt(all[alternatingSquared]),
		OutputSpread:    volts.high - volts.low,
		OutputPower:     all[alternatingPower],
		Direct:          all[direct],
		GeneratorField:  all[exciting],
		RegulatorClosed: fraction(all[regulatorShut], all[regulatorOpen]),
		RegulatorRate:   float64(regulator) / span,
		HalfCycles:      halfCycles(s.gauge.zeros, start, end),
		Beyond:          s.Beyond(),
		Stopped:         s.stopped(),
		Period:          s.gauge.period,
	}
	if out.Period != 1 {
		out.HuntFrequency = hunting(turns)
		out.Hunts = out.HuntFrequency > 0
	}
	return out
}

// hunting gives the frequency in Hz with which the mean speed of turns swings,
// or 0 when that is no hunting: see waveform.Set.Hunting. What a load does to
// the speed within a turn is not in these means.
func hunting(turns []Turn) float64 {
	speed := waveform.Signal{Name: "speed", Unit: "Hz", Stepped: true}
	var set waveform.Set
	for _, t := range turns {
		speed.T = append(speed.T, t.Start)
		speed.Y = append(speed.Y, 1/t.Length)
		set.Starts = append(set.Starts, t.Start)
	}
	last := turns[len(turns)-1]
	end := last.Start + last.Length
	speed.T, speed.Y = append(speed.T, end), append(speed.Y, 1/last.Length)
	set.Starts, set.Signals = append(set.Starts, end), []waveform.Signal{speed}
	h, err := set.Hunting("speed")
	if err != nil { // too few turns to see a swing
		return 0
	}
	return h.Frequency
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
func (s *Simulation) Beyond() (why string) {
	usual := s.sys.usual()
	if fast := s.gauge.most.speed / (2 * math.Pi); usual > 0 && fast > speedLimit*usual {
		return fmt.Sprintf("the shaft passed %.0f %% of its usual speed, where air, bearings and brushes were never measured", 100*fast/usual)
	}
	each(s.sys, func(p limited) {
		if why == "" {
			why = p.beyond(s.solver.State())
		}
	})
	return why
}

// Regulation gives by which part of its value under load a quantity, such as
// speed or voltage, is higher without: (x0 - x)/x.
func Regulation(unloaded, loaded float64) float64 { return (unloaded - loaded) / loaded }
