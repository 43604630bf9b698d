package assemble

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/diag"
)

// The two values that every lesson is handed: their names in cells, and the
// names under which the assembled file imports their packages.
const (
	SheetName, SheetAlias = "tell", "__tell"
	ShelfName, ShelfAlias = "bench", "__bench"
)

// RunName is the function of the merged file that holds the statements of cells.
const RunName = "__run"

// Packages are what cells have at hand, by the name they use.
var Packages = map[string]string{
	"errors": "errors", "fmt": "fmt", "math": "math", "cmplx": "math/cmplx",
	"sort": "sort", "strconv": "strconv", "strings": "strings",
	"machine": "slipring/engine/machine", "waveform": "slipring/engine/waveform",
	"wiring":  "slipring/engine/wiring",
	ShelfName: "slipring/engine/bench", SheetName: "slipring/engine/tell",
}

func PackageNames() []string {
	var names []string
	for name := range Packages {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func AtHand() string {
	return "cells have at hand, without an import: " + strings.Join(PackageNames(), ", ")
}

// Step is one thing that Run does: a statement, or the setting of variables
// that a cell defines at its top level.
type Step struct {
	Statement ast.Stmt // nil for a definition
	Spec      *ast.ValueSpec
	Spread    map[int]*ast.Ident // the value of spec.Names[i] goes on to this earlier variable
}

// Merged is all cells as one file for the type checker, in which each
// definition is a package-level variable and the statements make up one
// function.
type Merged struct {
	File  *ast.File
	Steps []Step
}

// Merge puts the parts of all cells together.
func (s *Source) Merge(p Parsed) Merged {
	m := Merged{File: &ast.File{Name: ast.NewIdent("cells")}}
	top := map[string]int{} // names defined at top level, with their offsets
	define := func(id *ast.Ident, how string) bool {
		if id.Name == "_" {
			return true
		}
		at := s.Offset(id.Pos())
		if text, hint := s.Taken(id.Name); text != "" {
			s.Report(at, "cell-name", text, hint)
			return false
		}
		if had, ok := top[id.Name]; ok {
			line, _ := diag.Place(s.Lesson.Source, had)
			hint := "choose another name; all cells of a lesson share theirs"
			if how == ":=" {
				hint = fmt.Sprintf("write %s = to give it a new value, or choose another name", id.Name)
			}
			s.Report(at, "cell-name", fmt.Sprintf("%q is defined already, in line %d", id.Name, line), hint)
			return false
		}
		top[id.Name] = at
		return true
	}

	for _, d := range p.Decls {
		f := d.(*ast.FuncDecl)
		if f.Recv == nil {
			switch f.Name.Name {
			case "init":
				s.Refuse(f.Name.Pos(), `a cell cannot have a function called "init"`, "write its statements at the top level of the cell, where they run in order")
			case "main":
				s.Refuse(f.Name.Pos(), `a cell needs no function called "main"`, "write its statements at the top level of the cell, where they run in order")
			default:
				define(f.Name, "func")
			}
		}
		m.File.Decls = append(m.File.Decls, d)
	}
	run := &ast.BlockStmt{}
	passing := 0
	for _, st := range p.Statements {
		switch st := st.(type) {
		case *ast.EmptyStmt:
		case *ast.LabeledStmt:
			s.Refuse(st.Pos(), "a label stands at the top level of a cell", "put the loop into a function, which can return from inside")
		case *ast.DeclStmt:
			g := st.Decl.(*ast.GenDecl)
			for _, sp := range g.Specs {
				switch sp := sp.(type) {
				case *ast.TypeSpec:
					define(sp.Name, "type")
				case *ast.ValueSpec:
					for _, id := range sp.Names {
						define(id, g.Tok.String())
					}
					if g.Tok == token.VAR {
						m.File.Decls = append(m.File.Decls, &ast.GenDecl{Tok: token.VAR, Specs: []ast.Spec{sp}})
						m.Steps = append(m.Steps, Step{Spec: sp})
					}
				}
			}
			if g.Tok != token.VAR {
				m.File.Decls = append(m.File.Decls, g)
			}
		case *ast.AssignStmt:
			if st.Tok != token.DEFINE {
				m.Steps = append(m.Steps, Step{Statement: st})
				run.List = append(run.List, st)
				continue
			}
			spec := &ast.ValueSpec{Values: st.Rhs}
			spread := map[int]*ast.Ident{}
			fresh := false
			for i, l := range st.Lhs {
				id, ok := l.(*ast.Ident)
				if !ok {
					s.Report(s.Offset(l.Pos()), "cell-syntax", "only a plain name can stand on the left of :=", "use = to change something that exists")
					continue
				}
				if _, had := top[id.Name]; had {
					between := &ast.Ident{Name: "__v" + strconv.Itoa(passing), NamePos: id.NamePos}
					passing++
					spread[i] = id
					id = between
				} else if id.Name != "_" {
					fresh = true
				}
				spec.Names = append(spec.Names, id)
			}
			if len(spec.Names) < len(st.Lhs) {
				continue
			}
			if !fresh {
				for i, id := range spec.Names {
					if old := spread[i]; old != nil {
						define(old, ":=")
					} else if len(st.Lhs) == 1 {
						s.Report(s.Offset(id.Pos()), "cell-name", `":=" makes no new variable here`, "write = instead")
					}
				}
				continue
			}
			if len(spread) > 0 && len(st.Rhs) == len(st.Lhs) {
				for _, old := range spread {
					define(old, ":=")
				}
				continue
			}
			for i, id := range spec.Names {
				if spread[i] == nil {
					define(id, ":=")
				}
			}
			m.File.Decls = append(m.File.Decls, &ast.GenDecl{Tok: token.VAR, Specs: []ast.Spec{spec}})
			m.Steps = append(m.Steps, Step{Spec: spec, Spread: spread})
		default:
			m.Steps = append(m.Steps, Step{Statement: st})
			run.List = append(run.List, st)
		}
	}
	m.File.Decls = append(m.File.Decls, &ast.FuncDecl{Name: ast.NewIdent(RunName), Type: &ast.FuncType{Params: &ast.FieldList{}}, Body: run})
	return m
}

// Taken says why a name cannot be defined at the top level of a cell.
func (s *Source) Taken(name string) (text, hint string) {
	switch {
	case name == SheetName:
		return `"tell" is what a cell tells its results to`, "choose another name"
	case name == ShelfName:
		return `"bench" is where a cell finds the machine`, "choose another name"
	case Packages[name] != "":
		return fmt.Sprintf("%q is a package that cells have at hand", name), "choose another name"
	case types.Universe.Lookup(name) != nil && name != "min" && name != "max" && name != "clear":
		return fmt.Sprintf("%q is a name that Go itself gives a meaning", name), "choose another name"
	}
	return "", ""
}

// imports checks an import that a cell writes although it need not.
func (s *Source) imports(g *ast.GenDecl) {
	for _, sp := range g.Specs {
		sp := sp.(*ast.ImportSpec)
		path, err := strconv.Unquote(sp.Path.Value)
		if err != nil {
			path = sp.Path.Value
		}
		name := path[strings.LastIndexByte(path, '/')+1:]
		switch {
		case Packages[name] != path:
			s.Refuse(sp.Path.Pos(), fmt.Sprintf("a cell cannot import %q", path), AtHand())
		case sp.Name != nil && sp.Name.Name != name:
			s.Refuse(sp.Name.Pos(), fmt.Sprintf("a cell cannot import %q under another name", path),
				fmt.Sprintf("leave the import out; the package is at hand as %q", name))
		}
	}
}

// Bind finds which packages the file uses and imports them, and sorts out
// the two names that stand for a value and for its package: tell.Value(...)
// calls the sheet's method, while tell.Line{...} means the package's type.
// Outside a call, and where the value has no such method, the package is
// meant.
func (s *Source) Bind(m Merged, member func(pkg, name string) bool, method func(pkg, name string) bool) {
	used := map[string]bool{}
	called := map[ast.Expr]bool{}
	ast.Inspect(m.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			called[n.Fun] = true
		case *ast.SelectorExpr:
			id, ok := n.X.(*ast.Ident)
			if !ok || Packages[id.Name] == "" {
				break
			}
			if id.Name == SheetName || id.Name == ShelfName {
				if called[n] && method(id.Name, n.Sel.Name) || !member(id.Name, n.Sel.Name) {
					break
				}
				if id.Name == SheetName {
					id.Name = SheetAlias
				} else {
					id.Name = ShelfAlias
				}
				break
			}
			used[id.Name] = true
		}
		return true
	})
	var specs []ast.Spec
	add := func(name, path string) {
		sp := &ast.ImportSpec{Path: &ast.BasicLit{Kind: token.STRING, Value: strconv.Quote(path)}}
		if name != "" {
			sp.Name = ast.NewIdent(name)
		}
		specs = append(specs, sp)
		m.File.Imports = append(m.File.Imports, sp)
	}
	for _, name := range PackageNames() {
		if used[name] {
			add("", Packages[name])
		}
	}
	variable := func(name, alias, kind string) ast.Decl {
		return &ast.GenDecl{Tok: token.VAR, Specs: []ast.Spec{&ast.ValueSpec{
			Names: []*ast.Ident{ast.NewIdent(name)},
			Type:  &ast.StarExpr{X: &ast.SelectorExpr{X: ast.NewIdent(alias), Sel: ast.NewIdent(kind)}},
		}}}
	}
	add(SheetAlias, Packages[SheetName])
	add(ShelfAlias, Packages[ShelfName])
	m.File.Decls = append([]ast.Decl{
		&ast.GenDecl{Tok: token.IMPORT, Specs: specs},
		variable(SheetName, SheetAlias, "Sheet"),
		variable(ShelfName, ShelfAlias, "Shelf"),
	}, m.File.Decls...)
}
