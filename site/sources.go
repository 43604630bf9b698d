package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/render/page"
	ui "slipring/render/words"
)

const sourcesPath = "course/sources/index.html"

// sourceLine is one source as pages list it.
type sourceLine struct {
	ID      string
	Number  int           // in the list of a lesson's page
	Line    template.HTML // the source, its kind, and what it supports
	Lessons template.HTML
}

func (s shell) sourceLine(id string, source card.Source) sourceLine {
	span := func(class string, words template.HTML) template.HTML {
		mark := ui.Tag("span", "class", class)
		return mark.Open + words + mark.Close
	}
	kind := template.HTML(template.HTMLEscapeString(s.Words.Text("source-kind." + strings.ReplaceAll(string(source.Kind), " ", "-"))))
	line := span("kind", kind)
	if source.Kind != card.CommonPractice { // of which nothing more can be cited
		line = span("reference", template.HTML(template.HTMLEscapeString(source.Reference()))) + " " + span("kind", "("+kind+")")
	}
	if said := s.said(source.Say(s.Lang)); said != "" {
		line = s.Words.HTML("sources.supports", "source", line, "supports", span("supports", said))
	}
	return sourceLine{ID: id, Line: line}
}

// SourceLines lists the sources of the page's lesson, under the numbers that
// its citations have.
func (s shell) SourceLines() []sourceLine {
	var lines []sourceLine
	for i, source := range s.Of.Report.Sources {
		line := s.sourceLine(page.SourceID(i+1), source)
		line.Number = i + 1
		lines = append(lines, line)
	}
	return lines
}

// HasSources says whether any lesson cites a source.
func (s shell) HasSources() bool { return s.edition.cites() }

func (e *edition) cites() bool {
	return slices.ContainsFunc(e.lessons, func(l *lessonPages) bool { return len(l.Report.Sources) > 0 })
}

// sourcesPage is the page of all sources that lessons cite.
type sourcesPage struct {
	sources []card.Source // by reference, common practice last
	lessons map[string][]*lessonPages
}

// Lines is for the template.
func (p sourcesPage) Lines(s shell) []sourceLine {
	var lines []sourceLine
	for _, source := range p.sources {
		line := s.sourceLine(source.Label, source)
		line.Lessons = s.lessonLinks(p.lessons[source.Label])
		lines = append(lines, line)
	}
	return lines
}

func (s shell) lessonLinks(lessons []*lessonPages) template.HTML {
	var links []string
	for _, e := range lessons {
		links = append(links, string(s.lessonLink(e)))
	}
	return template.HTML(strings.Join(links, ", "))
}

func (b *builder) sources() (shell, bool) {
	if !b.cites() {
		return shell{}, false
	}
	p := sourcesPage{lessons: map[string][]*lessonPages{}}
	for _, e := range b.lessons {
		for _, source := range e.Report.Sources {
			if len(p.lessons[source.Label]) == 0 {
				p.sources = append(p.sources, source)
			}
			p.lessons[source.Label] = append(p.lessons[source.Label], e)
		}
	}
	slices.SortStableFunc(p.sources, func(a, b card.Source) int {
		if a, b := a.Kind == card.CommonPractice, b.Kind == card.CommonPractice; a != b {
			if a {
				return 1
			}
			return -1
		}
		return strings.Compare(a.Reference(), b.Reference())
	})
	return shell{Title: b.title(b.words.Text("sources.title")), From: b.from(b.lessons...), Page: p}, true
}
