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

// arguments judges the values that become some of an interface type in a call.
func (v *meaningWalk) arguments(n *ast.CallExpr, g *types.Signature) {
	for i, a := range n.Args {
		to := g.Params().At(min(i, g.Params().Len()-1)).Type()
		none := v.Info.Types[a].IsNil()
		if list, ok := to.Underlying().(*types.Slice); ok && g.Variadic() && i >= g.Params().Len()-1 {
			if to = list.Elem(); none && (n.Ellipsis.IsValid() || !types.IsInterface(to)) {
				v.Refuse(a.Pos(), "nil stands for one of any number of values", "leave it out, or give it a name with a type in a line before: var none "+check.TypeName(to))
			}
			if n.Ellipsis.IsValid() {
				continue
			}
		}
		from := v.Info.TypeOf(a)
		if !types.IsInterface(to) || none || types.IsInterface(from) || check.IsKind[*types.Tuple](from) {
			continue
		}
		if to.Underlying().(*types.Interface).NumMethods() == 0 {
			v.intoAny(a, from)
		} else if strings.HasPrefix(types.TypeString(pointee(from), (*types.Package).Path), v.Pkg.Path()+".") {
			v.Refuse(a.Pos(), fmt.Sprintf("a type of a cell is used as %s", types.TypeString(to, (*types.Package).Name)), "use sort.Slice with a function that compares two elements")
		}
	}
}

func pointee(t types.Type) types.Type {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		return p.Elem()
	}
	return t
}

// intoAny judges a value that is handed to a function which takes any type,
// in practice to be printed.
func (v *meaningWalk) intoAny(e ast.Expr, from types.Type) {
	text := check.TypeName(from)
	switch from.Underlying().(type) {
	case *types.Basic:
	case *types.Pointer, *types.Signature:
		if !saysItself(from) {
			v.Refuse(e.Pos(), fmt.Sprintf("this prints a %s, whose address differs each time", text), "print a value or a field of it")
		}
	default:
		if !v.printable(from) {
			v.Refuse(e.Pos(), fmt.Sprintf("a %s is printed whole", text), "print its fields or elements one by one")
		}
	}
}

// printable tells whether a value of a type is printed alike each time, by the
// interpreter as by Go: without addresses, types of cells, and maps whose keys
// may have no order.
func (v *meaningWalk) printable(t types.Type) bool {
	if saysItself(t) {
		return true
	}
	if n, ok := types.Unalias(t).(*types.Named); ok && n.Obj().Pkg() == v.Pkg {
		return false
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
	}
	return false
}

// saysItself tells whether printing calls a method of a value.
func saysItself(t types.Type) bool {
	set := types.NewMethodSet(t)
	return set.Lookup(nil, "String") != nil || set.Lookup(nil, "Error") != nil
}
