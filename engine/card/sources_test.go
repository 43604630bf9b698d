package card_test

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

const someSources = `# What lessons cite.
[miller]
kind = "book"
title = "American Telephone Practice"
author = "K. B. Miller"
year = 1904
section = "Fig. 336, pp. 456-457"
supports = "how fast governed motors of such sets ran"

[lockout]
kind = "regulation"
title = "29 CFR 1910.147, The control of hazardous energy"
publisher = "U.S. Occupational Safety and Health Administration"
supports = "isolating before work"
note = "seen in the edition of 2002"

[dirty-contacts]
kind = "common practice"
supports = "cleaning a contact with paper"

[dirty-contacts.fr]
supports = "le nettoyage d’un contact au papier"
`

func TestReadSources(t *testing.T) {
	s, messages := card.ReadSources("sources.toml", []byte(someSources))
	if len(messages) > 0 || len(s.List) != 3 || s.File != "sources.toml" {
		t.Fatalf("%+v %v", s, messages)
	}
	miller, ok := s.Find("miller")
	want := card.Source{Label: "miller", Kind: "book", Title: "American Telephone Practice", Author: "K. B. Miller", Year: 1904,
		Section: "Fig. 336, pp. 456-457", Supports: "how fast governed motors of such sets ran", Line: 2, Column: 2}
	if !ok || !reflect.DeepEqual(miller, want) {
		t.Errorf("got %+v", miller)
	}
	for label, want := range map[string]string{
		"miller":         "K. B. Miller: American Telephone Practice. 1904, Fig. 336, pp. 456-457",
		"lockout":        "29 CFR 1910.147, The control of hazardous energy. U.S. Occupational Safety and Health Administration",
		"dirty-contacts": "common practice, no source",
	} {
		x, _ := s.Find(label)
		if got := x.Reference(); got != want {
			t.Errorf("%s reads %q, want %q", label, got, want)
		}
	}
	dirty, _ := s.Find("dirty-contacts")
	if said, ok := dirty.Say("fr"); !ok || said != "le nettoyage d’un contact au papier" {
		t.Errorf("in French: %q %v", said, ok)
	}
	if said, ok := miller.Say("fr"); ok || said != miller.Supports {
		t.Errorf("without words in French: %q %v", said, ok)
	}
	lacks := s.Lacks([]string{"fr"})
	if len(lacks) != 2 || lacks[1].Line != 10 || lacks[1].Column != 2 || lacks[1].Level != diag.Warning || !strings.Contains(lacks[1].Hint, "[lockout.fr]") {
		t.Errorf("what has no words in French: %v", lacks)
	}
	short := card.Source{Kind: "book", Title: "Electric Machinery, 6th ed.", Publisher: "A Press"}
	if got := short.Reference(); got != "Electric Machinery, 6th ed. A Press" {
		t.Errorf("a title that ends in a full stop reads %q", got)
	}
	if _, ok := s.Find("nobody"); ok {
		t.Error("found a source that is not there")
	}
	if s, messages := card.ReadSources("sources.toml", nil); len(s.List) != 0 || len(messages) != 0 {
		t.Errorf("an empty file gives %+v %v", s, messages)
	}
}

// A case changes a good file in one place; the finding stands at mark.
type change struct{ old, new, mark, text, hint string }

func (c change) check(t *testing.T, good string, read func([]byte) []diag.Message) {
	t.Helper()
	if strings.Count(good, c.old) == 0 {
		t.Fatalf("%q is not in the file", c.old)
	}
	changed := strings.Replace(good, c.old, c.new, 1)
	line, column := diag.Place([]byte(changed), strings.Index(changed, c.mark))
	messages := read([]byte(changed))
	for _, m := range messages {
		if m.Rule == "" || m.Hint == "" || m.File == "" {
			t.Errorf("incomplete message %+v", m)
		}
	}
	if len(messages) != 1 || !strings.Contains(messages[0].Text, c.text) || !strings.Contains(messages[0].Hint, c.hint) ||
		messages[0].Line != line || messages[0].Column != column {
		t.Errorf("want %q (%q) at %d:%d, got %v", c.text, c.hint, line, column, messages)
	}
}

func TestReadSourcesRefuses(t *testing.T) {
	for name, c := range map[string]change{
		"unknown key":     {"author = ", "auther = ", "auther", `the source "miller" has no key "auther"`, `did you mean "author"?`},
		"unknown kind":    {`"book"`, `"bok"`, `"bok"`, `no kind of source "bok"`, `did you mean "book"?`},
		"other kind":      {`"book"`, `"hearsay"`, `"hearsay"`, `no kind of source "hearsay"`, "common practice"},
		"no kind":         {"kind = \"book\"\n", "", "miller]", `"miller" has no kind`, `kind = "..."`},
		"no title":        {"title = \"American Telephone Practice\"\n", "", "miller]", `"miller" has no title`, `title = "..."`},
		"no use":          {"supports = \"isolating before work\"\n", "", "lockout]", `"lockout" has no supports`, `supports = "..."`},
		"nobody":          {"publisher = \"U.S. Occupational Safety and Health Administration\"\n", "", "lockout]", "neither an author nor a publisher", "publisher"},
		"year in words":   {"year = 1904", `year = "1904"`, `"1904"`, "year is text in quotes, where a number belongs", "year = 1.5"},
		"broken year":     {"year = 1904", "year = 1904.5", "1904.5", "year is no whole number", "1904"},
		"no year":         {"year = 1904", "year = 4", "4\nsection", "year is 4", "1904"},
		"empty":           {`"K. B. Miller"`, `" "`, `" "`, "author is empty", "take the key out"},
		"label":           {"[lockout]", "[Lockout]", "Lockout", `"Lockout" cannot be a label`, "small letters"},
		"dots":            {"[lockout]", "[miller.fr.old]\n[lockout]", "miller.fr.old", `"miller.fr.old" is not the name of one entry`, "[LABEL]"},
		"no language":     {"[lockout]", "[miller.French]\n[lockout]", "miller.French", `"French" is no language`, "such as fr"},
		"title in French": {"[lockout]", "[miller.fr]\ntitle = \"a\"\nsupports = \"b\"\n[lockout]", "title = \"a\"", `the source "miller" in "fr" has no key "title"`, "known here are: supports"},
		"nothing French":  {"[lockout]", "[miller.fr]\n[lockout]", "miller.fr", `the source "miller" in "fr" has no supports`, "supports ="},
		"not above":       {"[lockout]", "[lockout.fr]\nsupports = \"b\"\n[lockout]", "lockout.fr", `"lockout" is not above this translation`, "[lockout] first"},
		"twice":           {"[lockout]", "[miller]", "miller]\nkind = \"regulation\"", "stands twice", "join"},
		"above":           {"[miller]", "year = 1904\n[miller]", "year", "above the first heading", "label in brackets"},
		"titled practice": {"kind = \"common practice\"\n", "kind = \"common practice\"\ntitle = \"A\"\n", "title = \"A\"", `common practice, which has no title`, "take the key out"},
		"syntax":          {`"K. B. Miller"`, `K. B.`, "K. B.", "this is not TOML", "[LABEL]"},
		"dotted key":      {"author = ", "author.name = ", "author.name", "has a dot in it", "entry"},
		"key twice":       {"author = ", "title = ", "title = \"K. B", "stands twice", "remove one"},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, someSources, func(b []byte) []diag.Message {
				_, messages := card.ReadSources("sources.toml", b)
				return messages
			})
		})
	}
}

func FuzzReadSources(f *testing.F) {
	f.Add([]byte(someSources))
	for _, s := range []string{"", "[a]", "[a.b]", "a = 1", "[a]\nyear = 1e300", "[a]\nkind = [\"book\"]", "[a]\nsee = [1]", "\xff"} {
		f.Add([]byte(s))
	}
	if b, err := os.ReadFile(filepath.Join("..", "..", "lessons", "sources.toml")); err == nil {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		s, messages := card.ReadSources("x.toml", b)
		complete(t, messages)
		if diag.HasError(messages) {
			return
		}
		seen := map[string]bool{}
		for _, x := range s.List {
			if x.Label == "" || seen[x.Label] || x.Kind == "" || x.Supports == "" || x.Line < 1 || x.Column < 1 || x.Reference() == "" ||
				x.Kind != card.CommonPractice && x.Title == "" {
				t.Errorf("accepted %+v", x)
			}
			seen[x.Label] = true
		}
	})
}

func complete(t *testing.T, messages []diag.Message) {
	t.Helper()
	for _, m := range messages {
		if m.Line < 1 || m.Column < 1 || m.Text == "" || m.Hint == "" || m.Rule == "" || m.File == "" {
			t.Errorf("incomplete message %+v", m)
		}
	}
}

// Some editors begin a UTF-8 file with a byte order mark, which the Unicode
// standard (section 23.8) allows and TOML does not mention.
func TestByteOrderMark(t *testing.T) {
	s, messages := card.ReadSources("sources.toml", []byte("\ufeff"+someSources))
	if len(messages) > 0 || len(s.List) != 3 || s.List[0].Line != 2 || s.List[0].Column != 2 {
		t.Errorf("%+v\n%v", s, messages)
	}
	_, messages = card.ReadSources("sources.toml", []byte("\ufeff[miller]\nkind = “book”\n"))
	if len(messages) != 1 || messages[0].Line != 2 || messages[0].Column != 8 || !strings.Contains(messages[0].Text, "curly quotation mark") {
		t.Error(messages)
	}
}
