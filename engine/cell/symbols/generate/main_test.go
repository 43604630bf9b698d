package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// The packages take a second or two to check; tests only read them.
var loaded = sync.OnceValues(load)

// packs imports packages that were checked from their source.
type packs map[string]*types.Package

func (p packs) Import(path string) (*types.Package, error) {
	if p[path] == nil {
		return nil, fmt.Errorf("no package %q", path)
	}
	return p[path], nil
}

// The generated files are what the generator makes of the packages as they
// are now.
func TestFresh(t *testing.T) {
	all, err := loaded()
	if err != nil {
		t.Fatal(err)
	}
	files, err := generate(all)
	if err != nil {
		t.Fatal(err)
	}
	again, err := generate(all)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != len(packages)+1+5 {
		t.Errorf("%d files for %d packages, 5 of them ours", len(files), len(packages))
	}
	for name, want := range files {
		if !bytes.Equal(again[name], want) {
			t.Errorf("%s differs from one time to the next", name)
		}
		got, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(name)))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s is stale; run go generate ./engine/cell/symbols", name)
		}
	}
	there, err := made("..")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range there {
		if files[name] == nil {
			t.Errorf("%s belongs to no package; run go generate ./engine/cell/symbols", name)
		}
	}
}

// Constants of the stubs are exactly those that the compiler's own type
// checker finds in the packages' source.
func TestConstantsExact(t *testing.T) {
	all, err := loaded()
	if err != nil {
		t.Fatal(err)
	}
	from := packs{}
	for _, p := range all {
		from[p.path] = p.types
	}
	compared := 0
	for _, path := range []string{"math", "strconv", "slipring/engine/machine"} {
		real := from[path]
		fset := token.NewFileSet()
		source, err := os.ReadFile(filepath.Join("..", "stubs", filepath.FromSlash(path)+".txt"))
		if err != nil {
			t.Fatal(err)
		}
		file, err := parser.ParseFile(fset, path, source, 0)
		if err != nil {
			t.Fatal(err)
		}
		stub, err := (&types.Config{Importer: from}).Check(path, fset, []*ast.File{file}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range stub.Scope().Names() {
			c, ok := stub.Scope().Lookup(name).(*types.Const)
			if !ok {
				continue
			}
			want := real.Scope().Lookup(name).(*types.Const)
			if !constant.Compare(c.Val(), token.EQL, want.Val()) || c.Val().Kind() != want.Val().Kind() {
				t.Errorf("%s.%s is %s in the stub and %s in the package", path, name, c.Val().ExactString(), want.Val().ExactString())
			}
			if types.TypeString(c.Type(), nil) != types.TypeString(want.Type(), nil) {
				t.Errorf("%s.%s is a %s in the stub and a %s in the package", path, name, c.Type(), want.Type())
			}
			compared++
		}
	}
	if compared < 40 {
		t.Errorf("only %d constants were compared", compared)
	}
}
