package machine

import (
	"fmt"
	"math"

	"slipring/engine/waveform"
)

// Motor is the shunt motor. Its simulation is made of the methods below, so
// that a textbook example can be held against each.
type Motor struct {
	ArmatureResistance float64 // ohm
	ArmatureInductance float64 // H
	BrushDrop          float64 // V
	BrushDropCurrent   float64 // A
	FieldResistance    float64 // ohm
	FieldResistor      float64 // ohm, shorted by the governor contact
	Field              Magnetization
	Iron               Iron
}

func (m *Motor) describe(c *constants) {
	c.need("battery", "shaft")
	c.add(&m.ArmatureResistance, "armature-resistance", "ohm", Positive, "resistance of the armature winding and commutator")
	c.add(&m.ArmatureInductance, "armature-inductance", "H", Positive, "inductance of the armature")
	c.add(&m.BrushDrop, "brush-drop", "V", NotNegative, "voltage lost at the brushes under a good current")
	c.add(&m.BrushDropCurrent, "brush-drop-current", "A", Positive, "armature current at which 71 % of the brush drop is reached")
	c.add(&m.FieldResistance, "field-resistance", "ohm", Positive, "resistance of the shunt field winding")
	c.add(&m.FieldResistor, "field-resistor", "ohm", Positive, "resistor in the field circuit that the governor contact shorts")
	m.Field.describe(c)
	m.Iron.describe(c)
}

// ArmatureVoltage gives the voltage in V that is left for the back EMF when
// the armature carries a current in A at a terminal voltage in V, with
// resistance added ohms in series:
//
//	E = V - (Ra + added) I - drop I/sqrt(I^2 + I0^2)
func (m *Motor) ArmatureVoltage(terminal, current, added float64) float64 {
	return terminal - (m.ArmatureResistance+added)*current - m.brush(current)
}

// brush is the voltage lost at the brushes
func (m *Motor) brush(current float64) float64 {
	return m.BrushDrop * current / math.Sqrt(current*current+m.BrushDropCurrent*m.BrushDropCurrent)
}

// BackEMF gives the EMF in V at a field current in A and a speed in turns a
// second: E = K(i) 2 pi n.
func (m *Motor) BackEMF(field, speed float64) float64 {
	return emf(m.Field.Constant(field), 2*math.Pi*speed)
}

// Torque gives the electromagnetic torque in N m: T = K(i) I.
func (m *Motor) Torque(field, armature float64) float64 {
	return torque(m.Field.Constant(field), armature)
}

// FieldCurrent gives the steady field current in A at a terminal voltage in V
// with resistance added ohms in the field circuit.
func (m *Motor) FieldCurrent(terminal, added float64) float64 {
	return terminal / (m.FieldResistance + added)
}

// Speed gives the steady speed in turns a second at a terminal voltage in V, an
// armature current and a field current in A, with resistance added ohms in
// the armature circuit: n = E / (2 pi K).
func (m *Motor) Speed(terminal, armature, field, added float64) float64 {
	return m.ArmatureVoltage(terminal, armature, added) / (2 * math.Pi * m.Field.Constant(field))
}

// ArmatureCurrent gives the steady armature current in A that makes a torque
// in N m with a field current in A: I = T / K(i).
func (m *Motor) ArmatureCurrent(torque, field float64) float64 {
	return torque / m.Field.Constant(field)
}

// StalledCurrent gives the armature current in A of a motor that stands still
// on a terminal voltage in V with resistance added ohms in series.
func (m *Motor) StalledCurrent(terminal, added float64) float64 {
	return m.currentAt(terminal, 0, added)
}

// the armature current at which ArmatureVoltage equals a back EMF
func (m *Motor) currentAt(terminal, back, added float64) float64 {
	r := m.ArmatureResistance + added
	i := (terminal - back) / r
	for range 60 {
		// Newton's rule; the voltage falls with the current, so it converges
		h := math.Sqrt(i*i + m.BrushDropCurrent*m.BrushDropCurrent)
		slope := r + m.BrushDrop*m.BrushDropCurrent*m.BrushDropCurrent/(h*h*h)
		step := (m.ArmatureVoltage(terminal, i, added) - back) / slope
		i += step
		if math.Abs(step) < 1e-13*(1+math.Abs(i)) {
			break
		}
	}
	return i
}

// AddedResistance gives the resistance in ohm to put in series with the
// armature for it to carry a current in A at a terminal voltage and a back
// EMF, both in V: a starter's resistance when the back EMF is 0.
func (m *Motor) AddedResistance(terminal, back, current float64) float64 {
	return (m.ArmatureVoltage(terminal, current, 0) - back) / current
}

func emf(constant, angular float64) float64    { return constant * angular }
func torque(constant, current float64) float64 { return constant * current }

// What can happen to a motor.
const (
	OpenSwitch       Action = "main switch opens" // the set coasts
	BrakeArmature    Action = "armature braked"   // it is taken off the battery, and a resistor put across it; the field stays
	MotorFieldOpen   Action = "motor field open"
	MotorFieldHot    Action = "motor field hot"
	MotorBrushLifted Action = "motor brush lifted"
)

// motor is the motor at work.
type motor struct {
	Motor
	battery *battery
	others  []*motor // on the same battery
	contact *contact // that shorts the field resistor
	fuse    *fuse    // before the armature; nil when there is none
	shaft   *shaft

	armature, field int

	series       float64 // ohm, of a starter
	switchOpen   bool
	braking      bool    // the armature is off the battery, with a resistor across it
	brake        float64 // ohm, of that resistor
	armatureOpen bool    // see closes
	brushUp      bool    // a brush is lifted
	fieldOpen    bool

	inArmature, inBraking, inBrushes, inField, inIron int
}

func (m *motor) copy() part { c := *m; return &c }

func (m *motor) set(how Setup) {
	m.series = how.Starter
	for _, r := range how.Notches {
		m.series += r
	}
}

func (m *motor) join(s *system) {
	m.battery, m.fuse, m.shaft, m.contact = first[*battery](s), partner[*fuse](s, m), s.shaft, new(contact)
	m.others = nil
	each(s, func(other *motor) {
		if other != m {
			m.others = append(m.others, other)
		}
	})
	if g := partner[*governor](s, m); g != nil {
		m.contact = &g.governing
	}
	m.armature = s.state("armature current", 1, true)
	m.field = s.state("field current", 0.1, true)
	s.shows("field current", "A", waveform.Current, m.field, 1)
	s.shows("armature current", "A", waveform.Current, m.armature, 1)
	s.signal("bus voltage", "V", waveform.Voltage, m.bus)
	m.inArmature, m.inBraking, m.inBrushes = s.spends("motor armature and starter"), s.spends("braking resistor"), s.spends("motor brushes")
	m.inField, m.inIron = s.spends("motor field"), s.spends("motor iron")
	m.actions(s)
}

func (m *motor) actions(s *system) {
	s.act(action{what: OpenSwitch, lacks: noSwitch, do: m.openSwitch})
	across := func(c Change) error {
		return fmt.Errorf("a resistor of %g ohm cannot be put across a motor's armature", c.Amount)
	}
	s.act(action{
		what:  BrakeArmature,
		lacks: across,
		check: func(c Change) error {
			if !(c.Amount > 0) {
				return across(c)
			}
			return nil
		},
		do: func(_ *Simulation, c Change, _ []float64) { m.braking, m.brake = true, c.Amount },
	})
	s.fault(MotorFieldOpen, "The motor's field circuit is broken, and only what magnetism the iron keeps is left.",
		func() { m.fieldOpen = true })
	s.fault(MotorFieldHot, "The motor's field winding is hot, and its resistance a fifth higher.",
		func() { m.FieldResistance *= 1.2 })
	s.fault(MotorBrushLifted, "A brush of the motor is off its commutator, so the armature carries no current.",
		func() { m.brushUp = true })
}

func noSwitch(Change) error { return fmt.Errorf("there is no motor whose switch could open") }

// add adds the motor's circuits, and its torque with its iron loss taken off.
func (m *motor) add(x *instant, y, d []float64) {
	ia, fi := y[m.armature], y[m.field]
	k, slope := m.Field.at(fi)
	added := m.FieldResistor
	if m.contact.closed() {
		added = 0
	}
	inductance := m.Field.Leakage + m.Field.Linkage*slope
	resistance := m.FieldResistance + added
	back := emf(k, x.w)
	switch {
	case m.braking:
		// the field stays on the battery, or on the resistor with the switch open
		v := terminal(0, m.brake, ia+fi)
		across := v
		if !m.switchOpen {
			v, across = m.supply(x.t, fi, y), terminal(0, m.brake, ia)
		}
		d[m.armature] = (m.ArmatureVoltage(across, ia, 0) - back) / m.ArmatureInductance
		d[m.field] = (v - resistance*fi) / inductance
	case !m.switchOpen:
		v := m.supply(x.t, ia+fi, y)
		d[m.armature] = (m.ArmatureVoltage(v, ia, m.series) - back) / m.ArmatureInductance
		d[m.field] = (v - resistance*fi) / inductance
	case m.armatureOpen || m.fieldOpen:
	default:
		// off the battery, the armature feeds the field: i_a = -i_f
		d[m.field] = (back - (m.ArmatureResistance+m.series)*fi - m.brush(fi) - resistance*fi) / (inductance + m.ArmatureInductance)
		d[m.armature] = -d[m.field]
	}
	if m.armatureOpen {
		d[m.armature] = 0
	}
	if m.fieldOpen {
		d[m.field] = 0
	}
	x.torque += torque(k, ia) - m.Iron.loss(k, x.w, x.dir)
}

// draws is what the motor takes from the battery, in A.
func (m *motor) draws(y []float64) float64 {
	switch {
	case m.switchOpen:
		return 0
	case m.braking:
		return y[m.field]
	}
	return y[m.armature] + y[m.field]
}

// bus is the voltage at the motor, in V.
func (m *motor) bus(t float64, y []float64) float64 {
	switch {
	case m.switchOpen && m.braking:
		return terminal(0, m.brake, y[m.armature]+y[m.field])
	case m.switchOpen:
		return m.ArmatureVoltage(emf(m.Field.Constant(y[m.field]), y[m.shaft.speed]), -y[m.armature], m.series)
	}
	return m.supply(t, m.draws(y), y)
}

// supply is the voltage of the battery at a time in s, with the motor drawing a
// current in A beside what others draw.
func (m *motor) supply(t, current float64, y []float64) float64 {
	for _, other := range m.others {
		current += other.draws(y)
	}
	return terminal(m.battery.source(t), m.battery.Resistance, current)
}

// openSwitch opens the main switch. The armature current has to turn round
// into the field's loop; the flux of both windings together stays.
func (m *motor) openSwitch(_ *Simulation, _ Change, y []float64) {
	if !m.switchOpen && !m.braking && !m.armatureOpen && !m.fieldOpen {
		l := m.Field.Inductance(y[m.field])
		la := m.ArmatureInductance
		y[m.field] = (l*y[m.field] - la*y[m.armature]) / (l + la)
		y[m.armature] = -y[m.field]
	}
	m.switchOpen = true
}

// closes works out whether the armature's circuit is open: a brush is lifted,
// or the fuse between it and the battery has melted.
func (m *motor) closes() {
	m.armatureOpen = m.brushUp || m.fuse != nil && m.fuse.blown && !m.braking
}

func (m *motor) still(y []float64) {
	loop := m.switchOpen && !m.braking
	if m.armatureOpen || loop && m.fieldOpen {
		y[m.armature] = 0
	}
	if m.fieldOpen || loop && m.armatureOpen {
		y[m.field] = 0
	}
}

func (m *motor) give(e *estimate, y []float64) {
	y[m.field] = m.FieldCurrent(m.battery.Voltage, m.FieldResistor)
	k := m.Field.Constant(y[m.field])
	drag := e.electric + m.shaft.brake + m.shaft.LossTorque(e.speed) + m.Iron.LossTorque(k, e.speed)
	y[m.armature] = m.ArmatureCurrent(drag, y[m.field])
}

func (m *motor) account(x *instant, y, lines []float64) {
	ia, fi := y[m.armature], y[m.field]
	series := m.series
	if m.braking {
		series = 0
		through := ia
		if m.switchOpen {
			through += fi
		}
		lines[m.inBraking] += m.brake * through * through
	}
	lines[m.inArmature] += (m.ArmatureResistance + series) * ia * ia
	lines[m.inBrushes] += m.brush(ia) * ia
	r := m.FieldResistance
	if !m.contact.closed() {
		r += m.FieldResistor
	}
	lines[m.inField] += r * fi * fi
	lines[m.inIron] += m.Iron.loss(m.Field.Constant(fi), x.w, x.dir) * x.w
}

func (m *motor) stored(y []float64) float64 {
	return m.ArmatureInductance*y[m.armature]*y[m.armature]/2 + m.Field.Stored(y[m.field])
}

func (m *motor) beyond(y []float64) string {
	if how := m.Field.beyond(y[m.field]); how != "" {
		return "the motor's iron " + how
	}
	return ""
}
