package machine

// BatteryCard describes the station battery.
type BatteryCard struct {
	Voltage    Constant
	Resistance Constant
	Cells      Constant
}

// FuseCard describes the fuse in the armature circuit.
type FuseCard struct {
	MeltingCurrent Constant
	TimeConstant   Constant
}

// MotorCard describes the shunt motor and the resistor that the governor
// shorts.
type MotorCard struct {
	ArmatureResistance Constant
	ArmatureInductance Constant
	BrushDrop          Constant
	BrushDropCurrent   Constant
	FieldCard
	IronCard
}

// FieldCard describes a shunt field, the resistor that a contact shorts in its
// circuit, and the open-circuit curve.
type FieldCard struct {
	FieldResistance        Constant
	FieldResistor          Constant
	FieldLinkage           Constant
	FieldLeakageInductance Constant
	ResidualConstant       Constant
	ConstantSlope          Constant
	SaturationCurrent      Constant
	SaturationSharpness    Constant
}

// IronCard describes the loss in an armature's iron.
type IronCard struct {
	IronHysteresis Constant
	IronEddy       Constant
	IronReference  Constant
}

// ACMotorCard describes a motor that drives the set from the mains: in step
// with them, or, with a synchronous torque of 0, an induction motor.
type ACMotorCard struct {
	SupplyFrequency   Constant
	PolePairs         Constant
	SynchronousTorque Constant
	PullOutTorque     Constant
	PullOutSlip       Constant
}

// ShaftCard describes the rotating parts together.
type ShaftCard struct {
	Inertia         Constant
	Friction        Constant
	ViscousFriction Constant
	Windage         Constant
}

// GovernorCard describes the centrifugal contact governor.
type GovernorCard struct {
	Radius           Constant
	ContactSpeed     Constant
	SpringFrequency  Constant
	Damping          Constant
	Weight           Constant
	ContactStiffness Constant
	ContactLoss      Constant
	StopTravel       Constant
	StopStiffness    Constant
	StopDamping      Constant
}

// OutputCard is what the nameplate promises at the slip rings, and how the
// rings are keyed to the shaft. Without a generator part on the card, the
// output is taken to be that of an unloaded winding of constant strength.
type OutputCard struct {
	Frequency Constant
	Voltage   Constant
	Angle     Constant
}

// GeneratorCard describes the self-excited generator: one armature winding
// with a commutator for its own field and two slip rings for the output.
type GeneratorCard struct {
	ArmatureResistance Constant
	ArmatureInductance Constant
	FieldCard
	IronCard
}

// RegulatorCard describes the vibrating voltage regulator: a solenoid on the
// output lifts a plunger, whose contact shorts the generator's field resistor
// while the plunger is down.
type RegulatorCard struct {
	CoilResistance      Constant
	CoilInductance      Constant
	CoilInductanceSlope Constant
	PlungerMass         Constant
	PlungerWeight       Constant
	SpringStiffness     Constant
	Damping             Constant
	ContactStiffness    Constant
	ContactLoss         Constant
	ContactHysteresis   Constant
	StopTravel          Constant
	StopStiffness       Constant
	StopLoss            Constant
}

// RheostatCard describes the load rheostat, whose resistance a Load gives.
type RheostatCard struct {
	TimeConstant Constant
}

// BellCard describes one signal bell with its series capacitor.
type BellCard struct {
	Resistance  Constant
	Inductance  Constant
	Capacitance Constant
}

// FullLoadCard says what the house calls full load: bells that ring and lamps
// that burn at the same time.
type FullLoadCard struct {
	Bells          Constant
	LampResistance Constant
}

// ToneCard describes a tone wheel: an inductor alternator on the shaft, with
// its winding and what that feeds.
type ToneCard struct {
	Teeth             Constant
	LinkageSlope      Constant
	ExcitingCurrent   Constant
	WindingResistance Constant
	WindingInductance Constant
	LoadResistance    Constant
}
