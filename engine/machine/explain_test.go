package machine

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"slipring/engine/equation"
)

var inTeX = regexp.MustCompile(`(\\[A-Za-z]+|[A-Za-z])(_[A-Za-z0-9])?`)

// commands of formulas that are no symbols
var commands = strings.Fields(`\pi \frac \sqrt \left \right \dot \ddot \qquad \pm \ln \sin \cos \arccos`)

// symbolsOf reads the symbols off a formula.
func symbolsOf(tex string) []string {
	var out []string
	for _, s := range inTeX.FindAllString(tex, -1) {
		if !slices.Contains(commands, s) && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func TestSymbolsOf(t *testing.T) {
	got := symbolsOf(`\ddot{x} = 2\zeta\omega_0 \dot{x} - \frac{F}{m_b} \sin\theta + 2\pi n N`)
	want := []string{"x", `\zeta`, `\omega_0`, "F", "m_b", `\theta`, "n", "N"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// Every symbol of an equation is explained, and every explained one occurs.
// Every constant that a part has occurs in an equation, or is said to stand
// beside them.
func TestExplained(t *testing.T) {
	parts := Explained()
	if len(parts) != len(kinds) {
		t.Fatalf("%d parts are explained, of %d", len(parts), len(kinds))
	}
	keys := map[string]bool{}
	for _, p := range parts {
		for _, e := range p.Equations {
			if keys[e.Key] {
				t.Errorf("%s stands twice", e.Key)
			}
			keys[e.Key] = true
			if part, _, _ := strings.Cut(e.Key, "."); part != p.Name {
				t.Errorf("%s is no key of the part %s", e.Key, p.Name)
			}
		}
	}
	used := map[string]bool{}
	for _, p := range parts {
		if p.What == "" {
			t.Errorf("nothing is said of %s", p.Name)
		}
		for _, e := range p.Equations {
			check(t, e, keys)
			for _, s := range e.Symbols {
				used[s.Constant] = true
			}
		}
	}
	for _, p := range parts {
		list, _ := Describe(p.Name)
		for _, d := range list {
			if _, beside := p.Beside[d.Key]; beside == used[p.Name+"."+d.Key] {
				t.Errorf("%s.%s: in an equation %v, said to stand beside them %v", p.Name, d.Key, !beside, beside)
			}
		}
		for key := range p.Beside {
			if _, ok := Described(p.Name + "." + key); !ok {
				t.Errorf("%s has no constant %s", p.Name, key)
			}
		}
	}
}

func check(t *testing.T, e equation.Equation, keys map[string]bool) {
	t.Helper()
	if e.Gives == "" || e.Source == "" {
		t.Errorf("%s lacks a sentence or a source", e.Key)
	}
	want := symbolsOf(e.TeX)
	var got []string
	for _, s := range e.Symbols {
		got = append(got, s.TeX)
		if s.Constant != "" {
			if _, ok := Described(s.Constant); !ok {
				t.Errorf("%s: no card has a constant %s", e.Key, s.Constant)
			}
		} else if s.Words == "" {
			t.Errorf("%s: nothing is said of %s", e.Key, s.TeX)
		}
		if s.Equation != "" && !keys[s.Equation] {
			t.Errorf("%s: there is no equation %s", e.Key, s.Equation)
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(want, got) {
		t.Errorf("%s has the symbols %q, and explains %q", e.Key, want, got)
	}
}
