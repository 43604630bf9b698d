package tell

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Schematic is a circuit as it is drawn: parts on a grid, and what joins them.
// The page draws it twice, with the symbols of about 1910 and with those of
// IEC 60617, and the reader changes from one to the other.
type Schematic struct {
	Name  string
	Parts []Symbol
	Joins []Join
}

// Symbol is one part of a schematic. Its middle lies at a column and a row of
// the grid, and Turned is by how many quarters of a turn it is turned clockwise.
type Symbol struct {
	Kind   string // one of SymbolKinds
	Name   string // as on the board, such as "K1"; coil and contacts of a relay have one name
	Words  string // what it is, such as "contactor"; may be empty
	Column int
	Row    int
	Turned int
	Ends   []string // the marks of its ends, in the order of its kind
}

// Join is a wire. Each of Through is an end of a part, such as "K1.13", or a
// place of the grid, such as "4,2" for column 4 and row 2. Between two that
// follow each other it runs level or upright.
type Join struct{ Through []string }

// Schematic tells a circuit that is drawn with symbols.
//
//	tell.Schematic("bell", tell.
//		Put("battery", "BAT", "", 1, 2).Turn(1).
//		Put("key", "push", "", 3, 0).
//		Put("bell", "bell", "", 5, 2).Turn(1).
//		Join("BAT.+", "1,0", "push.1").
//		Join("push.2", "5,0", "bell.1").
//		Join("bell.2", "5,4", "1,4", "BAT.-"))
//
// A line that ends on another is joined to it, with a dot. Lines that cross are
// not joined.
func (s *Sheet) Schematic(name string, drawn Schematic) {
	s.name("schematic", name)
	if s.depth > 0 {
		panic(Misuse{
			fmt.Sprintf("schematic %q is told under a knob", name),
			"tell it outside the knob; a drawing does not depend on numbers"})
	}
	drawn.Name = name
	for _, p := range drawn.Parts {
		visible("the words of a part", "schematic", name, p.Words)
	}
	if _, err := drawn.Lines(); err != nil {
		m := err.(Misuse)
		panic(Misuse{fmt.Sprintf("schematic %q: %s", name, m.Text), m.Hint})
	}
	s.result.Schematics = append(s.result.Schematics, drawn)
}

// Put begins a schematic with a part: its kind, its name, what it is ("" where
// its kind says so), and the column and the row in which its middle lies.
func Put(kind, name, words string, column, row int) Schematic {
	return Schematic{}.Put(kind, name, words, column, row)
}

// Put gives the schematic with one more part.
func (d Schematic) Put(kind, name, words string, column, row int) Schematic {
	d.Parts = append(d.Parts[:len(d.Parts):len(d.Parts)], Symbol{Kind: kind, Name: name, Words: words, Column: column, Row: row})
	return d
}

// Turn gives the schematic with its last part turned clockwise, by so many
// quarters of a turn. What lies from left to right stands, after one, from top
// to bottom.
func (d Schematic) Turn(quarters int) Schematic {
	return d.last(func(p *Symbol) { p.Turned = quarters })
}

// Ends gives the schematic with marks of its own at the ends of its last part,
// in place of those of its kind: + and - of a battery, and otherwise 1 and 2.
func (d Schematic) Ends(marks ...string) Schematic {
	return d.last(func(p *Symbol) { p.Ends = marks })
}

func (d Schematic) last(change func(p *Symbol)) Schematic {
	if len(d.Parts) == 0 {
		panic(Misuse{"there is no part yet to turn or to mark", "begin with tell.Put"})
	}
	d.Parts = append([]Symbol(nil), d.Parts...)
	change(&d.Parts[len(d.Parts)-1])
	return d
}

// Join gives the schematic with one more wire, through ends such as "K1.13" and
// places of the grid such as "4,2".
func (d Schematic) Join(through ...string) Schematic {
	d.Joins = append(d.Joins[:len(d.Joins):len(d.Joins)], Join{through})
	return d
}

// Spot is a place of the grid: a column, counted to the right, and a row,
// counted downward.
type Spot struct{ Column, Row int }

// SymbolKind is a kind of part that a schematic can hold.
type SymbolKind struct {
	Name  string
	Marks []string // of its ends, where the part gives none
	Ends  []Spot   // where they lie, from its middle, unturned
	Inner []Spot   // places that no line may lead over
}

// SymbolKinds lists the kinds, in the order in which the chart shows them.
// Where nothing else is said a part lies from left to right, with an end one
// column to each side of its middle.
func SymbolKinds() []SymbolKind {
	two := func(name string, marks ...string) SymbolKind {
		if len(marks) == 0 {
			marks = []string{"1", "2"}
		}
		return SymbolKind{name, marks, []Spot{{-1, 0}, {1, 0}}, []Spot{{}}}
	}
	hung := func(name string) SymbolKind { // with its one end at its upper edge
		return SymbolKind{name, []string{"1"}, []Spot{{}}, []Spot{{0, 1}}}
	}
	return []SymbolKind{
		two("battery", "+", "-"),
		two("resistor"), two("rheostat"), two("coil"), two("field winding"),
		two("armature"),
		// A commutator at the left, with the marks C1 and C2, and slip rings at
		// the right, U1 and U2.
		{"generator", []string{"C1", "C2", "U1", "U2"}, []Spot{{-2, -1}, {-2, 1}, {2, -1}, {2, 1}}, block(1, 1)},
		two("relay coil"), two("make contact"), two("break contact"),
		two("key"), two("break key"), two("switch"), two("centrifugal contact"),
		two("fuse"), two("lamp"), two("bell"), two("voltmeter"), two("ammeter"), two("condenser"),
		{"terminal", []string{"1"}, []Spot{{}}, nil},
		hung("earth"), hung("frame"),
	}
}

// block gives all places up to so many columns and rows from a middle.
func block(columns, rows int) (all []Spot) {
	for c := -columns; c <= columns; c++ {
		for r := -rows; r <= rows; r++ {
			all = append(all, Spot{c, r})
		}
	}
	return all
}

// SymbolKindOf gives the kind of a name.
func SymbolKindOf(name string) (SymbolKind, bool) {
	for _, k := range SymbolKinds() {
		if k.Name == name {
			return k, true
		}
	}
	return SymbolKind{}, false
}

// What a page can show. A telephone shows 15 columns so that a symbol can still
// be told from another.
const (
	mostColumns = 15
	mostRows    = 20
	mostSymbols = 40
	mostJoins   = 80
	longestMark = 24  // letters of a part's name
	longestSaid = 100 // letters of its words
)

var (
	symbolName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 /+-]*$`)
	symbolMark = regexp.MustCompile(`^[A-Za-z0-9+-]{1,4}$`)
)

// Places gives where the ends of a part lie, and where no line may lead.
func (p Symbol) Places() (ends, inner []Spot) {
	k, _ := SymbolKindOf(p.Kind)
	at := func(spots []Spot) (out []Spot) {
		for _, s := range spots {
			for range p.Turned % 4 {
				s = Spot{-s.Row, s.Column}
			}
			out = append(out, Spot{p.Column + s.Column, p.Row + s.Row})
		}
		return out
	}
	return at(k.Ends), at(k.Inner)
}

// Marks gives the marks of the part's ends.
func (p Symbol) Marks() []string {
	if len(p.Ends) > 0 {
		return p.Ends
	}
	k, _ := SymbolKindOf(p.Kind)
	return k.Marks
}

// check refuses a part that cannot be drawn by itself.
func (p Symbol) check() error {
	k, ok := SymbolKindOf(p.Kind)
	if !ok {
		var names []string
		for _, k := range SymbolKinds() {
			names = append(names, fmt.Sprintf("%q", k.Name))
		}
		return Misuse{fmt.Sprintf("there is no symbol for %q", p.Kind), "the kinds are " + strings.Join(names, ", ")}
	}
	if !symbolName.MatchString(p.Name) {
		return Misuse{fmt.Sprintf("a %s cannot be called %q", p.Kind, p.Name), `name it with letters from A to Z and digits, such as "K1"; a translation may say it otherwise`}
	}
	if n := len(p.Name); n > longestMark {
		return Misuse{fmt.Sprintf("the name %q has %d letters, more than %d", p.Name, n, longestMark), "name it as the board does, and say in its words what it is"}
	}
	if n := utf8.RuneCountInString(p.Words); n > longestSaid {
		return Misuse{fmt.Sprintf("the words %q have %d letters, more than %d", p.Words, n, longestSaid), "say the rest in the text beside the drawing"}
	}
	if len(p.Ends) > 0 && len(p.Ends) != len(k.Ends) {
		return Misuse{fmt.Sprintf("%s is given %d marks, and a %s has %d ends", p.Name, len(p.Ends), p.Kind, len(k.Ends)), "give each end its mark"}
	}
	for i, mark := range p.Ends {
		if !symbolMark.MatchString(mark) || i > 0 && contains(p.Ends[:i], mark) {
			return Misuse{fmt.Sprintf("an end of %s cannot have the mark %q", p.Name, mark), "give each end a mark of its own, of up to 4 letters from A to Z and digits"}
		}
	}
	if p.Turned < 0 || p.Turned > 3 {
		return Misuse{fmt.Sprintf("%s is turned by %d quarters", p.Name, p.Turned), "turn it by 1, 2 or 3"}
	}
	ends, inner := p.Places()
	for _, s := range append(append(ends, inner...), Spot{p.Column, p.Row}) {
		if err := s.check(); err != nil {
			return Misuse{fmt.Sprintf("%s lies partly outside the grid, at %s", p.Name, s), err.(Misuse).Hint}
		}
	}
	return nil
}

func contains(list []string, one string) bool {
	for _, s := range list {
		if s == one {
			return true
		}
	}
	return false
}

func (s Spot) check() error {
	if s.Column < 0 || s.Column >= mostColumns || s.Row < 0 || s.Row >= mostRows {
		return Misuse{fmt.Sprintf("%s is outside the grid", s), fmt.Sprintf("columns go from 0 to %d, rows from 0 to %d", mostColumns-1, mostRows-1)}
	}
	return nil
}

func (s Spot) String() string { return fmt.Sprintf("%d,%d", s.Column, s.Row) }
