package machine

import (
	"math"
	"slices"

	"slipring/engine/waveform"
)

// system is the machine as one set of equations, put together from its parts.
// It knows them by what they do. Of those that a Summary speaks of it knows
// the first of each sort; nil when there is none.
type system struct {
	parts  []member // in the order in which they join
	adding []adding
	how    Setup
	load   Load

	states   []state
	scale    []float64
	signals  []signal
	contacts []*contact
	actions  []action
	lines    []line // of the energy account; none without Setup.Audit
	account  int    // coordinate of the first

	shaft     *shaft
	output    *output
	governor  *governor
	motor     *motor
	acMotor   *acMotor
	generator *generator
	regulator *regulator
	fuse      *fuse

	joining member // the part that joins now
	prefix  string // of the names of its signals
	now     instant
}

// newSystem puts a machine together from the parts of a valid card.
func newSystem(c Card, how Setup) *system {
	s := &system{how: how}
	for round := range rounds {
		for _, p := range c.Parts {
			if k, _ := find(p.kind()); k.round == round {
				part := k.make()
				part.describe(&constants{given: p.Given})
				s.parts = append(s.parts, member{part, p.Name, k.name})
			}
		}
	}
	if !c.Has("output") { // one of which the card says nothing
		s.parts = append(s.parts, member{new(output), "output", "output"})
	}
	if first[*motor](s) != nil {
		s.parts = append(s.parts, member{new(starter), "starter", "starter"})
	}
	each(s, func(p setting) { p.set(how) })
	s.assemble()
	return s
}

// everything is a machine with one of each part, to look up what there can be.
func everything() *system {
	s := new(system)
	for _, k := range kinds {
		s.parts = append(s.parts, member{k.make(), k.name, k.name})
	}
	s.parts = append(s.parts, member{new(starter), "starter", "starter"})
	s.assemble()
	return s
}

// copy gives a second machine in the same modes.
func (s *system) copy() *system {
	c := &system{how: s.how, load: s.load}
	for _, m := range s.parts {
		c.parts = append(c.parts, member{m.copy(), m.name, m.kind})
	}
	c.assemble()
	return c
}

// assemble joins the parts.
func (s *system) assemble() {
	s.shaft, s.output, s.governor, s.motor = first[*shaft](s), first[*output](s), first[*governor](s), first[*motor](s)
	s.acMotor, s.generator, s.regulator, s.fuse = first[*acMotor](s), first[*generator](s), first[*regulator](s), first[*fuse](s)
	for i, m := range s.parts {
		s.joining, s.prefix = m, ""
		if slices.ContainsFunc(s.parts[:i], func(other member) bool { return other.kind == m.kind }) {
			s.prefix = m.name + " "
		}
		m.join(s)
	}
	each(s, func(p adding) { s.adding = append(s.adding, p) })
	for _, one := range s.states {
		s.scale = append(s.scale, one.scale)
	}
	s.account = len(s.states)
	for range s.lines {
		s.scale = append(s.scale, 1)
	}
}

// state takes a coordinate for the part that joins, small at a scale. One that
// is not compared may differ from turn to turn in a machine that has settled:
// it follows the others, or is slow.
func (s *system) state(name string, scale float64, compared bool) int {
	s.states = append(s.states, state{s.joining.kind, name, scale, compared})
	return len(s.states) - 1
}

// coordinate finds a state of the first part of a kind.
func (s *system) coordinate(kind, name string) (at int, ok bool) {
	at = slices.IndexFunc(s.states, func(one state) bool { return one.kind == kind && one.name == name })
	return at, at >= 0
}

// signal offers a quantity of the part that joins. A second part of its kind has
// its name before those of its signals.
func (s *system) signal(name, unit string, kind waveform.Kind, value func(t float64, y []float64) float64) {
	s.signals = append(s.signals, signal{name: s.prefix + name, unit: unit, kind: kind, part: s.joining.name, value: value})
}

// shows offers a state of the part that joins as a signal, times a factor.
func (s *system) shows(name, unit string, kind waveform.Kind, at int, factor float64) {
	s.signal(name, unit, kind, func(_ float64, y []float64) float64 { return factor * y[at] })
}

// contact offers a contact of the part that joins.
func (s *system) contact(name string, c *contact) {
	s.contacts = append(s.contacts, c)
	s.signal(name, "", waveform.Contact, func(float64, []float64) float64 { return step(c.closed()) })
	s.signals[len(s.signals)-1].contact = c
}

// spends opens a line of the account for energy that goes a way.
func (s *system) spends(where string) int { return s.opens(line{where: where}) }

// supplies opens a line for energy that comes in.
func (s *system) supplies() int { return s.opens(line{supplied: true}) }

func (s *system) opens(l line) int {
	if !s.how.Audit {
		return 0
	}
	for i, had := range s.lines {
		if had == l && !l.supplied {
			return i // several parts share it
		}
	}
	s.lines = append(s.lines, l)
	return len(s.lines) - 1
}

// dim is the number of coordinates.
func (s *system) dim() int { return len(s.scale) }

// derivative writes dy/dt. The shaft obeys
//
//	(J + m rho^2) w' = T_motor - T_generator - T_load - T_loss - m rho (g sin th + 2 v w)
//
// with rho the governor weight's distance from the axis.
func (s *system) derivative(t float64, y, d []float64) {
	n := len(s.scale)
	y, d = y[:n], d[:n]
	clear(d)
	h, x := s.shaft, &s.now
	w := y[h.speed]
	x.t, x.w, x.dir = t, w, direction(w)
	x.sin, x.cos = math.Sincos(y[h.angle])
	x.torque = -h.loss(w, x.dir) - h.brake*x.dir
	x.reaction, x.inertia = 0, 0
	for _, p := range s.adding {
		p.add(x, y, d)
	}
	d[h.angle] = w
	if !h.held {
		d[h.speed] = (x.torque + x.reaction) / (h.Inertia + x.inertia)
	}
	if len(s.lines) > 0 {
		lines := d[s.account:]
		each(s, func(p accounting) { p.account(x, y, lines) })
	}
}

// usual gives the speed in turns a second at which the machine usually works,
// or 0 when nothing says it.
func (s *system) usual() float64 {
	if s.governor != nil {
		return s.governor.ContactSpeed
	}
	return s.output.Frequency
}

// longestStep is a thirtieth of a turn. Where no contact works, DOP853 takes
// longer ones, and its dense output, off which turns and crossings are read, is
// then a hundred times less exact than its steps.
func (s *system) longestStep() float64 {
	if n := s.usual(); n > 0 {
		return 1 / (30 * n)
	}
	return 0
}

// closes works out which circuits are closed.
func (s *system) closes() { each(s, func(p closing) { p.closes() }) }

// still takes the current out of branches that are open.
func (s *system) still(y []float64) {
	s.closes()
	each(s, func(p stilling) { p.still(y) })
}

// later makes a time t in s the new time 0.
func (s *system) later(t float64) { each(s, func(p clocked) { p.later(t) }) }

// stored is the energy in J that windings, capacitors, springs and masses
// hold at a state.
func (s *system) stored(y []float64) (e float64) {
	each(s, func(p storing) { e += p.stored(y) })
	return e
}
