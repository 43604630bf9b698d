package page

import (
	"fmt"
	"go/doc/comment"
	"html/template"
	"regexp"
	"strings"

	"slipring/engine/lesson"
)

// code prints the source of a cell. What it calls of the engine leads to what
// is said about it.
func (p *printer) code(n *lesson.Node) string {
	source := strings.TrimRight(p.in.Lesson.Cells[n.Cell].Source, "\n")
	var b strings.Builder
	last := 0
	for _, c := range p.in.Calls {
		if c.Cell != n.Cell || c.From < last || c.To <= c.From || c.To > len(source) || p.links.Code == nil {
			continue
		}
		href := p.links.Code(c.Name)
		if href == "" {
			continue
		}
		fmt.Fprintf(&b, `%s<a href="%s">%s</a>`, escape(source[last:c.From]), escape(href), escape(source[c.From:c.To]))
		last = c.To
	}
	return b.String() + escape(source[last:])
}

// Comment prints a doc comment of Go, as its package's readers know it:
// paragraphs, lists, headings at the given level, and indented lines as they
// stand. Names such as machine.Governor.OpenFraction become links where link
// has one for them.
func Comment(text string, level int, link func(name string) string) template.HTML {
	var p comment.Parser
	w := commentWriter{level: level, link: link}
	w.blocks(p.Parse(text).Content, false)
	return template.HTML(w.out.String())
}

type commentWriter struct {
	out   strings.Builder
	level int
	link  func(string) string
}

func (w *commentWriter) blocks(list []comment.Block, tight bool) {
	for _, b := range list {
		switch b := b.(type) {
		case *comment.Paragraph:
			if tight {
				w.text(b.Text)
				continue
			}
			w.out.WriteString("<p>")
			w.text(b.Text)
			w.out.WriteString("</p>\n")
		case *comment.Heading:
			fmt.Fprintf(&w.out, "<h%d>", w.level)
			w.text(b.Text)
			fmt.Fprintf(&w.out, "</h%d>\n", w.level)
		case *comment.Code:
			fmt.Fprintf(&w.out, "<pre tabindex=\"0\"><code>%s</code></pre>\n", linked(b.Text, w.link))
		case *comment.List:
			tag := "ul"
			if len(b.Items) > 0 && b.Items[0].Number != "" {
				tag = "ol"
			}
			fmt.Fprintf(&w.out, "<%s>\n", tag)
			for _, item := range b.Items {
				w.out.WriteString("<li>")
				w.blocks(item.Content, !b.BlankBetween())
				w.out.WriteString("</li>\n")
			}
			fmt.Fprintf(&w.out, "</%s>\n", tag)
		}
	}
}

func (w *commentWriter) text(list []comment.Text) {
	for _, t := range list {
		switch t := t.(type) {
		case comment.Plain:
			w.out.WriteString(linked(string(t), w.link))
		case comment.Italic:
			fmt.Fprintf(&w.out, "<em>%s</em>", escape(string(t)))
		case *comment.Link:
			fmt.Fprintf(&w.out, `<a href="%s" class="outside" rel="noreferrer">`, escape(t.URL))
			w.text(t.Text)
			w.out.WriteString("</a>")
		case *comment.DocLink:
			w.text(t.Text)
		}
	}
}

// qualified is a name as code outside its package writes it.
var qualified = regexp.MustCompile(`\b[a-z]+\.[A-Z]\w*(\.[A-Z]\w*)?`)

// Names finds the names in a text that link has a link for.
func Names(text string, link func(name string) string) []string {
	var out []string
	for _, at := range namesAt(text, link) {
		out = append(out, text[at[0]:at[1]])
	}
	return out
}

func namesAt(text string, link func(string) string) [][]int {
	var out [][]int
	for _, at := range qualified.FindAllStringIndex(text, -1) {
		if name := text[at[0]:at[1]]; link(name) == "" && strings.Count(name, ".") == 2 {
			// what follows machine.Load may be no part of the name
			at[1] = at[0] + strings.LastIndexByte(name, '.')
		}
		if link(text[at[0]:at[1]]) != "" {
			out = append(out, at)
		}
	}
	return out
}

// linked prints a text with links at the names that have one.
func linked(text string, link func(string) string) string {
	var b strings.Builder
	last := 0
	for _, at := range namesAt(text, link) {
		name := text[at[0]:at[1]]
		fmt.Fprintf(&b, `%s<a href="%s">%s</a>`, escape(text[last:at[0]]), escape(link(name)), escape(name))
		last = at[1]
	}
	return b.String() + escape(text[last:])
}

// word is a name in a signature, with its package where that is another.
var word = regexp.MustCompile(`\b([a-z]+\.)?[A-Z]\w*`)

// Signature prints a signature as its package writes it, with links at the
// names of types that have one, but for what it declares itself.
func Signature(text, pkg, self string, link func(name string) string) template.HTML {
	var b strings.Builder
	last := 0
	typesIn(text, pkg, link, func(from, to int, name string) {
		if name != self {
			fmt.Fprintf(&b, `%s<a href="%s">%s</a>`, escape(text[last:from]), escape(link(name)), escape(text[from:to]))
			last = to
		}
	})
	return template.HTML(b.String() + escape(text[last:]))
}

// TypeNames gives the names in a signature that link has a link for.
func TypeNames(text, pkg string, link func(name string) string) []string {
	var out []string
	typesIn(text, pkg, link, func(from, to int, name string) { out = append(out, name) })
	return out
}

func typesIn(text, pkg string, link func(string) string, each func(from, to int, name string)) {
	for _, at := range word.FindAllStringIndex(text, -1) {
		name := text[at[0]:at[1]]
		if !strings.Contains(name, ".") {
			name = pkg + "." + name
		}
		if link(name) != "" {
			each(at[0], at[1], name)
		}
	}
}
