package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strings"
)

// maxFindings is how many findings of the type checker are shown at once:
// later ones mostly follow from the first.
const maxFindings = 5

// mostLooked is how many findings are looked at: each may need a walk through
// all cells.
const mostLooked = 100

// maxFinding is how long a finding may be that is put into our words as it is.
const maxFinding = 1000

// A struct type without others in it, and the word that stands for one in a
// long finding.
var wholeStruct = regexp.MustCompile(`struct\{[^{}]+\}`)

const someStruct = "(a struct)"

// brief shortens a finding that writes out large types.
func brief(m string) string {
	if len(m) <= maxFinding {
		return m
	}
	for wholeStruct.MatchString(m) { // as often as they are nested
		m = wholeStruct.ReplaceAllString(m, someStruct)
	}
	if r := []rune(m); len(r) > maxFinding {
		m = string(r[:maxFinding]) + "..."
	}
	return m
}

// The language version that cells are checked against. It is older than the
// compiler's, because the interpreter knows no later one; what loops mean is
// made equal by rewriting.
const goVersion = "go1.20"

// checked is a merged file with what the type checker found out about it.
type checked struct {
	merged
	pkg      *types.Package
	info     *types.Info
	importer types.Importer
}

// check runs the type checker. What it finds is reported in our own words.
func (s *source) check(m merged, imp types.Importer) checked {
	sheet, shelf := exported(imp, sheetName), exported(imp, shelfName)
	member := func(pkg, name string) bool {
		p := map[string]*types.Package{sheetName: sheet, shelfName: shelf}[pkg]
		return p != nil && ast.IsExported(name) && p.Scope().Lookup(name) != nil
	}
	method := func(pkg, name string) bool {
		p, kind := sheet, "Sheet"
		if pkg == shelfName {
			p, kind = shelf, "Shelf"
		}
		if p == nil || p.Scope().Lookup(kind) == nil {
			return false
		}
		o, _, _ := types.LookupFieldOrMethod(types.NewPointer(p.Scope().Lookup(kind).Type()), true, nil, name)
		return o != nil
	}
	s.bind(m, member, method)

	c := checked{merged: m, importer: imp, info: &types.Info{
		Types:      map[ast.Expr]types.TypeAndValue{},
		Defs:       map[*ast.Ident]types.Object{},
		Uses:       map[*ast.Ident]types.Object{},
		Implicits:  map[ast.Node]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{},
		Instances:  map[*ast.Ident]types.Instance{},
	}}
	var found []types.Error
	conf := types.Config{
		GoVersion: goVersion,
		Importer:  imp,
		Sizes:     types.SizesFor("gc", "amd64"),
		Error: func(err error) {
			if e, ok := err.(types.Error); ok {
				found = append(found, e)
			}
		},
	}
	c.pkg, _ = conf.Check("cells", s.files, []*ast.File{m.file}, c.info)
	c.unimport()

	// The imports are ours, and unimport has taken out what is not needed.
	found = slices.DeleteFunc(found, func(e types.Error) bool { return strings.HasSuffix(e.Msg, "imported and not used") })
	early := s.early(c)
	if slices.ContainsFunc(found, func(e types.Error) bool { return !e.Soft }) {
		// what is unused because of an error elsewhere is not worth a line
		found = slices.DeleteFunc(found, func(e types.Error) bool { return e.Soft })
	}
	told, names := 0, map[string]bool{}
	slices.SortStableFunc(found, func(a, b types.Error) int { return s.offset(a.Pos) - s.offset(b.Pos) })
	said, looked := map[string]bool{}, 0 // those that were worded, and how many there were
	for _, e := range found {
		e.Msg = brief(e.Msg)
		if said[e.Msg] || looked == mostLooked {
			continue
		}
		looked++
		at := s.offset(e.Pos)
		if strings.HasPrefix(e.Msg, "use of package ") && c.beforeDot(e.Pos) || strings.HasPrefix(e.Msg, "\t") || at < 0 && len(found) > 1 || told == maxFindings {
			continue
		}
		said[e.Msg] = true
		if strings.HasPrefix(e.Msg, "initialization cycle") && early {
			continue
		}
		text, hint, ok := s.packageWords(c, e)
		if !ok {
			text, hint = s.typeWords(c, e)
		}
		if names[text] {
			continue // the same name, unknown again
		}
		names[text] = true
		told++
		s.report(at, "cell-type", text, hint)
	}
	for _, st := range m.steps { // values that go to earlier variables
		for i, old := range st.spread {
			v, was := c.info.Defs[st.spec.Names[i]], c.pkg.Scope().Lookup(old.Name)
			if told == 0 && v != nil && was != nil && !types.AssignableTo(v.Type(), was.Type()) {
				s.report(s.offset(old.Pos()), "cell-type",
					fmt.Sprintf("this gives %q a value of type %s, but it is of type %s", old.Name, words(v.Type()), words(was.Type())),
					"choose another name for it")
			}
		}
	}
	return c
}

// unimport takes out imports that nothing uses. bind imports what looks like
// the name of a package, and that may be a parameter or a local variable.
func (c checked) unimport() {
	used := map[types.Object]bool{}
	for _, o := range c.info.Uses {
		used[o] = true
	}
	unused := func(sp *ast.ImportSpec) bool {
		o := c.info.Implicits[sp]
		return o != nil && !used[o] // one under another name is ours, and used
	}
	c.file.Imports = slices.DeleteFunc(c.file.Imports, unused)
	for _, d := range c.file.Decls {
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.IMPORT {
			g.Specs = slices.DeleteFunc(g.Specs, func(sp ast.Spec) bool { return unused(sp.(*ast.ImportSpec)) })
		}
	}
}

// words names a type as a cell would.
func words(t types.Type) string {
	return types.TypeString(t, func(p *types.Package) string {
		if p.Path() == "cells" {
			return ""
		}
		return p.Name()
	})
}

func exported(imp types.Importer, name string) *types.Package {
	p, err := imp.Import(packages[name])
	if err != nil {
		return nil
	}
	return p
}
