package tell

import (
	"reflect"
	"strings"
	"testing"
)

// smallStrips is three wires at two parts on two drawings.
func smallStrips() Strips {
	return Strips{
		Sheets: []StripSheet{{Name: "a", Date: "1911"}, {Name: "b"}},
		Parts: []StripPart{
			{Name: "TS1", Text: "strip", Texts: map[string]string{"fr": "bornier"}, Marks: []string{"1", "2", "3"}},
			{Name: "K1", Marks: []string{"A1", "A2"}},
		},
		Wires: []StripWire{
			{From: "TS1.1", To: "K1.A1", Wire: "W1", Verdict: WireFound, Chance: 0.999, Drawn: []int{0, 1},
				Why: StripReason{Kind: ByClosed, From: "TS1.1", To: "K1.A1", With: "K2 held", When: "2026-09-12"}},
			{From: "TS1.2", To: "K1.A2", Verdict: WireNotThere, Chance: 0.001, Drawn: []int{1}, Missing: []int{0},
				Why: StripReason{Kind: ByOther, From: "TS1.3", To: "K1.A2", Wire: "W2"}},
			{From: "TS1.3", To: "H1.X1", Verdict: WireQuestion, Chance: 0.5, Why: StripReason{Kind: ByPlace}},
		},
	}
}

// onStrips tells strips with words somewhere in them.
func onStrips(put func(d *Strips, words string)) func(*Sheet, string) {
	return func(s *Sheet, w string) {
		d := smallStrips()
		put(&d, w)
		s.Strips("d", d)
	}
}

func TestStrips(t *testing.T) {
	var s Sheet
	s.Strips("wires", smallStrips())
	want := smallStrips()
	want.Name = "wires"
	if got := s.Result().Strips; len(got) != 1 || !reflect.DeepEqual(got[0], want) {
		t.Errorf("told %+v", got)
	}
}

// What no page could show, or would show otherwise than it is, is refused.
func TestStripsRefused(t *testing.T) {
	for says, spoil := range map[string]func(d *Strips){
		"have 0 drawings":                    func(d *Strips) { d.Sheets = nil },
		"have 9 drawings":                    func(d *Strips) { d.Sheets = make([]StripSheet, 9) },
		"have 0 parts":                       func(d *Strips) { d.Parts = nil },
		"have 0 wires":                       func(d *Strips) { d.Wires = nil },
		`a drawing called "b"`:               func(d *Strips) { d.Sheets[0].Name = "b" },
		`a drawing of "long ago"`:            func(d *Strips) { d.Sheets[0].Date = "long ago" },
		`a part called "K1"`:                 func(d *Strips) { d.Parts[0].Name = "K1" },
		`a part called "<b>"`:                func(d *Strips) { d.Parts[0].Name = "<b>" },
		`a terminal "A1" at K1`:              func(d *Strips) { d.Parts[1].Marks = []string{"A1", "A1"} },
		"and no terminal TS1.3":              func(d *Strips) { d.Parts[0].Marks = []string{"1", "2"} },
		"no wire at R1":                      func(d *Strips) { d.Parts = append(d.Parts, StripPart{Name: "R1", Marks: []string{"1"}}) },
		"which leads to none of their parts": func(d *Strips) { d.Wires[2].From = "H2.X2" },
		"from K1.A1 to TS1.1 twice":          func(d *Strips) { d.Wires[1].From, d.Wires[1].To = "K1.A1", "TS1.1" },
		"from TS1.1 to itself":               func(d *Strips) { d.Wires[0].To = "TS1.1" },
		`a terminal "K1"`:                    func(d *Strips) { d.Wires[0].To = "K1" },
		`say "sure" of`:                      func(d *Strips) { d.Wires[0].Verdict = "sure" },
		"the chance 1.5":                     func(d *Strips) { d.Wires[0].Chance = 1.5 },
		"on drawings [0 2] of 2":             func(d *Strips) { d.Wires[0].Drawn = []int{0, 2} },
		"on drawings [1 1] of 2":             func(d *Strips) { d.Wires[0].Drawn = []int{1, 1} },
		"both on a drawing and missing":      func(d *Strips) { d.Wires[0].Missing = []int{1} },
		`the reason "hearsay"`:               func(d *Strips) { d.Wires[0].Why.Kind = "hearsay" },
		"that its reason has not":            func(d *Strips) { d.Wires[2].Why.From = "K1.A1" },
		`a reading of "last week"`:           func(d *Strips) { d.Wires[0].Why.When = "last week" },
		"the most are 100":                   func(d *Strips) { d.Wires[0].Wire = strings.Repeat("W", 101) },
	} {
		d := smallStrips()
		spoil(&d)
		var s Sheet
		if m := refusal(func() { s.Strips("d", d) }); !strings.HasPrefix(m.Text, `strips "d" `) || !strings.Contains(m.Text, says) || m.Hint == "" {
			t.Errorf("%s: %+v", says, m)
		}
	}
	var s Sheet
	if m := refusal(func() {
		s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) { s.Strips("d", smallStrips()) })
	}); !strings.Contains(m.Text, "under a knob") {
		t.Errorf("under a knob: %+v", m)
	}
}
