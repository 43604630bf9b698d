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
}

// read is a place that an expression reads.
type read struct {
	at ast.Expr
	of place
}

// statement judges each call in a statement beside each reading that is neither
// part of the call nor done with its result.
func (o *orderWalk) statement(pos token.Pos, es ...ast.Expr) {
	reads, calls := o.happens(es)
	within := func(a, b ast.Expr) bool { return b.Pos() <= a.Pos() && a.End() <= b.End() }
	for _, c := range calls {
		writes := o.writes(o.call(c))
		for _, r := range reads {
			if writes[r.of] && !within(r.at, c) && !within(c, r.at) {
				name := types.ExprString(c.Fun)
				o.Refuse(pos, fmt.Sprintf("this reads %s and calls %s, which may change it", types.ExprString(r.at), name),
					fmt.Sprintf("Go leaves open which comes first; give the result of %s a name in a line before", name))
				return
			}
		}
	}
}

// happens gives what evaluating expressions reads and which calls it makes.
func (o *orderWalk) happens(es []ast.Expr) (reads []read, calls []*ast.CallExpr) {
	for _, e := range es {
		ast.Inspect(e, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			if tv := o.Info.Types[e]; tv.Value != nil || tv.IsType() {
				return false
			}
			if call, ok := e.(*ast.CallExpr); ok {
				calls = append(calls, call)
				if o.readsElements(call) {
					reads = append(reads, read{e, nil})
				}
			}
			if p, ok := o.place(e); ok {
				reads = append(reads, read{e, p})
			}
			sel, ok := e.(*ast.SelectorExpr)
			if ok && o.TakesAddress(sel) { // the method is handed the place alone
				_, plain := sel.X.(*ast.Ident)
				return !plain
			}
			_, literal := e.(*ast.FuncLit)
			return !literal
		})
	}
	return reads, calls
}

// readsElements tells whether a conversion or builtin function reads what a list
// or map holds.
func (o *orderWalk) readsElements(n *ast.CallExpr) bool {
	fun := o.Info.Types[ast.Unparen(n.Fun)]
	last := n.Args[max(len(n.Args)-1, 0):]
	if len(last) == 0 || !fun.IsType() && !fun.IsBuiltin() {
		return false
	}
	t := o.Info.TypeOf(last[0])
	return check.IsKind[*types.Map](t) || check.IsKind[*types.Slice](t) && (fun.IsType() || n.Ellipsis.IsValid())
}

func (o *orderWalk) assignment(n *ast.AssignStmt) {
	var all []ast.Expr
	for i, l := range n.Lhs {
		if n.Tok != token.ASSIGN && n.Tok != token.DEFINE {
			all = append(all, l)
			continue
		}
		all = append(all, o.operands(l)...)
		for _, earlier := range n.Lhs[:i] {
			o.moved(earlier, l)
		}
	}
	o.statement(n.Pos(), append(all, n.Rhs...)...)
}

// operands gives the expressions that tell which place l is, evaluated before
// something is stored or read there.
func (o *orderWalk) operands(l ast.Expr) []ast.Expr {
	switch n := ast.Unparen(l).(type) {
	case *ast.IndexExpr:
		if check.IsKind[*types.Array](o.Info.TypeOf(n.X)) {
			return append(o.operands(n.X), n.Index)
		}
		return []ast.Expr{n.X, n.Index}
	case *ast.SelectorExpr:
		if check.IsKind[*types.Pointer](o.Info.TypeOf(n.X)) {
			return []ast.Expr{n.X}
		}
		return o.operands(n.X)
	}
	return nil
}

// moved refuses a place that an earlier place of the same assignment may decide
// on: in i, xs[i] = 1, 2 Go means the element that i stood for before.
func (o *orderWalk) moved(earlier, l ast.Expr) {
	root, _ := o.Root(earlier)
	of, told := o.place(earlier)
	t := o.Info.TypeOf(earlier)
	for _, e := range o.operands(l) {
		found := false
		ast.Inspect(e, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if ok && !found {
				_, literal := e.(*ast.FuncLit)
				at, _ := o.Root(e)
				read, known := o.place(e)
				whole := o.Info.TypeOf(e) // which may hold a value of the type that is set
				apart := of == nil && check.IsKind[*types.Basic](t) && !types.Identical(t, whole) && !check.IsKind[*types.Struct](whole) && !check.IsKind[*types.Array](whole)
				found = literal || at != nil && at == root || told && known && read == of && !apart
			}
			return !found
		})
		if found {
			o.Refuse(l.Pos(), fmt.Sprintf("%s is set together with %s, which may tell where it is", types.ExprString(l), types.ExprString(earlier)),
				"set them in two lines, in the order that is meant")
			return
		}
	}
}
