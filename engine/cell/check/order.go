package check

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"

	"slipring/engine/cell/assemble"
	"slipring/engine/diag"
)

// early reports variables that are used before the statement that defines
// them has run: directly, or in a function that is mentioned before. In one
// function body the compiler would not know them yet; as variables of a
// package they would silently be zero.
func (c Checked) early(s *assemble.Source) bool {
	reads := map[*types.Func]map[*types.Var]bool{}
	calls := map[*types.Func]map[*types.Func]bool{}
	for _, d := range c.File.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Body == nil {
			continue
		}
		o, ok := c.Info.Defs[f.Name].(*types.Func)
		if !ok || f.Name.Name == assemble.RunName {
			continue
		}
		reads[o], calls[o] = map[*types.Var]bool{}, map[*types.Func]bool{}
		c.mentions(f.Body, func(_ *ast.Ident, v *types.Var) { reads[o][v] = true },
			func(_ *ast.Ident, g *types.Func) { calls[o][g] = true })
	}
	// close over calls: what a function reads, its callees read
	for changed := true; changed; {
		changed = false
		for f := range calls {
			for g := range calls[f] {
				for v := range reads[g] {
					if !reads[f][v] {
						reads[f][v] = true
						changed = true
					}
				}
			}
		}
	}

	set, told := map[*types.Var]bool{}, map[*types.Var]bool{}
	tell := func(at token.Pos, v *types.Var, own bool, text, hint string) {
		if told[v] {
			return
		}
		told[v] = true
		if !own {
			line, _ := diag.Place(s.Lesson.Source, s.Offset(v.Pos()))
			hint = fmt.Sprintf("move the line that sets %s (line %d) above this one", v.Name(), line)
		}
		s.Report(s.Offset(at), "cell-order", text, hint)
	}
	look := func(n ast.Node, own map[*types.Var]bool) {
		c.mentions(n, func(id *ast.Ident, v *types.Var) {
			hint := "set it in steps, the first without itself"
			if _, ok := v.Type().Underlying().(*types.Signature); ok {
				hint = fmt.Sprintf("write it as func %s(...) { ... }", v.Name())
			}
			if own[v] {
				tell(id.Pos(), v, true, fmt.Sprintf("%q is used in its own definition", v.Name()), hint)
			} else if !set[v] {
				tell(id.Pos(), v, false, fmt.Sprintf("%q is used before it is set", v.Name()), "")
			}
		}, func(id *ast.Ident, f *types.Func) {
			var first *types.Var
			for v := range reads[f] {
				if !set[v] && (first == nil || v.Pos() < first.Pos()) {
					first = v
				}
			}
			if first != nil {
				tell(id.Pos(), first, own[first], fmt.Sprintf("%q uses %q, which is not set yet", f.Name(), first.Name()),
					fmt.Sprintf("set %s in steps, the first without %s", first.Name(), f.Name()))
			}
		})
	}
	for _, st := range c.Steps {
		if st.Statement != nil {
			look(st.Statement, nil)
			continue
		}
		own := map[*types.Var]bool{}
		for _, id := range st.Spec.Names {
			if v, ok := c.Info.Defs[id].(*types.Var); ok {
				own[v] = true
			}
		}
		for _, e := range st.Spec.Values {
			look(e, own)
		}
		for v := range own {
			set[v] = true
		}
	}
	return len(told) > 0
}

// mentions visits the cells' own top-level variables and functions that are
// named below n.
func (c Checked) mentions(n ast.Node, variable func(*ast.Ident, *types.Var), function func(*ast.Ident, *types.Func)) {
	ast.Inspect(n, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		if !ok {
			return true
		}
		switch o := c.Info.Uses[id].(type) {
		case *types.Var:
			if o.Parent() == c.Pkg.Scope() && o.Pos().IsValid() {
				variable(id, o)
			}
		case *types.Func:
			if o.Pkg() != c.Pkg {
				break
			}
			function(id, o)
		}
		return true
	})
}
