package check

import (
	"cmp"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/lesson"
)

// telling names the methods by which cells tell what a quote can be bound to.
var telling = map[string]bool{
	"tell.Sheet.Value": true, "tell.Sheet.Doubtful": true, "tell.Sheet.Within": true,
	"tell.Sheet.Above": true, "tell.Sheet.Below": true, "tell.Sheet.Claim": true,
}

// Told reads off the checked cells what each number that they tell is made of:
// from the expression that is told back over the definitions of its variables,
// as far as the lesson's own cells go. It is a reading of the text, not of a run:
// of a variable that is given several values, all count.
func (c Checked) Told(s *assemble.Source) []lesson.Told {
	f := follower{Checked: c, source: s, defined: map[types.Object][]definition{}, told: map[string]string{}, knobs: map[types.Object]string{}}
	f.definitions()
	var out []lesson.Told
	var calls []*ast.CallExpr
	ast.Inspect(c.File, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) < 2 || !telling[f.called(call)] {
			return true
		}
		calls = append(calls, call)
		if name := f.words(call.Args[0]); !strings.Contains(name, "*") && f.called(call) != "tell.Sheet.Claim" {
			if key := f.same(call.Args[1]); key != "" && f.told[key] == "" {
				f.told[key] = name
			}
		}
		return true
	})
	for _, call := range calls {
		one := lesson.Told{Name: f.words(call.Args[0])}
		var ok bool
		if one.Place, ok = f.place(call); !ok {
			continue
		}
		f.follow(&one, call.Args[1])
		if f.called(call) == "tell.Sheet.Doubtful" && len(call.Args) > 2 {
			f.shaken(&one, call.Args[2])
		}
		out = append(out, one)
	}
	return out
}

// definition is what a name of the cells was given.
type definition struct {
	value ast.Node
	whole ast.Node // the statement
}

// mostDefined is over how many definitions Via leads.
const mostDefined = 1

type follower struct {
	Checked
	source  *assemble.Source
	defined map[types.Object][]definition
	told    map[string]string       // what is told, by what same gives for it
	knobs   map[types.Object]string // that a parameter follows
}

func (f *follower) object(id *ast.Ident) types.Object {
	if o := f.Info.Defs[id]; o != nil {
		return o
	}
	return f.Info.Uses[id]
}

// definitions notes what each name of the cells is given.
func (f *follower) definitions() {
	give := func(to ast.Expr, value, whole ast.Node) {
		if id, ok := to.(*ast.Ident); ok {
			if o := f.object(id); o != nil && value != nil {
				f.defined[o] = append(f.defined[o], definition{value, whole})
			}
		}
	}
	var around []ast.Node // the statements that the walk is in
	ast.Inspect(f.File, func(n ast.Node) bool {
		if n == nil {
			around = around[:len(around)-1]
			return true
		}
		around = append(around, n)
		switch n := n.(type) {
		case *ast.AssignStmt:
			for i, to := range n.Lhs {
				give(to, n.Rhs[min(i, len(n.Rhs)-1)], n)
				for _, when := range conditions(around) {
					give(to, when, nil)
				}
			}
		case *ast.ValueSpec:
			for i, id := range n.Names {
				if len(n.Values) > 0 {
					give(id, n.Values[min(i, len(n.Values)-1)], n)
				}
			}
		case *ast.RangeStmt:
			give(n.Key, n.X, n.X)
			give(n.Value, n.X, n.X)
		case *ast.FuncDecl:
			if n.Body != nil {
				give(n.Name, n.Body, nil)
			}
		case *ast.CallExpr:
			if f.called(n) == "tell.Sheet.Knob" && len(n.Args) == 3 {
				if fn, ok := n.Args[2].(*ast.FuncLit); ok {
					for _, field := range fn.Type.Params.List {
						for _, id := range field.Names {
							f.knobs[f.object(id)] = f.words(n.Args[0])
						}
					}
				}
			}
		}
		return true
	})
}

// conditions gives what decides whether, or how often, the innermost statement
// is carried out within its function.
func conditions(around []ast.Node) (out []ast.Node) {
	for i := len(around) - 1; i >= 0; i-- {
		switch n := around[i].(type) {
		case *ast.IfStmt:
			out = append(out, n.Cond)
		case *ast.ForStmt:
			if n.Cond != nil {
				out = append(out, n.Cond)
			}
		case *ast.FuncLit, *ast.FuncDecl:
			return out
		}
	}
	return out
}

// follow finds what an expression is made of, nearest first.
func (f *follower) follow(one *lesson.Told, value ast.Expr) {
	seen := map[types.Object]bool{}
	at := []ast.Node{value}
	for depth := 0; len(at) > 0; depth++ {
		var next []ast.Node
		for _, n := range at {
			next = append(next, f.look(one, n, seen, depth, n == value)...)
		}
		at = next
	}
}

// look notes what stands in an expression, and gives the definitions of its
// names.
func (f *follower) look(one *lesson.Told, root ast.Node, seen map[types.Object]bool, depth int, whole bool) (next []ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		if e, ok := n.(ast.Expr); ok && !(whole && n == root) {
			if name := f.told[f.same(e)]; name != "" && name != one.Name {
				add(&one.Of, name)
			}
		}
		switch n := n.(type) {
		case *ast.IndexExpr: // one of several traces
			if run, name := f.trace(n); run != nil {
				add(&one.Leans, "bench.Run.Traces "+name)
				next = append(next, run)
				return false
			}
		case *ast.CallExpr:
			switch name := f.called(n); {
			case name == "": // a function of the cells may be given the name of a trace
				for _, arg := range n.Args {
					if v := f.Info.Types[arg].Value; v != nil && v.Kind() == constant.String {
						add(&one.Leans, "bench.Run.Traces "+constant.StringVal(v))
					}
				}
			case name == "bench.Set.Constant" && len(n.Args) == 1:
				add(&one.Constants, f.words(n.Args[0]))
			case name == "bench.Run.Traces":
				for _, arg := range n.Args {
					add(&one.Leans, "bench.Run.Traces "+f.words(arg))
				}
			case name == "waveform.Set.RMSOfTurns" || name == "waveform.Set.Named":
				if run, trace := f.trace(n); run != nil {
					add(&one.Leans, name)
					add(&one.Leans, "bench.Run.Traces "+trace)
					next = append(next, run)
					return false
				}
			}
		case *ast.SelectorExpr:
			if name := declaredAs(f.Checked, n); name != "" && !strings.HasPrefix(name, "tell.") && name != "bench.Run.Traces" {
				add(&one.Leans, name)
			}
		case *ast.Ident:
			o := f.object(n)
			if knob := f.knobs[o]; knob != "" {
				add(&one.Knobs, knob)
			}
			if o == nil || seen[o] {
				break
			}
			seen[o] = true
			for _, d := range f.defined[o] {
				next = append(next, d.value)
				if d.whole == nil || depth > mostDefined {
					continue
				}
				if place, ok := f.place(d.whole); ok {
					one.Via = append(one.Via, place)
				}
			}
		}
		return true
	})
	return next
}

// shaken finds the constants that a doubt was made of.
func (f *follower) shaken(one *lesson.Told, doubt ast.Expr) {
	seen := map[types.Object]bool{}
	at := []ast.Node{doubt}
	for len(at) > 0 {
		n := at[0]
		at = at[1:]
		ast.Inspect(n, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				if name := f.called(n); name == "bench.Set.Doubt" || name == "bench.Set.Doubts" {
					for _, arg := range n.Args[1:] {
						add(&one.Shaken, f.words(arg))
					}
					return false
				}
			case *ast.Ident:
				if o := f.object(n); o != nil && !seen[o] {
					seen[o] = true
					for _, d := range f.defined[o] {
						at = append(at, d.value)
					}
				}
			}
			return true
		})
	}
}

// trace finds the run and the name of the one trace that is taken out of several:
// by its place, Signals[1], or by its name.
func (f *follower) trace(n ast.Expr) (run ast.Node, name string) {
	index := -1
	switch e := n.(type) {
	case *ast.IndexExpr:
		sel, ok := e.X.(*ast.SelectorExpr)
		value := f.Info.Types[e.Index].Value
		if !ok || value == nil || declaredAs(f.Checked, sel) != "waveform.Set.Signals" {
			return nil, ""
		}
		i, ok := constant.Int64Val(constant.ToInt(value))
		if !ok {
			return nil, ""
		}
		index, n = int(i), sel.X
	case *ast.CallExpr:
		if len(e.Args) == 0 {
			return nil, ""
		}
		sel, ok := e.Fun.(*ast.SelectorExpr)
		if !ok {
			return nil, ""
		}
		name, n = f.words(e.Args[0]), sel.X
	}
	for range 10 { // definitions and windows between it and the run
		switch e := n.(type) {
		case *ast.ParenExpr:
			n = e.X
		case *ast.Ident:
			d := f.defined[f.object(e)]
			value, ok := ast.Expr(nil), false
			if len(d) > 0 {
				value, ok = d[0].value.(ast.Expr)
			}
			if !ok {
				return nil, ""
			}
			n = value
		case *ast.CallExpr:
			sel, ok := e.Fun.(*ast.SelectorExpr)
			if !ok {
				return nil, ""
			}
			if f.called(e) != "bench.Run.Traces" {
				n = sel.X
				continue
			}
			if index >= 0 && index < len(e.Args) {
				name = f.words(e.Args[index])
			}
			return sel.X, name
		default:
			return nil, ""
		}
	}
	return nil, ""
}

// called gives the engine's name of what is called.
func (f *follower) called(call *ast.CallExpr) string {
	if sel, ok := call.Fun.(*ast.SelectorExpr); ok {
		return declaredAs(f.Checked, sel)
	}
	return ""
}

// same gives a key that two expressions share when they name the same thing; ""
// for one that does more than name.
func (f *follower) same(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return f.same(e.X)
	case *ast.Ident:
		if o, ok := f.object(e).(*types.Var); ok {
			return strconv.Itoa(int(o.Pos()))
		}
	case *ast.SelectorExpr:
		if of := f.same(e.X); of != "" {
			return of + "." + e.Sel.Name
		}
	}
	return ""
}

var verb = regexp.MustCompile(`%[-+# 0-9.]*[a-zA-Z]`)

// words gives a text as far as it stands in the cell; what is put in when the
// cell runs is "*".
func (f *follower) words(e ast.Expr) string {
	if v := f.Info.Types[e].Value; v != nil && v.Kind() == constant.String {
		return constant.StringVal(v)
	}
	switch e := e.(type) {
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			return f.words(e.X) + f.words(e.Y)
		}
	case *ast.CallExpr:
		if sel, ok := e.Fun.(*ast.SelectorExpr); ok && sel.Sel.Name == "Sprintf" && len(e.Args) > 0 {
			return verb.ReplaceAllString(f.words(e.Args[0]), "*")
		}
	}
	return "*"
}

func (f *follower) place(n ast.Node) (lesson.Place, bool) {
	cell, from, ok := f.source.InCell(n.Pos())
	other, to, end := f.source.InCell(n.End())
	return lesson.Place{Cell: cell, From: from, To: to}, ok && end && cell == other && cmp.Less(from, to)
}

func add(list *[]string, name string) {
	if name != "" && !slices.Contains(*list, name) {
		*list = append(*list, name)
	}
}
