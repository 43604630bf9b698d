package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// maxFindings is how many findings of the type checker are shown at once:
// later ones mostly follow from the first.
const maxFindings = 5

// The language version that cells are checked against. It is older than the
// compiler's, because the interpreter knows no later one; what loops mean is
// made equal by rewriting.
const goVersion = "go1.20"

// checked is a merged file with what the type checker found out about it.
type checked struct {
	merged
	pkg  *types.Package
	info *types.Info
}

// check runs the type checker. What it finds is reported in our own words.
func (s *source) check(m merged, imp types.Importer) checked {
	sheet, shelf := exported(imp, sheetName), exported(imp, shelfName)
	member := func(pkg, name string) bool {
		p := map[string]*types.Package{sheetName: sheet, shelfName: shelf}[pkg]
		return p != nil && ast.IsExported(name) && p.Scope().Lookup(name) != nil
	}
	method := func(pkg, name string) bool {
		p, kind := sheet, "Sheet"
		if pkg == shelfName {
			p, kind = shelf, "Shelf"
		}
		if p == nil || p.Scope().Lookup(kind) == nil {
			return false
		}
		o, _, _ := types.LookupFieldOrMethod(types.NewPointer(p.Scope().Lookup(kind).Type()), true, nil, name)
		return o != nil
	}
	s.bind(m, member, method)

	c := checked{merged: m, info: &types.Info{
		Types:      map[ast.Expr]types.TypeAndValue{},
		Defs:       map[*ast.Ident]types.Object{},
		Uses:       map[*ast.Ident]types.Object{},
		Implicits:  map[ast.Node]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{},
		Instances:  map[*ast.Ident]types.Instance{},
	}}
	var found []types.Error
	conf := types.Config{
		GoVersion: goVersion,
		Importer:  imp,
		Sizes:     types.SizesFor("gc", "amd64"),
		Error: func(err error) {
			if e, ok := err.(types.Error); ok {
				found = append(found, e)
			}
		},
	}
	c.pkg, _ = conf.Check("cells", s.files, []*ast.File{m.file}, c.info)

	early := s.early(c)
	told, names := 0, map[string]bool{}
	slices.SortStableFunc(found, func(a, b types.Error) int { return s.offset(a.Pos) - s.offset(b.Pos) })
	for _, e := range found {
		at := s.offset(e.Pos)
		if strings.HasPrefix(e.Msg, "\t") || at < 0 && len(found) > 1 || told == maxFindings {
			continue
		}
		if strings.HasPrefix(e.Msg, "initialization cycle") && early {
			continue
		}
		text, hint := s.typeWords(c, e)
		if names[text] {
			continue // the same name, unknown again
		}
		names[text] = true
		told++
		s.report(at, "cell-type", text, hint)
	}
	return c
}

func exported(imp types.Importer, name string) *types.Package {
	p, err := imp.Import(packages[name])
	if err != nil {
		return nil
	}
	return p
}

var typeForms = forms(
	[3]string{`declared and not used: (.+)`, `«1» is set but never used`, `use it, or remove the line; write _ in its place if only the other values matter`},
	[3]string{`"(.+)" imported and not used`, `package «1» is imported but never used`, `remove the import; packages are at hand without one`},
	[3]string{`missing return`, `this function can end without giving its result`, `write a return as its last line`},
	[3]string{`no new variables on left side of :=`, `":=" makes no new variable here`, `write = instead`},
	[3]string{`(.+) redeclared in this block`, `«1» is defined twice`, `choose another name for one of them`},
	[3]string{`method (.+)\.(.+) already declared.*`, `«1» has two methods called «2»`, `choose another name for one of them`},
	[3]string{`(.+) \((?:value|variable|constant|no value).*\) is not used`, `the value of $1 goes nowhere`, `give it a name, tell it, or remove the line`},
	[3]string{`(.+) is not used`, `the value of $1 goes nowhere`, `give it a name, tell it, or remove the line`},
	[3]string{`cannot range over (.+) \((?:variable|constant|value|untyped int constant).*: requires go1\.22 or later`, `a cell cannot range over the number $1`, `write for i := 0; i < $1; i++`},
	[3]string{`cannot range over (\d+) .*: requires go1\.22 or later`, `a cell cannot range over the number $1`, `write for i := 0; i < $1; i++`},
	[3]string{`cannot range over (.+): requires go1\.2[23] or later`, `a cell cannot range over $1`, `range over a slice, or write for i := 0; i < n; i++`},
	[3]string{`(min|max) requires go1\.21 or later`, `$1 of any number of values is newer than the Go of cells`, `write math.` + "$1" + ` with a capital letter, or an if`},
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
	[3]string{`cannot use (.+) \((.+) of type (.+)\) as (.+) value in argument to (.+): .*`, `$1 is of type $3, but $5 asks for $4`, `convert it, or give another value`},
	[3]string{`cannot use (.+) \((.+) of (?:\w+ )?type (.+)\) as (.+) value in argument to (.+)`, `$1 is of type $3, but $5 asks for $4`, `convert it, such as float64(n) for a whole number n`},
	[3]string{`cannot use (.+) \((.+) of (?:\w+ )?type ([^:]+)\) as (.+) value in ([^:]+)(?:: .*)?`, `$1 is of type $3, but the $5 asks for $4`, `convert it, or give another value`},
	[3]string{`cannot use (.+) \((untyped .+)\) as (.+) value in ([^:]+)(?: \(truncated\))`, `$1 does not fit into $3 without loss`, `convert it on purpose, or use float64`},
	[3]string{`cannot use (.+) \((untyped .+?)\) as (.+) value in ([^:]+)`, `$1 cannot be used as $3 in the $4`, `give a value of type $3`},
	[3]string{`use of untyped nil in (.+)`, `nil alone has no type`, `write var with a type, such as var xs []float64`},
	[3]string{`invalid operation: cannot call non-function (.+)`, `$1 is not a function and cannot be called`, `look for a missing operator before the bracket`},
	[3]string{`non-boolean condition in (.+) statement`, `the condition of this $1 is not a yes or no`, `compare something, such as x > 0`},
	[3]string{`(.+) \(type\) is not an expression`, `$1 is a type, where a value is needed`, `make a value of it, such as $1{...} or $1(x)`},
	[3]string{`(.+) is not a type`, `$1 is not a type`, `look for a slip in the name`},
	[3]string{`cannot assign to (.+) \(.*\)`, `nothing can be assigned to $1`, `assign to a variable, a field or an element`},
	[3]string{`unknown field (.+) in struct literal of type (.+)`, `$2 has no field called «1»`, `look for a slip in the name`},
	[3]string{`break not in for, switch, or select statement`, `there is no loop here to break out of`, `write break inside a loop`},
	[3]string{`continue not in for statement`, `there is no loop here to continue`, `write continue inside a loop`},
	[3]string{`(.+) \(no value\) used as value(?: or type)?`, `$1 gives no value`, `call it on a line of its own`},
	[3]string{`initialization cycle.*`, `this is used in its own definition`, `set it in steps, the first without the others`},
	[3]string{`invalid recursive type.*`, `this type holds itself`, `hold a pointer to it instead`},
	[3]string{`invalid operation: (.+)`, `this cannot be computed: $1`, `look at the types of both sides`},
	[3]string{`invalid argument: index (.+) out of bounds \[(.+)\]`, `the index $1 lies outside [$2]`, `the first element has index 0`},
	[3]string{`(.+) \(untyped .+\) truncated to (.+)`, `$1 does not fit into $2 without loss`, `convert it on purpose, or use float64`},
	[3]string{`cannot use (.+) \(untyped .*\) as (.+) value in (.+) \(truncated\)`, `$1 does not fit into $2 without loss`, `convert it on purpose, or use float64`},
	[3]string{`(.+) \(constant .*\) overflows (.+)`, `$1 is too large for $2`, `use float64, or a smaller number`},
	[3]string{`cannot use (.+) \(untyped .*\) as (.+) value in (.+) \(overflows\)`, `$1 is too large for $2`, `use float64, or a smaller number`},
)

var (
	undefinedName   = regexp.MustCompile(`^undefined: (\w+)$`)
	undefinedMember = regexp.MustCompile(`^undefined: (\w+)\.(\w+)$`)
	hiddenMember    = regexp.MustCompile(`^name (\w+) not exported by package (\w+)$`)
	missingMember   = regexp.MustCompile(`^(.+)\.(\w+) undefined \(type (.+) has no field or method (\w+)(.*)\)$`)
	helperName      = regexp.MustCompile(`__v\d+`)
	place           = regexp.MustCompile(` at \S+:\d+:\d+`)
)

// typeWords words one finding of the type checker.
func (s *source) typeWords(c checked, e types.Error) (text, hint string) {
	m, _, _ := strings.Cut(e.Msg, "\n")
	m = strings.NewReplacer(sheetAlias, sheetName, shelfAlias, shelfName, "cells.", "").Replace(m)
	m = helperName.ReplaceAllString(m, "this value")
	m = place.ReplaceAllString(m, "")

	if g := undefinedName.FindStringSubmatch(m); g != nil {
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
	if text, hint, ok := say(typeForms, m); ok {
		hint = strings.NewReplacer("math.min ", "math.Min ", "math.max ", "math.Max ").Replace(hint)
		return text, strings.TrimSuffix(hint, " with a capital letter, or an if")
	}
	return m, "change it so that the types fit; numbers with a decimal point are float64"
}

// nearName looks for the name that an unknown one may be a slip of, among
// what the cell can see.
func (s *source) nearName(c checked, name string, e types.Error) string {
	var known []string
	if c.pkg != nil {
		inner := c.pkg.Scope().Innermost(e.Pos)
		for _, sc := range append(scopesAt(c, e), inner, c.pkg.Scope()) {
			for sc != nil && sc != types.Universe {
				for _, n := range sc.Names() {
					if !strings.HasPrefix(n, "__") {
						known = append(known, n)
					}
				}
				sc = sc.Parent()
			}
		}
	}
	known = append(known, packageNames()...)
	for _, n := range types.Universe.Names() {
		known = append(known, n)
	}
	if near := diag.Nearest(name, known); near != "" && near != name {
		return fmt.Sprintf("did you mean %q?", near)
	}
	for _, pkg := range []string{"math", "machine", "tell", "fmt"} {
		upper := strings.ToUpper(name[:1]) + name[1:]
		if members := c.members(pkg); slices.Contains(members, upper) {
			return fmt.Sprintf("did you mean %s.%s?", pkg, upper)
		}
	}
	return "define it above this line, such as " + name + " := 1.0"
}

// scopesAt gives the scopes of functions around a position.
func scopesAt(c checked, e types.Error) []*types.Scope {
	var out []*types.Scope
	var visit func(sc *types.Scope)
	visit = func(sc *types.Scope) {
		if sc.Contains(e.Pos) {
			out = append(out, sc)
		}
		for i := range sc.NumChildren() {
			visit(sc.Child(i))
		}
	}
	if c.pkg != nil {
		visit(c.pkg.Scope())
	}
	slices.Reverse(out)
	return out
}

// members gives the exported names of a package that the cells import.
func (c checked) members(name string) []string {
	if c.pkg == nil {
		return nil
	}
	for _, p := range c.pkg.Imports() {
		if p.Path() == packages[name] {
			var out []string
			for _, n := range p.Scope().Names() {
				if ast.IsExported(n) {
					out = append(out, n)
				}
			}
			return out
		}
	}
	return nil
}

func (s *source) noMember(c checked, pkg, name string) (text, hint string) {
	text = fmt.Sprintf("package %s has no %q that cells can use", pkg, name)
	if near := diag.Nearest(name, c.members(pkg)); near != "" {
		return text, fmt.Sprintf("did you mean %s.%s?", pkg, near)
	}
	if pkg == "fmt" {
		return text, "use fmt.Println to see a value while writing, fmt.Sprintf to make text"
	}
	return text, "look for a slip in the name"
}

// nearField looks for the field or method that an unknown one may be a slip
// of.
func (s *source) nearField(c checked, e types.Error, name string) string {
	var known []string
	ast.Inspect(c.file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok || sel.Sel.Pos() != e.Pos {
			return true
		}
		if t := c.info.Types[sel.X].Type; t != nil {
			known = append(known, fieldsAndMethods(t)...)
		}
		return false
	})
	if near := diag.Nearest(name, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) > 0 && len(known) <= 12 {
		return "it has " + strings.Join(known, ", ")
	}
	return "look for a slip in the name"
}

func fieldsAndMethods(t types.Type) []string {
	var out []string
	base := t
	if p, ok := base.Underlying().(*types.Pointer); ok {
		base = p.Elem()
	}
	if st, ok := base.Underlying().(*types.Struct); ok {
		for i := range st.NumFields() {
			if f := st.Field(i); f.Exported() || f.Pkg() != nil && f.Pkg().Path() == "cells" {
				out = append(out, f.Name())
			}
		}
	}
	set := types.NewMethodSet(types.NewPointer(base))
	if types.IsInterface(base) {
		set = types.NewMethodSet(base)
	}
	for i := range set.Len() {
		if o := set.At(i).Obj(); o.Exported() || o.Pkg() != nil && o.Pkg().Path() == "cells" {
			out = append(out, o.Name())
		}
	}
	return out
}
