package machine

import "math"

// ACMotor is a synchronous motor on the mains, which starts by the cage in its
// poles and then runs in step. With a SynchronousTorque of 0 it is a plain
// induction motor, which slips.
type ACMotor struct {
	Synchronous       float64 // turns/s: mains frequency over pole pairs
	PolePairs         float64
	SynchronousTorque float64 // N m, greatest in step with the mains
	PullOutTorque     float64 // N m, greatest of the cage
	PullOutSlip       float64

	phase float64 // rad, of the mains against the poles when time and angle are 0
}

func (m *ACMotor) describe(c *constants) {
	var supply float64 // Hz
	c.need("shaft")
	c.add(&supply, "supply-frequency", "Hz", Positive, "frequency of the mains")
	c.add(&m.PolePairs, "pole-pairs", "1", WholeNumber, "pairs of poles of the motor")
	c.add(&m.SynchronousTorque, "synchronous-torque", "N m", NotNegative, "greatest torque in step with the mains; 0 for an induction motor")
	c.add(&m.PullOutTorque, "pull-out-torque", "N m", Positive, "greatest torque of the starting cage")
	c.add(&m.PullOutSlip, "pull-out-slip", "1", Positive, "slip at the cage's greatest torque, as a part of the synchronous speed")
	m.Synchronous = supply / m.PolePairs
}

func (m *ACMotor) flaws(c Card) []Flaw {
	if !c.Has("motor") {
		return nil
	}
	return []Flaw{{Reason: "the set is driven either by a battery or by the mains, not by both",
		Next: "remove the part [ac-motor] or the part [motor]"}}
}

// Torque gives the torque of the cage in N m at a speed in turns a second, by
// the formula of Kloss (from memory): T = 2 T_m/(s/s_m + s_m/s), s the slip.
// In step there is none.
func (m *ACMotor) Torque(speed float64) float64 {
	s := (m.Synchronous - speed) / m.Synchronous
	return 2 * m.PullOutTorque * s * m.PullOutSlip / (s*s + m.PullOutSlip*m.PullOutSlip)
}

// LoadAngle gives the electrical angle in rad by which the poles lag in step
// under a torque in N m: T = T_s sin(delta), round rotor, no resistance
// (A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, chapter on
// synchronous machines; from memory). It gives NaN for a torque that pulls the
// motor out of step.
func (m *ACMotor) LoadAngle(torque float64) float64 { return math.Asin(torque / m.SynchronousTorque) }

// inStep gives the synchronous torque in N m at time t in s with the shaft at
// an angle in rad.
func (m *ACMotor) inStep(t, angle float64) float64 {
	if m.SynchronousTorque == 0 {
		return 0
	}
	return m.SynchronousTorque * math.Sin(m.phase+m.PolePairs*(2*math.Pi*m.Synchronous*t-angle))
}

// later makes a time t the new time 0. The angle may lose whole turns with it,
// which are whole periods of the mains too.
func (m *ACMotor) later(t float64) {
	m.phase = math.Mod(m.phase+m.PolePairs*2*math.Pi*m.Synchronous*t, 2*math.Pi)
}

// acMotor is a motor on the mains at work.
type acMotor struct {
	ACMotor
	shaft      *shaft
	switchOpen bool
	in, heat   int
}

func (m *acMotor) copy() part { c := *m; return &c }

func (m *acMotor) join(s *system) {
	m.shaft = s.shaft
	m.in, m.heat = s.supplies(), s.spends("mains motor's cage")
	s.act(action{what: OpenSwitch, lacks: noSwitch, do: func(*Simulation, Change, []float64) { m.switchOpen = true }})
}

func (m *acMotor) add(x *instant, y, _ []float64) {
	if !m.switchOpen {
		x.torque += m.Torque(x.w/(2*math.Pi)) + m.inStep(x.t, y[m.shaft.angle])
	}
}

func (m *acMotor) account(x *instant, y, lines []float64) {
	if m.switchOpen {
		return
	}
	cage := m.Torque(x.w / (2 * math.Pi))
	sync := 2 * math.Pi * m.Synchronous
	// The field between mains and poles is a spring: what it takes while the
	// poles swing it gives back, so that only what reaches the shaft counts.
	lines[m.in] = cage*sync + m.inStep(x.t, y[m.shaft.angle])*x.w
	lines[m.heat] += cage * (sync - x.w)
}

func (m *acMotor) keep() float64        { return m.phase }
func (m *acMotor) recall(phase float64) { m.phase = phase }
