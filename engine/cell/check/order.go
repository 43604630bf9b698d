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

	set := map[*types.Var]bool{}
	told := map[*types.Var]bool{}
	found := false
	tell := func(at token.Pos, v *types.Var, text string, args ...any) {
		if told[v] {
			return
		}
		told[v], found = true, true
		line, _ := diag.Place(s.Lesson.Source, s.Offset(v.Pos()))
		s.Report(s.Offset(at), "cell-order", fmt.Sprintf(text, args...),
			fmt.Sprintf("move the line that sets %s (line %d) above this one", v.Name(), line))
	}
	look := func(n ast.Node, own map[*types.Var]bool) {
		c.mentions(n, func(id *ast.Ident, v *types.Var) {
			switch {
			case own[v] && !told[v]:
				told[v], found = true, true
				hint := "set it in steps, the first without itself"
				if _, ok := v.Type().Underlying().(*types.Signature); ok {
					hint = fmt.Sprintf("write it as func %s(...) { ... }", v.Name())
				}
				s.Report(s.Offset(id.Pos()), "cell-order", fmt.Sprintf("%q is used in its own definition", v.Name()), hint)
			case !set[v]:
				tell(id.Pos(), v, "%q is used before it is set", v.Name())
			}
		}, func(id *ast.Ident, f *types.Func) {
			var first *types.Var
			for v := range reads[f] {
				if !set[v] && (first == nil || v.Pos() < first.Pos()) {
					first = v
				}
			}
			if own[first] && !told[first] {
				told[first], found = true, true
				s.Report(s.Offset(id.Pos()), "cell-order", fmt.Sprintf("%q uses %q, which is only being set here", f.Name(), first.Name()),
					fmt.Sprintf("set %s in steps, the first without %s", first.Name(), f.Name()))
			} else if first != nil {
				tell(id.Pos(), first, "%q uses %q, which is set further down", f.Name(), first.Name())
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
	return found
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
