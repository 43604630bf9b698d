package symbols

import (
	"embed"
	"encoding/json"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

// What the engine's doc comments say about each name that cells may use, as
// docs/IMPORT/PATH.json.
//
//go:embed docs
var docs embed.FS

// Symbol is one name of the engine that cells may use, with what its doc
// comment says. Parts that cells are not offered are left out.
type Symbol struct {
	Name      string  // as cells write it, or TYPE.METHOD after the package: bench.Set.Steady; of a package "bench"
	Kind      string  // package, const, var, func, type or method
	Signature string  // as its package would write it, but for the fields of a struct
	Doc       string  // the comment without its marks; see go/doc/comment
	Fields    []Field // of a struct
}

// Field is one field of a struct.
type Field struct {
	Name string
	Type string
	Doc  string
}

// Docs gives all that is said about the engine's packages, sorted by name: each
// package, then what is in it. What the standard library offers is not in it.
func Docs() []Symbol { return slices.Clone(documented()) }

// Doc finds what is said about a name, such as bench.Set.Steady.
func Doc(name string) (Symbol, bool) {
	i, ok := slices.BinarySearchFunc(documented(), name, func(s Symbol, name string) int { return strings.Compare(s.Name, name) })
	if !ok {
		return Symbol{}, false
	}
	return documented()[i], true
}

var documented = sync.OnceValue(func() []Symbol {
	var all []Symbol
	err := fs.WalkDir(docs, "docs", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		source, err := docs.ReadFile(name)
		if err != nil {
			return err
		}
		var some []Symbol
		err = json.Unmarshal(source, &some)
		all = append(all, some...)
		return err
	})
	if err != nil {
		panic(err) // the files are part of this program, and tested
	}
	slices.SortFunc(all, func(a, b Symbol) int { return strings.Compare(a.Name, b.Name) })
	return all
})
