package rewrite

import (
	"go/ast"
	"go/types"
	"strings"
)

// loop writes a for loop. A condition that can fail or call goes into the
// body, behind a mark of its own. A variable of the loop that a function
// literal uses is copied for each turn (fault: a loop variable is one for all
// turns).
func (w *writer) loop(st *ast.ForStmt) {
	own := len(w.marks) - 1
	if st.Init != nil {
		w.open("{")
		w.unmarked(st.Init)
	}
	cond, inside := "", ""
	if st.Cond != nil {
		cond = w.expr(st.Cond)
		if !w.safe(st.Cond) {
			cond, inside = "", cond
		}
	}
	post := ""
	if st.Post != nil {
		post = w.simple(st.Post)
	}
	switch {
	case post != "":
		w.open("for ; %s; %s {", cond, post)
	case cond != "":
		w.open("for %s {", cond)
	default:
		w.open("for {")
	}
	if inside != "" || len(st.Body.List) == 0 {
		if w.calls(st) {
			w.line("__at = %d", own)
		}
		w.line("__mark(%d)", own)
	}
	if inside != "" {
		w.open("if !(%s) {", inside)
		w.line("break")
		w.close("")
	}
	if as, ok := st.Init.(*ast.AssignStmt); ok {
		for _, l := range as.Lhs {
			if id, ok := l.(*ast.Ident); ok && w.Info.Defs[id] != nil && w.caught[w.Info.Defs[id]] {
				w.copied(w.Info.Defs[id])
			}
		}
	}
	w.block(st.Body.List)
	w.close("")
	if st.Init != nil {
		w.close("")
	}
}

// copied gives a loop's variable a copy for this turn, under which the body
// knows it.
func (w *writer) copied(o types.Object) {
	outer := w.names[o]
	n := w.fresh("c")
	w.names[o] = n
	w.line("%s := %s", n, outer)
	w.line("_ = %s", n)
}

// simple writes the statement after the second semicolon of a loop, which
// must be one statement.
func (w *writer) simple(st ast.Stmt) string {
	switch st := st.(type) {
	case *ast.IncDecStmt:
		return w.expr(st.X) + st.Tok.String()
	case *ast.ExprStmt:
		return w.expr(st.X)
	case *ast.AssignStmt:
		return w.exprs(st.Lhs) + " " + st.Tok.String() + " " + w.exprs(st.Rhs)
	}
	return "" // refused before
}

func (w *writer) rangeLoop(st *ast.RangeStmt) {
	own := len(w.marks) - 1
	x := w.expr(st.X)
	w.visible = append(w.visible, map[string]bool{})
	var heads, first []string
	for _, e := range []ast.Expr{st.Key, st.Value} {
		if e == nil {
			continue
		}
		id := e.(*ast.Ident)
		if id.Name == "_" {
			heads = append(heads, "_")
			continue
		}
		o := w.Info.Defs[id]
		outer := w.declare(o)
		heads = append(heads, outer)
		if w.caught[o] || w.altered[o] {
			// a copy for this turn (fault: a range counts in the variable itself)
			n := w.fresh("c")
			w.names[o] = n
			first = append(first, n+" := "+outer, "_ = "+n)
		} else if !w.needed[o.(*types.Var)] {
			first = append(first, "_ = "+outer)
		}
	}
	head := strings.Join(heads, ", ") + " := "
	if strings.Trim(head, "_, ") == ":=" {
		head = ""
	}
	w.line("for %srange %s {", head, x)
	w.indent++
	if len(st.Body.List) == 0 {
		w.line("__mark(%d)", own)
	}
	for _, f := range first {
		w.line("%s", f)
	}
	w.block(st.Body.List)
	w.indent--
	w.visible = w.visible[:len(w.visible)-1]
	w.line("}")
}
