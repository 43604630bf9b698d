package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// Draw puts the house's drawings and continuity readings on the shelf, for
// Drawings to give.
func (s *Shelf) Draw(p reconcile.Papers) { s.papers = &p }

// Drawings is what the house's old drawings and its continuity readings say of
// the wires of its board, of which each drawing may be wrong.
type Drawings struct {
	parts  circuit.Wiring
	papers reconcile.Papers
	board  *reconcile.Board
}

// Drawings gives them: those of wiring/sheets, with the readings of
// wiring/continuity.csv in the lessons folder. The wires of wiring/wires.csv do
// not count.
//
//	d := bench.Wiring().Drawings()
//	d.Count("open question")
//	d.Wire("TS1.1", "TS1.5").Because
func (w *Wiring) Drawings() *Drawings {
	if w.shelf.papers == nil {
		panic(tell.Misuse{Text: "the house has no drawings of its board", Hint: "write each as a list of wires into wiring/sheets"})
	}
	return drawingsOf(circuit.Wiring{Parts: w.shelf.wiring.Parts}, *w.shelf.papers)
}

func drawingsOf(parts circuit.Wiring, papers reconcile.Papers) *Drawings {
	b, err := papers.Board(parts)
	if err != nil {
		panic(misuseOfWiring(err))
	}
	return &Drawings{parts, papers, b}
}

// First gives the drawings with the first n readings alone, as they were taken;
// First(0) is what the drawings say by themselves.
func (d *Drawings) First(n int) *Drawings {
	if n < 0 || n > len(d.papers.Readings) {
		panic(tell.Misuse{Text: fmt.Sprintf("there are not %d readings", n), Hint: fmt.Sprintf("give a number from 0 to %d", len(d.papers.Readings))})
	}
	return drawingsOf(d.parts, reconcile.Papers{Sheets: d.papers.Sheets, Readings: d.papers.Readings[:n]})
}

// Read gives the drawings with one more reading, "closed" or "open".
func (d *Drawings) Read(from, to, reading string) *Drawings {
	if reading != "closed" && reading != "open" {
		panic(tell.Misuse{Text: fmt.Sprintf("%q is no reading", reading), Hint: `give "closed" or "open"`})
	}
	p := d.papers
	p.Readings = append(slices.Clone(p.Readings), reconcile.Reading{From: from, To: to, Closed: reading == "closed", Ohms: math.NaN()})
	return drawingsOf(d.parts, p)
}

// Readings is how many continuity readings there are.
func (d *Drawings) Readings() int { return len(d.papers.Readings) }

// DrawnSheet is a drawing of the board.
type DrawnSheet struct {
	Name, Title string
	Date        string // "" where nobody knows
	Wires       int
}

// Sheets gives the drawings in the order in which they are believed to have been
// drawn.
func (d *Drawings) Sheets() (out []DrawnSheet) {
	for _, s := range d.board.Sheets() {
		out = append(out, DrawnSheet{s.Name, s.Title, s.Date, len(s.Wires)})
	}
	return out
}

// DrawnWire is a wire on some drawing, or one that may well be there, and what is
// said of it.
type DrawnWire struct {
	From, To string
	Wire     string  // its number; "" where no drawing has one
	Verdict  string  // "found", "likely", "open question" or "not there"
	Chance   float64 // that it is there
	Because  string  // the reading or the drawings that say so
	Drawn    string  // the drawings that have it, such as "a, b"; "" for none
	Power    bool    // current can flow over it
}

// Wires gives all wires, those of the oldest drawing first.
func (d *Drawings) Wires() (out []DrawnWire) {
	for _, j := range d.board.Judged() {
		_, because, _ := strings.Cut(j.Evidence, ": ")
		out = append(out, DrawnWire{j.From, j.To, j.Wire, string(j.Verdict), j.Chance, because, strings.Join(j.Sheets, ", "), j.Power})
	}
	return out
}

// Wire gives what is said of the wire between two terminals.
func (d *Drawings) Wire(from, to string) DrawnWire {
	for _, w := range d.Wires() {
		if w.From == from && w.To == to || w.From == to && w.To == from {
			return w
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("no drawing has a wire from %s to %s", from, to), Hint: "name the terminals of a wire that some drawing has"})
}

// Count is how many wires have a verdict: "found", "likely", "open question" or
// "not there".
func (d *Drawings) Count(verdict string) (n int) {
	known := []reconcile.Verdict{reconcile.Found, reconcile.Likely, reconcile.Question, reconcile.NotThere}
	if !slices.Contains(known, reconcile.Verdict(verdict)) {
		panic(tell.Misuse{Text: fmt.Sprintf("%q is no verdict", verdict), Hint: `verdicts are "found", "likely", "open question" and "not there"`})
	}
	for _, j := range d.board.Judged() {
		if string(j.Verdict) == verdict {
			n++
		}
	}
	return n
}

// Fit is the part of the wires at a part of the board that a drawing and the
// board have in common, as far as is known: 1 where the drawing fits.
func (d *Drawings) Fit(part, sheet string) float64 {
	for _, f := range d.board.Fits() {
		if f.Part == part && f.Sheet == sheet {
			return f.Share
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("the drawing %q shows no wire at %q", sheet, part), Hint: "name a part and a drawing that shows it"})
}

// WireTest is a continuity test that is worth taking.
type WireTest struct {
	From, To string
	With     string  // what to hold or take out, such as "K2 held"
	Gain     float64 // how many wires it is expected to make certain, and a part of what it tells otherwise
	Closed   float64 // the chance that it shows closed
	IfClosed string  // what that would settle
	IfOpen   string
}

// Tests gives the next tests to take to the board, at most so many, the best
// first.
func (d *Drawings) Tests(most int) (out []WireTest) {
	for _, t := range d.board.Next(most) {
		out = append(out, WireTest{t.From, t.To, t.With(), t.Gain, t.Closed, t.IfClosed, t.IfOpen})
	}
	return out
}

// Contradiction is two readings of which one is most likely wrong.
type Contradiction struct {
	One, Other           string
	Chance               float64 // that it is one of the two
	SettleFrom, SettleTo string  // the terminals between which a third reading would settle it
}

// Contradictions gives such pairs, the likeliest first.
func (d *Drawings) Contradictions() (out []Contradiction) {
	for _, c := range d.board.Contradictions() {
		out = append(out, Contradiction{c.Readings[0].String(), c.Readings[1].String(), c.Chance, c.Settle.From, c.Settle.To})
	}
	return out
}
