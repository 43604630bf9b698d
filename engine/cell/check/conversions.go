package check

import (
	"go/ast"
	"go/token"
	"go/types"
)

// visitor is told of an expression, its type, and the type that it takes on
// where it stands. Of a call with several results it is told once for each.
type visitor func(e ast.Expr, from, to types.Type)

// Conversions visits every expression that takes on another type where it
// stands: in assignments, calls, returns, literals, indices and conversions
// that are written out.
func (c Checked) Conversions(told visitor) {
	visit := func(e ast.Expr, to types.Type) {
		if from := c.Info.TypeOf(e); from != nil && to != nil {
			told(e, from, to)
		}
	}
	var walk func(n ast.Node, results *types.Tuple)
	several := func(es []ast.Expr, n int, to func(i int) types.Type) {
		if len(es) == 1 && n > 1 {
			if t, ok := c.Info.TypeOf(es[0]).(*types.Tuple); ok && t.Len() == n {
				for i := range n {
					if to(i) != nil {
						told(es[0], t.At(i).Type(), to(i))
					}
				}
			}
			return
		}
		for i, e := range es {
			visit(e, to(i))
		}
	}
	walk = func(root ast.Node, results *types.Tuple) {
		ast.Inspect(root, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if o, ok := c.Info.Defs[n.Name].(*types.Func); ok && n.Body != nil {
					walk(n.Body, o.Type().(*types.Signature).Results())
				}
				return false
			case *ast.FuncLit:
				if g, ok := c.Info.TypeOf(n).Underlying().(*types.Signature); ok {
					walk(n.Body, g.Results())
				}
				return false
			case *ast.ReturnStmt:
				if results != nil && len(n.Results) > 0 {
					several(n.Results, results.Len(), func(i int) types.Type { return results.At(i).Type() })
				}
			case *ast.AssignStmt:
				if n.Tok == token.ASSIGN || n.Tok == token.DEFINE {
					several(n.Rhs, len(n.Lhs), func(i int) types.Type { return c.PlaceType(n.Lhs[i]) })
				}
			case *ast.ValueSpec:
				if n.Type != nil {
					several(n.Values, len(n.Names), func(int) types.Type { return c.Info.TypeOf(n.Type) })
				}
			case *ast.IndexExpr:
				if m, ok := c.Info.TypeOf(n.X).Underlying().(*types.Map); ok {
					visit(n.Index, m.Key())
				}
			case *ast.CompositeLit:
				c.elements(n, visit)
			case *ast.CallExpr:
				c.arguments(n, visit)
			}
			return true
		})
	}
	for _, d := range c.File.Decls {
		walk(d, nil)
	}
}

// PlaceType gives the type of what stands on the left of an assignment, nil
// for the blank name.
func (c Checked) PlaceType(e ast.Expr) types.Type {
	if id, ok := e.(*ast.Ident); ok {
		if id.Name == "_" {
			return nil
		}
		if o := c.Info.ObjectOf(id); o != nil {
			return o.Type()
		}
	}
	return c.Info.TypeOf(e)
}

func (c Checked) elements(n *ast.CompositeLit, visit func(ast.Expr, types.Type)) {
	t := c.Info.TypeOf(n).Underlying()
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem().Underlying()
	}
	for i, e := range n.Elts {
		kv, keyed := e.(*ast.KeyValueExpr)
		value := e
		if keyed {
			value = kv.Value
		}
		switch t := t.(type) {
		case *types.Struct:
			if !keyed {
				visit(value, t.Field(i).Type())
				continue
			}
			if f, ok := c.Info.Uses[kv.Key.(*ast.Ident)].(*types.Var); ok {
				visit(value, f.Type())
			}
		case *types.Map:
			if keyed {
				visit(kv.Key, t.Key())
			}
			visit(value, t.Elem())
		case *types.Slice:
			visit(value, t.Elem())
		case *types.Array:
			visit(value, t.Elem())
		}
	}
}

func (c Checked) arguments(n *ast.CallExpr, visit func(ast.Expr, types.Type)) {
	tv := c.Info.Types[ast.Unparen(n.Fun)]
	if tv.IsType() {
		if len(n.Args) == 1 {
			visit(n.Args[0], tv.Type)
		}
		return
	}
	g, ok := tv.Type.Underlying().(*types.Signature)
	if !ok || isPanic(n) {
		return
	}
	for i, a := range n.Args {
		switch {
		case g.Variadic() && i >= g.Params().Len()-1:
			last := g.Params().At(g.Params().Len() - 1).Type()
			if n.Ellipsis.IsValid() {
				visit(a, last)
			} else if s, ok := last.Underlying().(*types.Slice); ok {
				visit(a, s.Elem())
			}
		case i < g.Params().Len():
			visit(a, g.Params().At(i).Type())
		}
	}
}

func isPanic(n *ast.CallExpr) bool {
	id, ok := ast.Unparen(n.Fun).(*ast.Ident)
	return ok && id.Name == "panic"
}
