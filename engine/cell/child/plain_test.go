package child

import (
	"context"
	"strings"
	"testing"
	"time"
)

// A plain child, as on systems that limit no memory and share no mark, still
// says where it stood. Of a child that dies without a word only the mark that
// it sent last is known, so that these cells stay at one for a while.
func TestPlainChild(t *testing.T) {
	wait := "for i := 0; i < 1000000; i++ {\n}\n"
	l := small
	l.Time = 2 * time.Second
	for _, c := range []struct {
		name, decl, body, text string
		line                   int
	}{
		{"index", "", "xs := []float64{1}\n__mark(4)\nn := 3\n_ = xs[n]", "an index is out of range", 5},
		{"loop", "", "__mark(2)\nfor {\n}", "the cells were still running after 2 s, and were here then", 3},
		{"memory", "", "__mark(3)\n" + wait + "var all [][]float64\nfor {\nxs := make([]float64, 1<<12)\nfor i := range xs {\nxs[i] = 1\n}\nall = append(all, xs)\n}",
			"the cells need more than 96 MB of memory here", 4},
		{"recursion", "func f(n int) int {\nreturn f(n+1) + 1\n}", "__mark(5)\n" + wait + "f(0)", "functions call each other without end here", 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			limits := small
			if c.name == "loop" {
				limits = l
			}
			p := written("", c.decl, c.body)
			_, f := askChild(context.Background(), request{Source: p.Source, Limits: limits.filled(), Plain: true})
			if f == nil {
				t.Fatal("no failure")
			}
			if m := messageOf(p, f); m.Text != c.text || m.Line != c.line {
				t.Errorf("line %d: %q", m.Line, m.Text)
			}
		})
	}
	p := written("", "", "tell.Value(`x`, 1, ``)")
	if r, f := askChild(context.Background(), request{Source: p.Source, Limits: small.filled(), Plain: true}); f != nil || len(r.Result.Values) != 1 {
		t.Errorf("%v %+v", r, f)
	}
}

// Names of what could reach outside are known neither to the interpreter nor
// to what it would read packages from.
func TestNoWayOut(t *testing.T) {
	for _, path := range []string{"os", "os/exec", "io", "net", "syscall", "time", "unsafe", "runtime", "reflect", "math/rand", "plugin", "C",
		"slipring/engine/cell", "slipring/engine/ode", "github.com/traefik/yaegi/interp", "./local", "/etc"} {
		p := written(path, "", "__mark(0)")
		_, messages := runProgram(context.Background(), p, nil, small)
		if len(messages) != 1 || !strings.Contains(messages[0].Text, "the interpreter cannot run this: ") {
			t.Errorf("%s: %v", path, messages)
		}
	}
	for _, use := range []string{"fmt.Scan", "fmt.Fprintln", "__bench.New", "__tell.Misuse"} {
		p := written("fmt", "", "__mark(1)\nfmt.Println(`x`)\nf := "+use+"\n_ = f")
		fails(t, p, small, 2, "the interpreter cannot run this: "+noSymbol(use))
	}
}

func noSymbol(use string) string {
	pkg, name, _ := strings.Cut(use, ".")
	path := "fmt"
	if at, ours := strings.CutPrefix(pkg, "__"); ours {
		path = "slipring/engine/" + at
	}
	return "package " + pkg + " \"" + path + "\" has no symbol " + name
}
