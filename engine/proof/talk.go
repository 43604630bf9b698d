package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
)

// talkWords is how many words of a talk have room on its page, which also holds
// cautions and signatures, in type of 12 pt.
const talkWords = 200

// talks checks the talk of a lesson. Such talks taught more with a story and
// questions than without (Eggerth et al., Am. J. Ind. Med. 61(12), 2018,
// 997-1004, abstract).
func (c *checker) talks() {
	found := blocksOf(c.lesson, lesson.TalkBlock)
	facts := c.lesson.Facts
	for i, n := range found {
		if i > 0 && c.base == nil {
			c.say(n.Offset, ruleTalk, "this is a second talk", "a lesson has one talk, on one page: tell this one in another lesson")
		}
		if !slices.Contains(facts.Hazards, n.Hazard) && c.base == nil {
			c.say(n.Offset, ruleTalk, fmt.Sprintf("this talk is about %q, which the lesson does not declare", n.Hazard),
				fmt.Sprintf("add %q to the hazards of the lesson block, or tell of one that it declares", n.Hazard))
		}
		if words := c.spoken(n); words > talkWords {
			c.say(n.Offset, ruleTalkWords, fmt.Sprintf("the talk has %d words, more than the %d for which its page has room", words, talkWords),
				"shorten it: a talk of ten minutes is mostly answers")
		}
	}
	if len(found) == 0 && c.base == nil && c.folder.House.Talks && len(facts.Hazards) > 0 && !facts.Beside {
		c.say(facts.HazardsAt[0], ruleTalkMissing, "the lesson declares hazards, and has no talk about any of them",
			fmt.Sprintf("add a block that begins with ```talk %s: a story, three questions and the rule", facts.Hazards[0]))
	}
}

// spoken counts the words of a talk, and looks for sentences that nobody can
// read aloud.
func (c *checker) spoken(talk *lesson.Node) (words int) {
	talk.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Paragraph && n.Kind != lesson.Heading {
			return true
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		text := f.String()
		words += countWords(text)
		for _, span := range c.language.Sentences(text) {
			s := text[span[0]:span[1]]
			if count := countWords(s); count > mostSentenceWords {
				c.say(f.offset(span[0]), ruleTalkWords, fmt.Sprintf("a sentence of this talk has %d words, more than %d: %q", count, mostSentenceWords, clip(strings.TrimSpace(s))),
					"make two sentences of it: it is read aloud")
			}
		}
		return false
	})
	return words
}
