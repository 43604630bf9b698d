package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/lesson"
)

// SourceID is the identifier of a source in the list of a page, by its number
// there, from 1. Pages that print citations need such a list.
func SourceID(number int) string { return fmt.Sprintf("source.%d", number) }

// TermID is the identifier of a term in the list of words of a page.
func TermID(label string) string { return "term." + label }

// cited prints a citation: its words, and the number of its source in the list
// below. It says whether n is one.
func (r *reader) cited(n *lesson.Node) bool {
	number, ok := r.source.Report.Cites[n]
	if !ok {
		return false
	}
	if !r.cites {
		r.nodes(n.Children, false)
		return true
	}
	r.sources[number] = true
	r.putf(`<a class="cite" href="#%s">`, SourceID(number))
	r.nodes(n.Children, false)
	r.putf("<sup>[%d]</sup></a>", number)
	return true
}

// term prints a word of the glossary, as a link to its meaning there, which
// the same page also has below the text. It says whether n is one.
func (r *reader) term(n *lesson.Node) bool {
	t, ok := r.source.Report.Terms[n]
	if !ok {
		return false
	}
	if r.links.Term == nil || !r.outside {
		r.nodes(n.Children, false)
		return true
	}
	r.putf(`<a class="term" href="%s" aria-describedby="%s">`, escape(r.links.Term(t.Label)), escape(TermID(t.Label)))
	r.nodes(n.Children, false)
	r.put("</a>")
	return true
}

// Entry is a term of the glossary as a page shows it.
type Entry struct {
	Label   string
	ID      string // in the list of a page
	Word    string
	Meaning template.HTML // inline
}

// Words lists the terms that a lesson uses, in the order of the alphabet.
func Words(s Source) []Entry {
	var terms []card.Term
	s.Lesson.Body.Walk(func(n *lesson.Node) bool {
		if t, ok := s.Report.Terms[n]; ok {
			terms = append(terms, t)
		}
		return n.Kind != lesson.VisitorPanel && n.Kind != lesson.TalkingPoint
	})
	return Entries(terms, s.Lesson.Language)
}

// Entries gives terms in a language, each once, in the order of the alphabet.
func Entries(terms []card.Term, language string) []Entry {
	var out []Entry
	seen := map[string]bool{}
	for _, t := range terms {
		if seen[t.Label] {
			continue
		}
		seen[t.Label] = true
		said := t.Say(language)
		out = append(out, Entry{t.Label, TermID(t.Label), said.Word, inlineMarkdown(said.Meaning)})
	}
	slices.SortStableFunc(out, func(a, b Entry) int {
		return strings.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	return out
}

// inlineMarkdown prints Markdown of one paragraph without that.
func inlineMarkdown(source string) template.HTML {
	var w writer
	for _, block := range lesson.Markdown([]byte(source)).Children {
		if block.Kind == lesson.Paragraph {
			w.nodes(block.Children, false)
			continue
		}
		w.node(block, false)
	}
	return template.HTML(w.out.String())
}
