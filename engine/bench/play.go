package bench

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Steady lets the set settle under a load, and sums up many turns of it. What
// is solved stands with machine.Simulation, when a set has settled with
// machine.Simulation.Settle, and over how many turns it is summed up with
// machine.Simulation.Measure. A set may have more than one steady state under a
// load: OutputElsewhere tells of another, as far as machine.Simulation.Others
// finds one.
func (s *Set) Steady(load machine.Load) *Run {
	key := fmt.Sprintf("%s | steady at %+v", s.key, load)
	return s.shelf.once(key, recipe{s.card, s.how, load}, func() (*Run, error) {
		sim, err := s.settled(s.how, load)
		if err != nil {
			return nil, err
		}
		from, err := sim.Clone()
		if err != nil {
			return nil, err
		}
		others, err := sim.Others()
		if err != nil {
			return nil, err
		}
		sum, err := sim.Measure()
		if err != nil {
			return nil, err
		}
		r := newRun(from, sum)
		r.OutputElsewhere = farthest(sum.Output, others)
		return r, nil
	})
}

// least part by which the voltages of two steady states differ. The rhythms of
// several turns come in kinds that are hardly told apart.
const apart = 5e-4

// farthest gives the voltage of the state that is farthest from one of volts,
// or 0 when all are the same.
func farthest(volts float64, others []machine.Summary) float64 {
	out := 0.0
	most := apart * volts
	for _, o := range others {
		if d := math.Abs(o.Output - volts); d > most {
			out, most = o.Output, d
		}
	}
	return out
}

// Held lets the set settle with its shaft held at a speed in turns a second,
// and sums up many turns of it.
func (s *Set) Held(speed float64) *Run { return s.DrivenAt(speed).Steady(machine.Load{}) }

func (s *Set) settled(how machine.Setup, load machine.Load) (*machine.Simulation, error) {
	sim, err := machine.New(s.card, how, load)
	if err != nil {
		return nil, err
	}
	return sim, sim.Settle()
}

// Before is how long a run that something happens to goes on as it was, in s.
const Before = 0.5

// longest time in s that something may be watched for
const mostSeconds = 120

// Play lets the set settle under a load, then watches it for a time in s while
// changes happen, their times counted from the beginning. The run sums up its
// last quarter (at least 1 s, at most 5 s), save its extremes of speed and
// current, which are those of the whole.
func (s *Set) Play(load machine.Load, seconds float64, changes ...machine.Change) *Run {
	return s.play("settled", s.how, load, seconds, changes)
}

func (s *Set) play(begin string, how machine.Setup, load machine.Load, seconds float64, changes []machine.Change) *Run {
	if !(seconds >= 1 && seconds <= mostSeconds) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a set cannot be watched for %v s", seconds),
			Hint: fmt.Sprintf("give a time from 1 to %d s", mostSeconds)})
	}
	key := fmt.Sprintf("%s | %s, %+v, %+v for %v s: %+v", s.key, begin, how, load, seconds, changes)
	return s.shelf.once(key, recipe{s.card, how, load}, func() (*Run, error) {
		sim, err := machine.New(s.card, how, load)
		if err != nil {
			return nil, err
		}
		if begin == "settled" {
			if err := sim.Settle(); err != nil {
				return nil, err
			}
		}
		if err := sim.Plan(changes...); err != nil {
			return nil, err
		}
		from, err := sim.Clone()
		if err != nil {
			return nil, err
		}
		sum, err := sim.MeasureFor(seconds)
		if err != nil {
			return nil, err
		}
		r := newRun(from, sum)
		r.eventful = true
		r.Seconds = seconds
		return r, nil
	})
}

// Step lets the set settle under a first load, changes to a second after half
// a second (Before), and goes on for a time in s.
func (s *Set) Step(from, to machine.Load, seconds float64) *Run {
	return s.Play(from, Before+seconds, machine.Change{At: Before, What: machine.PutLoad, Load: to})
}

// Fault lets the set settle under a load, lets a fault happen after half a
// second (Before), and goes on for a time in s. Faults gives the names.
func (s *Set) Fault(name string, load machine.Load, seconds float64) *Run {
	f := fault(name)
	change := machine.Change{At: Before, What: f.Action}
	if f.Action == machine.ChangeLeaf {
		change.Amount = slack
	}
	return s.Play(load, Before+seconds, change)
}

// slack is by which part the pull of a slack leaf has changed.
const slack = -0.05

// Faults gives the names of all faults.
func (s *Set) Faults() []string {
	var out []string
	for _, f := range machine.Faults() {
		out = append(out, f.Name)
	}
	return out
}

// FaultSentence says in plain words what a fault is.
func (s *Set) FaultSentence(name string) string { return fault(name).Sentence }

func fault(name string) machine.Fault {
	var known []string
	for _, f := range machine.Faults() {
		if f.Name == name {
			return f
		}
		known = append(known, f.Name)
	}
	panic(tell.Misuse{
		Text: fmt.Sprintf("no fault is called %q", name),
		Hint: "known faults: " + strings.Join(known, ", ")})
}

// Start puts the set, at rest, straight on its battery, and watches it for a
// time in s.
func (s *Set) Start(seconds float64) *Run {
	s.need("motor")
	how := s.how
	how.AtRest = true
	return s.play("at rest", how, machine.Load{}, seconds, nil)
}

// StartWith starts the set, at rest, through a starter that holds the armature
// current between two limits in A, and watches it for a time in s. Starter
// gives the starter's sections.
func (s *Set) StartWith(most, least, seconds float64) *Run {
	how := s.how
	how.AtRest, how.Notches, how.NotchCurrent = true, s.Starter(most, least), least
	return s.play("at rest", how, machine.Load{}, seconds, nil)
}

// Starter gives the sections, in ohm, of a starter that holds the armature
// current between two limits in A; the one cut out first comes first.
func (s *Set) Starter(most, least float64) []float64 {
	sections := s.Motor().Starter(part[machine.Battery](s, "battery").Voltage, most, least)
	if len(sections) == 0 || len(sections) > 100 {
		panic(tell.Misuse{
			Text: fmt.Sprintf("no starter holds the current between %v A and %v A", most, least),
			Hint: "give two limits in A, the larger first, below the current of the stalled motor"})
	}
	return sections
}

// Begin puts the set, in a state that is told, on its battery under a load, and
// watches it for a time in s while changes happen. It begins so fresh from the
// switch: a warm fuse, a shaft that still turns from the last run.
func (s *Set) Begin(from machine.Start, load machine.Load, seconds float64, changes ...machine.Change) *Run {
	how := s.how
	how.AtRest, how.Start = true, from
	return s.play("at a start", how, load, seconds, changes)
}

// Brake lets the set settle under a load, takes the motor's armature off the
// battery after half a second (Before) and puts a resistor in ohm across it,
// while its field stays on, and goes on for a time in s.
func (s *Set) Brake(load machine.Load, ohm, seconds float64) *Run {
	return s.Play(load, Before+seconds, machine.Change{At: Before, What: machine.BrakeArmature, Amount: ohm})
}

// Coast lets the set settle under a load, opens its main switch after half a
// second (Before), and goes on for a time in s.
func (s *Set) Coast(load machine.Load, seconds float64) *Run {
	return s.Play(load, Before+seconds, machine.Change{At: Before, What: machine.OpenSwitch})
}

// Sag lets the set settle under a load, lets the battery lose a voltage in V
// over a time in s from half a second on (Before), and watches for a time in s.
func (s *Set) Sag(load machine.Load, volts, over, seconds float64) *Run {
	return s.Play(load, Before+seconds, machine.Change{At: Before, What: machine.SagBattery, Amount: volts, Over: over})
}

// BuildUp holds the generator's shaft at a speed in turns a second with nothing
// in its windings, and watches for a time in s how it builds up.
func (s *Set) BuildUp(speed, seconds float64) *Run {
	s.need("generator")
	how := s.how
	how.AtRest, how.HeldSpeed = true, speed
	return s.play("at rest", how, machine.Load{}, seconds, nil)
}

// Energy lets the set settle under a load and adds up, over a time in s, where
// the energy goes, in J.
func (s *Set) Energy(load machine.Load, seconds float64) machine.Audit {
	if !(seconds > 0 && seconds <= mostSeconds) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("energy cannot be added up over %v s", seconds),
			Hint: fmt.Sprintf("give a time up to %d s", mostSeconds)})
	}
	how := s.how
	how.Audit = true
	sim, err := s.settled(how, load)
	if err == nil {
		err = sim.Advance(seconds)
	}
	if err != nil {
		panic(misuse(err))
	}
	return sim.Audit()
}
