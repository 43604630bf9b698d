package bench

import "slipring/engine/machine"

// Motor gives the set's motor, with its steady-state formulas.
func (s *Set) Motor() *machine.Motor {
	s.need("motor", s.card.Motor != nil)
	m := machine.NewMotor(*s.card.Motor)
	return &m
}

// Shaft gives the set's shaft, with its mechanical losses.
func (s *Set) Shaft() *machine.Shaft {
	s.need("shaft", s.card.Shaft != nil)
	h := machine.NewShaft(*s.card.Shaft)
	return &h
}

// Governor gives the set's governor, with its closed forms.
func (s *Set) Governor() *machine.Governor {
	s.need("governor", s.card.Governor != nil)
	g := machine.NewGovernor(*s.card.Governor)
	g.Gravity = s.how.Pull()
	return &g
}

// Generator gives the set's generator, with its open-circuit curve.
func (s *Set) Generator() *machine.Generator {
	s.need("generator", s.card.Generator != nil)
	g := machine.NewGenerator(*s.card.Generator)
	return &g
}

// Regulator gives the set's voltage regulator.
func (s *Set) Regulator() *machine.Regulator {
	s.need("regulator", s.card.Regulator != nil)
	r := machine.NewRegulator(*s.card.Regulator)
	return &r
}

// Fuse gives the fuse in the armature circuit.
func (s *Set) Fuse() *machine.Fuse {
	s.need("fuse", s.card.Fuse != nil)
	f := machine.NewFuse(*s.card.Fuse)
	return &f
}

// Bell gives one of the bells.
func (s *Set) Bell() *machine.Bell {
	s.need("bell", s.card.Bell != nil)
	b := machine.NewBell(*s.card.Bell)
	return &b
}

// FullLoad gives the load that the card calls full: so many bells, and lamps as
// a resistance. Its parts alone are machine.Load{Bells: full.Bells} and
// machine.Load{Resistance: full.Resistance}.
func (s *Set) FullLoad() machine.Load {
	s.need("full-load", s.card.FullLoad != nil)
	return machine.NewFullLoad(*s.card.FullLoad)
}

// LowTone gives the tone wheel of the low tone.
func (s *Set) LowTone() *machine.Tone {
	s.need("low-tone", s.card.LowTone != nil)
	t := machine.NewTone(*s.card.LowTone)
	return &t
}

// HighTone gives the tone wheel of the high tone.
func (s *Set) HighTone() *machine.Tone {
	s.need("high-tone", s.card.HighTone != nil)
	t := machine.NewTone(*s.card.HighTone)
	return &t
}

// OpenFractionRule gives the part of a turn for which the governor contact is
// open at a speed in turns a second, by the closed form for a free contact:
// machine.Governor.OpenFraction.
func (s *Set) OpenFractionRule(speed float64) float64 { return s.Governor().OpenFraction(speed) }

// OpenFractionAt gives the part of a turn for which the governor contact is
// open when the shaft is held at a speed in turns a second, computed step by
// step, contact spring and all.
func (s *Set) OpenFractionAt(speed float64) float64 {
	s.need("governor", s.card.Governor != nil)
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
