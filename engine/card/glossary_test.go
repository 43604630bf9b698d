package card_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

const someTerms = `[hunting]
word = "hunting"
meaning = "A slow swing of the speed, up and down, that does not die away."
see = ["governor"]

[hunting.fr]
word = "pompage"
meaning = "Un balancement lent de la vitesse, qui ne s'éteint pas."

[governor]
word = "governor"
meaning = "What holds a machine at its *speed*."
`

func TestReadGlossary(t *testing.T) {
	g, messages := card.ReadGlossary("glossary.toml", []byte(someTerms))
	if len(messages) > 0 || len(g.List) != 2 {
		t.Fatalf("%+v %v", g, messages)
	}
	h, ok := g.Find("hunting")
	if !ok || h.Word != "hunting" || !slices.Equal(h.See, []string{"governor"}) || h.Line != 1 || h.Column != 2 || h.Wording.Line != 3 || h.Wording.Column != 11 {
		t.Errorf("%+v", h)
	}
	if w := h.Say("fr"); w.Word != "pompage" || !strings.HasPrefix(w.Meaning, "Un balancement") || w.Line != 8 {
		t.Errorf("in French: %+v", w)
	}
	if w := h.Say("de"); w.Word != "hunting" {
		t.Errorf("in a language that it lacks: %+v", w)
	}
	if _, ok := g.Find("nothing"); ok {
		t.Error("found a term that is not there")
	}
}

func TestReadGlossaryRefuses(t *testing.T) {
	for name, c := range map[string]change{
		"unknown key":     {"word = \"pompage\"", "words = \"pompage\"\nword = \"pompage\"", "words", `the term "hunting" in "fr" has no key "words"`, `did you mean "word"?`},
		"see in French":   {"word = \"pompage\"", "see = [\"governor\"]\nword = \"pompage\"", "see = [\"governor\"]\nword", `has no key "see"`, "word, meaning"},
		"no meaning":      {"meaning = \"What holds a machine at its *speed*.\"\n", "", "governor]\nword", `the term "governor" has no meaning`, `meaning = "..."`},
		"no word":         {"word = \"pompage\"\n", "", "hunting.fr", `the term "hunting" in "fr" has no word`, `word = "..."`},
		"see what":        {`["governor"]`, `["govenor"]`, `"govenor"`, `no term "govenor" to see`, `did you mean "governor"?`},
		"see itself":      {`["governor"]`, `["hunting"]`, `"hunting"]`, "points to itself", "leave it out"},
		"see twice":       {`["governor"]`, `["governor", "governor"]`, `"governor"]`, `"governor" stands twice`, "leave one out"},
		"see a number":    {`["governor"]`, `[1]`, "1]", "see is a number, where text in quotes belongs", ""},
		"see no list":     {`["governor"]`, `"governor"`, `"governor"`, "where a list belongs", ""},
		"no language":     {"[hunting.fr]", "[hunting.French]", "hunting.French", `"French" is no language`, "such as fr"},
		"not above":       {"[hunting.fr]", "[governor.fr]", "governor.fr", `"governor" is not above this`, "[governor] first"},
		"too deep":        {"[hunting.fr]", "[hunting.fr.old]", "hunting.fr.old", "not the name of one entry", "[LABEL.fr]"},
		"list of terms":   {"[governor]", "[[governor]]", "governor]]", "not the name of one entry", "single brackets"},
		"two paragraphs":  {`"A slow swing of`, `"A slow swing.\n\nOf`, `"A slow swing.`, "more than one paragraph", "one"},
		"language twice":  {"[governor]", "[hunting.fr]\nword = \"a\"\nmeaning = \"b\"\n[governor]", "hunting.fr]\nword = \"a\"", "stands twice", "join"},
		"meaning of none": {`"What holds a machine at its *speed*."`, `""`, `""`, "meaning is empty", "take the key out"},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, someTerms, func(b []byte) []diag.Message {
				_, messages := card.ReadGlossary("glossary.toml", b)
				return messages
			})
		})
	}
}

func FuzzReadGlossary(f *testing.F) {
	f.Add([]byte(someTerms))
	for _, s := range []string{"", "[a]", "[a.b]", "[a.b.c]", "[a.fr]\n[a]", "a = 1", "[a]\nsee = [[1]]", "[a]\nword = \"\"\"\n\n\"\"\"", "\xff"} {
		f.Add([]byte(s))
	}
	if b, err := os.ReadFile(filepath.Join("..", "..", "lessons", "glossary.toml")); err == nil {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		g, messages := card.ReadGlossary("x.toml", b)
		complete(t, messages)
		if diag.HasError(messages) {
			return
		}
		seen := map[string]bool{}
		for _, x := range g.List {
			if x.Label == "" || seen[x.Label] || x.Word == "" || x.Meaning == "" || x.Line < 1 {
				t.Errorf("accepted %+v", x)
			}
			seen[x.Label] = true
		}
		for _, x := range g.List {
			for _, see := range x.See {
				if !seen[see] {
					t.Errorf("%q points to %q, which is not there", x.Label, see)
				}
			}
		}
	})
}
