package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/language"
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
		case lesson.Heading, lesson.Paragraph, lesson.Embed, lesson.QuestionText:
			var f flat
			for _, child := range n.Children {
				c.flatten(child, &f)
			}
			hint := "tell it in a cell and write [number unit][name], or take it from the card with [...][card.PART.KEY]"
			if n.Kind == lesson.Embed || n.Kind == lesson.QuestionText {
				hint = "tell it in a cell and write it in braces behind its name: {name number unit}"
			}
			if c.entry() {
				hint = "bind it to what was so that day, as in [...][reading.DATE.QUANTITY] or [...][card.PART.KEY], or say it without the number"
			}
			c.unbound(f.String(), f.offset, hint)
			c.unitsBehind(&f)
			c.braces(&f)
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
	case lesson.CodeSpan, lesson.RawHTML, lesson.Formula, lesson.Insert:
		f.add(n, hole)
	default:
		_, term := c.report.Terms[n]
		if n.Kind == lesson.Bound && c.report.Links[n] == nil && !term {
			f.add(n, hole)
			return
		}
		for _, child := range n.Children {
			c.flatten(child, f)
		}
	}
}

func (c *checker) unbound(text string, offset func(int) int, hint string) {
	for _, at := range loose(c.language, text) {
		c.say(offset(at[0]), ruleUnbound, fmt.Sprintf("%q is bound to no value", oneLine(text[at[0]:at[1]])), hint)
	}
}

// loose finds the numbers with a unit in a text, from their sign on.
func loose(g *language.Language, text string) [][2]int {
	var list [][2]int
	for _, at := range numerals(text) {
		if last, _ := utf8.DecodeLastRuneInString(text[:at[0]]); unicode.IsLetter(last) {
			continue // part of a name
		}
		if _, length, ok := g.UnitAfter(text[at[1]:]); ok {
			list = append(list, [2]int{at[0] - len(signBefore(text[:at[0]])), at[1] + length})
		}
	}
	return list
}

var brace = regexp.MustCompile(`(?:^|[^\\])(\{([a-z][a-z0-9]*(?:[.-][a-z0-9]+)*)[ }])`)

// braces looks for numbers in braces where pages print these as they stand.
func (c *checker) braces(f *flat) {
	for _, p := range f.pieces {
		if p.node.Kind != lesson.Text {
			continue
		}
		written := string(c.lesson.Source[p.node.Offset:p.node.End])
		for _, m := range brace.FindAllStringSubmatchIndex(written, -1) {
			if name := written[m[4]:m[5]]; slices.Contains(c.known, name) {
				c.say(p.node.Offset+m[2], ruleForm, fmt.Sprintf("{%s} is printed here as it stands", name),
					fmt.Sprintf("write [number unit][%s]; braces are for alternative text and for what a question asks and offers", name))
			}
		}
	}
}

// unitsBehind looks at the unit that stands behind the brackets of a quote
// without one.
func (c *checker) unitsBehind(f *flat) {
	text := f.String()
	for _, p := range f.pieces {
		q, ok := c.report.Forms[p.node]
		bare := p.node.Kind == lesson.Insert && len(p.node.Children) == 0
		if !ok || q.unit != "" && !bare {
			continue
		}
		unit, _, ok := c.language.UnitAfter(text[p.at+len(hole):])
		if !ok {
			continue
		}
		if bare && q.unit != "" {
			c.say(p.node.Offset, ruleUnit, fmt.Sprintf("%q stands behind {%s}, which prints its unit itself", unit, p.node.Name), "leave it out")
			continue
		}
		if scale, same := c.language.Factor(q.told, unit); !same || scale.Num().Cmp(scale.Denom()) != 0 {
			c.say(p.node.Offset, ruleUnit, fmt.Sprintf("%q stands behind %q, but %s %s", unit, q.with(q.number), p.node.Name, inUnit(q.told)),
				"put the unit into the brackets, where it is checked")
		}
	}
}
