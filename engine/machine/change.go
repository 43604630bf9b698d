package machine

import (
	"fmt"
	"math"
	"slices"
)

// Change is something that happens to a running machine at a time in s.
type Change struct {
	At     float64
	What   Action
	Load   Load    // of PutLoad
	Amount float64 // of SetStarter and BrakeArmature: ohm; of SagBattery: V that the battery loses; of ChangeLeaf: part by which its pull changes
	Over   float64 // of SagBattery: s that it takes; 0 is at once
}

// Action is what a Change does. Faults lists those that are faults, with a
// sentence for each.
type Action int

const (
	PutLoad    Action = iota // another load
	SetStarter               // another resistance in series with the armature
	OpenSwitch               // the main switch opens; the set coasts
	SagBattery               // the battery's voltage falls

	GovernorStuckOpen
	GovernorStuckClosed
	LeafBroken
	ChangeLeaf
	MotorFieldOpen
	MotorFieldHot
	MotorBrushLifted
	RegulatorWelded
	RegulatorStuckOpen
	CoilOpen
	PlungerStuck
	ResidualLost
	ResidualReversed
	FieldLeadsReversed
	GeneratorBrushLifted
	RingBrushLifted
	BellFuseBlown
	BellBusShort
	ToneOpen
	DryBearing
	BadCell
	OnEnd

	BrakeArmature // the armature is taken off the battery, and a resistor put across it; the field stays
	FreeGovernor  // the governor contact works again
	FreeRegulator // the regulator contact works again
	actions
)

// Plan puts changes on the machine's plan. Their times are counted from the
// beginning of the simulation and must not be past. It fails when the machine
// has not the part that a change is about, or a value is impossible.
func (s *Simulation) Plan(changes ...Change) error {
	for _, c := range changes {
		if err := s.allows(c); err != nil {
			return err
		}
	}
	s.plan = append(slices.Clone(s.plan), changes...)
	slices.SortStableFunc(s.plan, func(a, b Change) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	return nil
}

// HoldGovernor gives the changes of a governor contact that a hand holds: open
// from the first of the times in s, then closed and open in turn at the others.
func HoldGovernor(times ...float64) []Change {
	return inTurn(GovernorStuckOpen, GovernorStuckClosed, times)
}

// HoldRegulator does the same for the regulator contact.
func HoldRegulator(times ...float64) []Change {
	return inTurn(RegulatorStuckOpen, RegulatorWelded, times)
}

func inTurn(first, second Action, times []float64) []Change {
	var out []Change
	for i, at := range times {
		out = append(out, Change{At: at, What: [2]Action{first, second}[i%2]})
	}
	return out
}

// Change puts another load on the set from now on.
func (s *Simulation) Change(load Load) error {
	if err := s.sys.check(load); err != nil {
		return err
	}
	s.make(Change{What: PutLoad, Load: load})
	return nil
}

func (s *Simulation) allows(c Change) error {
	m := &s.sys
	if !(c.At >= s.Time()) || !finite(c.At) {
		return fmt.Errorf("a change at %g s cannot be planned at %g s", c.At, s.Time())
	}
	if !finite(c.Amount) || !finite(c.Over) || c.Over < 0 {
		return fmt.Errorf("a change by %g over %g s is impossible", c.Amount, c.Over)
	}
	if c.What < 0 || c.What >= actions {
		return fmt.Errorf("there is no change number %d", c.What)
	}
	for _, f := range Faults() {
		if f.Action == c.What && !f.fits(m) {
			return fmt.Errorf("the fault %q needs a part that the card has not", f.Name)
		}
	}
	switch c.What {
	case PutLoad:
		return m.check(c.Load)
	case SetStarter:
		if c.Amount < 0 || !m.hasMotor {
			return fmt.Errorf("a starter of %g ohm cannot be set", c.Amount)
		}
	case OpenSwitch:
		if !m.hasMotor && !m.hasACMotor {
			return fmt.Errorf("there is no motor whose switch could open")
		}
	case SagBattery:
		if !m.hasMotor || c.Amount >= m.battery.Voltage {
			return fmt.Errorf("the battery cannot sag by %g V", c.Amount)
		}
	case BrakeArmature:
		if !(c.Amount > 0) || !m.hasMotor {
			return fmt.Errorf("a resistor of %g ohm cannot be put across a motor's armature", c.Amount)
		}
	case FreeGovernor:
		if !m.hasGovernor {
			return fmt.Errorf("there is no governor contact to be freed")
		}
	case FreeRegulator:
		if !m.hasRegulator {
			return fmt.Errorf("there is no regulator contact to be freed")
		}
	case ChangeLeaf:
		if c.Amount <= -1 {
			return fmt.Errorf("a leaf's pull cannot change by %g of itself", c.Amount)
		}
	}
	return nil
}

// still takes the current out of branches that are open.
func (s *system) still(y []float64) {
	if s.switchOpen && !s.braking && (s.armatureOpen || s.fieldOpen) {
		y[atArmature], y[atField] = 0, 0
	}
	if s.armatureOpen {
		y[atArmature] = 0
	}
	if s.fieldOpen {
		y[atField] = 0
	}
	if !s.hasGenerator {
		return
	}
	if s.brushLifted {
		y[atExciting] = 0
	}
	if s.rheostat == 0 || s.ringLifted {
		y[atRheostat] = 0
	}
	if s.bells == 0 || s.ringLifted {
		y[atBell], y[atBellVolts] = 0, 0
	}
	if s.coilOpen || s.ringLifted && !s.coilOnBrushes {
		y[atCoil] = 0
	}
	if s.plungerStuck {
		y[atPlungerRate] = 0
	}
}

// melt melts the fuse at time t.
func (s *system) melt(t float64, y []float64) {
	s.blown = true
	s.melted.at, s.melted.current = t, math.Abs(y[atArmature])
	s.openArmature()
	s.still(y)
}

// make makes a change now.
func (s *Simulation) make(c Change) {
	m := &s.sys
	s.guessed = false
	y := s.solver.State()
	governor, regulator := m.governing.closed(), m.regulating.closed()
	if m.audit {
		s.arcs += m.stored(y)
		defer func() { s.arcs -= m.stored(y) }()
	}
	switch c.What {
	case PutLoad:
		m.put(c.Load)
	case SetStarter:
		m.starter = c.Amount
	case OpenSwitch:
		// The armature current has to turn round into the field's loop; the
		// flux of both windings together stays.
		if m.hasMotor && !m.switchOpen && !m.braking && !m.armatureOpen && !m.fieldOpen {
			l := m.motor.Field.Inductance(y[atField])
			la := m.motor.ArmatureInductance
			y[atField] = (l*y[atField] - la*y[atArmature]) / (l + la)
			y[atArmature] = -y[atField]
		}
		m.switchOpen = true
	case BrakeArmature:
		m.braking, m.brake = true, c.Amount
		m.openArmature()
	case FreeGovernor:
		m.governing.stuck = works
	case FreeRegulator:
		m.regulating.stuck = works
	case SagBattery:
		b := &m.battery
		b.Voltage, b.slope = b.source(s.Time()), 0
		if c.Over == 0 {
			b.Voltage -= c.Amount
			break
		}
		b.slope, b.since, b.until = -c.Amount/c.Over, s.Time(), s.Time()+c.Over
		// the solver must not step over the end of the slope
		s.plan = slices.Insert(s.plan, s.planIndex(b.until), Change{At: b.until, What: SagBattery})
	default:
		m.damage(c, y)
	}
	m.still(y)
	if is := m.governing.closed(); is != governor {
		s.note(s.Time(), governorContact, is)
		if is {
			s.gauge.now.Closures++
		}
	}
	if is := m.regulating.closed(); is != regulator {
		s.note(s.Time(), regulatorContact, is)
		if is {
			s.gauge.now.RegulatorClosures++
		}
	}
	for i, k := range s.kinds {
		if k == governorAxis {
			s.solver.Guards()[i].Off = !m.leafBroken
		}
	}
	s.solver.Restart()
}

func (s *Simulation) planIndex(at float64) int {
	i := 0
	for i < len(s.plan) && s.plan[i].At <= at {
		i++
	}
	return i
}
