package cell

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"slipring/engine/cell/goerrors"
	"slipring/engine/diag"
)

// An index out of range is told with its number, the length and the expression
// that it stands in. Number and length are those that Go's compiler gives.
func TestIndexed(t *testing.T) {
	cases := []struct{ cell, what, of string }{
		{"xs := []float64{1, 2, 3}\nfor i := 0; i <= len(xs); i++ {\n\txs[i]++\n}\n", "xs[i]", "xs"},
		{"xs := []float64{1, 2, 3}\ni := -1\nxs[i] = 4\n", "xs[i]", "xs"},
		{"xs := []float64{1}\nk := []int{0, 1}\nfmt.Println(xs[k[1]], xs[k[0]])\n", "xs[k[1]]", "xs"},
		{"xs := []float64{1}\nk := []int{0, 1}\nfmt.Println(xs[0] + xs[k[2]])\n", "k[2]", "k"},
		{"type p struct{ xs [][]float64 }\nq := p{[][]float64{{1}, {}}}\ni, j := 1, 0\nx := q.xs[i][j]\nfmt.Println(x)\n", "q.xs[i][j]", "q.xs[i]"},
		{"type p struct{ a [3]int }\nq := &p{}\nfor i := range []int{1, 2, 3, 4} {\n\tq.a[i] += i\n}\n", "q.a[i]", "q.a"},
		{"s := \"abc\"\nfor i := 0; s[i] != 'x'; i++ {\n}\n", "s[i]", "s"},
		{"m := map[string][]int{\"a\": {1, 2}}\nn := 2\nm[\"a\"][n] = 1\n", "m[\"a\"][n]", "m[\"a\"]"},
		{"func at(v []float64, k int) float64 { return v[k] }\nxs := []float64{1, 2}\nfmt.Println(at(xs, 1), at(xs, 2))\n", "v[k]", "v"},
		{"xs := []float64{1, 2}\nnext := func() int { return 7 }\nxs[next()] = 2\n", "xs[next()]", "xs"},
		{"xs := []float64{1, 2}\nx := 2.5\nfmt.Println(xs[int(x)])\n", "xs[...]", "xs"}, // int(x) is written otherwise
		{"xs := []float64{1, 2}\nvar n uint8 = 200\np := &xs[n]\n*p = 1\n", "xs[n]", "xs"},
	}
	var programs []*Program
	for _, c := range cases {
		p, messages := Assemble(lessonOf(c.cell))
		if p == nil {
			t.Fatalf("%s\n%v", c.cell, messages)
		}
		programs = append(programs, p)
	}
	compiled, err := Compiled(filepath.Join("..", ".."), programs, nil, maxSteps)
	if err != nil {
		t.Fatal(err)
	}
	numbers := regexp.MustCompile(`index out of range \[(-?\d+)\](?: with length (\d+))?`)
	for i, c := range cases {
		_, messages := programs[i].Run(t.Context(), nil, Limits{})
		words := numbers.FindStringSubmatch(compiled[i].Reason)
		if len(messages) != 1 || words == nil {
			t.Errorf("%s\nsays %v; compiled, it says %q", c.cell, messages, compiled[i].Reason)
			continue
		}
		want := c.what + " is out of range: the index is " + words[1] + ", and " + c.of + " has " + words[2] // Go gives no length for a negative index
		line, column := programs[i].Place(compiled[i].Mark)
		if m := messages[0]; !strings.HasPrefix(m.Text, want) || m.Line != line || m.Column != column {
			t.Errorf("%s\nsays %v\nwant %d:%d: %s", c.cell, m, line, column, want)
		}
	}
}

// What a second run cannot show is said without it.
func TestNotIndexed(t *testing.T) {
	for name, cell := range map[string]string{
		"of a call":     "f := func() []int { return []int{1} }\nn := 1\nfmt.Println(f()[n])\n",
		"own panic":     "panic(\"an index is out of range\")\n",
		"no index here": "xs := []float64{1}\nn := 2\nfmt.Println(xs[:n])\n",
	} {
		p, messages := Assemble(lessonOf(cell))
		if p == nil {
			t.Fatalf("%s: %v", name, messages)
		}
		_, messages = p.Run(t.Context(), nil, Limits{})
		want := map[string]diag.Message{
			"of a call":     {Line: 6, Column: 1, Text: goerrors.OutOfRange},
			"own panic":     {Line: 4, Column: 1, Text: `the cell stops here with panic: "an index is out of range"`},
			"no index here": {Line: 6, Column: 1, Text: "a part is taken that reaches beyond the list or text"},
		}[name]
		if len(messages) != 1 || messages[0].Text != want.Text || messages[0].Line != want.Line || messages[0].Column != want.Column {
			t.Errorf("%s: says %v, want %v", name, messages, want)
		}
	}
}
