package site

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/logbook"
	"slipring/engine/machine"
	"slipring/render/page"
)

const (
	bookPath  = "logbook/work/index.html"
	bookSheet = "logbook" // its edition, for those who print
)

// bookPage is the logbook of work: whatever has a date, in the order of time.
type bookPage struct {
	Questions []question
	Months    []month
	Parts     []partMoments
	How       howTo
}

// moment is whatever stands in the logbook of work at a date. Its kind names the
// template that prints its content: "moment-KIND" in web/book.html.
type moment struct {
	ID       string
	Date     string // YYYY-MM-DD
	Kind     string
	Card     string        // the name of the machine card that it is about
	Parts    []string      // of that card; none stand for the whole set
	About    string        // the names of these
	Title    template.HTML // inline
	Language string        // of the title and the content, where it is not that of the page; "" otherwise
	Signed   bool          // somebody signs for it on paper
	Invented bool          // since its card is
	Content  any           // what the template of its kind prints
}

// The kinds of moments, in the order in which they stand within a day.
const (
	momentChange = "change" // of a machine card; Content is a revision
	momentEntry  = "entry"  // that somebody wrote; Content is a written
	momentRead   = "read"   // off a running or standing set; Content is a measuredDay
	momentSteps  = "steps"  // read at the steps of a lesson; Content is a stepDay
)

func momentKinds() []string {
	return []string{momentRead, momentSteps, momentEntry, momentChange}
}

// moments is the one place where all that has a date comes together.
func (b *builder) moments() []moment {
	all := slices.Concat(b.read(), b.doneAtSteps(), b.written(), b.changed())
	for i, m := range all {
		var names []string
		if k := slices.IndexFunc(b.Cards, func(c machine.Card) bool { return c.Name == m.Card }); k >= 0 {
			for _, p := range m.Parts {
				names = append(names, b.partName(b.Cards[k], p))
			}
			all[i].Invented = b.Cards[k].Invented
		}
		all[i].About = strings.Join(names, ", ")
	}
	kinds := momentKinds()
	slices.SortStableFunc(all, func(a, b moment) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(slices.Index(kinds, a.Kind), slices.Index(kinds, b.Kind)), cmp.Compare(a.ID, b.ID))
	})
	return all
}

// written is what a moment shows of an entry.
type written struct {
	By string
	page.Entry
}

// question is one that an entry asked.
type question struct {
	page.EntryBlock
	By       string
	Asked    moment
	Answered *moment // nil while it is open
}

// month is what stands in the book of one month.
type month struct {
	Month   string // YYYY-MM
	Moments []moment
}

// partMoments is what stands in the book about one part of a machine.
type partMoments struct {
	Name    string
	Moments []moment
}

func (b *builder) book() (shell, bool) {
	all := b.moments()
	var p bookPage
	for _, m := range all {
		if n := len(p.Months); n == 0 || p.Months[n-1].Month != m.Date[:7] {
			p.Months = append(p.Months, month{Month: m.Date[:7]})
		}
		last := &p.Months[len(p.Months)-1]
		last.Moments = append(last.Moments, m)
	}
	p.Questions, p.Parts = questions(all), b.byPart(all)
	if len(b.Cards) > 0 {
		p.How = b.howTo(b.Cards[0])
	}
	from := b.from()
	for _, c := range b.Cards {
		if slices.ContainsFunc(all, func(m moment) bool { return m.Card == c.Name }) {
			from.Cards = append(from.Cards, c)
			from.Invented = from.Invented || c.Invented
		}
	}
	return shell{Title: b.title(b.words.Text("book.title")), From: from, Page: p}, len(all) > 0
}

// written gives the entries of the logbook, each in the language of the page if
// it has words in it.
func (b *builder) written() (all []moment) {
	for _, e := range b.Logbook {
		one, m := e.Checked, moment{ID: "entry.." + e.Name, Date: e.Date, Kind: momentEntry, Card: e.Lesson.Facts.Card, Parts: e.Lesson.Facts.Parts, Signed: true}
		for _, t := range e.Translations {
			if t.Lesson.Language == b.words.Language() {
				one = t
			}
		}
		if one.Lesson.Base == nil && !b.first {
			m.Language = one.Lesson.Language
		}
		printed, messages := page.NewEntry(page.Input{Checked: one, Cards: b.Cards, Words: b.words}, b.bookLinks(e))
		b.messages = append(b.messages, messages...)
		m.Title = template.HTML(template.HTMLEscapeString(one.Lesson.Title))
		m.Content = written{one.Lesson.Facts.By, printed}
		all = append(all, m)
		if b.first {
			for _, picture := range e.Pictures {
				if at := picturePath(picture.Name); b.tree[at] == nil { // one may stand in several entries
					b.add(at, picture.Content)
				}
			}
		}
	}
	return all
}

func picturePath(name string) string { return "logbook/work/" + name }

// changed gives what was changed on the machine cards.
func (b *builder) changed() (all []moment) {
	for _, r := range b.history() {
		m := moment{ID: r.ID, Date: r.Date, Kind: momentChange, Card: r.Card, Title: b.words.HTML("book.change", "card", r.CardHTML()), Content: r}
		for _, c := range r.Changes {
			if !slices.Contains(m.Parts, c.Part) {
				m.Parts = append(m.Parts, c.Part)
			}
		}
		all = append(all, m)
	}
	return all
}

// read gives the days on which meters were read.
func (b *builder) read() (all []moment) {
	for _, m := range b.Measured {
		for _, d := range b.measuredDays(m) {
			all = append(all, moment{ID: "on." + d.ID, Date: d.Date, Kind: momentRead, Card: m.Card.Name, Title: b.words.HTML("book.read", "card", bold(m.Card.Name)), Content: d})
		}
	}
	return all
}

// bookLinks leads from an entry to what it names.
func (b *builder) bookLinks(e logbook.Entry) page.Links {
	here := b.path(bookPath)
	return page.Links{
		Lesson: func(l *lesson.Lesson) string {
			for _, known := range b.lessons {
				if known.Lesson.Slug == l.Slug {
					return relative(here, known.Path("course"))
				}
			}
			return ""
		},
		Fact: func(name string) string {
			kind, rest, _ := strings.Cut(name, ".")
			first, _, _ := strings.Cut(rest, ".")
			switch kind {
			case "card":
				return relative(here, b.path(logbookPath)) + "#" + e.Lesson.Facts.Card + "." + rest
			case "reading":
				return relative(here, b.path(measuredPath)) + "#" + readOn(e.Lesson.Facts.Card, first)
			case "was", "is":
				return "#" + revisionID(first)
			case "lesson":
				for _, known := range b.lessons {
					if known.Lesson.Slug == first {
						return relative(here, known.Path("course"))
					}
				}
			}
			return ""
		},
		Picture: func(name string) (string, int, int) {
			for _, p := range e.Pictures {
				if p.Name == name {
					return relative(here, picturePath(name)), p.Width, p.Height
				}
			}
			return "", 0, 0
		},
	}
}

// questions lists what entries asked: what is open first, each as it was asked.
func questions(all []moment) (list []question) {
	for i, m := range all {
		w, ok := m.Content.(written)
		if !ok {
			continue
		}
		for _, block := range w.Blocks {
			switch block.Purpose {
			case "open":
				list = append(list, question{EntryBlock: block, By: w.By, Asked: m})
			case "answer":
				for k := range list {
					if list[k].Name == block.Name {
						list[k].Answered = &all[i]
					}
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b question) int { return cmp.Compare(rank(a), rank(b)) })
	return list
}

func rank(q question) int {
	if q.Answered == nil {
		return 0
	}
	return 1
}

// byPart gives the moments of each part, in the order of the cards, and those of
// the whole set before them.
func (b *builder) byPart(all []moment) (list []partMoments) {
	for _, c := range b.Cards {
		add := func(name string, about func(moment) bool) {
			one := partMoments{Name: name}
			for _, m := range all {
				if m.Card == c.Name && about(m) {
					one.Moments = append(one.Moments, m)
				}
			}
			if len(one.Moments) > 0 {
				list = append(list, one)
			}
		}
		add(b.words.Text("book.whole"), func(m moment) bool { return len(m.Parts) == 0 })
		for _, p := range c.Parts {
			add(b.partName(c, p.Name), func(m moment) bool { return slices.Contains(m.Parts, p.Name) })
		}
	}
	return list
}

// Book leads to the logbook of work, "" where a house has none.
func (s shell) Book() string {
	if !s.edition.booked {
		return ""
	}
	return s.To(bookPath)
}

// BookLink leads to a change of a card there.
func (s shell) BookLink(id string) string { return s.To(bookPath) + "#" + id }

// dated says whether a house has a logbook of work: something with a date.
func (in Input) dated() bool {
	return len(in.Logbook) > 0 || len(in.History.List) > 0 || len(in.Measured) > 0 || in.readAtSteps()
}

// MonthName writes a month in words.
func (s shell) MonthName(month string) string { return s.Words.Month(month) }

// In says in which language something stands that is not in the page's.
func (m moment) In() template.HTMLAttr {
	if m.Language == "" {
		return ""
	}
	return template.HTMLAttr(` lang="` + template.HTMLEscapeString(m.Language) + `"`)
}

// inBook is what the template of a moment's kind prints from.
type inBook struct {
	shell
	Moment moment
}

// With is for the template.
func (s shell) With(m moment) inBook { return inBook{s, m} }

// AskedIn gives the moment in which a question was asked.
func (s inBook) AskedIn(name string) *moment {
	for _, q := range s.Page.(bookPage).Questions {
		if q.Name == name {
			return &q.Asked
		}
	}
	return nil
}

// Amount writes a value with its unit.
func (s shell) Amount(n number) template.HTML {
	gap := "\u00a0"
	if n.Unit == "" {
		gap = ""
	}
	return template.HTML(`<data value="` + template.HTMLEscapeString(n.Exact) + `">` + template.HTMLEscapeString(n.Whole+n.Rest+gap+n.Unit) + `</data>`)
}
