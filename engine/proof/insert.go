package proof

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
)

const (
	significant = 3    // digits to which {name} prints a number
	smallest    = 1e-6 // that it prints
)

// insert finds the meaning of a number in braces.
func (c *checker) insert(n *lesson.Node) {
	if c.foreign(n) {
		return
	}
	x, told, source, ok := c.number(n.Name)
	if !ok {
		c.noNumber(n.Offset, n.Name, "braces hold")
		return
	}
	if len(n.Children) > 0 {
		c.quote(n, x, told, source)
		return
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		c.say(n.Offset, ruleValue, fmt.Sprintf("%s gives %v, which no page can print (%s)", source, x, n.Name),
			"look for a division by zero, or a run that did not settle")
		return
	}
	if x != 0 && math.Abs(x) < smallest {
		c.say(n.Offset, ruleValue, fmt.Sprintf("%s gives %v, which is too small for plain digits (%s)", source, x, n.Name), "tell it in a smaller unit, such as mA for A")
		return
	}
	q := Form{number: language.Number{Decimals: decimalsOf(x), Language: c.language, Sign: language.Minus}, unit: told, told: told, scale: big.NewRat(1, 1)}
	if told != "" {
		q.gap = c.language.Gap
		if _, ok := c.language.Factor(told, told); !ok {
			c.say(n.Offset, ruleUnit, fmt.Sprintf("%q %s, which is not how this language writes it", n.Name, inUnit(told)),
				fmt.Sprintf("write number and unit behind the name: {%s %s ...}", n.Name, plainly(c.language, x)))
			return
		}
	}
	c.report.Forms[n] = q
	c.report.Printed[n] = q.Print(x)
}

// plainly gives a number as {name} prints it.
func plainly(g *language.Language, x float64) string {
	return language.Number{Decimals: decimalsOf(x), Language: g, Sign: language.Minus}.InForm(x, big.NewRat(1, 1)).String()
}

// decimalsOf gives the decimals with which a number has at least three
// significant digits, less the zeros that it would end in.
func decimalsOf(x float64) int {
	if x == 0 {
		return 0
	}
	most := min(max(significant-1-int(math.Floor(math.Log10(math.Abs(x)))), 0), 9) // enough for the smallest
	digits := language.Number{Decimals: most}.InForm(x, big.NewRat(1, 1)).Digits
	if !strings.Contains(digits, ".") {
		return 0
	}
	trimmed := strings.TrimRight(digits, "0")
	return len(trimmed) - 1 - strings.IndexByte(trimmed, '.')
}

// number finds the number that a label stands for, as a cell told it or a card
// has it.
func (c *checker) number(name string) (x float64, unit, source string, ok bool) {
	if v, ok := c.values[name]; ok {
		return v.Number, v.Unit, "the model", true
	}
	entries := c.cards[name]
	for _, e := range entries {
		if e.Value != entries[0].Value || e.Unit != entries[0].Unit {
			return 0, "", "", false
		}
	}
	if len(entries) > 0 {
		return entries[0].Value, entries[0].Unit, "the card", true
	}
	return 0, "", "", false
}

// noNumber reports a name that should be that of a number.
func (c *checker) noNumber(offset int, name, what string) {
	if _, claim := c.claims[name]; claim {
		c.say(offset, ruleForm, fmt.Sprintf("%s a number, but %q is a claim", what, name), "tell a value for it, or name another")
		return
	}
	if len(c.cards[name]) > 0 {
		c.say(offset, ruleMeanings, fmt.Sprintf("%q differs between the cards that are opened", name), "tell the one that you mean as a value of its own")
		return
	}
	var numbers []string
	for _, k := range c.known {
		if _, _, _, ok := c.number(k); ok {
			numbers = append(numbers, k)
		}
	}
	hint := c.unknownHint(name)
	if near := diag.Nearest(name, numbers); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	c.say(offset, ruleUnknown, fmt.Sprintf("nothing defines the label %q", name), hint)
}
