package proof

import (
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// A lesson without panels has its beginning on its sheets, and one beside the
// course has no sheets.
func TestFormulaAtBeginning(t *testing.T) {
	for facts, want := range map[string]string{
		"":                "a formula stands in the lesson's beginning",
		"beside = true\n": "",
	} {
		a := archive{txtar.Parse([]byte("-- lesson.md --\n```lesson\ntitle = \"A\"\n" + facts + "```\n\n# A\n\n## One\n\n" +
			"The `tex v` of it.\n\n## Two\n\nThe `tex w` of it.\n-- told --\n")), ""}
		_, _, messages := proofread(t, a)
		if want == "" && len(messages) == 0 {
			continue
		}
		if len(messages) != 1 || messages[0].Rule != ruleFormula {
			t.Errorf("%q gives %v, want %q", facts, messages, want)
		}
	}
}
