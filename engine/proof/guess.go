package proof

import (
	"fmt"
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// guessAnswer finds the right option of a lesson's nth guess, from 1.
func (c *checker) guessAnswer(n *lesson.Node, number int) {
	a := Answer{Node: n}
	if !c.claimAnswer(n, &a) {
		return
	}
	for i, o := range n.Question.Options {
		if o.But == nil && i != a.Right[0] {
			c.say(o.At, ruleReasoning, fmt.Sprintf("nothing is said to who guesses %q", c.optionWords(o)),
				`write but = "Many would say so, ...", and why it is reasonable`)
		}
	}
	a.Shown = shuffled(c.lesson.Slug+" guess", number, n.Question, a.Right) // no name of a lesson holds a space
	c.report.Guesses = append(c.report.Guesses, a)
}

// guessWords counts what a visitor has before the eyes: before the guess the
// words above it, the question and all answers; after it all words of the panel,
// the question, the answer that was chosen, and for a wrong one the right one
// and what is said to who chose it. above and below are what the panel has there.
func (c *checker) guessWords(guess *lesson.Node, above, below int, count func(...*lesson.Node) int) (before, after int) {
	q := guess.Question
	right := -1
	if i := slices.IndexFunc(c.report.Guesses, func(a Answer) bool { return a.Node == guess }); i >= 0 {
		right = c.report.Guesses[i].Right[0]
	}
	asked := above + count(q.Ask)
	before = asked
	var texts, most []int
	for i, o := range q.Options {
		texts = append(texts, count(o.Text))
		before += texts[i]
	}
	for i, o := range q.Options {
		said := texts[i]
		if i != right && o.But != nil {
			said += count(o.But)
		}
		if i != right && right >= 0 {
			said += texts[right]
		}
		most = append(most, said)
	}
	return before, asked + below + slices.Max(most)
}

// guess looks for a panel that says to guess and offers no answers, and for one
// that tells above its guess what it asks for.
func (c *checker) guess(panel *lesson.Node) {
	above, guess, _ := panel.Guess()
	if guess == nil {
		c.unoffered(panel)
		return
	}
	var asked []tell.Claim
	for _, o := range guess.Question.Options {
		asked = append(asked, c.claims[o.Name.Name])
	}
	for _, block := range append(above[:len(above):len(above)], guess.Question.Ask) {
		block.Walk(func(n *lesson.Node) bool {
			if i := slices.IndexFunc(asked, func(claim tell.Claim) bool { return c.tells(n, claim) }); i >= 0 {
				c.say(n.Offset, ruleGuess, fmt.Sprintf("%q stands above the guess, and the answer follows from it (%s)", clip(c.report.Printed[n]), asked[i].Name),
					"write it below the guess, where it is seen after the choice")
			}
			return true
		})
	}
}

// tells says whether a bound text gives away what a claim says: it is bound to
// that claim, or to the number that the claim is about.
func (c *checker) tells(n *lesson.Node, claim tell.Claim) bool {
	if n.Name == "" || claim.Name == "" || n.Kind != lesson.Bound && n.Kind != lesson.Insert {
		return false
	}
	if n.Name == claim.Name {
		return true
	}
	if len(claim.Limits) == 0 {
		return false // it is about no number
	}
	value, told := c.values[n.Name]
	other, claimed := c.claims[n.Name]
	return told && value.Number == claim.Number || claimed && len(other.Limits) > 0 && other.Number == claim.Number
}

// unoffered reports the first word of a panel that says to guess.
func (c *checker) unoffered(panel *lesson.Node) {
	found := false
	panel.Walk(func(n *lesson.Node) bool {
		if found || n.Kind != lesson.Heading && n.Kind != lesson.Paragraph {
			return !found
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		if at := c.language.Guess.FindStringIndex(f.String()); at != nil {
			found = true
			c.say(f.offset(at[0]), ruleGuess, fmt.Sprintf("this panel says %q and offers no answers, and what it shows gives the right one away", f.String()[at[0]:at[1]]),
				"part it with a block ~~~guess: what shows after the choice stands below")
		}
		return false
	})
}
