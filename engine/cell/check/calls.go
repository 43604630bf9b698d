package check

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
)

// Call is one place in a cell that names something of the engine: a call most
// often, but also a type, a constant, or a field that is read or set.
type Call struct {
	Cell     int    // index into Lesson.Cells
	From, To int    // bytes of Cell.Source
	Name     string // where it is declared: bench.Set.Steady, machine.Load.Torque
}

// Calls reads off what the type checker found each name to mean, so that a
// name that a cell gave another meaning is not mistaken for the engine's.
func (c Checked) Calls(s *assemble.Source) []Call {
	var out []Call
	note := func(from, to token.Pos, name string) {
		cell, a, ok := s.InCell(from)
		other, b, end := s.InCell(to)
		if ok && end && cell == other && a < b && name != "" {
			out = append(out, Call{cell, a, b, name})
		}
	}
	ast.Inspect(c.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			from := n.Sel.Pos()
			// bench.Open is one word to an author, whether bench stands for the
			// shelf or for its package.
			if id, ok := n.X.(*ast.Ident); ok && atHandHere(c, id) {
				from = id.Pos()
			}
			note(from, n.Sel.End(), declaredAs(c, n))
		case *ast.CompositeLit:
			t := c.Info.TypeOf(n)
			if t == nil {
				break
			}
			for _, e := range n.Elts {
				if kv, ok := e.(*ast.KeyValueExpr); ok {
					if id, ok := kv.Key.(*ast.Ident); ok {
						if v, ok := c.Info.Uses[id].(*types.Var); ok && v.IsField() {
							note(id.Pos(), id.End(), member(t, v.Name()))
						}
					}
				}
			}
		}
		return true
	})
	slices.SortFunc(out, func(a, b Call) int {
		if a.Cell != b.Cell {
			return a.Cell - b.Cell
		}
		return a.From - b.From
	})
	return out
}

// atHandHere says whether a name is one that every cell has at hand, and means
// that here.
func atHandHere(c Checked, id *ast.Ident) bool {
	switch o := c.Info.Uses[id].(type) {
	case *types.PkgName:
		return true
	case *types.Var:
		return o.Parent() == c.Pkg.Scope() && (id.Name == assemble.SheetName || id.Name == assemble.ShelfName)
	}
	return false
}

// declaredAs gives the engine's name for what a selector selects, or "".
func declaredAs(c Checked, n *ast.SelectorExpr) string {
	sel := c.Info.Selections[n]
	if sel == nil {
		o := c.Info.Uses[n.Sel]
		if o == nil || !OfEngine(o.Pkg()) {
			return ""
		}
		return o.Pkg().Name() + "." + o.Name()
	}
	if f, ok := sel.Obj().(*types.Func); ok {
		return member(f.Signature().Recv().Type(), f.Name())
	}
	// A field may be that of a struct that is embedded in another.
	t := sel.Recv()
	for i, at := range sel.Index() {
		st, ok := pointee(t).Underlying().(*types.Struct)
		if !ok {
			return ""
		}
		if i == len(sel.Index())-1 {
			return member(t, st.Field(at).Name())
		}
		t = st.Field(at).Type()
	}
	return ""
}

// member names a method or a field of a type of the engine.
func member(t types.Type, name string) string {
	n, ok := pointee(t).(*types.Named)
	if !ok || !OfEngine(n.Obj().Pkg()) {
		return ""
	}
	return n.Obj().Pkg().Name() + "." + n.Obj().Name() + "." + name
}

// pointee gives the type that a pointer leads to.
func pointee(t types.Type) types.Type {
	if p, ok := types.Unalias(t).(*types.Pointer); ok {
		t = p.Elem()
	}
	return types.Unalias(t)
}

func OfEngine(p *types.Package) bool {
	return p != nil && strings.HasPrefix(p.Path(), "slipring/")
}
