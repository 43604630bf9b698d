// Package subset refuses the parts of Go that cells leave out. In go syntax trees
// and types; out come messages, each with a reason and a way around. The first
// reason is that the interpreter is known to get something wrong, the second
// that a page must come out the same each time.
package subset

import (
	"fmt"
	"go/ast"
	"go/token"
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
	top     bool // at the top level of a cell, where types may be defined
	inside  []ast.Node
	refused map[string]bool // each reason is given once a cell line
}

// once refuses unless the same was said at the same place.
func (v *syntaxWalk) once(pos token.Pos, text, hint string) {
	key := fmt.Sprint(pos, text)
	if v.refused == nil {
		v.refused = map[string]bool{}
	}
	if !v.refused[key] {
		v.refused[key] = true
		v.Refuse(pos, text, hint)
	}
}

func (v *syntaxWalk) walk(root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			v.inside = v.inside[:len(v.inside)-1]
			return false
		}
		if !v.node(n) {
			return false
		}
		v.inside = append(v.inside, n)
		return true
	})
}

// node refuses n where cells leave it out, and says whether to go on below.
func (v *syntaxWalk) node(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.Ident:
		v.name(n)
	case *ast.BasicLit, *ast.ParenExpr, *ast.KeyValueExpr, *ast.StarExpr, *ast.IndexExpr,
		*ast.CompositeLit, *ast.CallExpr, *ast.SelectorExpr,
		*ast.MapType, *ast.Field, *ast.Ellipsis,
		*ast.ExprStmt, *ast.IncDecStmt, *ast.EmptyStmt,
		*ast.BlockStmt, *ast.CaseClause, *ast.ForStmt, *ast.ValueSpec:

	case *ast.ArrayType:
	case *ast.BinaryExpr:
		if star, ok := n.Y.(*ast.StarExpr); ok && n.Op == token.MUL && star.Pos() == n.OpPos+1 {
			v.once(n.OpPos, `"**" does not raise to a power`, "write math.Pow(x, n), or x*x")
			return false
		}
	case *ast.SliceExpr:
		if n.Slice3 {
			v.once(n.Lbrack, "a slice with three indices is left out of cells", "write xs[i:j], and copy the elements if they must stay apart")
		}
	case *ast.UnaryExpr:
		if n.Op == token.ARROW {
			v.once(n.OpPos, "cells have no channels", "keep the values in a slice")
			return false
		}
		if n.Op == token.TILDE {
			v.once(n.OpPos, "cells have no type parameters", "write the function for the one type that it is used with, such as float64")
			return false
		}
	case *ast.FuncLit, *ast.FieldList:
	case *ast.IndexListExpr:
		v.once(n.Pos(), "cells have no type parameters", "write the function for the one type that it is used with, such as float64")
		return false
	case *ast.TypeAssertExpr:
		v.once(n.Pos(), "a cell cannot ask for the type of a value", "keep the value in a variable of its own type")
		return false
	case *ast.TypeSwitchStmt:
		v.once(n.Pos(), "a cell cannot choose by the type of a value", "keep the value in a variable of its own type, or give the types a method each")
		return false
	case *ast.ChanType, *ast.SendStmt, *ast.SelectStmt:
		v.once(n.Pos(), "cells have no channels", "keep the values in a slice")
		return false
	case *ast.GoStmt:
		v.once(n.Pos(), "cells run one step after the other, without goroutines", "call the function without go")
		return false
	case *ast.DeferStmt:
		v.once(n.Pos(), "cells have no defer", "write the call where the function ends")
		return false
	case *ast.LabeledStmt:
		v.once(n.Pos(), "cells have no labels", "put the loops into a function, which can return from inside")
		return false
	case *ast.BranchStmt:
		switch {
		case n.Tok == token.GOTO:
			v.once(n.Pos(), "cells have no goto", "use a loop or a function")
			return false
		case n.Tok == token.FALLTHROUGH:
			v.once(n.Pos(), "cells have no fallthrough", "list the values in one case, as in case 1, 2:")
		case n.Label != nil:
			v.once(n.Pos(), "cells have no labels", "put the loops into a function, which can return from inside")
			return false
		}
	case *ast.InterfaceType:
		for _, f := range n.Methods.List {
			if len(f.Names) == 0 {
				v.once(f.Pos(), "an interface in a cell lists its methods itself", "write out the methods")
				return false
			}
		}
	case *ast.StructType:
		for _, f := range n.Fields.List {
			if len(f.Names) == 0 {
				v.once(f.Pos(), "a field of a cell's type needs a name of its own", "write a name before the type of the field")
				return false
			}
			if f.Tag != nil {
				v.once(f.Tag.Pos(), "a field of a cell's type has no use for a tag", "remove it")
			}
		}
	case *ast.FuncType:
		if n.TypeParams != nil {
			v.once(n.TypeParams.Pos(), "cells have no type parameters", "write the function for the one type that it is used with, such as float64")
			return false
		}
	case *ast.FuncDecl:
		if n.Body == nil {
			v.once(n.Pos(), "this function has no body", "write { on the same line, then what it does, then }")
			return false
		}
	case *ast.TypeSpec:
		switch {
		case n.TypeParams != nil:
			v.once(n.TypeParams.Pos(), "cells have no type parameters", "write the type for the one element that it is used with, such as float64")
			return false
		case n.Assign.IsValid():
			v.once(n.Pos(), "a cell cannot give a type a second name", "remove the = to make a type of its own, or use the first name")
			return false
		case !v.top || len(v.inside) > 2:
			v.once(n.Pos(), "a type is defined inside a function or block", "define it at the top level of the cell")
			return false
		}
	case *ast.DeclStmt, *ast.GenDecl:
	case *ast.AssignStmt:
		for _, l := range n.Lhs {
			if id, ok := l.(*ast.Ident); ok && n.Tok == token.DEFINE {
				v.shadow(id)
			}
		}
	case *ast.RangeStmt:
		for _, e := range []ast.Expr{n.Key, n.Value} {
			if id, ok := e.(*ast.Ident); ok && n.Tok == token.DEFINE {
				v.shadow(id)
			}
		}
	case *ast.IfStmt, *ast.SwitchStmt:
	case *ast.ReturnStmt:
		if !v.inFunction() {
			v.once(n.Pos(), "there is no function here to return from", "put the statements that may be left out into an if")
		}
	default:
		v.once(n.Pos(), "cells leave this part of Go out", "write it with plain statements and functions")
		return false
	}
	switch n := n.(type) {
	case *ast.ValueSpec:
		if len(v.inside) > 2 { // at the top level, merge looks at the names
			for _, id := range n.Names {
				v.shadow(id)
			}
		}
	case *ast.Field:
		if v.parameter() {
			for _, id := range n.Names {
				v.shadow(id)
			}
		}
	}
	return true
}

// inFunction tells whether a function literal or declaration is around.
func (v *syntaxWalk) inFunction() bool {
	for _, n := range v.inside {
		switch n.(type) {
		case *ast.FuncDecl, *ast.FuncLit:
			return true
		}
	}
	return false
}

// parameter tells whether the field list around is that of a function.
func (v *syntaxWalk) parameter() bool {
	if len(v.inside) < 2 {
		return false
	}
	switch v.inside[len(v.inside)-2].(type) {
	case *ast.FuncType, *ast.FuncDecl:
		return true
	}
	return false
}

// shadow refuses a local name that would hide the sheet or the shelf.
func (v *syntaxWalk) shadow(id *ast.Ident) {
	if id.Name == assemble.SheetName || id.Name == assemble.ShelfName {
		text, hint := v.Taken(id.Name)
		v.once(id.Pos(), text, hint)
	}
}

// name refuses names that have a meaning outside the part of Go that cells
// are written in.
func (v *syntaxWalk) name(id *ast.Ident) {
	if strings.HasPrefix(id.Name, "__") {
		text, hint := goerrors.StrangeLetter(id.Name)
		v.once(id.Pos(), text, hint)
	}
}
