package bench

import "slices"

// The equations that act together, as package machine names them. Each list
// begins with the one that is nearest to the quantity.
var (
	turning   = []string{"shaft.balance", "motor.torque", "motor.armature", "motor.field", "motor.iron-curve", "governor.motion", "shaft.losses", "generator.torque"}
	steering  = []string{"governor.motion", "governor.contact", "shaft.balance"}
	drawing   = []string{"motor.armature", "motor.emf", "battery.terminal", "shaft.balance"}
	exciting  = []string{"motor.field", "governor.motion", "battery.terminal"}
	supplying = []string{"battery.terminal", "motor.armature", "motor.field"}
	giving    = []string{"generator.rings", "generator.emf", "generator.field", "regulator.plunger", "bell.current", "shaft.balance"}
	building  = []string{"generator.field", "generator.brushes", "generator.iron-curve", "regulator.plunger"}
	lifting   = []string{"regulator.plunger", "regulator.coil", "regulator.contact", "generator.rings"}
	ringing   = []string{"bell.current", "generator.rings"}
	melting   = []string{"fuse.heat", "motor.armature"}
)

// Solved gives the equations that decide a figure of a run, or one of its traces
// ("bench.Run.Traces output"), nearest first: the whole set is solved with them,
// step by step. It is nil for what none of them decides.
func Solved(name string) []string {
	var keys []string
	switch name {
	case "bench.Run.Frequency", "bench.Run.SpeedLow", "bench.Run.SpeedHigh", "bench.Run.HuntingFrequency", "bench.Run.Period",
		"bench.Run.HalfCycles", "bench.Set.SpeedRegulation", "bench.Run.Stopped", "bench.Run.Traces speed", "bench.Run.Traces shaft angle":
		keys = turning
	case "bench.Run.OpenFraction", "bench.Run.ClosuresPerTurn", "bench.Run.Spread", "bench.Set.OpenFractionAt",
		"bench.Run.Traces governor contact", "bench.Run.Traces weight travel":
		keys = steering
	case "bench.Run.FieldCurrent", "bench.Run.Traces field current":
		keys = exciting
	case "bench.Run.ArmatureCurrent", "bench.Run.ArmatureMost", "bench.Run.Traces armature current":
		keys = drawing
	case "bench.Run.BusVoltage", "bench.Run.BatteryPower", "bench.Run.Traces bus voltage", "bench.Set.Energy":
		keys = supplying
	case "bench.Run.OutputVoltage", "bench.Run.OutputSpread", "bench.Run.OutputElsewhere", "bench.Run.OutputPower", "bench.Run.Harmonics",
		"bench.Set.VoltageRegulation", "bench.Run.Traces output", "bench.Run.Traces generator EMF", "bench.Run.Traces output current":
		keys = giving
	case "bench.Run.DirectVoltage", "bench.Run.GeneratorField", "bench.Run.Beyond", "bench.Run.Traces commutator voltage", "bench.Run.Traces generator field current":
		keys = building
	case "bench.Run.RegulatorClosed", "bench.Run.RegulatorRate", "bench.Run.Traces regulator contact", "bench.Run.Traces plunger travel", "bench.Run.Traces regulator coil current":
		keys = lifting
	case "bench.Run.Traces bell current":
		keys = ringing
	case "bench.Run.Traces fuse heat":
		keys = melting
	}
	return slices.Clone(keys)
}
