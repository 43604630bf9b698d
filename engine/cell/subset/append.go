package subset

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
)

// A list to which append adds may share its elements with the longer one, or
// may not: that depends on how much room was set aside for it, which Go leaves
// open. Compiler and interpreter differ. Where the list goes on being used
// under its own name beside the longer one, the difference can be seen.
// (The Go Programming Language Specification, "Appending to and copying slices".)

// appended refuses to append to a list that keeps its name.
func (v *meaningWalk) appended(n *ast.CallExpr) {
	if v.settled[n] || len(n.Args) < 2 {
		return
	}
	list := v.lengthened(n)
	if list == nil {
		return
	}
	v.settle(n) // once for a chain
	text := types.ExprString(list)
	v.Refuse(n.Pos(), fmt.Sprintf("append puts the longer list elsewhere than into %s, and Go leaves open whether the two share their elements", text),
		fmt.Sprintf("write %s = append(%[1]s, ...), or add to a copy: append(append(%s{}, %[1]s...), ...)", text, check.TypeName(v.Info.TypeOf(list))))
}

// lengthened gives the place of the list to which a chain of appends adds, nil for
// a list that has no other name.
func (v *meaningWalk) lengthened(e ast.Expr) ast.Expr {
	for {
		switch n := ast.Unparen(e).(type) {
		case *ast.SliceExpr:
			e = n.X
		case *ast.CallExpr:
			if !v.isAppend(n) && !v.Info.Types[ast.Unparen(n.Fun)].IsType() {
				return nil
			}
			e = n.Args[0]
		case *ast.Ident:
			if v.Info.Types[n].IsNil() {
				return nil
			}
			return n
		case *ast.SelectorExpr, *ast.IndexExpr, *ast.StarExpr:
			return n
		default:
			return nil
		}
	}
}

func (v *meaningWalk) isAppend(n *ast.CallExpr) bool {
	id, ok := ast.Unparen(n.Fun).(*ast.Ident)
	return ok && id.Name == "append" && v.Info.Types[id].IsBuiltin()
}

// settle notes a chain of appends that is as it should be.
func (v *meaningWalk) settle(e ast.Expr) {
	for {
		n, ok := ast.Unparen(e).(*ast.CallExpr)
		if !ok || !v.isAppend(n) {
			return
		}
		v.settled[n] = true
		e = n.Args[0]
	}
}

// appendedTo settles xs = append(xs, ...).
func (v *meaningWalk) appendedTo(n *ast.AssignStmt) {
	if len(n.Lhs) != len(n.Rhs) {
		return
	}
	for i, r := range n.Rhs {
		if id, ok := n.Lhs[i].(*ast.Ident); ok && id.Name == "_" {
			v.settle(r)
		} else if list := v.lengthened(r); list != nil && v.samePlace(n.Lhs[i], list) {
			v.settle(r)
		}
	}
}

// samePlace tells whether two expressions of one statement are written alike and
// mean the same place: a name that is defined there is another.
func (v *meaningWalk) samePlace(a, b ast.Expr) bool {
	id, ok := a.(*ast.Ident)
	return (!ok || v.Info.Defs[id] == nil) && types.ExprString(ast.Unparen(a)) == types.ExprString(ast.Unparen(b))
}

// appendedLast settles return append(xs, ...) where xs is a variable of the
// function alone, which is gone afterwards.
func (v *meaningWalk) appendedLast(n *ast.ReturnStmt) {
	for _, r := range n.Results {
		if id, ok := v.lengthened(r).(*ast.Ident); ok {
			o, ok := v.Info.Uses[id].(*types.Var)
			if ok && o.Kind() != types.PackageVar && o.Kind() != types.ParamVar && o.Kind() != types.RecvVar && !v.caught[o] {
				v.settle(r)
			}
		}
	}
}

// shared refuses a second name for a list to which append adds under one of its
// names. Whether both names mean the same elements afterwards depends on how
// much room was set aside, which Go leaves open: for lists made from text, and
// for those that a function keeps to itself, compiler and interpreter differ.
func (v *meaningWalk) shared() {
	v.grown = map[holder][]growth{}
	v.within(func(n ast.Node, around []ast.Node) {
		as, ok := n.(*ast.AssignStmt)
		if !ok || len(as.Lhs) != len(as.Rhs) {
			return
		}
		for i, r := range as.Rhs {
			if call, ok := ast.Unparen(r).(*ast.CallExpr); ok && v.isAppend(call) && len(call.Args) > 1 && !v.removes(call) {
				h := v.holder(as.Lhs[i])
				v.grown[h] = append(v.grown[h], growth{as.Pos(), function(around)})
			}
		}
	})
	delete(v.grown, holder{})
	v.within(func(n ast.Node, around []ast.Node) {
		switch n := n.(type) {
		case *ast.RangeStmt:
			if n.Value != nil && check.IsKind[*types.Slice](v.Info.TypeOf(n.Value)) && len(v.grown[v.holder(n.Value)]) > 0 {
				v.twoNames(n.Value)
			}
		case *ast.AssignStmt:
			for i, r := range n.Rhs {
				if len(n.Lhs) == len(n.Rhs) {
					v.named(n.Lhs[i], r, around)
				}
			}
		case *ast.ValueSpec:
			for i, r := range n.Values {
				if len(n.Names) == len(n.Values) {
					v.named(n.Names[i], r, around)
				}
			}
		case *ast.CallExpr:
			v.handed(n)
		}
	})
}

// within visits all nodes with what they stand in, from outside.
func (v *meaningWalk) within(visit func(n ast.Node, around []ast.Node)) {
	var around []ast.Node
	for _, d := range v.File.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			if n == nil {
				around = around[:len(around)-1]
				return false
			}
			visit(n, around)
			around = append(around, n)
			return true
		})
	}
}

// function gives the innermost function, nil for the statements of cells.
func function(around []ast.Node) ast.Node {
	for _, n := range slices.Backward(around) {
		switch n := n.(type) {
		case *ast.FuncLit:
			return n
		case *ast.FuncDecl:
			if n.Name.Name != assemble.RunName {
				return n
			}
		}
	}
	return nil
}

// removes tells whether append only closes a gap, as in xs[:i], xs[i+1:]...
func (v *meaningWalk) removes(n *ast.CallExpr) bool {
	_, begins := ast.Unparen(n.Args[0]).(*ast.SliceExpr)
	return begins && n.Ellipsis.IsValid() && v.holder(n.Args[0]) == v.holder(n.Args[1])
}

// named judges a list that is given a name, and may have had one.
func (v *meaningWalk) named(name, list ast.Expr, around []ast.Node) {
	if call, ok := ast.Unparen(list).(*ast.CallExpr); ok {
		for _, a := range call.Args {
			v.settled[call] = v.settled[call] || v.samePlace(name, a)
		}
	}
	from := v.holder(list)
	if !check.IsKind[*types.Slice](v.Info.TypeOf(list)) || from.of == nil || v.samePlace(name, v.lengthened(list)) {
		return
	}
	_, plain := ast.Unparen(name).(*ast.Ident)
	if v.later(v.holder(name), list, around) || plain && v.later(from, list, around) {
		v.twoNames(list)
	}
}

// handed judges the lists that are handed to a function which appends to them.
// In xs = f(xs), only one name is left.
func (v *meaningWalk) handed(n *ast.CallExpr) {
	g, ok := v.Info.TypeOf(n.Fun).(*types.Signature)
	if !ok || v.settled[n] {
		return
	}
	for i, a := range n.Args {
		if from := v.holder(a).of; i < g.Params().Len() && from != nil && from != g.Params().At(i) && len(v.grown[holder{of: g.Params().At(i)}]) > 0 {
			v.twoNames(a)
		}
	}
}

func (v *meaningWalk) twoNames(list ast.Expr) {
	text := types.ExprString(list)
	v.Refuse(list.Pos(), fmt.Sprintf("%s has two names here, append adds to one of them, and Go leaves open whether the two share their elements then", text),
		fmt.Sprintf("make a copy: append(%s{}, %s...)", check.TypeName(v.Info.TypeOf(list)), text))
}

// growth is where append adds to a list, and in which function.
type growth struct {
	pos token.Pos
	in  ast.Node
}

// later tells whether append adds to a list further down, in another function,
// or in another turn of a loop that began after the list was made.
func (v *meaningWalk) later(h holder, at ast.Expr, around []ast.Node) bool {
	return slices.ContainsFunc(v.grown[h], func(g growth) bool {
		return g.pos > at.Pos() || g.in != function(around) || slices.ContainsFunc(around, func(n ast.Node) bool {
			switch n.(type) {
			case *ast.ForStmt, *ast.RangeStmt:
				return h.of.Pos() < n.Pos() && n.Pos() < g.pos && g.pos < n.End()
			}
			return false
		})
	})
}

// holder is the variable or field that holds a list, and how many lists or maps
// deep.
type holder struct {
	of    types.Object
	depth int
}

func (v *meaningWalk) holder(e ast.Expr) holder {
	switch n := ast.Unparen(e).(type) {
	case *ast.Ident:
		if o, ok := v.Info.ObjectOf(n).(*types.Var); ok {
			return holder{of: o}
		}
	case *ast.SelectorExpr:
		if o, ok := v.Info.Uses[n.Sel].(*types.Var); ok {
			return holder{of: o}
		}
	case *ast.IndexExpr:
		h := v.holder(n.X)
		h.depth++
		return h
	case *ast.SliceExpr:
		return v.holder(n.X)
	case *ast.StarExpr:
		return v.holder(n.X)
	case *ast.CallExpr:
		if v.Info.Types[ast.Unparen(n.Fun)].IsType() && check.IsKind[*types.Slice](v.Info.TypeOf(n.Args[0])) {
			return v.holder(n.Args[0])
		}
	}
	return holder{}
}
