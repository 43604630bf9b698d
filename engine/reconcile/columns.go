package reconcile

import (
	"errors"
	"fmt"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/rows"
)

// Rule is the name of all findings about sheets and continuity readings.
const Rule = "reconcile"

// mostFindings is how many findings about one file are given; more say nothing
// new.
const mostFindings = 20

// list is a file of lines under heads, being read.
type list struct {
	file     string
	parts    circuit.Wiring // whose terminals the lines are about
	heads    rows.Heads
	messages []diag.Message
}

func (l *list) say(at rows.Field, text, hint string) {
	if len(l.messages) < mostFindings {
		l.messages = append(l.messages, diag.Message{File: l.file, Line: max(at.Line, 1), Column: max(at.Column, 1), Rule: Rule, Text: text, Hint: hint})
	}
}

// sayFlaw says what circuit found wrong.
func (l *list) sayFlaw(at rows.Field, err error) {
	var f circuit.Flaw
	if errors.As(err, &f) {
		l.say(at, f.Reason, f.Next)
		return
	}
	l.say(at, err.Error(), "mend parts.toml first")
}

// lines reads a file down to its lines, those without anything left out. The
// first columns are needed.
func (l *list) lines(source []byte, form rows.Form, columns []string, needed int) [][]rows.Field {
	_, records, messages := rows.Read(l.file, source, form)
	l.messages = append(l.messages, messages...)
	if len(messages) > 0 || len(records) == 0 {
		return nil
	}
	var ok bool
	if l.heads, ok = (rows.Columns{Known: columns, Needed: needed}).Heads(records[0], l.say); !ok {
		return nil
	}
	return rows.Filled(records[1:])
}

// field gives a field of a line; one that is not there stands where the line
// begins.
func (l *list) field(record []rows.Field, head string) rows.Field {
	f, _ := l.heads.Field(record, head)
	return f
}

// ends reads the two terminals of a line, which have to be different; what is
// between them is called a wire or a reading.
func (l *list) ends(record []rows.Field, what string) (from, to string, ok bool) {
	ok = true
	for _, head := range []string{"from", "to"} {
		f := l.field(record, head)
		if f.Text == "" {
			l.say(f, fmt.Sprintf("this %s has no terminal under %q", what, head), "write PART.MARK, such as TS2.14")
			ok = false
		} else if err := l.parts.NoTerminal(f.Text); err != nil {
			l.sayFlaw(f, err)
			ok = false
		}
	}
	from, to = l.field(record, "from").Text, l.field(record, "to").Text
	if ok && from == to {
		l.say(l.field(record, "to"), fmt.Sprintf("this %s leads from %s to itself", what, from), "give its other end")
		ok = false
	}
	return from, to, ok
}

// pair is two terminals in either order.
type pair struct{ a, b string }

func pairOf(a, b string) pair { return pair{min(a, b), max(a, b)} }
