package subset

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"slices"
)

func (v *meaningWalk) binary(n *ast.BinaryExpr) {
	if v.Info.Types[n].Value != nil {
		return
	}
	switch n.Op {
	case token.QUO, token.REM:
		v.zeroDivisor(n.Y)
	case token.SHL, token.SHR:
		v.shift(n.Y)
	case token.LAND, token.LOR:
		v.literalInside(n.X)
		v.literalInside(n.Y)
	case token.EQL, token.NEQ:
		x, y := v.Info.Types[n.X], v.Info.Types[n.Y]
		if x.IsNil() || y.IsNil() {
			return
		}
		if types.IsInterface(x.Type) || types.IsInterface(y.Type) {
			hint := "compare values of a plain type"
			if isError(x.Type) || isError(y.Type) {
				hint = "write errors.Is(err, other), or compare with nil"
			}
			v.Refuse(n.OpPos, "two values of an interface type are compared", hint)
			return
		}
		switch x.Type.Underlying().(type) {
		case *types.Struct, *types.Array:
			v.Refuse(n.OpPos, "two values are compared that are made of several", "compare their fields or elements one by one")
		}
	}
}

func (v *meaningWalk) choice(n *ast.SwitchStmt) {
	if len(n.Body.List) == 0 {
		v.Refuse(n.Pos(), "a switch without cases", "remove it, or write its cases")
	}
	if n.Tag != nil {
		t := v.Info.TypeOf(n.Tag)
		switch t.Underlying().(type) {
		case *types.Interface:
			v.Refuse(n.Tag.Pos(), "a switch over a value of an interface type is left out of cells", "write if and errors.Is, or compare a value of a plain type")
		case *types.Struct, *types.Array:
			v.Refuse(n.Tag.Pos(), "two values are compared that are made of several", "compare their fields or elements one by one")
		}
	}
	for _, c := range n.Body.List {
		list := c.(*ast.CaseClause).List
		if i := slices.IndexFunc(list, func(e ast.Expr) bool { return v.Info.Types[e].Value == nil }); len(list) > 1 && i >= 0 {
			v.Refuse(list[i].Pos(), "among several values of a case, one is no constant", "write a case for each, or a switch without a value and ||")
		}
	}
}

func (v *meaningWalk) zeroDivisor(e ast.Expr) {
	tv := v.Info.Types[e]
	if tv.Value == nil {
		return
	}
	if k := tv.Value.Kind(); k != constant.Int && k != constant.Float && k != constant.Complex {
		return
	}
	if constant.Sign(constant.Real(tv.Value)) == 0 && constant.Sign(constant.Imag(tv.Value)) == 0 {
		v.Refuse(e.Pos(), "this divides by a constant zero", "divide by something else; write math.Inf(1) if infinity is meant")
	}
}

// literalInside refuses a literal of several values inside && and ||, at which
// the interpreter loses its way when it begins with one.
func (v *meaningWalk) literalInside(e ast.Expr) {
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.BinaryExpr:
			return n.Op != token.LAND && n.Op != token.LOR // looked at by itself
		case *ast.CompositeLit:
			v.Refuse(n.Pos(), "a value in braces stands inside && or ||", "give it a name in a line before")
			return false
		}
		return true
	})
}

// shift refuses to shift by a number that may be negative, which the
// interpreter takes for a very large one.
func (v *meaningWalk) shift(e ast.Expr) {
	tv := v.Info.Types[e]
	if b, ok := tv.Type.Underlying().(*types.Basic); ok && tv.Value == nil && b.Info()&types.IsUnsigned == 0 {
		v.Refuse(e.Pos(), "a shift by a number that may be negative", fmt.Sprintf("write uint(%s)", types.ExprString(e)))
	}
}
