// Package rewrite writes checked cells anew, in the part of Go in which the
// interpreter and the compiler agree. In goes a checked file; out comes a Program:
// ordinary Go, with a mark before each statement.
package rewrite

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
)

// writer writes a checked program anew: constants as numbers, each name with
// one meaning, one value set after the other, results without names. What
// steers around a fault of the interpreter names it; testdata/faults.txt has the
// smallest program that shows it.
type writer struct {
	*assemble.Source
	check.Checked
	text    *strings.Builder
	indent  int
	names   map[types.Object]string
	visible []map[string]bool     // names in use, scope by scope
	caught  map[types.Object]bool // variables that function literals use from outside, or whose address is taken
	altered map[types.Object]bool // variables that are assigned to after their definition
	needed  map[*types.Var]bool   // local variables that the written program reads
	imports map[string]string     // path to the name used
	marks   []assemble.Mark
	spare   int // names of ours given so far
	fn      *function
	cutters map[string]string // functions that cut off fractions, by type
	after   strings.Builder   // those functions
}

// function is what a return statement needs to know.
type function struct {
	signature *types.Signature
	results   []string // names of named results
	caught    bool     // a function literal uses one of them, or its address is taken
	was       string   // variable that holds the caller's mark
}

// Write gives the assembled file.
func Write(s *assemble.Source, c check.Checked) *assemble.Program {
	w := &writer{Source: s, Checked: c,
		text:    new(strings.Builder),
		names:   map[types.Object]string{},
		imports: map[string]string{},
		cutters: map[string]string{},
		visible: []map[string]bool{{}},
	}
	w.caught, w.altered, w.needed = c.Captured(), c.Changed(c.File), c.Read()
	for _, n := range types.Universe.Names() {
		w.visible[0][n] = true
	}
	for _, n := range []string{"Run", "init", "main"} {
		w.visible[0][n] = true
	}
	for _, n := range w.Pkg.Scope().Names() {
		o := w.Pkg.Scope().Lookup(n)
		if !o.Pos().IsValid() {
			w.names[o] = n // the sheet and the shelf
			continue
		}
		w.declare(o)
	}
	for _, st := range c.Steps { // variables of ours stand where the author's stand
		if st.Spec != nil {
			for i := range st.Spread {
				o := c.Info.Defs[st.Spec.Names[i]]
				w.names[o] = o.Name()
			}
		}
	}

	w.types()
	w.variables()
	for _, d := range c.File.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name != assemble.RunName {
			w.declaration(f)
		}
	}
	w.run()
	body := w.text.String() + "\n" + w.after.String()

	var head strings.Builder
	head.WriteString("package cells\n\nimport (\n")
	w.imports[assemble.Packages[assemble.SheetName]], w.imports[assemble.Packages[assemble.ShelfName]] = assemble.SheetAlias, assemble.ShelfAlias
	var paths []string
	for path := range w.imports {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	for _, path := range paths {
		switch w.imports[path] {
		case assemble.SheetAlias, assemble.ShelfAlias:
			fmt.Fprintf(&head, "\t%s %q\n", w.imports[path], path)
		default:
			fmt.Fprintf(&head, "\t%q\n", path)
		}
	}
	head.WriteString(")\n\n")
	return &assemble.Program{
		File:         s.Lesson.File,
		LessonSource: s.Lesson.Source,
		Source:       []byte(head.String() + body),
		Marks:        w.marks,
	}
}

// line writes one line at the present depth.
func (w *writer) line(format string, args ...any) {
	for range w.indent {
		w.text.WriteByte('\t')
	}
	fmt.Fprintf(w.text, format, args...)
	w.text.WriteByte('\n')
}

// open and close write a block's braces and its scope of names.
func (w *writer) open(format string, args ...any) {
	w.line(format, args...)
	w.indent++
	w.visible = append(w.visible, map[string]bool{})
}

func (w *writer) close(after string) {
	w.visible = w.visible[:len(w.visible)-1]
	w.indent--
	w.line("}%s", after)
}

// fresh gives a name that no cell can have.
func (w *writer) fresh(kind string) string {
	w.spare++
	return "__" + kind + strconv.Itoa(w.spare)
}

// declare gives an object the name under which it is written: its own, or,
// where that has another meaning around it, one of ours.
func (w *writer) declare(o types.Object) string {
	name := o.Name()
	if name == "" || name == "_" {
		return w.fresh("blank")
	}
	for _, scope := range w.visible {
		if scope[name] {
			w.spare++
			name = fmt.Sprintf("__%s_%d", name, w.spare)
			break
		}
	}
	w.visible[len(w.visible)-1][name] = true
	w.names[o] = name
	return name
}

func (w *writer) name(o types.Object) string {
	if n, ok := w.names[o]; ok {
		return n
	}
	return o.Name()
}

// mark writes the mark of the statement at pos. Where the statement calls
// into cells, the mark is also kept, so that the called function can set it
// again when it returns.
func (w *writer) mark(pos token.Pos, calls bool) {
	n := len(w.marks)
	w.marks = append(w.marks, assemble.Mark{Offset: max(w.Offset(pos), 0)})
	if calls {
		w.line("__at = %d", n)
	}
	w.line("__mark(%d)", n)
}

// variables writes the cells' top-level variables.
func (w *writer) variables() {
	w.line("var (")
	w.indent++
	w.line("__mark func(int)")
	w.line("__at int")
	w.line("%s *%s.Sheet", assemble.SheetName, assemble.SheetAlias)
	w.line("%s *%s.Shelf", assemble.ShelfName, assemble.ShelfAlias)
	for _, st := range w.Steps {
		if st.Spec == nil {
			continue
		}
		for _, id := range st.Spec.Names {
			if o := w.Info.Defs[id]; o != nil && id.Name != "_" {
				w.line("%s %s", w.name(o), w.typ(o.Type()))
			}
		}
	}
	w.indent--
	w.line(")")
	w.line("")
}

// run writes the function that does all steps of all cells.
func (w *writer) run() {
	w.fn = nil
	w.line("// Run does what the cells of the lesson do, in their order.")
	w.open("func Run(__t *%s.Sheet, __b *%s.Shelf, __m func(int)) {", assemble.SheetAlias, assemble.ShelfAlias)
	w.line("%s, %s, __mark = __t, __b, __m", assemble.SheetName, assemble.ShelfName)
	for _, st := range w.Steps {
		if st.Statement != nil {
			w.statement(st.Statement)
			continue
		}
		w.define(st)
	}
	w.close("")
}

// define writes the setting of top-level variables.
func (w *writer) define(st assemble.Step) {
	spec := st.Spec
	if len(spec.Values) == 0 {
		return
	}
	w.mark(spec.Pos(), w.calls(spec))
	lhs := make([]ast.Expr, len(spec.Names))
	for i, id := range spec.Names {
		lhs[i] = id
	}
	w.assignTo(lhs, spec.Values, false)
	for i := range spec.Names {
		if old := st.Spread[i]; old != nil {
			w.line("%s = %s", w.name(w.Pkg.Scope().Lookup(old.Name)), w.expr(lhs[i]))
		}
	}
}

// declaration writes a function or method.
func (w *writer) declaration(f *ast.FuncDecl) {
	o := w.Info.Defs[f.Name].(*types.Func)
	g := o.Type().(*types.Signature)
	w.visible = append(w.visible, map[string]bool{})
	receiver := ""
	if r := g.Recv(); r != nil {
		receiver = fmt.Sprintf("(%s %s) ", w.declare(r), w.typ(r.Type()))
	}
	w.line("func %s%s%s {", receiver, w.name(o), w.parameters(g))
	w.body(g, f.Body)
	w.visible = w.visible[:len(w.visible)-1]
	w.line("}")
	w.line("")
}

// parameters writes a function's parameters and results, and gives the
// parameters their names.
func (w *writer) parameters(g *types.Signature) string {
	return w.signature(g, func(p *types.Var) string { return w.declare(p) + " " })
}

func (w *writer) results(g *types.Signature) string {
	var out []string
	for i := range g.Results().Len() {
		out = append(out, w.typ(g.Results().At(i).Type()))
	}
	switch len(out) {
	case 0:
		return ""
	case 1:
		return " " + out[0]
	}
	return " (" + strings.Join(out, ", ") + ")"
}

// body writes the statements of a function whose parameters are declared.
// Named results become variables (fault: a result with a name keeps its value).
func (w *writer) body(g *types.Signature, b *ast.BlockStmt) {
	outer := w.fn
	w.fn = &function{signature: g}
	w.indent++
	if ret := w.plainReturn(g, b); ret != nil {
		w.line("return %s", w.exprs(ret.Results))
		w.indent--
		w.fn = outer
		return
	}
	if len(b.List) > 0 {
		w.fn.was = w.fresh("was")
		w.line("%s := __at", w.fn.was)
	}
	for i := range g.Results().Len() {
		r := g.Results().At(i)
		if r.Name() == "" {
			continue
		}
		n := w.declare(r)
		w.line("var %s %s", n, w.typ(r.Type()))
		w.line("_ = %s", n)
		w.fn.results = append(w.fn.results, n)
		w.fn.caught = w.fn.caught || w.caught[r]
	}
	w.block(b.List)
	if g.Results().Len() == 0 && len(b.List) > 0 {
		if _, ok := b.List[len(b.List)-1].(*ast.ReturnStmt); !ok {
			w.leave()
		}
	}
	w.indent--
	w.fn = outer
}

// plainReturn gives the only statement of a function, where that is a return
// of a value which can neither fail nor take long: it needs no mark, and such
// functions are what is called most often.
func (w *writer) plainReturn(g *types.Signature, b *ast.BlockStmt) *ast.ReturnStmt {
	if len(b.List) != 1 {
		return nil
	}
	ret, ok := b.List[0].(*ast.ReturnStmt)
	if !ok || len(ret.Results) != 1 || g.Results().Len() != 1 || g.Results().At(0).Name() != "" || !w.safe(ret.Results[0]) {
		return nil
	}
	return ret
}

// leave sets the caller's mark again.
func (w *writer) leave() {
	w.line("__at = %s", w.fn.was)
	w.line("__mark(%s)", w.fn.was)
}
