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
func (p *printer) cited(n *lesson.Node) bool {
	number, ok := p.in.Report.Cites[n]
	if !ok {
		return false
	}
	if !p.cites {
		p.nodes(n.Children, false)
		return true
	}
	p.sources[number] = true
	p.putf(`<a class="cite" href="#%s">`, SourceID(number))
	p.nodes(n.Children, false)
	p.putf("<sup>[%d]</sup></a>", number)
	return true
}

// term prints a word of the glossary, as a link to its meaning there, which
// the same page also has beside the text. It says whether n is one.
func (p *printer) term(n *lesson.Node) bool {
	t, ok := p.in.Report.Terms[n]
	if !ok {
		return false
	}
	if p.links.Term == nil || !p.outside {
		p.nodes(n.Children, false)
		return true
	}
	p.putf(`<a class="term" href="%s" aria-describedby="%s">`, escape(p.links.Term(t.Label)), escape(TermID(t.Label)))
	p.nodes(n.Children, false)
	p.put("</a>")
	return true
}

// Term is a word of the glossary as a page shows it.
type Term struct {
	Label   string
	ID      string // in the list of a page
	Word    string
	Meaning template.HTML // inline
}

// withNotes prints blocks, and behind each one what the terms mean that it is
// the first to use. Those of a heading follow the block below it.
func (p *printer) withNotes(blocks []*lesson.Node) {
	noted := map[string]bool{}
	var terms []card.Term
	for i, b := range blocks {
		p.node(b, false)
		b.Walk(func(n *lesson.Node) bool {
			if t, ok := p.in.Report.Terms[n]; ok && !noted[t.Label] {
				noted[t.Label] = true
				terms = append(terms, t)
			}
			return !n.Elsewhere()
		})
		if b.Kind == lesson.Heading && i+1 < len(blocks) || len(terms) == 0 {
			continue
		}
		p.line()
		p.putf("<div class=\"beside\" role=\"note\" aria-label=\"%s\">\n<dl>\n", escape(p.ui.Text("glossary.here")))
		for _, t := range Terms(terms, p.in.Lesson.Language) {
			p.putf("<div><dt>%s</dt>\n<dd id=\"%s\">%s</dd></div>\n", escape(t.Word), escape(t.ID), t.Meaning)
		}
		p.put("</dl>\n</div>\n")
		terms = nil
	}
}

// Terms gives terms in a language, each once, in the order of the alphabet.
func Terms(terms []card.Term, language string) []Term {
	var out []Term
	seen := map[string]bool{}
	for _, t := range terms {
		if seen[t.Label] {
			continue
		}
		seen[t.Label] = true
		said := t.Say(language)
		out = append(out, Term{t.Label, TermID(t.Label), said.Word, inlineMarkdown(said.Meaning)})
	}
	slices.SortStableFunc(out, func(a, b Term) int {
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
