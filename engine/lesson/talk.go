package lesson

import "fmt"

// TalkQuestions is how many questions a talk has.
const TalkQuestions = 3

// Talk is what a talk block holds: something that happened, told in ten minutes
// to people who work together, what they ask each other about it, and the rule
// that follows.
type Talk struct {
	Title     *Node   // Heading
	Story     []*Node // Paragraphs, one at least
	Questions []*Node // ListItems
	Rule      *Node   // Paragraph
}

const talkForm = "write a heading, the story in one paragraph or more, a list of three questions numbered 1. 2. 3., and the rule as the last paragraph"

// Talk gives the parts of a talk block. They are whole when the lesson was read
// without errors.
func (n *Node) Talk() Talk {
	var t Talk
	blocks := n.Children
	if len(blocks) > 0 && blocks[0].Kind == Heading {
		t.Title, blocks = blocks[0], blocks[1:]
	}
	for len(blocks) > 0 && blocks[0].Kind == Paragraph {
		t.Story, blocks = append(t.Story, blocks[0]), blocks[1:]
	}
	if len(blocks) > 0 && blocks[0].Kind == List && blocks[0].Ordered {
		t.Questions, blocks = blocks[0].Children, blocks[1:]
	}
	if len(blocks) == 1 && blocks[0].Kind == Paragraph {
		t.Rule = blocks[0]
	}
	return t
}

// talk checks the form of a talk block. What is said about it stands where its
// form ends.
func (r *reading) talk(n *Node, c *converter) {
	t := n.Talk()
	end := n.Offset
	said := func(list ...*Node) {
		if len(list) > 0 {
			end = list[len(list)-1].Offset
		}
	}
	fail := func(text string) { c.say(end-c.base, "block", text, talkForm) }
	if t.Title == nil {
		fail("this talk has no heading")
		return
	}
	said(t.Title)
	if len(t.Story) == 0 {
		fail("this talk tells no story below its heading")
		return
	}
	said(t.Story...)
	if t.Questions == nil {
		fail("this talk has no numbered list of questions behind its story")
		return
	}
	end = t.Questions[0].Offset
	if k := len(t.Questions); k != TalkQuestions {
		fail(fmt.Sprintf("this talk has %d questions, where %d are asked", k, TalkQuestions))
		return
	}
	if t.Rule == nil {
		fail("this talk does not end with its rule, one paragraph behind the questions")
	}
}
