package subset

import (
	"fmt"
	"go/ast"
	"go/types"
	"regexp"
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
	for _, m := range verb.FindAllStringSubmatch(format, -1) {
		switch {
		case m[1] == "%":
			continue
		case m[1] == "" || !strings.Contains("vtbcdoOqxXUeEfFgGsw", m[1]):
			v.Refuse(at.Pos(), fmt.Sprintf("%q is no verb that cells print with", m[0]), "write %v, %g, %d, %s or such as %8.2f, one for each value, and %% for a percent sign")
			return
		case next == len(values):
			v.Refuse(at.Pos(), "the format has a verb for which no value is given", "hand over a value for each verb, or write %% for a percent sign")
			return
		}
		a := values[next]
		next++
		t := v.Info.TypeOf(a)
		if m[1] == "w" {
			if !wraps || !isError(t) {
				v.Refuse(a.Pos(), "%w is for an error, in fmt.Errorf", "use %v")
			}
		} else if !fitsVerb(t, m[1]) {
			v.Refuse(a.Pos(), fmt.Sprintf("%%%s does not print a value of type %s", m[1], check.TypeName(types.Default(t))), "use %v, which prints any value")
		}
	}
	if next < len(values) {
		v.Refuse(values[next].Pos(), "the format has no verb for this value", "write a verb such as %v for each value")
	}
}

// verb is one in a format, with the flags and widths that cells print with.
var verb = regexp.MustCompile(`(?s)%[-+ 0]*[0-9]*(?:\.[0-9]*)?(.?)`)

// fitsVerb tells whether a verb prints all of a value. (Package fmt, "Printing".)
func fitsVerb(t types.Type, verb string) bool {
	in := func(verbs string) bool { return strings.Contains(verbs, verb) }
	if in("v") || in("sqxX") && saysItself(t) {
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
		return fitsVerb(t.Elem(), verb)
	case *types.Array:
		return fitsVerb(t.Elem(), verb)
	}
	return false
}
