package site

import (
	"fmt"
	"html/template"
	"strings"

	"slipring/render/page"
	ui "slipring/render/words"
)

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

func (s shell) lessonLink(e *lessonPages) template.HTML {
	mark := ui.Tag("a", "href", s.Link(e.Path("course")))
	if s.Foreign(e) {
		mark = ui.Tag("a", "href", s.Link(e.Path("course")), "hreflang", e.Language(), "lang", e.Language())
	}
	return mark.Open + template.HTML(template.HTMLEscapeString(e.Lesson.Title)) + mark.Close
}
