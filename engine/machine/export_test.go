package machine

import "slipring/engine/ode"

// NewAt is New with a state to begin from, in the order of the reference
// tables.
func NewAt(c Card, how Setup, load Load, y []float64) (*Simulation, error) {
	s, err := New(c, how, load)
	if err != nil {
		return nil, err
	}
	return s, s.begin(append([]float64(nil), y...))
}

// Coordinates gives the state, and the size at which each coordinate counts
// as small.
func (s *Simulation) Coordinates() (y, scale []float64) { return s.solver.State(), s.sys.scale() }

// Evaluate calls the derivative once, for the benchmark.
func (s *Simulation) Evaluate(y, d []float64) { s.sys.derivative(0, y, d) }

// Steps gives the solver's counters since the simulation began.
func (s *Simulation) Steps() ode.Stats { return s.solver.Stats() }
