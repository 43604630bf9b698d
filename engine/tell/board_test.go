package tell

import (
	"math"
	"strings"
	"testing"
)

// small is a board of a lamp, a meter and a key.
func smallBoard() (front []BoardPart, states []BoardState) {
	front = []BoardPart{
		{Name: "H1", Kind: "lamp", Text: "lamp", Texts: map[string]string{"fr": "lampe"}, Colour: "red", Frame: 1, Row: 1},
		{Name: "V", Kind: "voltmeter", Text: "battery", Frame: 1, Row: 2, Full: 60, Within: 1, Unit: "V"},
		{Name: "start", Kind: "key", Text: "start", Frame: 2, Row: 1},
	}
	reads := []BoardMeter{{Part: "V", Reads: []float64{0, 48}}}
	states = []BoardState{
		{Name: "rest", Says: "At rest.", Seconds: 1, Meters: reads},
		BoardState{Name: "runs", Act: "Press start", Says: "It runs.", Seconds: 2, Meters: reads,
			Changes: []BoardChange{{0, "start", "up"}, {0.5, "start", "down"}, {1, "H1", "lit"}}}.After("rest").Back("Put it right", "rest"),
	}
	return front, states
}

func TestBoard(t *testing.T) {
	var s Sheet
	front, states := smallBoard()
	s.Board("b", front, states...)
	told := s.Result().Boards
	if len(told) != 1 || len(told[0].Parts) != 3 || len(told[0].States) != 2 {
		t.Fatalf("told %+v", told)
	}
	if runs := told[0].States[1]; runs.Is("H1") != "lit" || runs.Is("start") != "down" || runs.Is("V") != "" {
		t.Errorf("at the end: lamp %q, key %q, meter %q", runs.Is("H1"), runs.Is("start"), runs.Is("V"))
	}
}

func TestBoardRefused(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(front []BoardPart, states []BoardState)
		says  string
	}{
		"a part twice":              {func(f []BoardPart, _ []BoardState) { f[2].Name = "H1" }, "two parts"},
		"a frame that cannot be":    {func(f []BoardPart, _ []BoardState) { f[0].Frame = 0 }, "frame 0"},
		"a scale without end":       {func(f []BoardPart, _ []BoardState) { f[1].Full = math.Inf(1) }, "no page can print"},
		"a state twice":             {func(_ []BoardPart, s []BoardState) { s[1].Name = "rest" }, "a state called"},
		"a state out of reach":      {func(_ []BoardPart, s []BoardState) { s[1].From = nil }, "nothing leads"},
		"no act":                    {func(_ []BoardPart, s []BoardState) { s[1].Act = "" }, "nothing leads"},
		"a state from nowhere":      {func(_ []BoardPart, s []BoardState) { s[1].From = []string{"x"} }, `no state "x"`},
		"back to nowhere":           {func(_ []BoardPart, s []BoardState) { s[1].Leads = "x" }, `no state "x"`},
		"nothing said":              {func(_ []BoardPart, s []BoardState) { s[0].Says = "" }, "says nothing"},
		"a change of another part":  {func(_ []BoardPart, s []BoardState) { s[1].Changes[0].Part = "x" }, "which cannot be"},
		"a change to anything":      {func(_ []BoardPart, s []BoardState) { s[1].Changes[0].Is = "blue" }, "which cannot be"},
		"changes out of order":      {func(_ []BoardPart, s []BoardState) { s[1].Changes[2].At = 0.1 }, "out of order"},
		"a change behind the end":   {func(_ []BoardPart, s []BoardState) { s[1].Changes[2].At = 3 }, "out of order"},
		"too long for a visitor":    {func(_ []BoardPart, s []BoardState) { s[0].Seconds = 31 }, "31 s"},
		"no time at all":            {func(_ []BoardPart, s []BoardState) { s[0].Seconds = 0 }, "0 s"},
		"a meter that is a lamp":    {func(_ []BoardPart, s []BoardState) { s[0].Meters = []BoardMeter{{"H1", []float64{1, 2}}} }, `a meter "H1"`},
		"a meter left out":          {func(_ []BoardPart, s []BoardState) { s[0].Meters = nil }, "0 of 1 meters"},
		"a meter read only once":    {func(_ []BoardPart, s []BoardState) { s[0].Meters = []BoardMeter{{"V", []float64{1}}} }, `a meter "V"`},
		"a reading that is nothing": {func(_ []BoardPart, s []BoardState) { s[0].Meters = []BoardMeter{{"V", []float64{1, math.NaN()}}} }, "no page can print"},
	} {
		front, states := smallBoard()
		c.spoil(front, states)
		var s Sheet
		if m := refusal(func() { s.Board("b", front, states...) }); !strings.Contains(m.Text, c.says) || m.Hint == "" {
			t.Errorf("%s: %+v", name, m)
		}
	}
	var s Sheet
	front, states := smallBoard()
	if m := refusal(func() {
		s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) { s.Board("b", front, states...) })
	}); !strings.Contains(m.Text, "under a knob") {
		t.Errorf("under a knob: %+v", m)
	}
	s = Sheet{}
	if m := refusal(func() { s.Board("c", nil, states...) }); !strings.Contains(m.Text, "0 parts") {
		t.Errorf("no parts: %+v", m)
	}
}
