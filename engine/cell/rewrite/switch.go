package rewrite

import "go/ast"

func (w *writer) choice(st *ast.SwitchStmt) {
	if st.Init != nil {
		w.open("{")
		w.unmarked(st.Init)
	}
	if st.Tag == nil {
		w.line("switch {")
	} else {
		w.line("switch %s {", w.expr(st.Tag))
	}
	for _, c := range st.Body.List {
		c := c.(*ast.CaseClause)
		if c.List == nil {
			w.line("default:")
		} else {
			w.line("case %s:", w.exprs(c.List))
		}
		w.scoped(c.Body)
	}
	w.line("}")
	if st.Init != nil {
		w.close("")
	}
}
