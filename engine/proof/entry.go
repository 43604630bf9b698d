package proof

import (
	"fmt"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Fact is a number that an entry of the logbook may be bound to.
type Fact struct {
	tell.Value
	From string // what gives it, such as "the reading"

	// Several lists longer names, where this one means several numbers; it has one
	// entry where nothing tells them apart.
	Several []string

	// Model says that the model gives it, and gives it as it is now; Moved, that
	// the card has changed since the entry.
	Model, Moved bool
}

// CheckEntry proofs an entry of the logbook, or its translation, against what it
// may name. Nothing in it drifts: see package logbook.
func (f Folder) CheckEntry(l *lesson.Lesson, facts []Fact) (Report, []diag.Message) {
	c := newChecker(l, tell.Result{}, f)
	c.facts = map[string]Fact{}
	c.report.Facts = map[*lesson.Node]Fact{}
	c.report.Now = map[*lesson.Node]string{}
	for _, one := range facts {
		c.facts[one.Name] = one
		c.known = append(c.known, one.Name)
	}
	c.names()
	c.labels()
	c.found()
	if l.Base != nil {
		c.same()
	}
	c.prose()
	c.provedDead()
	c.exceptions()
	return c.report, diag.Sort(c.messages)
}

func (c *checker) entry() bool { return c.facts != nil }

func (c *checker) fact(n *lesson.Node, f Fact) {
	if len(f.Several) > 0 {
		hint := "name one of: " + strings.Join(f.Several, ", ")
		if len(f.Several) == 1 {
			hint = "write into the file of readings what tells them apart: load, setting, where or instrument"
		}
		c.say(n.Offset, ruleMeanings, fmt.Sprintf("%q means several readings with different values", n.Name), hint)
		return
	}
	c.report.Facts[n] = f
	c.quote(n, f.Number, f.Unit, f.From)
}

// differs looks at a number that is not what it is bound to.
func (c *checker) differs(n *lesson.Node, d Drift) {
	f := c.facts[n.Name]
	says := fmt.Sprintf("%q is written, but %s gives %s (%s)", oneLine(d.Written), f.From, oneLine(d.Computed), n.Name)
	switch {
	case !f.Model:
		c.say(n.Offset, ruleEntry, says, "find out which of the two is right, and mend that; a logbook is never amended")
		return
	case !f.Moved:
		c.say(n.Offset, ruleEntryModel, says, "if it was mistyped, mend it; if the model has moved on, leave it: the page says both")
	}
	c.report.Printed[n] = d.Written
	c.report.Now[n] = d.Computed
}

// found reports what was found and hangs on the model, which was not there to
// be found.
func (c *checker) found() {
	for _, b := range c.lesson.Body.Children {
		if b.Kind != lesson.EntryBlock || b.Purpose != "found" {
			continue
		}
		b.Walk(func(n *lesson.Node) bool {
			if n.Kind == lesson.Bound && c.facts[n.Name].Model {
				c.say(n.Offset, ruleFound, fmt.Sprintf("what was found hangs on the model (%s), which may give another number tomorrow", n.Name),
					"write what was read into a file in the folder readings, and bind it to that: [...][reading.DATE.QUANTITY]")
			}
			return true
		})
	}
}

// factHint helps who named what an entry cannot.
func (c *checker) factHint(name, near string) string {
	switch {
	case near != "":
		return fmt.Sprintf("did you mean %q?", near)
	case strings.HasPrefix(name, sourcePrefix), strings.HasPrefix(name, termPrefix):
		return c.citeHint(name)
	}
	return "an entry names reading.DATE.QUANTITY, card.PART.KEY, was.LABEL.PART.KEY, is.LABEL.PART.KEY, lesson.NAME, lesson.NAME.VALUE, src.LABEL or term.LABEL"
}
