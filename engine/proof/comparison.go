package proof

import (
	"fmt"
	"regexp"
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
		for _, span := range splitSentences(f.String()) {
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
	for _, at := range c.language.compares.in(s) {
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

// comparing holds what compares in a language: phrases of small letters, and
// idioms that hold the same words and do not compare. In them "*" stands for
// any word, and behind letters for any end of a word.
type comparing struct {
	phrases, idioms [][]string
	never           []string       // words that "*" does not stand for
	request         *regexp.Regexp // what a sentence begins with that asks to do something
}

// phrasesIn reads phrases, one a line, or several with commas between them.
func phrasesIn(text string) [][]string {
	var list [][]string
	for _, phrase := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' }) {
		if words := strings.Fields(phrase); len(words) > 0 {
			list = append(list, words)
		}
	}
	return list
}

var aWord = regexp.MustCompile(`[\pL\pN]+`)

// in finds what compares in a sentence, and gives where each begins and ends.
// Of all that begins at one word the longest counts, and an idiom before what
// is as long. What asks to do something states nothing, as in "Turn the knob to
// ring more bells".
func (l *comparing) in(sentence string) [][2]int {
	asked := len(l.request.FindString(sentence))
	at := aWord.FindAllStringIndex(sentence[asked:], -1)
	words := make([]string, len(at))
	for i, w := range at {
		w[0], w[1] = w[0]+asked, w[1]+asked
		words[i] = strings.ToLower(sentence[w[0]:w[1]])
	}
	var found [][2]int
	for i := 0; i < len(words); i++ {
		idiom, phrase := l.longest(l.idioms, words[i:]), l.longest(l.phrases, words[i:])
		if phrase > idiom {
			found = append(found, [2]int{at[i][0], at[i+phrase-1][1]})
		}
		i += max(idiom, phrase, 1) - 1
	}
	return found
}

// longest gives the number of words of the longest phrase with which the words
// begin, or 0.
func (l *comparing) longest(phrases [][]string, words []string) int {
	most := 0
	for _, p := range phrases {
		if len(p) > most && len(p) <= len(words) && slices.EqualFunc(p, words[:len(p)], l.stands) {
			most = len(p)
		}
	}
	return most
}

// stands says whether a word of a phrase stands for a word of a sentence.
func (l *comparing) stands(in, word string) bool {
	if in == "*" {
		return !slices.Contains(l.never, word)
	}
	start, open := strings.CutSuffix(in, "*")
	return word == start || open && strings.HasPrefix(word, start)
}
