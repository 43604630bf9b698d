package proof

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
)

// Answer is the computed answer of one question.
type Answer struct {
	Node *lesson.Node // the QuestionBlock or GuessBlock

	// Of a Number question: the right answer at full precision, and how far off
	// an answer may be, both in Unit.
	Number float64
	Within float64
	Unit   string

	// Right holds, for a Choice, the index of the one right option; for an
	// Order, the indexes of all items in the right order.
	Right []int

	// Shown holds, for a Choice and an Order, the indexes of all options in the
	// order in which every page lists them.
	Shown []int

	Words string // the right answer as a page or an answer key prints it
}

// apart is by what part of the larger one two values must differ when the
// right answer depends on which is larger. Less could be a matter of rounding,
// and no reader could know it.
const apart = 1e-3

// questions finds the answer of every question and guess.
func (c *checker) questions() {
	questions, guesses := 0, 0
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Question == nil {
			return true
		}
		if n.Kind == lesson.GuessBlock {
			guesses++
			c.guessAnswer(n, guesses)
			return true
		}
		questions++
		q := n.Question
		if q.Why == nil {
			c.say(n.Offset, ruleReasoning, "the question gives no reasoning to who answers wrongly", `write why = """...""", in Markdown with quotes`)
		}
		a := Answer{Node: n}
		var ok bool
		switch {
		case q.Kind == lesson.Number:
			ok = c.numberAnswer(q, &a)
		case q.Kind == lesson.Order:
			ok = c.orderAnswer(q, &a)
		case q.Rule.Name == "":
			ok = c.claimAnswer(n, &a)
		default:
			ok = c.extremeAnswer(q, &a)
		}
		if ok {
			a.Shown = shuffled(c.lesson.Slug, questions, q, a.Right)
			c.report.Questions = append(c.report.Questions, a)
		}
		return true
	})
}

func (c *checker) numberAnswer(q *lesson.Question, a *Answer) bool {
	e, ok := c.expected(expectation{q.Answer, q.Unit, q.Within, "answer", "an answer", ruleAnswer})
	if ok {
		a.Number, a.Within, a.Unit = e.number, e.within, e.form.unit
		a.Words = e.form.Print(a.Number)
	}
	return ok
}

func scaled(x float64, by *big.Rat) float64 {
	exact := new(big.Rat).SetFloat64(x)
	y, _ := exact.Mul(exact, by).Float64()
	return y
}

// claimAnswer finds the right option among those that hold claims.
func (c *checker) claimAnswer(n *lesson.Node, a *Answer) bool {
	q := n.Question
	for i, o := range q.Options {
		claim, ok := c.claims[o.Name.Name]
		if !ok {
			c.noClaim(n, o.Name)
			return false
		}
		if slices.Contains(claim.Frames, true) && slices.Contains(claim.Frames, false) {
			c.say(o.Name.At, ruleChoice, fmt.Sprintf("%q holds at some positions of its knob and not at others, so it decides nothing", o.Name.Name),
				"tell a claim of its own for the question, outside of the knob")
			return false
		}
		if claim.Holds != o.Not {
			a.Right = append(a.Right, i)
		}
	}
	if len(a.Right) == 1 {
		a.Words = c.optionWords(q.Options[a.Right[0]])
		return true
	}
	if len(a.Right) == 0 {
		c.say(n.Offset, ruleChoice, "no option of this "+calledOf(n)+" is right", "let one claim hold, or write the option for what the model gives")
		return false
	}
	var both []string
	for _, i := range a.Right {
		both = append(both, fmt.Sprintf("%q", c.optionWords(q.Options[i])))
	}
	c.say(q.Options[a.Right[1]].At, ruleChoice, fmt.Sprintf("%d options of this %s are right: %s", len(a.Right), calledOf(n), strings.Join(both, " and ")),
		"word the options, and tell their claims, so that one excludes the others")
	return false
}

// calledOf names what asks.
func calledOf(n *lesson.Node) string {
	if n.Kind == lesson.GuessBlock {
		return "guess"
	}
	return "question"
}

func (c *checker) noClaim(n *lesson.Node, r lesson.Reference) {
	if _, ok := c.values[r.Name]; ok {
		hint := `tell a claim about it, or write value = "NAME" and, above the options, right = "largest"`
		if n.Kind == lesson.GuessBlock {
			hint = "tell a claim about it, as with tell.Above or tell.Claim"
		}
		c.say(r.At, ruleChoice, fmt.Sprintf("when names a claim, but %q is a value", r.Name), hint)
		return
	}
	var claims []string
	for _, k := range c.known {
		if _, ok := c.claims[k]; ok {
			claims = append(claims, k)
		}
	}
	hint := fmt.Sprintf("tell it in a cell, as with tell.Claim(%q, ...)", r.Name)
	if near := diag.Nearest(r.Name, claims); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	c.say(r.At, ruleUnknown, fmt.Sprintf("nothing defines the label %q", r.Name), hint)
}

// ranked is an option with its value in the unit of the first.
type ranked struct {
	index int
	value float64
}

// rank sorts options by their values, from small to large.
func (c *checker) rank(q *lesson.Question, rule string) ([]ranked, bool) {
	var list []ranked
	first := ""
	for i, o := range q.Options {
		x, unit, source, ok := c.number(o.Name.Name)
		if !ok {
			c.noNumber(o.Name.At, o.Name.Name, "value is")
			return nil, false
		}
		if math.IsNaN(x) || math.IsInf(x, 0) {
			c.say(o.Name.At, ruleValue, fmt.Sprintf("%s gives %v, which no page can print (%s)", source, x, o.Name.Name),
				"look for a division by zero, or a run that did not settle")
			return nil, false
		}
		if i == 0 {
			first = unit
		}
		scale, ok := language.Of("en").Factor(unit, first)
		if !ok {
			c.say(o.Name.At, rule, fmt.Sprintf("%q %s and %q %s, so neither is larger", o.Name.Name, inUnit(unit), q.Options[0].Name.Name, inUnit(first)),
				"compare values of one quantity")
			return nil, false
		}
		list = append(list, ranked{i, scaled(x, scale)})
	}
	slices.SortStableFunc(list, func(a, b ranked) int { return cmp.Compare(a.value, b.value) })
	return list, true
}

// clear says whether two values that follow each other are clearly apart, and
// reports it when they are not.
func (c *checker) clear(q *lesson.Question, rule string, a, b ranked) bool {
	if math.Abs(a.value-b.value) > apart*max(math.Abs(a.value), math.Abs(b.value)) {
		return true
	}
	one, two := q.Options[min(a.index, b.index)].Name, q.Options[max(a.index, b.index)].Name
	c.say(two.At, rule, fmt.Sprintf("%q and %q are too close to say which is larger", one.Name, two.Name),
		"ask about values that differ by more than one part in a thousand")
	return false
}

// extremeAnswer finds the option with the largest or smallest value.
func (c *checker) extremeAnswer(q *lesson.Question, a *Answer) bool {
	list, ok := c.rank(q, ruleChoice)
	if !ok {
		return false
	}
	if q.Rule.Name == "largest" {
		slices.Reverse(list)
	}
	if !c.clear(q, ruleChoice, list[0], list[1]) {
		return false
	}
	a.Right = []int{list[0].index}
	a.Words = c.optionWords(q.Options[list[0].index])
	return true
}

func (c *checker) orderAnswer(q *lesson.Question, a *Answer) bool {
	list, ok := c.rank(q, ruleOrder)
	if !ok {
		return false
	}
	for i := range list[1:] {
		if !c.clear(q, ruleOrder, list[i], list[i+1]) {
			return false
		}
	}
	if q.Rule.Name == "falling" {
		slices.Reverse(list)
	}
	var texts []string
	for _, r := range list {
		a.Right = append(a.Right, r.index)
		texts = append(texts, c.optionWords(q.Options[r.index]))
	}
	a.Words = strings.Join(texts, "; ")
	return true
}

// optionWords gives an option as a page prints it, without markup.
func (c *checker) optionWords(o lesson.Option) string {
	var f flat
	for _, child := range o.Text.Children {
		c.printed(child, &f)
	}
	return oneLine(f.String())
}

// asked lists the claims that options of questions hold, which may be false.
func asked(body *lesson.Node) map[string]bool {
	names := map[string]bool{}
	body.Walk(func(n *lesson.Node) bool {
		if n.Question != nil {
			for _, o := range n.Question.Options {
				names[o.Name.Name] = true
			}
		}
		return true
	})
	return names
}
