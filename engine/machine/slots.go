package machine

// Bounds says which values a constant may have.
type Bounds int

const (
	Positive    Bounds = iota // above zero
	NotNegative               // zero or above
	AnyFinite
)

// Slot is one place on a card: what belongs there, and the constant itself.
type Slot struct {
	Part     string
	Key      string
	Unit     string // the SI unit; a card may also use its multiples
	Bounds   Bounds
	Doc      string
	Constant *Constant
}

// Slots lists the places of the card's parts, always in the same order. The
// constants are those of the card itself, not copies.
func (c *Card) Slots() []Slot {
	var s []Slot
	add := func(part, key, unit string, b Bounds, at *Constant, doc string) {
		s = append(s, Slot{part, key, unit, b, doc, at})
	}
	if p := c.Battery; p != nil {
		add("battery", "voltage", "V", Positive, &p.Voltage, "voltage of the battery with no current drawn")
		add("battery", "resistance", "ohm", NotNegative, &p.Resistance, "resistance of the cells and their leads")
	}
	if p := c.Motor; p != nil {
		add("motor", "armature-resistance", "ohm", Positive, &p.ArmatureResistance, "resistance of the armature winding and commutator")
		add("motor", "armature-inductance", "H", Positive, &p.ArmatureInductance, "inductance of the armature")
		add("motor", "brush-drop", "V", NotNegative, &p.BrushDrop, "voltage lost at the brushes under a good current")
		add("motor", "brush-drop-current", "A", Positive, &p.BrushDropCurrent, "armature current at which 71 % of the brush drop is reached")
		add("motor", "field-resistance", "ohm", Positive, &p.FieldResistance, "resistance of the shunt field winding")
		add("motor", "field-resistor", "ohm", Positive, &p.FieldResistor, "resistor in the field circuit that the governor contact shorts")
		add("motor", "field-linkage", "1", Positive, &p.FieldLinkage, "flux linkage of the field winding for each V s of machine constant")
		add("motor", "field-leakage-inductance", "H", Positive, &p.FieldLeakageInductance, "inductance of the field winding that does not serve the armature")
		add("motor", "residual-constant", "V s", AnyFinite, &p.ResidualConstant, "machine constant left with no field current")
		add("motor", "constant-slope", "V s/A", Positive, &p.ConstantSlope, "rise of the machine constant with field current before saturation")
		add("motor", "saturation-current", "A", Positive, &p.SaturationCurrent, "field current at which saturation has taken 29 % off the machine constant")
		add("motor", "iron-hysteresis", "N m", NotNegative, &p.IronHysteresis, "hysteresis torque of the armature iron at the reference constant")
		add("motor", "iron-eddy", "N m s", NotNegative, &p.IronEddy, "eddy-current torque for each rad/s at the reference constant")
		add("motor", "iron-reference", "V s", Positive, &p.IronReference, "machine constant for which the two iron torques hold")
	}
	if p := c.Shaft; p != nil {
		add("shaft", "inertia", "kg m2", Positive, &p.Inertia, "moment of inertia of all that turns, without the governor weight")
		add("shaft", "friction", "N m", NotNegative, &p.Friction, "torque of bearings and brushes that does not depend on speed")
		add("shaft", "viscous-friction", "N m s", NotNegative, &p.ViscousFriction, "friction torque for each rad/s")
		add("shaft", "windage", "N m s2", NotNegative, &p.Windage, "air drag torque for each (rad/s) squared")
	}
	if p := c.Governor; p != nil {
		add("governor", "radius", "m", Positive, &p.Radius, "distance of the weight from the axis when it just touches the contact")
		add("governor", "contact-speed", "Hz", Positive, &p.ContactSpeed, "turns a second at which the weight would rest at the contact, were there no gravity")
		add("governor", "spring-frequency", "Hz", Positive, &p.SpringFrequency, "natural frequency of the weight on its leaf spring, shaft at rest")
		add("governor", "damping", "1", NotNegative, &p.Damping, "damping ratio of the weight on its leaf spring")
		add("governor", "weight", "kg", Positive, &p.Weight, "mass of the weight")
		add("governor", "contact-stiffness", "N/m", NotNegative, &p.ContactStiffness, "stiffness of the contact wiper")
		add("governor", "contact-loss", "s/m", NotNegative, &p.ContactLoss, "rise of the wiper's force with the speed of its compression")
		add("governor", "stop-travel", "m", Positive, &p.StopTravel, "travel of the weight past the contact at which it meets the outer stop")
		add("governor", "stop-stiffness", "N/m", Positive, &p.StopStiffness, "stiffness of the outer stop")
		add("governor", "stop-damping", "N s/m", NotNegative, &p.StopDamping, "damping of the outer stop")
	}
	if p := c.Output; p != nil {
		add("output", "frequency", "Hz", Positive, &p.Frequency, "frequency on the nameplate, equal to the turns a second")
		add("output", "voltage", "V", Positive, &p.Voltage, "r.m.s. voltage on the nameplate, at the nameplate frequency")
		add("output", "angle", "deg", AnyFinite, &p.Angle, "electrical angle of the output when the governor weight is straight down")
	}
	return s
}

// SI gives the constant in the SI unit of its slot. It is NaN when the unit
// does not fit the slot, which Validate reports.
func (s Slot) SI() float64 {
	factor, ok := Multiple(s.Unit, s.Constant.Unit)
	if !ok {
		return nan
	}
	return s.Constant.Value * factor
}

// values gives a function that reads constants of the card in SI units.
func (c *Card) values() func(*Constant) float64 {
	slots := c.Slots()
	return func(at *Constant) float64 {
		for _, s := range slots {
			if s.Constant == at {
				return s.SI()
			}
		}
		return nan
	}
}
