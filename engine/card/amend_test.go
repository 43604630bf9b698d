package card_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/machine"
)

// governor gives the part of a card that these tests fit, with spaces and
// comments as people write them.
const governor = `radius = {value=12.4,unit="mm",   from='drawing'}  # as drawn
contact-speed = { note = "a note", from = "measured", date = 2026-05-12, unit = "Hz", value = 16.0, uncertainty = 0.1 } # by ear`

func loose(t *testing.T) string {
	t.Helper()
	var out []string
	for line := range strings.Lines(source(t)) {
		switch key, _, _ := strings.Cut(strings.TrimSpace(line), " "); key {
		case "radius":
			line = strings.Split(governor, "\n")[0] + "\n"
		case "contact-speed":
			line = strings.Split(governor, "\n")[1] + "\n"
		}
		out = append(out, line)
	}
	return strings.Join(out, "")
}

var someFit = []card.Fitted{{"governor.radius", 12.369, 0.0271}, {"governor.contact-speed", 16.05, 0.05}}

func someTogether() machine.Together {
	return machine.Together{Constants: []string{"governor.radius", "governor.contact-speed"}, Correlation: [][]float64{{1, -0.93}, {-0.93, 1}}}
}

// What was fitted is written into the card, and every other byte stays.
func TestAmend(t *testing.T) {
	for name, form := range map[string]func(string) string{
		"lines of Unix":      func(s string) string { return s },
		"lines of Windows":   func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"a byte order mark":  func(s string) string { return "\ufeff" + s },
		"no line at the end": func(s string) string { return strings.TrimRight(s, "\n") },
	} {
		t.Run(name, func(t *testing.T) {
			before := form(loose(t))
			got := string(sheet(t, before).Amend(someFit, someTogether(), "2026-12-01"))
			end := "\n"
			if strings.Contains(before, "\r\n") {
				end = "\r\n"
			}
			gap := end
			if !strings.HasSuffix(before, "\n") {
				gap += end
			}
			revised := sheet(t, before).Revised
			want := strings.NewReplacer(
				"revised = "+revised, "revised = 2026-12-01",
				`{value=12.4,unit="mm",   from='drawing'}`, `{value=12.369, uncertainty = 0.0271,unit="mm",   from="fitted", date = 2026-12-01}`,
				`note = "a note", from = "measured", date = 2026-05-12, unit = "Hz", value = 16.0, uncertainty = 0.1`, `from = "fitted", date = 2026-12-01, unit = "Hz", value = 16.05, uncertainty = 0.05`,
			).Replace(before) + gap + strings.Join([]string{"[fitted]", `constants = ["governor.radius", "governor.contact-speed"]`, "correlation = [", "  [1, -0.93],", "  [-0.93, 1],", "]", ""}, end)
			if got != want {
				t.Fatalf("got\n%s\nwant\n%s", got, want)
			}
			s := sheet(t, got)
			c, _ := s.Constant("governor.radius")
			if c.Value != 12.369 || c.Uncertainty != 0.0271 || c.Origin != machine.Fitted || c.Date != "2026-12-01" || s.Together.Of("governor.contact-speed", c.Name()) != -0.93 || s.Together.Of(c.Name(), "governor.weight") != 0 {
				t.Errorf("%+v %+v", c, s.Together)
			}

			// A second fit writes into what the first one left.
			again := string(s.Amend(someFit, someTogether(), "2026-12-01"))
			if again != got {
				t.Errorf("a second time it is\n%s", again)
			}
			alone := string(s.Amend(someFit, machine.Together{}, "2026-12-01"))
			if strings.Contains(alone, "correlation") || sheet(t, alone).Together.Constants != nil || !strings.HasPrefix(got, strings.TrimRight(alone, "\r\n")) {
				t.Errorf("without correlations it is\n%s", alone)
			}
		})
	}
}

// A note is about the value that was: it goes with it, also in other languages, wherever
// it stands in its table; notes of other constants stay.
func TestAmendTakesNotes(t *testing.T) {
	const translated = "\n[governor.fr]\nradius = \"un rayon\"\nweight = \"un poids\"\ncontact-speed = \"une vitesse\" # de l’oreille\n"
	for _, radius := range []string{
		`{ value = 12.4, unit = "mm", note = "a radius", from = "drawing" }`, `{ note = "a radius", value = 12.4, unit = "mm", from = "drawing" }`,
		`{ value = 12.4, note = "a radius", unit = "mm", from = "drawing" }`, `{ value = 12.4, unit = "mm", from = "drawing", note = "a radius" }`,
	} {
		text := strings.Replace(loose(t), `{value=12.4,unit="mm",   from='drawing'}`, radius, 1)
		i := strings.Index(text, "weight = {")
		text = text[:i] + strings.Replace(text[i:], "}", `, note = "a weight" }`, 1) + translated
		before := sheet(t, text)
		r, _ := before.Constant("governor.radius")
		if in := before.NotesIn(r); r.Note != "a radius" || !reflect.DeepEqual(in, map[string]string{"fr": "un rayon"}) {
			t.Fatalf("the card that is amended has the notes %q and %v", r.Note, in)
		}
		got := string(before.Amend(someFit, someTogether(), "2026-12-01"))
		after := sheet(t, got)
		for name, want := range map[string]string{"governor.radius": "", "governor.contact-speed": "", "governor.weight": "a weight"} {
			c, _ := after.Constant(name)
			if c.Note != want || len(after.NotesIn(c)) != min(len(want), 1) {
				t.Errorf("%s: the note on %s is %q, and %v", radius, name, c.Note, after.NotesIn(c))
			}
		}
		if strings.Contains(got, "un rayon") || strings.Contains(got, "oreille") || !strings.Contains(got, "[governor.fr]\nweight = \"un poids\"\n") {
			t.Errorf("the card is\n%s", got)
		}
	}
}

// Each case changes what -amend wrote.
func TestFittedRefuses(t *testing.T) {
	text := string(sheet(t, loose(t)).Amend(someFit, someTogether(), "2026-12-01"))
	for name, c := range map[string]change{
		"unknown constant": {`["governor.radius"`, `["governor.radios"`, `"governor.radios"`, `no constant "governor.radios"`, `did you mean "governor.radius"?`},
		"twice":            {`"governor.contact-speed"]`, `"governor.radius"]`, `"governor.radius"]`, "named twice", "once"},
		"no uncertainty":   {`"governor.contact-speed"]`, `"governor.damping"]`, `"governor.damping"]`, "governor.damping has no uncertainty", "uncertainty ="},
		"not symmetric":    {"[-0.93, 1]", "[-0.92, 1]", "-0.92, 1]", "another correlation with governor.radius", "[1, 0.2]"},
		"not with itself":  {"[-0.93, 1]", "[-0.93, 0.9]", "0.9],", "the correlation of governor.contact-speed with itself is 1", "[1, 0.2]"},
		"too large":        {"[1, -0.93]", "[1, -1.2]", "-1.2", "from -1 to 1", "[1, 0.2]"},
		"a word":           {"[1, -0.93]", `[1, "none"]`, `"none"`, "from -1 to 1", "[1, 0.2]"},
		"too few rows":     {"  [-0.93, 1],\n", "", "correlation =", "2 constants need 2 rows", "[1, 0.2]"},
		"a short row":      {"[-0.93, 1]", "[-0.93]", "correlation =", "2 constants need 2 rows", "[1, 0.2]"},
		"no rows":          {"correlation = [\n  [1, -0.93],\n  [-0.93, 1],\n]\n", "", "fitted]", "has to say which constants", "correlation ="},
		"no list":          {`["governor.radius", "governor.contact-speed"]`, `"governor.radius"`, `"governor.radius"`, "where a list belongs", "constants ="},
		"not definite":     {"[1, -0.93],\n  [-0.93, 1]", "[1, -1],\n  [-1, 1]", "correlation =", "not positive definite", "fit anew"},
		"unknown key":      {"correlation =", "correlations =", "correlations", `no key "correlations"`, `did you mean "correlation"?`},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, text, func(b []byte) []diag.Message {
				_, messages := card.ReadSheet("some.toml", b)
				return messages
			})
		})
	}
}

var someRevision = card.Revision{
	Label: "fit-of-2026-12-01", Date: "2026-12-01", Card: "governed-motor", By: "the drum keeper", Why: `Six readings of the "long" run.`,
	Changed: []card.Change{{Constant: "governor.weight", Was: 0.012, Is: 0.0118, Unit: "kg", WasUncertainty: 0.0005, IsUncertainty: 0.0001, WasFrom: machine.Measured, IsFrom: machine.Fitted,
		WasNote: `on a "fine" scale`, WasNoteIn: map[string]string{"fr": "sur une balance", "de": "auf der Waage"}}},
}

const addedRevision = `[fit-of-2026-12-01]
date = 2026-12-01
card = "governed-motor"
by = "the drum keeper"
why = "Six readings of the \"long\" run."
changed = [
  { constant = "governor.weight", was = 0.012, is = 0.0118, unit = "kg", was-uncertainty = 0.0005, is-uncertainty = 0.0001, was-from = "measured", is-from = "fitted", was-note = "on a \"fine\" scale", was-note-in = { de = "auf der Waage", fr = "sur une balance" } },
]
`

// An entry is put above all others, below what the file says of itself.
func TestAdd(t *testing.T) {
	body := strings.TrimPrefix(someHistory, "# Newest first.\n")
	for name, c := range map[string]struct{ before, want string }{
		"no file":                 {"", addedRevision},
		"comments alone":          {"# Newest first.\n", "# Newest first.\n\n" + addedRevision},
		"comments, and no end":    {"# Newest first.", "# Newest first.\n\n" + addedRevision},
		"a comment of the entry":  {"# Newest first.\n\n# by hand\n" + body, "# Newest first.\n\n" + addedRevision + "\n# by hand\n" + body},
		"a comment of the file":   {"# Newest first.\n\n" + body, "# Newest first.\n\n" + addedRevision + "\n" + body},
		"nothing above":           {body, addedRevision + "\n" + body},
		"a comment right on top":  {someHistory, "# Newest first.\n" + addedRevision + "\n" + body},
		"lines of Windows":        {strings.ReplaceAll(body, "\n", "\r\n"), strings.ReplaceAll(addedRevision+"\n"+body, "\n", "\r\n")},
		"a byte order mark, body": {"\ufeff" + body, "\ufeff" + addedRevision + "\n" + body},
	} {
		got := string(card.Add([]byte(c.before), someRevision))
		if got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", name, got, c.want)
		}
		h, messages := card.ReadHistory("history.toml", []byte(got))
		if len(messages) > 0 || len(h.List) == 0 {
			t.Fatalf("%s: %v", name, messages)
		}
		x := h.List[0]
		if x.Why != someRevision.Why || x.By != someRevision.By || !slices.EqualFunc(x.Changed, someRevision.Changed, func(a, b card.Change) bool {
			a.Line, a.Column = 0, 0
			return reflect.DeepEqual(a, b)
		}) {
			t.Errorf("%s: read back as %+v", name, x)
		}
	}
}

// What an entry says of doubt and origin is read, and refused where it is none.
func TestHistoryOfDoubts(t *testing.T) {
	text := addedRevision
	for name, c := range map[string]change{
		"no uncertainty": {"is-uncertainty = 0.0001", "is-uncertainty = 0", "0, was-from", "is-uncertainty is 0", "leave it out"},
		"an origin":      {`is-from = "fitted"`, `is-from = "fited"`, `"fited"`, "no origin of a constant", `did you mean "fitted"?`},
		"a note abroad":  {`was-note = "on a \"fine\" scale", `, "", "constant = \"governor.weight\"", "a note in other languages has no was-note", `write was-note = "..." too`},
		"a language":     {`{ de =`, `{ German =`, "German =", `"German" is no language`, "such as fr"},
		"no languages":   {`was-note-in = { de = "auf der Waage", fr = "sur une balance" }`, `was-note-in = "sur une balance"`, `"sur une balance" }`, "was-note-in is text in quotes", "{"},
		"another key":    {`is-from = "fitted"`, `is-form = "fitted"`, `is-form`, `a change has no key "is-form"`, `did you mean "is-from"?`},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, text, func(b []byte) []diag.Message {
				_, messages := card.ReadHistory("history.toml", b)
				return messages
			})
		})
	}
	// A constant may keep its value, and be surer of it.
	same, _ := card.ReadHistory("history.toml", []byte(strings.Replace(text, "is = 0.0118", "is = 0.012", 1)))
	s := sheet(t, strings.Replace(source(t), "revised = "+sheet(t, source(t)).Revised, "revised = 2026-12-01", 1))
	if messages := same.Against([]card.Sheet{s}); len(messages) > 0 {
		t.Error(messages)
	}
}
