package subset

import (
	"go/ast"
	"go/types"
	"maps"
	"strings"

	"slipring/engine/cell/check"
)

// place is a variable that several functions know, or, as the name of a type,
// all memory of that type which is reached by a pointer or is an element of a
// list or map.
type place any

// body is a function, method or function literal with what running it may
// change by itself, apart from its own variables, and what it runs.
type body struct {
	writes map[place]bool
	calls  []*body
}

func (u *body) write(places []place) {
	for _, p := range places {
		u.writes[p] = true
	}
}

// bodies knows what each function of the cells may change.
type bodies struct {
	check.Checked
	caught, pointed map[types.Object]bool
	declared        map[*types.Func]*body
	literals        map[*ast.FuncLit]*body
	values          []valued // functions that are used as values
}

type valued struct {
	signature *types.Signature
	body      *body
}

func bodiesOf(c check.Checked) *bodies {
	b := &bodies{Checked: c, caught: c.Captured(), pointed: c.Addresses(),
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
	write := func(e ast.Expr) {
		if id, ok := e.(*ast.Ident); ok && b.Info.Defs[id] != nil {
			return
		}
		u.write(b.places(e, true))
	}
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				write(l)
			}
		case *ast.IncDecStmt:
			write(n.X)
		case *ast.CallExpr:
			c := b.call(n)
			maps.Copy(u.writes, c.writes)
			u.calls = append(u.calls, c.calls...)
		}
		return true
	})
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
			u.write(b.elements(n.Args[0]))
		case "append":
			if _, ok := ast.Unparen(n.Args[0]).(*ast.SliceExpr); ok {
				u.write(b.elements(n.Args[0]))
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
			if f.Pkg() != nil && f.Pkg().Path() == "sort" && !strings.HasPrefix(f.Name(), "Search") && !strings.HasSuffix(f.Name(), "IsSorted") {
				u.write(b.elements(n.Args[0]))
			}
			if b.TakesAddress(sel) {
				u.write(b.places(sel.X, true))
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
	switch {
	case f != nil && b.declared[f] != nil:
		return []*body{b.declared[f]}
	case f != nil: // of another package, or of an interface: any method of the name
		for d, m := range b.declared {
			if d.Name() == f.Name() && d.Signature().Recv() != nil {
				out = append(out, m)
			}
		}
	default:
		for _, v := range b.values {
			if types.Identical(v.signature, g) {
				out = append(out, v.body)
			}
		}
	}
	return out
}

// places tells which places an expression stands for, as something to write to
// or to read. It gives none for what no other function can know: local variables
// that stay with their function.
func (b *bodies) places(e ast.Expr, write bool) (out []place) {
	var around []types.Type // the types of e and of what it is part of
	reached := false
	for x := e; !reached; {
		x = ast.Unparen(x)
		around = append(around, b.Info.TypeOf(x))
		switch n := x.(type) {
		case *ast.Ident:
			v, ok := b.Info.ObjectOf(n).(*types.Var)
			if !ok || v.IsField() || !b.pointed[v] && !b.caught[v] && v.Parent() != b.Pkg.Scope() {
				return nil
			}
			out = append(out, v)
			if !b.pointed[v] {
				return out
			}
			reached = true
		case *ast.StarExpr:
			reached = true
		case *ast.SelectorExpr:
			if f, ok := b.Info.Uses[n.Sel].(*types.Var); !ok || !f.IsField() {
				return nil
			}
			p, pointer := b.Info.TypeOf(n.X).Underlying().(*types.Pointer)
			if pointer {
				around = append(around, p.Elem())
			}
			x, reached = n.X, pointer
		case *ast.IndexExpr:
			if isKind[*types.Basic](b.Info.TypeOf(n.X)) {
				return nil
			}
			x, reached = n.X, !isKind[*types.Array](b.Info.TypeOf(n.X))
		default:
			return nil
		}
	}
	if write {
		return append(out, named(around[0]))
	}
	for _, t := range around[1:] {
		out = append(out, named(t))
	}
	return append(out, inside(around[0])...)
}

// inside gives the types of which a value consists.
func inside(t types.Type) []place {
	out := []place{named(t)}
	switch t := t.Underlying().(type) {
	case *types.Struct:
		for i := range t.NumFields() {
			out = append(out, inside(t.Field(i).Type())...)
		}
	case *types.Array:
		out = append(out, inside(t.Elem())...)
	case *types.Tuple: // an entry of a map with whether it is there
		out = append(out, inside(t.At(0).Type())...)
	}
	return out
}

func named(t types.Type) place { return t.String() }

// elements gives the type of what a list or map holds.
func (b *bodies) elements(e ast.Expr) []place {
	switch t := b.Info.TypeOf(e).Underlying().(type) {
	case *types.Slice:
		return []place{named(t.Elem())}
	case *types.Map:
		return []place{named(t.Elem())}
	}
	return nil
}
