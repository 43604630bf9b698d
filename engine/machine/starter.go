package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
)

// StarterSections gives the resistances in ohm of a starter's n sections, the
// one cut out first coming first, for a total resistance of the armature
// circuit at the first stud and that of the armature alone, both in ohm. Each
// stud's resistance is the same part of the one before it, so that the current
// swings between the same two limits on each (the classical design, as in B. L.
// and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, ch. 30).
func StarterSections(total, armature float64, n int) []float64 {
	if n < 1 || !(total > armature && armature > 0) {
		return nil
	}
	ratio := math.Pow(armature/total, 1/float64(n))
	out := make([]float64, n)
	r := total
	for i := range out {
		out[i] = r * (1 - ratio)
		r *= ratio
	}
	return out
}

// StarterCount gives the number of sections, usually not a whole number, with
// which the current swings between the limits most and least in A:
// n = ln(total/armature)/ln(most/least).
func StarterCount(total, armature, most, least float64) float64 {
	return math.Log(total/armature) / math.Log(most/least)
}

// starterTolerance is the part by which the current of a starter may pass a
// limit of its design, rather than that a section more is built.
const starterTolerance = 0.01

// Starter gives the sections in ohm of a starter that holds the armature
// current between two limits in A, within a hundredth of them, at a terminal
// voltage in V: as few as do it. With n sections the current falls to
// most (armature/total)^(1/n) on each stud.
func (m *Motor) Starter(terminal, most, least float64) []float64 {
	total := m.ArmatureResistance + m.AddedResistance(terminal, 0, most)
	n := StarterCount(total, m.ArmatureResistance, most, least*(1-starterTolerance))
	return StarterSections(total, m.ArmatureResistance, int(math.Ceil(n-1e-9)))
}

// SetStarter puts another resistance in series with the armature.
const SetStarter Action = "starter set"

// starter is the starter at work, before each motor. It stands on no card: the
// setup says what it is like.
type starter struct {
	motors   []*motor
	sections []float64 // ohm
	current  float64   // A, of the first motor, at which the next is cut out
	done     int       // sections cut out so far
}

func (s *starter) describe(*constants) {}

func (s *starter) copy() part { c := *s; return &c }

func (s *starter) set(how Setup) { s.sections, s.current = how.Notches, how.NotchCurrent }

func (s *starter) join(m *system) {
	s.motors = nil
	each(m, func(one *motor) { s.motors = append(s.motors, one) })
	impossible := func(c Change) error { return fmt.Errorf("a starter of %g ohm cannot be set", c.Amount) }
	m.act(action{
		what:  SetStarter,
		lacks: impossible,
		check: func(c Change) error {
			if c.Amount < 0 {
				return impossible(c)
			}
			return nil
		},
		do: func(_ *Simulation, c Change, _ []float64) {
			for _, m := range s.motors {
				m.series = c.Amount
			}
		},
	})
}

func (s *starter) watch(y []float64, _ bool) []level {
	if len(s.sections) == 0 {
		return nil
	}
	at := s.motors[0].armature
	return []level{{
		Guard: ode.Guard{Coordinate: at, Level: s.current, Above: y[at] >= s.current, Off: s.done == len(s.sections)},
		cross: func(_ float64, _ []float64, g *ode.Guard) {
			if !g.Above {
				s.notch()
				g.Off = s.done == len(s.sections)
			}
		},
	}}
}

// notch cuts out the next section.
func (s *starter) notch() {
	if s.done == len(s.sections) {
		return
	}
	section := s.sections[s.done]
	s.done++
	for _, m := range s.motors {
		m.series = max(0, m.series-section)
		if s.done == len(s.sections) {
			m.series = 0
		}
	}
}
