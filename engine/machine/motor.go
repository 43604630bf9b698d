package machine

import "math"

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

// drive adds the motor's circuits to the derivative, with source the battery's
// voltage with no current drawn, and gives the motor's torque in N m, its iron
// loss taken off.
func (s *system) drive(source float64, y, d []float64, w, dir float64) float64 {
	m := &s.motor
	ia, fi := y[atArmature], y[atField]
	k, slope := m.Field.at(fi)
	added := m.FieldResistor
	if s.governing.closed() {
		added = 0
	}
	inductance := m.Field.Leakage + m.Field.Linkage*slope
	resistance := m.FieldResistance + added
	switch {
	case s.braking:
		// the field stays on the battery, or on the resistor with the switch open
		v := terminal(0, s.brake, ia+fi)
		across := v
		if !s.switchOpen {
			v, across = terminal(source, s.battery.Resistance, fi), terminal(0, s.brake, ia)
		}
		d[atArmature] = (m.ArmatureVoltage(across, ia, 0) - emf(k, w)) / m.ArmatureInductance
		d[atField] = (v - resistance*fi) / inductance
	case !s.switchOpen:
		v := terminal(source, s.battery.Resistance, ia+fi)
		d[atArmature] = (m.ArmatureVoltage(v, ia, s.starter) - emf(k, w)) / m.ArmatureInductance
		d[atField] = (v - resistance*fi) / inductance
	case s.armatureOpen || s.fieldOpen:
		d[atArmature], d[atField] = 0, 0
	default:
		// off the battery, the armature feeds the field: i_a = -i_f
		d[atField] = (emf(k, w) - (m.ArmatureResistance+s.starter)*fi - m.brush(fi) - resistance*fi) / (inductance + m.ArmatureInductance)
		d[atArmature] = -d[atField]
	}
	if s.armatureOpen {
		d[atArmature] = 0
	}
	if s.fieldOpen {
		d[atField] = 0
	}
	return torque(k, ia) - m.Iron.loss(k, w, dir)
}
