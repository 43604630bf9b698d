// Package check runs the type checker on the assembled cells. In goes the merged
// file; out come its types, with what later packages ask about names,
// conversions and variables, or messages in our words.
package check

import (
	"fmt"
	"go/ast"
	"go/types"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
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
const GoVersion = "go1.20"

// Checked is a merged file with what the type checker found out about it.
type Checked struct {
	assemble.Merged
	Pkg      *types.Package
	Info     *types.Info
	importer types.Importer
}

// Check runs the type checker. What it finds is reported in our own words.
func Check(s *assemble.Source, m assemble.Merged, imp types.Importer) Checked {
	sheet, shelf := exported(imp, assemble.SheetName), exported(imp, assemble.ShelfName)
	member := func(pkg, name string) bool {
		p := map[string]*types.Package{assemble.SheetName: sheet, assemble.ShelfName: shelf}[pkg]
		return p != nil && ast.IsExported(name) && p.Scope().Lookup(name) != nil
	}
	method := func(pkg, name string) bool {
		p, kind := sheet, "Sheet"
		if pkg == assemble.ShelfName {
			p, kind = shelf, "Shelf"
		}
		if p == nil || p.Scope().Lookup(kind) == nil {
			return false
		}
		o, _, _ := types.LookupFieldOrMethod(types.NewPointer(p.Scope().Lookup(kind).Type()), true, nil, name)
		return o != nil
	}
	s.Bind(m, member, method)

	c := Checked{Merged: m, importer: imp, Info: &types.Info{
		Types:      map[ast.Expr]types.TypeAndValue{},
		Defs:       map[*ast.Ident]types.Object{},
		Uses:       map[*ast.Ident]types.Object{},
		Implicits:  map[ast.Node]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{},
	}}
	var found []types.Error
	conf := types.Config{
		GoVersion: GoVersion,
		Importer:  imp,
		Sizes:     types.SizesFor("gc", "amd64"),
		Error: func(err error) {
			if e, ok := err.(types.Error); ok {
				found = append(found, e)
			}
		},
	}
	c.Pkg, _ = conf.Check("cells", s.Files, []*ast.File{m.File}, c.Info)

	// The imports are ours.
	found = slices.DeleteFunc(found, func(e types.Error) bool { return strings.HasSuffix(e.Msg, "imported and not used") })
	early := c.early(s)
	if slices.ContainsFunc(found, func(e types.Error) bool { return !e.Soft }) {
		// what is unused because of an error elsewhere is not worth a line
		found = slices.DeleteFunc(found, func(e types.Error) bool { return e.Soft })
	}
	told, names := 0, map[string]bool{}
	slices.SortStableFunc(found, func(a, b types.Error) int { return s.Offset(a.Pos) - s.Offset(b.Pos) })
	said, looked := map[string]bool{}, 0 // those that were worded, and how many there were
	for _, e := range found {
		e.Msg = brief(e.Msg)
		if said[e.Msg] || looked == mostLooked {
			continue
		}
		looked++
		at := s.Offset(e.Pos)
		if strings.HasPrefix(e.Msg, "use of package ") && c.beforeDot(e.Pos) || strings.HasPrefix(e.Msg, "\t") || at < 0 && len(found) > 1 || told == maxFindings {
			continue
		}
		said[e.Msg] = true
		if strings.HasPrefix(e.Msg, "initialization cycle") && early {
			continue
		}
		text, hint := c.typeWords(e)
		if names[text] {
			continue // the same name, unknown again
		}
		names[text] = true
		told++
		s.Report(at, "cell-type", text, hint)
	}
	for _, st := range m.Steps { // values that go to earlier variables
		for i, old := range st.Spread {
			v, was := c.Info.Defs[st.Spec.Names[i]], c.Pkg.Scope().Lookup(old.Name)
			if told == 0 && v != nil && was != nil && !types.AssignableTo(v.Type(), was.Type()) {
				s.Report(s.Offset(old.Pos()), "cell-type",
					fmt.Sprintf("this gives %q a value of type %s, but it is of type %s", old.Name, TypeName(v.Type()), TypeName(was.Type())),
					"choose another name for it")
			}
		}
	}
	return c
}

// TypeName names a type as a cell would.
func TypeName(t types.Type) string {
	return types.TypeString(t, func(p *types.Package) string {
		if p.Path() == "cells" {
			return ""
		}
		return p.Name()
	})
}

func exported(imp types.Importer, name string) *types.Package {
	p, err := imp.Import(assemble.Packages[name])
	if err != nil {
		return nil
	}
	return p
}
