package machine

import "math"

// State coordinates. A machine without a generator uses the first six alone.
const (
	atArmature = iota // motor armature current, A
	atField           // motor field current, A
	atSpeed           // shaft, rad/s
	atAngle           // shaft, rad; 0 when the governor weight is straight down
	atTravel          // governor weight past its contact, m
	atRate            // its speed, m/s
	motorStates
)

// Levels that the solver watches.
const (
	guardContact = iota // the governor contact
	guardStop           // the governor's outer stop
	motorGuards
)

// system is the machine as one set of equations: each part adds its terms to
// the derivative. A part that is left out is skipped.
type system struct {
	dim         int
	hasMotor    bool
	hasGovernor bool
	held        bool // an outside drive holds the speed

	battery Battery
	motor   Motor
	shaft   Shaft
	weight  weight
	output  Output
	load    Load

	closed  bool // governor contact
	stopped bool // governor weight at its outer stop
}

// Load is what the set has to drive. The zero value is an idle set.
type Load struct {
	Torque float64 // N m, a brake on the shaft
}

func newSystem(c Card, how Setup) system {
	s := system{dim: motorStates, held: how.HeldSpeed > 0}
	s.shaft = NewShaft(*c.Shaft)
	if c.Motor != nil {
		s.hasMotor = true
		s.battery = NewBattery(*c.Battery)
		s.motor = NewMotor(*c.Motor)
	}
	if c.Governor != nil {
		s.hasGovernor = true
		g := NewGovernor(*c.Governor)
		if how.Upright {
			g.Gravity = 0
		}
		s.weight = newWeight(g)
	}
	if c.Output != nil {
		s.output = NewOutput(*c.Output)
	}
	return s
}

// derivative writes dy/dt. The shaft obeys
//
//	(J + m rho^2) w' = K Ia - T_load - T_loss - m rho (g sin th + 2 v w)
//
// with rho the weight's distance from the axis.
func (s *system) derivative(_ float64, y, d []float64) {
	_ = y[motorStates-1]
	_ = d[motorStates-1]
	w := y[atSpeed]
	dir := direction(w)
	drive := -s.shaft.loss(w, dir) - s.load.Torque*dir
	inertia := s.shaft.Inertia

	if s.hasMotor {
		ia, fi := y[atArmature], y[atField]
		k, slope := s.motor.Field.at(fi)
		added := s.motor.FieldResistor
		if s.closed {
			added = 0
		}
		d[atArmature], d[atField] = s.motor.derivative(s.battery.Terminal(ia+fi), 0, added, ia, fi, w, k, slope)
		drive += torque(k, ia) - s.motor.Iron.loss(k, w, dir)
	}
	if s.hasGovernor {
		g := &s.weight
		travel, rate := y[atTravel], y[atRate]
		sin, cos := math.Sincos(y[atAngle])
		d[atTravel] = rate
		d[atRate] = g.acceleration(travel, rate, w, cos, s.closed, s.stopped)
		moment := g.Weight * (g.Radius + travel)
		drive -= moment * (g.Gravity*sin + 2*rate*w)
		inertia += moment * (g.Radius + travel)
	}
	d[atAngle] = w
	if s.held {
		d[atSpeed] = 0
	} else {
		d[atSpeed] = drive / inertia
	}
}

// how small each coordinate may be and still count, for the error norm
func (s *system) scale() []float64 {
	return []float64{
		atArmature: 1,
		atField:    0.1,
		atSpeed:    1,
		atAngle:    1,
		atTravel:   1e-4,
		atRate:     1e-2,
	}
}

// busVoltage is the voltage at the motor, in V.
func (s *system) busVoltage(y []float64) float64 {
	if !s.hasMotor {
		return 0
	}
	return s.battery.Terminal(y[atArmature] + y[atField])
}

// outputVoltage is the voltage at the slip rings, in V.
func (s *system) outputVoltage(y []float64) float64 {
	return s.output.emf(y[atSpeed], y[atAngle])
}

// guess gives a state from which the set settles soon: near the contact
// speed, or at the held speed.
func (s *system) guess(held float64) []float64 {
	y := make([]float64, s.dim)
	n := 20.0
	if s.hasGovernor {
		n = 0.98 * s.weight.ContactSpeed // off the contact, where the weight would balance
	}
	if held > 0 {
		n = held
	}
	w := 2 * math.Pi * n
	y[atSpeed] = w
	if s.hasMotor {
		y[atField] = s.motor.FieldCurrent(s.battery.Voltage, s.motor.FieldResistor)
		k := s.motor.Field.Constant(y[atField])
		drag := s.load.Torque + s.shaft.LossTorque(n) + s.motor.Iron.LossTorque(k, n)
		y[atArmature] = s.motor.ArmatureCurrent(drag, y[atField])
	}
	return y
}
