package subset

import (
	"go/ast"
	"go/types"
	"maps"
	"strings"

	"slipring/engine/cell/check"
)

// place is a variable that several functions know, or nil for all memory that is
// reached by a pointer or is an element of a list or map.
type place = types.Object

// body is a function, method or function literal with what running it may
// change by itself, apart from its own variables, and what it runs.
type body struct {
	writes map[place]bool
	calls  []*body
}

// bodies knows what each function of the cells may change.
type bodies struct {
	check.Checked
	caught, pointed map[types.Object]bool
	fresh           map[types.Object]bool // lists and maps that are only ever made anew
	declared        map[*types.Func]*body
	literals        map[*ast.FuncLit]*body
	values          []valued // functions that are used as values
}

type valued struct {
	signature *types.Signature
	body      *body
}

func bodiesOf(c check.Checked) *bodies {
	b := &bodies{Checked: c, caught: c.Captured(), pointed: c.Addresses(), fresh: fresh(c),
		declared: map[*types.Func]*body{}, literals: map[*ast.FuncLit]*body{}}
	called := map[ast.Expr]bool{}
	ast.Inspect(c.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if o, ok := c.Info.Defs[n.Name].(*types.Func); ok {
				b.declared[o] = &body{writes: map[place]bool{}}
			}
		case *ast.FuncLit:
			b.literals[n] = &body{writes: map[place]bool{}}
			b.values = append(b.values, valued{c.Info.TypeOf(n).Underlying().(*types.Signature), b.literals[n]})
		case *ast.CallExpr:
			called[ast.Unparen(n.Fun)] = true
		}
		return true
	})
	for id, o := range c.Info.Uses { // functions by name, used as values
		if f, ok := o.(*types.Func); ok && b.declared[f] != nil && !called[id] && f.Signature().Recv() == nil {
			b.values = append(b.values, valued{f.Signature(), b.declared[f]})
		}
	}
	ast.Inspect(c.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if o, ok := c.Info.Defs[n.Name].(*types.Func); ok && n.Body != nil {
				b.collect(b.declared[o], n.Body)
			}
		case *ast.FuncLit:
			b.collect(b.literals[n], n.Body)
		}
		return true
	})
	return b
}

// writes gives all that running a body may change.
func (b *bodies) writes(root *body) map[place]bool {
	all, seen := map[place]bool{}, map[*body]bool{}
	var visit func(*body)
	visit = func(u *body) {
		if !seen[u] {
			seen[u] = true
			maps.Copy(all, u.writes)
			for _, c := range u.calls {
				visit(c)
			}
		}
	}
	visit(root)
	return all
}

// collect notes what the statements of one body change and call, leaving out
// function literals inside, which are bodies of their own.
func (b *bodies) collect(u *body, root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				b.write(u, l)
			}
		case *ast.IncDecStmt:
			b.write(u, n.X)
		case *ast.CallExpr:
			c := b.call(n)
			maps.Copy(u.writes, c.writes)
			u.calls = append(u.calls, c.calls...)
		}
		return true
	})
}

// write notes that e is changed. What a function puts into a list of its own
// that it made, no other function reads on another way than by what it gives back.
func (b *bodies) write(u *body, e ast.Expr) {
	if id, ok := e.(*ast.Ident); ok && b.Info.Defs[id] != nil {
		return
	}
	if x, ok := ast.Unparen(e).(*ast.IndexExpr); ok {
		if root, ok := ast.Unparen(x.X).(*ast.Ident); ok {
			if o := b.Info.Uses[root]; b.fresh[o] && !b.caught[o] && !b.pointed[o] {
				return
			}
		}
	}
	if p, ok := b.place(e); ok {
		u.writes[p] = true
	}
}

// fresh gives the variables of functions that hold only lists and maps that are
// made where they are given to them.
func fresh(c check.Checked) map[types.Object]bool {
	out, other := map[types.Object]bool{}, map[types.Object]bool{}
	note := func(l, r ast.Expr) {
		id, ok := l.(*ast.Ident)
		if !ok {
			return
		}
		_, made := ast.Unparen(r).(*ast.CompositeLit)
		if call, ok := ast.Unparen(r).(*ast.CallExpr); ok && c.Info.Types[call.Fun].IsBuiltin() {
			name := types.ExprString(call.Fun)
			made = name == "make" || name == "append" && types.ExprString(call.Args[0]) == id.Name
		}
		if o := c.Info.Defs[id]; o != nil {
			out[o] = made
		} else if !made {
			other[c.Info.Uses[id]] = true
		}
	}
	ast.Inspect(c.File, func(n ast.Node) bool {
		if as, ok := n.(*ast.AssignStmt); ok {
			for i, l := range as.Lhs {
				note(l, as.Rhs[min(i, len(as.Rhs)-1)])
			}
		}
		return true
	})
	maps.DeleteFunc(out, func(o types.Object, made bool) bool { return !made || other[o] || o.Parent() == c.Pkg.Scope() })
	return out
}

// call gives what one call changes by itself, and what it runs.
func (b *bodies) call(n *ast.CallExpr) *body {
	u := &body{writes: map[place]bool{}}
	fun := ast.Unparen(n.Fun)
	tv := b.Info.Types[fun]
	if tv.IsType() {
		return u
	}
	if tv.IsBuiltin() {
		switch fun.(*ast.Ident).Name {
		case "copy", "delete":
			u.writes[nil] = true
		case "append":
			if _, ok := ast.Unparen(n.Args[0]).(*ast.SliceExpr); ok {
				u.writes[nil] = true
			}
		}
		return u
	}
	for _, a := range n.Args { // a function that is handed over may be run
		if g, ok := b.Info.TypeOf(a).Underlying().(*types.Signature); ok {
			u.calls = append(u.calls, b.callees(ast.Unparen(a), g)...)
		}
	}
	if sel, ok := fun.(*ast.SelectorExpr); ok {
		// The engine's methods change nothing that a cell can read.
		if f, ok := b.Info.Uses[sel.Sel].(*types.Func); ok && f.Pkg() != b.Pkg && !check.OfEngine(f.Pkg()) {
			sorts := f.Pkg() != nil && f.Pkg().Path() == "sort" && !strings.HasPrefix(f.Name(), "Search") && !strings.HasSuffix(f.Name(), "Sorted")
			if sorts || b.TakesAddress(sel) {
				u.writes[nil] = true
			}
		}
	}
	if g, ok := tv.Type.Underlying().(*types.Signature); ok {
		u.calls = append(u.calls, b.callees(fun, g)...)
	}
	return u
}

// callees gives what running a function expression may run.
func (b *bodies) callees(fun ast.Expr, g *types.Signature) (out []*body) {
	var f *types.Func
	switch fun := fun.(type) {
	case *ast.FuncLit:
		return []*body{b.literals[fun]}
	case *ast.Ident:
		f, _ = b.Info.Uses[fun].(*types.Func)
	case *ast.SelectorExpr:
		f, _ = b.Info.Uses[fun.Sel].(*types.Func)
	}
	if f != nil {
		if b.declared[f] != nil {
			out = append(out, b.declared[f])
		}
		return out
	}
	for _, v := range b.values {
		if types.Identical(v.signature, g) {
			out = append(out, v.body)
		}
	}
	return out
}

// place tells which place an expression stands for, as something to write to or
// to read, and false for what no other function can know: local variables that
// stay with their function.
func (b *bodies) place(e ast.Expr) (place, bool) {
	o, memory := b.Root(e)
	if memory || b.pointed[o] {
		return nil, true
	}
	return o, o != nil && (b.caught[o] || o.Parent() == b.Pkg.Scope())
}
