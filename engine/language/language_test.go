package language

import (
	"strings"
	"testing"

	textlanguage "golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// What languages call themselves, against the Unicode CLDR as
// golang.org/x/text has it.
func TestLanguageNames(t *testing.T) {
	for _, tag := range Tags() {
		if got, want := Of(tag).Name, display.Self.Name(textlanguage.MustParse(tag)); got != want {
			t.Errorf("%s calls itself %q, want %q", tag, got, want)
		}
	}
}

// What is kept of a text that says how something is proved dead is short, and
// stands for all of it.
func TestSaid(t *testing.T) {
	for tag, c := range map[string]struct{ how, proved string }{
		"en": {"It takes a tester. Try it on a known live source before and after.", "Prove it dead."},
		"de": {"Nehmen Sie einen Spannungsprüfer, an einer bekannten Quelle davor und danach geprüft.", "Stellen Sie die Spannungsfreiheit fest."},
		"es": {"Hace falta un verificador, comprobado antes y después en una fuente conocida.", "Verifique la ausencia de tensión."},
		"fr": {"Il faut un vérificateur, essayé sur une source connue avant et après.", "Vérifiez la mise hors tension."},
	} {
		d := Of(tag).Dead
		said := d.Said(strings.Repeat("Wait here. ", 1000) + c.how)
		if len(said) > 60 || d.Said(said) != said {
			t.Errorf("%s: keeps %q", tag, said)
		}
		if d.Missing(c.proved) == nil || d.Missing(c.proved+"\n"+said) != nil {
			t.Errorf("%s: %q with %q", tag, c.proved, said)
		}
		if some := d.Said(c.how[:len(c.how)/2]); d.Missing(c.proved+"\n"+some) == nil {
			t.Errorf("%s: %q is enough", tag, some)
		}
	}
}
