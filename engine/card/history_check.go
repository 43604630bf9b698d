package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/machine"
)

// Against holds the history against the cards: each entry names a card and
// constants that there are, each change begins where the one before it ended,
// and the newest of a constant gives what the card says now. That the card has
// moved on is a warning, so that a value can be tried before it is written
// down; everything else is an error.
func (h History) Against(sheets []Sheet) []diag.Message {
	c := historyCheck{History: h, newest: map[string]step{}}
	for _, x := range h.List {
		i := slices.IndexFunc(sheets, func(s Sheet) bool { return s.Name == x.Card })
		if i < 0 {
			var names []string
			for _, s := range sheets {
				names = append(names, s.Name)
			}
			c.add(x.Line, x.Column, diag.Error, "card", fmt.Sprintf("the entry %q is about the card %q, which there is not", x.Label, x.Card),
				hintNear(x.Card, names, "the cards are: "+strings.Join(names, ", ")))
			continue
		}
		for _, change := range x.Changed {
			c.change(x, change, sheets[i])
		}
		c.revised(x, sheets[i])
	}
	return diag.Sort(c.messages)
}

// step is a change with the entry that it stands in.
type step struct {
	Change
	entry string
	date  string
	was   float64 // in the SI unit
}

type historyCheck struct {
	History
	newest   map[string]step // by card and constant: the oldest looked at so far
	messages []diag.Message
}

func (c *historyCheck) add(line, column int, level diag.Level, rule, text, hint string) {
	c.messages = append(c.messages, diag.Message{File: c.File, Line: line, Column: column, Level: level, Rule: "history-" + rule, Text: text, Hint: hint})
}

func (c *historyCheck) change(x Revision, change Change, sheet Sheet) {
	part, key, _ := strings.Cut(change.Constant, ".")
	say := func(level diag.Level, rule, text, hint string) {
		c.add(change.Line, change.Column, level, rule, text, hint)
	}
	known, ok := sheet.Constant(change.Constant)
	if !ok {
		known, ok = machine.Described(change.Constant) // the card may have lost the part since
	}
	if !ok {
		say(diag.Error, "constant", fmt.Sprintf("a machine card has no constant %q", change.Constant), hintConstant(change.Constant, sheet.Card))
		return
	}
	factor, fits := machine.Multiple(known.SIUnit, change.Unit)
	switch {
	case !fits:
		say(diag.Error, "unit", fmt.Sprintf("%q is no unit for %s of the %s", change.Unit, key, part), "give both values in "+machine.UnitChoices(known.SIUnit))
		return
	case math.IsNaN(change.Was-change.Is) || math.IsInf(change.Was-change.Is, 0):
		say(diag.Error, "value", fmt.Sprintf("%s of the %s was %v and is %v", key, part, change.Was, change.Is), "write both as finite numbers")
		return
	case change.Was == change.Is && change.WasUncertainty == change.IsUncertainty && change.WasFrom == change.IsFrom:
		say(diag.Error, "value", fmt.Sprintf("%s of the %s is what it was", key, part), "leave it out, or write what it was before")
		return
	}
	name := x.Card + "." + change.Constant
	later, had := c.newest[name]
	c.newest[name] = step{change, x.Label, x.Date, change.Was * factor}
	if had {
		if !alike(change.Is*factor, later.was) {
			say(diag.Error, "chain", fmt.Sprintf("%s of the %s is %v %s here, but was %v %s before the entry %q of %s", key, part, change.Is, change.Unit, later.Was, later.Unit, later.entry, later.date),
				"mend whichever is wrong, or write the entry that is missing between the two")
		}
		return
	}
	now, ok := sheet.Constant(change.Constant)
	if !ok || alike(change.Is*factor, now.SI()) {
		return
	}
	line, column := sheet.Place(part, key)
	c.messages = append(c.messages, diag.Message{File: sheet.File, Line: line, Column: column, Level: diag.Warning, Rule: "history-missing",
		Text: fmt.Sprintf("%s of the %s is %v %s, but its newest entry in the history, of %s, says %v %s",
			key, part, now.Value, now.Unit, x.Date, change.Is, change.Unit),
		Hint: fmt.Sprintf("if it was changed, write that at the top of %s, with the day and the reason:\n[LABEL]\ndate = %s\ncard = %q\nby = \"...\"\nwhy = \"...\"\nchanged = [ { constant = %q, was = %v, is = %v, unit = %q } ]",
			c.File, sheet.Revised, x.Card, change.Constant, inUnit(change.Is*factor, now), now.Value, now.Unit)})
}

// inUnit gives a value in the unit in which the card has the constant.
func inUnit(si float64, c machine.Constant) float64 {
	factor, _ := machine.Multiple(c.SIUnit, c.Unit)
	// twelve digits hide what the two factors did to the last ones
	x := si / factor
	size := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-11)
	if x == 0 || size == 0 || math.IsInf(size, 0) {
		return x
	}
	if size < 1 {
		return math.Round(x*math.Round(1/size)) / math.Round(1/size)
	}
	return math.Round(x/size) * size
}

// alike compares two values that were written in units of their own.
func alike(a, b float64) bool { return math.Abs(a-b) <= 1e-12*max(math.Abs(a), math.Abs(b)) }

// revised reports a card that is dated before what was changed on it.
func (c *historyCheck) revised(x Revision, sheet Sheet) {
	if sheet.Revised == "" || x.Date <= sheet.Revised || slices.ContainsFunc(c.messages, func(m diag.Message) bool { return m.Rule == "history-revised" && m.File == sheet.File }) {
		return
	}
	line, column := sheet.top("revised")
	c.messages = append(c.messages, diag.Message{File: sheet.File, Line: line, Column: column, Level: diag.Warning, Rule: "history-revised",
		Text: fmt.Sprintf("the card is of %s, but the history has a change of %s", sheet.Revised, x.Date),
		Hint: fmt.Sprintf("write revised = %s", x.Date)})
}

func hintConstant(name string, card machine.Card) string {
	part, _, _ := strings.Cut(name, ".")
	var all, ofPart []string
	for _, p := range card.Parts {
		list, _ := machine.Describe(card.Kind(p.Name))
		for _, d := range list {
			all = append(all, p.Name+"."+d.Key)
			if p.Name == part {
				ofPart = append(ofPart, p.Name+"."+d.Key)
			}
		}
	}
	if len(ofPart) > 0 {
		return hintNear(name, all, "known here are: "+strings.Join(ofPart, ", "))
	}
	return hintNear(name, all, "write it as PART.KEY, as on the card, such as governor.radius")
}

// Behind says whether the card has moved on from the newest entry about one of
// its constants, so that the history lacks one.
func (h History) Behind(s Sheet, c machine.Constant) bool {
	change, ok := h.Newest(s.Name, c)
	if !ok {
		return false
	}
	factor, fits := machine.Multiple(c.SIUnit, change.Unit)
	return fits && !alike(change.Is*factor, c.SI())
}

// Newest gives the newest change of a constant of the card of a name.
func (h History) Newest(card string, c machine.Constant) (Change, bool) {
	for _, x := range h.List {
		for _, change := range x.Changed {
			if x.Card == card && change.Constant == c.Name() {
				return change, true
			}
		}
	}
	return Change{}, false
}
