package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
)

// comparisons looks for sentences that compare and hang on no claim, where
// readers have nothing but the sentence: in panels and in the reasoning of
// questions. The model may change, and then nobody would notice that it has
// become untrue; numbers that are quoted beside it only drift, and amending
// them leaves the words as they are.
func (c *checker) comparisons() {
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		switch {
		case n.Kind == lesson.VisitorPanel:
			c.compared(n, "this sentence of a panel")
		case n.Question != nil && n.Question.Why != nil:
			c.compared(n.Question.Why, "this sentence of a question's reasoning")
		}
		return true
	})
}

// compared looks at each sentence of the paragraphs in a block. Headings are no
// sentences, captions can hold no claim, and what asks states nothing.
func (c *checker) compared(block *lesson.Node, what string) {
	block.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Paragraph {
			return n.Kind != lesson.Heading && n.Kind != lesson.Embed
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		for _, span := range c.language.Sentences(f.String()) {
			c.comparison(&f, span, what)
		}
		return false
	})
}

// comparison looks at one sentence of a paragraph.
func (c *checker) comparison(f *flat, span [2]int, what string) {
	s := f.String()[span[0]:span[1]]
	if c.claimed(f, span) || strings.HasSuffix(strings.TrimRight(s, `"')]”’» `+"\u00a0\u202f"), "?") {
		return
	}
	var words []string
	first := 0
	for _, at := range c.language.Comparisons(s) {
		if c.named(f, span[0]+at[0]) {
			continue
		}
		if words == nil {
			first = span[0] + at[0]
		}
		if word := fmt.Sprintf("%q", s[at[0]:at[1]]); !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	if words != nil {
		c.say(f.offset(first), ruleCompared, fmt.Sprintf("%s compares (%s) and hangs on no claim: %q", what, strings.Join(words, ", "), clip(oneLine(s))),
			fmt.Sprintf("bind words of it to a claim, as in [slower than before][slower], or say in [[except]], at words with %s among them, why it holds", words[0]))
	}
}

// claimed says whether words in a stretch of a paragraph are bound to a claim.
func (c *checker) claimed(f *flat, span [2]int) bool {
	return slices.ContainsFunc(f.pieces, func(p piece) bool {
		_, claim := c.claims[p.node.Name]
		return claim && p.node.Kind == lesson.Bound && span[0] <= p.at && p.at < span[1]
	})
}

// named says whether a place in a paragraph is within the name of something: of
// another lesson, of a source, or of a word of the trade.
func (c *checker) named(f *flat, at int) bool {
	i, found := slices.BinarySearchFunc(f.pieces, at, func(p piece, at int) int { return p.at - at })
	if !found {
		i--
	}
	if i < 0 {
		return false
	}
	n := f.pieces[i].node
	_, source := c.report.Cites[n]
	_, term := c.report.Terms[n]
	return c.report.Links[n] != nil || source || term
}
