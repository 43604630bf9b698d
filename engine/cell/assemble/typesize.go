package assemble

import (
	"fmt"
	"go/ast"
	"go/token"
)

// maxParts is how many parts a type may have, with those of the cells' own
// types that it holds written out. Each definition may double their number, and
// the type checker visits every part.
const maxParts = 2000

// types refuses types with too many parts, and those that are made of
// themselves or of one further down: the interpreter cannot lay out all of these.
func (s *Source) types(statements []ast.Stmt) {
	var specs []*ast.TypeSpec
	parts := map[string]int{} // of each type, 0 for one that is not complete
	for _, st := range statements {
		d, ok := st.(*ast.DeclStmt)
		if !ok {
			continue
		}
		if g, ok := d.Decl.(*ast.GenDecl); ok && g.Tok == token.TYPE {
			for _, sp := range g.Specs {
				sp := sp.(*ast.TypeSpec)
				specs = append(specs, sp)
				parts[sp.Name.Name] = 0
			}
		}
	}
	for _, sp := range specs {
		n := 1 + s.parts(sp.Type, parts)
		if n > maxParts {
			s.Report(s.Offset(sp.Pos()), "cell-limit",
				fmt.Sprintf("the type %q has more than %d parts, with those of the types in it", sp.Name.Name, maxParts),
				"hold repeated parts in a slice")
			return // those that hold it have more
		}
		parts[sp.Name.Name] = n
	}
}

// parts counts those of a type that is written out, maxParts and more alike.
func (s *Source) parts(t ast.Expr, known map[string]int) int {
	n := 0
	ast.Inspect(t, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.SelectorExpr:
			n++ // of a package, whose types are small
			return false
		case *ast.Field:
			// The names of fields are no types, but each has the field's.
			if node.Type != nil {
				n += max(len(node.Names), 1) * s.parts(node.Type, known)
			}
			return false
		case *ast.Ident:
			had, ours := known[node.Name]
			if ours && had == 0 {
				s.Refuse(node.Pos(), fmt.Sprintf("a type is made of %q, which is not complete here", node.Name),
					"define it above; in place of a thing of its own type, let it hold the index of that in a list")
			}
			n += max(had, 1)
		}
		return n <= maxParts
	})
	return min(n, maxParts+1)
}
