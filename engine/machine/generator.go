package machine

import "math"

// Generator is the self-excited generator: one armature winding with a
// commutator, which feeds its own shunt field, and two slip rings for the
// output. Both carry the same EMF, so its crest at the rings is the direct
// EMF at the brushes.
//
// The windings of one axis share the armature resistance. There is neither
// armature reaction nor a transformer EMF: the model has both or neither, or
// it would make energy of nothing.
type Generator struct {
	ArmatureResistance float64 // ohm
	ArmatureInductance float64 // H, towards the slip rings
	FieldResistance    float64 // ohm
	FieldResistor      float64 // ohm, shorted by the regulator contact
	Field              Magnetization
	Iron               Iron
}

func (g *Generator) describe(c *constants) {
	c.need("shaft")
	c.add(&g.ArmatureResistance, "armature-resistance", "ohm", Positive, "resistance of the armature winding")
	c.add(&g.ArmatureInductance, "armature-inductance", "H", NotNegative, "inductance of the armature towards the slip rings")
	c.add(&g.FieldResistance, "field-resistance", "ohm", Positive, "resistance of the shunt field winding")
	c.add(&g.FieldResistor, "field-resistor", "ohm", Positive, "resistor in the field circuit that the regulator contact shorts")
	c.unused("regulator", "nothing puts it into the field circuit without a regulator")
	g.Field.describe(c)
	g.Iron.describe(c)
}

// BuildUpTime gives the time in s in which the field current of the spinning,
// unloaded generator rises from nothing to a current in A, at a speed in turns
// a second with a field circuit of a resistance in ohm, before saturation tells:
//
//	t = tau ln(1 + i/i_r),  tau = L/(Slope w - R),  i_r = Residual w/(Slope w - R)
//
// It is infinite below the critical speed, and without residual.
func (g *Generator) BuildUpTime(speed, resistance, current float64) float64 {
	w := 2 * math.Pi * speed
	excess := g.Field.CriticalResistance(speed) - resistance
	if excess <= 0 || g.Field.Residual <= 0 {
		return math.Inf(1)
	}
	return g.Field.Inductance(0) / excess * math.Log1p(current*excess/(g.Field.Residual*w))
}

// circuits is what stands at the generator's brushes and rings at an instant.
type circuits struct {
	crest float64 // V, crest of the EMF: also the direct EMF
	emf   float64 // V, at the rings
	dc    float64 // V, at the commutator brushes
	ac    float64 // V, at the rings under load
	idc   float64 // A, out of the commutator brushes
	iac   float64 // A, out of the rings
}

// circuits solves the algebraic part of the generator: with armature
// resistance R and inductance L, sin the sine of the electrical angle,
//
//	V_dc = E - R (i_dc + i_ac sin)
//	v_ac = e - R (i_ac + i_dc sin) - L di_ac/dt
//
// where di_ac/dt follows from the branches on the rings.
func (s *system) circuits(y []float64, w, k, sin float64) circuits {
	g := &s.generator
	var c circuits
	c.crest = emf(k, w)
	c.emf = c.crest * sin
	if !s.brushLifted {
		c.idc = s.polarity * y[atExciting]
	}
	if s.hasRegulator && s.coilOnBrushes {
		c.idc += y[atCoil]
	}
	if s.ringLifted {
		c.dc = c.crest - g.ArmatureResistance*c.idc
		return c
	}
	// each branch obeys Lx i' = v - drop, so L di_ac/dt = (sum 1/Lx) v - sum drop/Lx
	var share, drops float64
	if s.rheostat > 0 {
		l := s.rheostatTime * s.rheostat
		c.iac += y[atRheostat]
		share += 1 / l
		drops += s.rheostat * y[atRheostat] / l
	}
	if s.bells > 0 {
		c.iac += s.bells * y[atBell]
		share += s.bells / s.bell.Inductance
		drops += s.bells * (s.bell.Resistance*y[atBell] + y[atBellVolts]) / s.bell.Inductance
	}
	if s.hasRegulator && !s.coilOpen && !s.coilOnBrushes {
		l := s.regulator.inductance(y[atPlunger])
		c.iac += y[atCoil]
		share += 1 / l
		drops += s.regulator.drop(y[atCoil], y[atPlungerRate]) / l
	}
	c.dc = c.crest - g.ArmatureResistance*(c.idc+c.iac*sin)
	c.ac = (c.emf - g.ArmatureResistance*(c.iac+c.idc*sin) + g.ArmatureInductance*drops) /
		(1 + g.ArmatureInductance*share)
	return c
}

// generate adds the generator, its regulator and its loads to the derivative,
// and gives the torque in N m that they ask of the shaft.
func (s *system) generate(y, d []float64, w, dir, sin float64) float64 {
	g := &s.generator
	k, slope := g.Field.at(y[atExciting])
	c := s.circuits(y, w, k, sin)

	if s.brushLifted {
		d[atExciting] = 0
	} else {
		r := g.FieldResistance
		if s.hasRegulator && !s.regulating.closed() {
			r += g.FieldResistor
		}
		d[atExciting] = (s.polarity*c.dc - r*y[atExciting]) / (g.Field.Leakage + g.Field.Linkage*slope)
	}
	if s.rheostat > 0 && !s.ringLifted {
		d[atRheostat] = (c.ac - s.rheostat*y[atRheostat]) / (s.rheostatTime * s.rheostat)
	} else {
		d[atRheostat] = 0
	}
	if s.bells > 0 && !s.ringLifted {
		d[atBell] = (c.ac - s.bell.Resistance*y[atBell] - y[atBellVolts]) / s.bell.Inductance
		d[atBellVolts] = y[atBell] / s.bell.Capacitance
	} else {
		d[atBell], d[atBellVolts] = 0, 0
	}
	if s.hasRegulator {
		if s.coilOnBrushes {
			s.regulate(y, d, c.dc)
		} else {
			s.regulate(y, d, c.ac)
		}
	}
	return torque(k, c.idc+c.iac*sin) + g.Iron.loss(k, w, dir)
}
