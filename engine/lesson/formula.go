package lesson

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"
)

// What a formula may hold. Beyond it nobody could read it on a page.
const (
	longestFormula = 2000 // bytes
	deepestFormula = 30   // braces within each other
)

// formulaMark begins the code span of a formula.
const formulaMark = "tex "

// stretch says from where in the file the text of a node stands, from a place
// in that text on.
type stretch struct{ in, at int }

// Place gives the byte offset in the lesson file of a place in a node's Text,
// for formulas, whose lines need not follow each other in the file.
func (n *Node) Place(in int) int {
	place := n.Offset + in
	for _, s := range n.stretches {
		if s.in <= in {
			place = s.at + in - s.in
		}
	}
	return place
}

// displayed makes a formula of a fenced block, wherever that stands.
func (c *converter) displayed(n *ast.FencedCodeBlock, b *Node) {
	b.Kind, b.Display, b.Info, b.Text = Formula, true, "", ""
	var tex strings.Builder
	for i := range n.Lines().Len() {
		line := n.Lines().At(i)
		text := line.Value(c.source)
		b.stretches = append(b.stretches, stretch{tex.Len(), c.base + line.Start + max(line.Stop-line.Start-len(text), 0)})
		tex.Write(text)
	}
	c.tex(b, tex.String())
}

// spanned makes a formula of a code span that begins as one, and says whether
// it did.
func (c *converter) spanned(n *ast.CodeSpan, b *Node) bool {
	if c.plain || !strings.HasPrefix(b.Text, formulaMark) || strings.TrimSpace(b.Text) == strings.TrimSpace(formulaMark) {
		return false
	}
	text := b.Text
	b.Kind, b.Text = Formula, ""
	in := 0
	for t := n.FirstChild(); t != nil; t = t.NextSibling() {
		if t, ok := t.(*ast.Text); ok {
			b.stretches = append(b.stretches, stretch{in, c.base + t.Segment.Start})
			in += len(t.Segment.Value(c.source))
		}
	}
	c.tex(b, text)
	return true
}

// tex sets a formula's text, without the mark and the blanks around it, and
// moves the node to where that stands.
func (c *converter) tex(b *Node, text string) {
	from := 0
	if !b.Display {
		from = len(formulaMark)
	}
	trimmed := strings.TrimLeft(text[from:], " \t\n")
	from = len(text) - len(trimmed)
	b.Text = strings.TrimRight(trimmed, " \t\n")
	if b.Text == "" {
		c.say(b.Offset-c.base, "formula", "the formula is empty", `write its TeX, such as \frac{a}{b}`)
		b.stretches = nil
		return
	}
	at, end := b.Place(from), b.Place(from+len(b.Text)-1)+1
	var kept []stretch
	for i, s := range b.stretches {
		if i+1 < len(b.stretches) && b.stretches[i+1].in <= from {
			continue
		}
		if s.in < from {
			s = stretch{from, at}
		}
		if s.in < from+len(b.Text) {
			kept = append(kept, stretch{s.in - from, s.at})
		}
	}
	if len(kept) == 1 {
		kept = nil // the node's offset says it
	}
	b.Offset, b.End, b.stretches = at, end, kept
	c.decent(b)
}

func (c *converter) decent(b *Node) {
	if len(b.Text) > longestFormula {
		c.say(b.Offset-c.base, "formula", fmt.Sprintf("the formula has %d bytes, more than %d", len(b.Text), longestFormula),
			"break it into steps, each with a sentence")
		return
	}
	if i := strings.IndexByte(b.Text, '$'); i >= 0 {
		c.say(b.Place(i)-c.base, "formula", "a formula is written without dollar signs", "leave them out")
	}
	depth := 0
	for i, r := range b.Text {
		switch r {
		case '{':
			depth++
		case '}':
			depth--
		}
		if depth > deepestFormula {
			c.say(b.Place(i)-c.base, "formula", fmt.Sprintf("more than %d braces stand within each other", deepestFormula), "break the formula into steps")
			return
		}
	}
}
