package words

import (
	"html/template"
	"strings"
	"testing"

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
			if _, in, _ := w.language.Text(key); in.Tag != tag {
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
			for doc := range docs {
				if w.Constant(doc) != doc {
					t.Errorf("English says %q in other words", doc)
				}
			}
			continue
		}
		for doc := range docs {
			if w.Constant(doc) == doc {
				t.Errorf("%s: %q is not translated", tag, doc)
			}
		}
		for _, doc := range w.language.Said() {
			if !docs[doc] {
				t.Errorf("%s: nothing says %q", tag, doc)
			}
		}
	}
}

func TestDate(t *testing.T) {
	for _, c := range []struct{ tag, date, want string }{
		{"en", "2026-11-25", "25 November 2026"},
		{"fr", "2026-11-25", "25 novembre 2026"},
		{"de", "2026-11-25", "25. November 2026"}, {"de", "2026-08-01", "1. August 2026"},
		{"es", "2026-11-25", "25 de noviembre de 2026"}, {"es", "2026-08-01", "1 de agosto de 2026"},
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

// Languages that there are not.
func TestNoLanguage(t *testing.T) {
	for _, tag := range []string{"tlh", "", "../en"} {
		if _, err := In(tag); err == nil {
			t.Errorf("there are texts in %q", tag)
		}
	}
}

// What another language is called (Unicode CLDR, as golang.org/x/text has it).
func TestOnly(t *testing.T) {
	for tag, want := range map[string][2]string{
		"en": {"In French only", "In German only"}, "fr": {"En français seulement", "En allemand seulement"}, "de": {"Nur auf Französisch", "Nur auf Deutsch"}, "es": {"Solo en francés", "Solo en alemán"},
	} {
		w := in(t, tag)
		if got := [2]string{w.Only("fr"), w.Only("de")}; got != want {
			t.Errorf("%s says %q, want %q", tag, got, want)
		}
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
