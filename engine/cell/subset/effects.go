package subset

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strings"

	"slipring/engine/cell/check"
)

// access is a place in memory as far as it can be told from the text: the
// variable that it belongs to, if any, and the way down to it from there or
// from a pointer, slice or map.
type access struct {
	root *types.Var // nil behind a pointer, slice or map
	way  []spot
	text string
}

// spot is one level on the way to a place.
type spot struct {
	typ   string
	field *types.Var // for a field
	kind  spotKind
}

type spotKind int

const (
	somewhere spotKind = iota // what a pointer points to: any place of that type
	element                   // of a slice, array or map
	ofStruct                  // a field
)

func (a spot) meets(b spot) bool {
	return a.typ == b.typ && (a.kind == somewhere || b.kind == somewhere || a.kind == b.kind && a.field == b.field)
}

// meets tells whether two places may be the same or inside one another.
func (a access) meets(b access) bool {
	if a.root != nil && a.root == b.root {
		return true
	}
	if len(a.way) == 0 || len(b.way) == 0 {
		return false
	}
	within := func(last spot, way []spot) bool {
		for _, s := range way {
			if s.meets(last) {
				return true
			}
		}
		return false
	}
	return within(a.way[len(a.way)-1], b.way) || within(b.way[len(b.way)-1], a.way)
}

func (a access) key() string { return fmt.Sprintf("%p %v", a.root, a.way) }

// unit is a function, method or function literal with what running it may
// change, apart from its own variables. A unit without a body stands for
// whatever of several may run.
type unit struct {
	writes map[string]access
	calls  []*unit

	number, low int // of close
	open        bool
}

// effects knows what each function of the cells may change.
type effects struct {
	check.Checked
	caught   map[types.Object]bool
	pointed  map[types.Object]bool
	declared map[*types.Func]*unit
	literals map[*ast.FuncLit]*unit
	values   []valued // functions that are used as values
	fitting  []valued // for a type of functions, what stands for all values of it
	methods  map[string]*unit
}

type valued struct {
	signature *types.Signature
	unit      *unit
}

func effectsOf(c check.Checked) *effects {
	e := &effects{Checked: c, caught: c.Captured(), pointed: c.Addresses(),
		declared: map[*types.Func]*unit{}, literals: map[*ast.FuncLit]*unit{}, methods: map[string]*unit{}}
	called := map[ast.Expr]bool{}
	for _, d := range c.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if o, ok := c.Info.Defs[n.Name].(*types.Func); ok {
					e.declared[o] = &unit{writes: map[string]access{}}
				}
			case *ast.FuncLit:
				u := &unit{writes: map[string]access{}}
				e.literals[n] = u
				e.values = append(e.values, valued{c.Info.TypeOf(n).Underlying().(*types.Signature), u})
			case *ast.CallExpr:
				called[ast.Unparen(n.Fun)] = true
			}
			return true
		})
	}
	for id, o := range c.Info.Uses { // functions by name, used as values
		if f, ok := o.(*types.Func); ok && e.declared[f] != nil && !called[id] {
			if g := f.Type().(*types.Signature); g.Recv() == nil {
				e.values = append(e.values, valued{g, e.declared[f]})
			}
		}
	}
	for _, d := range c.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if o, ok := c.Info.Defs[n.Name].(*types.Func); ok && n.Body != nil {
					e.collect(e.declared[o], n.Body)
				}
			case *ast.FuncLit:
				e.collect(e.literals[n], n.Body)
			}
			return true
		})
	}
	e.close()
	return e
}

func (e *effects) variable(id *ast.Ident) *types.Var {
	v, _ := e.Info.ObjectOf(id).(*types.Var)
	return v
}

// close adds to each unit what the units that it calls may change. Units that
// call each other change the same, so that each such circle is dealt with as
// one, after all that it calls. (R. Tarjan, "Depth-first search and linear
// graph algorithms", SIAM Journal on Computing 1, 1972.)
func (e *effects) close() {
	var stack []*unit
	number := 0
	var visit func(u *unit)
	visit = func(u *unit) {
		number++
		u.number, u.low, u.open = number, number, true
		stack = append(stack, u)
		for _, c := range u.calls {
			if c.number == 0 {
				visit(c)
				u.low = min(u.low, c.low)
			} else if c.open {
				u.low = min(u.low, c.number)
			}
		}
		if u.low < u.number {
			return
		}
		at := slices.Index(stack, u)
		circle := stack[at:]
		stack = stack[:at:at]
		all := map[string]access{}
		for _, m := range circle {
			m.open = false
			maps.Copy(all, m.writes)
			for _, c := range m.calls {
				maps.Copy(all, c.writes)
			}
		}
		for _, m := range circle {
			m.writes = all
		}
	}
	for _, u := range e.declared {
		if u.number == 0 {
			visit(u)
		}
	}
	for _, u := range e.literals {
		if u.number == 0 {
			visit(u)
		}
	}
}

// value gives what stands for all functions of a type that are used as values.
func (e *effects) value(g *types.Signature) *unit {
	for _, f := range e.fitting {
		if types.Identical(f.signature, g) {
			return f.unit
		}
	}
	u := &unit{writes: map[string]access{}}
	for _, v := range e.values {
		if types.Identical(v.signature, g) {
			u.calls = append(u.calls, v.unit)
			maps.Copy(u.writes, v.unit.writes) // one asked for after close is done
		}
	}
	e.fitting = append(e.fitting, valued{g, u})
	return u
}

// method gives what stands for all methods of a name.
func (e *effects) method(name string) *unit {
	u := e.methods[name]
	if u == nil {
		u = &unit{writes: map[string]access{}}
		for f, m := range e.declared {
			if f.Name() == name && f.Type().(*types.Signature).Recv() != nil {
				u.calls = append(u.calls, m)
				maps.Copy(u.writes, m.writes)
			}
		}
		e.methods[name] = u
	}
	return u
}

// collect notes what the statements of one body change and call, leaving out
// function literals inside, which are units of their own.
func (e *effects) collect(u *unit, body ast.Node) {
	write := func(x ast.Expr) {
		if a, ok := e.place(x); ok {
			u.writes[a.key()] = a
		}
	}
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				if id, ok := l.(*ast.Ident); ok && e.Info.Defs[id] != nil {
					continue
				}
				write(l)
			}
		case *ast.IncDecStmt:
			write(n.X)
		case *ast.RangeStmt:
			if n.Tok == token.ASSIGN {
				for _, x := range []ast.Expr{n.Key, n.Value} {
					if x != nil {
						write(x)
					}
				}
			}
		case *ast.CallExpr:
			direct, calls := e.call(n)
			for _, a := range direct {
				u.writes[a.key()] = a
			}
			u.calls = append(u.calls, calls...)
		}
		return true
	})
}

// call gives what one call changes by itself, and what it runs.
func (e *effects) call(n *ast.CallExpr) (direct []access, calls []*unit) {
	fun := ast.Unparen(n.Fun)
	tv := e.Info.Types[fun]
	elements := func(x ast.Expr) {
		t := e.Info.TypeOf(x)
		if t == nil {
			return
		}
		switch t := t.Underlying().(type) {
		case *types.Slice:
			direct = append(direct, access{way: []spot{{typ: t.Elem().String(), kind: element}}})
		case *types.Map:
			direct = append(direct, access{way: []spot{{typ: t.Elem().String(), kind: element}}})
		}
	}
	switch {
	case tv.IsType():
		return nil, nil
	case tv.IsBuiltin():
		if id, ok := fun.(*ast.Ident); ok && len(n.Args) > 0 {
			switch id.Name {
			case "copy", "delete":
				elements(n.Args[0])
			case "append":
				if _, ok := ast.Unparen(n.Args[0]).(*ast.SliceExpr); ok {
					elements(n.Args[0])
				}
			}
		}
		return direct, nil
	}
	for _, a := range n.Args { // a function that is handed over may be run
		if g, ok := e.Info.TypeOf(a).Underlying().(*types.Signature); ok {
			calls = append(calls, e.callee(ast.Unparen(a), g))
		}
	}
	if sel, ok := fun.(*ast.SelectorExpr); ok {
		if f, ok := e.Info.Uses[sel.Sel].(*types.Func); ok && f.Pkg() != e.Pkg {
			if f.Pkg() != nil && f.Pkg().Path() == "sort" && !strings.HasPrefix(f.Name(), "Search") && !strings.HasSuffix(f.Name(), "IsSorted") {
				for _, a := range n.Args {
					elements(a)
				}
			}
			if e.TakesAddress(sel) {
				if a, ok := e.place(sel.X); ok {
					direct = append(direct, a)
				}
			}
			if e.Info.Selections[sel] == nil || !types.IsInterface(e.Info.TypeOf(sel.X)) {
				return direct, calls
			}
		}
	}
	if g, ok := tv.Type.Underlying().(*types.Signature); ok {
		calls = append(calls, e.callee(fun, g))
	}
	return direct, calls
}

// callee finds out what running a function expression runs.
func (e *effects) callee(fun ast.Expr, g *types.Signature) *unit {
	switch fun := fun.(type) {
	case *ast.FuncLit:
		return e.literals[fun]
	case *ast.Ident:
		if f, ok := e.Info.Uses[fun].(*types.Func); ok && e.declared[f] != nil {
			return e.declared[f]
		}
	case *ast.SelectorExpr:
		if f, ok := e.Info.Uses[fun.Sel].(*types.Func); ok {
			if u := e.declared[f]; u != nil {
				return u
			}
			if types.IsInterface(e.Info.TypeOf(fun.X)) {
				return e.method(f.Name())
			}
			return &unit{}
		}
	}
	return e.value(g)
}

// place tells which place an expression stands for. It gives false for what
// no other function can know: local variables that stay with their function.
func (e *effects) place(x ast.Expr) (access, bool) {
	x = ast.Unparen(x)
	text := types.ExprString(x)
	below := func(inner ast.Expr, s spot) (access, bool) {
		a, ok := e.place(inner)
		a.way = append(a.way[:len(a.way):len(a.way)], s)
		a.text = text
		return a, ok
	}
	t := func(x ast.Expr) string { return e.Info.TypeOf(x).String() }
	switch n := x.(type) {
	case *ast.Ident:
		v := e.variable(n)
		if v == nil {
			return access{}, false
		}
		a := access{root: v, text: text}
		if e.pointed[v] {
			a.way = []spot{{typ: v.Type().String()}}
		}
		return a, v.Parent() == e.Pkg.Scope() || e.caught[v] || e.pointed[v]
	case *ast.StarExpr:
		return access{way: []spot{{typ: t(n)}}, text: text}, true
	case *ast.SelectorExpr:
		f, ok := e.Info.Uses[n.Sel].(*types.Var)
		if !ok || !f.IsField() {
			return access{}, false
		}
		s := spot{typ: f.Type().String(), field: f, kind: ofStruct}
		if p, ok := e.Info.TypeOf(n.X).Underlying().(*types.Pointer); ok {
			return access{way: []spot{{typ: p.Elem().String()}, s}, text: text}, true
		}
		return below(n.X, s)
	case *ast.IndexExpr:
		tv := e.Info.Types[n]
		if tv.Type == nil {
			return access{}, false
		}
		el := tv.Type
		if tuple, ok := el.(*types.Tuple); ok {
			el = tuple.At(0).Type()
		}
		s := spot{typ: el.String(), kind: element}
		if _, ok := e.Info.TypeOf(n.X).Underlying().(*types.Array); ok {
			return below(n.X, s)
		}
		return access{way: []spot{s}, text: text}, true
	}
	return access{}, false
}
