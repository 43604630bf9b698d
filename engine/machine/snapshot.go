package machine

import "fmt"

// Snapshot is a machine at its beginning, before anything on its plan has
// happened: what Resume needs, beside card, setup and load, to begin the very
// same run again. It is plain data.
type Snapshot struct {
	State    []float64 // in SI units, in the order of the states
	Touching bool      // the regulator's contact, where its hysteresis leaves it open
	Phase    float64   // rad, of the mains
	Plan     []Change
}

// Snapshot gives the machine's beginning. It fails when the machine has moved
// since it was made or cloned.
func (s *Simulation) Snapshot() (Snapshot, error) {
	if s.Time() != 0 {
		return Snapshot{}, fmt.Errorf("a machine that has run for %g s is not at its beginning", s.Time())
	}
	return Snapshot{
		State:    append([]float64(nil), s.solver.State()...),
		Touching: s.sys.regulating.touching,
		Phase:    s.sys.acMotor.phase,
		Plan:     append([]Change(nil), s.plan...),
	}, nil
}

// Resume makes the machine that a snapshot was taken of, given the card, setup
// and load that it was made with. It fails when they do not fit.
func Resume(c Card, how Setup, load Load, from Snapshot) (*Simulation, error) {
	s, err := New(c, how, load)
	if err != nil {
		return nil, err
	}
	if len(from.State) != s.sys.dim {
		return nil, fmt.Errorf("a snapshot of %d states does not fit a machine of %d", len(from.State), s.sys.dim)
	}
	for i, x := range from.State {
		if !finite(x) {
			return nil, fmt.Errorf("state %d of the snapshot is %g", i, x)
		}
	}
	s.guessed = false
	s.sys.regulating.touching = from.Touching
	s.sys.acMotor.phase = from.Phase
	if err := s.begin(append([]float64(nil), from.State...)); err != nil {
		return nil, err
	}
	return s, s.Plan(from.Plan...)
}
