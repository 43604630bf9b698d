package proof

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/card"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Limits of a panel's text, and where they come from.
const (
	mostWords         = 75
	mostWordsGuessed  = 100 // on the screen of who has guessed, who has read a part of them before
	mostSentenceWords = 25

	// A slow reader's words a minute. WCAG 2.2, success criterion 2.2.1, lets
	// nobody's time run out while they read; the figure is common practice, no
	// source.
	slowWords = 150

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
	c.notices()
}

// timed checks that a screen of the kiosk can be read before it asks whether
// somebody is there.
func (c *checker) timed(n *lesson.Node, what string, words int) {
	idle, ask := c.folder.House.Idle, c.folder.House.Ask
	if idle == 0 {
		idle = card.IdleSeconds
	}
	if ask == 0 {
		ask = card.AskSeconds
	}
	if words*60 > (idle-ask)*slowWords {
		c.say(n.Offset, ruleTime, fmt.Sprintf("%s has %d words, for which a slow reader needs %d s; the kiosk asks after %d s whether somebody is there", what, words, (words*60+slowWords-1)/slowWords, idle-ask),
			fmt.Sprintf("shorten it, or write a longer idle into house.toml (WCAG 2.2, 2.2.1; %d words a minute)", slowWords))
	}
}

// notices does that for the notices, each of which is a screen.
func (c *checker) notices() {
	for _, n := range blocksOf(c.lesson, lesson.Caution) {
		h, _ := c.folder.House.Hazards.Find(n.Hazard)
		said := h.Say(c.lesson.Language)
		c.timed(n, "this notice", countWords(said.Hazard)+countWords(said.Harm)+countWords(said.Avoid)+c.wordsOf(n))
	}
}

// wordsOf counts the words of all texts below a node.
func (c *checker) wordsOf(n *lesson.Node) int {
	total := 0
	for _, child := range n.Children {
		var f flat
		c.printed(child, &f)
		total += countWords(f.String())
	}
	return total
}

func countWords(text string) int {
	n := 0
	for _, w := range strings.Fields(text) {
		if isWord(w) {
			n++
		}
	}
	return n
}

func isWord(w string) bool {
	return strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) })
}

func (c *checker) panel(panel *lesson.Node) {
	var captions, sentences, readable, syllableCount, pictures, sounds int
	words := 0
	visit := func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Embed:
			captions += c.wordsOf(n)
			if lesson.EmbedKindOf(n.EmbedKind).Heard {
				if sounds++; sounds == 2 {
					c.say(n.Offset, rulePictures, "a panel has room for one sound beside its figure", "make a second panel for this one")
				}
				return false
			}
			if one, ok := Placed(n, c.shown); ok {
				if f, ok := one.What.(tell.Finder); ok {
					first, most := c.finderWords(f)
					captions += first
					c.timed(n, "a question of this finder", most) // each answer is a touch, after which the kiosk waits anew
				}
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
		for _, span := range c.language.Sentences(text) {
			s := text[span[0]:span[1]]
			count := 0
			for _, w := range strings.Fields(s) {
				if !isWord(w) {
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
	longest := before + rest + captions
	if guess != nil {
		read := before
		before, after := c.guessWords(guess, before, rest, count)
		c.wordLimit(guess, "with its question and all answers the panel has %d words, more than %d, before a visitor guesses", before, mostWords)
		c.wordLimit(guess, "with question and answer the panel has %d words, more than %d, after a guess", after, mostWordsGuessed)
		longest = max(before, after-read+captions) // a guess is a touch, after which the kiosk waits anew
	}
	c.timed(panel, "this panel", longest)
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
