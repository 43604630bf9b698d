package ode

import "math"

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
