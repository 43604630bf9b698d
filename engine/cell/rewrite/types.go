package rewrite

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"

	"slipring/engine/cell/assemble"
)

// types writes the cells' types.
func (w *writer) types() {
	for _, d := range w.Checked.File.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.TYPE {
			continue
		}
		for _, sp := range g.Specs {
			o := w.Info.Defs[sp.(*ast.TypeSpec).Name]
			if o.Name() != "_" && !isFunction(o.Type()) {
				w.line("type %s %s", w.name(o), w.typ(o.Type().Underlying()))
				w.line("")
			}
		}
	}
}

func isFunction(t types.Type) bool {
	_, ok := t.Underlying().(*types.Signature)
	return ok
}

// qualified gives the written name of something that another package has.
func (w *writer) qualified(o types.Object) string {
	path := o.Pkg().Path()
	name := o.Pkg().Name()
	switch path {
	case assemble.Packages[assemble.SheetName]:
		name = assemble.SheetAlias
	case assemble.Packages[assemble.ShelfName]:
		name = assemble.ShelfAlias
	}
	w.imports[path] = name
	return name + "." + o.Name()
}

// typ writes a type.
func (w *writer) typ(t types.Type) string {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return t.Name()
	case *types.Named:
		switch o := t.Obj(); o.Pkg() {
		case nil: // error
			return o.Name()
		case w.Pkg:
			if isFunction(t) { // (fault: a function of a named type is the one of the last turn)
				return w.typ(t.Underlying())
			}
			return w.name(o)
		default:
			return w.qualified(o)
		}
	case *types.Pointer:
		return "*" + w.typ(t.Elem())
	case *types.Slice:
		return "[]" + w.typ(t.Elem())
	case *types.Array:
		return fmt.Sprintf("[%d]%s", t.Len(), w.typ(t.Elem()))
	case *types.Map:
		return "map[" + w.typ(t.Key()) + "]" + w.typ(t.Elem())
	case *types.Signature:
		return "func" + w.signature(t, func(*types.Var) string { return "" })
	case *types.Struct:
		var fields []string
		for i := range t.NumFields() {
			fields = append(fields, t.Field(i).Name()+" "+w.typ(t.Field(i).Type()))
		}
		return "struct{ " + strings.Join(fields, "; ") + " }"
	}
	return t.String()
}

// signature writes the types of a function's parameters, each behind its name,
// and of its results.
func (w *writer) signature(g *types.Signature, name func(*types.Var) string) string {
	var in []string
	for i := range g.Params().Len() {
		p := g.Params().At(i)
		t := w.typ(p.Type())
		if g.Variadic() && i == g.Params().Len()-1 {
			t = "..." + w.typ(p.Type().Underlying().(*types.Slice).Elem())
		}
		in = append(in, name(p)+t)
	}
	return "(" + strings.Join(in, ", ") + ")" + w.results(g)
}
