package machine

import (
	"fmt"
	"math"
)

// Standstill is the error of a machine that was to turn and does not: why, and
// what to do about it.
type Standstill struct {
	Cause string
	Next  string
}

func (s Standstill) Error() string { return s.Cause }

// slowest is the speed in turns a second below which a shaft counts as
// standing still.
const slowest = 0.1

// standstill says why the shaft does not turn, or hardly does, after some
// turns.
func (s *Simulation) standstill(turns int) Standstill {
	m := s.sys
	y := s.solver.State()
	const less = "put on less load"
	stalls := "the shaft stalls"
	if turns > 0 {
		stalls += fmt.Sprintf(" after %d turns", turns)
	}
	if n := y[m.shaft.speed] / (2 * math.Pi); math.Abs(n) > slowest {
		stalls = fmt.Sprintf("the shaft all but stalls, at %.2g turns a second", n)
	}
	switch {
	case m.shaft.held:
		return Standstill{fmt.Sprintf("a shaft held at %.3g turns a second makes too few turns to settle", y[m.shaft.speed]/(2*math.Pi)), "hold it at a speed of more than a turn a second"}
	case m.fuse != nil && m.fuse.blown:
		return Standstill{fmt.Sprintf("the fuse melted at %.3g s, with %.3g A in the armature, and the shaft stands still", m.fuse.melted.at, m.fuse.melted.current),
			less + ", or start through a starter"}
	case m.motor != nil && m.motor.switchOpen || m.acMotor != nil && m.acMotor.switchOpen:
		return Standstill{"the main switch is open, and the shaft stands still", "sum up a run in which the switch opens, such as Coast, and not one that has to settle"}
	case m.motor != nil && m.motor.armatureOpen:
		return Standstill{"a motor brush is lifted, so that the armature carries no current, and the shaft stands still", "let it happen on the way, as Fault does"}
	case m.motor != nil && m.motor.fieldOpen:
		return Standstill{fmt.Sprintf("%s: the motor's field circuit is broken, and %.3g A in the armature do not turn it", stalls, y[m.motor.armature]), less}
	case m.motor != nil:
		return Standstill{fmt.Sprintf("%s: on %.3g V, %.3g A in the armature do not turn it under this load", stalls, m.motor.bus(s.Time(), y), y[m.motor.armature]), less}
	case m.acMotor != nil:
		return Standstill{stalls + ": the motor has fallen out of step with the mains, and its cage cannot carry this load", less}
	}
	return Standstill{"nothing turns the shaft", "give the card a motor, or hold the shaft at a speed"}
}

// stopped says why the shaft stands still, or "" when it turns.
func (s *Simulation) stopped() string {
	if math.Abs(s.solver.State()[s.sys.shaft.speed]) > 2*math.Pi*slowest {
		return ""
	}
	return s.standstill(0).Cause
}
