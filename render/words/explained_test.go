package words

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

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
	w := in(t, "fr")
	for s := range sentences() {
		if w.Constant(s) == s {
			t.Errorf("fr: %q is not translated", s)
		}
	}
	for _, p := range story.Parts() {
		if name := in(t, "en").Part(p.Name); name == "" || w.texts["part."+p.Name].forms == nil {
			t.Errorf("the part %s has no name", p.Name)
		}
	}
}
