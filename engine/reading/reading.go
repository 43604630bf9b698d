// Package reading reads what was read off the machine: CSV that volunteers type
// in any spreadsheet, one reading a line.
//
//	# Read in the signal house; invented for the demonstration.
//	date,role,quantity,where,value,unit,uncertainty,instrument,class,load,setting,note
//	2026-05-12,the Tuesday volunteer,speed,coupling,16.64,Hz,0.02,tachometer,,idle,,
//
// Commas, semicolons or tabs stand between the fields, and a point or a comma
// before decimals. The order of the columns is free.
//
// The same form stands in the folder readings and beside lessons. Beside a
// lesson, a line may say in a column expect at which of its steps it was read:
// by the name of the value that the step expects. Such a line needs neither a
// quantity nor an uncertainty, since it is the step's limits that judge it; with
// a quantity it is held against the model as well.
package reading

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"slipring/engine/diag"
	"slipring/engine/rows"
)

// Reading is one line of a file, in SI units (frequencies in Hz).
type Reading struct {
	Date     string // YYYY-MM-DD
	Role     string // who read it: a role, never a person's name
	Set      string // name of the machine card; "" where the file does not say
	Quantity string // one of Quantities, or PART.KEY; "" where it is of a step alone
	Expect   string // the told value that a step of its lesson expects; "" of no step
	Where    string
	Note     string

	Value  float64 // in SIUnit; in Unit where there is no quantity
	SIUnit string

	Written, Unit string // the value and its unit as they stand in the file

	// U is the standard uncertainty of this reading alone: what the file says, and
	// half of the last digit (as likely anywhere within, JCGM 100:2008, F.2.2.1).
	// 0 where it is of a step alone, and the file says nothing.
	U float64

	// Instrument is what it was read with. Class is the standard uncertainty that
	// the instrument's class gives, the same error in all that it shows: the limit
	// of error, as likely anywhere within (JCGM 100:2008, 4.3.7). 0 without one.
	Instrument string
	Class      float64

	Load    string // as written
	Setting string

	How Situation // what load and setting mean

	File         string
	Line, Column int // of the value
}

// needed are the heads that a file must have, and columns all that it may have.
var needed = [...]string{"date", "role", quantityHead, "value", "unit"}

func columns() rows.Columns {
	return rows.Columns{
		Known:   append(needed[:len(needed):len(needed)], "uncertainty", "instrument", "class", "load", "setting", "where", "set", "note", expect),
		Needed:  len(needed),
		Meant:   map[string]string{"reading": "value", "read": "value", "when": "date", "day": "date", "who": "role", "by": "role", "with": "instrument", "meter": "instrument"},
		Instead: map[string]string{quantityHead: expect},
	}
}

// expect heads the column that leads to a step of a lesson, and may stand in the
// place of quantity.
const (
	quantityHead = "quantity"
	expect       = "expect"
)

// Are says whether the heads of a file beside a lesson are those of readings,
// rather than of a table of something else: one that leads to steps, or three
// of those that every file of readings needs.
func Are(heads []string) bool {
	needs := 0
	for _, h := range heads {
		switch h = strings.ToLower(h); {
		case h == expect:
			return true
		case slices.Contains(needed[:], h):
			needs++
		}
	}
	return needs >= 3
}

// Rule is the name of all findings about readings.
const Rule = "readings"

// Sample is a file of readings, for hints and for a new house.
const Sample = "# Where the readings come from, and whether they are invented.\n" +
	"date,role,quantity,where,value,unit,uncertainty,instrument,class,load,setting,note\n" +
	"2026-05-12,the Tuesday volunteer,speed,coupling,16.64,Hz,0.02,tachometer,,idle,,\n" +
	"2026-05-12,the Tuesday volunteer,output voltage,slip rings,80.4,V,,bench meter,1 %,full,,"

// mostFindings is how many findings about one file are given; more say nothing
// new.
const mostFindings = 20

// Form is that of the rows of a file of readings.
func Form() rows.Form { return rows.Form{Rule: Rule, Sample: Sample, Separators: ",;\t"} }

// Parse reads a file of readings. The readings are those of the lines that are
// sound; the file name is used in messages.
func Parse(file string, source []byte) ([]Reading, []diag.Message) {
	_, records, messages := rows.Read(file, source, Form())
	p := parser{file: file, messages: messages}
	if len(records) == 0 {
		if len(messages) == 0 {
			p.say(rows.Field{Line: 1, Column: 1}, "the file holds no readings", "it needs a line of heads, and below it one line a reading, for example:\n"+Sample)
		}
		return nil, p.messages
	}
	var ok bool
	if p.heads, ok = columns().Heads(records[0], p.say); !ok {
		return nil, diag.Sort(p.messages)
	}
	var out []Reading
	for _, record := range rows.Filled(records[1:]) {
		before := len(p.messages)
		if r := p.reading(record); len(p.messages) == before {
			out = append(out, r)
		}
		if len(p.messages) >= mostFindings {
			break
		}
	}
	if len(out) == 0 && len(p.messages) == 0 {
		p.say(records[0][0], "the file holds no readings", "write one line a reading below the heads, for example:\n"+Sample)
	}
	return out, diag.Sort(p.messages)
}

type parser struct {
	file     string
	heads    rows.Heads
	messages []diag.Message
}

func (p *parser) say(at rows.Field, text, hint string) {
	p.messages = append(p.messages, diag.Message{File: p.file, Line: at.Line, Column: at.Column, Rule: Rule, Text: text, Hint: hint})
}

var dateForm = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

func (p *parser) reading(record []rows.Field) (r Reading) {
	if !p.heads.Fits(record) {
		return r
	}
	field := func(head string) rows.Field {
		f, has := p.heads.Field(record, head)
		if at, valued := p.heads.Field(record, "value"); valued && !has {
			f.Line, f.Column = at.Line, at.Column // the value says where it would be
		}
		if f.Text == "-" {
			f.Text = ""
		}
		return f
	}
	text := func(head string) string { return field(head).Text }
	r = Reading{Date: text("date"), Role: text("role"), Set: text("set"), Where: text("where"), Note: text("note"),
		Expect: text(expect), Written: text("value"), Unit: text("unit"), Instrument: text("instrument"), Load: text("load"), Setting: text("setting"),
		File: p.file, Line: field("value").Line, Column: field("value").Column}
	for _, head := range needed {
		if text(head) == "" && (head != quantityHead || r.Expect == "") {
			p.say(field(head), fmt.Sprintf("this reading has no %s", head), missing[head])
			return r
		}
	}
	if !dateForm.MatchString(r.Date) {
		p.say(field("date"), fmt.Sprintf("%q is no date", r.Date), "write year, month and day, such as 2026-05-12; a spreadsheet keeps that as it is in a column of text")
	} else if _, err := time.Parse(time.DateOnly, r.Date); err != nil {
		p.say(field("date"), fmt.Sprintf("there is no day %s", r.Date), "write year, month and day, such as 2026-05-12")
	}
	if text(quantityHead) == "" {
		p.atStep(&r, field("value"), field("uncertainty"), field("class"), field("instrument"))
		return r
	}
	var known bool
	if r.Quantity, r.SIUnit, known = quantity(text(quantityHead)); !known {
		var names []string
		for _, q := range Quantities() {
			names = append(names, q.Name)
		}
		hint := "what can be read is: " + strings.Join(names, ", ") + "; or a constant of the card, such as governor.radius"
		if near := diag.Nearest(r.Quantity, names); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		p.say(field(quantityHead), fmt.Sprintf("%q is nothing that the model can be held against", r.Quantity), hint)
		return r
	}
	times, fits := Factor(r.SIUnit, r.Unit)
	if !fits {
		p.say(field("unit"), fmt.Sprintf("%q is no unit of %s", r.Unit, r.Quantity), "give the value in "+units(r.SIUnit))
		return r
	}
	value, half, ok := p.value(&r, field("value"))
	if !ok {
		return r
	}
	r.Value = value * times
	p.doubt(&r, field("uncertainty"), field("class"), field("instrument"), value, half, times)
	p.load(&r, field("load"))
	p.setting(&r, field("setting"))
	return r
}

func (p *parser) value(r *Reading, f rows.Field) (value, half float64, ok bool) {
	if value, half, ok = number(r.Written); !ok {
		p.say(f, fmt.Sprintf("%q is no number", r.Written), "write the number alone, without unit and without marks between thousands, with a point or a comma before decimals")
	}
	return value, half, ok
}

// atStep reads what was read at a step alone, of which only its lesson knows the
// unit.
func (p *parser) atStep(r *Reading, written, own, class, instrument rows.Field) {
	value, half, ok := p.value(r, written)
	if !ok {
		return
	}
	r.Value = value
	if own.Text == "" && class.Text == "" {
		return
	}
	p.doubt(r, own, class, instrument, value, half, 1)
}

var missing = map[string]string{
	"date":     "write the day on which it was read, such as 2026-05-12",
	"role":     "write in which role somebody read it, such as the Tuesday volunteer: never a person's name",
	"quantity": "write what was read, such as speed or output voltage, or beside a lesson in a column expect the value that its step expects",
	"value":    "write what was read, or take the line out",
	"unit":     "write the unit of the value; where there is none, write 1 or %",
}

// Later warns of readings that are dated after a day, such as today.
func Later(readings []Reading, day string) (messages []diag.Message) {
	for _, r := range readings {
		if r.Date > day {
			messages = append(messages, diag.Message{File: r.File, Line: r.Line, Column: 1, Level: diag.Warning, Rule: Rule,
				Text: fmt.Sprintf("this reading is of %s, which is after %s", r.Date, day), Hint: "check the date"})
		}
	}
	return messages
}
