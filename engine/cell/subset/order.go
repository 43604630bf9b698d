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

// openOrder refuses statements that read something and call a function that
// may change it. The language leaves open which comes first, and the compiler
// and the interpreter do differ. All that is reached by pointers, or is an element
// of a list or map, counts as one thing where it is of one type.
// (The Go Programming Language Specification, "Order of evaluation".)
func openOrder(s *assemble.Source, c check.Checked) {
	o := &orderWalk{Source: s, bodies: bodiesOf(c)}
	for _, d := range c.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GenDecl:
				return n.Tok == token.VAR
			case *ast.AssignStmt:
				o.assignment(n)
			case *ast.RangeStmt:
				o.statement(n.X.Pos(), n.X)
			case *ast.BlockStmt, *ast.DeclStmt:
			case ast.Stmt, *ast.ValueSpec:
				o.statement(n.Pos(), expressions(n)...)
			}
			return true
		})
	}
}

// expressions gives those right below a node, without the statements inside it.
func expressions(root ast.Node) (out []ast.Expr) {
	ast.Inspect(root, func(n ast.Node) bool {
		if n == root {
			return true
		}
		if e, ok := n.(ast.Expr); ok {
			out = append(out, e)
		}
		return false
	})
	return out
}

type orderWalk struct {
	*assemble.Source
	*bodies
	pos token.Pos
}

// happens is what evaluating an expression reads and which calls it makes.
type happens struct {
	reads []read
	calls []made
}

type read struct {
	text   string
	places []place
}

type made struct {
	name   string
	writes map[place]bool
}

func (o *orderWalk) statement(pos token.Pos, es ...ast.Expr) {
	o.pos = pos
	o.all(es...)
}

func (o *orderWalk) assignment(n *ast.AssignStmt) {
	o.pos = n.Pos()
	var before happens
	for i, l := range n.Lhs {
		if n.Tok != token.ASSIGN && n.Tok != token.DEFINE {
			before = o.beside(before, o.eval(l))
		} else {
			before = o.beside(before, o.all(o.operands(l)...))
		}
		for _, earlier := range n.Lhs[:i] {
			o.moved(earlier, l)
		}
	}
	o.beside(before, o.all(n.Rhs...))
	if len(n.Lhs) == len(n.Rhs) {
		for i, r := range n.Rhs {
			o.whole(n.Lhs[i], r)
		}
	}
}

// whole refuses to append to a part of something that something itself: in
// n.list = append(n.list, n) the compiler reads n when its list has changed.
func (o *orderWalk) whole(l, r ast.Expr) {
	call, ok := ast.Unparen(r).(*ast.CallExpr)
	if !ok || len(call.Args) < 2 || !o.Info.Types[ast.Unparen(call.Fun)].IsBuiltin() {
		return
	}
	for _, a := range call.Args[1:] {
		switch o.Info.TypeOf(a).Underlying().(type) {
		case *types.Struct, *types.Array:
			text := types.ExprString(a)
			if strings.HasPrefix(types.ExprString(l), strings.TrimPrefix(text, "*")+".") {
				o.Refuse(a.Pos(), fmt.Sprintf("%s is appended to a part of itself", text), "give it a name in a line before, and append that")
			}
		}
	}
}

// all gives what happens in expressions that stand beside each other.
func (o *orderWalk) all(es ...ast.Expr) (h happens) {
	for _, e := range es {
		h = o.beside(h, o.eval(e))
	}
	return h
}

// beside joins what happens in two expressions of which either may come
// first, and refuses where that matters.
func (o *orderWalk) beside(a, b happens) happens {
	o.judge(a.calls, b.reads)
	o.judge(b.calls, a.reads)
	return after(a, b)
}

// after joins what happens in two expressions with a fixed order.
func after(a, b happens) happens {
	return happens{
		reads: append(a.reads[:len(a.reads):len(a.reads)], b.reads...),
		calls: append(a.calls[:len(a.calls):len(a.calls)], b.calls...),
	}
}

func (o *orderWalk) judge(calls []made, reads []read) {
	for _, c := range calls {
		for _, r := range reads {
			for _, p := range r.places {
				if c.writes[p] {
					o.Refuse(o.pos, fmt.Sprintf("this reads %s and calls %s, which may change it", r.text, c.name),
						fmt.Sprintf("Go leaves open which comes first; give the result of %s a name in a line before", c.name))
					return
				}
			}
		}
	}
}

// operands gives the expressions that tell which place l is, evaluated before
// something is stored or read there.
func (o *orderWalk) operands(l ast.Expr) []ast.Expr {
	switch n := ast.Unparen(l).(type) {
	case *ast.IndexExpr:
		if isKind[*types.Array](o.Info.TypeOf(n.X)) {
			return append(o.operands(n.X), n.Index)
		}
		return []ast.Expr{n.X, n.Index}
	case *ast.SelectorExpr:
		if isKind[*types.Pointer](o.Info.TypeOf(n.X)) {
			return []ast.Expr{n.X}
		}
		return o.operands(n.X)
	case *ast.StarExpr:
		return []ast.Expr{n.X}
	}
	return nil
}

// moved refuses a place that an earlier place of the same assignment decides on:
// in i, xs[i] = 1, 2 Go means the element that i stood for before.
func (o *orderWalk) moved(earlier, l ast.Expr) {
	root := earlier
	for {
		switch n := ast.Unparen(root).(type) {
		case *ast.IndexExpr:
			if isKind[*types.Array](o.Info.TypeOf(n.X)) {
				root = n.X
				continue
			}
		case *ast.SelectorExpr:
			if !isKind[*types.Pointer](o.Info.TypeOf(n.X)) {
				root = n.X
				continue
			}
		}
		break
	}
	id, _ := ast.Unparen(root).(*ast.Ident)
	writes := o.places(earlier, true)
	for _, e := range o.operands(l) {
		found := false
		ast.Inspect(e, func(n ast.Node) bool {
			other, ok := n.(*ast.Ident)
			found = found || ok && id != nil && o.Info.Uses[other] != nil && o.Info.Uses[other] == o.Info.ObjectOf(id)
			return !found
		})
		for _, r := range o.eval(e).reads {
			found = found || slices.ContainsFunc(r.places, func(p place) bool { return slices.Contains(writes, p) })
		}
		if found {
			o.Refuse(l.Pos(), fmt.Sprintf("%s is set together with %s, which tells where it is", types.ExprString(l), types.ExprString(earlier)),
				"set them in two lines, in the order that is meant")
			return
		}
	}
}

func isKind[T types.Type](t types.Type) bool {
	if t == nil {
		return false
	}
	_, ok := t.Underlying().(T)
	return ok
}

func (o *orderWalk) eval(e ast.Expr) happens {
	if tv := o.Info.Types[e]; tv.Value != nil || tv.IsType() {
		return happens{}
	}
	var before happens
	switch n := e.(type) {
	case *ast.FuncLit:
		return happens{}
	case *ast.CallExpr:
		return o.calling(n)
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			if _, lit := ast.Unparen(n.X).(*ast.CompositeLit); !lit {
				return o.all(o.operands(n.X)...)
			}
		}
		return o.eval(n.X)
	case *ast.BinaryExpr:
		if n.Op == token.LAND || n.Op == token.LOR {
			return after(o.eval(n.X), o.eval(n.Y))
		}
		return o.all(n.X, n.Y)
	case *ast.Ident:
	case *ast.SelectorExpr:
		if o.Info.Selections[n] == nil {
			return happens{}
		}
		before = o.all(o.operands(n)...)
	case *ast.IndexExpr, *ast.StarExpr:
		before = o.all(o.operands(n)...)
	default:
		return o.all(expressions(e)...)
	}
	if places := o.places(e, false); len(places) > 0 {
		before.reads = append(before.reads[:len(before.reads):len(before.reads)], read{types.ExprString(e), places})
	}
	return before
}

func (o *orderWalk) calling(n *ast.CallExpr) happens {
	var all happens
	fun := ast.Unparen(n.Fun)
	switch f := fun.(type) {
	case *ast.SelectorExpr:
		if o.TakesAddress(f) {
			all = o.all(o.operands(f.X)...)
		} else if sel := o.Info.Selections[f]; sel != nil && sel.Kind() == types.MethodVal {
			all = o.eval(f.X)
		} else {
			all = o.eval(f)
		}
	default:
		if !o.Info.Types[fun].IsBuiltin() {
			all = o.eval(fun)
		}
	}
	all = o.beside(all, o.all(n.Args...))
	if id, ok := fun.(*ast.Ident); ok && id.Name == "len" && isKind[*types.Map](o.Info.TypeOf(n.Args[0])) {
		all.reads = append(all.reads, read{types.ExprString(n), o.elements(n.Args[0])})
	}
	if writes := o.writes(o.call(n)); len(writes) > 0 {
		all.calls = append(all.calls, made{types.ExprString(n.Fun), writes})
	}
	return all
}
