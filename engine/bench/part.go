package bench

import "slipring/engine/machine"

// part gives a part of the set's card with its constants as numbers.
func part[T any, P interface {
	*T
	machine.Model
}](s *Set, name string) *T {
	s.need(name)
	model := new(T)
	s.card.Read(name, P(model))
	return model
}

// Motor gives the set's motor, with its steady-state formulas.
func (s *Set) Motor() *machine.Motor {
	return part[machine.Motor](s, "motor")
}

// Shaft gives the set's shaft, with its mechanical losses.
func (s *Set) Shaft() *machine.Shaft {
	return part[machine.Shaft](s, "shaft")
}

// Governor gives the set's governor, with its closed forms.
func (s *Set) Governor() *machine.Governor {
	g := part[machine.Governor](s, "governor")
	g.Gravity = s.how.Pull()
	return g
}

// Generator gives the set's generator, with its open-circuit curve.
func (s *Set) Generator() *machine.Generator {
	return part[machine.Generator](s, "generator")
}

// Regulator gives the set's voltage regulator.
func (s *Set) Regulator() *machine.Regulator {
	return part[machine.Regulator](s, "regulator")
}

// Fuse gives the fuse in the armature circuit.
func (s *Set) Fuse() *machine.Fuse {
	return part[machine.Fuse](s, "fuse")
}

// Bell gives one of the bells.
func (s *Set) Bell() *machine.Bell {
	return part[machine.Bell](s, "bell")
}

// FullLoad gives the load that the card calls full: so many bells, and lamps as
// a resistance. Its parts alone are machine.Load{Bells: full.Bells} and
// machine.Load{Resistance: full.Resistance}.
func (s *Set) FullLoad() machine.Load {
	return machine.Load(*part[machine.FullLoad](s, "full-load"))
}

// LowTone gives the tone wheel of the low tone.
func (s *Set) LowTone() *machine.Tone {
	return part[machine.Tone](s, "low-tone")
}

// HighTone gives the tone wheel of the high tone.
func (s *Set) HighTone() *machine.Tone {
	return part[machine.Tone](s, "high-tone")
}

// OpenFractionRule gives the part of a turn for which the governor contact is
// open at a speed in turns a second, by the closed form for a free contact:
// machine.Governor.OpenFraction.
func (s *Set) OpenFractionRule(speed float64) float64 { return s.Governor().OpenFraction(speed) }

// OpenFractionAt gives the part of a turn for which the governor contact is
// open when the shaft is held at a speed in turns a second, computed step by
// step, contact spring and all.
func (s *Set) OpenFractionAt(speed float64) float64 {
	s.need("governor")
	return s.Held(speed).OpenFraction
}

// Band gives the slowest and the fastest speed, in turns a second, at which
// the governor can steer, by the closed form for a free contact:
// machine.Governor.BandLow and machine.Governor.BandHigh.
func (s *Set) Band() (low, high float64) {
	g := s.Governor()
	return g.BandLow(), g.BandHigh()
}

// SpeedRegulation gives by which part of its speed under the load the set is
// faster idle.
func (s *Set) SpeedRegulation(load machine.Load) float64 {
	return machine.Regulation(s.Steady(machine.Load{}).Frequency, s.Steady(load).Frequency)
}

// VoltageRegulation gives by which part of its output voltage under the load
// the set's voltage is higher idle.
func (s *Set) VoltageRegulation(load machine.Load) float64 {
	return machine.Regulation(s.Steady(machine.Load{}).OutputVoltage, s.Steady(load).OutputVoltage)
}
