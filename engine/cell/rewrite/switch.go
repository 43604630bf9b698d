package rewrite

import (
	"go/ast"
	"slices"
	"strings"
)

func (w *writer) choice(st *ast.SwitchStmt) {
	if st.Init != nil {
		w.open("{")
		w.unmarked(st.Init)
	}
	switch {
	case len(st.Body.List) > 0:
		w.cases(st)
	case st.Tag != nil:
		// (fault: a switch without cases)
		w.line("_ = %s", w.expr(st.Tag))
	}
	if st.Init != nil {
		w.close("")
	}
}

// cases writes the clauses of a switch, several values of one case as one
// condition (fault: several conditions in a case).
func (w *writer) cases(st *ast.SwitchStmt) {
	several := slices.ContainsFunc(st.Body.List, func(c ast.Stmt) bool {
		list := c.(*ast.CaseClause).List
		return len(list) > 1 && slices.ContainsFunc(list, func(e ast.Expr) bool { return w.Info.Types[e].Value == nil })
	})
	equal := ""
	switch {
	case st.Tag == nil:
		w.line("switch {")
	case several:
		t := w.fresh("t")
		w.line("%s := %s", t, w.expr(st.Tag))
		w.line("switch {")
		equal = t + " == "
	default:
		w.line("switch %s {", w.expr(st.Tag))
	}
	for _, c := range st.Body.List {
		c := c.(*ast.CaseClause)
		if c.List == nil {
			w.line("default:")
			w.scoped(c.Body)
			continue
		}
		values := make([]string, len(c.List))
		for i, e := range c.List {
			values[i] = w.expr(e)
			if _, binary := e.(*ast.BinaryExpr); binary && several {
				values[i] = "(" + values[i] + ")"
			}
			values[i] = equal + values[i]
		}
		between := ", "
		if several {
			between = " || "
		}
		w.line("case %s:", strings.Join(values, between))
		w.scoped(c.Body)
	}
	w.line("}")
}
