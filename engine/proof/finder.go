package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// finders checks what the finders of a lesson ask for: that the lesson declares
// what can hurt at their looks, and that what they have proved dead is so with
// the right tester. A translation has the hazards of its lesson.
func (c *checker) finders() {
	for _, one := range c.shown {
		f, ok := one.What.(tell.Finder)
		if !ok {
			continue
		}
		said := map[string]bool{}
		f.Root.Walk(func(l *tell.Look, _ int) {
			if c.lesson.Base == nil && l.Hazard != "" && !said[l.Hazard] && !c.declares(l.Hazard) {
				said[l.Hazard] = true
				c.finderHazard(f, l.Hazard)
			}
			c.finderDead(f, l)
		})
	}
}

func (c *checker) finderHazard(f tell.Finder, hazard string) {
	known := lesson.Hazards()
	if slices.Contains(known, hazard) {
		c.say(c.told(f.Name), ruleFinder, fmt.Sprintf("finder %q has the hazard %q, which the lesson does not declare", f.Name, hazard),
			fmt.Sprintf("add it to hazards in the lesson block, and a caution about it: ```caution %s", hazard))
		return
	}
	hint := "it is one of: " + strings.Join(known, ", ")
	if near := diag.Nearest(hazard, known); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	c.say(c.told(f.Name), ruleFinder, fmt.Sprintf("finder %q has the hazard %q, which there is not", f.Name, hazard), hint)
}

// finderDead looks at the words of one look together, as a reader does.
func (c *checker) finderDead(f tell.Finder, l *tell.Look) {
	text := c.lesson.Told(l.Ask) + "\n" + c.lesson.Told(l.How)
	for _, cause := range l.Causes {
		text += "\n" + c.lesson.Told(cause.Says)
	}
	if at := c.language.Dead.Proved(text); at != nil && c.language.Dead.Missing(text) != nil {
		message, hint := undead(c.language, text[at[0]:at[1]])
		c.say(c.told(f.Name), ruleDead, message, hint)
	}
}

// finderWords counts the words of what a finder shows first, and the most of
// what it shows at a time.
func (c *checker) finderWords(f tell.Finder) (first, most int) {
	f.Root.Walk(func(l *tell.Look, asked int) {
		n := countWords(c.lesson.Told(l.Ask)) + countWords(c.lesson.Told(l.How))
		for _, a := range l.Answers {
			n += countWords(c.lesson.Told(a.Says))
		}
		for _, cause := range l.Causes {
			n += countWords(c.lesson.Told(cause.Says))
		}
		if asked == 0 {
			first = n
		}
		most = max(most, n)
	})
	return first, most
}
