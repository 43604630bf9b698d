package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/drift"
	"slipring/engine/reading"
	"slipring/site"
)

// holdReadings holds what was read off the sets of the cards against their
// models. What the models give is kept, as the machine's other runs are.
func (w *workshop) holdReadings(known cache) (messages []diag.Message) {
	wrong := func(r reading.Reading, text, hint string) {
		messages = append(messages, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: reading.Rule, Text: text, Hint: hint})
	}
	var names []string
	for _, c := range w.cards {
		names = append(names, c.Name)
	}
	shelf := bench.New(w.cards)
	shelf.Recall(known.machineRuns())
	unknown := map[string]bool{} // one message a file says enough
	for i, r := range w.entered {
		switch {
		case r.Set == "" && len(names) == 1:
			w.entered[i].Set = names[0]
		case slices.Contains(names, r.Set) || unknown[r.File]:
		case r.Set == "":
			unknown[r.File] = true
			wrong(r, "this reading does not say which set it is of", "add a column set with the name of a card: "+strings.Join(names, ", "))
		default:
			unknown[r.File] = true
			wrong(r, fmt.Sprintf("there is no machine card called %q", r.Set), "the cards are: "+strings.Join(names, ", "))
		}
	}
	if len(messages) > 0 {
		return messages
	}
	shelf.Enter(w.entered)
	for _, c := range w.cards {
		set := shelf.Open(c.Name)
		log := set.Readings()
		if log.Count() == 0 {
			continue
		}
		first := w.entered[slices.IndexFunc(w.entered, func(r reading.Reading) bool { return r.Set == c.Name })]
		m := site.Measured{Card: c}
		var err error
		if m.Beside, err = log.Beside(); err != nil {
			wrong(first, "the readings cannot be held against the model: "+err.Error(), "check load and setting of the readings, and the card")
			continue
		}
		var few drift.Error
		m.Trend, err = log.Trend()
		if err != nil && !errors.As(err, &few) {
			wrong(first, "the readings cannot be followed over the days: "+err.Error(), "check load and setting of the readings, and the card")
			continue
		}
		m.Followed = err == nil
		w.measured = append(w.measured, m)
	}
	known.addRuns(shelf.Kept())
	return messages
}

// later warns of readings that are dated after a day. Invented sets are read on
// invented days.
func (w *workshop) later(day string) []diag.Message {
	return reading.Later(slices.DeleteFunc(slices.Clone(w.entered), func(r reading.Reading) bool {
		return slices.ContainsFunc(w.sheets, func(s card.Sheet) bool { return s.Invented && s.Name == r.Set })
	}), day)
}
