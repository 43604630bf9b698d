package assemble

import (
	"fmt"
	"go/ast"
	"go/token"
	"strconv"
)

// Limits of all cells of a lesson together. Checking them takes time that
// grows faster than their number, and happens outside the child process.
const (
	maxDefined = 1000     // variables, constants, types and functions at the top level
	maxBodies  = 250      // functions, methods and function literals
	maxText    = 64 << 10 // bytes of one constant text
	maxTexts   = 1 << 20  // bytes of constant texts, written out wherever they are used
)

// size refuses cells that are too much for the type checker and for what comes
// after it.
func (s *Source) size(p Parsed) {
	var all []ast.Node
	for _, d := range p.Decls {
		all = append(all, d)
	}
	for _, st := range p.Statements {
		all = append(all, st)
	}
	t := texts{values: map[string][]ast.Expr{}, known: map[string]int{}}
	defined, bodies, reported := len(p.Decls), 0, false
	limit := func(pos token.Pos, text, hint string) {
		if !reported {
			reported = true
			s.Report(s.Offset(pos), "cell-limit", text, hint)
		}
	}
	for _, st := range p.Statements {
		switch st := st.(type) {
		case *ast.AssignStmt:
			if st.Tok == token.DEFINE {
				defined += len(st.Lhs)
			}
		case *ast.DeclStmt:
			for _, sp := range st.Decl.(*ast.GenDecl).Specs {
				defined++
				if v, ok := sp.(*ast.ValueSpec); ok {
					defined += len(v.Names) - 1
				}
			}
		}
		if defined > maxDefined {
			limit(st.Pos(), fmt.Sprintf("the cells of this lesson define more than %d names", maxDefined), "keep values in a slice or a map, or split the lesson")
		}
	}
	for _, root := range all {
		ast.Inspect(root, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GenDecl:
				if n.Tok == token.CONST {
					t.define(n)
				}
			case *ast.FuncDecl, *ast.FuncLit:
				if bodies++; bodies > maxBodies {
					limit(n.Pos(), fmt.Sprintf("the cells of this lesson have more than %d functions", maxBodies), "write one function that does what several do, or split the lesson")
				}
			}
			return true
		})
	}
	used := 0
	for _, root := range all {
		ast.Inspect(root, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			size := t.size(e)
			if size > maxText {
				limit(e.Pos(), fmt.Sprintf("a constant text has more than %d bytes", maxText), "make it where it is used, with strings.Repeat or in a loop")
			}
			if _, name := e.(*ast.Ident); name {
				used += size
			}
			if used > maxTexts {
				limit(e.Pos(), fmt.Sprintf("the constant texts of this lesson, wherever they are used, have more than %d bytes together", maxTexts), "keep the text in a variable")
			}
			return !reported
		})
	}
}

// texts knows how long constant texts are, without making them. It goes by
// names alone, so that of two constants of one name the longer counts.
type texts struct {
	values map[string][]ast.Expr
	known  map[string]int
}

// define notes the constants of a declaration, in which a name without a value
// repeats the value before.
func (t texts) define(g *ast.GenDecl) {
	var before []ast.Expr
	for _, sp := range g.Specs {
		v, ok := sp.(*ast.ValueSpec)
		if !ok {
			continue
		}
		if len(v.Values) > 0 {
			before = v.Values
		}
		for i, id := range v.Names {
			if i < len(before) {
				t.values[id.Name] = append(t.values[id.Name], before[i])
			}
		}
	}
}

// size gives how many bytes the text of e has at most, were it a constant.
func (t texts) size(e ast.Expr) int {
	n := 0
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			if text, err := strconv.Unquote(e.Value); err == nil {
				n = len(text)
			}
		}
	case *ast.ParenExpr:
		n = t.size(e.X)
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			n = t.size(e.X) + t.size(e.Y)
		}
	case *ast.CallExpr: // a conversion
		if len(e.Args) == 1 {
			n = t.size(e.Args[0])
		}
	case *ast.Ident:
		had, ok := t.known[e.Name]
		if ok {
			return had
		}
		t.known[e.Name] = 0 // one that is made of itself is refused by the type checker
		for _, v := range t.values[e.Name] {
			n = max(n, t.size(v))
		}
		n = min(n, maxText+1)
		t.known[e.Name] = n
	}
	return min(n, maxText+1)
}
