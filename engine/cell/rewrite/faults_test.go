package rewrite

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/traefik/yaegi/interp"

	"slipring/engine/cell/symbols"
)

// Each fault of the interpreter that this package steers around is still there,
// and each is named where it is steered around.
func TestFaults(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "faults.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var names, programs []string
	for _, f := range txtar.Parse(data).Files {
		declarations, statements, ok := strings.Cut(string(f.Data), "---\n")
		if !ok {
			t.Fatalf("%s: no line of dashes", f.Name)
		}
		source := "package cells\n\n"
		for _, pkg := range []string{"errors", "fmt"} {
			if strings.Contains(string(f.Data), pkg+".") {
				source += fmt.Sprintf("import %q\n", pkg)
			}
		}
		names = append(names, f.Name)
		programs = append(programs, source+declarations+"\nfunc Run() {\n"+statements+"}\n")
	}
	for i, right := range compiled(t, programs) {
		if got := interpreted(programs[i]); got == right {
			t.Errorf("the interpreter no longer has the fault %q: what steers around it may go", names[i])
		}
	}

	named := map[string]bool{}
	for _, file := range globbed(t, "*.go") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range regexp.MustCompile(`(?s)\(fault: ([^)]*)\)`).FindAllStringSubmatch(string(text), -1) {
			name := strings.Join(strings.Fields(strings.ReplaceAll(g[1], "//", "")), " ")
			named[name] = true
			if !slices.Contains(names, name) {
				t.Errorf("%s: no program shows the fault %q", file, name)
			}
		}
	}
	for _, name := range names {
		if !named[name] {
			t.Errorf("the fault %q is not named where it is steered around", name)
		}
	}
}

func globbed(t *testing.T, pattern string) (files []string) {
	t.Helper()
	all, err := filepath.Glob(pattern)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if !strings.HasSuffix(f, "_test.go") {
			files = append(files, f)
		}
	}
	return files
}

// interpreted gives what a program prints in the bare interpreter, and how it
// ends.
func interpreted(source string) (out string) {
	var printed strings.Builder
	defer func() {
		out = printed.String()
		if r := recover(); r != nil {
			out += "panic"
		}
	}()
	i := interp.New(interp.Options{Stderr: io.Discard})
	for _, e := range []interp.Exports{symbols.Exports(), symbols.Printing(&printed)} {
		if err := i.Use(e); err != nil {
			panic(err)
		}
	}
	if _, err := i.Eval(source); err != nil {
		panic(err)
	}
	v, err := i.Eval("cells.Run")
	if err != nil {
		panic(err)
	}
	v.Interface().(func())()
	return ""
}

// compiled gives the same of each program as Go's compiler means it.
func compiled(t *testing.T, programs []string) []string {
	t.Helper()
	dir := t.TempDir()
	put := func(name, text string) {
		name = filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const next = "\n---\n"
	var imports, calls strings.Builder
	for i, p := range programs {
		put(fmt.Sprintf("p%d/cells.go", i), p)
		fmt.Fprintf(&imports, "import p%d \"faults/p%d\"\n", i, i)
		fmt.Fprintf(&calls, "\tone(p%d.Run)\n", i)
	}
	put("go.mod", "module faults\n\ngo 1.26\n")
	put("main.go", "package main\n\nimport \"fmt\"\n"+imports.String()+`
func one(run func()) {
	defer func() {
		if recover() != nil {
			fmt.Print("panic")
		}
		fmt.Print("\n---\n")
	}()
	run()
}

func main() {
`+calls.String()+"}\n")
	cmd := exec.Command("go", "run", ".")
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return strings.Split(strings.TrimSuffix(string(out), next), next)
}
