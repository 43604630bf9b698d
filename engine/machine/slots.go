package machine

// Bounds says which values a constant may have.
type Bounds int

const (
	Positive    Bounds = iota // above zero
	NotNegative               // zero or above
	AnyFinite
	AtLeastOne
	WholeNumber // 1, 2, 3, ...
)

// Slot is one place on a card: what belongs there, and the constant itself.
type Slot struct {
	Part     string
	Key      string
	Unit     string // the SI unit; a card may also use its multiples
	Bounds   Bounds
	Doc      string
	Unused   string // why the constant would change nothing on this card, which then must not give it; "" when it counts
	Constant *Constant
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

// Slots lists the places of the card's parts, always in the same order. The
// constants are those of the card itself, not copies.
func (c *Card) Slots() []Slot {
	l := slotList{}
	l.drive(c)
	l.shaft(c)
	l.generator(c)
	l.loads(c)
	return l.slots
}

// values gives a function that reads constants of the card in SI units; 0 for
// one that is not given.
func (c *Card) values() func(*Constant) float64 {
	slots := c.Slots()
	return func(at *Constant) float64 {
		for _, s := range slots {
			if s.Constant == at && *at == (Constant{}) {
				return 0
			}
			if s.Constant == at {
				return s.SI()
			}
		}
		return nan
	}
}

type slotList struct {
	part  string
	slots []Slot
}

func (l *slotList) add(key, unit string, b Bounds, at *Constant, doc string) {
	l.slots = append(l.slots, Slot{l.part, key, unit, b, doc, "", at})
}

// unused marks a slot.
func (l *slotList) unused(at *Constant, why string) {
	for i := range l.slots {
		if l.slots[i].Constant == at {
			l.slots[i].Unused = why
		}
	}
}

func (l *slotList) drive(c *Card) {
	if p := c.Battery; p != nil {
		l.part = "battery"
		l.add("voltage", "V", Positive, &p.Voltage, "voltage of the battery with no current drawn")
		l.add("resistance", "ohm", NotNegative, &p.Resistance, "resistance of the cells and their leads")
		l.add("cells", "1", WholeNumber, &p.Cells, "cells in series")
	}
	if p := c.Fuse; p != nil {
		l.part = "fuse"
		l.add("melting-current", "A", Positive, &p.MeltingCurrent, "smallest armature current that melts the fuse in the end; the rating printed on a fuse is lower, and is carried for ever")
		l.add("time-constant", "s", Positive, &p.TimeConstant, "time constant with which the fuse warms")
	}
	if p := c.Motor; p != nil {
		l.part = "motor"
		l.add("armature-resistance", "ohm", Positive, &p.ArmatureResistance, "resistance of the armature winding and commutator")
		l.add("armature-inductance", "H", Positive, &p.ArmatureInductance, "inductance of the armature")
		l.add("brush-drop", "V", NotNegative, &p.BrushDrop, "voltage lost at the brushes under a good current")
		l.add("brush-drop-current", "A", Positive, &p.BrushDropCurrent, "armature current at which 71 % of the brush drop is reached")
		l.field(&p.FieldCard, "the governor contact")
		l.iron(&p.IronCard)
	}
	if p := c.ACMotor; p != nil {
		l.part = "ac-motor"
		l.add("supply-frequency", "Hz", Positive, &p.SupplyFrequency, "frequency of the mains")
		l.add("pole-pairs", "1", WholeNumber, &p.PolePairs, "pairs of poles of the motor")
		l.add("synchronous-torque", "N m", NotNegative, &p.SynchronousTorque, "greatest torque in step with the mains; 0 for an induction motor")
		l.add("pull-out-torque", "N m", Positive, &p.PullOutTorque, "greatest torque of the starting cage")
		l.add("pull-out-slip", "1", Positive, &p.PullOutSlip, "slip at the cage's greatest torque, as a part of the synchronous speed")
	}
}

func (l *slotList) field(p *FieldCard, contact string) {
	l.add("field-resistance", "ohm", Positive, &p.FieldResistance, "resistance of the shunt field winding")
	l.add("field-resistor", "ohm", Positive, &p.FieldResistor, "resistor in the field circuit that "+contact+" shorts")
	l.add("field-linkage", "1", Positive, &p.FieldLinkage, "flux linkage of the field winding for each V s of machine constant")
	l.add("field-leakage-inductance", "H", Positive, &p.FieldLeakageInductance, "inductance of the field winding that does not serve the armature")
	l.add("residual-constant", "V s", AnyFinite, &p.ResidualConstant, "machine constant left with no field current")
	l.add("constant-slope", "V s/A", Positive, &p.ConstantSlope, "rise of the machine constant with field current before saturation")
	l.add("saturation-current", "A", Positive, &p.SaturationCurrent, "field current at which the straight line would reach full saturation")
	l.add("saturation-sharpness", "1", AtLeastOne, &p.SaturationSharpness, "how sharply the curve bends into saturation: 1 gently, 2 as most machines, more for a sharp knee")
}

func (l *slotList) iron(p *IronCard) {
	l.add("iron-hysteresis", "N m", NotNegative, &p.IronHysteresis, "hysteresis torque of the armature iron at the reference constant")
	l.add("iron-eddy", "N m s", NotNegative, &p.IronEddy, "eddy-current torque for each rad/s at the reference constant")
	l.add("iron-reference", "V s", Positive, &p.IronReference, "machine constant for which the two iron torques hold")
}

func (l *slotList) shaft(c *Card) {
	if p := c.Shaft; p != nil {
		l.part = "shaft"
		l.add("inertia", "kg m2", Positive, &p.Inertia, "moment of inertia of all that turns, without the governor weight")
		l.add("friction", "N m", NotNegative, &p.Friction, "torque of bearings and brushes that does not depend on speed")
		l.add("viscous-friction", "N m s", NotNegative, &p.ViscousFriction, "friction torque for each rad/s")
		l.add("windage", "N m s2", NotNegative, &p.Windage, "air drag torque for each (rad/s) squared")
	}
	if p := c.Governor; p != nil {
		l.part = "governor"
		l.add("radius", "m", Positive, &p.Radius, "distance of the weight from the axis when it just touches the contact")
		l.add("contact-speed", "Hz", Positive, &p.ContactSpeed, "turns a second at which the weight would rest at the contact, were there no gravity")
		l.add("spring-frequency", "Hz", Positive, &p.SpringFrequency, "natural frequency of the weight on its leaf spring, shaft at rest")
		l.add("damping", "1", NotNegative, &p.Damping, "damping ratio of the weight on its leaf spring")
		l.add("weight", "kg", Positive, &p.Weight, "mass of the weight")
		l.add("contact-stiffness", "N/m", NotNegative, &p.ContactStiffness, "stiffness of the contact wiper")
		l.add("contact-loss", "s/m", NotNegative, &p.ContactLoss, "rise of the wiper's force with the speed of its compression")
		l.add("stop-travel", "m", Positive, &p.StopTravel, "travel of the weight past the contact at which it meets the outer stop")
		l.add("stop-stiffness", "N/m", Positive, &p.StopStiffness, "stiffness of the outer stop")
		l.add("stop-damping", "N s/m", NotNegative, &p.StopDamping, "damping of the outer stop")
	}
	if p := c.Output; p != nil {
		l.part = "output"
		l.add("frequency", "Hz", Positive, &p.Frequency, "frequency on the nameplate, equal to the turns a second")
		l.add("voltage", "V", Positive, &p.Voltage, "r.m.s. voltage on the nameplate, at the nameplate frequency")
		l.add("angle", "deg", AnyFinite, &p.Angle, "electrical angle of the output when the governor weight is straight down")
	}
}

func (l *slotList) generator(c *Card) {
	if p := c.Generator; p != nil {
		l.part = "generator"
		l.add("armature-resistance", "ohm", Positive, &p.ArmatureResistance, "resistance of the armature winding")
		l.add("armature-inductance", "H", NotNegative, &p.ArmatureInductance, "inductance of the armature towards the slip rings")
		l.field(&p.FieldCard, "the regulator contact")
		if c.Regulator == nil {
			l.unused(&p.FieldResistor, "nothing puts it into the field circuit without a regulator")
		}
		l.iron(&p.IronCard)
	}
	if p := c.Regulator; p != nil {
		l.part = "regulator"
		l.add("coil-resistance", "ohm", Positive, &p.CoilResistance, "resistance of the solenoid")
		l.add("coil-inductance", "H", Positive, &p.CoilInductance, "inductance of the solenoid with the plunger just touching the contact")
		l.add("coil-inductance-slope", "H/m", Positive, &p.CoilInductanceSlope, "rise of that inductance as the plunger rises")
		l.add("plunger-mass", "kg", Positive, &p.PlungerMass, "mass that moves with the plunger")
		l.add("plunger-weight", "N", Positive, &p.PlungerWeight, "force that holds the plunger down where it just touches the contact")
		l.add("spring-stiffness", "N/m", NotNegative, &p.SpringStiffness, "stiffness of the plunger's spring")
		l.add("damping", "N s/m", NotNegative, &p.Damping, "damping of the plunger by its dashpot")
		l.add("contact-stiffness", "N/m", NotNegative, &p.ContactStiffness, "stiffness of the contact leaf")
		l.add("contact-loss", "s/m", NotNegative, &p.ContactLoss, "rise of the leaf's force with the speed of its compression")
		l.add("contact-hysteresis", "m", NotNegative, &p.ContactHysteresis, "plunger travel above the touching point at which the contact breaks, and below it at which it makes")
		l.add("stop-travel", "m", Positive, &p.StopTravel, "plunger travel at which it meets its upper stop")
		l.add("stop-stiffness", "N/m", Positive, &p.StopStiffness, "stiffness of the upper stop")
		l.add("stop-loss", "s/m", NotNegative, &p.StopLoss, "rise of the stop's force with the speed of its compression")
	}
}

func (l *slotList) loads(c *Card) {
	if p := c.Rheostat; p != nil {
		l.part = "rheostat"
		l.add("time-constant", "s", Positive, &p.TimeConstant, "inductance of the load rheostat for each ohm of it")
	}
	if p := c.Bell; p != nil {
		l.part = "bell"
		l.add("resistance", "ohm", Positive, &p.Resistance, "resistance of one bell")
		l.add("inductance", "H", Positive, &p.Inductance, "inductance of one bell")
		l.add("capacitance", "F", Positive, &p.Capacitance, "capacitor in series with each bell")
	}
	if p := c.FullLoad; p != nil {
		l.part = "full-load"
		l.add("bells", "1", WholeNumber, &p.Bells, "bells that ring at once under full load")
		l.add("lamp-resistance", "ohm", Positive, &p.LampResistance, "resistance of all signal lamps together that burn under full load")
	}
	for _, t := range []struct {
		part string
		card *ToneCard
	}{{"low-tone", c.LowTone}, {"high-tone", c.HighTone}} {
		if p := t.card; p != nil {
			l.part = t.part
			l.add("teeth", "1", WholeNumber, &p.Teeth, "teeth of the tone wheel")
			l.add("linkage-slope", "V s/A", Positive, &p.LinkageSlope, "flux linkage of the winding that each tooth varies, for each ampere of exciting current")
			l.add("exciting-current", "A", NotNegative, &p.ExcitingCurrent, "direct current that magnetises the wheel")
			l.add("winding-resistance", "ohm", NotNegative, &p.WindingResistance, "resistance of the winding")
			l.add("winding-inductance", "H", NotNegative, &p.WindingInductance, "inductance of the winding")
			l.add("load-resistance", "ohm", Positive, &p.LoadResistance, "resistance that the tone line puts on the winding")
		}
	}
}
