// Package circuit is a wiring at work: parts, the wires between them, and what
// lamps, meters and relays then do as time goes on.
//
//	b, err := circuit.New(wiring)
//	err = b.Press("start")
//	err = b.Advance(2.5)
//	for _, lamp := range b.Seen().Lamps { ... }
//
// A wiring is solved as a network by modified nodal analysis (C. W. Ho, A. E.
// Ruehli and P. A. Brennan, IEEE Trans. Circuits and Systems 22, 1975): for
// direct current, and for each frequency that a source gives, on its own.
// Nothing in it takes time but relays and their like: as each contact changes,
// everything else follows at once. So there are no transients of coils and
// capacitors, and a relay's delays are constants of its own.
//
// The package reads no files and knows no machine: what a running set puts on its
// terminals, it is given as a Set. The kinds of parts stand in kinds.go, each with
// a file of its own.
package circuit

import (
	"fmt"
	"strings"
)

// Wiring is parts and the wires between them.
type Wiring struct {
	Parts []Part
	Wires []Wire
}

// Part is one part, as its entry describes it.
type Part struct {
	Name      string
	Kind      string            // one of Kinds
	Values    map[string]Value  // by key, as Describe lists them
	Contacts  []string          // such as "13-14", in the order of their marks; see Marks
	Terminals int               // of a strip
	Stays     bool              // of a key: it stays where it is put
	Card      string            // of a set: the name of its machine card
	Text      string            // what is written on it
	Texts     map[string]string // the same in other languages
	Colour    string            // of a lamp
	Place     string            // frame and row
	Line      int               // of its entry, from 1
}

// Value is a constant of a part.
type Value struct {
	SI   float64 // in the SI unit
	Unit string  // as its author wrote it
	From string  // where it comes from
	Note string
}

// Wire joins two terminals, each written PART.MARK.
type Wire struct {
	Name     string
	From, To string
	Evidence string // what says that it is there
	Note     string
	Line     int // from 1
}

// Flaw is what is wrong with a wiring, or with what is asked of it.
type Flaw struct {
	Parts  []string // that it is about, the first most
	Key    string   // of the first of them; "" for the whole part
	Wire   string   // that it is about, in place of parts; "" for none
	Row    int      // of that wire among its like, from 1; 0 for the first of its name
	Reason string
	Next   string // what to do next

	// Works says that the wiring can be put to work as it is: so it is when
	// somebody found that a wire is gone.
	Works bool
}

func (f Flaw) Error() string { return f.Reason }

// part finds a part by its name; -1 when there is none.
func (w Wiring) part(name string) int {
	for i := range w.Parts {
		if w.Parts[i].Name == name {
			return i
		}
	}
	return -1
}

// Part gives the part of a name.
func (w Wiring) Part(name string) (Part, bool) {
	if i := w.part(name); i >= 0 {
		return w.Parts[i], true
	}
	return Part{}, false
}

// split takes a terminal apart.
func split(terminal string) (part, mark string) {
	part, mark, _ = strings.Cut(terminal, ".")
	return part, mark
}

// list writes names one after the other.
func list(names []string) string {
	switch n := len(names); n {
	case 0:
		return "nothing"
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// called says what a part is, in words.
func (p Part) called() string { return fmt.Sprintf("the %s %s", p.Kind, p.Name) }
