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

// parts refuses types with too many parts.
func (s *Source) parts(statements []ast.Stmt) {
	c := partCount{known: map[string]int{}, types: map[string]ast.Expr{}}
	var specs []*ast.TypeSpec
	for _, st := range statements {
		d, ok := st.(*ast.DeclStmt)
		if !ok {
			continue
		}
		g, ok := d.Decl.(*ast.GenDecl)
		if !ok || g.Tok != token.TYPE {
			continue
		}
		for _, sp := range g.Specs {
			if sp, ok := sp.(*ast.TypeSpec); ok {
				specs = append(specs, sp)
				c.types[sp.Name.Name] = sp.Type
			}
		}
	}
	for _, sp := range specs {
		if c.named(sp.Name.Name) > maxParts {
			s.Report(s.Offset(sp.Pos()), "cell-limit",
				fmt.Sprintf("the type %q has more than %d parts, with those of the types in it", sp.Name.Name, maxParts),
				"hold repeated parts in a slice")
			return // those that hold it have more
		}
	}
}

// partCount counts the parts of types.
type partCount struct {
	types map[string]ast.Expr
	known map[string]int
}

// named counts those of a type of the cells. A type that holds itself counts
// once there, as it does for the type checker.
func (c partCount) named(name string) int {
	if n, ok := c.known[name]; ok {
		return n
	}
	c.known[name] = 1
	n := min(1+c.count(c.types[name]), maxParts+1)
	c.known[name] = n
	return n
}

// part counts what a name stands for.
func (c partCount) part(name string) int {
	if _, ok := c.types[name]; ok {
		return c.named(name)
	}
	return 1
}

// count counts the parts of a type that is written out.
func (c partCount) count(t ast.Expr) int {
	n := 0
	ast.Inspect(t, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.SelectorExpr:
			n++ // of a package, whose types are small
			return false
		case *ast.Field:
			// The names of fields are no types, but each has the field's.
			if node.Type != nil {
				n += max(len(node.Names), 1) * c.count(node.Type)
			}
			return false
		case *ast.Ident:
			n += c.part(node.Name)
		}
		n = min(n, maxParts+1)
		return n <= maxParts
	})
	return min(n, maxParts+1)
}
