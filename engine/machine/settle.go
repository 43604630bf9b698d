package machine

import (
	"errors"
	"math"
)

// most turns after which a settled machine may repeat itself
const longestRepeat = 6

// time in s after which a machine is taken as it is
const longestSettle = 20.0

// Settle goes on until the machine repeats itself from turn to turn (or every
// few turns), and then sets its time to 0 at the start of a turn. A machine
// that does not repeat itself within 20 s is taken as it is then: it hunts, or
// skips turns. A machine just made begins from New's guess, which no fuse has
// to carry; its fuse is held to what it comes to in the end. Settle fails with
// a Standstill when the shaft does not turn, or would stop, its fuse melted.
func (s *Simulation) Settle() error {
	const block = 0.5
	g, m, fuse := &s.gauge, s.sys, s.sys.fuse
	g.strobe = true
	defer func() { g.strobe = false }()
	if s.guessed {
		s.watchFuse(false)
	}
	for began := s.Time(); s.Time()-began < longestSettle; {
		if err := s.Advance(block); err != nil {
			return err
		}
		gone := fuse != nil && fuse.blown && fuse.melted.at > g.strobed(0).t // since the last strobe
		if g.count >= 20 && !gone && g.repeat(1e-4) > 0 {
			break
		}
	}
	if g.count < 20 || s.Time()-g.strobed(0).t > 2 || s.stopped() != "" {
		if fuse != nil && !fuse.blown {
			if err := fuse.carries(math.Abs(s.solver.State()[m.motor.armature])); err != nil {
				return err
			}
		}
		return s.standstill(g.count)
	}
	repeat := g.repeat(0)
	last := g.strobed(0)
	y := append([]float64(nil), last.y...)
	y[m.shaft.angle] = 0
	if fuse != nil && !fuse.blown {
		if repeat > 0 {
			from := g.strobed(repeat)
			y[fuse.heat] = fuse.settled(from.y[fuse.heat], last.y[fuse.heat], last.t-from.t)
		}
		err := fuse.carries(math.Sqrt(y[fuse.heat]))
		if err != nil && !m.shaft.held {
			return err
		}
		if err != nil { // the drive turns the shaft all the same
			fuse.melt(s.Time(), s.solver.State())
			s.solver.Restart()
			return s.Settle()
		}
	}
	m.later(last.t)
	s.guessed = false
	err := s.begin(y)
	g.period = repeat
	return err
}

// watchFuse lets the fuse melt, or not.
func (s *Simulation) watchFuse(on bool) {
	if s.sys.fuse != nil {
		s.sys.fuse.spared = !on
		s.watchAgain()
	}
}

// disturbances are factors on the generator's field current. In trials over
// plunger dampings and loads these three led to every other steady state but
// one that any of nine factors led to.
var disturbances = [...]float64{0.5, 1.5, 1.8}

// Others sums up other steady states of a settled machine, as Settle leaves it.
// A regulator whose plunger has little damping may have several: its contact
// then works twice a turn, or in a longer rhythm of its own at another voltage,
// and which one it falls into depends on how it got there. So the generator's
// field current is changed in copies of the machine, and each is watched until
// its regulator does again what it did before; one that settles elsewhere is
// summed up. Where nothing else is found, that takes a fifth of the time of
// Settle and Measure, little enough to ask always. It proves nothing: there may
// be a state that no such disturbance leads to. A machine without regulator, or
// one that does not repeat itself, is not asked.
func (s *Simulation) Others() ([]Summary, error) {
	if s.sys.regulator == nil || s.gauge.period == 0 {
		return nil, nil
	}
	var out []Summary
	for _, part := range disturbances {
		c, err := s.Clone()
		if err != nil {
			return nil, err
		}
		c.solver.State()[c.sys.generator.exciting] *= part
		c.solver.Restart()
		c.guessed = true
		c.watchFuse(false)
		back, err := c.returns(s.solver.State())
		if err != nil {
			return nil, err
		}
		if back {
			continue
		}
		var still Standstill
		if err := c.Settle(); errors.As(err, &still) {
			continue // no state in which it runs
		} else if err != nil {
			return nil, err
		}
		sum, err := c.Measure()
		if err != nil {
			return nil, err
		}
		out = append(out, sum)
	}
	return out, nil
}

// returns says whether the regulator of a disturbed machine does again what it
// did at a state from the start of a turn.
func (s *Simulation) returns(to []float64) (bool, error) {
	g := &s.gauge
	g.strobe = true
	defer func() { g.strobe = false }()
	for s.Time() < longestSettle {
		if err := s.Advance(0.25); err != nil {
			return false, err
		}
		switch {
		case g.near(to):
			return true, nil
		case g.repeat(1e-4) > 0:
			return false, nil
		}
	}
	return false, nil
}
