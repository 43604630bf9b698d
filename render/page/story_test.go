package page

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/story"
	"slipring/render/math"
	ui "slipring/render/words"
)

// Every formula and every symbol of the engine's equations can be set, and a
// symbol that no card gives still says what it is.
func TestEquations(t *testing.T) {
	words, err := ui.In("en")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, p := range story.Parts() {
		for _, e := range p.Equations {
			n++
			if _, err := math.Render(e.TeX, true); err != nil {
				t.Errorf("%s: %v", e.Key, err)
			}
			for _, s := range e.Symbols {
				if _, err := math.Render(s.TeX, false); err != nil {
					t.Errorf("%s: %s: %v", e.Key, s.TeX, err)
				}
			}
			printed, err := html.Parse(strings.NewReader(string(Explainer{Words: words}.Equation(e))))
			if err != nil {
				t.Fatal(err)
			}
			if rows := find(printed, "tr", ""); len(rows) != len(e.Symbols) {
				t.Errorf("%s has %d symbols, and %d are shown", e.Key, len(e.Symbols), len(rows))
			}
			if !strings.Contains(text(printed), "Source: "+e.Source) {
				t.Errorf("%s does not show its source", e.Key)
			}
		}
	}
	if n < 40 {
		t.Errorf("only %d equations were looked at", n)
	}
}

// A doubt has two digits (the example of JCGM 100:2008, 7.2.6, has 27 mohm).
func TestTwoDigits(t *testing.T) {
	for u, want := range map[float64]string{0.0268: "0.027", 138.6: "140", 3.14: "3.1", 0.0962: "0.096", 12: "12"} {
		words, _ := ui.In("en")
		if got := words.Number(twoDigits(u)); got != want {
			t.Errorf("%v is written %s, want %s", u, got, want)
		}
	}
}
