package reconcile

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/rows"
)

// Sheet is one drawing as a list of wires.
type Sheet struct {
	Name   string // of its file, without .csv
	Title  string
	Date   string   // a year, or a day as YYYY-MM-DD; "" where nobody knows
	Covers []string // parts that it shows; nil for all
	Wires  []Drawn
	File   string
}

// Drawn is a wire on a sheet.
type Drawn struct {
	From, To string
	Wire     string // its number; "" where the drawing has none
	Note     string
	Line     int // from 1
}

// Shows says whether the sheet shows both parts of two terminals.
func (s Sheet) Shows(from, to string) bool {
	return s.Covers == nil || slices.Contains(s.Covers, partOf(from)) && slices.Contains(s.Covers, partOf(to))
}

func partOf(terminal string) string {
	part, _, _ := strings.Cut(terminal, ".")
	return part
}

// SheetSample is a sheet, for hints and for a new house.
const SheetSample = "# title The board as it was put up\n# date 1911\n# covers all\n" +
	"from,to,wire,note\nTS1.1,K1.A1,W1,"

var sheetColumns = []string{"from", "to", "wire", "note"}

// ReadSheet reads a sheet of a board with such parts. It may be used only when
// none of the messages is an error.
func ReadSheet(name, file string, source []byte, parts circuit.Wiring) (Sheet, []diag.Message) {
	s := Sheet{Name: name, Title: name, File: file}
	l := list{file: file, parts: parts}
	form := rows.Form{Rule: Rule, Sample: SheetSample, Separators: ",;\t"}
	lines := l.lines(source, form, sheetColumns, 2)
	if len(l.messages) == 0 {
		s.head(&l, rows.Head(source, form))
		s.wires(&l, lines)
	}
	return s, diag.Sort(l.messages)
}

var dayForm = regexp.MustCompile(`^\d{4}(-\d{2}-\d{2})?$`)

// head reads what the first lines say: a word of ours, and what it is.
func (s *Sheet) head(l *list, lines []rows.Field) {
	had := map[string]bool{}
	for _, f := range lines {
		key, text, _ := strings.Cut(strings.Replace(f.Text, ":", " ", 1), " ")
		key, text = strings.ToLower(key), strings.TrimSpace(text)
		if key != "title" && key != "date" && key != "covers" {
			continue // words about the sheet
		}
		if had[key] {
			l.say(f, fmt.Sprintf("the sheet says its %s twice", key), "leave one of the two out")
		}
		had[key] = true
		switch {
		case text == "":
			l.say(f, fmt.Sprintf("the sheet does not say its %s", key), "write it behind the word, for example:\n"+SheetSample)
		case key == "title":
			s.Title = text
		case key == "date":
			s.date(l, f, text)
		case !strings.EqualFold(text, "all"):
			s.covers(l, f, text)
		}
	}
	if !had["title"] {
		l.say(rows.Field{}, "the sheet has no title", "begin it, for example, with:\n"+SheetSample)
	}
}

func (s *Sheet) date(l *list, at rows.Field, text string) {
	if strings.EqualFold(text, "undated") || strings.EqualFold(text, "unknown") {
		return
	}
	day := text
	if len(day) == len("1911") {
		day += "-01-01"
	}
	if _, err := time.Parse(time.DateOnly, day); err != nil || !dayForm.MatchString(text) {
		l.say(at, fmt.Sprintf("%q is no date of a sheet", text), `write a year, such as 1911, a day, such as 1911-05-02, or "undated"`)
		return
	}
	s.Date = text
}

func (s *Sheet) covers(l *list, at rows.Field, text string) {
	s.Covers = []string{}
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;\t ", r) }) {
		if _, ok := l.parts.Part(name); !ok {
			l.sayFlaw(at, l.parts.NoPart(name))
		}
		s.Covers = append(s.Covers, name)
	}
}

func (s *Sheet) wires(l *list, lines [][]rows.Field) {
	joined, named := map[pair]int{}, map[string]int{}
	for _, record := range lines {
		if !l.heads.Fits(record) {
			continue
		}
		from, to, ok := l.ends(record, "wire")
		if !ok {
			continue
		}
		d := Drawn{From: from, To: to, Wire: l.field(record, "wire").Text, Note: l.field(record, "note").Text, Line: record[0].Line}
		at := l.field(record, "from")
		if line := joined[pairOf(from, to)]; line > 0 {
			l.say(at, fmt.Sprintf("the wire from %s to %s stands twice, also in line %d", from, to, line), "take one of the two out")
		}
		if line := named[d.Wire]; d.Wire != "" && line > 0 {
			l.say(l.field(record, "wire"), fmt.Sprintf("two wires are called %s, this one and that of line %d", d.Wire, line), "give one of the two another number, or none")
		}
		if !s.Shows(from, to) {
			l.say(at, fmt.Sprintf("the sheet does not cover both %s and %s, and has a wire between them", partOf(from), partOf(to)), "name both parts behind # covers, or write # covers all")
		}
		joined[pairOf(from, to)], named[d.Wire] = d.Line, d.Line
		s.Wires = append(s.Wires, d)
	}
	if len(s.Wires) == 0 && len(l.messages) == 0 {
		l.say(rows.Field{}, "the sheet has no wires", "write one line a wire below the heads, for example:\n"+SheetSample)
	}
}
