package subset

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
)

// openOrder refuses statements that read something and call a function that
// may change it. The language leaves open which comes first, and the compiler
// and the interpreter do differ.
// (The Go Programming Language Specification, "Order of evaluation".)
func openOrder(s *assemble.Source, c check.Checked) {
	o := &orderWalk{Source: s, effects: effectsOf(c)}
	for _, st := range c.Steps {
		if st.Spec != nil {
			o.statement(st.Spec.Pos(), st.Spec.Values...)
		}
	}
	for _, d := range c.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GenDecl:
				if n.Tok != token.VAR {
					return false
				}
			case *ast.AssignStmt:
				o.assignment(n)
			case *ast.ValueSpec:
				o.statement(n.Pos(), n.Values...)
			case *ast.ExprStmt:
				o.statement(n.Pos(), n.X)
			case *ast.IncDecStmt:
				o.statement(n.Pos(), n.X)
			case *ast.ReturnStmt:
				o.statement(n.Pos(), n.Results...)
			case *ast.IfStmt:
				o.statement(n.Cond.Pos(), n.Cond)
			case *ast.ForStmt:
				if n.Cond != nil {
					o.statement(n.Cond.Pos(), n.Cond)
				}
			case *ast.RangeStmt:
				o.statement(n.X.Pos(), n.X)
			case *ast.SwitchStmt:
				if n.Tag != nil {
					o.statement(n.Tag.Pos(), n.Tag)
				}
			case *ast.CaseClause:
				for _, e := range n.List {
					o.statement(e.Pos(), e)
				}
			}
			return true
		})
	}
}

type orderWalk struct {
	*assemble.Source
	*effects
	pos token.Pos
}

// happens is what evaluating an expression reads and which calls it makes.
type happens struct {
	reads []access
	calls []made
}

type made struct {
	name   string
	writes []access
}

func (o *orderWalk) statement(pos token.Pos, es ...ast.Expr) {
	o.pos = pos
	var all happens
	for _, e := range es {
		if e != nil {
			all = o.beside(all, o.eval(e))
		}
	}
}

func (o *orderWalk) assignment(n *ast.AssignStmt) {
	o.pos = n.Pos()
	var all happens
	for _, l := range n.Lhs {
		if n.Tok != token.ASSIGN && n.Tok != token.DEFINE {
			all = o.beside(all, o.eval(l))
		} else {
			all = o.beside(all, o.operands(l))
		}
	}
	for _, r := range n.Rhs {
		all = o.beside(all, o.eval(r))
	}
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
	if !ok || len(call.Args) < 2 {
		return
	}
	if id, ok := ast.Unparen(call.Fun).(*ast.Ident); !ok || id.Name != "append" || !o.Info.Types[id].IsBuiltin() {
		return
	}
	place, _ := o.place(l)
	for _, a := range call.Args[1:] {
		switch o.Info.TypeOf(a).Underlying().(type) {
		case *types.Struct, *types.Array:
			if in, _ := o.place(a); in.meets(place) {
				o.Refuse(a.Pos(), fmt.Sprintf("%s is appended to a part of itself", in.text), "give it a name in a line before, and append that")
			}
		}
	}
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

func (o *orderWalk) judge(calls []made, reads []access) {
	for _, c := range calls {
		for _, r := range reads {
			for _, w := range c.writes {
				if r.meets(w) {
					at := o.Offset(o.pos)
					o.Report(at, "cell-refused",
						fmt.Sprintf("this reads %s and calls %s, which may change it", r.text, c.name),
						fmt.Sprintf("Go leaves open which comes first; give the result of %s a name in a line before", c.name))
					return
				}
			}
		}
	}
}

// operands gives what happens before something is stored in l.
func (o *orderWalk) operands(l ast.Expr) happens {
	switch n := ast.Unparen(l).(type) {
	case *ast.IndexExpr:
		if _, ok := o.Info.TypeOf(n.X).Underlying().(*types.Array); ok {
			return o.beside(o.operands(n.X), o.eval(n.Index))
		}
		return o.beside(o.eval(n.X), o.eval(n.Index))
	case *ast.SelectorExpr:
		if _, ok := o.Info.TypeOf(n.X).Underlying().(*types.Pointer); ok {
			return o.eval(n.X)
		}
		return o.operands(n.X)
	case *ast.StarExpr:
		return o.eval(n.X)
	}
	return happens{}
}

func (o *orderWalk) eval(e ast.Expr) happens {
	if tv := o.Info.Types[e]; tv.Value != nil || tv.IsType() {
		return happens{}
	}
	switch n := e.(type) {
	case *ast.ParenExpr:
		return o.eval(n.X)
	case *ast.Ident:
		if a, ok := o.place(n); ok {
			return happens{reads: []access{a}}
		}
	case *ast.SelectorExpr:
		if o.Info.Selections[n] == nil {
			return happens{}
		}
		return o.reading(n, o.operands(n))
	case *ast.IndexExpr, *ast.StarExpr:
		return o.reading(n, o.operands(n))
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			if _, lit := ast.Unparen(n.X).(*ast.CompositeLit); !lit {
				return o.operands(n.X)
			}
		}
		return o.eval(n.X)
	case *ast.BinaryExpr:
		if n.Op == token.LAND || n.Op == token.LOR {
			return after(o.eval(n.X), o.eval(n.Y))
		}
		return o.beside(o.eval(n.X), o.eval(n.Y))
	case *ast.SliceExpr:
		all := o.eval(n.X)
		for _, x := range []ast.Expr{n.Low, n.High} {
			if x != nil {
				all = o.beside(all, o.eval(x))
			}
		}
		return all
	case *ast.CompositeLit:
		var all happens
		for _, el := range n.Elts {
			if kv, ok := el.(*ast.KeyValueExpr); ok {
				if _, field := o.Info.Uses[identOf(kv.Key)].(*types.Var); !field || !o.isField(kv.Key) {
					all = o.beside(all, o.eval(kv.Key))
				}
				el = kv.Value
			}
			all = o.beside(all, o.eval(el))
		}
		return all
	case *ast.CallExpr:
		return o.calling(n)
	}
	return happens{}
}

func identOf(e ast.Expr) *ast.Ident {
	id, _ := e.(*ast.Ident)
	return id
}

func (o *orderWalk) isField(e ast.Expr) bool {
	v, ok := o.Info.Uses[identOf(e)].(*types.Var)
	return ok && v.IsField()
}

func (o *orderWalk) reading(e ast.Expr, before happens) happens {
	if a, ok := o.place(e); ok {
		before.reads = append(before.reads[:len(before.reads):len(before.reads)], a)
	}
	return before
}

func (o *orderWalk) calling(n *ast.CallExpr) happens {
	var all happens
	fun := ast.Unparen(n.Fun)
	tv := o.Info.Types[fun]
	switch f := fun.(type) {
	case *ast.SelectorExpr:
		if o.Info.Selections[f] == nil {
			break
		}
		switch {
		case o.TakesAddress(f):
			all = o.operands(f.X)
		case o.Info.Selections[f].Kind() == types.MethodVal:
			all = o.eval(f.X)
		default:
			all = o.eval(f)
		}
	case *ast.FuncLit:
	default:
		if !tv.IsType() && !tv.IsBuiltin() {
			all = o.eval(fun)
		}
	}
	for _, a := range n.Args {
		if o.Info.Types[a].IsType() {
			continue
		}
		all = o.beside(all, o.eval(a))
	}
	if id, ok := fun.(*ast.Ident); ok && tv.IsBuiltin() && id.Name == "len" {
		if m, ok := o.Info.TypeOf(n.Args[0]).Underlying().(*types.Map); ok {
			all.reads = append(all.reads, access{way: []spot{{typ: m.Elem().String(), kind: element}}, text: types.ExprString(n)})
		}
	}
	direct, calls := o.call(n)
	writes := direct
	for _, c := range calls {
		for _, w := range c.writes {
			writes = append(writes, w)
		}
	}
	if len(writes) > 0 {
		all.calls = append(all.calls, made{types.ExprString(n.Fun), writes})
	}
	return all
}
