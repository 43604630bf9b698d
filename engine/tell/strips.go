package tell

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Strips is the wires of a board as old drawings have them, with what is said of
// each: terminal strips and other parts, and the wires that lead from their
// terminals. The page draws one part after the other, and the reader picks a part
// and a drawing.
type Strips struct {
	Name   string
	Sheets []StripSheet
	Parts  []StripPart // the first is what a page shows first
	Wires  []StripWire
}

// StripSheet is a drawing that the wires were taken from.
type StripSheet struct {
	Name string
	Date string // "" where nobody knows
}

// StripPart is a part with its terminals.
type StripPart struct {
	Name  string
	Text  string            `json:",omitempty"` // what is written on it
	Texts map[string]string `json:",omitempty"` // the same in other languages
	Marks []string          // of its terminals, in their order
}

// StripWire is a wire between two terminals, each written as PART.MARK.
type StripWire struct {
	From, To string
	Wire     string      `json:",omitempty"` // its number
	Verdict  string      // one of Verdicts
	Chance   float64     // that it is there, from 0 to 1
	Drawn    []int       `json:",omitempty"` // the sheets that have it, by their place in the list
	Missing  []int       `json:",omitempty"` // the sheets that show both of its ends, and have it not
	Why      StripReason // of the verdict
}

// StripReason is why a wire has its verdict. The zero value says that the drawings
// alone speak for it or against it.
type StripReason struct {
	Kind string `json:",omitempty"` // one of StripReasons

	// The reading, by its terminals, or the other wire.
	From, To string `json:",omitempty"`
	Wire     string `json:",omitempty"`
	With     string `json:",omitempty"` // what was held or taken out, such as "K2 held"
	When     string `json:",omitempty"` // the day, as YYYY-MM-DD
}

// What may be said of a wire, the surest first.
const (
	WireFound    = "found"
	WireLikely   = "likely"
	WireQuestion = "open question"
	WireNotThere = "not there"
)

// Verdicts lists what may be said of a wire.
func Verdicts() []string { return []string{WireFound, WireLikely, WireQuestion, WireNotThere} }

// Why a wire has its verdict.
const (
	ByDrawings = ""        // they alone
	ByClosed   = "closed"  // a reading
	ByOpen     = "open"    // a reading
	ByOther    = "instead" // another wire is there in its place
	ByLikeness = "alike"   // no drawing has it; no test tells it from another wire
	ByPlace    = "beside"  // no drawing has it; it lies beside one that was not found
)

// StripReasons lists these reasons.
func StripReasons() []string {
	return []string{ByDrawings, ByClosed, ByOpen, ByOther, ByLikeness, ByPlace}
}

// Bounds of strips: those of a house's wiring, and as many drawings as a row of
// buttons has room for.
const (
	mostStripSheets = 8
	mostStripParts  = 500
	mostStripWires  = 4000 // each drawing has some that no other has
	mostStripMarks  = 500  // of a part
	longestTerminal = 60   // bytes
	longestNumber   = 100  // letters of a wire's number, of a drawing's name, and of what was held
)

var (
	stripName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9-]*$`)
	stripMark = regexp.MustCompile(`^[A-Za-z0-9+-]{1,8}$`)
	stripDate = regexp.MustCompile(`^[0-9]{4}(-[0-9]{2}){0,2}$`)
)

// Strips tells the wires of a board as a picture and a table. Drawings of bench
// give them:
//
//	tell.Strips("wires", bench.Wiring().Drawings().Strips())
func (s *Sheet) Strips(name string, strips Strips) {
	s.name("strips", name)
	c := stripping{name: name, marks: map[string]bool{}, parts: map[string]bool{}, sheets: len(strips.Sheets)}
	if s.depth > 0 {
		c.bad("are told under a knob", "tell them outside the knob; drawings do not depend on it")
	}
	c.bounded(len(strips.Sheets), mostStripSheets, "drawing")
	c.bounded(len(strips.Parts), mostStripParts, "part")
	c.bounded(len(strips.Wires), mostStripWires, "wire")
	s.count("strips", name, len(strips.Wires))
	for i, one := range strips.Sheets {
		c.word("the name of a drawing", one.Name)
		if one.Name == "" || slices.ContainsFunc(strips.Sheets[:i], func(o StripSheet) bool { return o.Name == one.Name }) {
			c.bad(fmt.Sprintf("have a drawing called %s", quoted(one.Name)), "give each drawing a name of its own")
		}
		if one.Date != "" && !stripDate.MatchString(one.Date) {
			c.bad(fmt.Sprintf("have a drawing of %s", quoted(one.Date)), `write its date as "1911" or "1911-05-02", or leave it out`)
		}
	}
	for _, p := range strips.Parts {
		c.part(p)
	}
	had := map[[2]string]bool{}
	for _, w := range strips.Wires {
		c.wire(w)
		ends := [2]string{min(w.From, w.To), max(w.From, w.To)}
		if had[ends] {
			c.bad(fmt.Sprintf("have the wire from %s to %s twice", w.From, w.To), "tell each wire once, with all drawings that have it")
		}
		had[ends] = true
	}
	for _, p := range strips.Parts {
		if !slices.ContainsFunc(strips.Wires, func(w StripWire) bool { return w.At(p.Name) }) {
			c.bad(fmt.Sprintf("have no wire at %s", p.Name), "leave that part out")
		}
	}
	strips.Name = name
	s.result.Strips = append(s.result.Strips, strips)
}

// At says whether a wire leads to a part.
func (w StripWire) At(part string) bool {
	return TerminalOf(w.From).Part == part || TerminalOf(w.To).Part == part
}

// Terminal is a terminal by its part and its mark.
type Terminal struct{ Part, Mark string }

// TerminalOf takes apart what is written as PART.MARK.
func TerminalOf(written string) Terminal {
	part, mark, _ := strings.Cut(written, ".")
	return Terminal{part, mark}
}

// stripping goes through strips.
type stripping struct {
	name   string
	parts  map[string]bool
	marks  map[string]bool // terminals
	sheets int
}

func (c *stripping) bad(what, hint string) {
	panic(Misuse{fmt.Sprintf("strips %q %s", c.name, what), hint})
}

func (c *stripping) bounded(n, most int, what string) {
	if n == 0 || n > most {
		c.bad(fmt.Sprintf("have %d %ss", n, what), fmt.Sprintf("give from 1 to %d; bench.Wiring().Drawings().Strips() gives those of the house's drawings", most))
	}
}

// word refuses a word that nobody can read, or that no table has room for.
func (c *stripping) word(part, word string) {
	visible(part, "strips", c.name, word)
	if n := utf8.RuneCountInString(word); n > longestNumber {
		c.bad(fmt.Sprintf("have %d letters in %s, %s; the most are %d", n, part, quoted(word), longestNumber), "shorten it; it has to fit into a table")
	}
}

func (c *stripping) part(p StripPart) {
	visible("the text on a part", "strips", c.name, p.Text)
	for language, text := range p.Texts {
		visible("the text on a part", "strips", c.name, language)
		visible("the text on a part", "strips", c.name, text)
	}
	if !stripName.MatchString(p.Name) || len(p.Name) > longestTerminal || c.parts[p.Name] {
		c.bad(fmt.Sprintf("have a part called %s", quoted(p.Name)), "give each part a name of its own, as on the board")
	}
	c.parts[p.Name] = true
	if len(p.Marks) > mostStripMarks {
		c.bad(fmt.Sprintf("have %d terminals at %s", len(p.Marks), p.Name), fmt.Sprintf("give at most %d", mostStripMarks))
	}
	for _, mark := range p.Marks {
		if t := p.Name + "." + mark; !stripMark.MatchString(mark) || c.marks[t] {
			c.bad(fmt.Sprintf("have a terminal %s at %s", quoted(mark), p.Name), "give each terminal of a part a mark of its own")
		}
		c.marks[p.Name+"."+mark] = true
	}
}

func (c *stripping) wire(w StripWire) {
	c.terminals(w.From, w.To)
	from, to := TerminalOf(w.From).Part, TerminalOf(w.To).Part
	called := fmt.Sprintf("the wire from %s to %s", w.From, w.To)
	if !c.parts[from] && !c.parts[to] {
		c.bad("have "+called+", which leads to none of their parts", "leave the wire out, or give one of its parts")
	}
	for _, t := range []string{w.From, w.To} {
		if c.parts[TerminalOf(t).Part] && !c.marks[t] {
			c.bad("have "+called+fmt.Sprintf(", and no terminal %s", t), "give the part all of its marks")
		}
	}
	c.word("the number of a wire", w.Wire)
	if !slices.Contains(Verdicts(), w.Verdict) {
		c.bad(fmt.Sprintf("say %s of %s", quoted(w.Verdict), called), `verdicts are "found", "likely", "open question" and "not there"`)
	}
	finite("strips", c.name, w.Chance)
	if w.Chance < 0 || w.Chance > 1 {
		c.bad(fmt.Sprintf("give %s the chance %s", called, short(w.Chance)), "a chance lies between 0 and 1")
	}
	for _, list := range [][]int{w.Drawn, w.Missing} {
		last := -1
		for _, i := range list {
			if i <= last || i >= c.sheets || i < 0 {
				c.bad(fmt.Sprintf("have %s on drawings %v of %d", called, list, c.sheets), "name each drawing once, by its place in the list, from 0")
			}
			last = i
		}
	}
	if slices.ContainsFunc(w.Drawn, func(i int) bool { return slices.Contains(w.Missing, i) }) {
		c.bad(fmt.Sprintf("have %s both on a drawing and missing from it", called), "say one of both")
	}
	c.reason(called, w.Why)
}

func (c *stripping) reason(called string, r StripReason) {
	if !slices.Contains(StripReasons(), r.Kind) {
		c.bad(fmt.Sprintf("give %s the reason %s", called, quoted(r.Kind)), `reasons are "closed", "open", "instead", "alike", "beside", or none`)
	}
	if r.Kind != ByDrawings && r.Kind != ByPlace {
		c.terminals(r.From, r.To)
	} else if r.From != "" || r.To != "" {
		c.bad(fmt.Sprintf("name terminals for %s that its reason has not", called), "leave them out")
	}
	c.word("what was held", r.With)
	c.word("the number of another wire", r.Wire)
	if r.When != "" && !stripDate.MatchString(r.When) {
		c.bad(fmt.Sprintf("have a reading of %s", quoted(r.When)), "write its day as 2026-09-12, or leave it out")
	}
}

// terminals refuses two that no wire and no tester could join.
func (c *stripping) terminals(from, to string) {
	for _, t := range []string{from, to} {
		if at := TerminalOf(t); len(t) > longestTerminal || !stripName.MatchString(at.Part) || !stripMark.MatchString(at.Mark) {
			c.bad(fmt.Sprintf("have a terminal %s", quoted(t)), `write part and mark, as in "TS2.14"`)
		}
	}
	if from == to {
		c.bad(fmt.Sprintf("have a wire from %s to itself", from), "name the terminal at its other end")
	}
}
