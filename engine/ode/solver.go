package ode

import (
	"errors"
	"fmt"
	"math"
)

// Defaults of the zero Settings.
const (
	defaultRelTol     = 1e-6
	defaultMaxSteps   = 50_000_000
	defaultZenoEvents = 100
	defaultZenoWindow = 1e-3
)

// The step-size controller: an elementary one, with the usual safety factor
// and limits (Hairer, Norsett, Wanner, section II.4).
const (
	safety = 0.9
	shrink = 0.2
	grow   = 5.0
)

// Solver advances one Problem. It is not safe for use by several goroutines at
// once; several Solvers of one Problem are, if its functions are.
type Solver struct {
	problem  Problem
	settings Settings
	method   Method
	relTol   float64
	exponent float64 // of the controller: -1/order

	t       float64
	h       float64 // proposed step; 0 means to be chosen
	y       []float64
	guards  []Guard
	fresh   bool  // k[0] is the slope at (t, y)
	refused error // from Start: returned by Advance
	stats   Stats

	// The step last tried, for the dense output.
	y0, y1, stage []float64
	k             [16][]float64
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
		exponent:     -1. / 5,
		guards:       make([]Guard, len(p.Guards)),
		worked:       make([]uint64, n),
		coefficients: make([]coefficients, n),
		times:        make([]float64, s.ZenoEvents+1),
		refused:      errors.New("ode: Advance was called before Start"),
	}
	stages := 7
	if s.Method == DormandPrince8 {
		solver.exponent = -1. / 8
		stages = 16
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

func (p *Problem) check() error {
	if p.Dim < 1 {
		return fmt.Errorf("ode: the problem has dimension %d; it must be 1 or more", p.Dim)
	}
	if p.Derivative == nil {
		return errors.New("ode: the problem has no Derivative")
	}
	if len(p.Scale) != p.Dim {
		return fmt.Errorf("ode: Scale has %d entries for %d coordinates", len(p.Scale), p.Dim)
	}
	for i, v := range p.Scale {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("ode: Scale[%d] is %g; it must be positive and finite", i, v)
		}
	}
	for i, g := range p.Guards {
		if g.Coordinate < 0 || g.Coordinate >= p.Dim {
			return fmt.Errorf("ode: guard %d watches coordinate %d of %d", i, g.Coordinate, p.Dim)
		}
		if math.IsNaN(g.Level) {
			return fmt.Errorf("ode: the level of guard %d is not a number", i)
		}
	}
	return nil
}

// check also puts the defaults in.
func (s *Settings) check() error {
	if s.Method != DormandPrince54 && s.Method != DormandPrince8 {
		return fmt.Errorf("ode: there is no method %d", s.Method)
	}
	for _, v := range []struct {
		name    string
		value   *float64
		instead float64
	}{
		{"RelTol", &s.RelTol, defaultRelTol},
		{"FirstStep", &s.FirstStep, 0},
		{"MaxStep", &s.MaxStep, math.Inf(1)},
		{"ZenoWindow", &s.ZenoWindow, defaultZenoWindow},
	} {
		if !(*v.value >= 0) {
			return fmt.Errorf("ode: %s is %g; it must be positive, or 0 for the default", v.name, *v.value)
		}
		if *v.value == 0 {
			*v.value = v.instead
		}
	}
	if s.RelTol > 0.1 {
		return fmt.Errorf("ode: RelTol is %g; it must be 0.1 or less", s.RelTol)
	}
	if s.MaxSteps < 0 {
		return fmt.Errorf("ode: MaxSteps is %d; it must be positive, or 0 for the default", s.MaxSteps)
	}
	if s.MaxSteps == 0 {
		s.MaxSteps = defaultMaxSteps
	}
	if s.ZenoEvents == 0 {
		s.ZenoEvents = defaultZenoEvents
	}
	if s.ZenoEvents < 2 || s.ZenoEvents > 1_000_000 {
		return fmt.Errorf("ode: ZenoEvents is %d; it must lie between 2 and a million, or be 0 for the default", s.ZenoEvents)
	}
	return nil
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
	s.fresh = false
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
			last := 6
			if s.method == DormandPrince8 {
				last = 12
			}
			s.k[0], s.k[last] = s.k[last], s.k[0]
			continue
		}
		stop, err := s.cross(guard)
		if stop || err != nil {
			return err
		}
	}
	return nil
}

// accept tries steps until one passes the error test. It sets y0, y1, the
// piece and the next proposed step; y and t are still those of the start.
func (s *Solver) accept(tEnd float64, left *int, dense bool) error {
	if !s.fresh {
		s.problem.Derivative(s.t, s.y, s.k[0])
		s.stats.Evaluations++
		if i := notFinite(s.y); i >= 0 {
			return s.fail(ErrNotFinite, s.h, "coordinate %d is %g; look at what set it", i, s.y[i])
		}
		if i := notFinite(s.k[0]); i >= 0 {
			return s.fail(ErrNotFinite, s.h, "the derivative of coordinate %d is %g; look at the right-hand side there", i, s.k[0][i])
		}
		s.fresh = true
	}
	if s.h == 0 {
		s.h = s.firstStep(tEnd)
	}
	for i := range s.guards {
		dense = dense || !s.guards[i].Off
	}
	rejected := false
	for {
		h := min(s.h, s.settings.MaxStep)
		end := s.t + h
		switch remaining := tEnd - s.t; {
		case remaining <= h:
			h, end = remaining, tEnd
		case remaining < 1.1*h:
			h = remaining / 2 // two even steps rather than a sliver at the end
			end = s.t + h
		}
		if end != tEnd && s.t+h/16 == s.t {
			return s.fail(ErrStepTooSmall, h, "rounding would hide a shorter one; loosen RelTol or look for a jump in the right-hand side that no guard watches")
		}
		if *left == 0 {
			return s.fail(ErrBudget, h, "%d trial steps did not reach t = %.12g; raise MaxSteps or loosen RelTol", s.settings.MaxSteps, tEnd)
		}
		*left--

		var e float64
		if s.method == DormandPrince54 {
			e = s.trial54(h)
		} else {
			e = s.trial853(h)
		}
		if e <= 1 {
			if s.method == DormandPrince8 {
				s.finish853(h, dense)
			}
			factor := grow
			if e > 0 {
				factor = min(grow, max(shrink, safety*math.Pow(e, s.exponent)))
			}
			if rejected {
				factor = min(factor, 1)
			}
			next := h * factor
			if h < s.h && factor == grow {
				// Cut short only to land on tEnd, which says nothing against s.h.
				next = max(next, s.h)
			}
			s.h = min(next, s.settings.MaxStep)
			s.stepStart, s.step = s.t, h
			s.piece.T0, s.piece.T1 = s.t, end
			copy(s.y0, s.y)
			s.serial++
			s.stats.Steps++
			return nil
		}
		s.stats.Rejected++
		rejected = true
		if e > 1 && !math.IsInf(e, 1) {
			s.h = h * max(shrink, safety*math.Pow(e, s.exponent))
			continue
		}
		// Not a number, or beyond all bounds: perhaps the trial left the domain
		// of the right-hand side, so try a much shorter one.
		s.h = h * shrink
		if s.t+s.h/16 == s.t {
			return s.fail(ErrNotFinite, h, "the right-hand side gives no finite value however short the step; look at it there")
		}
	}
}

// earliest finds the armed guard that is crossed first in the step, and where
// as a fraction of the step; guard is -1 when the step is certified free.
func (s *Solver) earliest() (guard int, at float64, err error) {
	guard, at = -1, 2
	for i := range s.guards {
		g := &s.guards[i]
		if g.Off {
			continue
		}
		var b bernstein
		n := s.bernsteinForm(g.Coordinate, g.Level, &b)
		if !g.Above {
			b.flip(n)
		}
		// A crossing leaves its coordinate exactly on the level, and so does a
		// change that puts it there: that root is known and must not count.
		if b[0] == 0 {
			n = b.deflate(n)
		}
		clear := true
		for k := 0; k <= n; k++ {
			clear = clear && b[k] >= 0
		}
		if clear {
			continue
		}
		for k := 0; k <= n; k++ {
			if math.IsNaN(b[k]) {
				return -1, 0, s.fail(ErrNotFinite, s.step, "guard %d compares coordinate %d with level %g; look at both", i, g.Coordinate, g.Level)
			}
		}
		if u, ok := b.leaves(n); ok && u < at {
			guard, at = i, u
		}
	}
	return guard, at, nil
}

// cut ends the step at the crossing.
func (s *Solver) cut(guard int, u float64) {
	g := &s.guards[guard]
	if u > 0 {
		for c := range s.y {
			s.y[c] = s.evaluate(s.dense(c), u)
		}
		s.y[g.Coordinate] = g.Level
		s.t = min(s.stepStart+u*s.step, s.piece.T1)
	} else {
		s.t = s.stepStart
		tolerance := s.relTol * (s.problem.Scale[g.Coordinate] + math.Abs(g.Level))
		if math.Abs(s.y[g.Coordinate]-g.Level) <= tolerance {
			s.y[g.Coordinate] = g.Level
		}
	}
	s.piece.T1 = s.t
}

// cross puts the guard on its other side and tells the problem.
func (s *Solver) cross(guard int) (stop bool, err error) {
	s.guards[guard].Above = !s.guards[guard].Above
	s.fresh = false
	if s.problem.Crossing != nil {
		stop = s.problem.Crossing(guard, s.t, s.y, s.guards)
	}
	ring := len(s.times)
	count := s.stats.Crossings
	s.times[count%ring] = s.t
	s.stats.Crossings++
	most := s.settings.ZenoEvents
	if !stop && s.stats.Crossings >= most {
		if first := s.times[(s.stats.Crossings-most)%ring]; s.t-first <= s.settings.ZenoWindow {
			return false, s.fail(ErrZeno, s.h, "%d crossings in %.3g, the last of guard %d; the motion must come to rest or slide in another form, or raise ZenoEvents", most, s.t-first, guard)
		}
	}
	return stop, nil
}

// firstStep is the starting step of Hairer, Norsett, Wanner, section II.4.
func (s *Solver) firstStep(tEnd float64) float64 {
	size, slope := 0.0, 0.0
	for i, y := range s.y {
		sc := s.relTol * (s.problem.Scale[i] + math.Abs(y))
		size += (y / sc) * (y / sc)
		slope += (s.k[0][i] / sc) * (s.k[0][i] / sc)
	}
	h0 := 1e-6
	if size > 1e-10 && slope > 1e-10 {
		h0 = 0.01 * math.Sqrt(size/slope)
	}
	h0 = min(h0, tEnd-s.t, s.settings.MaxStep)
	for i, y := range s.y {
		s.stage[i] = y + h0*s.k[0][i]
	}
	s.problem.Derivative(s.t+h0, s.stage, s.k[1])
	s.stats.Evaluations++
	bend := 0.0
	for i, y := range s.y {
		sc := s.relTol * (s.problem.Scale[i] + math.Abs(y))
		d := (s.k[1][i] - s.k[0][i]) / sc
		bend += d * d
	}
	n := float64(len(s.y))
	largest := max(math.Sqrt(slope/n), math.Sqrt(bend/n)/h0)
	h1 := max(1e-6, h0*1e-3)
	if largest > 1e-15 {
		h1 = math.Pow(0.01/largest, -s.exponent)
	}
	h := min(100*h0, h1, s.settings.MaxStep)
	if !(h > 0) { // an overflow above says nothing about the step
		h = h0
	}
	return h
}

// notFinite returns the first coordinate that is not finite, or -1.
func notFinite(v []float64) int {
	for i, x := range v {
		if x-x != 0 {
			return i
		}
	}
	return -1
}
