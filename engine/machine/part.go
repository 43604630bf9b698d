package machine

import (
	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// part is a part of a machine at work: its constants as numbers, where its
// states stand, what it is joined to, and what switches and faults did to it.
// What else a part does, it says by further methods, named below.
type part interface {
	Model
	// copy gives a second part, which join then joins to others than the first.
	copy() part
	// join takes what belongs to the part out of the system (states, signals,
	// actions, lines of the energy account), and finds what it is joined to.
	join(s *system)
}

// instant is the shaft while the derivative is worked out.
type instant struct {
	t        float64 // s
	w, dir   float64 // rad/s, and the sense of turning as friction sees it
	sin, cos float64 // of the shaft's angle
	torque   float64 // N m, on the shaft, without that of masses that ride on it
	reaction float64 // N m, of those
	inertia  float64 // kg m2, of those
}

// Further methods of parts.
type (
	// set takes what the setup says, once, before the part works.
	setting interface{ set(how Setup) }

	// add adds the part's equations to the derivative d at state y.
	adding interface {
		add(x *instant, y, d []float64)
	}

	// account writes the powers in W of the part's lines of the account, after
	// all parts have added to the derivative; stored is the energy in J that the
	// part holds at a state.
	accounting interface {
		account(x *instant, y, lines []float64)
	}
	storing interface{ stored(y []float64) float64 }

	// watch gives the levels that the part watches from a state on, first when
	// the machine is new.
	watching interface {
		watch(y []float64, first bool) []level
	}

	// closes works out which circuits are closed, after something was switched;
	// still takes the current out of those that are not.
	closing  interface{ closes() }
	stilling interface{ still(y []float64) }

	// put takes its share of a load.
	loading interface{ put(l Load) }

	// rest puts the part into the state in which it is at rest.
	resting interface{ rest(y []float64) }

	// ask puts the part into a guessed state, and adds to the torque that it
	// asks of the shaft; give does so afterwards, for parts that give it.
	asking interface {
		ask(e *estimate, y []float64)
	}
	giving interface {
		give(e *estimate, y []float64)
	}

	// later makes a time in s the new time 0.
	clocked interface{ later(t float64) }

	// keep gives what a snapshot has to hold beside the state, and recall takes
	// it back.
	keeping interface {
		keep() float64
		recall(x float64)
	}

	// beyond says why a state is an extrapolation, or "".
	limited interface{ beyond(y []float64) string }
)

// estimate is what a guessed state is made from.
type estimate struct {
	speed    float64 // turns/s
	held     bool    // by an outside drive
	half     float64 // V^2 s, of a generator: over a resistance in ohm it gives the mean torque in N m that this asks for
	electric float64 // N m, that all loads of a generator ask for
}

// state is one coordinate.
type state struct {
	kind, name string  // of its part
	scale      float64 // size at which it counts as small
	compared   bool    // in looking whether the machine repeats itself
}

// signal is a quantity that can be recorded.
type signal struct {
	name, unit string
	kind       waveform.Kind
	part       string
	contact    *contact // of a contact, which is recorded at its changes
	value      func(t float64, y []float64) float64
}

// level is a height of a coordinate at which something happens.
type level struct {
	ode.Guard
	cross func(t float64, y []float64, g *ode.Guard)
	off   func() bool // after a change; nil when it is always watched
}

// line is one line of the energy account.
type line struct {
	where    string
	supplied bool // comes in, and does not go
}

// member is a part among those of its machine.
type member struct {
	part
	name, kind string
}

// each calls do with every part that is of a sort, or has some further methods.
func each[T any](s *system, do func(T)) {
	for _, m := range s.parts {
		if t, ok := m.part.(T); ok {
			do(t)
		}
	}
}

// first finds the first part of a sort; nil when there is none.
func first[T any](s *system) T { return nth[T](s, 0) }

// partner finds for the n-th part of one sort the n-th of another; nil when
// there is none.
func partner[T any, P comparable](s *system, of P) T {
	n, at := 0, 0
	each(s, func(p P) {
		if p == of {
			at = n
		}
		n++
	})
	return nth[T](s, at)
}

func nth[T any](s *system, n int) (found T) {
	each(s, func(t T) {
		if n == 0 {
			found = t
		}
		n--
	})
	return found
}
