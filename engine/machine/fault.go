package machine

// Fault is something that goes wrong with a set.
type Fault struct {
	Action   Action
	Name     string
	Sentence string // what it is, in plain words
	fits     func(*system) bool
}

// Faults lists the faults that a Change can bring about.
func Faults() []Fault {
	governor := func(s *system) bool { return s.hasGovernor }
	motor := func(s *system) bool { return s.hasMotor }
	generator := func(s *system) bool { return s.hasGenerator }
	regulator := func(s *system) bool { return s.hasRegulator }
	return []Fault{
		{GovernorStuckOpen, "governor contact stuck open", "The governor contact no longer makes, for dirt or a burnt point, so the resistor stays in the motor's field circuit.", governor},
		{GovernorStuckClosed, "governor contact stuck closed", "The governor contact is welded, so the motor's field is always full.", governor},
		{LeafBroken, "governor leaf broken", "The leaf that holds the governor weight is broken, and the weight flies out to its stop.", governor},
		{ChangeLeaf, "governor leaf slack", "The pull of the governor's leaf has changed, by a slipped screw or a tired spring.", governor},
		{MotorFieldOpen, "motor field open", "The motor's field circuit is broken, and only what magnetism the iron keeps is left.", motor},
		{MotorFieldHot, "motor field hot", "The motor's field winding is hot, and its resistance a fifth higher.", motor},
		{MotorBrushLifted, "motor brush lifted", "A brush of the motor is off its commutator, so the armature carries no current.", motor},
		{RegulatorWelded, "regulator contact welded", "The regulator contact is welded, so the generator's field is always full.", regulator},
		{RegulatorStuckOpen, "regulator contact stuck open", "The regulator contact no longer makes, so the resistor stays in the generator's field circuit.", regulator},
		{CoilOpen, "regulator coil open", "The regulator's coil is broken; the plunger falls and its contact stays closed.", regulator},
		{PlungerStuck, "regulator plunger stuck", "The regulator's plunger is stuck where it is.", regulator},
		{ResidualLost, "residual lost", "The set was stopped, and the generator's iron has lost the magnetism that it should keep.", generator},
		{ResidualReversed, "residual reversed", "The set was stopped, and the magnetism that the generator's iron keeps has been reversed.", generator},
		{FieldLeadsReversed, "generator field leads reversed", "The set was stopped, and the leads of the generator's field have been changed over.", generator},
		{GeneratorBrushLifted, "generator commutator brush lifted", "A brush is off the generator's commutator, so its field carries no current.", generator},
		{RingBrushLifted, "slip-ring brush lifted", "A brush is off its slip ring, so nothing reaches the bells or the regulator.", generator},
		{BellFuseBlown, "distributing fuse blown", "The fuse of the bell lines is blown, and all load is gone.", generator},
		{BellBusShort, "short on the bell bus", "Something lies across the bell bus bars: half an ohm in place of the bells.", func(s *system) bool { return s.hasGenerator && s.rheostatTime > 0 }},
		{ToneOpen, "tone winding open", "The windings of the tone wheels are broken, so no tone goes out.", func(s *system) bool { return s.tones[0].Teeth > 0 || s.tones[1].Teeth > 0 }},
		{DryBearing, "dry bearing", "A bearing has run dry, and its friction is three times what it was.", func(*system) bool { return true }},
		{BadCell, "bad cell or joint", "One cell of the battery is dead, and a joint adds a fifth of an ohm.", motor},
		{OnEnd, "shaft on end", "The shaft stands on end, so that gravity no longer swings the governor's weight.", governor},
	}
}

// damage does what a fault does, to the machine and to its state.
func (s *system) damage(c Change, y []float64) {
	switch c.What {
	case GovernorStuckOpen:
		s.governing.stuck = stuckOpen
	case GovernorStuckClosed:
		s.governing.stuck = stuckClosed
	case LeafBroken:
		s.leafBroken = true
	case ChangeLeaf:
		s.weight.preload *= 1 + c.Amount
	case MotorFieldOpen:
		s.fieldOpen = true
	case MotorFieldHot:
		s.motor.FieldResistance *= 1.2
	case MotorBrushLifted:
		s.brushUp = true
		s.openArmature()
	case RegulatorWelded:
		s.regulating.stuck = stuckClosed
	case RegulatorStuckOpen:
		s.regulating.stuck = stuckOpen
	case CoilOpen:
		s.coilOpen = true
	case PlungerStuck:
		s.plungerStuck = true
	case ResidualLost:
		s.generator.Field.Residual = 0
		s.deadAgain(y)
	case ResidualReversed:
		s.generator.Field.Residual = -s.generator.Field.Residual
		s.deadAgain(y)
	case FieldLeadsReversed:
		s.polarity = -s.polarity
		s.deadAgain(y)
	case GeneratorBrushLifted:
		s.brushLifted = true
	case RingBrushLifted:
		s.ringLifted = true
	case BellFuseBlown:
		s.put(Load{Torque: s.load.Torque})
	case BellBusShort:
		s.put(Load{Torque: s.load.Torque, Resistance: 0.5})
	case ToneOpen:
		s.tones = [2]Tone{}
	case DryBearing:
		s.shaft.Friction *= 3
	case BadCell:
		s.battery.Voltage *= (s.battery.Cells - 1) / s.battery.Cells
		s.battery.Resistance += 0.2
	case OnEnd:
		s.weight.Gravity = 0
	}
}

// deadAgain takes the generator back to a standing start, its field dead.
func (s *system) deadAgain(y []float64) {
	y[atExciting], y[atRheostat], y[atBell], y[atBellVolts], y[atCoil] = 0, 0, 0, 0, 0
}
