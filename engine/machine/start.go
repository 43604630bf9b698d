package machine

import (
	"fmt"
	"math"
)

// atRest is a set that stands still with nothing in its windings and the
// weight straight down.
func (s *system) atRest() []float64 {
	y := make([]float64, s.dim())
	each(s, func(p resting) { p.rest(y) })
	return y
}

// Start is a state to begin from. What is 0 is as in a machine at rest.
type Start struct {
	Speed          float64 // turns/s; the governor's weight is where it would stay
	Armature       float64 // A, in the motor's armature
	Field          float64 // A, in the motor's field
	GeneratorField float64 // A
	FuseHeat       float64 // A^2: the square of the current that would keep the fuse as warm
}

// begun is a set that begins as it is told, at a held speed or its own.
func (s *system) begun(from Start, held float64) ([]float64, error) {
	y := s.atRest()
	for _, v := range []struct {
		what, part, state string
		value             float64
	}{
		{"speed", "shaft", "speed", from.Speed},
		{"armature current", "motor", "armature current", from.Armature},
		{"field current", "motor", "field current", from.Field},
		{"field current", "generator", "field current", from.GeneratorField},
		{"heat", "fuse", "heat", from.FuseHeat},
	} {
		if v.value == 0 {
			continue
		}
		if !finite(v.value) {
			return nil, fmt.Errorf("a set cannot begin with a %s of %g", v.what, v.value)
		}
		at, ok := s.coordinate(v.part, v.state)
		if !ok {
			return nil, fmt.Errorf("a set cannot begin with a %s of its %s: the card has no part [%s]", v.what, v.part, v.part)
		}
		y[at] = v.value
	}
	if from.FuseHeat < 0 || s.fuse != nil && from.FuseHeat >= s.fuse.MeltingCurrent*s.fuse.MeltingCurrent {
		return nil, fmt.Errorf("a fuse that is not melted cannot have a heat of %g A2", from.FuseHeat)
	}
	if from.Speed < 0 {
		return nil, fmt.Errorf("a set cannot begin at %g turns a second", from.Speed)
	}
	if held > 0 && from.Speed > 0 {
		return nil, fmt.Errorf("a shaft that is held at %g turns a second cannot begin at %g", held, from.Speed)
	}
	n := from.Speed + held // one of them is 0
	y[s.shaft.speed] = 2 * math.Pi * n
	if from.Speed > 0 {
		each(s, func(g *governor) { g.staying(n, y) })
	}
	return y, nil
}

// guess gives a state from which the set settles soon: near the contact
// speed, or at the held speed, with the nameplate's voltage.
func (s *system) guess(held float64) []float64 {
	y := s.atRest()
	e := estimate{speed: 20, held: held > 0}
	switch {
	case e.held:
		e.speed = held
	case s.governor != nil:
		e.speed = 0.98 * s.governor.ContactSpeed
	case s.acMotor != nil:
		e.speed = s.acMotor.Synchronous
		if s.acMotor.SynchronousTorque == 0 {
			e.speed *= 1 - s.acMotor.PullOutSlip/4
		}
	}
	y[s.shaft.speed] = 2 * math.Pi * e.speed
	each(s, func(p asking) { p.ask(&e, y) })
	each(s, func(p giving) { p.give(&e, y) })
	return y
}
