package subset

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"

	"slipring/engine/cell/check"
)

func (v *meaningWalk) ranged(n *ast.RangeStmt) {
	t := v.Info.TypeOf(n.X)
	if t == nil {
		return
	}
	switch t.Underlying().(type) {
	case *types.Map:
		v.Refuse(n.Pos(), "a map gives its entries in another order each time",
			"keep the keys in a slice as well, in the order that you want, and range over that")
	case *types.Basic:
		if id, ok := n.Key.(*ast.Ident); n.Key != nil && !(ok && id.Name == "_") {
			v.Refuse(n.Key.Pos(), "a loop asks for the place of each letter in a text, which the interpreter miscounts",
				"leave it out, for _, r := range s, and count yourself; or go over the bytes: for i := 0; i < len(s); i++")
		}
	case *types.Pointer:
		v.Refuse(n.Pos(), "a cell cannot range over a pointer", "range over what it points to: range *p, or use a slice")
	}
	if n.Tok == token.ASSIGN {
		v.Refuse(n.Key.Pos(), "a loop counts in what was there before it", "write := and copy the value inside the loop")
	}
}

// counted looks at the variables of a loop that function literals use. They
// are written as a copy for each turn, which holds only while nothing but the
// loop's head changes them.
func (v *meaningWalk) counted(n *ast.ForStmt) {
	if post, ok := n.Post.(*ast.AssignStmt); ok && len(post.Lhs) > 1 {
		if len(post.Rhs) == 1 || slices.ContainsFunc(post.Lhs, func(l ast.Expr) bool { return check.IsKind[*types.Interface](v.Info.TypeOf(l)) }) {
			v.Refuse(post.Pos(), "several results, or errors, are set in the head of a loop", "set them at the end of the loop")
		}
	}
	init, ok := n.Init.(*ast.AssignStmt)
	if !ok || init.Tok != token.DEFINE {
		return
	}
	literal := false // in the head
	ast.Inspect(&ast.ForStmt{Init: n.Init, Cond: n.Cond, Post: n.Post, Body: &ast.BlockStmt{}}, func(n ast.Node) bool {
		_, ok := n.(*ast.FuncLit)
		literal = literal || ok
		return true
	})
	for _, l := range init.Lhs {
		id, ok := l.(*ast.Ident)
		if !ok {
			continue
		}
		o := v.Info.Defs[id]
		if o == nil || !v.caught[o] {
			continue
		}
		if v.Changed(n.Body)[o] || v.pointed[o] || literal {
			v.Refuse(id.Pos(), fmt.Sprintf("the loop variable %q is changed in the loop and also kept, by a function literal or its address", id.Name),
				fmt.Sprintf("make a copy in the loop, k := %s, and keep that", id.Name))
		}
	}
}
