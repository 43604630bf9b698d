package bench

import (
	"fmt"

	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Set is one machine, perhaps with something about it changed.
type Set struct {
	shelf *Shelf
	card  machine.Card
	how   machine.Setup
	key   string // the card and all changes to it, in words
}

// Card gives the machine card, with the changed constants in it.
func (s *Set) Card() machine.Card { return s.card }

// Constant gives a constant of the card, such as "motor.field-resistance", in
// its SI unit (frequencies in Hz).
func (s *Set) Constant(name string) float64 { return s.find(name).SI() }

func (s *Set) find(name string) *machine.Slot {
	slot := s.card.Find(name)
	if slot == nil {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the card %q has no constant %q", s.card.Name, name),
			Hint: `constants are named PART.KEY as on the card, such as "motor.field-resistance"`})
	}
	return slot
}

// WithConstant gives a copy of the set with a constant of its card changed, in
// the constant's SI unit.
func (s *Set) WithConstant(name string, value float64) *Set {
	s.find(name)
	card, err := s.card.With(name, value)
	if err != nil {
		panic(misuse(err))
	}
	c := *s
	c.card = card
	c.key += fmt.Sprintf("; %s = %v", name, value)
	return &c
}

// WithoutGravity gives a copy of the set on which gravity does not act, as if
// its shaft stood on end.
func (s *Set) WithoutGravity() *Set {
	c := *s
	c.how.Upright = true
	c.key += "; without gravity"
	return &c
}

// Motor gives the set's motor, with its steady-state formulas.
func (s *Set) Motor() machine.Motor {
	s.need("motor", s.card.Motor != nil)
	return machine.NewMotor(*s.card.Motor)
}

// Governor gives the set's governor, with its closed forms.
func (s *Set) Governor() machine.Governor {
	s.need("governor", s.card.Governor != nil)
	g := machine.NewGovernor(*s.card.Governor)
	if s.how.Upright {
		g.Gravity = 0
	}
	return g
}

func (s *Set) need(part string, has bool) {
	if !has {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the set %q has no %s", s.card.Name, part),
			Hint: "open a card that has this part"})
	}
}

// OpenFractionRule gives the part of a turn for which the governor contact is
// open at a speed in turns a second, by the closed form for a free contact.
func (s *Set) OpenFractionRule(speed float64) float64 {
	g := s.Governor()
	return g.OpenFraction(speed)
}

// OpenFractionAt gives the part of a turn for which the governor contact is
// open when the shaft is held at a speed in turns a second, computed step by
// step, contact spring and all.
func (s *Set) OpenFractionAt(speed float64) float64 { return s.Held(speed).OpenFraction }

// Band gives the slowest and the fastest speed, in turns a second, at which
// the governor can steer, by the closed form for a free contact.
func (s *Set) Band() (low, high float64) {
	g := s.Governor()
	return g.BandLow(), g.BandHigh()
}

// Steady lets the set settle under a load, and sums up many turns of it.
func (s *Set) Steady(load machine.Load) *Run {
	return s.run(s.how, load)
}

// Held lets the set settle with its shaft held at a speed in turns a second,
// and sums up many turns of it.
func (s *Set) Held(speed float64) *Run {
	how := s.how
	how.HeldSpeed = speed
	return s.run(how, machine.Load{})
}

func (s *Set) run(how machine.Setup, load machine.Load) *Run {
	key := fmt.Sprintf("%s | %+v | %+v", s.key, how, load)
	return s.shelf.once(key, func() (*Run, error) {
		sim, err := machine.New(s.card, how, load)
		if err != nil {
			return nil, err
		}
		if err := sim.Settle(); err != nil {
			return nil, err
		}
		from, err := sim.Clone()
		if err != nil {
			return nil, err
		}
		sum, err := sim.Measure()
		if err != nil {
			return nil, err
		}
		return newRun(from, sum), nil
	})
}

// before is how long a Step runs under the first load, in s.
const before = 0.5

// Step lets the set settle under a first load, changes to a second after half
// a second, and goes on for a time in s. The Run sums up the last turns, and
// the extremes of speed since the change; its traces begin half a second
// before the change.
func (s *Set) Step(from, to machine.Load, seconds float64) *Run {
	if !(seconds >= 1 && seconds <= 120) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a step of load cannot be watched for %v s", seconds),
			Hint: "give a time from 1 to 120 s"})
	}
	key := fmt.Sprintf("%s | %+v | from %+v to %+v for %v", s.key, s.how, from, to, seconds)
	return s.shelf.once(key, func() (*Run, error) {
		sim, err := machine.New(s.card, s.how, from)
		if err != nil {
			return nil, err
		}
		if err := sim.Settle(); err != nil {
			return nil, err
		}
		start, err := sim.Clone()
		if err != nil {
			return nil, err
		}
		if err := start.Plan(machine.Change{At: before, Load: to}); err != nil {
			return nil, err
		}
		if err := sim.Advance(before); err != nil {
			return nil, err
		}
		if err := sim.Change(to); err != nil {
			return nil, err
		}
		sum, err := sim.MeasureFor(seconds)
		if err != nil {
			return nil, err
		}
		r := newRun(start, sum)
		r.eventful = true
		return r, nil
	})
}
