package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/render/page"
)

const logbookPath = "logbook/index.html"

// entered is a constant as it stands in the logbook.
type entered struct {
	machine.Constant
	number
	ID      string
	Note    template.HTML
	Doubt   string    // its standard uncertainty, in its unit; "" when it counts as exact
	Table   string    // its rows; "" of a number alone
	Changed *revision // the newest about it, nil when it was never changed
	Behind  bool      // and the card has moved on since
}

// number is a value as the logbook writes it, split at its decimal sign, so
// that a column of values with different decimals can stand in line.
type number struct {
	Exact       string
	Whole, Rest string
	Unit        string
}

// part of a machine with its constants.
type part struct {
	ID, Name  string
	Constants []entered
}

type cardTable struct {
	machine.Card
	Heading template.HTML
	Parts   []part
	Tally   []tally
	Lessons template.HTML // that opened the card
}

// tally counts the constants of one origin.
type tally struct {
	Origin string
	N      int
}

// revision is an entry of the history.
type revision struct {
	card.Revision
	ID      string
	By, Why template.HTML
	Changes []change
}

type change struct {
	ID, Doc   string // "" where the card has the constant no more
	Part, Key string
	Was, Is   number
	Note      template.HTML // on the value that was
}

type logbookPage struct {
	Cards   []cardTable
	Lessons []*lessonPages
	Version string

	Measured bool // there is a page of what was read
}

func (b *builder) logbook() (shell, bool) {
	p, history := logbookPage{Lessons: b.lessons, Version: b.Version, Measured: len(b.Measured) > 0 || b.readAtSteps()}, b.history()
	for _, c := range b.Cards {
		p.Cards = append(p.Cards, b.cardTable(c, history))
	}
	from := b.from(b.lessons...)
	from.Invented = false
	for _, c := range b.Cards {
		from.Invented = from.Invented || c.Invented
	}
	return shell{Title: b.title(b.words.Text("logbook.title")), About: b.words.Text("logbook.lead", "version", b.Version), From: from, Page: p}, true
}

// sheet gives what the file of a card says more than the card.
func (b *builder) sheet(c machine.Card) card.Sheet {
	if i := slices.IndexFunc(b.Sheets, func(s card.Sheet) bool { return s.Name == c.Name }); i >= 0 {
		return b.Sheets[i]
	}
	return card.Sheet{Card: c}
}

// saying is a shell that can say words of the lessons' folder on the logbook.
func (b *builder) saying() shell {
	return shell{edition: b.edition, main: b.editions[0].words, path: b.path(logbookPath)}
}

func (b *builder) cardTable(c machine.Card, history []revision) cardTable {
	here, sheet, language := b.saying(), b.sheet(c), b.words.Language()
	t := cardTable{Card: c, Heading: here.said(sheet.TitleIn(language))}
	count := map[machine.Origin]int{}
	for _, e := range c.Constants() {
		count[e.Origin]++
		if n := len(t.Parts); n == 0 || t.Parts[n-1].ID != partID(c.Name, e.Part) {
			t.Parts = append(t.Parts, part{ID: partID(c.Name, e.Part), Name: b.partName(c, e.Part)})
		}
		one := entered{
			Constant: e,
			ID:       constantID(c.Name, e),
			Note:     here.said(sheet.NoteIn(language, e)),
			Table:    b.rows(e),
			Behind:   b.History.Behind(sheet, e),
		}
		one.number, one.Doubt = b.amount(e.Value, e.Uncertainty, e.Origin, e.Unit)
		for i, x := range history {
			if x.Card == c.Name && slices.ContainsFunc(x.Changes, func(ch change) bool { return ch.ID == one.ID }) {
				one.Changed = &history[i]
				break
			}
		}
		last := &t.Parts[len(t.Parts)-1]
		last.Constants = append(last.Constants, one)
	}
	for _, o := range machine.Origins() {
		if count[o] > 0 {
			t.Tally = append(t.Tally, tally{b.words.Text(page.OriginText(o)), count[o]})
		}
	}
	var users []*lessonPages
	for _, e := range b.lessons {
		if slices.Contains(e.Result.Cards, c.Name) {
			users = append(users, e)
		}
	}
	t.Lessons = here.lessonLinks(users)
	return t
}

// partName gives the name of a part, with its own where that is not its kind.
func (b *builder) partName(c machine.Card, part string) string {
	kind := c.Kind(part)
	if kind == part {
		return b.words.Part(part)
	}
	return b.words.Part(kind) + " (" + part + ")"
}

// history gives what was changed on the cards, newest first.
func (b *builder) history() []revision {
	here, language := b.saying(), b.words.Language()
	var out []revision
	for _, x := range b.History.List {
		said, translated := x.Say(language)
		r := revision{Revision: x, ID: revisionID(x.Label), By: here.said(said.By, translated), Why: here.said(said.Why, translated)}
		var on machine.Card
		if i := slices.IndexFunc(b.Cards, func(c machine.Card) bool { return c.Name == x.Card }); i >= 0 {
			on = b.Cards[i]
		}
		for _, c := range x.Changed {
			var one change
			one.Was, _ = b.amount(c.Was, c.WasUncertainty, c.WasFrom, c.Unit)
			one.Is, _ = b.amount(c.Is, c.IsUncertainty, c.IsFrom, c.Unit)
			one.Note = here.said(c.NoteIn(language))
			one.Part, one.Key, _ = strings.Cut(c.Constant, ".")
			if known, ok := on.Constant(c.Constant); ok {
				one.ID, one.Doc = constantID(x.Card, known), b.words.Constant(known.Doc)
			}
			r.Changes = append(r.Changes, one)
		}
		out = append(out, r)
	}
	return out
}

// amount writes a constant's value and its uncertainty, "" when it counts as exact.
func (b *builder) amount(value, uncertainty float64, from machine.Origin, unit string) (n number, doubt string) {
	written, doubt := page.Digits(value, uncertainty, from)
	n = number{Exact: page.Plain(value), Unit: page.UnitSymbol(unit)}
	n.Whole, n.Rest = split(b.words.Localize(written))
	if doubt != "" {
		whole, rest := split(b.words.Localize(doubt))
		doubt = whole + rest
	}
	return n, doubt
}

// rows writes the rows of a table in one line.
func (b *builder) rows(c machine.Constant) string {
	var out []string
	for _, row := range c.Rows {
		var one []string
		for i, x := range row {
			n := b.number(x, c.Units[i])
			one = append(one, strings.TrimSpace(n.Whole+n.Rest+" "+n.Unit))
		}
		out = append(out, strings.Join(one, " / "))
	}
	return strings.Join(out, "; ")
}

func (b *builder) number(x float64, unit string) number {
	n := number{Exact: page.Plain(x), Unit: page.UnitSymbol(unit)}
	n.Whole, n.Rest = split(b.words.Localize(n.Exact))
	return n
}

// split cuts a number before its decimal sign, and sets five and more digits in
// front of it in groups of three with thin spaces between (The International
// System of Units, 9th edition, section 5.4.4).
func split(number string) (whole, rest string) {
	whole = strings.Replace(number, "-", "\u2212", 1)
	if i := strings.IndexAny(whole, ".,e"); i >= 0 {
		whole, rest = whole[:i], whole[i:]
	}
	sign := ""
	if digits, minus := strings.CutPrefix(whole, "\u2212"); minus {
		sign, whole = "\u2212", digits
	}
	if len(whole) > 4 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "\u202f" + whole[i:]
		}
	}
	return sign + whole, rest
}

func revisionID(label string) string { return "history.." + label }

func constantID(card string, c machine.Constant) string { return card + "." + c.Name() }

func partID(card, part string) string { return card + "." + part }

// Digest is for the template.
func (e *lessonPages) Digest() string { return e.digest }

// NameHTML is for the template.
func (t cardTable) NameHTML() template.HTML { return bold(t.Name) }

// CardHTML is for the template.
func (r revision) CardHTML() template.HTML { return bold(r.Card) }

func bold(name string) template.HTML {
	return template.HTML("<b>" + template.HTMLEscapeString(name) + "</b>")
}

// OriginText is for the template.
func (e entered) OriginText() string { return page.OriginText(e.Origin) }
