package reconcile

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/rows"
)

// Reading is what a tester showed between two terminals, with all power off.
type Reading struct {
	From, To string
	Closed   bool
	Ohms     float64 // NaN where only open or closed was read
	Hold     circuit.Hold
	With     string // as written
	When     string // YYYY-MM-DD; "" where nobody wrote it down
	Note     string
	File     string
	Line     int // from 1
	Column   int
}

// At gives the place of the reading, for messages and reasons.
func (r Reading) At() string {
	if r.Line == 0 {
		return r.File
	}
	return fmt.Sprintf("%s:%d", r.File, r.Line)
}

// String gives the reading in words.
func (r Reading) String() string {
	is := "open"
	if r.Closed {
		is = "closed"
	}
	with := ""
	if r.With != "" {
		with = " with " + r.With
	}
	return fmt.Sprintf("%s to %s %s%s", r.From, r.To, is, with)
}

// Threshold is the resistance, in ohm, up to which two terminals count as
// joined: the default of class 3 in IPC/WHMA-A-620, read second hand.
const Threshold = 2.0

// ContinuitySample is a file of readings, for hints and for a new house.
const ContinuitySample = "# Read with the buzzer; invented for the demonstration.\n" +
	"from,to,reading,with,when,note\n" +
	"TS1.1,K1.A1,closed,,2026-09-12,\n" +
	"TS1.1,K2.13,open,K2 held + F3 out,2026-09-12,"

var continuityColumns = []string{"from", "to", "reading", "with", "when", "note"}

// ReadContinuity reads what volunteers found on a board with such parts. It may
// be used only when none of the messages is an error. A file without readings is
// one to be filled in.
func ReadContinuity(file string, source []byte, parts circuit.Wiring) ([]Reading, []diag.Message) {
	l := list{file: file, parts: parts}
	form := rows.Form{Rule: Rule, Sample: ContinuitySample, Separators: ",;\t"}
	var out []Reading
	for _, record := range l.lines(source, form, continuityColumns, 3) {
		if r, ok := l.reading(record); ok {
			out = append(out, r)
		}
	}
	return out, diag.Sort(l.messages)
}

func (l *list) reading(record []rows.Field) (r Reading, ok bool) {
	before := len(l.messages)
	if !l.heads.Fits(record) {
		return r, false
	}
	r.From, r.To, ok = l.ends(record, "reading")
	r.With, r.When, r.Note = l.field(record, "with").Text, l.field(record, "when").Text, l.field(record, "note").Text
	at := l.field(record, "reading")
	r.File, r.Line, r.Column = l.file, record[0].Line, record[0].Column
	if at.Text == "" {
		l.say(at, "this line has no reading", "write closed, open, or the ohms that the meter showed; take the line out if nobody tested it")
		return r, false
	}
	r.shown(l, at)
	r.hold(l, l.field(record, "with"))
	if _, err := time.Parse(time.DateOnly, r.When); r.When != "" && (err != nil || !dayForm.MatchString(r.When)) {
		l.say(l.field(record, "when"), fmt.Sprintf("%q is no day", r.When), "write year, month and day, such as 2026-05-12")
	}
	return r, ok && len(l.messages) == before
}

var ohmsForm = regexp.MustCompile(`(?i)^([-−]?\d+)(?:[.,](\d+))?\s*(k|M)?\s*(?:ohms?|Ω|Ω)?$`)

// shown reads what the tester showed.
func (r *Reading) shown(l *list, at rows.Field) {
	r.Ohms = math.NaN()
	switch strings.ToLower(at.Text) {
	case "closed":
		r.Closed = true
		return
	case "open":
		return
	}
	m := ohmsForm.FindStringSubmatch(at.Text)
	if m == nil {
		l.say(at, fmt.Sprintf("%q is no reading of a tester", at.Text), "write closed, open, or ohms as a number, such as 0.4")
		return
	}
	x, err := strconv.ParseFloat(strings.Replace(m[1], "−", "-", 1)+"."+m[2]+"0", 64)
	switch {
	case err != nil || math.IsInf(x, 0):
		l.say(at, fmt.Sprintf("%q is no reading of a tester", at.Text), "write closed, open, or ohms as a number, such as 0.4")
	case math.Signbit(x) && x != 0:
		l.say(at, fmt.Sprintf("no resistance is %s", at.Text), "short the leads and set the meter to zero first, and write what it shows then")
	}
	switch m[3] {
	case "k", "K":
		x *= 1e3
	case "M", "m":
		if m[3] == "m" {
			l.say(at, fmt.Sprintf("%q may be thousandths or millions of ohms", at.Text), "write the ohms out, such as 0.004")
		}
		x *= 1e6
	}
	r.Ohms, r.Closed = x, x <= Threshold
}

// hold reads what was held or taken out, such as "K2 held + F3 out".
func (r *Reading) hold(l *list, at rows.Field) {
	const hint = `write a part and "held" or "out", several with + between: K2 held + F3 out`
	if at.Text == "" || at.Text == "-" {
		r.With = ""
		return
	}
	for one := range strings.SplitSeq(strings.ReplaceAll(at.Text, " and ", "+"), "+") {
		words := strings.Fields(one)
		if len(words) != 2 || words[1] != "held" && words[1] != "out" {
			l.say(at, fmt.Sprintf("%q does not say what was held or taken out", strings.TrimSpace(one)), hint)
			return
		}
		name := words[0]
		if slices.Contains(r.Hold.Moved, name) || slices.Contains(r.Hold.Out, name) {
			l.say(at, name+" stands twice under with", hint)
		}
		if words[1] == "held" {
			r.Hold.Moved = append(r.Hold.Moved, name)
		} else {
			r.Hold.Out = append(r.Hold.Out, name)
		}
	}
	if _, err := l.parts.Ways(Threshold, r.Hold); err != nil {
		l.sayFlaw(at, err)
	}
}
