package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
)

// ordersOfScreen reports the first words of a panel that speak of what only a
// screen has. The panel also stands on a sheet, where nothing turns.
func (c *checker) ordersOfScreen(panel *lesson.Node) {
	found := false
	panel.Walk(func(n *lesson.Node) bool {
		switch {
		case found, n.Kind == lesson.ScreenBlock, n.Kind == lesson.QuestionNote: // a sheet has neither what is said after a wrong guess
			return false
		case n.Kind != lesson.Heading && n.Kind != lesson.Paragraph && n.Kind != lesson.Embed && n.Kind != lesson.QuestionText:
			return true
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		text := f.String()
		if at := c.language.Handles.FindStringIndex(text); at != nil {
			found = true
			c.say(f.offset(at[0]), ruleScreen, fmt.Sprintf("this panel says %q, and on a sheet there is none", text[at[0]:at[1]]),
				"put that paragraph into a block ~~~screen within the panel; a sheet has it in a box of its own")
		}
		return false
	})
}

// stop checks that a stop of the tour has all that its guide needs.
func (c *checker) stop() {
	minutes := c.lesson.Facts.Stop > 0
	count := map[string]int{}
	for _, n := range blocksOf(c.lesson, lesson.TalkingPoint) {
		if count[n.Purpose]++; n.Purpose != "" && !minutes {
			c.say(n.Offset, ruleStop, fmt.Sprintf("this is for a stop of the tour (%s), and the lesson says not how long it takes", n.Purpose),
				"write into the lesson block: stop = 5, the minutes that a tour stays there")
			minutes = true // said once
		}
	}
	if c.lesson.Facts.Stop == 0 {
		return
	}
	var missing []string
	for _, purpose := range slices.Concat([]string{""}, lesson.TalkingPurposes()) {
		if count[purpose] == 0 {
			missing = append(missing, strings.TrimSpace("```docent "+purpose))
		}
	}
	if len(missing) > 0 {
		c.say(c.lesson.Facts.StopAt, ruleStop, "this stop of the tour lacks "+strings.Join(missing, " and "), "add a block that begins so, even if it is one sentence")
	}
}
