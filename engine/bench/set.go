package bench

import (
	"fmt"
	"math"

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

// Card gives a copy of the machine card, with the changed constants in it.
func (s *Set) Card() machine.Card { return s.card.Clone() }

// Constant gives a constant of the card, such as "motor.field-resistance", in
// its SI unit (frequencies in Hz).
func (s *Set) Constant(name string) float64 { return s.find(name).SI() }

func (s *Set) find(name string) machine.Constant {
	c, ok := s.card.Constant(name)
	if !ok {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the card %q has no constant %q", s.card.Name, name),
			Hint: `constants are named PART.KEY as on the card, such as "motor.field-resistance"`})
	}
	return c
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

// WithContactOut gives a copy of the set whose governor contact stands farther
// out by a way in m, or farther in by one below zero.
func (s *Set) WithContactOut(out float64) *Set {
	if out == 0 {
		return s
	}
	g := s.Governor()
	return s.WithConstant("governor.radius", g.Radius+out).WithConstant("governor.contact-speed", g.ContactSpeedAt(out))
}

// WithScrews gives a copy of the set whose adjusting screws were turned to the
// right by so many turns each, or to the left by so many below zero.
func (s *Set) WithScrews(governor, regulator float64) *Set {
	pitch := part[machine.Screws](s, "screws")
	turned := s.WithContactOut(governor * pitch.GovernorPitch)
	if regulator == 0 {
		return turned
	}
	return turned.WithConstant("regulator.plunger-weight", s.Regulator().WeightWith(regulator*pitch.RegulatorPitch))
}

// DrivenAt gives a copy of the set whose shaft an outside drive holds at a
// speed in turns a second.
func (s *Set) DrivenAt(speed float64) *Set {
	c := *s
	c.how.HeldSpeed = speed
	c.key += fmt.Sprintf("; driven at %v", speed)
	return &c
}

// WithCoilOnBrushes gives a copy of the set whose regulator coil is fed with
// direct current, from the commutator.
func (s *Set) WithCoilOnBrushes() *Set {
	c := *s
	c.how.CoilOnBrushes = true
	c.key += "; coil on the brushes"
	return &c
}

// WithGravity gives a copy of the set on which gravity pulls with another
// strength, in m/s2, across its level shaft. It can be none at all.
func (s *Set) WithGravity(pull float64) *Set {
	if !(pull >= 0) || math.IsInf(pull, 0) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("gravity cannot pull with %v m/s2", pull),
			Hint: "give a number from 0 upwards; machine.Gravity is that of the earth"})
	}
	c := *s
	c.how.Gravity, c.how.Upright = pull, pull == 0
	c.key += fmt.Sprintf("; gravity of %v", pull)
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

func (s *Set) need(part string) {
	if !s.card.Has(part) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the set %q has no %s", s.card.Name, part),
			Hint: "open a card that has this part"})
	}
}
