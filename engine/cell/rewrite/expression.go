package rewrite

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math/big"
	"strconv"
	"strings"
)

func (w *writer) converted(to types.Type, text string) string {
	t := w.typ(to)
	if t[0] == '*' || strings.HasPrefix(t, "func(") {
		return "(" + t + ")(" + text + ")"
	}
	return t + "(" + text + ")"
}

func (w *writer) exprs(es []ast.Expr) string {
	out := make([]string, len(es))
	for i, e := range es {
		out[i] = w.expr(e)
	}
	return strings.Join(out, ", ")
}

// expr writes an expression with its own type.
func (w *writer) expr(e ast.Expr) string {
	tv := w.Info.Types[e]
	if tv.Value != nil {
		return w.constant(tv.Value, tv.Type)
	}
	if tv.IsType() {
		return w.typ(tv.Type)
	}
	switch e := e.(type) {
	case *ast.Ident:
		o := w.Info.ObjectOf(e)
		if o == nil || tv.IsNil() || tv.IsBuiltin() {
			return e.Name
		}
		return w.name(o)
	case *ast.ParenExpr:
		// Brackets go where they need not be (fault: brackets around an operand
		// of and) (fault: brackets around a function). In the head of an if, they
		// must stay around a literal.
		x := ast.Unparen(e)
		text := w.expr(x)
		switch x.(type) {
		case *ast.BinaryExpr, *ast.UnaryExpr, *ast.CompositeLit, *ast.FuncLit:
			return "(" + text + ")"
		}
		if strings.Contains(text, "{") && !strings.HasPrefix(text, "func") {
			return "(" + text + ")"
		}
		return text
	case *ast.UnaryExpr:
		return w.unary(e)
	case *ast.BinaryExpr:
		x := w.expr(e.X)
		if c := w.Info.Types[e.X]; c.Value != nil && (e.Op == token.SHL || e.Op == token.SHR) {
			// A number without its type would take on that of what stands around the shift.
			x = w.converted(c.Type, integer(c.Value))
		}
		return x + " " + e.Op.String() + " " + w.expr(e.Y)
	case *ast.IndexExpr:
		return w.expr(e.X) + "[" + w.expr(e.Index) + "]"
	case *ast.SliceExpr:
		part := func(x ast.Expr) string {
			if x == nil {
				return ""
			}
			return w.expr(x)
		}
		return w.expr(e.X) + "[" + part(e.Low) + ":" + part(e.High) + "]"
	case *ast.SelectorExpr:
		if w.Info.Selections[e] == nil {
			if o := w.Info.Uses[e.Sel]; o != nil && o.Pkg() != w.Pkg {
				return w.qualified(o)
			}
		}
		return w.expr(e.X) + "." + e.Sel.Name
	case *ast.CallExpr:
		return w.callExpr(e)
	case *ast.CompositeLit:
		return w.literal(e)
	case *ast.FuncLit:
		return w.funcLit(e)
	}
	panic(fmt.Sprintf("cell: no way to write %T", e)) // refused before
}

func (w *writer) unary(e *ast.UnaryExpr) string {
	x := w.expr(e.X)
	if strings.HasPrefix(x, e.Op.String()) {
		x = "(" + x + ")"
	}
	return e.Op.String() + x
}

func (w *writer) callExpr(e *ast.CallExpr) string {
	fun := ast.Unparen(e.Fun)
	tv := w.Info.Types[fun]
	if tv.IsType() {
		if types.IsInterface(tv.Type) {
			return w.expr(e.Args[0])
		}
		if b := w.cuts(e); b != nil {
			text := w.fitting(b) + "(float64(" + w.expr(e.Args[0]) + "))"
			if types.Identical(tv.Type, b) {
				return text
			}
			return w.converted(tv.Type, text)
		}
		if isFunction(tv.Type) && !w.Info.Types[e.Args[0]].IsNil() {
			return w.expr(e.Args[0]) // the interpreter would keep one of all turns, as of a named type
		}
		return w.converted(tv.Type, w.expr(e.Args[0]))
	}
	args, more := e.Args, ""
	if e.Ellipsis.IsValid() {
		more = "..."
	}
	name := ""
	if lit, ok := fun.(*ast.FuncLit); ok {
		name = w.funcLit(lit)
	} else {
		name = w.expr(e.Fun)
	}
	return name + "(" + w.exprs(args) + more + ")"
}

func (w *writer) literal(e *ast.CompositeLit) string {
	t := w.Info.TypeOf(e)
	and := ""
	if p, ok := t.Underlying().(*types.Pointer); ok {
		and, t = "&", p.Elem()
	}
	parts := make([]string, len(e.Elts))
	_, fields := t.Underlying().(*types.Struct)
	for i, el := range e.Elts {
		kv, keyed := el.(*ast.KeyValueExpr)
		switch {
		case !keyed:
			parts[i] = w.expr(el)
		case fields:
			parts[i] = kv.Key.(*ast.Ident).Name + ": " + w.expr(kv.Value)
		default:
			parts[i] = w.expr(kv.Key) + ": " + w.expr(kv.Value)
		}
	}
	return and + w.typ(t) + "{" + strings.Join(parts, ", ") + "}"
}

// funcLit writes a function literal. Its lines are written apart and put
// where the expression stands.
func (w *writer) funcLit(e *ast.FuncLit) string {
	g := w.Info.TypeOf(e).Underlying().(*types.Signature)
	outer := w.text
	w.text = new(strings.Builder)
	w.visible = append(w.visible, map[string]bool{})
	head := "func" + w.parameters(g) + " {\n"
	w.body(g, e.Body)
	w.visible = w.visible[:len(w.visible)-1]
	inner := w.text.String()
	w.text = outer
	return head + inner + strings.Repeat("\t", w.indent) + "}"
}

// constant writes a constant as a number or text of its type (fault: a constant
// has the type of its parts).
func (w *writer) constant(v constant.Value, t types.Type) string {
	t = defaulted(t)
	b := t.Underlying().(*types.Basic)
	text, plain := literalOf(v, b)
	if plain && types.Identical(t, b) {
		return text
	}
	return w.typ(t) + "(" + text + ")"
}

func defaulted(t types.Type) types.Type {
	if b, ok := types.Unalias(t).(*types.Basic); ok && b.Info()&types.IsUntyped != 0 {
		return types.Default(t)
	}
	return t
}

// literalOf gives a literal for a constant, and whether the literal alone
// already has the type.
func literalOf(v constant.Value, b *types.Basic) (text string, plain bool) {
	switch info := b.Info(); {
	case info&types.IsBoolean != 0:
		return strconv.FormatBool(constant.BoolVal(v)), true
	case info&types.IsString != 0:
		return strconv.Quote(constant.StringVal(v)), true
	case info&types.IsInteger != 0:
		return integer(v), b.Kind() == types.Int
	case info&types.IsFloat != 0:
		return float(v), b.Kind() == types.Float64
	case info&types.IsComplex != 0:
		im := float(constant.Imag(v))
		if inner, negative := strings.CutPrefix(im, "("); negative {
			im = strings.TrimSuffix(inner, ")")
		} else {
			im = "+" + im
		}
		return "(" + float(constant.Real(v)) + im + "i)", b.Kind() == types.Complex128
	}
	return v.ExactString(), false
}

func integer(v constant.Value) string {
	v = constant.ToInt(v)
	n, ok := new(big.Int).SetString(v.ExactString(), 10)
	if !ok {
		return v.ExactString()
	}
	if n.Sign() < 0 {
		return "(" + n.String() + ")"
	}
	return n.String()
}

func float(v constant.Value) string {
	x, _ := constant.Float64Val(constant.ToFloat(v))
	text := strconv.FormatFloat(x, 'g', -1, 64)
	if !strings.ContainsAny(text, ".e") {
		text += ".0"
	}
	if x < 0 {
		text = "(" + text + ")"
	}
	return text
}
