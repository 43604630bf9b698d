package rewrite

import (
	"go/ast"
	"go/token"
	"regexp"
	"strings"
)

func (w *writer) assign(st *ast.AssignStmt) {
	switch st.Tok {
	case token.ASSIGN, token.DEFINE:
		w.assignTo(st.Lhs, st.Rhs, st.Tok == token.DEFINE)
	default:
		w.line("%s %s %s", w.expr(st.Lhs[0]), st.Tok, w.expr(st.Rhs[0]))
	}
}

// assignTo writes an assignment or definition of one or more places. Several
// values are all computed before the first is stored, each in a line of its own
// (fault: several values, one of them of an interface type).
func (w *writer) assignTo(lhs, rhs []ast.Expr, define bool) {
	if len(lhs) == 1 {
		w.store(lhs[0], w.expr(rhs[0]), define)
		return
	}
	if len(rhs) == 1 {
		w.spreadOut(lhs, rhs[0], define)
		return
	}
	values := make([]string, len(rhs))
	for i, e := range rhs {
		values[i] = w.expr(e)
		if tv := w.Info.Types[e]; tv.Value == nil && !tv.IsNil() {
			values[i] = w.own(values[i])
		}
	}
	for i, l := range lhs {
		w.store(l, values[i], define)
	}
}

// store writes one value into one place.
func (w *writer) store(l ast.Expr, value string, define bool) {
	id, ok := ast.Unparen(l).(*ast.Ident)
	switch {
	case ok && id.Name == "_":
		w.line("_ = %s", value)
	case ok && define && w.Info.Defs[id] != nil:
		o := w.Info.Defs[id]
		n := w.declare(o)
		if w.caught[o] && !ofOurs.MatchString(value) {
			value = w.own(value)
		}
		w.line("%s := %s", n, value)
		w.unread(o, n)
	default:
		w.line("%s = %s", w.expr(l), value)
	}
}

// ofOurs matches the plain name of a value that was written before.
var ofOurs = regexp.MustCompile(`^__t\d+$`)

// own writes a value into a variable of its own first, where a turn of a loop
// must not share it (fault: a list in braces is the one of the turn before).
func (w *writer) own(value string) string {
	t := w.fresh("t")
	w.line("%s := %s", t, value)
	return t
}

// spreadOut writes an assignment of a call's several results, or of a map's
// element with whether it was there.
func (w *writer) spreadOut(lhs []ast.Expr, e ast.Expr, define bool) {
	if x, ok := ast.Unparen(e).(*ast.IndexExpr); ok {
		w.entry(lhs, x, define)
		return
	}
	value := w.expr(e)
	names := make([]string, len(lhs))
	blank := true
	for i, l := range lhs {
		names[i] = "_"
		if id, ok := l.(*ast.Ident); !ok || id.Name != "_" {
			names[i] = w.fresh("t")
			blank = false
		}
	}
	if blank {
		w.line("%s = %s", strings.Join(names, ", "), value)
		return
	}
	w.line("%s := %s", strings.Join(names, ", "), value)
	for i, l := range lhs {
		if names[i] != "_" {
			w.store(l, names[i], define)
		}
	}
}

// entry writes the reading of a map's entry with whether it was there, as two
// readings (fault: an entry that is not there).
func (w *writer) entry(lhs []ast.Expr, x *ast.IndexExpr, define bool) {
	m, k := w.kept(x.X), w.kept(x.Index)
	ok := w.fresh("ok")
	w.line("_, %s := %s[%s]", ok, m, k)
	w.line("_ = %s", ok)
	values := []string{w.own(m + "[" + k + "]"), ok}
	w.line("_ = %s", values[0])
	for i, l := range lhs {
		if id, ok := l.(*ast.Ident); !ok || id.Name != "_" {
			w.store(l, values[i], define)
		}
	}
}

// kept writes a value that is used twice.
func (w *writer) kept(e ast.Expr) string {
	if w.still(e) {
		return w.expr(e)
	}
	return w.own(w.expr(e))
}
