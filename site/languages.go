package site

import (
	"fmt"
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
	booked  bool           // there is a logbook of work
	tested  bool           // there are tests of the board's wires to be taken
	cuts    bool           // there is wire to cut
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
		of, ok := in.Languages.Find(tag)
		if !ok {
			return nil, fmt.Errorf("there are no texts in the language %q", tag)
		}
		w := ui.Of(of)
		e := &edition{words: w, first: i == 0, booked: in.dated(), tested: len(in.Tests) > 0, cuts: len(in.ToCut.List.Wires) > 0}
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
				Input:   page.Input{Checked: l, Cards: in.Cards, Hazards: in.House.Hazards, Words: w, Scene: in.Scene, Drawings: in.Drawings},
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

// version is a page in one of its languages.
type version struct {
	Language, Name string
	Href           string // "" for the page itself
	Sections       string // identifiers of the headings, with blanks between
}

// versions gives the languages that a page is in. The pages of a lesson are only
// in those that it was translated into.
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
