package cell

import (
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Messages stand at the right line and column where the lesson's lines are
// not the cell's: with line ends of two bytes, inside lists and quotations,
// behind tabs and behind letters of several bytes.
func TestPlaces(t *testing.T) {
	at := func(source, cell string) *lesson.Lesson {
		i := strings.IndexByte(source[strings.Index(source, "```go"):], '\n') + strings.Index(source, "```go") + 1
		for strings.HasPrefix(source[i:], " ") || strings.HasPrefix(source[i:], ">") {
			i++
		}
		line, _ := diag.Place([]byte(source), i)
		return &lesson.Lesson{File: "l.md", Source: []byte(source), Cells: []lesson.Cell{{Source: cell, Offset: i, Line: line}}}
	}
	for _, c := range []struct {
		name         string
		l            *lesson.Lesson
		line, column int
	}{
		{"plain", at("# T\n\n```go\nx := 1\ny := z\n```\n", "x := 1\ny := z\n"), 5, 6},
		{"line ends of two bytes", at("# T\r\n\r\n```go\r\nx := 1\r\ny := z\r\n```\r\n", "x := 1\r\ny := z\r\n"), 5, 6},
		{"line ends of two bytes, cell with one", at("# T\r\n\r\n```go\r\nx := 1\r\ny := z\r\n```\r\n", "x := 1\ny := z\n"), 5, 6},
		{"in a list", at("- a\n\n  ```go\n  x := 1\n  if x > 0 {\n  \ty := z\n  }\n  ```\n", "x := 1\nif x > 0 {\n\ty := z\n}\n"), 6, 9},
		{"in a quotation", at("> ```go\n> x := 1\n> y := z\n> ```\n", "x := 1\ny := z\n"), 3, 8},
		{"behind tabs", at("```go\nif true {\n\t\tx := z\n}\n```\n", "if true {\n\t\tx := z\n}\n"), 3, 8},
		{"behind other letters", at("# É\n```go\nx := \"é\" + z\n```\n", "x := \"é\" + z\n"), 3, 13},
		{"without a last line end", at("```go\ny := z", "y := z"), 2, 6},
		{"in a function", at("```go\n\n\nfunc f() float64 {\n\treturn z\n}\n```\n", "\n\nfunc f() float64 {\n\treturn z\n}\n"), 5, 9},
	} {
		_, messages := Assemble(c.l)
		if len(messages) != 1 || messages[0].Line != c.line || messages[0].Column != c.column {
			t.Errorf("%s: %v, want one message at %d:%d", c.name, messages, c.line, c.column)
		}
	}
}

// Marks lead back to the statement that failed, also from loop bodies,
// functions and conditions, and after a call has returned.
func TestMarks(t *testing.T) {
	const pre = "xs := []float64{1}\nzero := 0\n" // lines 4 and 5
	for _, c := range []struct {
		name, cell   string
		line, column int
	}{
		{"top level", "y := xs[3]\nfmt.Println(y)\n", 6, 1},
		{"in a loop", "for i := 0; i < 3; i++ {\n\tfmt.Println(xs[i])\n}\n", 7, 2},
		{"in a condition of a loop", "n := 0\nfor i := 0; xs[i] > 0; i++ {\n\tn++\n}\n", 7, 1},
		{"in a later else if", "if zero > 1 {\n} else if xs[4] > 0 {\n}\n", 7, 8},
		{"in a function", "func f(i int) float64 {\n\ty := 1.0\n\treturn y + xs[i]\n}\nfmt.Println(f(2))\n", 8, 2},
		{"after a call", "func f() int {\n\treturn 7\n}\nfmt.Println(xs[f()])\n", 9, 1},
		{"after a call with a loop", "func f() int {\n\tfor i := 0; i < 3; i++ {\n\t}\n\treturn 7\n}\nif zero == 0 {\n\txs[f()] = 2\n}\n", 12, 2},
		{"after a callback", "ys := []float64{2, 1}\nsort.Slice(ys, func(i, j int) bool {\n\treturn ys[i] < ys[j]\n})\nfmt.Println(ys[zero-1+len(ys)*2])\n", 10, 1},
		{"in a callback", "ys := []float64{2, 1}\nsort.Slice(ys, func(i, j int) bool {\n\tk := i + 5\n\treturn ys[k] < ys[j]\n})\n", 9, 2},
		{"in a switch", "switch zero {\ncase 0:\n\tfmt.Println(1 / zero)\n}\n", 8, 3 - 1},
		{"after two calls", "func f() int { return 1 }\nfunc g() int {\n\ta := f()\n\treturn a / zero\n}\ny := g()\nfmt.Println(y)\n", 9, 2},
		{"in a method", "type T struct{ p *[2]int }\nfunc (t *T) next() int {\n\tu := t.p\n\treturn u[1]\n}\nt := &T{}\nfmt.Println(t.next())\n", 9, 2},
		{"what tell refuses", "func f() float64 {\n\treturn math.Inf(1)\n}\ntell.Value(\"a\", f(), \"Hz\")\n", 9, 1},
		{"empty loop that never ends", "for zero == 0 {\n}\n", 6, 1},
		{"loop with a comment that never ends", "for {\n\t// nothing\n}\n", 6, 1},
		{"empty range after a call", "func f() []int { return nil }\nfor range f() {\n}\nfmt.Println(xs[1])\n", 9, 1},
		{"loop of two values", "for i, j := 0, 1; xs[i] < 5; i, j = i+j, j {\n\tzero = i\n}\n", 6, 1},
	} {
		p, messages := Assemble(lessonOf(pre + c.cell))
		if p == nil {
			t.Errorf("%s: %v", c.name, messages)
			continue
		}
		_, mark := interpretTo(p)
		if line, column := p.Place(mark); line != c.line || column != c.column {
			t.Errorf("%s: stands at %d:%d, want %d:%d\n%s", c.name, line, column, c.line, c.column, p.Source)
		}
	}
	var p Program
	if line, column := p.Place(3); line != 0 || column != 0 {
		t.Errorf("a mark that does not exist stands at %d:%d", line, column)
	}
}
