package cell

import (
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/cell/assemble"
	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Every package that cells have at hand is there to be imported, under the
// name that cells use.
func TestPackages(t *testing.T) {
	for name, path := range assemble.Packages {
		p, err := symbols.Importer().Import(path)
		if err != nil || p.Name() != name {
			t.Errorf("%s: %v, %v", path, p, err)
		}
	}
}

// The same lesson gives the same bytes.
func TestSameBytes(t *testing.T) {
	l := lessonOf(long(t)...)
	first, messages := Assemble(l)
	if first == nil {
		t.Fatal(messages)
	}
	for range 5 {
		again, _ := Assemble(l)
		if string(again.Source) != string(first.Source) || !slices.Equal(again.Marks, first.Marks) {
			t.Fatal("assembled twice, a lesson differs")
		}
	}
}

// A lesson without cells gives a program that does nothing.
func TestNoCells(t *testing.T) {
	for _, l := range []*lesson.Lesson{{File: "l.md"}, lessonOf(""), lessonOf("// nothing\n", "\n")} {
		p, messages := Assemble(l)
		if p == nil {
			t.Fatal(messages)
		}
		if o, _ := interpretTo(p); o.failed || o.printed != "" {
			t.Errorf("%+v", o)
		}
	}
}

// The name of the function that we write is free for cells.
func TestRunIsFree(t *testing.T) {
	for _, c := range []string{
		"Run := 3\nfmt.Println(Run)\n",
		"func Run() int { return 3 }\nfmt.Println(Run())\n",
		"const Run = 3\nfmt.Println(Run)\n",
	} {
		p, messages := Assemble(lessonOf(c))
		if p == nil {
			t.Fatal(messages)
		}
		if o, _ := interpretTo(p); o.failed || o.printed != "3\n" {
			t.Errorf("%+v", o)
		}
	}
}

// A cell of the largest size is read, one byte more is not.
func TestCellSize(t *testing.T) {
	for _, more := range []int{0, 1} {
		cell := "x := 1.0\n" + strings.Repeat("/", 64<<10-9+more)
		p, messages := Assemble(lessonOf(cell))
		if (p != nil) != (more == 0) || (len(messages) == 1) != (more == 1) {
			t.Errorf("%d bytes: %v", len(cell), messages)
		}
	}
}

// long gives the cells of a lesson of about 200 lines.
func long(t testing.TB) []string {
	data, err := os.ReadFile(filepath.Join("testdata", "long.txt"))
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(data), "-next cell-\n")
}

func BenchmarkAssemble(b *testing.B) {
	l := lessonOf(long(b)...)
	lines := 0
	for _, c := range l.Cells {
		lines += strings.Count(c.Source, "\n")
	}
	b.ReportMetric(float64(lines), "lines")
	for b.Loop() {
		if p, messages := Assemble(l); p == nil {
			b.Fatal(messages)
		}
	}
}

// BenchmarkSteps runs loops of each kind in the interpreter, with the marks.
func BenchmarkSteps(b *testing.B) {
	for _, c := range []struct{ name, cell string }{
		{"loop", "t := 0.0\nfor i := 0; i < 1000; i++ {\n\tt += 0.5\n}\n"},
		{"call", "func f(x float64) float64 { return x * 0.5 }\nt := 0.0\nfor i := 0; i < 1000; i++ {\n\tt = f(t)\n}\n"},
		{"method", "type P struct{ x float64 }\nfunc (p *P) move(d float64) { p.x += d }\np := &P{}\nfor i := 0; i < 1000; i++ {\n\tp.move(0.5)\n}\n"},
	} {
		b.Run(c.name+"1000", func(b *testing.B) {
			p, messages := Assemble(lessonOf(c.cell))
			if p == nil {
				b.Fatal(messages)
			}
			run, err := load(p, io.Discard)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				run(&tell.Sheet{}, bench.New(nil), func(int) {})
			}
		})
	}
}
