package page

import (
	"fmt"
	"strings"

	"slipring/engine/lesson"
)

// HTML prints plain Markdown as the CommonMark specification does, except
// that the author's raw HTML comes out as text.
func HTML(n *lesson.Node) string {
	var w writer
	w.node(n, false)
	return w.out.String()
}

// writer prints nodes. Line breaks between blocks are put where the
// specification's examples have them.
type writer struct {
	out  strings.Builder
	last byte // written

	// special, unless nil, is asked first about each node; it says whether it
	// has printed it.
	special func(*lesson.Node) bool
}

func (w *writer) put(s string) {
	if s != "" {
		w.out.WriteString(s)
		w.last = s[len(s)-1]
	}
}

func (w *writer) putf(format string, args ...any) { w.put(fmt.Sprintf(format, args...)) }

// line goes to the beginning of a line.
func (w *writer) line() {
	if w.last != 0 && w.last != '\n' {
		w.put("\n")
	}
}

// htmlText leaves apostrophes alone, as the specification's examples do; all
// our attributes stand in double quotes.
var htmlText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return htmlText.Replace(s) }

func (w *writer) nodes(list []*lesson.Node, tight bool) {
	for _, n := range list {
		w.node(n, tight)
	}
}

// node prints a block or an inline. In a tight list, paragraphs have no tags.
func (w *writer) node(n *lesson.Node, tight bool) {
	if w.special != nil && w.special(n) {
		return
	}
	switch n.Kind {
	case lesson.Document:
		w.nodes(n.Children, false)
	case lesson.Heading:
		w.line()
		w.putf("<h%d>", n.Level)
		w.nodes(n.Children, false)
		w.putf("</h%d>\n", n.Level)
	case lesson.Paragraph:
		if tight {
			w.nodes(n.Children, false)
			return
		}
		w.line()
		w.put("<p>")
		w.nodes(n.Children, false)
		w.put("</p>\n")
	case lesson.ThematicBreak:
		w.line()
		w.put("<hr />\n")
	case lesson.List:
		w.list(n)
	case lesson.BlockQuote:
		w.line()
		w.put("<blockquote>\n")
		w.nodes(n.Children, false)
		w.line()
		w.put("</blockquote>\n")
	case lesson.CodeBlock:
		w.code(n.Info, n.Text)
	case lesson.HTMLBlock:
		w.line()
		w.putf("<pre><code>%s</code></pre>\n", escape(n.Text))
	default:
		w.inline(n)
	}
}

func (w *writer) list(n *lesson.Node) {
	tag, start := "ul", ""
	if n.Ordered {
		tag = "ol"
		if n.Start != 1 {
			start = fmt.Sprintf(` start="%d"`, n.Start)
		}
	}
	w.line()
	w.putf("<%s%s>\n", tag, start)
	for _, item := range n.Children {
		w.line()
		w.put("<li>")
		w.nodes(item.Children, n.Tight)
		w.put("</li>\n")
	}
	w.putf("</%s>\n", tag)
}

func (w *writer) code(info, text string) {
	class := ""
	if words := strings.Fields(info); len(words) > 0 {
		class = fmt.Sprintf(` class="language-%s"`, escape(words[0]))
	}
	w.line()
	w.putf("<pre><code%s>%s</code></pre>\n", class, escape(text))
}

func (w *writer) inline(n *lesson.Node) {
	switch n.Kind {
	case lesson.Text, lesson.RawHTML:
		w.put(escape(n.Text))
	case lesson.Emphasis:
		w.put("<em>")
		w.nodes(n.Children, false)
		w.put("</em>")
	case lesson.Strong:
		w.put("<strong>")
		w.nodes(n.Children, false)
		w.put("</strong>")
	case lesson.CodeSpan:
		w.putf("<code>%s</code>", escape(n.Text))
	case lesson.SoftBreak:
		w.put("\n")
	case lesson.HardBreak:
		w.put("<br />\n")
	case lesson.Link:
		w.putf(`<a href="%s"%s>`, escape(n.Destination), title(n))
		w.nodes(n.Children, false)
		w.put("</a>")
	case lesson.Image:
		w.putf(`<img src="%s" alt="%s"%s />`, escape(n.Destination), escape(n.Words()), title(n))
	default:
		w.nodes(n.Children, false)
	}
}

func title(n *lesson.Node) string {
	if n.Title == "" {
		return ""
	}
	return fmt.Sprintf(` title="%s"`, escape(n.Title))
}
