package proof

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// digits holds the digits of every quote against the doubt of what it quotes.
// Two digits of a standard uncertainty mean something (JCGM 100:2008, 7.2.6),
// so that a number has none further behind. Visitors are not told the
// uncertainty beside a number: for them its last digit is the first of it.
func (c *checker) digits() {
	c.lesson.Body.Walk(func(part *lesson.Node) bool {
		forVisitors := part.Kind == lesson.VisitorPanel || part.Kind == lesson.TalkingPoint || part.Kind == lesson.TalkBlock || part.Kind == lesson.TeacherBlock
		if part.Kind == lesson.Document {
			return true
		}
		part.Walk(func(n *lesson.Node) bool {
			if form, ok := c.report.Forms[n]; ok && len(n.Children) > 0 {
				c.digitsOf(n, form, forVisitors)
			}
			return true
		})
		return false
	})
}

func (c *checker) digitsOf(n *lesson.Node, form Form, forVisitors bool) {
	u := c.doubt(n.Name)
	scale, _ := form.scale.Float64()
	if u *= scale; u == 0 {
		return
	}
	allowed, behind := tell.Place(u), "the first digit of it"
	if !forVisitors {
		allowed, behind = allowed+1, "its first two digits"
	}
	if lastPlace(form.number.Digits) <= allowed {
		return
	}
	hint := "write fewer digits"
	if _, told := c.values[n.Name+".least"]; told {
		hint = fmt.Sprintf("write a range: between [...][%s.least] and [...][%s.most]; or write fewer digits", n.Name, n.Name)
	}
	c.say(n.Offset, ruleDoubt, fmt.Sprintf("%q shows digits that nobody knows: one standard uncertainty of %s is %s, and its digits go further than %s",
		oneLine(words(n)), n.Name, oneLine(form.with(form.number.InForm(u, big.NewRat(1, 1)))), behind), hint)
}

// doubt gives the greatest standard uncertainty of what a label names, in the
// unit in which it is told, over all positions of its knobs.
func (c *checker) doubt(name string) float64 {
	if v, ok := c.values[name]; ok {
		return slices.Max(append([]float64{v.Uncertainty}, v.Uncertainties...))
	}
	if entries := c.cards[name]; len(entries) > 0 {
		return entries[0].Uncertainty
	}
	return 0
}

// lastPlace gives the decimal place of the last digit that counts: zeros at the
// end of a whole number do not.
func lastPlace(digits string) int {
	if _, behind, ok := strings.Cut(digits, "."); ok {
		return len(behind)
	}
	return len(strings.TrimRight(digits, "0")) - len(digits)
}
