package machine

import "math"

// State coordinates. A machine without generator and fuse uses the first six
// alone.
const (
	atArmature = iota // motor armature current, A
	atField           // motor field current, A
	atSpeed           // shaft, rad/s
	atAngle           // shaft, rad; 0 when the governor weight is straight down
	atTravel          // governor weight past its contact, m
	atRate            // its speed, m/s
	motorStates

	atExciting    = iota - 1 // generator field current, A
	atRheostat               // current of the load rheostat, A
	atBell                   // current of one bell, A
	atBellVolts              // voltage of its capacitor, V
	atCoil                   // current of the regulator's solenoid, A
	atPlunger                // plunger above the point where its contact touches, m
	atPlungerRate            // its speed, m/s
	atFuse                   // heat of the fuse, A^2
	fullStates
)

// stuck says what a fault does to a contact.
type stuck int

const (
	works stuck = iota
	stuckOpen
	stuckClosed
)

// contact is one of the two vibrating contacts: whether its leaf touches, and
// whether it conducts.
type contact struct {
	touching bool
	stuck    stuck
}

func (c contact) closed() bool { return c.touching && c.stuck == works || c.stuck == stuckClosed }

// system is the machine as one set of equations: each part adds its terms to
// the derivative. A part that is left out is skipped.
type system struct {
	dim          int
	hasMotor     bool
	hasACMotor   bool
	hasGovernor  bool
	hasGenerator bool
	hasRegulator bool
	hasFuse      bool
	held         bool // an outside drive holds the speed
	audit        bool // further coordinates count energy; see audit.go

	battery   Battery
	fuse      Fuse
	motor     Motor
	acMotor   ACMotor
	shaft     Shaft
	weight    weight
	output    Output
	generator Generator
	regulator Regulator
	bell      Bell
	tones     [2]Tone // with no teeth when left out

	// what the load asks for
	load         Load
	rheostat     float64 // ohm; 0 is off
	rheostatTime float64 // s
	bells        float64

	// what is switched
	governing  contact
	regulating contact
	stopped    bool // governor weight at its outer stop
	fallen     bool // governor weight at the axis, its leaf broken
	topped     bool // regulator plunger at its upper stop
	switchOpen bool
	starter    float64 // ohm, in series with the armature
	braking    bool    // the armature is off the battery, with a resistor across it
	brake      float64 // ohm, of that resistor

	// what a fault has done
	leafBroken    bool
	armatureOpen  bool // see openArmature
	brushUp       bool // a motor brush is lifted
	fieldOpen     bool
	blown         bool                          // the fuse
	melted        struct{ at, current float64 } // s and A, of a blown fuse
	coilOpen      bool
	plungerStuck  bool
	brushLifted   bool // of the generator's commutator
	ringLifted    bool
	polarity      float64 // -1 with the generator's field leads reversed
	coilOnBrushes bool    // the regulator's coil is fed with direct current

	sinAngle, cosAngle float64 // of the rings' keying
}

func newSystem(c Card, how Setup) system {
	s := system{dim: motorStates, held: how.HeldSpeed > 0, polarity: 1, coilOnBrushes: how.CoilOnBrushes}
	c.Read("shaft", &s.shaft)
	if s.hasMotor = c.Read("motor", &s.motor); s.hasMotor {
		c.Read("battery", &s.battery)
	}
	s.hasACMotor = c.Read("ac-motor", &s.acMotor)
	var g Governor
	if s.hasGovernor = c.Read("governor", &g); s.hasGovernor {
		g.Gravity = how.Pull()
		s.weight = newWeight(g)
	}
	c.Read("output", &s.output)
	s.sinAngle, s.cosAngle = math.Sincos(s.output.Angle)
	if s.hasGenerator = c.Read("generator", &s.generator); s.hasGenerator {
		s.dim = fullStates
		s.hasRegulator = c.Read("regulator", &s.regulator)
	}
	if s.hasFuse = s.hasMotor && c.Read("fuse", &s.fuse); s.hasFuse {
		s.dim = fullStates
	}
	var r Rheostat
	c.Read("rheostat", &r)
	s.rheostatTime = r.TimeConstant
	c.Read("bell", &s.bell)
	c.Read("low-tone", &s.tones[0])
	c.Read("high-tone", &s.tones[1])
	s.audit = how.Audit
	if s.audit {
		s.dim = auditStates
	}
	return s
}

// derivative writes dy/dt. The shaft obeys
//
//	(J + m rho^2) w' = T_motor - T_generator - T_load - T_loss - m rho (g sin th + 2 v w)
//
// with rho the governor weight's distance from the axis.
func (s *system) derivative(t float64, y, d []float64) {
	y, d = y[:s.dim], d[:s.dim]
	clear(d)
	w := y[atSpeed]
	dir := direction(w)
	drive := -s.shaft.loss(w, dir) - s.load.Torque*dir
	inertia := s.shaft.Inertia
	sin, cos := math.Sincos(y[atAngle])

	if s.hasMotor {
		drive += s.drive(s.battery.source(t), y, d, w, dir)
		if s.hasFuse && !s.blown {
			through := y[atArmature]
			if s.braking {
				through = 0
			}
			d[atFuse] = s.fuse.rate(y[atFuse], through)
		}
	}
	if s.hasACMotor && !s.switchOpen {
		drive += s.acMotor.Torque(w/(2*math.Pi)) + s.acMotor.inStep(t, y[atAngle])
	}
	if s.hasGenerator {
		drive -= s.generate(y, d, w, dir, sin*s.cosAngle+cos*s.sinAngle)
	}
	for i := range s.tones {
		if t := &s.tones[i]; t.Teeth > 0 {
			drive -= t.drag(w)
		}
	}
	if s.hasGovernor {
		torque, moment := s.swing(y, d, w, sin, cos)
		drive += torque
		inertia += moment
	}
	d[atAngle] = w
	if !s.held {
		d[atSpeed] = drive / inertia
	}
	if s.audit {
		s.account(t, y, d, drive)
	}
}

// hasOutput says whether anything stands at the rings: a generator, or the
// winding that the nameplate speaks of.
func (s *system) hasOutput() bool { return s.hasGenerator || s.output.Constant > 0 }

// usual gives the speed in turns a second at which the machine usually works,
// or 0 when nothing says it.
func (s *system) usual() float64 {
	if s.hasGovernor {
		return s.weight.ContactSpeed
	}
	return s.output.Frequency
}

// longestStep is a thirtieth of a turn. Where no contact works, DOP853 takes
// longer ones, and its dense output, off which turns and crossings are read, is
// then a hundred times less exact than its steps.
func (s *system) longestStep() float64 {
	if n := s.usual(); n > 0 {
		return 1 / (30 * n)
	}
	return 0
}

// how small each coordinate may be and still count, for the error norm
func (s *system) scale() []float64 {
	all := [auditStates]float64{
		atArmature:    1,
		atField:       0.1,
		atSpeed:       1,
		atAngle:       1,
		atTravel:      1e-4,
		atRate:        1e-2,
		atExciting:    0.1,
		atRheostat:    1,
		atBell:        0.01,
		atBellVolts:   10,
		atCoil:        0.01,
		atPlunger:     1e-4,
		atPlungerRate: 1e-2,
		atFuse:        1,
	}
	for i := fullStates; i < auditStates; i++ {
		all[i] = 1
	}
	return all[:s.dim:s.dim]
}

// busVoltage is the voltage at the motor, in V.
func (s *system) busVoltage(t float64, y []float64) float64 {
	switch {
	case !s.hasMotor:
		return 0
	case s.switchOpen && s.braking:
		return terminal(0, s.brake, y[atArmature]+y[atField])
	case s.switchOpen:
		return s.motor.ArmatureVoltage(emf(s.motor.Field.Constant(y[atField]), y[atSpeed]), -y[atArmature], s.starter)
	}
	return terminal(s.battery.source(t), s.battery.Resistance, s.batteryCurrent(y))
}

// batteryCurrent is what the battery gives, in A.
func (s *system) batteryCurrent(y []float64) float64 {
	switch {
	case s.switchOpen:
		return 0
	case s.braking:
		return y[atField]
	}
	return y[atArmature] + y[atField]
}

// openArmature works out whether the armature's circuit is open: a brush is
// lifted, or the fuse between it and the battery has melted.
func (s *system) openArmature() { s.armatureOpen = s.brushUp || s.blown && !s.braking }

// electric gives what stands at the generator at a state, for observers.
func (s *system) electric(y []float64) circuits {
	sin := math.Sin(y[atAngle] + s.output.Angle)
	if !s.hasGenerator {
		e := emf(s.output.Constant, y[atSpeed])
		return circuits{crest: e, emf: e * sin, ac: e * sin}
	}
	return s.circuits(y, y[atSpeed], s.generator.Field.Constant(y[atExciting]), sin)
}
