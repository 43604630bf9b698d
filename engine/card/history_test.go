package card_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

// All numbers are invented; they end at those of the card that source gives.
const someHistory = `# Newest first.
[new-weight]
date = 2026-11-20
card = "governed-motor"
by = "the Tuesday volunteer"
why = "It was weighed."
changed = [
  { constant = "governor.weight", was = 0.0135, is = 0.012, unit = "kg" },
  { constant = "motor.armature-inductance", was = 3.1, is = 3.5, unit = "mH" },
]

[new-weight.fr]
by = "le bénévole du mardi"
why = "Elle a été pesée."

[first-guess]
date = 2026-05-12
card = "governed-motor"
by = "the drum keeper"
why = "It was reckoned from the drawing."
changed = [ { constant = "governor.weight", was = 20, is = 13.5, unit = "g" } ]
`

func sheet(t testing.TB, text string) card.Sheet {
	t.Helper()
	s, messages := card.ReadSheet("some.toml", []byte(text))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return s
}

func TestReadHistory(t *testing.T) {
	h, messages := card.ReadHistory("history.toml", []byte(someHistory))
	if len(messages) > 0 || len(h.List) != 2 {
		t.Fatalf("%+v %v", h, messages)
	}
	x := h.List[0]
	if x.Date != "2026-11-20" || x.Card != "governed-motor" || x.Line != 2 || len(x.Changed) != 2 || x.By != "the Tuesday volunteer" {
		t.Errorf("%+v", x)
	}
	if c := x.Changed[1]; c.Constant != "motor.armature-inductance" || c.Was != 3.1 || c.Is != 3.5 || c.Unit != "mH" || c.Line != 9 {
		t.Errorf("%+v", c)
	}
	if said, ok := x.Say("fr"); !ok || said.Why != "Elle a été pesée." {
		t.Errorf("%+v %v", said, ok)
	}
	if said, ok := h.List[1].Say("fr"); ok || said.By != "the drum keeper" {
		t.Errorf("%+v %v", said, ok)
	}
	if lacks := h.Lacks([]string{"fr"}); len(lacks) != 1 || lacks[0].Line != 16 || lacks[0].Level != diag.Warning {
		t.Errorf("%v", lacks)
	}
	s := sheet(t, source(t))
	if messages := h.Against([]card.Sheet{s}); len(messages) > 0 {
		t.Errorf("grams and kilograms of one weight: %v", messages)
	}
	for _, e := range s.Constants() {
		_, had := h.Newest("governed-motor", e)
		if want := e.Key == "weight" || e.Key == "armature-inductance"; had != want || h.Behind(s, e) {
			t.Errorf("%s.%s: %v", e.Part, e.Key, had)
		}
	}
}

func TestReadHistoryRefuses(t *testing.T) {
	for name, c := range map[string]change{
		"unknown key":     {"by = \"the drum", "who = \"me\"\nby = \"the drum", "who", `the entry "first-guess" has no key "who"`, `did you mean "why"?`},
		"no date":         {"date = 2026-05-12\n", "", "first-guess", "has no date", "date = 2026-05-12"},
		"date in words":   {"date = 2026-05-12", `date = "May"`, `"May"`, "where a date belongs", "2026-05-12"},
		"no reason":       {"why = \"It was weighed.\"\n", "", "new-weight]", `the entry "new-weight" has no why`, "why ="},
		"empty reason":    {`"It was weighed."`, `""`, `""`, "why is empty", "between the quotes"},
		"oldest first":    {"2026-11-20", "2026-05-11", "2026-05-12", "of 2026-05-12 stands below one of 2026-05-11", "newest entry first"},
		"nothing changed": {`[ { constant = "governor.weight", was = 20, is = 13.5, unit = "g" } ]`, "[]", "changed = []", "changes nothing", "changed = ["},
		"no changes":      {`changed = [ { constant = "governor.weight", was = 20, is = 13.5, unit = "g" } ]`, "", "first-guess", "does not say what was changed", "changed = ["},
		"change in words": {`{ constant = "governor.weight", was = 20, is = 13.5, unit = "g" }`, `"weight"`, `"weight"`, "a change is text in quotes", "{ constant"},
		"no unit":         {`, unit = "g"`, "", `constant = "governor.weight", was = 20`, `a change of entry "first-guess" has no unit`, "unit ="},
		"was in words":    {"was = 20", `was = "20"`, `"20"`, "where a number belongs", "was = 1.5"},
		"unknown in it":   {"was = 20", "before = 1, was = 20", "before", `a change has no key "before"`, "known here are: constant"},
		"twice in one":    {`3.5, unit = "mH" },`, `3.5, unit = "mH" }, { constant = "motor.armature-inductance", was = 3, is = 3.1, unit = "mH" },`, `constant = "motor.armature-inductance", was = 3, `, "twice", "once"},
		"not above":       {"[new-weight.fr]", "[old-weight.fr]", "old-weight.fr", `"old-weight" is not above`, "[old-weight] first"},
		"no French":       {"why = \"Elle a été pesée.\"\n", "", "new-weight.fr", `the entry "new-weight" in "fr" has no why`, "why ="},
		"label":           {"[first-guess]", "[First]", "First", "cannot be a label", "small letters"},
		"syntax":          {"date = 2026-05-12", "date = = 1", "= 1", "this is not TOML", "[LABEL]"},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, someHistory, func(b []byte) []diag.Message {
				_, messages := card.ReadHistory("history.toml", b)
				return messages
			})
		})
	}
}

// Each case changes the history; the finding stands at mark in it.
func TestHistoryAgainstCards(t *testing.T) {
	s := sheet(t, source(t))
	for name, c := range map[string]change{
		"unknown card":     {"card = \"governed-motor\"\nby = \"the drum", "card = \"governed-moter\"\nby = \"the drum", "first-guess", `the card "governed-moter", which there is not`, `did you mean "governed-motor"?`},
		"unknown constant": {"motor.armature-inductance", "motor.armature-inductence", `constant = "motor.armature-ind`, `no constant "motor.armature-inductence"`, `did you mean "motor.armature-inductance"?`},
		"unknown part":     {"motor.armature-inductance", "steam.pressure", `constant = "steam`, `no constant "steam.pressure"`, "PART.KEY"},
		"wrong unit":       {`3.5, unit = "mH"`, `3.5, unit = "ohm"`, `constant = "motor.`, `"ohm" is no unit`, "H or mH"},
		"no change":        {"was = 3.1", "was = 3.5", `constant = "motor.`, "is what it was", "leave it out"},
		"not finite":       {"was = 3.1", "was = inf", `constant = "motor.`, "was +Inf and is 3.5", "finite"},
		"broken chain":     {"is = 13.5", "is = 14", `constant = "governor.weight", was = 20`, `weight of the governor is 14 g here, but was 0.0135 kg before the entry "new-weight" of 2026-11-20`, "missing between"},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, someHistory, func(b []byte) []diag.Message {
				h, messages := card.ReadHistory("history.toml", b)
				if len(messages) > 0 {
					t.Fatal(messages)
				}
				return h.Against([]card.Sheet{s})
			})
		})
	}
}

// A card that moves on without an entry is reported where its value stands,
// with the entry to write.
func TestCardChangedWithoutAnEntry(t *testing.T) {
	h, _ := card.ReadHistory("history.toml", []byte(someHistory))
	text := strings.Replace(source(t), `weight = { value = 12, unit = "g"`, `weight = { value = 11.7, unit = "g"`, 1)
	s := sheet(t, text)
	messages := h.Against([]card.Sheet{s})
	line, _ := diag.Place([]byte(text), strings.Index(text, "11.7"))
	if len(messages) != 1 || messages[0].File != "some.toml" || messages[0].Line != line || messages[0].Level != diag.Warning ||
		!strings.Contains(messages[0].Text, "weight of the governor is 11.7 g, but its newest entry in the history, of 2026-11-20, says 0.012 kg") ||
		!strings.Contains(messages[0].Hint, `changed = [ { constant = "governor.weight", was = 12, is = 11.7, unit = "g" } ]`) {
		t.Fatalf("%v", messages)
	}
	behind := 0
	for _, e := range s.Constants() {
		if h.Behind(s, e) {
			behind++
		}
	}
	if behind != 1 {
		t.Errorf("%d constants are behind", behind)
	}

	// With the entry of the hint, all is well again.
	hint := strings.NewReplacer("LABEL", "lighter", `by = "..."`, `by = "a volunteer"`, `why = "..."`, `why = "It was filed."`).Replace(messages[0].Hint[strings.Index(messages[0].Hint, "["):])
	h, messages = card.ReadHistory("history.toml", []byte(hint+"\n"+someHistory))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if messages := h.Against([]card.Sheet{s}); len(messages) > 0 {
		t.Errorf("after the entry: %v", messages)
	}

	late, _ := card.ReadHistory("history.toml", []byte(strings.Replace(someHistory, "2026-11-20", "2026-12-01", 1)))
	messages = late.Against([]card.Sheet{sheet(t, source(t))})
	if len(messages) != 1 || messages[0].Level != diag.Warning || !strings.Contains(messages[0].Hint, "revised = 2026-12-01") || messages[0].Line < 2 {
		t.Errorf("a card dated before its newest change: %v", messages)
	}
}

// The demonstration's history fits its cards, and both have words in French.
func TestDemonstrationHistory(t *testing.T) {
	dir := filepath.Join("..", "..", "lessons")
	b, err := os.ReadFile(filepath.Join(dir, "history.toml"))
	if err != nil {
		t.Fatal(err)
	}
	h, messages := card.ReadHistory("history.toml", b)
	var sheets []card.Sheet
	files, err := filepath.Glob(filepath.Join(dir, "cards", "*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no cards found", err)
	}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, more := card.ReadSheet(file, b)
		messages = append(append(messages, more...), s.Lacks([]string{"fr"})...)
		sheets = append(sheets, s)
	}
	messages = append(append(messages, h.Against(sheets)...), h.Lacks([]string{"fr"})...)
	for _, m := range messages {
		t.Error(m)
	}
	if len(h.List) == 0 {
		t.Error("the history is empty")
	}
}

func FuzzReadHistory(f *testing.F) {
	f.Add([]byte(someHistory))
	for _, s := range []string{"", "[a]", "[a.b]", "[a.b.c]", "[a.fr]\n[a]", "a = 1", "[a]\nchanged = [[1]]", "[a]\nchanged = [{}]", "[a]\ndate = 1", "\xff"} {
		f.Add([]byte(s))
	}
	s := sheet(f, source(f))
	f.Fuzz(func(t *testing.T, b []byte) {
		h, messages := card.ReadHistory("x.toml", b)
		complete(t, messages)
		if diag.HasError(messages) {
			return
		}
		seen := map[string]bool{}
		for i, x := range h.List {
			if x.Label == "" || seen[x.Label] || x.Why == "" || x.By == "" || len(x.Changed) == 0 || i > 0 && x.Date > h.List[i-1].Date {
				t.Errorf("accepted %+v", x)
			}
			seen[x.Label] = true
		}
		messages = h.Against([]card.Sheet{s})
		complete(t, messages)
		if diag.HasError(messages) {
			return
		}
		// What neither check reports is a chain that ends at the card.
		reported := map[int]bool{}
		for _, m := range messages {
			if m.Rule == "history-missing" {
				reported[m.Line] = true
			}
		}
		for _, e := range s.Constants() {
			line, _ := s.Place(e.Part, e.Key)
			if change, had := h.Newest(s.Name, e); had && h.Behind(s, e) != reported[line] {
				t.Errorf("%+v against %+v: reported %v", change, e.Given, reported[line])
			}
		}
		h.Lacks([]string{"fr"})
	})
}
