package machine

import (
	"strings"

	"slipring/engine/ode"
)

// NewAt is New with a state to begin from, in the order of the reference
// tables.
func NewAt(c Card, how Setup, load Load, y []float64) (*Simulation, error) {
	s, err := New(c, how, load)
	if err != nil {
		return nil, err
	}
	return s, s.begin(append([]float64(nil), y...))
}

// NewIn is New with states to begin from, such as "shaft speed", and 0 for all
// others.
func NewIn(c Card, how Setup, load Load, states map[string]float64) (*Simulation, error) {
	s, err := New(c, how, load)
	if err != nil {
		return nil, err
	}
	y := make([]float64, s.sys.dim())
	for name, value := range states {
		y[s.at(name)] = value
	}
	return s, s.begin(y)
}

func (s *Simulation) at(name string) int {
	part, state, _ := strings.Cut(name, " ")
	at, ok := s.sys.coordinate(part, state)
	if !ok {
		panic(name)
	}
	return at
}

// State gives one state, such as "shaft speed".
func (s *Simulation) State(name string) float64 { return s.solver.State()[s.at(name)] }

// Actions lists all that can happen to a machine.
func Actions() []Action {
	out := []Action{PutLoad}
	for _, a := range everything().actions {
		out = append(out, a.what)
	}
	return out
}

// Coordinates gives the state, and the size at which each coordinate counts
// as small.
func (s *Simulation) Coordinates() (y, scale []float64) { return s.solver.State(), s.sys.scale }

// Evaluate calls the derivative once, for the benchmark.
func (s *Simulation) Evaluate(y, d []float64) { s.sys.derivative(0, y, d) }

// Steps gives the solver's counters since the simulation began.
func (s *Simulation) Steps() ode.Stats { return s.solver.Stats() }
