package bench

import (
	"fmt"
	"strings"

	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// Run is what one run of a set shows. Speeds are in turns a second, which for
// the two-pole output are Hz. A figure of a part that the set has not is NaN,
// which no page can print.
type Run struct {
	Frequency        float64 // Hz, mean of speed and so of the output
	OpenFraction     float64 // part of the time for which the governor contact is open
	ClosuresPerTurn  float64 // of the governor contact
	Spread           float64 // largest less smallest open fraction of a turn
	SpeedLow         float64 // Hz, slowest instant
	SpeedHigh        float64 // Hz, fastest instant
	HuntingFrequency float64 // Hz, of the slow swing of speed; 0 when the set does not hunt
	Period           int     // turns after which everything repeats; 0 when it does not

	FieldCurrent    float64 // A, mean, of the motor
	ArmatureCurrent float64 // A, mean, of the motor
	ArmatureMost    float64 // A, greatest, of the motor
	BusVoltage      float64 // V, mean, at the motor
	BatteryPower    float64 // W, mean

	OutputVoltage   float64 // V r.m.s., at the slip rings
	OutputSpread    float64 // V, largest less smallest r.m.s. voltage of a turn
	OutputElsewhere float64 // V r.m.s., of another steady state that Steady found; 0 when it found none
	OutputPower     float64 // W, mean, out of the slip rings
	DirectVoltage   float64 // V, mean, at the generator's commutator
	GeneratorField  float64 // A, mean
	RegulatorClosed float64 // part of the time for which the regulator contact is closed
	RegulatorRate   float64 // times a second that the regulator contact makes
	HalfCycles      float64 // by how much of the period the EMF's negative half is longer than its positive

	Seconds float64 // s, of a run that something happens to; else 0
	Beyond  string  // why the figures are extrapolations; "" when they are not
	Stopped string  // why the shaft stands still at the end; "" when it turns

	from     *machine.Simulation // at the beginning, with its plan; never advanced itself
	eventful bool                // something happens on the way, so that turns differ
}

func newRun(from *machine.Simulation, s machine.Summary) *Run {
	return &Run{
		Frequency:        s.Frequency,
		OpenFraction:     s.OpenFraction,
		ClosuresPerTurn:  s.ClosuresPerTurn,
		Spread:           s.Spread,
		SpeedLow:         s.LowSpeed,
		SpeedHigh:        s.HighSpeed,
		HuntingFrequency: s.HuntFrequency,
		Period:           s.Period,
		FieldCurrent:     s.FieldCurrent,
		ArmatureCurrent:  s.ArmatureCurrent,
		ArmatureMost:     s.MostArmature,
		BusVoltage:       s.Bus,
		BatteryPower:     s.BatteryPower,
		OutputVoltage:    s.Output,
		OutputSpread:     s.OutputSpread,
		OutputPower:      s.OutputPower,
		DirectVoltage:    s.Direct,
		GeneratorField:   s.GeneratorField,
		RegulatorClosed:  s.RegulatorClosed,
		RegulatorRate:    s.RegulatorRate,
		HalfCycles:       s.HalfCycles,
		Beyond:           s.Beyond,
		Stopped:          s.Stopped,
		from:             from,
	}
}

// Harmonics gives the amplitudes, in V, of the output's harmonics over twenty
// turns: at index 0 the mean, at 1 the fundamental, and so on up to an order.
func (r *Run) Harmonics(orders int) []float64 {
	return r.harmonics(orders).Amplitude
}

// Distortion gives the total harmonic distortion of the output up to order 40,
// as a part of the fundamental (the definition of IEC 61000-4-7).
func (r *Run) Distortion() float64 {
	d, err := r.harmonics(40).THD(40)
	if err != nil {
		panic(misuse(err))
	}
	return d
}

func (r *Run) harmonics(orders int) waveform.Harmonics {
	const turns = 20
	h, err := r.Traces("output").Turns(turns).Signals[0].Harmonics(turns, orders)
	if err != nil {
		panic(misuse(err))
	}
	return h
}

// Traces chooses signals of the run to draw: "governor contact" and "regulator
// contact" (1 closed, 0 open), "output", "generator EMF", "commutator voltage"
// and "bus voltage" (V), "output current", "field current", "armature current",
// "generator field current", "regulator coil current" and "bell current" (A,
// of one bell), "speed" (Hz),
// "weight travel" and "plunger travel" (mm, past the contact), "shaft angle"
// (deg), "fuse heat" (A2). A set has those of its parts.
func (r *Run) Traces(names ...string) Traces {
	if err := r.from.Recordable(names...); err != nil {
		panic(tell.Misuse{Text: err.Error(), Hint: "its signals: " + strings.Join(r.from.Signals(), ", ")})
	}
	return Traces{run: r, names: names}
}

// Traces is a choice of signals of a run, or of channels of a capture.
type Traces struct {
	run   *Run
	names []string
	seen  *waveform.Set // of a capture
}

// most turns that a figure may ask for
const mostTurns = 400

// Turns gives n whole turns of the shaft, from the start of a turn.
func (t Traces) Turns(n int) waveform.Set {
	if n < 1 || n > mostTurns {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a figure cannot show %d turns", n),
			Hint: fmt.Sprintf("ask for 1 to %d", mostTurns)})
	}
	if t.seen != nil {
		set, err := t.seen.Turns(n)
		if err != nil {
			panic(misuse(err))
		}
		return set
	}
	if t.run.eventful {
		panic(tell.Misuse{Text: "a run that something happens to is not shown by turns", Hint: "use Window(from, to) in seconds"})
	}
	set, err := t.sim().RecordTurns(n, t.names...)
	if err != nil {
		panic(misuse(err))
	}
	return set
}

// Window gives the stretch from instant from up to instant to, in s from the
// start of the traces.
func (t Traces) Window(from, to float64) waveform.Set {
	if !(from >= 0 && to > from && to <= mostSeconds) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a figure cannot show the time from %v s to %v s", from, to),
			Hint: fmt.Sprintf("ask for a stretch within 0 to %d s", mostSeconds)})
	}
	set, err := t.record(to)
	if err == nil {
		set, err = set.Window(from, to)
	}
	if err != nil {
		panic(misuse(err))
	}
	return set
}

func (t Traces) record(to float64) (waveform.Set, error) {
	if t.seen != nil {
		return *t.seen, nil
	}
	return t.sim().Record(to, t.names...)
}

func (t Traces) sim() *machine.Simulation {
	sim, err := t.run.from.Clone()
	if err != nil {
		panic(misuse(err))
	}
	return sim
}
