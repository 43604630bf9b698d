package subset

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/types"
	"strings"

	"slipring/engine/cell/check"
)

// format refuses what would print the names of Go's types, which the
// interpreter does not keep, or addresses in memory.
func (v *meaningWalk) format(n *ast.CallExpr, o *types.Func) {
	if !strings.HasSuffix(o.Name(), "f") || len(n.Args) == 0 {
		return
	}
	tv := v.Info.Types[n.Args[0]]
	if tv.Value == nil || tv.Value.Kind() != constant.String {
		v.Refuse(n.Args[0].Pos(), "the format is not a constant text", fmt.Sprintf("write the format in quotation marks as the first value of %s", o.Name()))
		return
	}
	v.verbs(n, constant.StringVal(tv.Value), o.Name() == "Errorf")
}

// ours tells whether a type, or one that it is made of, is defined in a cell.
func ours(t types.Type, pkg *types.Package) bool {
	seen := map[types.Type]bool{}
	var look func(t types.Type) bool
	look = func(t types.Type) bool {
		t = types.Unalias(t)
		if seen[t] {
			return false
		}
		seen[t] = true
		switch t := t.(type) {
		case *types.Named:
			return t.Obj().Pkg() == pkg
		case *types.Pointer:
			return look(t.Elem())
		case *types.Slice:
			return look(t.Elem())
		case *types.Array:
			return look(t.Elem())
		case *types.Map:
			return look(t.Key()) || look(t.Elem())
		case *types.Struct:
			return true
		}
		return false
	}
	return look(t)
}

// intoInterface judges a value that becomes one of an interface type.
func (v *meaningWalk) intoInterface(e ast.Expr, from, to types.Type) {
	if !types.IsInterface(to) || v.Info.Types[e].IsNil() || types.Identical(from, to) {
		return
	}
	face := to.Underlying().(*types.Interface)
	named, _ := types.Unalias(to).(*types.Named)
	own := named != nil && named.Obj().Pkg() == v.Pkg
	text := check.TypeName(from)
	if _, whole := from.(*types.Tuple); whole {
		return // refused as a call's argument
	}
	if _, several := v.Info.TypeOf(e).(*types.Tuple); several {
		v.Refuse(e.Pos(), fmt.Sprintf("among several results, one of type %s is used as %s", text, check.TypeName(to)), "give the results names of their own first: a, b := ...")
		return
	}
	switch {
	case types.IsInterface(from):
		if !(isError(from) && face.NumMethods() == 0) {
			v.Refuse(e.Pos(), "a value of one interface type is used as another", "keep it in a variable of its own type")
		}
	case own:
		v.pointedTo(e)
		base := from
		if p, ok := base.(*types.Pointer); ok {
			base = p.Elem()
		}
		if n, ok := types.Unalias(base).(*types.Named); !ok || n.Obj().Pkg() != v.Pkg {
			v.Refuse(e.Pos(), fmt.Sprintf("%s is used as the cell's interface %s", text, named.Obj().Name()), "wrap it in a type of your own that has the methods")
		}
	case face.NumMethods() > 0:
		if ours(from, v.Pkg) {
			hint := "use a function instead"
			switch {
			case isError(to):
				hint = "make the error with errors.New or fmt.Errorf"
			case strings.HasPrefix(types.TypeString(to, nil), "sort."):
				hint = "use sort.Slice with a function that compares two elements"
			}
			v.Refuse(e.Pos(), fmt.Sprintf("a type of a cell is used as %s", types.TypeString(to, (*types.Package).Name)), hint)
		}
	default:
		v.intoAny(e, from, text)
	}
}

// intoAny judges a value that is handed to a function which takes any type,
// in practice to be printed.
func (v *meaningWalk) intoAny(e ast.Expr, from types.Type, text string) {
	switch from.Underlying().(type) {
	case *types.Basic:
		if n, ok := types.Unalias(from).(*types.Named); ok && n.Obj().Pkg() == v.Pkg {
			for i := range n.NumMethods() {
				switch m := n.Method(i).Name(); m {
				case "String", "Error", "Format", "GoString":
					v.Refuse(e.Pos(), fmt.Sprintf("a %s is printed through its method %s", text, m), fmt.Sprintf("call the method: %s.%s()", types.ExprString(e), m))
				}
			}
		}
	case *types.Pointer, *types.Signature:
		if ours(from, v.Pkg) || !hasMethod(from, "String", "Error") {
			v.Refuse(e.Pos(), fmt.Sprintf("this prints a %s, whose address differs each time", text), "print a value or a field of it")
		}
	default:
		switch {
		case v.sorted[e], v.printable(from):
		case ours(from, v.Pkg):
			v.Refuse(e.Pos(), fmt.Sprintf("a value of the cell's type %s is printed whole", text), "print its fields or elements")
		default:
			v.Refuse(e.Pos(), fmt.Sprintf("this prints a %s, which may come out differently each time", text), "print its fields or elements one by one")
		}
	}
}

// printable tells whether a value of a type is printed alike each time, by the
// interpreter as by Go: without addresses, types of cells, and maps whose keys
// may have no order.
func (v *meaningWalk) printable(t types.Type) bool {
	n, isNamed := types.Unalias(t).(*types.Named)
	if isNamed && (n.Obj().Pkg() == v.Pkg || hasMethod(t, "String", "Error")) {
		return n.Obj().Pkg() != v.Pkg
	}
	switch t := t.Underlying().(type) {
	case *types.Basic:
		return true
	case *types.Slice:
		return v.printable(t.Elem())
	case *types.Array:
		return v.printable(t.Elem())
	case *types.Map:
		key, ok := t.Key().Underlying().(*types.Basic)
		return ok && key.Info()&(types.IsFloat|types.IsComplex) == 0 && v.printable(t.Elem())
	case *types.Struct:
		for i := range t.NumFields() {
			// a field without a name stands for what the package keeps to itself
			if !isNamed || t.Field(i).Name() == "_" || !v.printable(t.Field(i).Type()) {
				return false
			}
		}
		return true
	}
	return false
}

func hasMethod(t types.Type, names ...string) bool {
	set := types.NewMethodSet(t)
	for _, n := range names {
		for i := range set.Len() {
			if set.At(i).Obj().Name() == n {
				return true
			}
		}
	}
	return false
}
