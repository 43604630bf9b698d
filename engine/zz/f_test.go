package zz

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"io"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/traefik/yaegi/interp"
	"slipring/engine/cell/symbols"
)

func bare(src string) (out string) {
	var printed strings.Builder
	defer func() {
		if r := recover(); r != nil {
			out = printed.String() + fmt.Sprint("PANIC ", r)
		}
	}()
	i := interp.New(interp.Options{Stderr: io.Discard})
	for _, e := range []interp.Exports{symbols.Exports(), symbols.Printing(&printed)} {
		if err := i.Use(e); err != nil {
			return err.Error()
		}
	}
	if _, err := i.Eval(src); err != nil {
		return "ERR " + err.Error()
	}
	v, err := i.Eval("cells.Run")
	if err != nil {
		return err.Error()
	}
	v.Interface().(func())()
	return printed.String()
}

func TestF(t *testing.T) {
	data, _ := os.ReadFile(os.Getenv("F"))
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "go.mod"), []byte("module x\n\ngo 1.26\n"), 0o644)
	main := "package main\n\nimport (\n\t\"fmt\"\n"
	calls := ""
	a := txtar.Parse(data)
	for i, f := range a.Files {
		body := string(f.Data)
		decl, run, ok := strings.Cut(body, "---\n")
		if !ok {
			decl, run = "", body
		}
		imports := ""
		for _, p := range []string{"fmt", "math", "strings", "errors", "sort"} {
			if strings.Contains(body, p+".") {
				imports += fmt.Sprintf("import %q\n", p)
			}
		}
		src := "package cells\n" + imports + decl + "\nfunc Run() {\n" + run + "}\n"
		a.Files[i].Data = []byte(src)
		os.MkdirAll(filepath.Join(dir, fmt.Sprint("p", i)), 0o755)
		os.WriteFile(filepath.Join(dir, fmt.Sprint("p", i), "p.go"), []byte(src), 0o644)
		main += fmt.Sprintf("\tp%d \"x/p%d\"\n", i, i)
		calls += fmt.Sprintf("\tone(p%d.Run)\n", i)
	}
	main += ")\nfunc one(f func()) { defer func() { if r := recover(); r != nil { fmt.Print(\"PANIC \", r) }; fmt.Println(\"=====\") }(); f() }\nfunc main() {\n" + calls + "}\n"
	os.WriteFile(filepath.Join(dir, "main.go"), []byte(main), 0o644)
	cmd := exec.Command("go", "run", ".")
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v %s", err, out)
	}
	wants := strings.Split(string(out), "=====\n")
	for i, f := range a.Files {
		got := bare(string(f.Data))
		mark := "FAULT"
		if got == wants[i] {
			mark = "right"
		}
		fmt.Printf("%s %-40s want %.60q got %.120q\n", mark, f.Name, wants[i], got)
	}
}
