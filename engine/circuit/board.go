package circuit

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Board is a wiring at an instant, ready to go on. The same wiring, with the
// same hands at the same times, gives the same events to the last bit.
type Board struct {
	wiring  Wiring
	net     network
	wires   int // the first joints are wires
	movers  []mover
	signs   []sign
	meters  []sign
	feeds   []feed
	now     float64
	events  []Event
	changes int
	marks   map[string]int // terminals by PART.MARK
}

// Event is something that changed at a time in s.
type Event struct {
	At   float64
	Part string
	Is   State
}

// State is what a part is seen or known to do.
type State string

// States of parts.
const (
	Up      State = "up" // a relay or its like, or a key that is pressed or turned
	Down    State = "down"
	Blown   State = "blown"
	Dark    State = "dark" // of a lamp
	Dim     State = "dim"
	Lit     State = "lit"
	Rings   State = "rings" // of a bell
	Silent  State = "silent"
	Burnt   State = "burnt out"
	CutOpen State = "cut" // of a wire
)

// MostSeconds is how long a board may be watched in all, and MostChanges how
// often anything on it may move; mostSpent bounds what solving it may take.
const (
	MostSeconds = 3600
	MostChanges = 20000
	mostSpent   = 1e10 // multiplications, some seconds of work
)

// before is how long, in s, a board has been fed at time 0.
const before = 10

// New puts a wiring to work, at rest at time 0: fed for some time, all keys as
// they lie, sets standing still. Check must find nothing in the wiring with which it
// does not work.
func New(w Wiring) (*Board, error) {
	b, err := w.laid()
	if err != nil {
		return nil, err
	}
	b.now = -before
	if err = b.touched(); err == nil {
		err = b.AdvanceTo(0)
	}
	b.Forget()
	return b, err
}

// laid lays out all parts and wires of a wiring, unsolved.
func (w Wiring) laid() (*Board, error) {
	b := &Board{wiring: w, marks: map[string]int{}}
	for i := range w.Parts {
		p := &w.Parts[i]
		marks, err := p.Marks()
		if err != nil {
			return nil, Flaw{Parts: []string{p.Name}, Reason: p.called() + ": " + err.Error(), Next: contactHint}
		}
		for _, m := range marks {
			b.marks[p.Name+"."+m] = len(b.marks)
		}
	}
	n := &b.net
	for _, one := range w.Wires {
		for _, end := range []string{one.From, one.To} {
			if _, ok := b.marks[end]; !ok {
				return nil, w.noTerminal(end)
			}
		}
		n.joints = append(n.joints, joint{a: b.marks[one.From], b: b.marks[one.To]})
	}
	b.wires = len(n.joints)
	n.begin(len(b.marks))
	for i := range w.Parts {
		k, _ := kindOf(w.Parts[i].Kind)
		k.work(&builder{b, &w.Parts[i], i, b.marks})
	}
	return b, nil
}

// Time gives the time in s since the board was put to work.
func (b *Board) Time() float64 { return b.now }

// Events lists what changed since the board was put to work, or since Forget.
func (b *Board) Events() []Event { return slices.Clone(b.events) }

// Forget drops the events so far.
func (b *Board) Forget() { b.events = b.events[:0] }

// touched solves the network after something was opened or closed.
func (b *Board) touched() error {
	if err := b.net.connect(); err != nil {
		return b.unsolved(err)
	}
	b.feed()
	b.net.solve()
	b.look()
	return nil
}

// look lets everything see what the solution says.
func (b *Board) look() {
	for i := range b.movers {
		m := &b.movers[i]
		if m.by != byHand {
			m.drive = b.net.sense(m.branch, m.by, m.low, m.high)
		}
		m.decide(b.now)
	}
	for i := range b.signs {
		s := &b.signs[i]
		if is := s.state(&b.net); is != s.is {
			if s.is != "" || is == Lit || is == Rings {
				b.note(s.part, is)
			}
			s.is = is
		}
	}
}

func (b *Board) note(part int, is State) {
	b.events = append(b.events, Event{b.now, b.wiring.Parts[part].Name, is})
}

// unsolved names the parts of a network without a solution.
func (b *Board) unsolved(err error) error {
	var s *short
	if !errors.As(err, &s) {
		return err
	}
	var names []string
	for _, k := range s.branches {
		if name := b.wiring.Parts[b.net.branches[k].part].Name; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(s.branches) > 1 {
		return Flaw{Parts: names, Reason: fmt.Sprintf("the network has no solution: %s stand against each other with nothing between them", list(names)),
			Next: "give one of them the resistance that it has, or take it out"}
	}
	k := b.net.branches[s.branches[0]]
	return Flaw{Parts: names, Reason: fmt.Sprintf("%s shorts %s: both of its terminals are joined, %s", b.joining(k.a, k.b), names[0], b.when()),
		Next: "take out the wire that joins them, or put into its way what should limit the current"}
}

// joining names a wire or a part on the way from one terminal to another.
func (b *Board) joining(from, to int) string {
	for i, j := range b.net.joints {
		if j.open || b.net.node[j.a] != b.net.node[from] {
			continue
		}
		if i < b.wires {
			if a, z := min(j.a, j.b), max(j.a, j.b); a == min(from, to) && z == max(from, to) {
				return "the wire " + b.wiring.Wires[i].Name
			}
			continue
		}
		for m := range b.movers {
			for _, l := range b.movers[m].legs {
				if l.joint == i {
					return "a contact of " + b.wiring.Parts[b.movers[m].part].Name
				}
			}
		}
	}
	return "a way through wires"
}

func (b *Board) when() string {
	if b.now <= 0 {
		return "at rest"
	}
	return fmt.Sprintf("after %.4g s", b.now)
}

// Advance goes on for a time in s. It stops and fails where something buzzes
// without end, where a source is shorted, and where too much happens.
func (b *Board) Advance(seconds float64) error { return b.AdvanceTo(b.now + seconds) }

// AdvanceTo goes on in the same way to a time in s.
func (b *Board) AdvanceTo(end float64) error {
	if !(end >= b.now) || !(end <= MostSeconds) {
		return Flaw{Reason: fmt.Sprintf("a board cannot be watched until %g s", end), Next: fmt.Sprintf("give a time from %.4g to %d s", b.now, MostSeconds)}
	}
	for {
		next := min(end, b.dues())
		sample := b.sample()
		ramp := sample < math.Inf(1)
		if to := min(next, sample); ramp && to > b.now {
			if err := b.slide(to); err != nil {
				return err
			}
			if b.now < next {
				continue
			}
			next = min(end, b.dues())
			if next > b.now {
				continue
			}
		}
		b.now = max(b.now, next)
		if b.dues() > b.now {
			return nil
		}
		if err := b.moveDue(); err != nil {
			return err
		}
	}
}

func (b *Board) dues() float64 {
	due := math.Inf(1)
	for i := range b.movers {
		due = min(due, b.movers[i].due)
	}
	return due
}

// slide goes on to a time up to which the sets change evenly, or to the first
// instant before it at which a part wants something else.
func (b *Board) slide(to float64) error {
	from := b.now
	b.now = to
	b.feed()
	b.net.solve()
	at := to
	for i := range b.movers {
		m := &b.movers[i]
		if m.by == byHand || m.held {
			continue
		}
		drive := b.net.sense(m.branch, m.by, m.low, m.high)
		if m.wants(drive) == m.wants(m.drive) {
			continue
		}
		if part := (m.level() - m.drive) / (drive - m.drive); part >= 0 && part < 1 {
			at = min(at, from+part*(to-from))
		}
	}
	// a level is met by steps, each nearer, since voltages do not change evenly
	if at = max(at, from+1e-6); at < to {
		b.now = at
		b.feed()
		b.net.solve()
	}
	b.look()
	return nil
}

// moveDue moves all that is due now, at once.
func (b *Board) moveDue() error {
	var loud []string
	for i := range b.movers {
		m := &b.movers[i]
		if m.due > b.now {
			continue
		}
		m.move(&b.net, !m.up)
		b.changes++
		is := Down
		if m.up {
			is = Up
		}
		if m.melts {
			is = Blown
		}
		b.note(m.part, is)
		if m.note(b.now) {
			loud = append(loud, b.wiring.Parts[m.part].Name)
		}
	}
	if err := b.touched(); err != nil {
		return err
	}
	if len(loud) > 0 {
		return Flaw{Parts: loud, Reason: fmt.Sprintf("%s buzzes without end, %s: its own contact takes away what moves it", loud[0], b.when()),
			Next: "feed it past that contact, or make its release slower"}
	}
	if b.net.spent > mostSpent {
		return Flaw{Parts: b.busiest(), Reason: fmt.Sprintf("so large a board with so many moves takes too long to solve; it has come to %.4g s", b.now), Next: "watch it for a shorter time, or in pieces"}
	}
	if b.changes > MostChanges {
		return Flaw{Parts: b.busiest(), Reason: fmt.Sprintf("more than %d moves within %.4g s", MostChanges, b.now), Next: "watch the board for a shorter time"}
	}
	return nil
}

// busiest names the parts that are about to move again.
func (b *Board) busiest() (names []string) {
	for i := range b.movers {
		if m := &b.movers[i]; m.beats || !math.IsInf(m.due, 1) {
			names = append(names, b.wiring.Parts[m.part].Name)
		}
	}
	return names
}

// Settle goes on until nothing is about to move and all sets are steady, for a
// time in s at most. It fails, naming the parts, when that does not happen.
func (b *Board) Settle(most float64) error {
	for end := b.now + most; ; {
		next := min(b.dues(), b.sample())
		if math.IsInf(next, 1) {
			return nil
		}
		if next > end {
			names := b.busiest()
			return Flaw{Parts: names, Reason: fmt.Sprintf("the board does not come to rest within %g s: %s go on", most, list(names)), Next: "ask for a time instead"}
		}
		if err := b.AdvanceTo(next); err != nil {
			return err
		}
	}
}
