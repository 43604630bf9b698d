package cell

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/traefik/yaegi/interp"

	"slipring/engine/bench"
	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// lessonOf makes a lesson of cells, each in a fenced block as an author would
// write it.
func lessonOf(cells ...string) *lesson.Lesson {
	l := &lesson.Lesson{File: "lessons/01-test/lesson.md"}
	var b strings.Builder
	b.WriteString("# Test\n")
	for _, c := range cells {
		b.WriteString("\n```go\n")
		l.Cells = append(l.Cells, lesson.Cell{
			Source: c, Offset: b.Len(), Line: strings.Count(b.String(), "\n") + 1,
		})
		b.WriteString(c)
		b.WriteString("```\n")
	}
	l.Source = []byte(b.String())
	return l
}

// maxSteps ends the programs that would run for too long.
const maxSteps = 200_000

// interpret runs a program in this process and gives what it printed, or how
// it failed.
func interpret(p *Program) (out, reason string) {
	var printed strings.Builder
	last, passed := -1, 0
	defer func() {
		if r := recover(); r != nil {
			line, _ := p.Place(last)
			out, reason = fmt.Sprintf("%sfails at line %d", printed.String(), line), fmt.Sprint(r)
		}
	}()
	i := interp.New(interp.Options{Stderr: io.Discard})
	if err := i.Use(symbols.Exports()); err != nil {
		return err.Error(), ""
	}
	if err := i.Use(symbols.Printing(&printed)); err != nil {
		return err.Error(), ""
	}
	if _, err := i.Eval(string(p.Source)); err != nil {
		return "not interpreted: " + err.Error(), ""
	}
	v, err := i.Eval("cells.Run")
	if err != nil {
		return "not found: " + err.Error(), ""
	}
	v.Interface().(func(*tell.Sheet, *bench.Shelf, func(int)))(&tell.Sheet{}, bench.New(nil), func(n int) {
		last = n
		if passed++; passed == maxSteps {
			panic("too many steps")
		}
	})
	return printed.String(), ""
}

// unsigned makes negative zeros plain ones. The interpreter loses their
// sign where a cell hands them to a function.
func unsigned(printed string) string {
	printed = strings.ReplaceAll(printed, "-0i", "+0i")
	return zero.ReplaceAllString(printed, "0$1")
}

var zero = regexp.MustCompile(`-0([^0-9.]|$)`)

// compare runs programs both ways and reports differences.
func compare(t *testing.T, names []string, sources []string) {
	t.Helper()
	var programs []*Program
	var kept []int
	for i, src := range sources {
		p, messages := Assemble(lessonOf(src))
		for _, m := range messages {
			t.Errorf("%s: %v", names[i], m)
		}
		if p != nil {
			programs, kept = append(programs, p), append(kept, i)
		}
	}
	want, err := Compiled(filepath.Join("..", ".."), programs, nil, maxSteps)
	if err != nil {
		t.Fatal(err)
	}
	for j, p := range programs {
		w := want[j].Printed
		if want[j].Failed {
			line, _ := p.Place(want[j].Mark)
			w = fmt.Sprintf("%sfails at line %d", w, line)
		}
		if got, reason := interpret(p); unsigned(got) != unsigned(w) {
			t.Errorf("%s\ncompiled:\n%s\n%s\ninterpreted:\n%s\n%s\nassembled:\n%s",
				names[kept[j]], w, want[j].Reason, got, reason, p.Source)
		}
	}
}

func TestSame(t *testing.T) {
	files, err := filepath.Glob("testdata/same/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no programs to compare", err)
	}
	var names, sources []string
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range txtar.Parse(data).Files {
			names = append(names, filepath.Base(f)+": "+part.Name)
			sources = append(sources, string(part.Data))
		}
	}
	compare(t, names, sources)
}
