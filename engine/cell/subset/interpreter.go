package subset

import (
	"fmt"
	"go/ast"
	"go/constant"
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
	v := &meaningWalk{Source: s, Checked: c, called: map[ast.Expr]bool{}, sorted: map[ast.Expr]bool{}, settled: map[ast.Expr]bool{}}
	v.caught, v.pointed = c.Captured(), c.Addresses()
	for _, d := range c.File.Decls {
		ast.Inspect(d, v.visit)
	}
	v.Conversions(v.intoInterface)
	v.recursive()
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
	sorted          map[ast.Expr]bool // slices handed to package sort
	settled         map[ast.Expr]bool // calls of append whose list has no other name afterwards
	caught, pointed map[types.Object]bool
	grown           map[holder][]growth // where append adds to them
}

func (v *meaningWalk) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.CallExpr:
		v.called[ast.Unparen(n.Fun)] = true
		v.call(n)
	case *ast.SelectorExpr:
		v.selector(n)
	case *ast.Ident:
		v.instance(n)
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
		if len(n.Lhs) == 1 {
			if x, ok := ast.Unparen(n.Lhs[0]).(*ast.IndexExpr); ok && isKind[*types.Map](v.Info.TypeOf(x.X)) {
				v.pointedTo(n.Rhs[0])
			}
		}
		v.appendedTo(n)
	case *ast.ReturnStmt:
		v.appendedLast(n)
	case *ast.StarExpr:
		v.hidden(n)
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
		if _, ok := v.Info.TypeOf(n).Underlying().(*types.Map); ok {
			for _, el := range n.Elts {
				v.pointedTo(el.(*ast.KeyValueExpr).Value)
			}
		}
	case *ast.SwitchStmt:
		v.choice(n)
	}
	return true
}

// pointedTo refuses to take what a pointer points to straight into a place
// where the interpreter would not notice that the pointer is nil.
func (v *meaningWalk) pointedTo(e ast.Expr) {
	if star, ok := ast.Unparen(e).(*ast.StarExpr); ok && !v.Info.Types[star].IsType() {
		v.Refuse(e.Pos(), fmt.Sprintf("%s is taken from its pointer in the middle of something else", types.ExprString(star)),
			"give it a name in a line before: v := "+types.ExprString(star))
	}
}

// pointedLiteral refuses a pointer to a new value that is not a struct: the
// interpreter makes it once, not in each turn of a loop.
func (v *meaningWalk) pointedLiteral(lit *ast.CompositeLit, t types.Type) {
	if _, ok := t.Underlying().(*types.Struct); !ok {
		v.Refuse(lit.Pos(), fmt.Sprintf("a pointer to a new %s", check.TypeName(t)), "give it a name in a line before, and take the address of that")
	}
}

func (v *meaningWalk) instance(id *ast.Ident) {
	if _, ok := v.Info.Instances[id]; ok {
		v.Refuse(id.Pos(), fmt.Sprintf("%q has type parameters, which cells leave out", id.Name), "write a loop, or a function for the one type")
	}
}

func (v *meaningWalk) selector(n *ast.SelectorExpr) {
	sel := v.Info.Selections[n]
	if sel == nil {
		if o := v.Info.Uses[n.Sel]; o != nil && signed[o.Pkg().Path()+"."+o.Name()] && !v.called[n] {
			v.signOfZero(n, "x")
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

// assigned refuses to change, or hand out the place of, what belongs to
// another package.
func (v *meaningWalk) assigned(e ast.Expr) {
	for {
		switch n := e.(type) {
		case *ast.ParenExpr:
			e = n.X
			continue
		case *ast.IndexExpr:
			e = n.X
			continue
		case *ast.SelectorExpr:
			if o, ok := v.Info.Uses[n.Sel].(*types.Var); ok && !o.IsField() && o.Pkg() != v.Pkg {
				v.Refuse(n.Pos(), fmt.Sprintf("%q belongs to package %s and cannot be changed by a cell", n.Sel.Name, o.Pkg().Name()),
					"copy it to a variable of your own")
				return
			}
			e = n.X
			continue
		case *ast.Ident:
			if n.Name == assemble.SheetName || n.Name == assemble.ShelfName {
				text, _ := v.Taken(n.Name)
				v.Refuse(n.Pos(), text+" and cannot be changed", "choose another name")
			}
		}
		return
	}
}

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
		if len(post.Rhs) == 1 || slices.ContainsFunc(post.Lhs, func(l ast.Expr) bool { return isKind[*types.Interface](v.PlaceType(l)) }) {
			v.Refuse(post.Pos(), "several results, or values of an interface type, are set in the head of a loop", "set them at the end of the loop")
		}
	}
	init, ok := n.Init.(*ast.AssignStmt)
	if !ok || init.Tok != token.DEFINE {
		return
	}
	for _, l := range init.Lhs {
		id, ok := l.(*ast.Ident)
		if !ok {
			continue
		}
		o := v.Info.Defs[id]
		if o == nil || !v.caught[o] {
			continue
		}
		if v.Changed(n.Body)[o] || v.pointed[o] || holdsLiteral(&ast.ForStmt{Init: n.Init, Cond: n.Cond, Post: n.Post, Body: &ast.BlockStmt{}}) {
			v.Refuse(id.Pos(), fmt.Sprintf("the loop variable %q is changed in the loop and also kept, by a function literal or its address", id.Name),
				fmt.Sprintf("make a copy in the loop, k := %s, and keep that", id.Name))
		}
	}
}

// holdsLiteral tells whether a function literal stands below n.
func holdsLiteral(n ast.Node) bool {
	found := false
	ast.Inspect(n, func(n ast.Node) bool {
		_, lit := n.(*ast.FuncLit)
		found = found || lit
		return !found
	})
	return found
}

func (v *meaningWalk) call(n *ast.CallExpr) {
	fun := ast.Unparen(n.Fun)
	if tv := v.Info.Types[fun]; tv.IsType() {
		t := tv.Type.Underlying()
		if p, ok := t.(*types.Pointer); ok {
			t = p.Elem().Underlying()
		}
		if _, array := t.(*types.Array); array {
			if _, slice := v.Info.TypeOf(n.Args[0]).Underlying().(*types.Slice); slice {
				v.Refuse(n.Pos(), "a slice is converted to an array", "make the array and copy the elements in a loop, or keep the slice")
			}
		}
		return
	}
	if g, ok := v.Info.TypeOf(fun).(*types.Signature); ok && g.Variadic() {
		list, ok := g.Params().At(g.Params().Len() - 1).Type().Underlying().(*types.Slice) // not so for append(bytes, text...)
		for _, a := range n.Args[min(g.Params().Len()-1, len(n.Args)):] {
			if ok && v.Info.Types[a].IsNil() && (n.Ellipsis.IsValid() || !types.IsInterface(list.Elem())) {
				v.Refuse(a.Pos(), "nil stands for one of any number of values", "leave it out, or give it a name with a type in a line before: var none "+check.TypeName(list.Elem()))
			}
		}
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
		args := make([]string, len(n.Args))
		for i, a := range n.Args {
			args[i] = types.ExprString(a)
		}
		v.signOfZero(sel, args...)
	}
	switch o.Pkg().Path() {
	case "fmt":
		v.format(n, o)
	case "sort":
		v.sorted[n.Args[0]] = true
	case "errors":
		if o.Name() == "As" {
			v.Refuse(sel.Sel.Pos(), "errors.As is left out of cells", "use errors.Is, or return the number that you need beside the error")
		}
	}
}

// signed are the functions that give another result for a negative zero than
// for a plain one. The interpreter loses that sign where a value is handed to a
// function of a cell. Of what is divided by a zero the sign is lost with it, but
// nothing infinite can be told.
var signed = map[string]bool{
	"math.Atan2": true, "math.Copysign": true, "math.Signbit": true, "math.Float32bits": true, "math.Float64bits": true,
	"math/cmplx.Acos": true, "math/cmplx.Acosh": true, "math/cmplx.Asin": true, "math/cmplx.Asinh": true, "math/cmplx.Atan": true,
	"math/cmplx.Atanh": true, "math/cmplx.Log": true, "math/cmplx.Log10": true, "math/cmplx.Phase": true, "math/cmplx.Polar": true,
	"math/cmplx.Pow": true, "math/cmplx.Sqrt": true,
}

func (v *meaningWalk) signOfZero(n *ast.SelectorExpr, args ...string) {
	text := types.ExprString(n)
	v.Refuse(n.Pos(), fmt.Sprintf("%s sees the sign of a zero, which cells do not always keep", text),
		fmt.Sprintf("add 0, so that no sign is left: %s(%s+0)", text, strings.Join(args, "+0, ")))
}

// maybeNegativeZero tells whether a value may be a zero with a sign: anything
// but a constant, or a sum with a constant 0.
func (v *meaningWalk) maybeNegativeZero(e ast.Expr) bool {
	if v.Info.Types[e].Value != nil {
		return false
	}
	sum, ok := ast.Unparen(e).(*ast.BinaryExpr)
	if !ok || sum.Op != token.ADD {
		return true
	}
	zero := v.Info.Types[sum.Y].Value
	return zero == nil || constant.Sign(constant.Real(zero)) != 0 || constant.Sign(constant.Imag(zero)) != 0
}

func isError(t types.Type) bool {
	return types.Identical(t, types.Universe.Lookup("error").Type())
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
