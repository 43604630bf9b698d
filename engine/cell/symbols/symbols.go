// Package symbols is what cells may import: for the type checker as stubs, and
// for the interpreter as values. Both are generated from one list of packages
// (see generate/packages.go), so that what checks also exists.
//
//	conf := types.Config{Importer: symbols.Importer()}
//	err := interpreter.Use(symbols.Exports())
//	err = interpreter.Use(symbols.Printing(&printed))
//
// The package decides nothing about what a cell does with what it imports;
// see engine/cell for that.
package symbols

import (
	"embed"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"io/fs"
	"reflect"
	"strings"
	"sync"

	"github.com/traefik/yaegi/interp"
)

//go:generate go run ./generate

// The exported API of each package without function bodies, as
// stubs/IMPORT/PATH.txt.
//
//go:embed stubs
var stubs embed.FS

// Importer gives the packages that cells may import, checked from stubs
// without any Go installation. It may be used from several goroutines at once.
func Importer() types.Importer { return importer{} }

type importer struct{}

func (importer) Import(path string) (*types.Package, error) {
	if p := checked()[path]; p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("cells cannot import %q", path)
}

// The stubs are checked once in a process: they never change.
var checked = sync.OnceValue(func() map[string]*types.Package {
	r := reader{files: token.NewFileSet(), done: map[string]*types.Package{}}
	err := fs.WalkDir(stubs, "stubs", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		_, err = r.Import(strings.TrimSuffix(strings.TrimPrefix(name, "stubs/"), ".txt"))
		return err
	})
	if err != nil {
		panic(err) // the stubs are part of this program, and tested
	}
	return r.done
})

// reader checks stubs, each after those that it imports.
type reader struct {
	files *token.FileSet
	done  map[string]*types.Package
}

func (r *reader) Import(path string) (*types.Package, error) {
	if p := r.done[path]; p != nil {
		return p, nil
	}
	source, err := stubs.ReadFile("stubs/" + path + ".txt")
	if err != nil {
		return nil, err
	}
	file, err := parser.ParseFile(r.files, path, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	conf := types.Config{Importer: r, Sizes: types.SizesFor("gc", "amd64")}
	p, err := conf.Check(path, r.files, []*ast.File{file}, nil)
	if err != nil {
		return nil, err
	}
	r.done[path] = p
	return p, nil
}

// Printing gives the interpreter those functions of package fmt that print,
// made to write to w. It belongs beside Exports.
func Printing(w io.Writer) interp.Exports {
	return interp.Exports{"fmt//fmt": {
		"Print":   reflect.ValueOf(func(a ...any) (n int, err error) { return fmt.Fprint(w, a...) }),
		"Printf":  reflect.ValueOf(func(format string, a ...any) (n int, err error) { return fmt.Fprintf(w, format, a...) }),
		"Println": reflect.ValueOf(func(a ...any) (n int, err error) { return fmt.Fprintln(w, a...) }),
	}}
}
