package site

import (
	"html/template"
	"maps"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/render/page"
)

const glossaryPath = "course/glossary/index.html"

// term is one word of the glossary with what leads on from it.
type term struct {
	page.Term
	see     []page.Term
	lessons []*lessonPages
}

type glossaryPage []term

// HasTerms says whether any lesson uses a word of the glossary.
func (s shell) HasTerms() bool { return s.edition.explains() }

func (e *edition) explains() bool {
	return slices.ContainsFunc(e.lessons, func(l *lessonPages) bool { return len(l.Report.Terms) > 0 })
}

// See gives links to other words.
func (t term) See() template.HTML {
	var links []string
	for _, e := range t.see {
		links = append(links, `<a href="#`+template.HTMLEscapeString(e.Label)+`">`+template.HTMLEscapeString(e.Word)+"</a>")
	}
	return template.HTML(strings.Join(links, ", "))
}

// Lessons gives links to the lessons that use the word.
func (t term) Lessons(s shell) template.HTML { return s.lessonLinks(t.lessons) }

// glossary makes the page of the words that lessons use, and of those that
// these point to.
func (b *builder) glossary() (shell, bool) {
	if !b.explains() {
		return shell{}, false
	}
	terms := map[string]card.Term{}
	lessons := map[string][]*lessonPages{}
	var add func(t card.Term)
	add = func(t card.Term) {
		if _, had := terms[t.Label]; had {
			return
		}
		terms[t.Label] = t
		for _, label := range t.See {
			if other, ok := b.Glossary.Find(label); ok {
				add(other)
			}
		}
	}
	for _, e := range b.lessons {
		for _, t := range e.Report.Terms {
			add(t)
			if !slices.Contains(lessons[t.Label], e) {
				lessons[t.Label] = append(lessons[t.Label], e)
			}
		}
	}
	var p glossaryPage
	language := b.words.Language()
	for _, e := range page.Terms(slices.Collect(maps.Values(terms)), language) {
		one := term{Term: e, lessons: lessons[e.Label]}
		for _, label := range terms[e.Label].See {
			if other, ok := terms[label]; ok {
				one.see = append(one.see, page.Terms([]card.Term{other}, language)...)
			}
		}
		p = append(p, one)
	}
	return shell{Title: b.title(b.words.Text("glossary.title")), From: b.from(b.lessons...), Page: p}, true
}
