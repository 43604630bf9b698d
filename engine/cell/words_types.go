package cell

import (
	"fmt"
	"go/types"
	"regexp"
	"strings"

	"slipring/engine/diag"
)

var typeForms = forms(
	[3]string{`cannot use (.+) \(untyped .+\) as (.+) value in (.+) \(truncated\)`, `$1 does not fit into $2 without loss`, `convert it on purpose, or use float64`},
	[3]string{`(.+) \(untyped .+\) truncated to (.+)`, `$1 does not fit into $2 without loss`, `convert it on purpose, or use float64`},
	[3]string{`cannot use (.+) \(untyped .+\) as (.+) value in (.+) \(overflows\)`, `$1 is too large for $2`, `use float64, or a smaller number`},
	[3]string{`cannot use (.+) \(.+\) as (.+) value in (.+): .+ does not implement .+ \(missing method (.+?)(?:\W.*)?\)`, `$1 cannot be used as $2: it has no method «4»`, `give its type the method`},
	[3]string{`cannot use (.+) \(.+\) as (.+) value in (.+): .+ does not implement .+ \(method (.+) has pointer receiver\)`, `$1 cannot be used as $2: its method «4» belongs to the pointer`, `write & before the value`},
	[3]string{`(?:built-in )?min requires go1\.21 or later.*`, `min is newer than the Go of cells`, `write math.Min, or an if`},
	[3]string{`(?:built-in )?max requires go1\.21 or later.*`, `max is newer than the Go of cells`, `write math.Max, or an if`},
	[3]string{`invalid operation: cannot call (?:non-function )?(.+?) \(.+`, `$1 is not a function and cannot be called`, `look for a missing operator before the bracket`},
	[3]string{`(.+) redeclared(?: in this block)?`, `«1» is defined twice`, `choose another name for one of them`},
	[3]string{`(\S+)(?: \(.+\))? is not a type`, `«1» is not a type`, `look for a slip in the name`},
	[3]string{`cannot range over (.+) \((?:variable of type|value of type|constant .+ of type|untyped int constant|constant).*\bu?int\d*.*\): requires go1\.22 or later`, `a cell cannot range over the number $1`, `write for i := 0; i < $1; i++`},
	[3]string{`cannot range over (\d+) \(untyped int constant\): requires go1\.22 or later`, `a cell cannot range over the number $1`, `write for i := 0; i < $1; i++`},
	[3]string{`cannot range over \(?func.+: requires go1\.2[23] or later`, `a cell cannot range over a function`, `call it in a loop, or make a slice`},
	[3]string{`cannot range over (.+) \((?:variable|value) of type .+\): requires go1\.2[23] or later`, `a cell cannot range over $1`, `range over a slice, or write for i := 0; i < n; i++`},
	[3]string{`multiple-value (.+) \(value of type \((.+)\)\) in single-value context`, `$1 gives more than one value: $2`, `write a name for each, such as x, err := ...`},
	[3]string{`cannot assign to struct field (.+) in map`, `$1 cannot be changed inside the map`, `take the entry out, change it, and put it back: v := m[k]; v.x = 1; m[k] = v`},
	[3]string{`duplicate case (.+?)(?: \(.+\))? in expression switch`, `$1 stands in two cases`, `remove one of them`},
	[3]string{`duplicate key (.+) in map literal`, `the key $1 stands here twice`, `remove one of them`},
	[3]string{`too (few|many) values in struct literal of type (.+)`, `too $1 values for a $2`, `write the fields with their names, such as $2{x: 1}`},
	[3]string{`cannot range over (.+) \(.+\)`, `nothing can range over $1`, `range over a slice, or write for i := 0; i < n; i++`},
	[3]string{`cannot define new methods on non-local type (.+)`, `a cell cannot add a method to $1`, `define a type of your own first: type T $1`},
	[3]string{`invalid operation: shifted operand (.+) \(.+\) must be integer`, `$1 is not a whole number and cannot be shifted`, `multiply by a power of two instead`},
	[3]string{`invalid operation: cannot indirect (.+) \(.+\)`, `$1 is not a pointer`, `remove the *`},
	[3]string{`declared and not used: (.+)`, `«1» is set but never used`, `use it, or remove the line; write _ in its place if only the other values matter`},
	[3]string{`missing return`, `this function can end without giving its result`, `write a return as its last line`},
	[3]string{`no new variables on left side of :=`, `":=" makes no new variable here`, `write = instead`},
	[3]string{`method (.+)\.(.+) already declared.*`, `«1» has two methods called «2»`, `choose another name for one of them`},
	[3]string{`(.+) \((?:value|variable|constant|no value).*\) is not used`, `the value of $1 goes nowhere`, `give it a name, tell it, or remove the line`},
	[3]string{`(.+) is not used`, `the value of $1 goes nowhere`, `give it a name, tell it, or remove the line`},
	[3]string{`clear requires go1\.21 or later`, `clear is newer than the Go of cells`, `make a new map or slice instead`},
	[3]string{`(.+) requires go1\.\d+ or later.*`, `$1 is newer than the Go of cells`, `write it with plain functions, loops and types`},
	[3]string{`invalid operation: division by zero`, `this divides by zero`, `divide by something else, or leave the line out`},
	[3]string{`invalid operation: (.+) \(mismatched types (.+) and (.+)\)`, `$1 mixes the types $2 and $3`, `convert one side, such as float64(n) for a whole number n`},
	[3]string{`invalid operation: operator (.+) not defined on (.+)`, `«1» cannot be used on $2`, `look at the types of both sides`},
	[3]string{`assignment mismatch: (.+) but (.+) returns? (.+)`, `$1 on the left, but $2 gives $3`, `write as many names as there are values, _ for those that do not matter`},
	[3]string{`assignment mismatch: (.+) but (.+)`, `$1 on the left, but $2 on the right`, `write as many names as there are values`},
	[3]string{`not enough arguments in call to (.+)`, `the call of $1 has too few values in its parentheses`, `give it one value for each thing that it asks for`},
	[3]string{`too many arguments in call to (.+)`, `the call of $1 has too many values in its parentheses`, `remove those that it does not ask for`},
	[3]string{`not enough return values`, `this return gives too few values`, `give one for each result of the function`},
	[3]string{`too many return values`, `this return gives too many values`, `give one for each result of the function`},
	[3]string{`cannot use (.+) \((.+) of (?:\w+ )?type (.+)\) as (.+) value in argument to (.+)`, `$1 is of type $3, but $5 asks for $4`, `convert it, such as float64(n) for a whole number n`},
	[3]string{`cannot use (.+) \((.+) of (?:\w+ )?type ([^:]+)\) as (.+) value in ([^:]+)(?:: .*)?`, `$1 is of type $3, but the $5 asks for $4`, `convert it, or give another value`},
	[3]string{`cannot use (.+) \((untyped .+?)\) as (.+) value in ([^:]+)`, `$1 cannot be used as $3 in the $4`, `give a value of type $3`},
	[3]string{`use of untyped nil in (.+)`, `nil alone has no type`, `write var with a type, such as var xs []float64`},
	[3]string{`non-boolean condition in (.+) statement`, `the condition of this $1 is not a yes or no`, `compare something, such as x > 0`},
	[3]string{`(.+) \(type\) is not an expression`, `$1 is a type, where a value is needed`, `make a value of it, such as $1{...} or $1(x)`},
	[3]string{`cannot assign to (.+) \(.*\)`, `nothing can be assigned to $1`, `assign to a variable, a field or an element`},
	[3]string{`break not in for, switch, or select statement`, `there is no loop here to break out of`, `write break inside a loop`},
	[3]string{`continue not in for statement`, `there is no loop here to continue`, `write continue inside a loop`},
	[3]string{`(.+) \(no value\) used as value(?: or type)?`, `$1 gives no value`, `call it on a line of its own`},
	[3]string{`initialization cycle.*`, `this is used in its own definition`, `set it in steps, the first without the others`},
	[3]string{`invalid recursive type.*`, `this type holds itself`, `hold a pointer to it instead`},
	[3]string{`invalid operation: (.+)`, `this cannot be computed: $1`, `look at the types of both sides`},
	[3]string{`invalid argument: index (.+) out of bounds \[(.+)\]`, `the index $1 lies outside [$2]`, `the first element has index 0`},
	[3]string{`(.+) \(constant .*\) overflows (.+)`, `$1 is too large for $2`, `use float64, or a smaller number`},
)

var (
	undefinedName   = regexp.MustCompile(`^undefined: (\w+)$`)
	undefinedMember = regexp.MustCompile(`^undefined: (\w+)\.(\w+)(?: \(but have \w+\))?$`)
	hiddenMember    = regexp.MustCompile(`^name (\w+) not exported by package (\w+)$`)
	missingField    = regexp.MustCompile(`^unknown field (\w+) in struct literal of type (.+?)(?:, but does have \w+)?$`)
	missingMember   = regexp.MustCompile(`^(.+)\.(\w+) undefined \(type (.+) has no field or method (\w+)(.*)\)$`)
	passingName     = regexp.MustCompile(`__v\d+`)
	place           = regexp.MustCompile(` at \S+:\d+:\d+`)
)

// typeWords words one finding of the type checker.
func (s *source) typeWords(c checked, e types.Error) (text, hint string) {
	m, _, _ := strings.Cut(e.Msg, "\n")
	m = strings.NewReplacer(sheetAlias, sheetName, shelfAlias, shelfName, "cells.", "").Replace(m)
	m = passingName.ReplaceAllString(m, "this value")
	m = place.ReplaceAllString(m, "")

	if g := undefinedName.FindStringSubmatch(m); g != nil {
		if c.beforeDot(e.Pos) && diag.Nearest(g[1], c.names(e)) == "" {
			return fmt.Sprintf("%q is neither a variable nor a package that cells have", g[1]), atHand()
		}
		return fmt.Sprintf("%q is not known here", g[1]), s.nearName(c, g[1], e)
	}
	if g := undefinedMember.FindStringSubmatch(m); g != nil {
		return s.noMember(c, g[1], g[2])
	}
	if g := hiddenMember.FindStringSubmatch(m); g != nil {
		return s.noMember(c, g[2], g[1])
	}
	if g := missingMember.FindStringSubmatch(m); g != nil {
		text = fmt.Sprintf("%s has no %q", g[1], g[4])
		return text, s.nearField(c, e, g[4])
	}
	if g := missingField.FindStringSubmatch(m); g != nil {
		return fmt.Sprintf("%s has no field called %q", g[2], g[1]), s.nearField(c, e, g[1])
	}
	if text, hint, ok := say(typeForms, m); ok {
		return text, hint
	}
	return m, "change it so that the types fit; numbers with a decimal point are float64"
}
