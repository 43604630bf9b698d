package machine

import "fmt"

// Snapshot is a machine at its beginning, before anything on its plan has
// happened: what Resume needs, beside card, setup and load, to begin the very
// same run again. It is plain data.
type Snapshot struct {
	State []float64 // in SI units, in the order of the states
	Kept  []float64 // what parts keep beside them
	Plan  []Change
}

// Snapshot gives the machine's beginning. It fails when the machine has moved
// since it was made or cloned.
func (s *Simulation) Snapshot() (Snapshot, error) {
	if s.Time() != 0 {
		return Snapshot{}, fmt.Errorf("a machine that has run for %g s is not at its beginning", s.Time())
	}
	from := Snapshot{
		State: append([]float64(nil), s.solver.State()...),
		Plan:  append([]Change(nil), s.plan...),
	}
	each(s.sys, func(p keeping) { from.Kept = append(from.Kept, p.keep()) })
	return from, nil
}

// Resume makes the machine that a snapshot was taken of, given the card, setup
// and load that it was made with. It fails when they do not fit.
func Resume(c Card, how Setup, load Load, from Snapshot) (*Simulation, error) {
	s, err := New(c, how, load)
	if err != nil {
		return nil, err
	}
	if len(from.State) != s.sys.dim() {
		return nil, fmt.Errorf("a snapshot of %d states does not fit a machine of %d", len(from.State), s.sys.dim())
	}
	for i, x := range from.State {
		if !finite(x) {
			return nil, fmt.Errorf("state %d of the snapshot is %g", i, x)
		}
	}
	s.guessed = false
	kept := from.Kept
	each(s.sys, func(p keeping) {
		if len(kept) > 0 {
			p.recall(kept[0])
			kept = kept[1:]
		}
	})
	if err := s.begin(append([]float64(nil), from.State...)); err != nil {
		return nil, err
	}
	return s, s.Plan(from.Plan...)
}
