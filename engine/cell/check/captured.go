package check

import (
	"go/ast"
	"go/token"
	"go/types"
	"maps"
)

// Captured gives the local variables that a function literal uses from
// outside, and those whose address is taken: a copy for each turn of a loop
// is then something that a cell can tell.
func (c Checked) Captured() map[types.Object]bool {
	out := c.Addresses()
	maps.DeleteFunc(out, func(o types.Object, _ bool) bool { return o.Parent() == c.Pkg.Scope() })
	ast.Inspect(c.File, func(n ast.Node) bool {
		if lit, ok := n.(*ast.FuncLit); ok {
			ast.Inspect(lit.Body, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok {
					v, ok := c.Info.Uses[id].(*types.Var)
					if ok && !v.IsField() && v.Parent() != c.Pkg.Scope() && (v.Pos() < lit.Pos() || v.Pos() > lit.End()) {
						out[v] = true
					}
				}
				return true
			})
		}
		return true
	})
	return out
}

// Changed gives the variables that are assigned to below root after their
// definition, or of which a part is.
func (c Checked) Changed(root ast.Node) map[types.Object]bool {
	out := map[types.Object]bool{}
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				if id, ok := l.(*ast.Ident); !ok || c.Info.Defs[id] == nil {
					c.note(l, out)
				}
			}
		case *ast.IncDecStmt:
			c.note(n.X, out)
		}
		return true
	})
	return out
}

// Addresses gives the variables whose address, or that of a part of which, is
// taken.
func (c Checked) Addresses() map[types.Object]bool {
	out := map[types.Object]bool{}
	ast.Inspect(c.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.UnaryExpr:
			if n.Op == token.AND {
				c.note(n.X, out)
			}
		case *ast.SliceExpr:
			if IsKind[*types.Array](c.Info.TypeOf(n.X)) {
				c.note(n.X, out)
			}
		case *ast.SelectorExpr:
			if c.TakesAddress(n) {
				c.note(n.X, out)
			}
		}
		return true
	})
	return out
}

func (c Checked) note(e ast.Expr, out map[types.Object]bool) {
	if o, _ := c.Root(e); o != nil {
		out[o] = true
	}
}

// Root gives the variable of which e is a part, or tells that e is in memory that
// a pointer, list or map leads to.
func (c Checked) Root(e ast.Expr) (o types.Object, memory bool) {
	for {
		switch n := ast.Unparen(e).(type) {
		case *ast.Ident:
			if v, ok := c.Info.ObjectOf(n).(*types.Var); ok && !v.IsField() {
				return v, false
			}
			return nil, false
		case *ast.SelectorExpr:
			if v, ok := c.Info.Uses[n.Sel].(*types.Var); !ok || !v.IsField() {
				return nil, false
			}
			if IsKind[*types.Pointer](c.Info.TypeOf(n.X)) {
				return nil, true
			}
			e = n.X
		case *ast.IndexExpr:
			if !IsKind[*types.Array](c.Info.TypeOf(n.X)) {
				return nil, !IsKind[*types.Basic](c.Info.TypeOf(n.X))
			}
			e = n.X
		default:
			return nil, false
		}
	}
}

// IsKind tells whether a type is, below its name, a list, a pointer and so on.
func IsKind[T types.Type](t types.Type) bool {
	if t == nil {
		return false
	}
	_, ok := t.Underlying().(T)
	return ok
}

// Read gives the variables that the written program still reads: uses in
// constant expressions, such as len of an array, are gone from it.
func (c Checked) Read() map[*types.Var]bool {
	out := map[*types.Var]bool{}
	for _, d := range c.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			if e, ok := n.(ast.Expr); ok {
				if tv := c.Info.Types[e]; tv.Value != nil {
					return false
				}
			}
			if id, ok := n.(*ast.Ident); ok {
				if v, ok := c.Info.Uses[id].(*types.Var); ok {
					out[v] = true
				}
			}
			return true
		})
	}
	return out
}

// TakesAddress tells whether a method is called on the place of a value
// rather than on a copy.
func (c Checked) TakesAddress(n *ast.SelectorExpr) bool {
	sel := c.Info.Selections[n]
	if sel == nil || sel.Kind() != types.MethodVal {
		return false
	}
	r := sel.Obj().Type().(*types.Signature).Recv()
	if r == nil {
		return false
	}
	_, wants := r.Type().Underlying().(*types.Pointer)
	_, has := c.Info.TypeOf(n.X).Underlying().(*types.Pointer)
	return wants && !has
}
