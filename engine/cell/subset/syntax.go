// Package subset refuses the parts of Go that cells leave out. In go syntax trees
// and types; out come messages, each with a reason and a way around. The first
// reason is that the interpreter is known to get something wrong, the second
// that a page must come out the same each time, the third that a lesson has no
// use for it.
package subset

import (
	"go/ast"
	"go/token"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/goerrors"
)

// Syntax refuses what cells leave out before types are known. What it does not
// name as allowed is refused.
func Syntax(s *assemble.Source, p assemble.Parsed) {
	v := &syntaxWalk{Source: s}
	for _, d := range p.Decls {
		v.walk(d)
	}
	for _, st := range p.Statements {
		v.top = true
		v.walk(st)
		v.top = false
	}
}

type syntaxWalk struct {
	*assemble.Source
	top    bool // at the top level of a cell, where types may be defined
	inside []ast.Node
}

func (v *syntaxWalk) walk(root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			v.inside = v.inside[:len(v.inside)-1]
			return false
		}
		for _, id := range v.defined(n) {
			if text, hint := v.Taken(id.Name); text != "" {
				v.Refuse(id.Pos(), text, hint)
			}
		}
		if at, why := v.leftOut(n); why != fine {
			v.Refuse(at, why.text, why.hint)
			return false
		}
		v.inside = append(v.inside, n)
		return true
	})
}

// family is a part of Go that cells leave out, and what to write instead.
type family struct{ text, hint string }

var (
	fine    = family{}
	another = family{"cells leave this part of Go out", "write it with plain statements and functions"}
	jumps   = family{"cells have no labels, goto or fallthrough", "put loops into a function, which can return from inside; list several values in one case"}
	order   = family{"cells run one step after the other, without goroutines, channels and defer", "call functions in the order that is meant, and keep values in a slice"}
	oneType = family{"in a cell, each value has one type: there are no interfaces, type parameters or type switches",
		"write it for the one type that it is used with, such as float64, or hand over a function"}
	ownType = family{"cells define plain types at their top level, without a second name, embedded fields, tags, or methods of functions",
		"write a struct whose fields have names, or use the type itself"}
	printed = family{"a method of this name would be called by printing", "choose another name, and call it where the text is needed"}
)

// leftOut tells at which place of n, and why, cells leave it out.
func (v *syntaxWalk) leftOut(n ast.Node) (token.Pos, family) {
	switch n := n.(type) {
	case *ast.BasicLit, *ast.ParenExpr, *ast.KeyValueExpr, *ast.StarExpr, *ast.IndexExpr, *ast.CompositeLit, *ast.CallExpr,
		*ast.SelectorExpr, *ast.FuncLit, *ast.ArrayType, *ast.MapType, *ast.Field, *ast.FieldList, *ast.Ellipsis,
		*ast.ExprStmt, *ast.IncDecStmt, *ast.EmptyStmt, *ast.AssignStmt, *ast.BlockStmt, *ast.CaseClause, *ast.ForStmt,
		*ast.RangeStmt, *ast.IfStmt, *ast.SwitchStmt, *ast.DeclStmt, *ast.GenDecl, *ast.ValueSpec:
		return 0, fine
	case *ast.Ident:
		switch {
		case strings.HasPrefix(n.Name, "__"):
			text, hint := goerrors.StrangeLetter(n.Name)
			return n.Pos(), family{text, hint}
		case n.Name == "any":
			return n.Pos(), oneType
		}
		return 0, fine
	case *ast.BinaryExpr:
		if star, ok := n.Y.(*ast.StarExpr); ok && n.Op == token.MUL && star.Pos() == n.OpPos+1 {
			return n.OpPos, family{`"**" does not raise to a power`, "write math.Pow(x, n), or x*x"}
		}
		return 0, fine
	case *ast.SliceExpr:
		if n.Slice3 {
			return n.Lbrack, another
		}
		return 0, fine
	case *ast.UnaryExpr:
		switch n.Op {
		case token.ARROW:
			return n.OpPos, order
		case token.TILDE:
			return n.OpPos, oneType
		}
		return 0, fine
	case *ast.IndexListExpr, *ast.TypeAssertExpr, *ast.TypeSwitchStmt, *ast.InterfaceType:
		return n.Pos(), oneType
	case *ast.ChanType, *ast.SendStmt, *ast.SelectStmt, *ast.GoStmt, *ast.DeferStmt:
		return n.Pos(), order
	case *ast.LabeledStmt:
		return n.Pos(), jumps
	case *ast.BranchStmt:
		if n.Tok == token.GOTO || n.Tok == token.FALLTHROUGH || n.Label != nil {
			return n.Pos(), jumps
		}
		return 0, fine
	case *ast.StructType:
		for _, f := range n.Fields.List {
			if len(f.Names) == 0 || f.Tag != nil {
				return f.Pos(), ownType
			}
		}
		return 0, fine
	case *ast.FuncType:
		if n.TypeParams != nil {
			return n.TypeParams.Pos(), oneType
		}
		return 0, fine
	case *ast.FuncDecl:
		if n.Body == nil {
			return n.Pos(), family{"this function has no body", "write { on the same line, then what it does, then }"}
		}
		if n.Recv != nil && slices.Contains([]string{"String", "Error", "Format", "GoString"}, n.Name.Name) {
			return n.Name.Pos(), printed
		}
		return 0, fine
	case *ast.TypeSpec:
		switch {
		case n.TypeParams != nil:
			return n.TypeParams.Pos(), oneType
		case n.Assign.IsValid(), !v.top || len(v.inside) > 2:
			return n.Pos(), ownType
		}
		return 0, fine
	case *ast.ReturnStmt:
		for _, around := range v.inside {
			switch around.(type) {
			case *ast.FuncDecl, *ast.FuncLit:
				return 0, fine
			}
		}
		return n.Pos(), family{"there is no function here to return from", "put the statements that may be left out into an if"}
	}
	return n.Pos(), another
}

// defined gives the names that n defines within a function or block, and those
// of parameters and results. At the top level, merge looks at the names.
func (v *syntaxWalk) defined(n ast.Node) (out []*ast.Ident) {
	note := func(all ...ast.Expr) {
		for _, e := range all {
			if id, ok := e.(*ast.Ident); ok {
				out = append(out, id)
			}
		}
	}
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok == token.DEFINE && len(v.inside) > 0 {
			note(n.Lhs...)
		}
	case *ast.RangeStmt:
		if n.Tok == token.DEFINE {
			note(n.Key, n.Value)
		}
	case *ast.ValueSpec:
		if len(v.inside) > 2 {
			return n.Names
		}
	case *ast.Field:
		if len(v.inside) > 1 {
			switch v.inside[len(v.inside)-2].(type) {
			case *ast.FuncType, *ast.FuncDecl:
				return n.Names
			}
		}
	}
	return out
}
