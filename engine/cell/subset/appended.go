package subset

import (
	"fmt"
	"go/ast"
	"go/types"

	"slipring/engine/cell/check"
)

// A list to which append adds may share its elements with the longer one, or
// may not: that depends on how much room was set aside for it, which Go leaves
// open. Compiler and interpreter differ. Where the list goes on being used
// under its own name beside the longer one, the difference can be seen.
// (The Go Programming Language Specification, "Appending to and copying slices".)

// appended refuses to append to a list that keeps its name.
func (v *meaningWalk) appended(n *ast.CallExpr) {
	if v.settled[n] || len(n.Args) < 2 {
		return
	}
	list := v.lengthened(n)
	if list == nil {
		return
	}
	v.settle(n) // once for a chain
	text := types.ExprString(list)
	v.Refuse(n.Pos(), fmt.Sprintf("append puts the longer list elsewhere than into %s, and Go leaves open whether the two share their elements", text),
		fmt.Sprintf("write %s = append(%[1]s, ...), or add to a copy: append(append(%s{}, %[1]s...), ...)", text, check.TypeName(v.Info.TypeOf(list))))
}

// lengthened gives the place of the list to which a chain of appends adds, nil for
// a list that has no other name.
func (v *meaningWalk) lengthened(e ast.Expr) ast.Expr {
	for {
		switch n := ast.Unparen(e).(type) {
		case *ast.SliceExpr:
			e = n.X
		case *ast.CallExpr:
			if !v.isAppend(n) && !v.Info.Types[ast.Unparen(n.Fun)].IsType() {
				return nil
			}
			e = n.Args[0]
		case *ast.Ident:
			if v.Info.Types[n].IsNil() {
				return nil
			}
			return n
		case *ast.SelectorExpr, *ast.IndexExpr, *ast.StarExpr:
			return n
		default:
			return nil
		}
	}
}

func (v *meaningWalk) isAppend(n *ast.CallExpr) bool {
	id, ok := ast.Unparen(n.Fun).(*ast.Ident)
	return ok && id.Name == "append" && v.Info.Types[id].IsBuiltin()
}

// settle notes a chain of appends that is as it should be.
func (v *meaningWalk) settle(e ast.Expr) {
	for {
		n, ok := ast.Unparen(e).(*ast.CallExpr)
		if !ok || !v.isAppend(n) {
			return
		}
		v.settled[n] = true
		e = n.Args[0]
	}
}

// appendedTo settles xs = append(xs, ...).
func (v *meaningWalk) appendedTo(n *ast.AssignStmt) {
	if len(n.Lhs) != len(n.Rhs) {
		return
	}
	for i, r := range n.Rhs {
		if id, ok := n.Lhs[i].(*ast.Ident); ok && id.Name == "_" {
			v.settle(r)
		} else if list := v.lengthened(r); list != nil && v.samePlace(n.Lhs[i], list) {
			v.settle(r)
		}
	}
}

// samePlace tells whether two expressions are written alike and mean the same
// variables.
func (v *meaningWalk) samePlace(a, b ast.Expr) bool {
	if types.ExprString(ast.Unparen(a)) != types.ExprString(ast.Unparen(b)) {
		return false
	}
	names := func(e ast.Expr) (out []types.Object) {
		ast.Inspect(e, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				out = append(out, v.Info.ObjectOf(id))
			}
			return true
		})
		return out
	}
	x, y := names(a), names(b)
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return false
		}
	}
	return true
}

// appendedLast settles return append(xs, ...) where xs is a variable of the
// function alone, which is gone afterwards.
func (v *meaningWalk) appendedLast(n *ast.ReturnStmt) {
	for _, r := range n.Results {
		if id, ok := v.lengthened(r).(*ast.Ident); ok {
			o, ok := v.Info.Uses[id].(*types.Var)
			if ok && o.Kind() != types.PackageVar && o.Kind() != types.ParamVar && o.Kind() != types.RecvVar && !v.caught[o] {
				v.settle(r)
			}
		}
	}
}

// hidden refuses to take a thing of the engine from its pointer: a copy would
// share a part of what it keeps to itself with the first.
func (v *meaningWalk) hidden(n *ast.StarExpr) {
	tv := v.Info.Types[n]
	named, ok := types.Unalias(tv.Type).(*types.Named)
	if tv.IsType() || !ok || !check.OfEngine(named.Obj().Pkg()) {
		return
	}
	if st, ok := named.Underlying().(*types.Struct); ok {
		for i := range st.NumFields() {
			if st.Field(i).Name() == "_" {
				v.Refuse(n.Pos(), fmt.Sprintf("a %s cannot be copied or replaced", check.TypeName(named)), "use it by its pointer, without the *")
				return
			}
		}
	}
}
