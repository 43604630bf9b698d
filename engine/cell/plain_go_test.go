package cell

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
)

// plainGo writes the cells of a lesson as they stand, with the author's own
// statements and nothing rewritten but what makes a program of them: top-level
// definitions set variables of the package. Compiled, it is what the cells
// mean in Go, and what rewriting has to keep.
func plainGo(l *lesson.Lesson) *Program {
	s := assemble.New(l)
	m := s.Merge(s.Parse())
	c := check.Check(s, m, symbols.Importer())

	// The names of the two packages that bind put in stand in the text too.
	type edit struct {
		at   int
		name string
	}
	var edits []edit
	ast.Inspect(m.File, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Pos().IsValid() && (id.Name == assemble.SheetAlias || id.Name == assemble.ShelfAlias) {
			edits = append(edits, edit{s.Offset(id.Pos()), id.Name})
		}
		return true
	})
	text := func(from, to token.Pos) string {
		a, b := s.Offset(from), s.Offset(to)
		var out strings.Builder
		for a < b {
			i := slices.IndexFunc(edits, func(e edit) bool { return e.at >= a && e.at < b })
			if i < 0 {
				out.Write(l.Source[a:b])
				break
			}
			out.Write(l.Source[a:edits[i].at])
			out.WriteString(edits[i].name)
			a = edits[i].at + len(strings.TrimPrefix(edits[i].name, "__"))
			edits = slices.Delete(edits, i, i+1)
		}
		return out.String()
	}
	alias := func(p *types.Package) string {
		switch p.Path() {
		case "cells":
			return ""
		case assemble.Packages[assemble.SheetName]:
			return assemble.SheetAlias
		case assemble.Packages[assemble.ShelfName]:
			return assemble.ShelfAlias
		}
		return p.Name()
	}

	var head, body, run bytes.Buffer
	head.WriteString("package cells\n")
	imported := map[string]string{assemble.Packages[assemble.SheetName]: assemble.SheetAlias + " ", assemble.Packages[assemble.ShelfName]: assemble.ShelfAlias + " "}
	for _, sp := range c.File.Imports {
		path := strings.Trim(sp.Path.Value, `"`)
		fmt.Fprintf(&head, "import %s%q\n", imported[path], path)
	}
	for _, d := range c.File.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			if d.Tok == token.TYPE || d.Tok == token.CONST {
				fmt.Fprintln(&body, text(d.Pos(), d.End()))
			}
		case *ast.FuncDecl:
			if d.Name.Name != assemble.RunName {
				fmt.Fprintln(&body, text(d.Pos(), d.End()))
			}
		}
	}
	fmt.Fprintf(&body, "var tell *__tell.Sheet\nvar bench *__bench.Shelf\n")
	for _, st := range c.Steps {
		if st.Statement != nil {
			fmt.Fprintln(&run, text(st.Statement.Pos(), st.Statement.End()))
			continue
		}
		var names []string
		for i, id := range st.Spec.Names {
			if o := c.Info.Defs[id]; o != nil && st.Spread[i] == nil && id.Name != "_" {
				fmt.Fprintf(&body, "var %s %s\n", id.Name, types.TypeString(o.Type(), alias))
			}
			if old := st.Spread[i]; old != nil {
				id = old
			}
			names = append(names, id.Name)
		}
		if v := st.Spec.Values; len(v) > 0 {
			fmt.Fprintf(&run, "%s = %s\n", strings.Join(names, ", "), text(v[0].Pos(), v[len(v)-1].End()))
		}
	}
	fmt.Fprintf(&body, "func Run(t__ *__tell.Sheet, b__ *__bench.Shelf, m__ func(int)) {\n\ttell, bench = t__, b__\n%s}\n", run.String())
	return &Program{Program: assemble.Program{File: l.File, LessonSource: l.Source, Source: append(head.Bytes(), body.Bytes()...)}}
}
