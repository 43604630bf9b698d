package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// Wiring is the house's wiring, after what was done to it so far. Each method
// that does something gives a wiring of its own, and leaves this one as it is:
//
//	up := bench.Wiring().Press("start").At(10)
//	up.Lamps()
//	up.Volts("TS1.1", "TS1.5")
//
// It begins at time 0 with the set at rest and every key as it lies. Relays take
// their times; everything else follows at once. The set itself is solved as
// machine.Simulation does it, with what the wiring puts before its motor.
type Wiring struct {
	shelf *Shelf
	load  machine.Load
	acts  []act
	now   float64
	board *circuit.Board         // at now; nil until it is asked for
	given map[string]circuit.Set // with it, what the sets do
	other *circuit.Wiring        // in place of the house's; nil for none
	ill   []machine.Change       // what is wrong with the sets from the beginning
}

// laid is the wiring as it is laid.
func (w *Wiring) laid() circuit.Wiring {
	if w.other != nil {
		return *w.other
	}
	return *w.shelf.wiring
}

// act is something that is done to a wiring at a time.
type act struct {
	at   float64
	what string // for the key of what is kept
	do   func(b *circuit.Board) error
}

func byTime(a, b act) int { return cmp.Compare(a.at, b.at) }

// byItself begins the names of acts that follow from others by themselves.
const byItself = "later "

// pressing is how long, in s, a key is pressed.
const pressing = 0.5

// Wire puts the house's wiring on the shelf, for Wiring to give.
func (s *Shelf) Wire(w circuit.Wiring) { s.wiring = &w }

// Wiring gives the house's wiring: that of wiring/parts.toml and wiring/wires.csv
// in the lessons folder.
func (s *Shelf) Wiring() *Wiring {
	if s.wiring == nil {
		panic(tell.Misuse{Text: "the house has no wiring", Hint: "describe it in wiring/parts.toml and wiring/wires.csv"})
	}
	return &Wiring{shelf: s}
}

func (w *Wiring) then(at float64, what string, do func(b *circuit.Board) error) *Wiring {
	c := *w
	c.board = nil
	c.acts = append(slices.Clone(w.acts), act{at, what, do})
	slices.SortStableFunc(c.acts, byTime)
	if !strings.HasPrefix(what, byItself) {
		c.boardNow() // what cannot be done is said where it is done
	}
	return &c
}

// At goes on to a time in s, counted from the beginning.
func (w *Wiring) At(seconds float64) *Wiring {
	if !(seconds >= w.now && seconds <= mostSeconds) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a wiring at %v s cannot be looked at after %v s", w.now, seconds),
			Hint: fmt.Sprintf("give a time from %v to %d s", w.now, mostSeconds)})
	}
	c := *w
	c.now, c.board = seconds, nil
	return &c
}

// Under puts a load on the set, from the beginning.
func (w *Wiring) Under(load machine.Load) *Wiring {
	c := *w
	c.load, c.board = load, nil
	return &c
}

// Press presses a key for half a second. A key that stays where it is put is
// turned over, and stays.
func (w *Wiring) Press(key string) *Wiring {
	if p, _ := w.shelf.wiring.Part(key); p.Stays {
		return w.then(w.now, "turn "+key, func(b *circuit.Board) error {
			if b.Pressed(key) {
				return b.LetGo(key)
			}
			return b.Press(key)
		})
	}
	return w.Hold(key).then(w.now+pressing, byItself+"let go "+key, func(b *circuit.Board) error { return b.LetGo(key) })
}

// Hold presses a key, or works a contact, and keeps it so.
func (w *Wiring) Hold(key string) *Wiring {
	return w.then(w.now, "hold "+key, func(b *circuit.Board) error { return b.Press(key) })
}

// LetGo lets a key go that is held.
func (w *Wiring) LetGo(key string) *Wiring {
	return w.then(w.now, "let go "+key, func(b *circuit.Board) error { return b.LetGo(key) })
}

// Cut cuts a wire, by its number in wires.csv.
func (w *Wiring) Cut(wire string) *Wiring {
	return w.then(w.now, "cut "+wire, func(b *circuit.Board) error { return b.Cut(wire) })
}

// Blow blows a fuse, or takes it out.
func (w *Wiring) Blow(fuse string) *Wiring {
	return w.then(w.now, "blow "+fuse, func(b *circuit.Board) error { return b.Blow(fuse) })
}

// BurnOut burns a lamp out.
func (w *Wiring) BurnOut(lamp string) *Wiring {
	return w.then(w.now, "burn out "+lamp, func(b *circuit.Board) error { return b.BurnOut(lamp) })
}

// Stick holds a relay, a detector or a key where it is, operated or not.
func (w *Wiring) Stick(part string, operated bool) *Wiring {
	return w.then(w.now, fmt.Sprintf("stick %s %v", part, operated), func(b *circuit.Board) error { return b.Stick(part, operated) })
}

// Faults gives the names of all faults that the wiring can have, one at a time.
func (w *Wiring) Faults() (names []string) {
	for _, f := range w.shelf.wiring.Faults() {
		names = append(names, f.Name())
	}
	return names
}

// FaultSentence says in plain words what a fault is.
func (w *Wiring) FaultSentence(name string) string { return w.fault(name).Sentence }

// Fail brings about a fault of the wiring. Faults gives the names.
func (w *Wiring) Fail(name string) *Wiring {
	f := w.fault(name)
	return w.then(w.now, "fail "+name, func(b *circuit.Board) error { return b.Fail(f) })
}

func (w *Wiring) fault(name string) circuit.Fault {
	for _, f := range w.shelf.wiring.Faults() {
		if f.Name() == name {
			return f
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("the wiring can have no fault called %q", name), Hint: `faults are called, for example, "W17 open", "F1 blown", "H1 burnt out", "K1 stuck operated"; Faults gives all`})
}

// Seen gives what a person sees and hears at the board now, for packages that
// compare boards.
func (w *Wiring) Seen() circuit.Seen { return w.boardNow().Seen() }

// Given gives what a set, by the name of its part, puts on its terminals, as far
// as it was worked out to know how the wiring is now.
func (w *Wiring) Given(set string) circuit.Set {
	w.boardNow()
	return w.given[set]
}

// Lamp is a lamp as it is seen.
type Lamp struct {
	Part, Text, Colour string
	Lit                bool // or else dim or dark
	Dim                bool
}

// Lamps gives all lamps, in the order of the parts.
func (w *Wiring) Lamps() (out []Lamp) {
	for _, l := range w.boardNow().Seen().Lamps {
		out = append(out, Lamp{l.Part, l.Text, l.Colour, l.Is == circuit.Lit, l.Is == circuit.Dim})
	}
	return out
}

// Lit gives the texts on the lamps that are lit.
func (w *Wiring) Lit() (texts []string) {
	for _, l := range w.Lamps() {
		if l.Lit {
			texts = append(texts, l.Text)
		}
	}
	return texts
}

// Rings says whether a bell of the board rings.
func (w *Wiring) Rings() bool { return len(w.boardNow().Seen().Bells) > 0 }

// Meter gives what a meter of the board reads, in its unit.
func (w *Wiring) Meter(name string) float64 {
	var known []string
	for _, m := range w.boardNow().Seen().Meters {
		if m.Part == name {
			return m.Reads
		}
		known = append(known, m.Part)
	}
	panic(tell.Misuse{Text: fmt.Sprintf("no meter is called %q", name), Hint: "meters: " + strings.Join(known, ", ")})
}

// Operated says whether a relay is operated, a key pressed, or a fuse blown.
func (w *Wiring) Operated(part string) bool {
	if _, ok := w.shelf.wiring.Part(part); !ok {
		panic(tell.Misuse{Text: fmt.Sprintf("no part is called %q", part), Hint: "name a part of wiring/parts.toml"})
	}
	return w.boardNow().Pressed(part)
}

// Volts gives the direct voltage in V from one terminal to another, such as
// "TS1.1" and "TS1.5", as a meter of high resistance shows it.
func (w *Wiring) Volts(from, to string) float64 {
	return asked(w.boardNow().Volts(from, to))
}

// Alternating gives the r.m.s. alternating voltage in V between two terminals.
func (w *Wiring) Alternating(from, to string) float64 {
	return asked(w.boardNow().Swing(from, to))
}

// Amps gives the direct current in A through a part, from its first terminal to
// its second; through a set, that of its armature.
func (w *Wiring) Amps(part string) float64 { return asked(w.boardNow().Amps(part)) }

// WireAmps gives the current in A r.m.s. in a wire, by its number in wires.csv:
// direct and alternating together. Where wires stand side by side, each is taken
// to have as much resistance as any other.
func (w *Wiring) WireAmps(wire string) float64 {
	for i, one := range w.laid().Wires {
		if one.Name == wire {
			return w.boardNow().WireAmps()[i]
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("no wire is called %q", wire), Hint: "name a wire of wires.csv"})
}

// Ohms gives the resistance in ohm between two terminals with all power off:
// relays at rest, keys as they are held. It is infinite where nothing leads from
// one to the other; Joined says so in words that a page can print.
func (w *Wiring) Ohms(from, to string) float64 { return asked(w.boardNow().Ohms(from, to)) }

// Joined says whether a tester between two terminals sounds, with all power off:
// whether less than a resistance in ohm leads from one to the other.
func (w *Wiring) Joined(from, to string, ohm float64) bool { return w.Ohms(from, to) < ohm }

func asked(x float64, err error) float64 {
	if err != nil {
		panic(misuseOfWiring(err))
	}
	return x
}

func misuseOfWiring(err error) tell.Misuse {
	if f, ok := err.(circuit.Flaw); ok {
		return tell.Misuse{Text: f.Reason, Hint: f.Next}
	}
	return misuse(err)
}

// Timeline gives who is up when, from the beginning until now: a signal a part,
// called by its name and what is written on it, 1 while a relay is operated, a key
// pressed, a lamp lit or a bell rings. Without names it gives all that changes.
func (w *Wiring) Timeline(parts ...string) waveform.Set {
	events := w.boardNow().Events()
	if len(parts) == 0 {
		for _, e := range events {
			if !slices.Contains(parts, e.Part) {
				parts = append(parts, e.Part)
			}
		}
	}
	var out waveform.Set
	for _, name := range parts {
		p, ok := w.shelf.wiring.Part(name)
		if !ok {
			panic(tell.Misuse{Text: fmt.Sprintf("no part is called %q", name), Hint: "name parts of wiring/parts.toml"})
		}
		s := waveform.Signal{Name: strings.TrimSuffix(name+", "+p.Text, ", "), Stepped: true, Kind: waveform.Working}
		s.T, s.Y = []float64{0}, []float64{initially(events, name, w.boardNow())}
		for _, e := range events {
			if e.Part != name {
				continue
			}
			if n := len(s.T) - 1; e.At <= s.T[n] {
				s.Y[n] = height(e.Is)
				continue
			}
			s.T, s.Y = append(s.T, e.At), append(s.Y, height(e.Is))
		}
		if n := len(s.T) - 1; s.T[n] < w.now {
			s.T, s.Y = append(s.T, w.now), append(s.Y, s.Y[n])
		}
		out.Signals = append(out.Signals, s)
	}
	return out
}

func height(is circuit.State) float64 {
	if slices.Contains([]circuit.State{circuit.Up, circuit.Lit, circuit.Rings, circuit.Blown}, is) {
		return 1
	}
	return 0
}

// initially is how a part stood before its first event; without one, as it
// stands now.
func initially(events []circuit.Event, name string, b *circuit.Board) float64 {
	for _, e := range events {
		if e.Part == name {
			return 1 - height(e.Is)
		}
	}
	if b.Pressed(name) || slices.ContainsFunc(b.Seen().Lamps, func(l circuit.LampSeen) bool { return l.Part == name && l.Is == circuit.Lit }) {
		return 1
	}
	return 0
}

// When gives the time in s at which a part operated, was lit or rang for the
// first time; it must have.
func (w *Wiring) When(part string) float64 {
	for _, e := range w.boardNow().Events() {
		if e.Part == part && height(e.Is) == 1 {
			return e.At
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("%s does not operate until %v s", part, w.now), Hint: "look later, or do what makes it operate"})
}
