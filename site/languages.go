package site

import (
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"slipring/engine/proof"
	"slipring/render/page"
	ui "slipring/render/words"
)

// edition is the site in one language. Its pages stand beside those of the
// house's first language, whose paths name no language.
type edition struct {
	words   *ui.Words
	first   bool
	lessons []*lessonPages // a lesson that is not translated is here in the first language
}

// newEditions gives an edition for each language of the house.
func newEditions(in Input) ([]*edition, error) {
	languages := in.House.Languages
	if len(languages) == 0 {
		languages = []string{"en"}
	}
	var all []*edition
	for i, tag := range languages {
		w, err := ui.In(tag)
		if err != nil {
			return nil, err
		}
		e := &edition{words: w, first: i == 0}
		for k, l := range in.Lessons {
			if i > 0 {
				at := slices.IndexFunc(l.Translations, func(t proof.Checked) bool { return t.Lesson.Language == tag })
				if at < 0 {
					e.lessons = append(e.lessons, all[0].lessons[k])
					continue
				}
				l = l.Translations[at]
			}
			e.lessons = append(e.lessons, &lessonPages{
				Input:   page.Input{Checked: l, Cards: in.Cards, Hazards: in.House.Hazards, Words: w, Drawings: in.Drawings},
				digest:  digest(l.Lesson.Source),
				edition: e,
			})
		}
		all = append(all, e)
	}
	return all, nil
}

// path gives the path of a page in the edition's language: beside
// course/hunting/index.html stands course/hunting/fr.html, and beside
// kiosk/hunting.html stands kiosk/hunting.fr.html.
func (e *edition) path(name string) string {
	if e.first {
		return name
	}
	if dir, file := path.Split(name); file == "index.html" {
		return dir + e.words.Language() + ".html"
	}
	return strings.TrimSuffix(name, ".html") + "." + e.words.Language() + ".html"
}

// own says whether a lesson of the edition is in its language.
func (e *edition) own(l *lessonPages) bool { return l.edition == e }

// Language is that of the lesson's text.
func (e *lessonPages) Language() string { return e.edition.words.Language() }

// The paths of the lesson's pages in its language.
func (e *lessonPages) CoursePath() string {
	return e.edition.path("course/" + e.Lesson.Slug + "/index.html")
}
func (e *lessonPages) KioskPath() string { return e.edition.path("kiosk/" + e.Lesson.Slug + ".html") }
func (e *lessonPages) HandoutPath() string {
	return e.edition.path("handout/" + e.Lesson.Slug + ".html")
}
func (e *lessonPages) GuidePath() string {
	return e.edition.path("handout/" + e.Lesson.Slug + "-guide.html")
}

// version is a page in one of its languages.
type version struct {
	Language, Name string
	Href           string // "" for the page itself
	Sections       string // identifiers of the headings, with blanks between
}

// versions gives the languages that a page is in. An entry is given for the
// pages of a lesson, which has only those that it was translated into.
func (b *builder) versions(name string, of *lessonPages) []version {
	var out []version
	for _, e := range b.editions {
		v := version{Language: e.words.Language(), Name: e.words.Name()}
		if of != nil {
			i := slices.IndexFunc(e.lessons, func(l *lessonPages) bool { return l.Lesson.Slug == of.Lesson.Slug })
			if i < 0 || !e.own(e.lessons[i]) {
				continue
			}
			var ids []string
			for _, h := range e.lessons[i].course.Headings {
				ids = append(ids, h.ID)
			}
			v.Sections = strings.Join(ids, " ")
		}
		if e != b.edition {
			v.Href = relative(b.path(name), e.path(name))
		}
		out = append(out, v)
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// relative gives a link from one page to another.
func relative(from, to string) string {
	a, b := strings.Split(from, "/"), strings.Split(to, "/")
	for len(a) > 1 && len(b) > 1 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	return strings.Repeat("../", len(a)-1) + strings.Join(b, "/")
}

// Link gives a link to a page at its path.
func (s shell) Link(to string) string { return relative(s.path, to) }

// To gives a link to a page in the language of this one.
func (s shell) To(name string) string { return relative(s.path, s.edition.path(name)) }

// Foreign says whether a lesson is not in the language of the page.
func (s shell) Foreign(e *lessonPages) bool { return !s.edition.own(e) }

// Notices gives the cautions of a lesson in short, in the words of the page.
func (s shell) Notices(e *lessonPages) []page.Notice {
	return page.Notices(e.Lesson, s.House.Hazards, s.Words)
}

// Accidents says what to do first after an accident: with the hazards of the
// lesson whose page it is, or with all that the house describes.
func (s shell) Accidents() []page.Notice {
	if s.Of != nil {
		return s.Notices(s.Of)
	}
	var all []page.Notice
	for _, h := range s.House.Hazards {
		all = append(all, page.NoticeOf(h, s.Words))
	}
	return all
}

// Date writes a date in words.
func (s shell) Date(date string) template.HTML {
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, template.HTMLEscapeString(date), template.HTMLEscapeString(s.Words.Date(date))))
}

// Source says what the numbers of the page were computed from.
func (s shell) Source() template.HTML {
	w, from := s.Words, s.From
	var cards []string
	for _, c := range from.Cards {
		one := template.HTML("<b>" + template.HTMLEscapeString(c.Name) + "</b>")
		if c.Revised != "" {
			one = w.HTML("source.card", "card", one, "date", s.Date(c.Revised))
		}
		cards = append(cards, string(one))
	}
	what := w.HTML("source.model", "version", from.Version)
	if len(cards) > 0 {
		what = w.HTML("source.cards", "n", len(cards), "cards", template.HTML(strings.Join(cards, ", ")), "version", from.Version)
	}
	digest := template.HTML("<code>" + from.Digest + "</code>")
	if from.Several {
		return w.HTML("source.lessons", "source", what, "digest", digest)
	}
	return w.HTML("source.lesson", "source", what, "digest", digest)
}

// Needs gives links to the lessons that come first.
func (p coursePage) NeedLinks(s shell) template.HTML {
	var links []string
	for _, e := range p.Needs {
		links = append(links, string(s.lessonLink(e)))
	}
	return template.HTML(strings.Join(links, ", "))
}

func (s shell) lessonLink(e *lessonPages) template.HTML {
	mark := ui.Tag("a", "href", s.Link(e.CoursePath()))
	if s.Foreign(e) {
		mark = ui.Tag("a", "href", s.Link(e.CoursePath()), "hreflang", e.Language(), "lang", e.Language())
	}
	return mark.Open + template.HTML(template.HTMLEscapeString(e.Lesson.Title)) + mark.Close
}
