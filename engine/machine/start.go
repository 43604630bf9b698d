package machine

import (
	"fmt"
	"math"
)

// atRest is a set that stands still with nothing in its windings and the
// weight straight down.
func (s *system) atRest() []float64 {
	y := make([]float64, s.dim)
	if s.hasGovernor {
		y[atTravel] = (s.weight.Gravity - s.weight.preload) / s.weight.spring
	}
	if s.hasRegulator {
		// the plunger lies on its contact
		y[atPlunger] = -s.regulator.Weight / (s.regulator.Spring + s.regulator.ContactStiffness + 1e-9)
	}
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
		what, part string
		has        bool
		value      float64
		at         int
	}{
		{"speed", "shaft", true, from.Speed, atSpeed},
		{"armature current", "motor", s.hasMotor, from.Armature, atArmature},
		{"field current", "motor", s.hasMotor, from.Field, atField},
		{"field current", "generator", s.hasGenerator, from.GeneratorField, atExciting},
		{"heat", "fuse", s.hasFuse, from.FuseHeat, atFuse},
	} {
		switch {
		case v.value == 0:
			continue
		case !finite(v.value):
			return nil, fmt.Errorf("a set cannot begin with a %s of %g", v.what, v.value)
		case !v.has:
			return nil, fmt.Errorf("a set cannot begin with a %s of its %s: the card has no part [%s]", v.what, v.part, v.part)
		}
		y[v.at] = v.value
	}
	if from.FuseHeat < 0 || s.hasFuse && from.FuseHeat >= s.fuse.MeltingCurrent*s.fuse.MeltingCurrent {
		return nil, fmt.Errorf("a fuse that is not melted cannot have a heat of %g A2", from.FuseHeat)
	}
	if from.Speed < 0 {
		return nil, fmt.Errorf("a set cannot begin at %g turns a second", from.Speed)
	}
	if held > 0 && from.Speed > 0 {
		return nil, fmt.Errorf("a shaft that is held at %g turns a second cannot begin at %g", held, from.Speed)
	}
	n := from.Speed + held // one of them is 0
	w := 2 * math.Pi * n
	y[atSpeed] = w
	if s.hasGovernor && from.Speed > 0 {
		// above its own frequency the weight stays nowhere but at its stop
		y[atTravel] = s.weight.StopTravel
		if stiff := s.weight.spring - w*w; stiff > 0 {
			y[atTravel] = min(s.weight.StopTravel, s.weight.Offset(n)+s.weight.Gravity/stiff)
		}
	}
	return y, nil
}

// guess gives a state from which the set settles soon: near the contact
// speed, or at the held speed, with the nameplate's voltage.
func (s *system) guess(held float64) []float64 {
	y := s.atRest()
	n := 20.0
	switch {
	case held > 0:
		n = held
	case s.hasGovernor:
		n = 0.98 * s.weight.ContactSpeed // off the contact, where the weight would balance
		y[atTravel] = s.weight.Offset(n)
	case s.hasACMotor:
		n = s.acMotor.Synchronous
		if s.acMotor.SynchronousTorque == 0 {
			n *= 1 - s.acMotor.PullOutSlip/4
		}
	}
	y[atSpeed] = 2 * math.Pi * n
	if s.hasGovernor && held > 0 && s.weight.SpringFrequency > 1.2*held {
		y[atTravel] = s.weight.Offset(held) - 1e-5
	}
	electric := 0.0
	if s.hasGenerator {
		k := s.output.Constant
		if g := &s.generator; k == 0 || k >= 0.95*(g.Field.Slope*g.Field.Saturation+g.Field.Residual) {
			k = 0.5 * g.Field.Slope * g.Field.Saturation
		}
		y[atExciting] = s.generator.Field.CurrentFor(k)
		if s.hasRegulator {
			y[atPlunger] = -1e-5
		}
		// the torque of a current e/(R + Ra), or e/Z of the bells, mean over a cycle
		half := k * k * y[atSpeed] / 2
		if s.rheostat > 0 {
			electric = half / (s.rheostat + s.generator.ArmatureResistance)
		}
		if s.bells > 0 {
			z := s.bell.Impedance(n)
			electric += half * s.bells * s.bell.Resistance / (z * z)
		}
	}
	if s.hasMotor {
		y[atField] = s.motor.FieldCurrent(s.battery.Voltage, s.motor.FieldResistor)
		k := s.motor.Field.Constant(y[atField])
		drag := electric + s.load.Torque + s.shaft.LossTorque(n) + s.motor.Iron.LossTorque(k, n)
		y[atArmature] = s.motor.ArmatureCurrent(drag, y[atField])
	}
	if s.hasFuse {
		y[atFuse] = min(y[atArmature]*y[atArmature], 0.9*s.fuse.MeltingCurrent*s.fuse.MeltingCurrent)
	}
	return y
}
