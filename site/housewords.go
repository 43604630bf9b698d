package site

import (
	"html/template"
	"strings"

	ui "slipring/render/words"
)

// houseName is what the house is called in the edition's language.
func (b *builder) houseName() string {
	house, _ := b.House.Say(b.words.Language())
	return house.Name
}

// Said prints words of the house, marked where they are not in the page's
// language.
func (s shell) Said(words string) template.HTML { return s.said(words, !s.foreign(words)) }

// said prints words of the lessons' folder, which are in the page's language or
// else in the house's first.
func (s shell) said(words string, translated bool) template.HTML {
	text := template.HTML(template.HTMLEscapeString(words))
	if translated || s.edition.first || words == "" {
		return text
	}
	mark := ui.Tag("span", "lang", s.main.Language())
	return mark.Open + text + mark.Close
}

// Invented says once that the page shows invented data, where it does: in the
// house's words if they say so in the page's language, and otherwise in ours.
func (s shell) Invented() template.HTML {
	note, foreign := s.House.Note, s.foreign(s.House.Note)
	if !s.From.Invented {
		return s.Said(note)
	}
	says := func(w *ui.Words) bool {
		return strings.Contains(strings.ToLower(note), strings.ToLower(w.Text("site.invented")))
	}
	ours := template.HTML(template.HTMLEscapeString(s.Words.Text("site.invented")) + ".")
	switch {
	case says(s.Words):
		return s.Said(note)
	case foreign && says(s.main):
		return ours
	case note == "":
		return ours
	}
	return ours + " " + s.Said(note)
}
