package machine

import (
	"fmt"
	"math"
)

// Flaw is a fault in a card: which constant it is about, what is wrong and what to do.
type Flaw struct {
	Part   string
	Key    string // "" when the flaw is about the part as a whole
	Reason string
	Next   string
}

func (f Flaw) Error() string {
	if f.Key == "" {
		return fmt.Sprintf("%s: %s", f.Part, f.Reason)
	}
	return fmt.Sprintf("%s.%s: %s", f.Part, f.Key, f.Reason)
}

// Validate gives what is wrong with the card's values, in the order of its
// constants, or else what its parts lack; nothing when the machine can be built.
func (c Card) Validate() []Flaw {
	var out []Flaw
	for _, one := range c.all() {
		if one.Unused != "" {
			if !one.empty() {
				next := "leave it out, or add the part that uses it to the card"
				if one.instead != "" {
					next = fmt.Sprintf("leave it out, or take %s out", one.instead)
				}
				out = append(out, Flaw{Part: one.Part, Key: one.Key, Reason: one.Unused, Next: next})
			}
			continue
		}
		if f, ok := one.check(); !ok {
			out = append(out, f)
		}
	}
	if len(out) > 0 {
		return out // the rules below assume sound values
	}
	return c.validateParts()
}

func (c Constant) check() (Flaw, bool) {
	flaw := func(reason, next string) (Flaw, bool) {
		return Flaw{Part: c.Part, Key: c.Key, Reason: reason, Next: next}, false
	}
	if c.Unit == "" {
		return flaw("it has no unit", fmt.Sprintf("give it the unit %s", UnitChoices(c.SIUnit)))
	}
	if _, ok := Multiple(c.SIUnit, c.Unit); !ok {
		return flaw(fmt.Sprintf("the unit %q does not fit", c.Unit),
			fmt.Sprintf("give the value in %s", UnitChoices(c.SIUnit)))
	}
	v := c.Value
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return flaw(fmt.Sprintf("%v is not a number of %s", v, c.SIUnit), "give a finite number")
	case c.Bounds == Positive && v <= 0:
		return flaw(fmt.Sprintf("%g %s is impossible", v, c.Unit), "give a value above zero")
	case c.Bounds == NotNegative && v < 0:
		return flaw(fmt.Sprintf("%g %s is impossible", v, c.Unit), "give zero or a value above it")
	case c.Bounds == AtLeastOne && v < 1:
		return flaw(fmt.Sprintf("%g %s is impossible", v, c.Unit), "give 1 or a value above it")
	case c.Bounds == WholeNumber && (v < 1 || v != math.Trunc(v)):
		return flaw(fmt.Sprintf("%g is not a number of them", v), "give a whole number from 1")
	}
	if c.Columns != nil {
		if reason, next := c.checkRows(); reason != "" {
			return flaw(reason, next)
		}
	}
	if reason, next := c.checkDoubt(); reason != "" {
		return flaw(reason, next)
	}
	return Flaw{}, true
}

// checkDoubt says what is wrong with the uncertainty, and what to do. Whoever
// follows it to a result sets the constant one standard uncertainty lower, so
// that has to be possible.
func (c Constant) checkDoubt() (reason, next string) {
	u, lower := c.Uncertainty, c.Value-c.Uncertainty
	tooMuch := fmt.Sprintf("with an uncertainty of %g %s it could be %g %s", u, c.Unit, lower, c.Unit)
	smaller := "give the standard uncertainty, one standard deviation, or round the value to what is known"
	switch {
	case u == 0:
	case !finite(u) || u < 0:
		return fmt.Sprintf("%v is not an uncertainty", u), "give a number above zero, in the unit of the value, or leave it out where the value counts as exact"
	case c.Columns != nil:
		return "a table has no uncertainty", "leave it out"
	case c.Bounds == WholeNumber:
		return "a number of them has no uncertainty", "leave it out: what is counted is exact"
	case c.Bounds == Positive && lower <= 0, c.Bounds == NotNegative && lower < 0, c.Bounds == AtLeastOne && lower < 1:
		return tooMuch + ", which is impossible", smaller
	}
	return "", ""
}

// checkRows says what is wrong with a table, and what to do.
func (c Constant) checkRows() (reason, next string) {
	if len(c.Rows) < leastRows {
		return fmt.Sprintf("it has %d rows", len(c.Rows)), fmt.Sprintf("give it at least %d", leastRows)
	}
	if len(c.Units) != len(c.Columns) {
		return fmt.Sprintf("it has %d units for %d columns", len(c.Units), len(c.Columns)), "give each column its unit"
	}
	for i, column := range c.Columns {
		if _, ok := Multiple(column.SIUnit, c.Units[i]); !ok {
			return fmt.Sprintf("the unit %q does not fit the %s", c.Units[i], column.Name), fmt.Sprintf("give it in %s", UnitChoices(column.SIUnit))
		}
	}
	for k, row := range c.Rows {
		if len(row) != len(c.Columns) {
			return fmt.Sprintf("row %d has %d numbers for %d columns", k+1, len(row), len(c.Columns)), "give each row one number a column"
		}
		for _, x := range row {
			if !finite(x) {
				return fmt.Sprintf("%v in row %d is not a number", x, k+1), "give finite numbers"
			}
		}
		if k > 0 && row[0] <= c.Rows[k-1][0] {
			return fmt.Sprintf("the %s does not rise from row %d to row %d", c.Columns[0].Name, k, k+1), "sort the rows by it, and give each value once"
		}
	}
	return "", ""
}

func (c Card) validateParts() []Flaw {
	var needs, rules []Flaw
	for i, p := range c.Parts {
		k, ok := find(p.kind())
		if !ok {
			rules = append(rules, Flaw{Part: p.Name, Reason: "there is no such part", Next: "take it from the card"})
			continue
		}
		model, got := k.make(), constants{given: p.Given}
		model.describe(&got)
		for _, other := range got.needs {
			if !c.Has(other) {
				needs = append(needs, Flaw{Part: p.Name, Reason: fmt.Sprintf("it cannot work without a %s", other),
					Next: fmt.Sprintf("add the part [%s] to the card", other)})
			}
		}
		if got.own != "" && c.Has(got.own) && c.count(p.kind(), i) >= c.count(got.own, len(c.Parts)) {
			needs = append(needs, Flaw{Part: p.Name, Reason: fmt.Sprintf("every %s needs a %s of its own", p.kind(), got.own),
				Next: fmt.Sprintf("add another %s to the card, or take this part out", got.own)})
		}
		if k.alone && c.count(p.kind(), i) > 0 {
			rules = append(rules, Flaw{Part: p.Name, Reason: fmt.Sprintf("a set has but one %s", p.kind()), Next: "take one of the two from the card"})
		}
		if strict, ok := model.(interface{ flaws(Card) []Flaw }); ok {
			for _, f := range strict.flaws(c) {
				f.Part = p.Name
				rules = append(rules, f)
			}
		}
	}
	if !c.Has("shaft") {
		rules = append(rules, Flaw{Part: "shaft", Reason: "the card has no shaft, so nothing can turn",
			Next: "add the part [shaft] to the card"})
	}
	return append(needs, rules...)
}

// count counts the parts of a kind among the first n of the card.
func (c Card) count(kind string, n int) (found int) {
	for _, p := range c.Parts[:n] {
		if p.kind() == kind {
			found++
		}
	}
	return found
}
