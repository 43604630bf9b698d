package cell

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
)

// plainGo writes the cells of a lesson as they stand, with the author's own
// statements and nothing rewritten but what makes a program of them: top-level
// definitions set variables of the package. Compiled, it is what the cells
// mean in Go, and what rewriting has to keep.
func plainGo(l *lesson.Lesson) *Program {
	s := newSource(l)
	m := s.merge(s.parse())
	c := s.check(m, symbols.Importer())

	// The names of the two packages that bind put in stand in the text too.
	type edit struct {
		at   int
		name string
	}
	var edits []edit
	ast.Inspect(m.file, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Pos().IsValid() && (id.Name == sheetAlias || id.Name == shelfAlias) {
			edits = append(edits, edit{s.offset(id.Pos()), id.Name})
		}
		return true
	})
	text := func(from, to token.Pos) string {
		a, b := s.offset(from), s.offset(to)
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
		case packages[sheetName]:
			return sheetAlias
		case packages[shelfName]:
			return shelfAlias
		}
		return p.Name()
	}

	var head, body, run bytes.Buffer
	head.WriteString("package cells\n")
	imported := map[string]string{packages[sheetName]: sheetAlias + " ", packages[shelfName]: shelfAlias + " "}
	for _, sp := range c.file.Imports {
		path := strings.Trim(sp.Path.Value, `"`)
		fmt.Fprintf(&head, "import %s%q\n", imported[path], path)
	}
	for _, d := range c.file.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			if d.Tok == token.TYPE || d.Tok == token.CONST {
				fmt.Fprintln(&body, text(d.Pos(), d.End()))
			}
		case *ast.FuncDecl:
			if d.Name.Name != "__run" {
				fmt.Fprintln(&body, text(d.Pos(), d.End()))
			}
		}
	}
	fmt.Fprintf(&body, "var tell *__tell.Sheet\nvar bench *__bench.Shelf\n")
	for _, st := range c.steps {
		if st.statement != nil {
			fmt.Fprintln(&run, text(st.statement.Pos(), st.statement.End()))
			continue
		}
		var names []string
		for i, id := range st.spec.Names {
			if o := c.info.Defs[id]; o != nil && st.spread[i] == nil && id.Name != "_" {
				fmt.Fprintf(&body, "var %s %s\n", id.Name, types.TypeString(o.Type(), alias))
			}
			if old := st.spread[i]; old != nil {
				id = old
			}
			names = append(names, id.Name)
		}
		if v := st.spec.Values; len(v) > 0 {
			fmt.Fprintf(&run, "%s = %s\n", strings.Join(names, ", "), text(v[0].Pos(), v[len(v)-1].End()))
		}
	}
	fmt.Fprintf(&body, "func Run(t__ *__tell.Sheet, b__ *__bench.Shelf, m__ func(int)) {\n\ttell, bench = t__, b__\n%s}\n", run.String())
	return &Program{File: l.File, LessonSource: l.Source, Source: append(head.Bytes(), body.Bytes()...)}
}
