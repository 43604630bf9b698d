package proof

import "slipring/engine/lesson"

// formulas checks that no formula reaches the kiosk or a sheet. Papers are
// cited the less, the more equations a page of their main text has; those in an
// appendix do no harm (Fawcett and Higginson, PNAS 109, 2012, abstract). The
// course is where ours stand.
func (c *checker) formulas() {
	within := func(where string, blocks ...*lesson.Node) {
		for _, b := range blocks {
			b.Walk(func(n *lesson.Node) bool {
				if n.Kind == lesson.Formula {
					c.say(n.Offset, ruleFormula, "a formula stands in "+where,
						"say it in words, and leave the formula to the text of the course (Fawcett and Higginson, PNAS 109, 2012)")
				}
				return true
			})
		}
	}
	panels := false
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.VisitorPanel:
			panels = true
			within("a visitor panel", n)
		case lesson.TeacherBlock:
			within("a block for teachers, which is on their sheet", n)
		case lesson.TalkingPoint:
			within("a talking point, which is on the guide's sheet", n)
		case lesson.TalkBlock:
			within("a talk, which is a sheet", n)
		case lesson.Caution:
			within("a caution, which is on the kiosk and on all sheets", n)
		case lesson.QuestionBlock:
			within("a question, which is on the guide's sheet", n)
		default:
			return true
		}
		return false
	})
	if panels || c.lesson.Facts.Beside { // which has no sheets
		return
	}
	for _, blocks := range c.lesson.Story() {
		within("the lesson's beginning, which is on its sheets for want of a visitor panel", blocks...)
	}
}
