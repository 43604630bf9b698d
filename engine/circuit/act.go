package circuit

import (
	"fmt"
	"math"
	"slices"
)

var forever = math.Inf(1)

// unknown says that there is no such part.
func (b *Board) unknown(name string, kinds ...string) error {
	var have []string
	for _, p := range b.wiring.Parts {
		if slices.Contains(kinds, p.Kind) {
			have = append(have, p.Name)
		}
	}
	what := kinds[0]
	if i := b.wiring.part(name); i >= 0 {
		return Flaw{Parts: []string{name}, Reason: fmt.Sprintf("%s is no %s", b.wiring.Parts[i].called(), what), Next: fmt.Sprintf("name one of: %s", list(have))}
	}
	return Flaw{Reason: fmt.Sprintf("there is no %s called %q", what, name), Next: fmt.Sprintf("name one of: %s", list(have))}
}

// mover finds a part that moves.
func (b *Board) mover(name string, kinds ...string) (*mover, error) {
	for i := range b.movers {
		m := &b.movers[i]
		if p := &b.wiring.Parts[m.part]; p.Name == name && slices.Contains(kinds, p.Kind) {
			return m, nil
		}
	}
	return nil, b.unknown(name, kinds...)
}

// hand moves a part by hand or by a fault.
func (b *Board) hand(m *mover, up bool, is State) error {
	for i := range b.movers {
		b.movers[i].rested()
	}
	if m.up == up {
		return b.touched()
	}
	m.move(&b.net, up)
	b.note(m.part, is)
	return b.touched()
}

// Press presses a key, or turns one that stays, or closes a contact's make
// contacts.
func (b *Board) Press(name string) error { return b.work(name, true, Up) }

// LetGo lets a key go, or turns it back.
func (b *Board) LetGo(name string) error { return b.work(name, false, Down) }

func (b *Board) work(name string, up bool, is State) error {
	m, err := b.mover(name, "key", "contact")
	if err != nil || m.held {
		return err
	}
	return b.hand(m, up, is)
}

// Pressed says whether a key is pressed, a relay operated or a fuse blown.
func (b *Board) Pressed(name string) bool {
	i := b.wiring.part(name)
	return slices.ContainsFunc(b.movers, func(m mover) bool { return m.part == i && m.up })
}

// Stick holds a relay, a detector, a flasher, a key or a contact where a fault
// has put it: operated or not.
func (b *Board) Stick(name string, up bool) error {
	m, err := b.mover(name, "relay", "detector", "flasher", "key", "contact")
	if err != nil {
		return err
	}
	m.held = true
	is := Down
	if up {
		is = Up
	}
	return b.hand(m, up, is)
}

// Free says whether the contacts of a part can be moved by a finger: whether no
// fault holds them.
func (b *Board) Free(name string) bool {
	i := b.wiring.part(name)
	return !slices.ContainsFunc(b.movers, func(m mover) bool { return m.part == i && m.held })
}

// Blow blows a fuse, or takes it out.
func (b *Board) Blow(name string) error {
	m, err := b.mover(name, "fuse")
	if err != nil {
		return err
	}
	return b.hand(m, true, Blown)
}

// BurnOut burns a lamp out.
func (b *Board) BurnOut(name string) error {
	for i := range b.signs {
		s := &b.signs[i]
		if p := b.wiring.Parts[s.part]; p.Name == name && p.Kind == "lamp" {
			s.burnt, b.net.branches[s.branch].open = true, true
			b.note(s.part, Burnt)
			return b.touched()
		}
	}
	return b.unknown(name, "lamp")
}

// Cut cuts a wire.
func (b *Board) Cut(name string) error {
	for i, w := range b.wiring.Wires {
		if w.Name == name {
			b.net.joints[i].open = true
			b.events = append(b.events, Event{b.now, name, CutOpen})
			return b.touched()
		}
	}
	return Flaw{Reason: fmt.Sprintf("there is no wire called %q", name), Next: "name a wire of wires.csv"}
}
