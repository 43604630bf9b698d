package subset

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
)

// Meaning refuses, in a program whose types are right, what the interpreter
// is known to get wrong, and what would not come out the same each time.
func Meaning(s *assemble.Source, c check.Checked) {
	v := &meaningWalk{Source: s, Checked: c, called: map[ast.Expr]bool{}, settled: map[ast.Expr]bool{}}
	v.caught, v.pointed = c.Captured(), c.Addresses()
	for _, d := range c.File.Decls {
		ast.Inspect(d, v.visit)
	}
	v.shared()
	if len(s.Messages) == 0 {
		openOrder(s, c)
	}
}

// maxArray is the largest array. Every variable of an array type has all its
// elements, and each copy copies them.
const maxArray = 1 << 16

type meaningWalk struct {
	*assemble.Source
	check.Checked
	called          map[ast.Expr]bool // expressions that stand in the place of a called function
	settled         map[ast.Expr]bool // calls of append whose list has no other name afterwards
	caught, pointed map[types.Object]bool
	grown           map[holder][]growth // where append adds to them
}

func (v *meaningWalk) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.FuncDecl:
		if n.Recv != nil && check.IsKind[*types.Signature](v.Info.TypeOf(n.Recv.List[0].Type)) {
			v.Refuse(n.Recv.Pos(), ownType.text, ownType.hint)
		}
	case *ast.CallExpr:
		v.called[ast.Unparen(n.Fun)] = true
		v.call(n)
	case *ast.SelectorExpr:
		v.selector(n)
	case *ast.BinaryExpr:
		v.binary(n)
	case *ast.AssignStmt:
		switch n.Tok {
		case token.QUO_ASSIGN, token.REM_ASSIGN:
			v.zeroDivisor(n.Rhs[0])
		case token.SHL_ASSIGN, token.SHR_ASSIGN:
			v.shift(n.Rhs[0])
		}
		if n.Tok != token.DEFINE {
			for _, l := range n.Lhs {
				v.assigned(l)
			}
		}
		v.appendedTo(n)
	case *ast.ReturnStmt:
		v.appendedLast(n)
	case *ast.StarExpr:
		if !v.Info.Types[n].IsType() {
			v.Refuse(n.Pos(), "cells do not take what a pointer points to as a whole", "name its fields, as in p.x, or hand over the value in place of the pointer")
		}
	case *ast.IncDecStmt:
		v.assigned(n.X)
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			v.assigned(n.X)
			if lit, ok := ast.Unparen(n.X).(*ast.CompositeLit); ok {
				v.pointedLiteral(lit, v.Info.TypeOf(lit))
			}
		}
	case *ast.IndexExpr:
		v.settle(n.X) // one element is read, and the list forgotten
	case *ast.RangeStmt:
		v.settle(n.X)
		v.ranged(n)
	case *ast.ForStmt:
		v.counted(n)
	case *ast.MapType:
		if t := v.Info.TypeOf(n.Key); t != nil && types.IsInterface(t) {
			v.Refuse(n.Key.Pos(), "the keys of a map are of an interface type", "use keys of a plain type, such as a name or number")
		}
	case *ast.ArrayType:
		if a, ok := v.Info.TypeOf(n).(*types.Array); ok && a.Len() > maxArray {
			v.Refuse(n.Pos(), fmt.Sprintf("an array of %d elements", a.Len()), fmt.Sprintf("make a slice when it is needed: make([]%s, n)", check.TypeName(a.Elem())))
		}
	case *ast.CompositeLit:
		if p, ok := v.Info.TypeOf(n).Underlying().(*types.Pointer); ok {
			v.pointedLiteral(n, p.Elem())
		}
	case *ast.SwitchStmt:
		v.choice(n)
	}
	return true
}

// pointedLiteral refuses a pointer to a new value that is not a struct: the
// interpreter makes it once, not in each turn of a loop.
func (v *meaningWalk) pointedLiteral(lit ast.Expr, t types.Type) {
	if !check.IsKind[*types.Struct](t) {
		v.Refuse(lit.Pos(), fmt.Sprintf("a pointer to a new %s", check.TypeName(t)), "give it a name in a line before, and take the address of that")
	}
}

func (v *meaningWalk) selector(n *ast.SelectorExpr) {
	sel := v.Info.Selections[n]
	if sel == nil {
		if o := v.Info.Uses[n.Sel]; o != nil && signed[o.Pkg().Path()+"."+o.Name()] && !v.called[n] {
			v.signOfZero(n)
		}
		return
	}
	name := n.Sel.Name
	switch {
	case sel.Kind() == types.MethodExpr:
		v.Refuse(n.Pos(), fmt.Sprintf("the method %q is used as a function", name),
			fmt.Sprintf("write a function that calls it: func(x ...) { return x.%s(...) }", name))
	case sel.Kind() == types.MethodVal && !v.called[n]:
		v.Refuse(n.Sel.Pos(), fmt.Sprintf("the method %q is used without calling it", name),
			fmt.Sprintf("add the parentheses, or write a function that calls it: func(x float64) float64 { return v.%s(x) }", name))
	}
}

// assigned refuses to change, or hand out the place of, what belongs to
// another package.
func (v *meaningWalk) assigned(e ast.Expr) {
	for {
		switch n := ast.Unparen(e).(type) {
		case *ast.IndexExpr:
			e = n.X
		case *ast.SelectorExpr:
			if o, ok := v.Info.Uses[n.Sel].(*types.Var); ok && !o.IsField() && o.Pkg() != v.Pkg {
				v.Refuse(n.Pos(), fmt.Sprintf("%q belongs to package %s and cannot be changed by a cell", n.Sel.Name, o.Pkg().Name()),
					"copy it to a variable of your own")
				return
			}
			e = n.X
		case *ast.Ident:
			if n.Name == assemble.SheetName || n.Name == assemble.ShelfName {
				text, _ := v.Taken(n.Name)
				v.Refuse(n.Pos(), text+" and cannot be changed", "choose another name")
			}
			return
		default:
			return
		}
	}
}

func (v *meaningWalk) call(n *ast.CallExpr) {
	fun := ast.Unparen(n.Fun)
	if tv := v.Info.Types[fun]; tv.IsType() {
		if check.IsKind[*types.Slice](v.Info.TypeOf(n.Args[0])) && (check.IsKind[*types.Array](tv.Type) || check.IsKind[*types.Pointer](tv.Type)) {
			v.Refuse(n.Pos(), "a slice is converted to an array", "keep the slice")
		}
		return
	}
	if g, ok := v.Info.TypeOf(fun).Underlying().(*types.Signature); ok && !strings.HasPrefix(types.ExprString(fun), "sort.Slice") {
		v.arguments(n, g)
	}
	if id, ok := fun.(*ast.Ident); ok {
		if b, ok := v.Info.Uses[id].(*types.Builtin); ok {
			switch b.Name() {
			case "append":
				v.appended(n)
			case "len":
				v.settle(n.Args[0])
			case "cap":
				if v.Info.Types[n].Value == nil {
					v.Refuse(n.Pos(), "cap tells how much room has been set aside, which Go leaves open", "use len, and keep a number of your own for what may come")
				}
			case "print", "println":
				v.Refuse(n.Pos(), fmt.Sprintf("%s is meant for work on Go itself", b.Name()), "write fmt.Println")
			case "recover":
				v.Refuse(n.Pos(), "a cell cannot catch a failure with recover", "test for it before, with an if")
			case "panic":
				if t := v.Info.TypeOf(n.Args[0]); t != nil {
					if basic, ok := t.Underlying().(*types.Basic); !ok || basic.Info()&types.IsString == 0 {
						v.Refuse(n.Args[0].Pos(), "a cell can panic with text only", "write panic(fmt.Sprint(...)), or err.Error() for an error")
					}
				}
			}
			return
		}
	}
	if len(n.Args) == 1 {
		if _, ok := v.Info.TypeOf(n.Args[0]).(*types.Tuple); ok {
			v.Refuse(n.Args[0].Pos(), "several results are handed straight to another call", "give them names first: a, b := ...")
		}
	}
	sel, ok := fun.(*ast.SelectorExpr)
	if !ok {
		return
	}
	o, ok := v.Info.Uses[sel.Sel].(*types.Func)
	if !ok || o.Pkg() == nil {
		return
	}
	if signed[o.Pkg().Path()+"."+o.Name()] && slices.ContainsFunc(n.Args, v.maybeNegativeZero) {
		v.signOfZero(sel)
	}
	switch o.Pkg().Path() {
	case "fmt":
		v.format(n, o)
	case "errors":
		if o.Name() == "As" {
			v.Refuse(sel.Sel.Pos(), "errors.As is left out of cells", "use errors.Is, or return the number that you need beside the error")
		}
	}
}

func isError(t types.Type) bool {
	return types.Identical(t, types.Universe.Lookup("error").Type())
}
