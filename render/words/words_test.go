package words

import (
	"html/template"
	"maps"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/feature/plural"

	"slipring/engine/card"
	"slipring/engine/language"
	"slipring/engine/machine"
)

func in(t *testing.T, tag string) *Words {
	t.Helper()
	w, err := In(tag)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// All languages have the same texts, with the same places and marks.
func TestSameInAllLanguages(t *testing.T) {
	en := in(t, "en")
	if len(en.texts) < 50 {
		t.Fatalf("only %d texts were read", len(en.texts))
	}
	for _, tag := range language.Tags() {
		w := in(t, tag)
		if a, b := w.Keys(), en.Keys(); !slices.Equal(a, b) {
			for _, key := range b {
				if _, ok := w.texts[key]; !ok {
					t.Errorf("%s lacks %s", tag, key)
				}
			}
			for _, key := range a {
				if _, ok := en.texts[key]; !ok {
					t.Errorf("%s has %s, which English lacks", tag, key)
				}
			}
		}
		for key, text := range w.texts {
			if a, b := text.names(), en.texts[key].names(); !slices.Equal(a, b) {
				t.Errorf("%s: %s holds %v, in English %v", tag, key, a, b)
			}
			if (len(text.forms) > 1) != (len(en.texts[key].forms) > 1) {
				t.Errorf("%s: %s is counted in one language only", tag, key)
			}
		}
	}
}

// A counted text has the plural forms that its language uses, and no other
// (Unicode CLDR, as golang.org/x/text has it). Only the count may be left out
// of a form.
func TestPluralForms(t *testing.T) {
	for _, tag := range language.Tags() {
		w := in(t, tag)
		used := map[plural.Form]bool{}
		for n := range 2000 {
			used[w.form(n)] = true
		}
		for key, text := range w.texts {
			if len(text.forms) == 1 {
				continue
			}
			if !maps.EqualFunc(text.forms, used, func([]part, bool) bool { return true }) {
				t.Errorf("%s: %s has %d plural forms, the language %d", tag, key, len(text.forms), len(used))
			}
			for form, parts := range text.forms {
				var missing []string
				for _, name := range text.names() {
					if !slices.ContainsFunc(parts, func(p part) bool { return p.label() == name }) && name != "{n}" {
						missing = append(missing, name)
					}
				}
				if len(missing) > 0 {
					t.Errorf("%s: form %d of %s lacks %v", tag, form, key, missing)
				}
			}
		}
	}
}

// What the engine can name has a text.
func TestNamesOfTheEngine(t *testing.T) {
	var keys []string
	for _, s := range card.Signals() {
		keys = append(keys, "notice."+s)
	}
	for _, p := range machine.PartNames() {
		keys = append(keys, "part."+p)
	}
	for _, p := range machine.Origins() {
		keys = append(keys, "origin."+strings.ReplaceAll(string(p), " ", "-"))
	}
	for _, tag := range language.Tags() {
		w := in(t, tag)
		for _, key := range keys {
			if _, ok := w.texts[key]; !ok {
				t.Errorf("%s lacks %s", tag, key)
			}
		}
	}
}

// Every constant that a card can have is explained in every language but
// English, which package machine itself has, and so are its equations, and nothing
// else is.
func TestConstants(t *testing.T) {
	docs := sentences()
	for _, part := range machine.PartNames() {
		list, _ := machine.Describe(part)
		if len(list) == 0 {
			t.Errorf("the part %s has no constants", part)
		}
		for _, d := range list {
			docs[d.Doc] = true
		}
	}
	for _, tag := range language.Tags() {
		w := in(t, tag)
		if tag == "en" {
			if len(w.constants) > 0 {
				t.Error("English has constants of its own")
			}
			continue
		}
		for doc := range docs {
			if w.Constant(doc) == doc {
				t.Errorf("%s: %q is not translated", tag, doc)
			}
		}
		for doc := range w.constants {
			if !docs[doc] {
				t.Errorf("%s: no constant is %q", tag, doc)
			}
		}
	}
}

// Spaces and quotation marks of French, after the usage of the Imprimerie
// nationale (Lexique des règles typographiques - from memory): a no-break space
// before a colon and inside guillemets, a narrow one before ; ! ?
func TestFrenchSigns(t *testing.T) {
	w := in(t, "fr")
	check := func(key, s string) {
		for i, r := range s {
			before := s[:i]
			switch {
			case r == ':' && !strings.HasSuffix(before, "\u00a0"),
				strings.ContainsRune(";!?", r) && !strings.HasSuffix(before, "\u202f"),
				r == '»' && !strings.HasSuffix(before, "\u00a0"),
				r == '%' && !strings.HasSuffix(before, "\u00a0"):
				t.Errorf("%s: no no-break space before %q in %q", key, r, s)
			case r == '\'' || r == '"':
				t.Errorf("%s: %q is typed for a printer's sign in %q", key, r, s)
			case r == '«' && !strings.HasPrefix(s[i+len("«"):], "\u00a0"):
				t.Errorf("%s: no no-break space behind %q in %q", key, r, s)
			}
		}
	}
	for key, text := range w.texts {
		for _, parts := range text.forms {
			var b strings.Builder
			for _, p := range parts {
				b.WriteString(p.value)
			}
			check(key, b.String())
		}
	}
	for doc, s := range w.constants {
		check(doc, s)
	}
}

func TestDate(t *testing.T) {
	for _, c := range []struct{ tag, date, want string }{
		{"en", "2026-11-25", "25 November 2026"},
		{"fr", "2026-11-25", "25 novembre 2026"},
		{"en", "2026-08-01", "1 August 2026"},
		{"fr", "2026-08-01", "1er août 2026"},
		{"fr", "2024-02-29", "29 février 2024"},
		{"fr", "2026-02-29", "2026-02-29"},
		{"en", "", ""},
	} {
		if got := in(t, c.tag).Date(c.date); got != c.want {
			t.Errorf("%s: %s is %q, want %q", c.tag, c.date, got, c.want)
		}
	}
}

func TestNumber(t *testing.T) {
	en, fr := in(t, "en"), in(t, "fr")
	for _, c := range []struct{ got, want string }{
		{en.Number(-19.9468, 2), "\u221219.95"}, {fr.Number(-19.9468, 2), "\u221219,95"},
		{fr.Number(-0.004, 2), "0,00"}, {fr.Number(12345.5, 1), "12345,5"}, {fr.Number(48, 0), "48"},
		{en.Decimal(), "."}, {fr.Decimal(), ","},
		{fr.Localize("-0.25"), "\u22120,25"}, {en.Localize("-1e-07"), "\u22121e\u221207"}, {fr.Localize("48"), "48"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestText(t *testing.T) {
	en, fr := in(t, "en"), in(t, "fr")
	for _, c := range []struct{ got, want string }{
		{en.Text("course.minutes", "n", 1), "1 minute"},
		{en.Text("course.minutes", "n", 0), "0 minutes"},
		{fr.Text("course.minutes", "n", 0), "0 minute"},
		{fr.Text("course.minutes", "n", 1), "1 minute"},
		{fr.Text("course.minutes", "n", 2), "2 minutes"},
		{fr.Text("notice.line", "signal", "Danger", "hazard", "<feu>"), "Danger\u00a0: <feu>"},
		{en.Text("start.doubt"), "Whoever doubts a number finds where it comes from in the logbook."},
		{string(fr.HTML("notice.line", "signal", template.HTML("<b>Danger</b>"), "hazard", "<feu> & \"eau\"")), "<b>Danger</b>\u00a0: &lt;feu&gt; &amp; &#34;eau&#34;"},
		{string(en.HTML("start.doubt", "logbook", Tag("a", "href", `x?a="1"&b`, "download", ""))),
			`Whoever doubts a number finds where it comes from in the <a href="x?a=&#34;1&#34;&amp;b" download>logbook</a>.`},
		{fr.Name(), "français"}, {fr.Language(), "fr"},
	} {
		if c.got != c.want {
			t.Errorf("got  %q\nwant %q", c.got, c.want)
		}
	}
}

func anything(list ...any) []any { return list }

// Mistakes of a program that asks for a text.
func TestMisuse(t *testing.T) {
	w := in(t, "en")
	for _, c := range []struct {
		want string
		call func()
	}{
		{`there is no text "no.such" in "en"`, func() { w.Text("no.such") }},
		{`nothing fills {n} in "course.minutes"`, func() { w.Text("course.minutes") }},
		{`the text "kiosk.back" has no place or mark "n"`, func() { w.Text("kiosk.back", "n", 1) }},
		{`what fills "course.minutes" does not come in pairs`, func() { w.Text("course.minutes", anything("n")...) }},
		{`1 is no name of a place in "course.minutes"`, func() { w.Text("course.minutes", 1, 1) }},
		{`a float64 cannot fill {n} in "course.minutes"`, func() { w.Text("course.minutes", "n", 1.5) }},
		{`nothing marks <logbook> in "start.doubt"`, func() { w.HTML("start.doubt") }},
		{`a string cannot fill "logbook" in "start.doubt"`, func() { w.HTML("start.doubt", "logbook", "x") }},
		{`a words.Mark cannot fill "n" in "course.minutes"`, func() { w.HTML("course.minutes", "n", Tag("b")) }},
	} {
		func() {
			defer func() {
				if got := recover(); got != "words: "+c.want {
					t.Errorf("got  %v\nwant %s", got, c.want)
				}
			}()
			c.call()
		}()
	}
}

// What a file of texts may not hold.
func TestRead(t *testing.T) {
	months := "[date]\nfull = \"{day} {month} {year}\"\nfirst = \"1\"\nmonths = [\"a\",\"b\",\"c\",\"d\",\"e\",\"f\",\"g\",\"h\",\"i\",\"j\",\"k\",\"l\"]\n"
	if _, err := read("en", []byte(months)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ source, want string }{
		{"[a]\nb = \"\"", "a.b: a text is a string without blanks around it, and not empty"},
		{"[a]\nb = \" x\"", "a.b: a text is a string without blanks around it, and not empty"},
		{"[a]\nb = 1", "a.b: a text is a string without blanks around it, and not empty"},
		{"[a]\nB = \"x\"", `"a.B" cannot be a key: write small letters, digits and dashes`},
		{"[a]\nb = \"x {y\"", `a.b: "x {y" has a brace or an angle bracket that belongs to no {place} or <mark>`},
		{"[a]\nb = \"x <y>z\"", `a.b: the mark <y> of "x <y>z" is never closed`},
		{"[a]\nb = \"<x><y>z</x></y>\"", `a.b: the marks of "<x><y>z</x></y>" do not fit each other`},
		{"[a]\nb = { one = \"x\" }", "a.b: a text with plural forms has the form other and at least one more"},
		{"[a]\nb = { other = \"x\" }", "a.b: a text with plural forms has the form other and at least one more"},
		{"[a]\nb = { some = \"x\", other = \"y\" }", `a.b: there is no plural form "some"`},
		{"[constants]\n\"x y\" = \"\"", `constants: "x y" has no translation`},
	} {
		if _, err := read("en", []byte(months+c.source)); err == nil || err.Error() != c.want {
			t.Errorf("%q gives %v, want %s", c.source, err, c.want)
		}
	}
	if _, err := read("en", []byte("[date]\nmonths = [\"a\"]")); err == nil {
		t.Error("a year of one month was read")
	}
	if _, err := In("de"); err == nil {
		t.Error("there are texts in a language that lessons do not have")
	}
}

func TestPart(t *testing.T) {
	w := in(t, "fr")
	for name, want := range map[string]string{"rheostat": "rhéostat", "east-governor": "east governor"} {
		if got := w.Part(name); got != want {
			t.Errorf("%s is called %q, want %q", name, got, want)
		}
	}
}
