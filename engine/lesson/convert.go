package lesson

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"slipring/engine/diag"
)

// deepest is how many elements may stand within each other. Every part that
// walks the tree calls itself once a level.
const deepest = 100

// converter turns goldmark's tree of one source into ours.
type converter struct {
	*markdown
	source  []byte
	base    int // offset of source in the lesson
	pc      *context
	tooDeep bool
}

// say reports a finding at an offset of the converter's own source.
func (c *converter) say(offset int, rule, text, hint string) {
	if c.report != nil {
		c.report(c.base+offset, diag.Error, rule, text, hint)
	}
}

// enter says whether the tree may go one level deeper.
func (c *converter) enter(n ast.Node, depth int, parent *Node) bool {
	if depth <= deepest {
		return true
	}
	if !c.tooDeep {
		c.tooDeep = true
		c.say(max(c.pos(n), parent.Offset-c.base, 0), "nesting",
			fmt.Sprintf("more than %d lists, quotations or emphases stand within each other", deepest),
			"take some of them apart")
	}
	return false
}

// blocks converts the blocks below from and appends them to the children of
// to.
func (c *converter) blocks(from ast.Node, to *Node, depth int) {
	for n := from.FirstChild(); n != nil; n = n.NextSibling() {
		if !c.enter(n, depth, to) {
			return
		}
		if b := c.block(n, to, depth); b != nil {
			to.Children = append(to.Children, b)
		}
	}
}

func (c *converter) block(n ast.Node, parent *Node, depth int) *Node {
	at := c.base + max(c.pos(n), parent.Offset-c.base)
	b := &Node{Offset: at, End: at}
	switch n := n.(type) {
	case *ast.Heading:
		b.Kind, b.Level = Heading, n.Level
		c.inlines(n, b, depth+1)
		c.images(b)
		b.ID = c.ids.make(b)
	case *ast.Paragraph, *ast.TextBlock:
		b.Kind = Paragraph
		c.inlines(n, b, depth+1)
		if !c.plain {
			c.embed(b)
		}
	case *ast.ThematicBreak:
		b.Kind = ThematicBreak
	case *ast.List:
		b.Kind, b.Ordered, b.Start, b.Tight = List, n.IsOrdered(), n.Start, n.IsTight
		c.blocks(n, b, depth+1)
	case *ast.ListItem:
		b.Kind = ListItem
		c.blocks(n, b, depth+1)
	case *ast.Blockquote:
		b.Kind = BlockQuote
		c.blocks(n, b, depth+1)
	case *ast.CodeBlock:
		b.Kind, b.Text = CodeBlock, c.lines(n.Lines())
	case *ast.FencedCodeBlock:
		return c.fencedBlock(n, b, depth)
	case *ast.HTMLBlock:
		b.Kind, b.Text = HTMLBlock, c.lines(n.Lines())
		c.markup(c.pos(n))
		if n.HasClosure() {
			b.Text += string(n.ClosureLine.Value(c.source))
			b.End = max(b.End, c.base+n.ClosureLine.Stop)
		}
	case *ast.LinkReferenceDefinition:
		if c.report != nil && bytes.HasPrefix(n.Label, []byte("^")) {
			c.report(at, diag.Warning, "unread", "a footnote is not read here, and its text is lost", "say it in the text; a book or a rule is cited with [words][src.label]")
		}
		c.definitions = append(c.definitions, Definition{string(n.Label), at})
		return nil
	default:
		return nil
	}
	c.close(b, n)
	return b
}

// pos gives where a node begins, or -1. goldmark counts the columns of a tab
// as bytes where a list ends within it, so a place may come out too far on.
func (c *converter) pos(n ast.Node) int { return min(n.Pos(), len(c.source)) }

// close moves the end of b behind what stands in it.
func (c *converter) close(b *Node, n ast.Node) {
	if n.Type() == ast.TypeBlock && n.Lines() != nil && n.Lines().Len() > 0 {
		first, last := n.Lines().At(0), n.Lines().At(n.Lines().Len()-1)
		if b.Kind == Heading || b.Kind == Paragraph || b.Kind == Embed {
			b.Offset = c.base + first.Start
		}
		b.End = max(b.End, c.base+last.Stop)
	}
	for _, child := range b.Children {
		b.Offset = min(b.Offset, child.Offset) // see pos
		b.End = max(b.End, child.End)
	}
}

// lines puts the lines of a block of code or HTML together.
func (c *converter) lines(l *text.Segments) string {
	var b strings.Builder
	for i := range l.Len() {
		line := l.At(i)
		b.Write(line.Value(c.source))
	}
	return b.String()
}

// inlines converts the inlines below from and appends them to the children of
// to.
func (c *converter) inlines(from ast.Node, to *Node, depth int) {
	for n := from.FirstChild(); n != nil; n = n.NextSibling() {
		if !c.enter(n, depth, to) {
			return
		}
		if t, ok := n.(*ast.Text); ok {
			c.text(t, to)
			continue
		}
		if b := c.inline(n, to, depth); b != nil {
			to.Children = append(to.Children, b)
		}
	}
	for _, n := range to.Children {
		if n.Kind == Text {
			n.Text = unescape(c.source[n.Offset-c.base : n.End-c.base])
			c.visible(n.Offset-c.base, c.source[n.Offset-c.base:n.End-c.base], true)
			c.unread(n)
		}
	}
}

// markup warns of HTML, which pages show letter by letter.
func (c *converter) markup(at int) {
	if c.report != nil {
		c.report(c.base+max(at, 0), diag.Warning, "html", "HTML has no effect in a lesson, and is shown as it stands",
			"write it in Markdown, such as *emphasis*; to show it on purpose, put it between backquotes")
	}
}

var (
	unreadPicture = regexp.MustCompile(`(?:^|[^\\])\]\(\s*(?:figure|table|motion|sound)\s*:`)
	unreadQuote   = regexp.MustCompile(`(?:^|[^\\])\] +\[[a-z][a-z0-9.-]*\]`)
)

// extensions are forms that other readers of Markdown know, and lessons do not.
var extensions = [...]struct {
	form          *regexp.Regexp
	what, instead string
}{
	{regexp.MustCompile(`^\|?\s*:?-+:?\s*(?:\|\s*:?-+:?\s*)+\|?\s*$|^\|\s*:?-+:?\s*\|\s*$`), "a table drawn with bars is not read here",
		"tell the table in a cell, and place it with ![what it shows](table:name)"},
	{regexp.MustCompile(`\[\^[^\]\s]+\]`), "a footnote is not read here",
		"say it in the text; a book or a rule is cited with [words][src.label]"},
	{regexp.MustCompile(`~~[^~\s][^~]*~~`), "struck text is not read here", "leave it out; the logbook keeps what was before"},
	{regexp.MustCompile(`^\[[ xX]\]\s`), "a box to tick is not read here", "leave the box out; steps are a numbered list"},
}

// unread warns of text that was meant to be more: it would stand on the page
// with its brackets.
func (c *converter) unread(n *Node) {
	if c.report == nil {
		return
	}
	raw := c.source[n.Offset-c.base : n.End-c.base]
	if at := unreadPicture.FindIndex(raw); at != nil {
		c.report(n.Offset+at[0], diag.Warning, "unread", "this is no picture yet, and is shown as it stands",
			"write it without blanks in the round brackets, such as ![what it shows](figure:name)")
	}
	if at := unreadQuote.FindIndex(raw); at != nil {
		c.report(n.Offset+at[0], diag.Warning, "unread", "a blank stands between two brackets, which binds nothing",
			"write the second bracket close behind the first, as in [16.64 Hz][idle.speed]")
	}
	for _, x := range extensions {
		if at := x.form.FindIndex(raw); at != nil {
			c.report(n.Offset+at[0], diag.Warning, "unread", x.what+", and is shown as it stands", x.instead)
		}
	}
}

// text appends a run of text, and the line break behind it. Runs that touch
// each other become one, since goldmark splits text at every character that
// might have begun something. Their text is set when all are known.
func (c *converter) text(t *ast.Text, to *Node) {
	start, stop := c.base+t.Segment.Start, c.base+t.Segment.Stop
	if start < stop {
		if last := len(to.Children) - 1; last >= 0 && to.Children[last].Kind == Text && to.Children[last].End == start {
			to.Children[last].End = stop
		} else {
			to.Children = append(to.Children, &Node{Kind: Text, Offset: start, End: stop})
		}
	}
	switch {
	case t.HardLineBreak():
		to.Children = append(to.Children, &Node{Kind: HardBreak, Offset: stop, End: stop})
	case t.SoftLineBreak():
		to.Children = append(to.Children, &Node{Kind: SoftBreak, Offset: stop, End: stop})
	}
}

func (c *converter) inline(n ast.Node, parent *Node, depth int) *Node {
	at := c.pos(n)
	if at < 0 {
		at = parent.Offset - c.base
	}
	b := &Node{Offset: c.base + at, End: c.base + at}
	switch n := n.(type) {
	case *ast.Emphasis:
		b.Kind = Emphasis
		if n.Level == 2 {
			b.Kind = Strong
		}
		c.inlines(n, b, depth+1)
		if len(b.Children) > 0 {
			b.Offset = b.Children[0].Offset
		}
	case *ast.CodeSpan:
		b.Kind = CodeSpan
		var code bytes.Buffer
		for t := n.FirstChild(); t != nil; t = t.NextSibling() {
			if t, ok := t.(*ast.Text); ok {
				code.Write(t.Segment.Value(c.source))
				b.End = c.base + t.Segment.Stop
			}
		}
		for b.End < c.base+len(c.source) && c.source[b.End-c.base] == ' ' {
			b.End++ // a space that the span does not show
		}
		for b.End < c.base+len(c.source) && c.source[b.End-c.base] == '`' {
			b.End++
		}
		b.Text = strings.ReplaceAll(code.String(), "\n", " ")
		if c.spanned(n, b) {
			return b
		}
	case *ast.RawHTML:
		b.Kind, b.Text = RawHTML, c.lines(n.Segments)
		if !strings.HasPrefix(b.Text, "</") { // its beginning was warned of
			c.markup(at)
		}
		if k := n.Segments.Len(); k > 0 {
			b.End = c.base + n.Segments.At(k-1).Stop
		}
	case *ast.AutoLink:
		b.Kind = Link
		label := string(n.Label(c.source))
		b.Destination = string(util.URLEscape(n.URL(c.source), false))
		if n.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(b.Destination), "mailto:") {
			b.Destination = "mailto:" + b.Destination
		}
		b.End = b.Offset + len("<>") + len(label)
		b.Children = []*Node{{Kind: Text, Offset: b.Offset + 1, End: b.End - 1, Text: label}}
		c.destination(b)
	case *ast.Link:
		if string(n.Destination) == boundMark && !c.plain {
			return c.bound(n, b, depth)
		}
		b.Kind = Link
		b.Destination, b.Title = destination(n.Destination), unescape(n.Title)
		c.inlines(n, b, depth+1)
		b.End = c.base + c.pc.extent[n].end
		c.visible(at, n.Title, false)
		c.destination(b)
	case *ast.Image:
		b.Kind = Image
		b.Destination, b.Title = destination(n.Destination), unescape(n.Title)
		c.inlines(n, b, depth+1)
		b.End = c.base + c.pc.extent[n].end
		c.visible(at, n.Title, false)
		if string(n.Destination) == boundMark && !c.plain {
			c.say(at, "image-label", fmt.Sprintf("image ![...][%s] refers to a label that nothing defines", n.Reference.Value),
				"place what a cell told with ![what it shows](figure:name)")
			return &Node{Kind: Text, Offset: b.Offset, End: b.End}
		}
	default:
		return nil
	}
	for _, child := range b.Children {
		b.End = max(b.End, child.End)
	}
	return b
}

// visible reports a character reference in s, which is found at an offset, to
// what nobody could see on a page. The file itself may not hold that either. A
// link's destination is percent-encoded, so that all of it is seen.
func (c *converter) visible(at int, s []byte, exact bool) {
	in, what := hiddenReference(s)
	if in < 0 {
		return
	}
	if exact {
		at += in
	}
	c.say(at, "hidden", what, "take it out, and write what the page is to show")
}

// bound makes a node of [text][label] with a label that is ours to bind.
func (c *converter) bound(n *ast.Link, b *Node, depth int) *Node {
	b.Kind = Bound
	b.Offset++ // behind the bracket
	b.End = c.base + c.pc.extent[n].close
	b.Name = strings.Join(strings.Fields(string(n.Reference.Value)), " ")
	c.inlines(n, b, depth+1)
	return b
}
