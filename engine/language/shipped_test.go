package language

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	textlanguage "golang.org/x/text/language"
)

// Each file that comes with the program is sound, and lacks nothing that the English one has:
// texts, months, and what the engine says where another language says it.
func TestShipped(t *testing.T) {
	english := Of("en")
	if len(english.texts) < 500 {
		t.Fatalf("only %d texts were read", len(english.texts))
	}
	said := map[string]bool{}
	for _, tag := range Tags() {
		for s := range Of(tag).sentences {
			said[s] = true
		}
	}
	for _, tag := range Tags() {
		source, err := files.ReadFile("languages/" + tag + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		var base *Language
		if tag != "en" {
			base = english
		}
		l, messages := read(tag+".toml", tag, source, base)
		for _, m := range messages {
			t.Error(m)
		}
		if base == nil {
			continue
		}
		for _, m := range l.lacking(tag + ".toml") {
			t.Error(m)
		}
		for s := range said {
			if _, ok := l.sentences[s]; !ok {
				t.Errorf("%s does not say %q", tag, s)
			}
		}
		for _, text := range l.all() {
			if problem := l.signs.wrong(text); problem != "" {
				t.Errorf("%s: %s in %q", tag, problem, text)
			}
		}
	}
}

// all gives all that a language says, each form of each text.
func (l *Language) all() (texts []string) {
	for _, t := range l.texts {
		for _, parts := range t.Forms {
			var b strings.Builder
			for _, p := range parts {
				b.WriteString(p.Words)
				if p.Kind == Place {
					b.WriteString("x")
				}
			}
			texts = append(texts, b.String())
		}
	}
	for _, s := range l.sentences {
		texts = append(texts, s)
	}
	return texts
}

// wrong says what is wrong with the quotation marks of a text, and with the
// spaces before its signs.
func (s signs) wrong(text string) string {
	if len(s.quotes) == 0 {
		return ""
	}
	if strings.ContainsAny(text, `'"`) {
		return "a typewriter's quotation mark"
	}
	if strings.Count(text, s.quotes[0]) != strings.Count(text, s.quotes[1]) {
		return "a quotation mark too few"
	}
	for _, quote := range s.quotes {
		if mark := strings.TrimFunc(quote, unicode.IsSpace); strings.Count(text, mark) != strings.Count(text, quote) {
			return "no space within quotation marks"
		}
	}
	for i, r := range text {
		spaces, ok := s.before[string(r)]
		if ok && !slices.ContainsFunc([]rune(spaces), func(space rune) bool { return strings.HasSuffix(text[:i], string(space)) }) {
			return "no space before " + string(r)
		}
	}
	return ""
}

// What a test of signs finds.
func TestSigns(t *testing.T) {
	fr, de, es := Of("fr").signs, Of("de").signs, Of("es").signs
	for _, c := range []struct {
		signs signs
		text  string
		wrong bool
	}{
		{fr, "«\u00a0oui\u00a0»\u202f!", false}, {fr, "« oui »", true}, {fr, "oui!", true}, {fr, "oui :", true}, {fr, "l'arbre", true},
		{de, "„ja“: 5\u202f%", false}, {de, "„ja”", true}, {de, "5 %", true}, {de, "geht's", true},
		{es, "«sí»: 5\u202f%", false}, {es, "«sí: 5\u202f%", true}, {es, "5 %", true}, {es, `"sí"`, true},
	} {
		if got := c.signs.wrong(c.text); (got != "") != c.wrong {
			t.Errorf("%q: %q", c.text, got)
		}
	}
}

// Plural categories, against the Unicode CLDR 32, which golang.org/x/text has. Later
// ones have "many" in French and Spanish for millions, which no page counts.
func TestForms(t *testing.T) {
	for tag, want := range map[string][2]string{"en": {"one other", "one other"}, "de": {"one other", "one other"}, "fr": {"one other", "one other"}, "es": {"one other", "one other"}, "cs": {"one few other", "one few many other"}, "pl": {"one few many other", "one few many other"}} {
		counted, all := forms(textlanguage.MustParse(tag))
		if got := [2]string{strings.Join(counted, " "), strings.Join(all, " ")}; got != want {
			t.Errorf("%s has %q, want %q", tag, got, want)
		}
	}
}
