package rewrite

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// block writes statements in the scope that is open.
func (w *writer) block(list []ast.Stmt) {
	for _, st := range list {
		w.statement(st)
	}
}

// scoped writes statements in a scope of their own, after the line that
// opens it.
func (w *writer) scoped(list []ast.Stmt) {
	w.visible = append(w.visible, map[string]bool{})
	w.indent++
	w.block(list)
	w.indent--
	w.visible = w.visible[:len(w.visible)-1]
}

// statement writes one statement behind its mark.
func (w *writer) statement(st ast.Stmt) {
	switch st := st.(type) {
	case *ast.EmptyStmt:
		return
	case *ast.DeclStmt:
		w.localDeclaration(st.Decl.(*ast.GenDecl))
		return
	case *ast.BlockStmt:
		w.line("{")
		w.scoped(st.List)
		w.line("}")
		return
	}
	w.mark(st.Pos(), w.calls(st))
	w.unmarked(st)
}

// unmarked writes a statement whose mark is written.
func (w *writer) unmarked(st ast.Stmt) {
	switch st := st.(type) {
	case *ast.ExprStmt:
		w.line("%s", w.expr(st.X))
	case *ast.IncDecStmt:
		w.line("%s%s", w.expr(st.X), st.Tok)
	case *ast.AssignStmt:
		w.assign(st)
	case *ast.BranchStmt:
		w.line("%s", st.Tok)
	case *ast.ReturnStmt:
		w.ret(st)
	case *ast.IfStmt:
		w.ifElse(st)
	case *ast.SwitchStmt:
		w.choice(st)
	case *ast.ForStmt:
		w.loop(st)
	case *ast.RangeStmt:
		w.rangeLoop(st)
	case *ast.EmptyStmt:
	default:
		panic(fmt.Sprintf("cell: no way to write %T", st)) // refused before
	}
}

// calls tells whether n itself, without the statements inside it, can run a
// function of a cell. (Those in the clauses of a switch count as its own.)
func (w *writer) calls(n ast.Node) bool {
	found := false
	var clauses *ast.BlockStmt
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.SwitchStmt:
			clauses = n.Body
		case *ast.BlockStmt:
			return n == clauses
		case *ast.CallExpr:
			fun := ast.Unparen(n.Fun)
			if tv := w.Info.Types[fun]; tv.IsType() || tv.IsBuiltin() {
				return true
			}
			if sel, ok := fun.(*ast.SelectorExpr); ok {
				if o, ok := w.Info.Uses[sel.Sel].(*types.Func); ok && o.Pkg() != nil {
					switch o.Pkg().Path() {
					case "math", "math/cmplx", "strconv", "errors", "fmt":
						return true
					}
				}
			}
			found = true
		}
		return !found
	})
	return found
}

// safe tells whether evaluating e can neither fail nor run a cell's function.
func (w *writer) safe(e ast.Expr) bool {
	ok := true
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			fun := ast.Unparen(n.Fun)
			tv := w.Info.Types[fun]
			if sel, isSel := fun.(*ast.SelectorExpr); isSel {
				f, isFunc := w.Info.Uses[sel.Sel].(*types.Func)
				ok = ok && isFunc && f.Pkg() != nil && f.Pkg().Path() == "math"
			} else {
				ok = ok && (tv.IsType() && w.cuts(n) == nil || tv.IsBuiltin() && isLength(fun))
			}
		case *ast.IndexExpr, *ast.SliceExpr, *ast.StarExpr, *ast.FuncLit:
			ok = false
		case *ast.SelectorExpr:
			if _, pointer := w.Info.TypeOf(n.X).(*types.Pointer); pointer {
				ok = false
			}
		case *ast.BinaryExpr:
			if n.Op == token.QUO || n.Op == token.REM || n.Op == token.SHL || n.Op == token.SHR {
				ok = ok && w.Info.Types[n.Y].Value != nil
			}
		}
		return ok
	})
	return ok
}

func isLength(fun ast.Expr) bool {
	id, ok := fun.(*ast.Ident)
	return ok && (id.Name == "len" || id.Name == "cap" || id.Name == "real" || id.Name == "imag" || id.Name == "complex")
}

func (w *writer) localDeclaration(g *ast.GenDecl) {
	if g.Tok != token.VAR {
		return // constants are written where they are used
	}
	for _, sp := range g.Specs {
		sp := sp.(*ast.ValueSpec)
		w.mark(sp.Pos(), w.calls(sp))
		lhs := make([]ast.Expr, len(sp.Names))
		for i, id := range sp.Names {
			lhs[i] = id
		}
		switch {
		case len(sp.Values) == 0:
			for _, id := range sp.Names {
				o := w.Info.Defs[id]
				if o == nil || id.Name == "_" {
					continue
				}
				n := w.declare(o)
				w.line("var %s %s", n, w.typ(o.Type()))
				w.unread(o, n)
			}
		case sp.Type != nil && len(sp.Values) == len(sp.Names):
			values := make([]string, len(sp.Values))
			for i, e := range sp.Values {
				values[i] = w.fresh("t")
				w.line("var %s %s = %s", values[i], w.typ(w.Info.TypeOf(sp.Type)), w.expr(e))
			}
			for i, id := range sp.Names {
				w.store(id, values[i], true)
			}
		default:
			w.assignTo(lhs, sp.Values, true)
		}
	}
}

// unread keeps the compiler content where the only uses of a variable were
// in constants, such as the length of an array.
func (w *writer) unread(o types.Object, name string) {
	if v, ok := o.(*types.Var); ok && !w.needed[v] {
		w.line("_ = %s", name)
	}
}

// ret writes a return: the values first, one after the other, then the
// caller's mark. Results with names take the values where a function literal
// that outlives the call can see them.
func (w *writer) ret(st *ast.ReturnStmt) {
	var values []string
	switch {
	case len(st.Results) == 0:
		values = w.fn.results
	case len(st.Results) == 1 && w.fn.signature.Results().Len() > 1:
		for range w.fn.signature.Results().Len() {
			values = append(values, w.fresh("r"))
		}
		w.line("%s := %s", strings.Join(values, ", "), w.expr(st.Results[0]))
	default:
		for _, e := range st.Results {
			if w.still(e) && (!w.fn.caught || w.Info.Types[e].Value != nil || w.Info.Types[e].IsNil()) {
				values = append(values, w.expr(e))
				continue
			}
			t := w.fresh("r")
			w.line("%s := %s", t, w.expr(e))
			values = append(values, t)
		}
	}
	if w.fn.caught && len(st.Results) > 0 {
		for i, n := range w.fn.results {
			w.line("%s = %s", n, values[i])
		}
	}
	w.leave()
	if len(values) == 0 {
		w.line("return")
		return
	}
	w.line("return %s", strings.Join(values, ", "))
}

// still tells whether evaluating e later gives the same value: constants and
// local variables that no other function knows.
func (w *writer) still(e ast.Expr) bool {
	e = ast.Unparen(e)
	if tv := w.Info.Types[e]; tv.Value != nil || tv.IsNil() {
		return true
	}
	id, ok := e.(*ast.Ident)
	if !ok {
		return false
	}
	v, ok := w.Info.Uses[id].(*types.Var)
	return ok && v.Parent() != w.Pkg.Scope() && !w.caught[v]
}

func (w *writer) ifElse(st *ast.IfStmt) {
	if st.Init != nil {
		w.open("{")
		w.unmarked(st.Init)
	}
	w.line("if %s {", w.expr(st.Cond))
	w.scoped(st.Body.List)
	switch e := st.Else.(type) {
	case nil:
		w.line("}")
	case *ast.BlockStmt:
		w.line("} else {")
		w.scoped(e.List)
		w.line("}")
	case *ast.IfStmt:
		w.open("} else {")
		w.statement(e)
		w.close("")
	}
	if st.Init != nil {
		w.close("")
	}
}
