package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
)

// day checks that the steps at the machine stand in the order of a day, since
// the page of all lessons' steps has them in that order, and that their numbers
// follow each other, since steps name each other by number.
func (c *checker) day() {
	var before *lesson.Node
	next := 1
	for _, n := range blocksOf(c.lesson, lesson.MachineSteps) {
		if before != nil && slices.Index(lesson.Days(), n.Day) < slices.Index(lesson.Days(), before.Day) {
			c.say(n.Offset, ruleDay, fmt.Sprintf("steps at the time %q stand behind steps at the time %q, which is later in a day", n.Day, before.Day),
				"move them up, or give both the later time: "+strings.Join(lesson.Days(), ", "))
		}
		for _, list := range n.Children {
			if list.Start != next {
				c.say(n.Offset, ruleDay, fmt.Sprintf("the first of these steps has the number %d", list.Start), fmt.Sprintf("it is step %d of the lesson", next))
			}
			next = list.Start + len(list.Children)
		}
		before = n
	}
}

// sameDay checks that steps, or a limit, are at the time that the lesson's are,
// and as many.
func (c *checker) sameDay(what string, ours, theirs *lesson.Node) {
	count := func(n *lesson.Node) (items int) {
		for _, list := range n.Children {
			items += len(list.Children)
		}
		return items
	}
	switch {
	case ours.Day != theirs.Day:
		c.say(ours.Offset, ruleSameBlocks, fmt.Sprintf("this %s is at the time %q, that of the lesson (%s) at the time %q", what, ours.Day, c.line(theirs), theirs.Day), "give both the same")
	case ours.Kind == lesson.MachineSteps && count(ours) != count(theirs):
		c.say(ours.Offset, ruleSameBlocks, fmt.Sprintf("this %s has %s, that of the lesson (%s) %s", what, counted(count(ours), "step"), c.line(theirs), numbered(count(theirs))), "translate each step")
	}
}

// knowWords is how many words the line on the list of lessons may have: as many
// as a sentence of a panel.
const knowWords = 25

// know checks the line that says what a lesson's readers will know.
func (c *checker) know() {
	facts := c.lesson.Facts
	if base := c.lesson.Base; base != nil && base.Facts.Know != "" && facts.Know == "" {
		c.say(facts.TitleAt, ruleKnow, "the lesson says what its readers will know, but its translation does not", "translate that line of its lesson block, which begins with know")
	}
	if n := len(strings.Fields(facts.Know)); n > knowWords {
		c.say(facts.KnowAt, ruleKnow, fmt.Sprintf("what the lesson's readers will know takes %d words, and the list of lessons has room for %d", n, knowWords), "say the one thing that it is about")
	}
	if facts.Know != "" {
		c.unbound(facts.Know, func(int) int { return facts.KnowAt }, "say it without the number: nothing in this line can be bound")
	}
}

// silent reports lessons of the course that do not say what their readers will
// know, where others do: the list of lessons has that line of each.
func (f Folder) silent(say func(file string, line, column int, rule, text, hint string)) {
	lists := func(l *lesson.Lesson) bool { return l.Base == nil && !l.Facts.Beside }
	if !slices.ContainsFunc(f.Lessons, func(l *lesson.Lesson) bool { return lists(l) && l.Facts.Know != "" }) {
		return
	}
	for _, l := range f.Lessons {
		if lists(l) && l.Facts.Know == "" {
			line, column := l.At(l.Facts.TitleAt)
			say(l.File, line, column, ruleKnow, "the lesson does not say what its readers will know", `write a line such as: know = "Why the voltage comes later than the speed."`)
		}
	}
}
