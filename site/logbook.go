package site

import (
	"html/template"
	"math"
	"strconv"
	"strings"

	"slipring/engine/machine"
)

// constant is one line of the logbook. The value is split at its decimal sign,
// so that a column of values with different decimals can stand in line.
type constant struct {
	machine.Entry
	ID          string
	NewPart     bool
	Exact       string
	Whole, Rest string
}

type cardTable struct {
	machine.Card
	Constants []constant
}

type logbookPage struct {
	Cards   []cardTable
	Lessons []*entry
	Version string
	Sources []machine.Provenance
}

func (b *builder) logbook() {
	p := logbookPage{Lessons: b.lessons, Version: b.Version, Sources: machine.Provenances()}
	for _, c := range b.Cards {
		t := cardTable{Card: c}
		part := ""
		for _, e := range c.Entries() {
			exact := plain(e.Constant.Value)
			whole, rest := split(b.words.Localize(exact))
			t.Constants = append(t.Constants, constant{e, constantID(c.Name, e), e.Part != part, exact, whole, rest})
			part = e.Part
		}
		p.Cards = append(p.Cards, t)
	}
	from := b.from(b.lessons...)
	from.Invented = false
	for _, c := range b.Cards {
		from.Invented = from.Invented || c.Invented
	}
	b.write("logbook/index.html", "logbook", shell{Title: b.title(b.words.Text("logbook.title")), From: from, Page: p})
}

// plain writes a number in full where that is not too long to read.
func plain(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-7 || a >= 1e9) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func split(number string) (whole, rest string) {
	number = strings.Replace(number, "-", "\u2212", 1)
	if i := strings.IndexAny(number, ".,e"); i >= 0 {
		return number[:i], number[i:]
	}
	return number, ""
}

func constantID(card string, e machine.Entry) string { return card + "." + e.Part + "." + e.Key }

// Digest is for the template.
func (e *entry) Digest() string { return e.digest }

// NameHTML is for the template.
func (t cardTable) NameHTML() template.HTML {
	return template.HTML("<b>" + template.HTMLEscapeString(t.Name) + "</b>")
}

// FromKey names the text that says where the constant comes from.
func (c constant) FromKey() string { return strings.ReplaceAll(string(c.Constant.From), " ", "-") }
