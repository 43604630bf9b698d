package words

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"slipring/engine/language"
	"slipring/engine/story"
)

// sentences gives all that the engine says of its equations.
func sentences() map[string]bool {
	said := map[string]bool{}
	for _, p := range story.Parts() {
		said[p.What] = true
		for _, s := range p.Assumptions {
			said[s] = true
		}
		for _, s := range p.Beside {
			said[s] = true
		}
		for _, e := range p.Equations {
			said[e.Gives] = true
			if first, _ := utf8.DecodeRuneInString(e.Source); unicode.IsLower(first) || strings.HasPrefix(e.Source, "Ohm") {
				said[e.Source] = true // words of ours, and no title
			}
			for _, s := range e.Symbols {
				if s.Words != "" {
					said[s.Words] = true
				}
			}
		}
	}
	return said
}

// What the engine says of its equations is said in every language but English.
// Titles of sources stay in their language.
func TestExplained(t *testing.T) {
	for _, tag := range language.Tags() {
		for s := range sentences() {
			if tag != "en" && in(t, tag).Constant(s) == s {
				t.Errorf("%s: %q is not translated", tag, s)
			}
		}
	}
	for _, p := range story.Parts() {
		if _, _, ok := in(t, "en").language.Text("part." + p.Name); !ok {
			t.Errorf("the part %s has no name", p.Name)
		}
	}
}
