package subset

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"

	"slipring/engine/cell/check"
)

// verbs holds a format against the values that it prints. Where they do not
// fit, package fmt prints names of Go's types, which the interpreter does not
// keep, and for some errors an address in memory.
func (v *meaningWalk) verbs(n *ast.CallExpr, format string, wraps bool) {
	at, values := n.Args[0], n.Args[1:]
	if n.Ellipsis.IsValid() {
		v.Refuse(n.Args[len(n.Args)-1].Pos(), "the values of a format are handed over as a list", "write them one after the other")
		return
	}
	next := 0
	for i := 0; i < len(format); i++ {
		if format[i] != '%' {
			continue
		}
		sharp := false
		for i++; i < len(format) && strings.IndexByte("+-# 0123456789.", format[i]) >= 0; i++ {
			sharp = sharp || format[i] == '#'
		}
		if i == len(format) {
			v.Refuse(at.Pos(), "the format ends in the middle of a verb", "write %% for a percent sign")
			return
		}
		verb := format[i]
		switch {
		case verb == '%':
			continue
		case verb == 'T', sharp && verb == 'v':
			v.Refuse(at.Pos(), "the format prints the name of a Go type", "use %v, %g or %s")
			return
		case verb == '*', verb == '[':
			v.Refuse(at.Pos(), fmt.Sprintf("the format asks for a value by %q", string(verb)), "write the number itself, as in %8.2f, and one verb for each value")
			return
		case verb == 'p':
			v.Refuse(at.Pos(), "the format prints an address, which differs each time", "print the value itself")
			return
		case strings.IndexByte("vtbcdoOqxXUeEfFgGsw", verb) < 0:
			r := []rune(format[i:])[0]
			v.Refuse(at.Pos(), fmt.Sprintf("%q means nothing in a format", "%"+string(r)), "write %% for a percent sign, or use %v, %g, %d or %s")
			return
		}
		if next == len(values) {
			v.Refuse(at.Pos(), "the format has a verb for which no value is given", "hand over a value for each verb, or write %% for a percent sign")
			return
		}
		a := values[next]
		next++
		t := v.Info.TypeOf(a)
		if verb == 'w' {
			if !wraps || !isError(t) {
				v.Refuse(a.Pos(), "%w is for an error, in fmt.Errorf", "use %v")
			}
			continue
		}
		if !fitsVerb(t, verb) {
			v.Refuse(a.Pos(), fmt.Sprintf("%%%c does not print a value of type %s", verb, check.TypeName(types.Default(t))), "use %v, which prints any value")
		}
	}
	if next < len(values) {
		v.Refuse(values[next].Pos(), "the format has no verb for this value", "write a verb such as %v for each value")
	}
}

// fitsVerb tells whether a verb prints all of a value. (Package fmt, "Printing".)
func fitsVerb(t types.Type, verb byte) bool {
	in := func(verbs string) bool { return strings.IndexByte(verbs, verb) >= 0 }
	if in("v") || in("sqxX") && hasMethod(t, "String", "Error") {
		return true
	}
	switch t := t.Underlying().(type) {
	case *types.Basic:
		switch info := t.Info(); {
		case info&types.IsBoolean != 0:
			return in("t")
		case info&types.IsInteger != 0:
			return in("bcdoOqxXU")
		case info&(types.IsFloat|types.IsComplex) != 0:
			return in("beEfFgGxX")
		case info&types.IsString != 0:
			return in("sqxX")
		}
	case *types.Slice:
		if b, ok := t.Elem().Underlying().(*types.Basic); ok && b.Kind() == types.Uint8 && in("sqxX") {
			return true
		}
		return fitsVerb(t.Elem(), verb)
	case *types.Array:
		return fitsVerb(t.Elem(), verb)
	case *types.Map:
		return fitsVerb(t.Key(), verb) && fitsVerb(t.Elem(), verb)
	case *types.Struct:
		for i := range t.NumFields() {
			if !fitsVerb(t.Field(i).Type(), verb) {
				return false
			}
		}
		return true
	}
	return false
}
