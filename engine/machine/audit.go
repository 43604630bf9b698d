package machine

import "math"

// With Setup.Audit, further coordinates of the state count energy in J: what
// comes in, and each way in which it goes.
const (
	fromBattery = fullStates + iota
	fromMains
	fromDrive // the outside drive of a held shaft
	inBattery
	inArmature
	inBraking
	inBrushes
	inField
	inIron
	inFriction
	inBrake
	inGovernor
	inRotor
	inGeneratorArmature
	inGeneratorField
	inGeneratorIron
	inRheostat
	inBells
	inCoil
	inPlunger
	inTones
	auditStates
)

// Audit is where the energy of a run went, in J.
type Audit struct {
	Supplied float64
	Spent    []Spent
	Stored   float64 // rise of what windings, capacitors, springs and masses hold
	Arcs     float64 // lost from what is stored at the instants when something was switched
	Missing  float64 // Supplied - Spent - Stored - Arcs, which should be 0
}

// Spent is energy in J that went one way.
type Spent struct {
	Where string
	Joule float64
}

// Audit adds up the energy of the time since the simulation began. The machine
// must have been made with Setup.Audit.
func (s *Simulation) Audit() Audit {
	y := s.solver.State()
	if !s.sys.audit {
		return Audit{}
	}
	a := Audit{
		Supplied: y[fromBattery] + y[fromMains] + y[fromDrive],
		Stored:   s.sys.stored(y) - s.storedAtStart,
		Arcs:     s.arcs,
	}
	a.Missing = a.Supplied - a.Stored - a.Arcs
	for _, w := range []struct {
		where string
		at    int
	}{
		{"battery", inBattery}, {"motor armature and starter", inArmature}, {"braking resistor", inBraking}, {"motor brushes", inBrushes},
		{"motor field", inField}, {"motor iron", inIron}, {"mains motor's cage", inRotor},
		{"bearings and air", inFriction}, {"brake", inBrake}, {"governor", inGovernor},
		{"generator armature", inGeneratorArmature}, {"generator field", inGeneratorField}, {"generator iron", inGeneratorIron},
		{"rheostat", inRheostat}, {"bells", inBells}, {"regulator coil", inCoil}, {"regulator plunger", inPlunger}, {"tones", inTones},
	} {
		a.Spent = append(a.Spent, Spent{w.where, y[w.at]})
		a.Missing -= y[w.at]
	}
	return a
}

// account adds the powers, given all of the derivative and the torque in N m
// on the shaft with the weight's reaction in it.
func (s *system) account(t float64, y, d []float64, torque float64) {
	w := y[atSpeed]
	dir := direction(w)
	if s.held {
		d[fromDrive] = -torque * w
	}
	if s.hasMotor {
		s.accountMotor(t, y, d, w, dir)
	}
	if s.hasACMotor && !s.switchOpen {
		m := s.acMotor.Torque(w / (2 * math.Pi))
		sync := 2 * math.Pi * s.acMotor.Synchronous
		// The field between mains and poles is a spring: what it takes while the
		// poles swing it gives back, so that only what reaches the shaft counts.
		d[fromMains] = m*sync + s.acMotor.inStep(t, y[atAngle])*w
		d[inRotor] = m * (sync - w)
	}
	d[inFriction] = s.shaft.loss(w, dir) * w
	d[inBrake] = s.load.Torque * dir * w
	for i := range s.tones {
		if t := &s.tones[i]; t.Teeth > 0 {
			d[inTones] += t.drag(w) * w
		}
	}
	if s.hasGovernor {
		g := &s.weight
		travel, rate := y[atTravel], y[atRate]
		lost := g.damp * rate
		if s.governing.touching {
			lost += g.contactForce(travel, rate) - g.contact*travel
		}
		if s.stopped || s.fallen {
			lost += g.stopBy * rate
		}
		d[inGovernor] = g.Weight * lost * rate
	}
	if s.hasGenerator {
		s.accountGenerator(y, d, w, dir)
	}
}

func (s *system) accountMotor(t float64, y, d []float64, w, dir float64) {
	m := &s.motor
	ia, fi := y[atArmature], y[atField]
	i := s.batteryCurrent(y)
	d[fromBattery] = s.battery.source(t) * i
	d[inBattery] = s.battery.Resistance * i * i
	d[inArmature] = (m.ArmatureResistance + s.starter) * ia * ia
	if s.braking {
		through := ia
		if s.switchOpen {
			through += fi
		}
		d[inArmature] = m.ArmatureResistance * ia * ia
		d[inBraking] = s.brake * through * through
	}
	d[inBrushes] = m.brush(ia) * ia
	r := m.FieldResistance
	if !s.governing.closed() {
		r += m.FieldResistor
	}
	d[inField] = r * fi * fi
	d[inIron] = m.Iron.loss(m.Field.Constant(fi), w, dir) * w
}

func (s *system) accountGenerator(y, d []float64, w, dir float64) {
	g := &s.generator
	ig := y[atExciting]
	k := g.Field.Constant(ig)
	sin := math.Sin(y[atAngle] + s.output.Angle)
	c := s.circuits(y, w, k, sin)
	d[inGeneratorArmature] = g.ArmatureResistance * (c.idc*c.idc + 2*c.idc*c.iac*sin + c.iac*c.iac)
	r := g.FieldResistance
	if s.hasRegulator && !s.regulating.closed() {
		r += g.FieldResistor
	}
	d[inGeneratorField] = r * ig * ig
	d[inGeneratorIron] = g.Iron.loss(k, w, dir) * w
	d[inRheostat] = s.rheostat * y[atRheostat] * y[atRheostat]
	d[inBells] = s.bells * s.bell.Resistance * y[atBell] * y[atBell]
	if s.hasRegulator {
		q := &s.regulator
		z, rate := y[atPlunger], y[atPlungerRate]
		d[inCoil] = q.CoilResistance * y[atCoil] * y[atCoil]
		lost := q.Damping * rate
		if s.regulating.touching {
			lost += q.ContactStiffness * z * (max(0, 1-q.ContactLoss*rate) - 1)
		}
		if s.topped {
			lost += q.StopStiffness * (z - q.StopTravel) * (max(0, 1+q.StopLoss*rate) - 1)
		}
		d[inPlunger] = lost * rate
	}
}

// stored is the energy in J that windings, capacitors, springs and masses
// hold at a state.
func (s *system) stored(y []float64) float64 {
	w := y[atSpeed]
	e := s.shaft.Inertia * w * w / 2
	if s.hasMotor {
		e += s.motor.ArmatureInductance*y[atArmature]*y[atArmature]/2 + s.motor.Field.Stored(y[atField])
	}
	if s.hasGovernor {
		g := &s.weight
		travel, rate := y[atTravel], y[atRate]
		rho := g.Radius + travel
		m := rho*rho*w*w/2 + rate*rate/2 - g.Gravity*rho*math.Cos(y[atAngle])
		if !s.leafBroken {
			m += g.preload*travel + g.spring*travel*travel/2
		}
		if s.governing.touching {
			m += g.contact * travel * travel / 2
		}
		if s.stopped {
			m += g.stop * (travel - g.StopTravel) * (travel - g.StopTravel) / 2
		}
		if s.fallen {
			m += g.stop * (travel - g.innermost()) * (travel - g.innermost()) / 2
		}
		e += g.Weight * m
	}
	if !s.hasGenerator {
		return e
	}
	g := &s.generator
	iac := s.electric(y).iac
	e += g.Field.Stored(y[atExciting]) + g.ArmatureInductance*iac*iac/2
	e += s.rheostatTime * s.rheostat * y[atRheostat] * y[atRheostat] / 2
	e += s.bells * (s.bell.Inductance*y[atBell]*y[atBell] + s.bell.Capacitance*y[atBellVolts]*y[atBellVolts]) / 2
	if s.hasRegulator {
		q := &s.regulator
		z, rate := y[atPlunger], y[atPlungerRate]
		e += q.inductance(z)*y[atCoil]*y[atCoil]/2 + q.Mass*rate*rate/2 + q.Weight*z + q.Spring*z*z/2
		if s.regulating.touching {
			e += q.ContactStiffness * z * z / 2
		}
		if s.topped {
			e += q.StopStiffness * (z - q.StopTravel) * (z - q.StopTravel) / 2
		}
	}
	return e
}
