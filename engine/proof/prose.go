package proof

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/lesson"
)

// hole stands in flattened text for what is no prose: code, or a text that is
// bound to a value.
const hole = "\ufffc"

// flat is the prose of one block, on one line, with where each part stands in
// the file.
type flat struct {
	strings.Builder
	pieces []piece
}

type piece struct {
	at   int // in the flat text
	node *lesson.Node
}

// offset gives the place in the file of a place in the flat text.
func (f *flat) offset(at int) int {
	for i := len(f.pieces) - 1; i >= 0; i-- {
		if p := f.pieces[i]; p.at <= at {
			if len(p.node.Text) == p.node.End-p.node.Offset {
				return p.node.Offset + at - p.at
			}
			return p.node.Offset // its text has escapes
		}
	}
	return 0
}

func (f *flat) add(n *lesson.Node, text string) {
	f.pieces = append(f.pieces, piece{f.Len(), n})
	f.WriteString(text)
}

// prose looks for numbers with a unit that are bound to nothing, and for units
// behind a quote.
func (c *checker) prose() {
	if title := c.lesson.Facts.Title; title != "" {
		c.unbound(title, func(int) int { return c.lesson.Facts.TitleAt }, "say it without the number: nothing in a title can be bound")
	}
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Heading, lesson.Paragraph, lesson.Embed:
			var f flat
			for _, child := range n.Children {
				c.flatten(child, &f)
			}
			hint := "tell it in a cell and write [number unit][name], or take it from the card with [...][card.PART.KEY]"
			if n.Kind == lesson.Embed {
				hint = "put the number into the sentence before or after: nothing in alternative text can be bound"
			}
			c.unbound(f.String(), f.offset, hint)
			c.unitsBehind(&f)
			return false
		case lesson.HTMLBlock: // which pages show as it is written
			c.unbound(n.Text, func(int) int { return n.Offset }, "write it as ordinary text, where it can be bound")
		}
		return true
	})
}

func (c *checker) flatten(n *lesson.Node, f *flat) {
	switch n.Kind {
	case lesson.Text:
		f.add(n, n.Text)
	case lesson.SoftBreak, lesson.HardBreak:
		f.add(n, " ")
	case lesson.CodeSpan, lesson.RawHTML:
		f.add(n, hole)
	default:
		if n.Kind == lesson.Bound && c.report.Links[n] == nil {
			f.add(n, hole)
			return
		}
		for _, child := range n.Children {
			c.flatten(child, f)
		}
	}
}

func (c *checker) unbound(text string, offset func(int) int, hint string) {
	for _, at := range numeral.FindAllStringIndex(text, -1) {
		if last, _ := utf8.DecodeLastRuneInString(text[:at[0]]); unicode.IsLetter(last) {
			continue // part of a name
		}
		if _, length, ok := c.language.unitAfter(text[at[1]:]); ok {
			from := at[0] - len(signBefore(text[:at[0]]))
			c.say(offset(from), ruleUnbound, fmt.Sprintf("%q is bound to no value", oneLine(text[from:at[1]+length])), hint)
		}
	}
}

// unitsBehind looks at the unit that stands behind the brackets of a quote
// without one.
func (c *checker) unitsBehind(f *flat) {
	text := f.String()
	for _, p := range f.pieces {
		q, ok := c.report.Forms[p.node]
		if !ok || q.unit != "" {
			continue
		}
		unit, _, ok := c.language.unitAfter(text[p.at+len(hole):])
		if !ok {
			continue
		}
		if scale, same := c.language.factor(q.told, unit); !same || scale.Num().Cmp(scale.Denom()) != 0 {
			c.say(p.node.Offset, ruleUnit, fmt.Sprintf("%q stands behind %q, but %s %s", unit, q.with(q.number), p.node.Name, inUnit(q.told)),
				"put the unit into the brackets, where it is checked")
		}
	}
}
