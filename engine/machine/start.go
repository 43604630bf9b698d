package machine

import "math"

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
		if s.rheostat > 0 {
			e := emf(k, y[atSpeed])
			electric = e * e / 2 / s.rheostat / y[atSpeed]
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
