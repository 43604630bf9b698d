package language

import (
	"testing"

	textlanguage "golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// What languages call themselves, against the Unicode CLDR as
// golang.org/x/text has it.
func TestLanguageNames(t *testing.T) {
	for _, tag := range Tags() {
		if got, want := Name(tag), display.Self.Name(textlanguage.MustParse(tag)); got != want {
			t.Errorf("%s calls itself %q, want %q", tag, got, want)
		}
	}
	if got := Name("xx"); got != "xx" {
		t.Errorf("got %q", got)
	}
}
