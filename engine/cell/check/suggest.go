package check

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/diag"
)

// nearName looks for the name that an unknown one may be a slip of, among
// what the cell can see.
func (c Checked) nearName(name string, e types.Error) string {
	for _, pkg := range []string{"math", "machine", "fmt", "strings"} {
		upper := strings.ToUpper(name[:1]) + name[1:]
		if slices.Contains(c.members(pkg), upper) {
			return fmt.Sprintf("did you mean %s.%s?", pkg, upper)
		}
	}
	if near := diag.Nearest(name, c.names(e)); near != "" && near != name && len(name) > 1 {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "define it above this line, such as " + name + " := 1.0"
}

// names gives what can be seen where an error is.
func (c Checked) names(e types.Error) []string {
	var known []string
	var visit func(sc *types.Scope)
	visit = func(sc *types.Scope) {
		for i := range sc.NumChildren() {
			visit(sc.Child(i))
		}
		if sc.Contains(e.Pos) || sc == c.Pkg.Scope() {
			known = append(known, sc.Names()...)
		}
	}
	visit(c.Pkg.Scope())
	known = slices.DeleteFunc(known, func(n string) bool { return strings.HasPrefix(n, "__") })
	known = append(known, assemble.PackageNames()...)
	return append(known, types.Universe.Names()...)
}

// beforeDot tells whether the name at pos is followed by a dot and a name.
func (c Checked) beforeDot(pos token.Pos) bool {
	found := false
	ast.Inspect(c.File, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok && sel.X.Pos() == pos {
			_, found = sel.X.(*ast.Ident)
			return false
		}
		return !found
	})
	return found
}

// members gives the exported names of a package that cells have at hand.
func (c Checked) members(name string) []string {
	p := exported(c.importer, name)
	if p == nil {
		return nil
	}
	var out []string
	for _, n := range p.Scope().Names() {
		if ast.IsExported(n) {
			out = append(out, n)
		}
	}
	return out
}

func (c Checked) noMember(pkg, name string) (text, hint string) {
	text = fmt.Sprintf("package %s has no %q that cells can use", pkg, name)
	if near := diag.Nearest(name, c.members(pkg)); near != "" {
		return text, fmt.Sprintf("did you mean %s.%s?", pkg, near)
	}
	if pkg == "fmt" {
		return text, "use fmt.Println to see a value while writing, fmt.Sprintf to make text"
	}
	return text, "look for a slip in the name"
}

// nearField looks for the field or method that an unknown one may be a slip
// of.
func (c Checked) nearField(e types.Error, name string) string {
	var known []string
	ast.Inspect(c.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if t := c.Info.Types[n.X].Type; t != nil && n.Sel.Pos() == e.Pos {
				known = append(known, fieldsAndMethods(t)...)
			}
		case *ast.CompositeLit:
			for _, el := range n.Elts {
				if t := c.Info.Types[n].Type; t != nil && el.Pos() == e.Pos {
					known = append(known, fieldsAndMethods(t)...)
				}
			}
		}
		return true
	})
	if near := diag.Nearest(name, known); near != "" && len(name) > 1 {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) > 0 && len(known) <= 12 {
		return "it has " + strings.Join(known, ", ")
	}
	return "look for a slip in the name"
}

func fieldsAndMethods(t types.Type) []string {
	var out []string
	base := t
	if p, ok := base.Underlying().(*types.Pointer); ok {
		base = p.Elem()
	}
	if st, ok := base.Underlying().(*types.Struct); ok {
		for i := range st.NumFields() {
			if f := st.Field(i); f.Exported() || f.Pkg() != nil && f.Pkg().Path() == "cells" {
				out = append(out, f.Name())
			}
		}
	}
	set := types.NewMethodSet(types.NewPointer(base))
	if types.IsInterface(base) {
		set = types.NewMethodSet(base)
	}
	for i := range set.Len() {
		if o := set.At(i).Obj(); o.Exported() || o.Pkg() != nil && o.Pkg().Path() == "cells" {
			out = append(out, o.Name())
		}
	}
	return out
}
