package proof

import (
	"fmt"
	"math"
	"math/big"

	"slipring/engine/language"
	"slipring/engine/lesson"
)

// expectation is a told value to which somebody's number is compared: the answer
// to a question, or what is read at a step.
type expectation struct {
	value, unit lesson.Reference
	within      lesson.Tolerance // none where Number is 0
	key         string           // that names the value
	what        string           // the number that is compared, as in "an answer"
	rule        string
}

// expected is what an expectation comes to, in the unit in which it is compared.
type expected struct {
	number, within float64
	told           string // the unit in which it was told
	form           Form   // that shows the digits which within leaves
}

// expected finds the value and how far off a number may be.
func (c *checker) expected(of expectation) (e expected, ok bool) {
	x, told, source, ok := c.number(of.value.Name)
	if !ok {
		c.noNumber(of.value.At, of.value.Name, of.key+" is")
		return e, false
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		c.say(of.value.At, ruleValue, fmt.Sprintf("%s gives %v, which no page can print (%s)", source, x, of.value.Name),
			"look for a division by zero, or a run that did not settle")
		return e, false
	}
	unit := told
	if of.unit.Name != "" {
		unit = of.unit.Name
	}
	scale, ok := c.language.Factor(told, unit)
	if !ok && of.unit.Name == "" {
		c.say(of.value.At, of.rule, fmt.Sprintf("%q %s, which is not how this language writes it", of.value.Name, inUnit(told)),
			fmt.Sprintf("say in which unit %s is, such as unit = %q", the(of.what), c.language.Partners(told)[0]))
		return e, false
	}
	if !ok {
		c.say(of.unit.At, of.rule, fmt.Sprintf("the unit is %q, but %s %s", unit, of.value.Name, inUnit(told)), unitHint(c.language, told))
		return e, false
	}
	e.number, e.told = scaled(x, scale), told
	in := of.within
	switch {
	case in.Number == 0:
		e.within = math.Abs(e.number) / 100
	case in.Unit == "%" && x == 0:
		c.say(in.At, of.rule, "per cent of zero leaves no room", fmt.Sprintf("give the tolerance in the unit of %s, such as \"0.1 Hz\"", the(of.what)))
		return e, false
	case in.Unit == "%":
		e.within = math.Abs(e.number) * in.Number / 100
	default:
		scale, ok := c.language.Factor(in.Unit, unit)
		if !ok {
			c.say(in.At, of.rule, fmt.Sprintf("within is %q, but %s %s", oneLine(fmt.Sprint(in.Number, " ", in.Unit)), the(of.what), inUnit(unit)),
				fmt.Sprintf("give the tolerance in per cent, such as \"5 %%\", or in the unit of %s", the(of.what)))
			return e, false
		}
		e.within = scaled(in.Number, scale)
	}
	if x != 0 && e.within >= math.Abs(e.number) {
		c.say(in.At, of.rule, fmt.Sprintf("within is as large as %s, %s, so that zero is right too", the(of.what), oneLine(plainly(c.language, e.number)+" "+unit)),
			"make it smaller")
		return e, false
	}
	e.form = Form{number: language.Number{Decimals: decimalsFor(e.within), Language: c.language, Sign: language.Minus}, unit: unit, told: unit, scale: big.NewRat(1, 1)}
	if unit != "" {
		e.form.gap = c.language.Gap
	}
	return e, true
}

// the turns "an answer" into "the answer".
func the(what string) string {
	for i := range what {
		if what[i] == ' ' {
			return "the" + what[i:]
		}
	}
	return what
}

// decimalsFor gives the decimals of which the last is no coarser than within.
func decimalsFor(within float64) int {
	if within == 0 {
		return 0
	}
	return min(max(int(math.Ceil(-math.Log10(within))), 0), 12)
}
