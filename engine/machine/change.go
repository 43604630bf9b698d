package machine

import (
	"fmt"
	"slices"
)

// Change is something that happens to a running machine at a time in s.
type Change struct {
	At     float64
	What   Action
	Part   string  // to which it happens, by its name on the card; "" is every part to which it can
	Load   Load    // of PutLoad
	Amount float64 // of SetStarter and BrakeArmature: ohm; of SagBattery: V that the battery loses; of ChangeLeaf: part by which its pull changes
	Over   float64 // of SagBattery: s that it takes; 0 is at once
}

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
	m := s.sys
	if !(c.At >= s.Time()) || !finite(c.At) {
		return fmt.Errorf("a change at %g s cannot be planned at %g s", c.At, s.Time())
	}
	if !finite(c.Amount) || !finite(c.Over) || c.Over < 0 {
		return fmt.Errorf("a change by %g over %g s is impossible", c.Amount, c.Over)
	}
	if c.What == PutLoad {
		return m.check(c.Load)
	}
	for _, a := range m.asked(c) {
		if a.check == nil {
			continue
		}
		if err := a.check(c); err != nil {
			return err
		}
	}
	if len(m.asked(c)) > 0 {
		return nil
	}
	lacking := everything().asked(Change{What: c.What})
	switch {
	case len(lacking) == 0:
		return fmt.Errorf("there is no change %q", c.What)
	case len(m.asked(Change{What: c.What})) > 0:
		return fmt.Errorf("%q cannot happen to a part called %q", c.What, c.Part)
	case lacking[0].lacks == nil:
		return fmt.Errorf("the fault %q needs a part that the card has not", c.What)
	}
	return lacking[0].lacks(c)
}

// make makes a change now.
func (s *Simulation) make(c Change) {
	m := s.sys
	s.guessed = false
	y := s.solver.State()
	s.before(y)
	if c.What == PutLoad {
		m.put(c.Load)
	}
	for _, a := range m.asked(c) {
		a.do(s, c, y)
	}
	m.still(y)
	s.after(s.Time(), y)
	s.watchAgain()
	s.solver.Restart()
}

// insert puts a change that a part makes on the plan, whatever else is on it.
func (s *Simulation) insert(c Change) { s.plan = slices.Insert(s.plan, s.planIndex(c.At), c) }

func (s *Simulation) planIndex(at float64) int {
	i := 0
	for i < len(s.plan) && s.plan[i].At <= at {
		i++
	}
	return i
}
