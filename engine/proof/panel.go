package proof

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/language"
	"slipring/engine/lesson"
)

// Limits of a panel's text, and where they come from.
const (
	mostWords         = 75
	mostWordsGuessed  = 100 // on the screen of who has guessed, who has read a part of them before
	mostSentenceWords = 25

	smithsonian = "Smithsonian Guidelines for Accessible Exhibition Design, section B"
)

// panels checks each visitor panel against the label rules.
func (c *checker) panels() {
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind == lesson.VisitorPanel {
			c.panel(n)
		}
		return n.Kind == lesson.Document
	})
}

func (c *checker) panel(panel *lesson.Node) {
	var sentences, readable, syllableCount, pictures, sounds int
	words := 0
	visit := func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Embed:
			if lesson.EmbedKindOf(n.EmbedKind).Heard {
				if sounds++; sounds == 2 {
					c.say(n.Offset, rulePictures, "a panel has room for one sound beside its figure", "make a second panel for this one")
				}
				return false
			}
			pictures++
			if pictures == 2 {
				c.say(n.Offset, rulePictures, "a panel has room for one figure, table or motion", "make a second panel for this one")
			}
			return false
		case lesson.Heading, lesson.Paragraph, lesson.QuestionText:
		default:
			return true
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		text := f.String()
		for _, span := range language.Sentences(text) {
			s := text[span[0]:span[1]]
			count := 0
			for _, w := range strings.Fields(s) {
				if !strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
					continue
				}
				count++
				if k := c.language.Syllables(w); k > 0 && n.Kind == lesson.Paragraph {
					readable++
					syllableCount += k
				}
			}
			words += count
			if n.Kind == lesson.Paragraph && count > 0 {
				sentences++
			}
			if count > mostSentenceWords {
				c.say(f.offset(span[0]), ruleSentence, fmt.Sprintf("a sentence of this panel has %d words, more than %d: %q", count, mostSentenceWords, clip(s)),
					"make two sentences of it ("+smithsonian+")")
			}
		}
		return false
	}
	count := func(list ...*lesson.Node) int {
		words = 0
		for _, n := range list {
			n.Walk(visit)
		}
		return words
	}
	above, guess, below := panel.Guess()
	before, rest := count(above...), count(below...)
	c.wordLimit(panel, "the panel has %d words, more than %d", before+rest, mostWords)
	if guess != nil {
		before, after := c.guessWords(guess, before, rest, count)
		c.wordLimit(guess, "with its question and all answers the panel has %d words, more than %d, before a visitor guesses", before, mostWords)
		c.wordLimit(guess, "with question and answer the panel has %d words, more than %d, after a guess", after, mostWordsGuessed)
	}
	c.guess(panel)
	c.ordersOfScreen(panel)
	if readable >= 20 && sentences > 0 {
		if text, hint := c.language.Hard(readable, sentences, syllableCount); text != "" {
			c.say(panel.Offset, ruleGrade, text, hint)
		}
	}
}

func (c *checker) wordLimit(n *lesson.Node, text string, words, most int) {
	if words > most {
		c.say(n.Offset, ruleWords, fmt.Sprintf(text, words, most), "shorten it, or make two panels of it ("+smithsonian+")")
	}
}

// printed collects a block's text as a page prints it.
func (c *checker) printed(n *lesson.Node, f *flat) {
	if text, ok := c.report.Printed[n]; ok {
		f.add(n, text)
		return
	}
	switch n.Kind {
	case lesson.Text, lesson.CodeSpan, lesson.RawHTML:
		f.add(n, n.Text)
	case lesson.SoftBreak, lesson.HardBreak:
		f.add(n, " ")
	}
	for _, child := range n.Children {
		c.printed(child, f)
	}
}

func clip(s string) string {
	const longest = 60
	if len(s) <= longest {
		return s
	}
	cut := strings.LastIndexByte(s[:longest], ' ')
	if cut < 0 {
		cut = longest
		for !utf8.RuneStart(s[cut]) {
			cut--
		}
	}
	return s[:cut] + " ..."
}
