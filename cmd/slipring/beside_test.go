package main

import (
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// A reading of the day after is warned of, but for a set that is invented, which
// is read on invented days.
func TestLater(t *testing.T) {
	w := workshop{
		entered: []reading.Reading{{Set: "real", Date: "2026-11-04", File: "r.csv", Line: 3}, {Set: "made", Date: "2026-11-04"}, {Set: "real", Date: "2026-11-03"}},
		sheets:  []card.Sheet{{Card: machine.Card{Name: "real"}}, {Card: machine.Card{Name: "made", Invented: true}}},
	}
	got := w.later("2026-11-03")
	if len(got) != 1 || !strings.HasPrefix(got[0].String(), "r.csv:3:1: warning: this reading is of 2026-11-04, which is after 2026-11-03") {
		t.Errorf("%v", got)
	}
}
