package subset

import (
	"fmt"
	"go/token"
	"go/types"
	"slices"
)

// recursive refuses types that hold themselves in ways that the interpreter
// cannot lay out. It can do a struct that holds itself by pointer, slice, map
// or a field of a function type; it cannot do circles of several types, other
// types than structs, or functions in a list. Interface types end a circle:
// what stands behind them is laid out apart.
func (v *meaningWalk) recursive() {
	all := map[*types.Named][]mention{}
	var order []*types.Named
	for _, name := range v.Pkg.Scope().Names() {
		o, ok := v.Pkg.Scope().Lookup(name).(*types.TypeName)
		if !ok {
			continue
		}
		if n, ok := o.Type().(*types.Named); ok && !types.IsInterface(n) {
			all[n] = v.mentioned(n.Underlying(), false, false)
			order = append(order, n)
		}
	}
	slices.SortFunc(order, func(a, b *types.Named) int { return int(a.Obj().Pos() - b.Obj().Pos()) })
	reaches := func(from, to *types.Named) bool {
		seen := map[*types.Named]bool{}
		var look func(n *types.Named) bool
		look = func(n *types.Named) bool {
			if n == to {
				return true
			}
			if seen[n] {
				return false
			}
			seen[n] = true
			return slices.ContainsFunc(all[n], func(m mention) bool { return look(m.of) })
		}
		return look(from)
	}
	told := map[token.Pos]bool{}
	for _, n := range order {
		name := n.Obj().Name()
		tell := func(text, hint string) {
			if pos := n.Obj().Pos(); !told[pos] {
				told[pos] = true
				v.Refuse(pos, text, hint)
			}
		}
		_, isStruct := n.Underlying().(*types.Struct)
		for _, m := range all[n] {
			switch {
			case m.of == n && !isStruct:
				tell(fmt.Sprintf("the type %s is made of itself", name),
					fmt.Sprintf("make it a struct that holds the others: type %s struct { list []*%[1]s }", name))
			case m.of == n && m.listed:
				tell(fmt.Sprintf("%s holds a list of functions that take or give a %[1]s", name), "give each function a field of its own, or keep the list in a variable beside it")
			case m.of != n && reaches(m.of, n):
				told[m.of.Obj().Pos()] = true
				tell(fmt.Sprintf("the types %s and %s hold each other", name, m.of.Obj().Name()), "let one of them hold a name or an index by which it finds the other")
			}
		}
	}
}

// mention is a type of a cell that another is made of.
type mention struct {
	of     *types.Named
	listed bool // in a function type that is itself in a list, or in a struct without a name
}

func (v *meaningWalk) mentioned(t types.Type, inside, listed bool) []mention {
	var out []mention
	add := func(t types.Type, inside, listed bool) { out = append(out, v.mentioned(t, inside, listed)...) }
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		if t.Obj().Pkg() == v.Pkg && !types.IsInterface(t) {
			out = append(out, mention{t, listed})
		}
	case *types.Pointer:
		add(t.Elem(), true, listed)
	case *types.Slice:
		add(t.Elem(), true, listed)
	case *types.Array:
		add(t.Elem(), true, listed)
	case *types.Map:
		add(t.Key(), true, listed)
		add(t.Elem(), true, listed)
	case *types.Struct:
		for i := range t.NumFields() {
			add(t.Field(i).Type(), inside, listed || inside)
		}
	case *types.Signature:
		for _, tuple := range []*types.Tuple{t.Params(), t.Results()} {
			for i := range tuple.Len() {
				add(tuple.At(i).Type(), true, listed || inside)
			}
		}
	}
	return out
}
