// Package reading reads what was read off the machine: CSV that volunteers type
// in any spreadsheet, one reading a line.
//
//	# Read in the signal house; invented for the demonstration.
//	date,role,quantity,where,value,unit,uncertainty,instrument,class,load,setting,note
//	2026-05-12,the Tuesday volunteer,speed,coupling,16.64,Hz,0.02,tachometer,,idle,,
//
// Commas, semicolons or tabs stand between the fields, and a point or a comma
// before decimals. The order of the columns is free.
package reading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/rows"
)

// Reading is one line of a file, in SI units (frequencies in Hz).
type Reading struct {
	Date     string // YYYY-MM-DD
	Role     string // who read it: a role, never a person's name
	Set      string // name of the machine card; "" where the file does not say
	Quantity string // one of Quantities, or PART.KEY
	Where    string
	Note     string

	Value  float64
	SIUnit string

	Written, Unit string // the value and its unit as they stand in the file

	// U is the standard uncertainty of this reading alone: what the file says, and
	// half of the last digit (as likely anywhere within, JCGM 100:2008, F.2.2.1).
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

// Situation is how the set ran while it was read.
type Situation struct {
	FullLoad bool // the load that the card calls full; Load is then empty
	Load     machine.Load
	Held     float64            // turns a second at which something drives the shaft; 0 for nothing
	Brushes  bool               // the regulator coil is fed from the commutator
	Changed  map[string]float64 // constants that were set otherwise, in SI units
}

// Key is the same for two situations that are.
func (s Situation) Key() string {
	return fmt.Sprintf("%v %+v %v %v %v", s.FullLoad, s.Load, s.Held, s.Brushes, s.Changed) // fmt sorts the keys of maps
}

// Columns are the heads that a file may have, those that it needs first.
var (
	needed   = [...]string{"date", "role", "quantity", "value", "unit"}
	optional = [...]string{"uncertainty", "instrument", "class", "load", "setting", "where", "set", "note"}
)

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

// Parse reads a file of readings. The readings are those of the lines that are
// sound; the file name is used in messages.
func Parse(file string, source []byte) ([]Reading, []diag.Message) {
	_, records, messages := rows.Read(file, source, rows.Form{Rule: Rule, Sample: Sample, Separators: ",;\t"})
	p := parser{file: file, messages: messages}
	if len(records) == 0 {
		if len(messages) == 0 {
			p.say(rows.Field{Line: 1, Column: 1}, "the file holds no readings", "it needs a line of heads, and below it one line a reading, for example:\n"+Sample)
		}
		return nil, p.messages
	}
	if !p.heads(records[0]) {
		return nil, diag.Sort(p.messages)
	}
	var out []Reading
	for _, record := range records[1:] {
		if !slices.ContainsFunc(record, func(f rows.Field) bool { return f.Text != "" }) {
			continue // a spreadsheet's empty line
		}
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
	at       map[string]int // columns by their heads
	width    int
	messages []diag.Message
}

func (p *parser) say(at rows.Field, text, hint string) {
	p.messages = append(p.messages, diag.Message{File: p.file, Line: at.Line, Column: at.Column, Rule: Rule, Text: text, Hint: hint})
}

func (p *parser) heads(record []rows.Field) bool {
	p.at, p.width = map[string]int{}, len(record)
	known := append(slices.Clone(needed[:]), optional[:]...)
	for i, f := range record {
		head := strings.ToLower(f.Text)
		if head == "" {
			continue // an empty column, as spreadsheets leave behind
		}
		if _, twice := p.at[head]; twice {
			p.say(f, fmt.Sprintf("two columns are headed %q", head), "leave one of them out")
		}
		if !slices.Contains(known, head) {
			hint := "known heads are: " + strings.Join(known, ", ")
			if near := diag.Nearest(head, known); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			p.say(f, fmt.Sprintf("readings have no column %q", f.Text), hint)
		}
		p.at[head] = i
	}
	if len(p.messages) > 0 {
		return false // a head that is unknown may be the one that is missing
	}
	for _, head := range needed {
		if _, ok := p.at[head]; !ok {
			p.say(record[0], fmt.Sprintf("the readings have no column %q", head), "the heads may be, for example:\n"+strings.Split(Sample, "\n")[1])
		}
	}
	return len(p.messages) == 0
}

var (
	dateForm   = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
	numberForm = regexp.MustCompile(`^([-+]?\d+)(?:[.,](\d+))?(?:[eE]([-+]?\d{1,2}))?$`)
	sizeForm   = regexp.MustCompile(`^(\S+)\s*(%)?(?:\s+of\s+(\S+)\s*(\S.*)?)?$`)
)

// number reads a number with a point or a comma, and gives what half of its
// last digit is worth.
func number(text string) (x, half float64, ok bool) {
	text = strings.ReplaceAll(text, "−", "-")
	m := numberForm.FindStringSubmatch(text)
	if m == nil {
		return 0, 0, false
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, 0, false
	}
	exponent, _ := strconv.Atoi(m[3])
	return x, 0.5 * math.Pow(10, float64(exponent-len(m[2]))), true
}

func (p *parser) reading(record []rows.Field) (r Reading) {
	for i, f := range record {
		if i >= p.width && f.Text != "" {
			p.say(f, fmt.Sprintf("this line has %d fields, and the head has %d", len(record), p.width),
				"put a text with the separator in it between quotation marks, and a decimal comma as well where commas part the columns")
			return r
		}
	}
	field := func(head string) rows.Field {
		i, ok := p.at[head]
		f := rows.Field{Line: record[0].Line, Column: record[0].Column}
		if at := p.at["value"]; at < len(record) {
			f.Column = record[at].Column // of what is not there, the value says where it would be
			f.Line = record[at].Line
		}
		if ok && i < len(record) {
			f = record[i]
		}
		if f.Text == "-" {
			f.Text = ""
		}
		return f
	}
	text := func(head string) string { return field(head).Text }
	r = Reading{Date: text("date"), Role: text("role"), Set: text("set"), Where: text("where"), Note: text("note"),
		Written: text("value"), Unit: text("unit"), Instrument: text("instrument"), Load: text("load"), Setting: text("setting"),
		File: p.file, Line: field("value").Line, Column: field("value").Column}
	for _, head := range needed {
		if text(head) == "" {
			p.say(field(head), fmt.Sprintf("this reading has no %s", head), missing[head])
			return r
		}
	}
	if !dateForm.MatchString(r.Date) {
		p.say(field("date"), fmt.Sprintf("%q is no date", r.Date), "write year, month and day, such as 2026-05-12; a spreadsheet keeps that as it is in a column of text")
	} else if _, err := time.Parse(time.DateOnly, r.Date); err != nil {
		p.say(field("date"), fmt.Sprintf("there is no day %s", r.Date), "write year, month and day, such as 2026-05-12")
	}
	var known bool
	if r.Quantity, r.SIUnit, known = quantity(text("quantity")); !known {
		var names []string
		for _, q := range Quantities() {
			names = append(names, q.Name)
		}
		hint := "what can be read is: " + strings.Join(names, ", ") + "; or a constant of the card, such as governor.radius"
		if near := diag.Nearest(r.Quantity, names); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		p.say(field("quantity"), fmt.Sprintf("%q is nothing that the model can be held against", r.Quantity), hint)
		return r
	}
	times, fits := factor(r.SIUnit, r.Unit)
	if !fits {
		p.say(field("unit"), fmt.Sprintf("%q is no unit of %s", r.Unit, r.Quantity), "give the value in "+units(r.SIUnit))
		return r
	}
	value, half, ok := number(r.Written)
	if !ok {
		p.say(field("value"), fmt.Sprintf("%q is no number", r.Written), "write the number alone, without unit and without marks between thousands, with a point or a comma before decimals")
		return r
	}
	r.Value = value * times
	p.doubt(&r, field("uncertainty"), field("class"), field("instrument"), value, half, times)
	p.load(&r, field("load"))
	p.setting(&r, field("setting"))
	return r
}

var missing = map[string]string{
	"date":     "write the day on which it was read, such as 2026-05-12",
	"role":     "write in which role somebody read it, such as the Tuesday volunteer: never a person's name",
	"quantity": "write what was read, such as speed or output voltage",
	"value":    "write what was read, or take the line out",
	"unit":     "write the unit of the value; where there is none, write 1 or %",
}

// doubt reads how far the reading may be off.
func (p *parser) doubt(r *Reading, own, class, instrument rows.Field, value, half, times float64) {
	if own.Text == "" && class.Text == "" {
		p.say(own, "this reading has no uncertainty",
			"write in uncertainty how far it may well be off, in the unit of the value or in %, or in class what the meter's plate says, such as 1.5 % of 60 V")
		return
	}
	for _, f := range []rows.Field{own, class} {
		if r.Unit == "%" && strings.HasSuffix(f.Text, "%") {
			p.say(f, fmt.Sprintf("%q of a value in %% can mean two things", f.Text), "write the number alone, which then is in the unit of the value, or give the value with the unit 1")
			return
		}
	}
	// Half of the last digit, as likely anywhere within.
	r.U = half * times / math.Sqrt(3)
	if own.Text != "" {
		u, ok := size(own.Text, value, "", nil)
		if !ok || u <= 0 {
			p.say(own, fmt.Sprintf("%q is no uncertainty", own.Text), "write one standard deviation as a number above 0 in the unit of the value, such as 0.02, or as a part of it, such as 0.5 %")
			return
		}
		r.U = math.Hypot(r.U, u*times)
	}
	if class.Text == "" {
		return
	}
	if instrument.Text == "" {
		p.say(class, "this reading has a class, and no instrument", "name the instrument, the same way in each reading: its error is the same in all of them")
		return
	}
	limit, ok := size(class.Text, value, r.Unit, func(unit string) (float64, bool) {
		of, fits := factor(r.SIUnit, unit)
		return of / times, fits
	})
	if !ok || limit <= 0 {
		p.say(class, fmt.Sprintf("%q is no class of an instrument", class.Text), "write what its plate says: 1 % (of what it shows), 1.5 % of 60 V (of its full scale), or a number in the unit of the value")
		return
	}
	r.Class = limit * times / math.Sqrt(3)
}

// size reads how large an error may be: 0.02, 0.5 %, and with a scale given
// also 1.5 % of 60 V.
func size(text string, value float64, unit string, scale func(unit string) (float64, bool)) (float64, bool) {
	m := sizeForm.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	percent := m[2] != "" || strings.HasSuffix(m[1], "%")
	x, _, ok := number(strings.TrimSuffix(m[1], "%"))
	switch {
	case !ok || x < 0 || m[3] != "" && (!percent || scale == nil):
		return 0, false
	case m[3] != "":
		full, _, ok := number(m[3])
		if m[4] != "" {
			unit = strings.TrimSpace(m[4])
		}
		times, fits := scale(unit)
		return x / 100 * full * times, ok && fits
	case percent:
		return x / 100 * math.Abs(value), true
	}
	return x, true
}

// load reads what the set had to drive: nothing, idle, full, or a sum such as
// 12 bells + 110 ohm.
func (p *parser) load(r *Reading, f rows.Field) {
	switch strings.ToLower(f.Text) {
	case "", "idle":
		return
	case "full":
		r.How.FullLoad = true
		return
	}
	for one := range strings.SplitSeq(f.Text, "+") {
		written, unit, _ := strings.Cut(strings.TrimSpace(one), " ")
		x, _, ok := number(written)
		unit = strings.TrimSpace(unit)
		places := map[string]*float64{"ohm": &r.How.Load.Resistance, "W": &r.How.Load.Watts, "N m": &r.How.Load.Torque}
		switch at := places[unit]; {
		case !ok || x < 0:
		case (unit == "bells" || unit == "bell") && x == math.Trunc(x) && x < 1e6:
			r.How.Load.Bells = int(x)
			continue
		case at != nil:
			*at = x
			continue
		}
		p.say(f, fmt.Sprintf("%q is no load", f.Text), "write idle, full, or what was connected: 12 bells, 110 ohm, 60 W, a brake of 0.3 N m, or a sum such as 12 bells + 110 ohm")
		return
	}
}

// setting reads what was not as on the card: driven at 16 Hz, coil on the
// brushes, PART.KEY = 300 ohm, or several with + between them.
func (p *parser) setting(r *Reading, f rows.Field) {
	if f.Text == "" {
		return
	}
	hint := "write driven at 16 Hz, coil on the brushes, or a constant as it was set, such as generator.field-resistor = 300 ohm; with + between several"
	for one := range strings.SplitSeq(f.Text, "+") {
		one = strings.TrimSpace(one)
		if one == "coil on the brushes" {
			r.How.Brushes = true
			continue
		}
		name, si, given := "", "Hz", ""
		if after, ok := strings.CutPrefix(one, "driven at "); ok {
			given = after
		} else if before, after, ok := strings.Cut(one, "="); ok {
			name, given = strings.TrimSpace(before), strings.TrimSpace(after)
			c, known := machine.Described(name)
			if !known || c.Columns != nil {
				p.say(f, fmt.Sprintf("a machine card has no constant %q", name), hint)
				return
			}
			si = c.SIUnit
		}
		written, unit, _ := strings.Cut(given, " ")
		x, _, ok := number(written)
		times, fits := factor(si, strings.TrimSpace(unit))
		if !ok || !fits || name == "" && x <= 0 {
			p.say(f, fmt.Sprintf("%q is no setting", one), hint)
			return
		}
		if name == "" {
			r.How.Held = x * times
			continue
		}
		if r.How.Changed == nil {
			r.How.Changed = map[string]float64{}
		}
		r.How.Changed[name] = x * times
	}
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
