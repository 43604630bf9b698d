package site

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
)

// The sheet of tests has a row for each, what either answer would settle, the
// house's cautions, and nothing where there is no test.
func TestTestsSheet(t *testing.T) {
	in := hangingInput(t)
	in.Tests = []reconcile.Test{
		{From: "TS1.1", To: "K1.A1", Hold: circuit.Hold{Moved: []string{"K2"}, Out: []string{"F3"}},
			Closes: reconcile.Settled{Found: []reconcile.Drawn{{From: "TS1.1", To: "K1.A1", Wire: "W<1>"}}, NotThere: []reconcile.Drawn{{From: "TS1.2", To: "K1.A1", Wire: "W<1>"}}}},
		{From: "TS1.3", To: "K1.A2", Opens: reconcile.Settled{Found: []reconcile.Drawn{{From: "TS1.3", To: "K1.14"}}}},
	}
	tree, messages := Build(in)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	for path, want := range map[string][]string{
		testsPath:                     {"K2 held &#43; F3 out", "there: W&lt;1&gt;; not there: TS1.2–K1.A1.", "nothing is certain yet", "there: TS1.3–K1.14", "Rotating", "licensed person"},
		"handout/tests.sheet.fr.html": {"K2 held &#43; F3 out", "là : W&lt;1&gt;; absents : TS1.2–K1.A1."},
	} {
		text := strings.ReplaceAll(string(tree[path]), "\u00a0", " ")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q", path, w)
			}
		}
		if n := strings.Count(text, `class="tick"`); n != 2*len(in.Tests) {
			t.Errorf("%s has %d boxes", path, n)
		}
	}
	of := func(s Sheet) bool { return s.Edition == testsSheet }
	if !strings.Contains(string(tree["handout/index.html"]), "tests.sheet.html") || !slices.ContainsFunc(Sheets(in), of) {
		t.Error("nothing leads to the sheet")
	}
	in.Tests = nil
	if tree, _ := Build(in); tree[testsPath] != nil || slices.ContainsFunc(Sheets(in), of) {
		t.Error("there is a sheet without tests")
	}
}
