package ode

import (
	"errors"
	"fmt"
	"math"
)

// Solver advances one Problem. It is not safe for use by several goroutines at
// once; several Solvers of one Problem are, if its functions are.
type Solver struct {
	problem  Problem
	settings Settings
	method   Method
	relTol   float64

	t        float64
	h        float64 // proposed step; 0 means to be chosen
	y        []float64
	guards   []Guard
	fresh    bool  // k[0] is the slope at (t, y)
	rejected bool  // the last trial was, so the step must not grow
	refused  error // from Start: returned by Advance
	stats    Stats

	// The step last tried, for the dense output.
	y0, y1, stage []float64
	k             [16][]float64
	last          int // the k that is the slope at (t+h, y1)
	stepStart     float64
	step          float64
	serial        uint64   // counts accepted steps
	worked        []uint64 // by coordinate: the serial its coefficients belong to
	coefficients  []coefficients
	piece         Piece

	times []float64 // of the latest crossings, a ring longer than the count it must judge
}

// New checks the problem and the settings. Call Start next.
func New(p Problem, s Settings) (*Solver, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	n := p.Dim
	p.Scale = append([]float64(nil), p.Scale...)
	p.Guards = append([]Guard(nil), p.Guards...)
	solver := &Solver{
		problem:      p,
		settings:     s,
		method:       s.Method,
		relTol:       s.RelTol,
		guards:       make([]Guard, len(p.Guards)),
		worked:       make([]uint64, n),
		coefficients: make([]coefficients, n),
		times:        make([]float64, s.ZenoEvents+1),
		refused:      errors.New("ode: Advance was called before Start"),
	}
	stages := 7
	solver.last = 6
	if s.Method == DormandPrince8 {
		stages = 16
		solver.last = 12
	}
	block := make([]float64, (4+stages)*n)
	for _, v := range []*[]float64{&solver.y, &solver.y0, &solver.y1, &solver.stage} {
		*v, block = block[:n:n], block[n:]
	}
	for i := range stages {
		solver.k[i], block = block[:n:n], block[n:]
	}
	solver.piece.solver = solver
	return solver, nil
}

// Start sets the initial state, which it copies, puts the problem's guards
// back and clears the counters.
func (s *Solver) Start(t0 float64, y0 []float64) {
	copy(s.guards, s.problem.Guards)
	s.stats = Stats{}
	s.refused = nil
	if len(y0) != len(s.y) {
		s.refused = fmt.Errorf("ode: Start was given %d coordinates for %d", len(y0), len(s.y))
	}
	s.t = t0
	copy(s.y, y0)
	s.Restart()
}

// Restart makes the solver forget the slope and the step size, as is needed
// after the state, a guard or the right-hand side has been changed from
// outside. Crossing may call it too, when its change makes the step size
// that was in use meaningless.
func (s *Solver) Restart() {
	s.fresh, s.rejected = false, false
	s.h = s.settings.FirstStep
}

// Time returns the time reached.
func (s *Solver) Time() float64 { return s.t }

// State returns a live view of the state at Time. Call Restart after changing
// it.
func (s *Solver) State() []float64 { return s.y }

// Guards returns a live view of the guards. Call Restart after changing them.
func (s *Solver) Guards() []Guard { return s.guards }

// Stats returns the counters since Start.
func (s *Solver) Stats() Stats { return s.stats }

// Advance integrates to tEnd and lands on it exactly, or on the instant at
// which Crossing asked to stop. It hands every piece of the solution to each,
// unless that is nil; State is then already that at the end of the piece, and
// Crossing has not yet been called for a crossing there.
//
// A guard that already lies beyond its level when a step begins, because a
// level, a side or the state was set so, fires at once, at that time. Its
// coordinate is then set to the level only if it is nearer to it than the
// tolerance.
//
// It returns a *Failure when it has to give up.
func (s *Solver) Advance(tEnd float64, each func(*Piece)) error {
	if s.refused != nil {
		return s.refused
	}
	if !(tEnd >= s.t) || math.IsInf(tEnd, 0) {
		return fmt.Errorf("ode: cannot advance from t = %.12g to %g", s.t, tEnd)
	}
	left := s.settings.MaxSteps
	for s.t < tEnd {
		if err := s.accept(tEnd, &left, each != nil); err != nil {
			return err
		}
		guard, u, err := s.earliest()
		if err != nil {
			return err
		}
		if guard < 0 {
			copy(s.y, s.y1)
			s.t = s.piece.T1
			s.piece.end = 1
		} else {
			s.cut(guard, u)
			s.piece.end = u
		}
		if each != nil && s.piece.T1 > s.piece.T0 {
			each(&s.piece)
		}
		if guard < 0 {
			s.k[0], s.k[s.last] = s.k[s.last], s.k[0]
			continue
		}
		stop, err := s.cross(guard)
		if stop || err != nil {
			return err
		}
	}
	return nil
}
