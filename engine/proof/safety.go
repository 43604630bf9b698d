package proof

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// The hazards that a lesson has to declare for what its cells compute.
const (
	rotating = "rotating"
	shocking = "voltage"
)

// liveVoltage is the voltage, in V, from which on exposed parts are not worked
// on live, and people are trained for them: 29 CFR 1910.333(a)(1) and
// 1910.332(a), which count to ground.
const liveVoltage = 50

// declarations checks that a lesson declares the hazards of the machine that
// it runs. Its translations have the same.
func (c *checker) declarations(r tell.Result) {
	if len(r.Cards) > 0 && len(c.lesson.Cells) > 0 && !c.declares(rotating) {
		c.say(c.inCells("bench.Open("), ruleRotating, fmt.Sprintf("the cells run a machine, and the lesson does not declare the hazard %q", rotating),
			declareHint(rotating))
	}
	if !c.declares(shocking) {
		if at, what := c.firstLive(r); what != "" {
			c.say(at, ruleVolts, fmt.Sprintf("%s, and the lesson does not declare the hazard %q", what, shocking),
				declareHint(shocking)+fmt.Sprintf(" (from %d V on, 29 CFR 1910.332 and 1910.333 ask for it)", liveVoltage))
		}
	}
}

func (c *checker) declares(hazard string) bool {
	return slices.Contains(c.lesson.Facts.Hazards, hazard)
}

func declareHint(hazard string) string {
	return fmt.Sprintf("add %q to the hazards of the lesson block and a block that begins with ```caution %s, or say with [[except]] why not", hazard, hazard)
}

// firstLive finds the first value that the lesson tells, or constant that it
// quotes, of the live voltage or more, and says what it is.
func (c *checker) firstLive(r tell.Result) (at int, what string) {
	for _, v := range r.Values {
		if most := largest(v); live(most, v.Unit) {
			if here := c.inCells(`"` + v.Name + `"`); what == "" || here < at {
				at, what = here, fmt.Sprintf("%q is %.4g %s", v.Name, most, v.Unit)
			}
		}
	}
	if what != "" {
		return at, what
	}
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		for _, e := range c.cards[usedName(n)] {
			if what == "" && live(e.Value, e.Unit) {
				at, what = n.Offset, fmt.Sprintf("%q is %.4g %s", n.Name, e.Value, e.Unit)
			}
		}
		return true
	})
	return at, what
}

// largest gives the number of a value, or the largest that any knob gives it,
// whatever their signs.
func largest(v tell.Value) float64 {
	most := v.Number
	for _, x := range v.Frames {
		if math.Abs(x) > math.Abs(most) {
			most = x
		}
	}
	return most
}

func live(x float64, unit string) bool {
	scale, ok := language.Of("en").Factor(unit, "V")
	if !ok || math.IsNaN(x) || math.IsInf(x, 0) {
		return false
	}
	volts := new(big.Rat).SetFloat64(math.Abs(x))
	return volts.Mul(volts, scale).Cmp(big.NewRat(liveVoltage, 1)) >= 0
}

// inCells gives the offset of the first words such as these in the cells, or
// that of the first cell.
func (c *checker) inCells(words string) int {
	for _, cell := range c.lesson.Cells {
		if i := strings.Index(cell.Source, words); i >= 0 {
			return cell.Offset + i
		}
	}
	if len(c.lesson.Cells) > 0 {
		return c.lesson.Cells[0].Offset
	}
	return 0
}

// undead words the finding about a phrase.
func undead(g *language.Language, phrase string) (text, hint string) {
	return fmt.Sprintf("%q does not say with what", oneLine(phrase)), fmt.Sprintf("say in the same paragraph or block, or in this step or one before it: %s", g.Dead.How)
}

// provedDead looks at each paragraph, list item and block that says that
// something is proved dead. A caution is read together with the house's words,
// and an item of a list after those before it.
func (c *checker) provedDead() {
	steps := "" // what the steps at the machine have said so far
	for _, n := range c.lesson.Body.Children {
		switch n.Kind {
		case lesson.CellBlock, lesson.CodeBlock:
		case lesson.MachineSteps:
			for _, list := range n.Children {
				for _, item := range list.Children {
					steps = c.provedIn(item, steps)
				}
			}
		case lesson.StepBlock:
			steps = c.provedIn(n, steps)
		case lesson.List:
			said := ""
			for _, item := range n.Children {
				said = c.provedIn(item, said)
			}
		case lesson.Caution:
			h, _ := c.folder.House.Hazards.Find(n.Hazard)
			c.provedIn(n, h.Say(c.lesson.Language).Avoid)
		default:
			c.provedIn(n, "")
		}
	}
}

// provedIn looks at the words of a node, and at what was said with it or before.
// It gives both together, as far as they say how something is proved dead.
func (c *checker) provedIn(n *lesson.Node, said string) string {
	var f flat
	whole(n, &f)
	text := f.String()
	all := text + "\n" + said
	if at := c.language.Dead.Proved(text); at != nil && c.language.Dead.Missing(all) != nil {
		message, hint := undead(c.language, text[at[0]:at[1]])
		c.say(f.offset(at[0]), ruleDead, message, hint)
	}
	return c.language.Dead.Said(all)
}

// whole flattens all words of a block, those of its bound texts among them.
func whole(n *lesson.Node, f *flat) {
	switch n.Kind {
	case lesson.Text, lesson.CodeSpan, lesson.HTMLBlock:
		f.add(n, n.Text)
	case lesson.SoftBreak, lesson.HardBreak:
		f.add(n, " ")
	case lesson.Paragraph, lesson.Heading, lesson.ListItem, lesson.QuestionText, lesson.Embed:
		f.add(n, "\n")
	}
	for _, child := range n.Children {
		whole(child, f)
	}
}

// hazards looks at what the house says of its hazards, in each language, as at
// a lesson's words.
func (f Folder) hazards(say func(file string, line, column int, rule, text, hint string)) {
	for _, h := range f.House.Hazards {
		said := []card.HazardWords{h.HazardWords}
		for _, words := range h.In {
			said = append(said, words)
		}
		for _, words := range said {
			g := f.Languages.Of(words.Language)
			report := func(rule, text, hint string) { say(f.House.File, words.Line, words.Column, rule, text, hint) }
			if at := g.Dead.Missing(words.Text()); at != nil {
				text, hint := undead(g, words.Text()[at[0]:at[1]])
				report(ruleDead, text, hint)
			}
			for _, at := range loose(g, words.Text()) {
				report(ruleUnbound, fmt.Sprintf("%q is bound to no value", oneLine(words.Text()[at[0]:at[1]])), "say it without the number: nothing in the house file can be bound")
			}
		}
	}
}
