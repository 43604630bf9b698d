package language

import (
	"strings"
	"testing"

	"slipring/engine/diag"
)

// What the file of a language may not hold: one message each, with its place and a next
// step.
func TestRead(t *testing.T) {
	const head = "[language]\nname = \"Español\"\n"
	for _, c := range []struct{ source, want, hint string }{
		{"[site]\nskip = \"\"", `es.toml:4:1: site.skip: a text is a string without blanks around it, and not empty`, "between quotes"},
		{"[site]\nskip = \" x\"", `es.toml:4:1: site.skip: a text is a string without blanks around it, and not empty`, "between quotes"},
		{"[site]\nskip = 1", `es.toml:4:1: site.skip: a text is a string without blanks around it, and not empty`, "between quotes"},
		{"[site]\nskipp = \"x\"", `es.toml:4:1: no page has a text site.skipp`, "did you mean site.skip?"},
		{"[nowhere]\nanything = \"x\"", `es.toml:4:1: no page has a text nowhere.anything`, "take it out"},
		{"[Site]\nskip = \"x\"", `es.toml:3:2: "Site" cannot be a section`, "small letters"},
		{"[site]\nonly = \"Solo\"", `es.toml:4:1: site.only: {language} is missing`, `in English it reads "In {language} only"`},
		{"[site]\nskip = \"Al {texto}\"", `es.toml:4:1: site.skip: nothing fills {texto}`, `in English it reads "Skip to the text"`},
		{"[site]\nskip = \"Al <b>texto</b>\"", `es.toml:4:1: site.skip: nothing fills <b>`, "in English"},
		{"[site]\nskip = \"Al {texto\"", `es.toml:4:1: site.skip: "Al {texto" has a brace or an angle bracket that belongs to no {place} or <mark>`, "as the English"},
		{"[start]\ndoubt = \"El <logbook>diario\"", `es.toml:4:1: start.doubt: the mark <logbook> of "El <logbook>diario" is never closed`, "as the English"},
		{"[course]\nminutes = { one = \"{n} minuto\", two = \"x\", other = \"{n} minutos\" }", `es.toml:4:33: course.minutes: there is no plural form "two" in "es"`, "one, other"},
		{"[course]\nminutes = { few = \"x\", one = \"{n} minuto\", other = \"{n} minutos\" }", `es.toml:4:13: course.minutes: there is no plural form "few" in "es"`, "one, other"},
		{"[course]\nminutes = { other = \"{n} minutos\" }", `es.toml:4:1: course.minutes: the plural form "one" is missing`, "one, other"},
		{"[course]\nminutes = \"{n} minutos\"", `es.toml:4:1: course.minutes: counts and forms do not fit each other`, `{ one = "...", other = "..." }`},
		{"[site]\nskip = { one = \"x\", other = \"y\" }", `es.toml:4:1: site.skip: counts and forms do not fit each other`, "write one text"},
		{"[date]\nmonths = [\"enero\"]", `es.toml:4:1: date.months does not list twelve months`, "January first"},
		{"[constants]\n\"current\" = \"\"", `es.toml:4:1: "current" has no translation`, "between quotes"},
		{"[language.numbers]\ndecimal = 1", `es.toml:4:1: language.numbers.decimal is not a text in quotes`, "come with the program"},
		{"[language.numbers]\ndecimals = \",\"", `es.toml:4:1: unknown key "decimals" in language.numbers`, "did you mean decimal?"},
		{"[language.numbers]\ndecimal = \",\"\ngroups = \",\"", `es.toml:4:1: "," cannot be the decimal sign`, "another one"},
		{"[language.number]\ndecimal = \",\"", `es.toml:3:2: unknown key "number" in language`, "did you mean numbers?"},
		{"[language.units]\nwords = [\n  { of = \"A\", one = \"amperio\", other = \"amperios\" },\n  { of = \"vara\", words = [\"vara\"] },\n]", `es.toml:6:5: there is no unit "vara"`, "by its sign"},
		{"[language.units]\nwords = [ { of = \"A\", one = \"amperio\" } ]", `es.toml:4:13: the unit "A" lacks the form other`, "most numbers"},
		{"[language.asking]\nguess = '('", `es.toml:4:1: language.asking.guess is no regular expression: error parsing regexp: missing closing ): ` + "`(`", "RE2"},
		{"[language.reading]\nsyllables = \"vowels\"\nvowels = \"aeiou\"", `es.toml:3:2: the reading rule has no limit, or two`, "least = 60"},
		{"[language.reading]\nsyllables = \"spanish\"\nleast = 60", `es.toml:4:1: syllables cannot be counted by "spanish"`, "vowels"},
		{"[site]\nskip = \"x\"\nskip = \"y\"", "es.toml:5:1: ", ""},
		{"[site]\nskip = \"x", "es.toml:4:", ""},
	} {
		_, messages := read("es.toml", "es", []byte(head+c.source), Of("en"))
		if len(messages) != 1 || !strings.HasPrefix(messages[0].At()+": "+messages[0].Text, c.want) || !strings.Contains(messages[0].Hint, c.hint) {
			t.Errorf("%q gives %v, want %s (%s)", c.source, messages, c.want, c.hint)
		}
	}
	for tag, want := range map[string]string{"es": "", "x y": "no short form of a language", "zzzzzzzzz": "no short form"} {
		_, messages := read("es.toml", tag, []byte(head), Of("en"))
		if diag.HasError(messages) != (want != "") || want != "" && !strings.Contains(messages[0].Text, want) {
			t.Errorf("%q gives %v", tag, messages)
		}
	}
	if _, messages := read("es.toml", "es", nil, Of("en")); len(messages) != 1 || !strings.Contains(messages[0].Text, "how the language is called") {
		t.Errorf("an empty file gives %v", messages)
	}
}

// A file may say that nobody asks how hard a text is; what it does not say of words is
// not looked at, and what it does not say of numbers is as in its base.
func TestReadLittle(t *testing.T) {
	l, messages := read("es.toml", "es", []byte("[language]\nname = \"Español\"\n[language.reading]\nnone = true\n[site]\nskip = \"Ir al texto\"\n"), Of("fr"))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if text, _ := l.Hard(400, 1, 2000); text != "" {
		t.Error(text)
	}
	if at := l.Comparisons("Plus vite que le vent"); at != nil || l.Guess.MatchString("devinez") || l.Dead.Missing("absence de tension") != nil || l.Dead.Said("x") != "" {
		t.Error("words of another language are looked for")
	}
	if got := l.Number(-0.5, 1); got != "\u22120,5" {
		t.Errorf("a number is %s", got)
	}
	if l.Syllables("palabra") != 1 || l.Syllables("20") != 0 {
		t.Error("words are not counted")
	}
	for key, want := range map[string]string{"site.skip": "Ir al texto", "site.nav": "Site", "site.course": "Cours"} {
		if text, _, ok := l.Text(key); !ok || text.String() != want {
			t.Errorf("%s is %q, want %q", key, text, want)
		}
	}
	if l.Month(1) != "janvier" || l.Sentence("current") != "courant" {
		t.Errorf("%s, %s", l.Month(1), l.Sentence("current"))
	}
	text, in, _ := l.Text("course.minutes")
	if in.Tag != "fr" || !text.Counted() {
		t.Errorf("course.minutes is in %s", in.Tag)
	}
}

// A language without plurals may count all the same.
func TestOnePlural(t *testing.T) {
	l, messages := read("ja.toml", "ja", []byte("[language]\nname = \"日本語\"\n[course]\nminutes = \"{n} 分\"\n[finder]\nfound = \"原因:\"\n"), Of("en"))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if text, in, _ := l.Text("finder.found"); in != l || !text.Count || text.Counted() {
		t.Errorf("%+v", text)
	}
}
