package logbook

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/reading"
	"slipring/engine/tell"
)

// Around is what a lessons folder holds beside the logbook.
type Around struct {
	proof.Folder
	History  card.History
	Readings []reading.Reading
	Told     []proof.Checked // the lessons with what their cells told
}

// Check holds entries against all that they name, and gives each its report.
// The entries were read without errors.
func Check(entries []Entry, in Around) []diag.Message {
	var messages []diag.Message
	for i := range entries {
		e := &entries[i]
		messages = append(messages, e.about(in)...)
		facts := in.facts(*e)
		check := func(one *proof.Checked) {
			report, found := in.CheckEntry(one.Lesson, facts)
			one.Report = report
			messages = append(messages, found...)
		}
		check(&e.Checked)
		for k := range e.Translations {
			check(&e.Translations[k])
		}
	}
	return diag.Sort(append(messages, asked(entries)...))
}

// about checks the card and the parts that an entry is about.
func (e Entry) about(in Around) []diag.Message {
	facts := e.Lesson.Facts
	on, names := in.card(facts.Card)
	if on == nil {
		return []diag.Message{e.Lesson.Message(facts.CardAt, diag.Error, Rule, fmt.Sprintf("there is no machine card %q", facts.Card), suggest(facts.Card, names, "cards"))}
	}
	names = nil
	for _, p := range on.Parts {
		names = append(names, p.Name)
	}
	var messages []diag.Message
	for i, part := range facts.Parts {
		if !slices.Contains(names, part) {
			messages = append(messages, e.Lesson.Message(facts.PartsAt[i], diag.Error, Rule, fmt.Sprintf("the card %q has no part %q", on.Name, part), suggest(part, names, "parts")))
		}
	}
	return messages
}

func suggest(word string, known []string, what string) string {
	if near := diag.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Sprintf("the %s are: %s", what, strings.Join(known, ", "))
}

// card finds a card by its name, and gives the names of all.
func (in Around) card(name string) (on *machine.Card, names []string) {
	for i, c := range in.Cards {
		names = append(names, c.Name)
		if c.Name == name {
			on = &in.Cards[i]
		}
	}
	return on, names
}

// facts lists the numbers that an entry can be bound to.
func (in Around) facts(e Entry) []proof.Fact {
	all := in.read(e.Lesson.Facts.Card)
	moved := false
	for _, x := range in.History.List {
		if x.Card != e.Lesson.Facts.Card {
			continue
		}
		moved = moved || x.Date > e.Date
		for _, c := range x.Changed {
			all = append(all, fact("was."+x.Label+"."+c.Constant, c.Was, c.Unit, "the history"), fact("is."+x.Label+"."+c.Constant, c.Is, c.Unit, "the history"))
		}
	}
	if on, _ := in.card(e.Lesson.Facts.Card); on != nil {
		for _, c := range on.Constants() {
			x, unit := in.on(e.Date, on.Name, c)
			all = append(all, fact("card."+c.Name(), x, unit, "the card of that day"))
		}
	}
	for _, l := range in.Told {
		for _, v := range l.Result.Values {
			one := fact("lesson."+l.Lesson.Slug+"."+v.Name, v.Number, v.Unit, "the model")
			one.Model, one.Moved = true, moved
			all = append(all, one)
		}
	}
	return all
}

func fact(name string, x float64, unit, from string) proof.Fact {
	if unit == "1" {
		unit = "" // a pure number, as cells tell it
	}
	return proof.Fact{Value: tell.Value{Name: name, Number: x, Unit: unit}, From: from}
}

// on gives what a constant was at the end of a day: what the oldest later change
// found, or what the card says.
func (in Around) on(day, card string, c machine.Constant) (x float64, unit string) {
	x, unit = c.Value, c.Unit
	for _, r := range in.History.List { // the newest first
		if r.Card != card || r.Date <= day {
			continue
		}
		for _, change := range r.Changed {
			if change.Constant == c.Name() {
				x, unit = change.Was, change.Unit
			}
		}
	}
	return x, unit
}

var noLabel = regexp.MustCompile(`[^a-z0-9.]+`)

// labelled writes words as a part of a label.
func labelled(words string) string {
	return strings.Trim(noLabel.ReplaceAllString(strings.ToLower(words), "-"), "-.")
}

// read gives each reading its names: reading.DATE.QUANTITY, and behind it, where
// there are several, load, setting, place and instrument.
func (in Around) read(card string) []proof.Fact {
	var all []proof.Fact
	at := map[string]int{}           // in all
	longest := map[string][]string{} // by name: the whole names of what it means
	for _, r := range in.Readings {
		if r.Set != "" && r.Set != card {
			continue
		}
		load := r.Load
		if load == "" {
			load = "idle"
		}
		name := "reading." + r.Date + "." + labelled(r.Quantity)
		names := []string{name}
		for _, more := range []string{load, r.Setting, r.Where, r.Instrument} {
			if more = labelled(more); more != "" {
				name += "." + more
				names = append(names, name)
			}
		}
		for _, one := range names {
			f := fact(one, r.Value, r.SIUnit, "the reading")
			i, had := at[one]
			if !had {
				at[one] = len(all)
				all = append(all, f)
			} else if all[i].Number != f.Number {
				all[i].Several = longest[one]
			}
			longest[one] = append(longest[one], name)
		}
	}
	for i := range all {
		if f := &all[i]; f.Several != nil {
			f.Several = slices.Compact(slices.Sorted(slices.Values(longest[f.Name])))
		}
	}
	return all
}

// asked checks that each question is asked once, and that each answer answers
// one that was asked before.
func asked(entries []Entry) []diag.Message {
	var messages []diag.Message
	by := map[string]Entry{}
	answered := map[string]Entry{}
	var names []string
	for _, e := range entries { // the oldest first
		for _, b := range e.Lesson.Body.Children {
			switch had, known := by[b.Name]; {
			case b.Purpose == "open" && b.Name != "" && known:
				messages = append(messages, e.Lesson.Message(b.Offset, diag.Error, Rule, fmt.Sprintf("the question %q was asked in the entry %q of %s", b.Name, had.Name, had.Date),
					"give this one another name, or take it out"))
			case b.Purpose == "open" && b.Name != "":
				by[b.Name] = e
				names = append(names, b.Name)
			case b.Purpose == "answer" && b.Name != "" && !known:
				messages = append(messages, e.Lesson.Message(b.Offset, diag.Error, Rule, fmt.Sprintf("no entry before this one asked the question %q", b.Name), questionHint(b.Name, names)))
			case b.Purpose == "answer" && b.Name != "":
				if first, twice := answered[b.Name]; twice {
					messages = append(messages, e.Lesson.Message(b.Offset, diag.Error, Rule, fmt.Sprintf("the question %q was answered in the entry %q of %s", b.Name, first.Name, first.Date),
						"ask a new question if that answer was wrong, and answer that"))
				}
				answered[b.Name] = e
			}
		}
	}
	return messages
}

func questionHint(name string, names []string) string {
	if len(names) == 0 {
		return "let an entry ask it first, in a block that begins with ```open " + name
	}
	return suggest(name, names, "questions asked before")
}

// Blocks gives the blocks of an entry's text that have a purpose.
func Blocks(l *lesson.Lesson, purpose string) (all []*lesson.Node) {
	for _, b := range l.Body.Children {
		if b.Kind == lesson.EntryBlock && b.Purpose == purpose {
			all = append(all, b)
		}
	}
	return all
}
