package check

import (
	"go/ast"
	"go/token"
	"go/types"
)

// Captured gives the local variables that a function literal uses from
// outside, and those whose address is taken: a copy for each turn of a loop
// is then something that a cell can tell.
func (c Checked) Captured() map[types.Object]bool {
	out := map[types.Object]bool{}
	use := func(id *ast.Ident) *types.Var {
		v, ok := c.Info.Uses[id].(*types.Var)
		if !ok || v.IsField() || v.Parent() == c.Pkg.Scope() {
			return nil
		}
		return v
	}
	ast.Inspect(c.File, func(n ast.Node) bool {
		c.takes(n, use, out)
		if lit, ok := n.(*ast.FuncLit); ok {
			ast.Inspect(lit.Body, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok {
					if v := use(id); v != nil && (v.Pos() < lit.Pos() || v.Pos() > lit.End()) {
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
	use := func(id *ast.Ident) *types.Var {
		v, _ := c.Info.Uses[id].(*types.Var)
		return v
	}
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				c.addressed(l, use, out)
			}
		case *ast.IncDecStmt:
			c.addressed(n.X, use, out)
		}
		return true
	})
	return out
}

// Addresses gives the variables whose address, or that of a part of which, is
// taken.
func (c Checked) Addresses() map[types.Object]bool {
	out := map[types.Object]bool{}
	use := func(id *ast.Ident) *types.Var {
		v, _ := c.Info.ObjectOf(id).(*types.Var)
		return v
	}
	ast.Inspect(c.File, func(n ast.Node) bool {
		c.takes(n, use, out)
		return true
	})
	return out
}

// takes notes the variable whose address n itself takes.
func (c Checked) takes(n ast.Node, use func(*ast.Ident) *types.Var, out map[types.Object]bool) {
	switch n := n.(type) {
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			c.addressed(n.X, use, out)
		}
	case *ast.SliceExpr:
		if _, ok := c.Info.TypeOf(n.X).Underlying().(*types.Array); ok {
			c.addressed(n.X, use, out)
		}
	case *ast.SelectorExpr:
		if c.TakesAddress(n) {
			c.addressed(n.X, use, out)
		}
	}
}

// addressed notes the variable whose place, or part of whose place, e is.
func (c Checked) addressed(e ast.Expr, use func(*ast.Ident) *types.Var, out map[types.Object]bool) {
	for {
		switch n := ast.Unparen(e).(type) {
		case *ast.Ident:
			if v := use(n); v != nil {
				out[v] = true
			}
			return
		case *ast.SelectorExpr:
			if _, ok := c.Info.TypeOf(n.X).Underlying().(*types.Pointer); ok {
				return
			}
			e = n.X
		case *ast.IndexExpr:
			if _, ok := c.Info.TypeOf(n.X).Underlying().(*types.Array); !ok {
				return
			}
			e = n.X
		default:
			return
		}
	}
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
