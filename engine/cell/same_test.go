package cell

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/traefik/yaegi/interp"

	"slipring/engine/bench"
	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
	"slipring/engine/sweeptest"
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
const (
	maxSteps = 200_000
	tooMany  = "too many steps"
)

// outcome is what a program did when it was interpreted.
type outcome struct {
	printed string
	result  tell.Result
	failed  bool
	reason  string
}

// interpretTo runs a program in this process and gives what it did and the
// last mark that it passed.
func interpretTo(p *Program) (o outcome, mark int) {
	var printed strings.Builder
	mark = -1
	passed := 0
	sheet := &tell.Sheet{}
	defer func() {
		o.printed, o.result = printed.String(), sheet.Result()
		if r := recover(); r != nil {
			o.failed, o.reason = true, fmt.Sprint(r)
		}
	}()
	run, err := load(p, &printed)
	if err != nil {
		return outcome{failed: true, reason: err.Error()}, mark
	}
	run(sheet, bench.New(nil), func(n int) {
		mark = n
		if passed++; passed == maxSteps {
			panic(tooMany)
		}
	})
	return o, mark
}

// load gives a program's Run from the interpreter.
func load(p *Program, printed io.Writer) (func(*tell.Sheet, *bench.Shelf, func(int)), error) {
	i := interp.New(interp.Options{Stderr: io.Discard})
	for _, e := range []interp.Exports{symbols.Exports(), symbols.Printing(printed)} {
		if err := i.Use(e); err != nil {
			return nil, err
		}
	}
	if _, err := i.Eval(string(p.Source)); err != nil {
		return nil, err
	}
	v, err := i.Eval("cells.Run")
	if err != nil {
		return nil, err
	}
	return v.Interface().(func(*tell.Sheet, *bench.Shelf, func(int))), nil
}

// unsigned makes negative zeros plain ones. The interpreter loses their
// sign where a cell hands them to a function.
func unsigned(printed string) string {
	printed = strings.ReplaceAll(printed, "-0i", "+0i")
	return zero.ReplaceAllString(printed, "0$1")
}

var zero = regexp.MustCompile(`-0([^0-9.]|$)`)

// compare runs programs three ways and reports differences: as the author
// wrote them and as they were rewritten, compiled; and as they were rewritten,
// interpreted.
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
	root := filepath.Join("..", "..")
	compiled, err := Compiled(root, programs, nil, maxSteps)
	if err != nil {
		t.Fatal(err)
	}
	// Only marks can stop a program that does not end, and the author's own
	// has none.
	var plain []*Program
	for j, o := range compiled {
		if o.Reason != tooMany {
			plain = append(plain, plainGo(lessonOf(sources[kept[j]])))
		}
	}
	meanings, err := Compiled(root, plain, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	for j, p := range programs {
		name := names[kept[j]]
		rewritten := compiled[j]
		if rewritten.Reason == tooMany {
			first, _, _ := strings.Cut(name, "\n")
			t.Log(first, "does not end")
			continue
		}
		meant := meanings[0]
		meanings = meanings[1:]
		if meant.Printed != rewritten.Printed || meant.Failed != rewritten.Failed || !reflect.DeepEqual(meant.Result, rewritten.Result) {
			t.Errorf("%s: rewriting changed it\ncompiled:\n%s\n%s\ninterpreted:\n%s\n%s\nassembled:\n%s",
				name, meant.Printed, meant.Reason, rewritten.Printed, rewritten.Reason, p.Source)
			continue
		}
		o, mark := interpretTo(p)
		line := func(failed bool, mark int) string {
			if !failed {
				return ""
			}
			n, _ := p.Place(mark)
			return fmt.Sprintf("fails at line %d", n)
		}
		got := unsigned(o.printed) + line(o.failed, mark)
		want := unsigned(rewritten.Printed) + line(rewritten.Failed, rewritten.Mark)
		if got != want {
			t.Errorf("%s\ncompiled:\n%s\n%s\ninterpreted:\n%s\n%s\nassembled:\n%s",
				name, want, rewritten.Reason, got, o.reason, p.Source)
			continue
		}
		if !reflect.DeepEqual(o.result, rewritten.Result) {
			t.Errorf("%s: told %+v, compiled %+v", name, o.result, rewritten.Result)
		}
	}
}

func TestSame(t *testing.T) {
	files, err := filepath.Glob("testdata/same/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no programs to compare", err)
	}
	type program struct{ file, name, source string }
	var programs []program
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range txtar.Parse(data).Files {
			programs = append(programs, program{filepath.Base(f), part.Name, string(part.Data)})
		}
	}
	var names, sources []string
	for _, p := range sweeptest.SampleEach(t, programs, 5, func(p program) string { return p.file }) {
		names = append(names, p.file+": "+p.name)
		sources = append(sources, p.source)
	}
	compare(t, names, sources)
}
