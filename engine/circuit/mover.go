package circuit

import "math"

// sense is what of a branch something acts on.
type sense int

const (
	byHand        sense = iota
	directCurrent       // A, its magnitude
	directVoltage       // V, its magnitude
	swingVoltage        // V r.m.s. of what alternates within a band
	allVoltage          // V r.m.s. of everything
	allCurrent          // A r.m.s. of everything
)

// mover is a part that moves contacts: by what flows in a branch, or by hand.
//
// It wants to move once the branch has reached the pick-up level, and back once
// it has fallen to the release level; between both it wants to stay. When it has
// wanted so for its time without a break, it moves.
type mover struct {
	part      int
	branch    int
	by        sense
	pick      float64
	drop      float64
	low, high float64 // Hz, of a band
	operate   float64 // s
	release   float64 // s
	melts     bool    // it opens the branch and never moves back
	beats     bool    // it moves to and fro by itself while it is fed
	legs      []working

	up    bool
	held  bool    // by a fault or a hand: it does not move
	due   float64 // s at which it moves; infinite while it stays
	drive float64 // at the last solution

	recent [buzzing]float64 // s of the last moves
	next   int
}

// working is a leg of a contact at work.
type working struct {
	joint int
	makes bool
}

// A part that moves so often within so many s, with nobody touching anything,
// buzzes: more than five strokes a second are no signal (flashing lights have at
// most 2.8, IEC 60073, second hand).
const (
	buzzing     = 24
	buzzingTime = 2.0
)

// slack is the part by which a level may be missed and count as reached, so that
// an instant that was computed from a level is not missed for its last bit.
const slack = 1e-9

// wants says whether the mover wants to be up at a drive.
func (m *mover) wants(drive float64) bool {
	driven := drive >= m.pick*(1-slack)
	switch {
	case m.melts:
		return m.up || driven
	case m.beats:
		return driven && !m.up
	case driven:
		return true
	case drive <= m.drop*(1+slack):
		return false
	}
	return m.up
}

// decide sets when the mover moves, at an instant.
func (m *mover) decide(now float64) {
	switch {
	case m.by == byHand || m.held || m.wants(m.drive) == m.up:
		m.due = math.Inf(1)
	case math.IsInf(m.due, 1):
		m.due = now + m.delay()
	}
}

func (m *mover) delay() float64 {
	if m.up {
		return m.release
	}
	return m.operate
}

// level is the one at which the mover changes its mind.
func (m *mover) level() float64 {
	if m.up && !m.beats {
		return m.drop
	}
	return m.pick
}

// move moves contacts and what a melting wire opens. It says whether anything
// was opened or closed.
func (m *mover) move(n *network, up bool) {
	m.up, m.due = up, math.Inf(1)
	for _, l := range m.legs {
		n.joints[l.joint].open = l.makes != up
	}
	if m.melts {
		n.branches[m.branch].open = up
	}
}

// note counts a move, and says whether the part buzzes.
func (m *mover) note(now float64) bool {
	if m.beats {
		return false
	}
	m.recent[m.next] = now
	m.next = (m.next + 1) % buzzing
	return now-m.recent[m.next] < buzzingTime
}

// rested forgets how often the part moved.
func (m *mover) rested() {
	for i := range m.recent {
		m.recent[i] = math.Inf(-1)
	}
}

// sense measures what of a branch counts.
func (n *network) sense(k int, by sense, low, high float64) float64 {
	b := &n.branches[k]
	switch by {
	case directCurrent:
		return math.Abs(n.amps(k))
	case directVoltage:
		return math.Abs(n.volts(b.a, b.b))
	case swingVoltage:
		return math.Sqrt(n.swings(b.a, b.b, low, high))
	case allVoltage:
		v := n.volts(b.a, b.b)
		return math.Sqrt(v*v + n.swings(b.a, b.b, 0, math.Inf(1)))
	case allCurrent:
		i := n.amps(k)
		return math.Sqrt(i*i + n.swinging(k))
	}
	return 0
}
