package symbols

import (
	"bytes"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"math"
	"path"
	"reflect"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/traefik/yaegi/interp"
)

// symbols of one package, what prints included
func valuesOf(t *testing.T) map[string]map[string]reflect.Value {
	t.Helper()
	all := map[string]map[string]reflect.Value{}
	for _, e := range []interp.Exports{Exports(), Printing(io.Discard)} {
		for key, symbols := range e {
			importPath := path.Dir(key)
			if want := importPath + "//" + path.Base(importPath); key != want {
				t.Errorf("key %q, want %q", key, want)
			}
			if all[importPath] == nil {
				all[importPath] = map[string]reflect.Value{}
			}
			for name, v := range symbols {
				all[importPath][name] = v
			}
		}
	}
	return all
}

// What the type checker is told must be what the compiled program holds: for
// each stub the symbol exists and reflection finds the same type, fields,
// methods and constant value there.
func TestStubsAgreeWithSymbols(t *testing.T) {
	all := valuesOf(t)
	if len(all) != len(checked()) {
		t.Errorf("symbols of %d packages, stubs of %d", len(all), len(checked()))
	}
	compared := 0
	for importPath, symbols := range all {
		p, err := Importer().Import(importPath)
		if err != nil {
			t.Error(err)
			continue
		}
		for name := range symbols {
			if real, wrapper := strings.CutPrefix(name, "_"); wrapper {
				if o := p.Scope().Lookup(real); o == nil || !types.IsInterface(o.Type()) {
					t.Errorf("%s: %s wraps no interface", importPath, name)
				}
			} else if o := p.Scope().Lookup(name); o == nil || !o.Exported() {
				t.Errorf("the interpreter knows %s.%s, the type checker does not", importPath, name)
			}
		}
		for _, name := range p.Scope().Names() {
			v, ok := symbols[name]
			if !ok {
				t.Errorf("the type checker knows %s.%s, the interpreter does not", importPath, name)
				continue
			}
			agree(t, importPath+"."+name, p.Scope().Lookup(name), v)
			compared++
		}
	}
	if compared < 200 {
		t.Errorf("only %d names were compared", compared)
	}
}

func agree(t *testing.T, name string, o types.Object, v reflect.Value) {
	t.Helper()
	switch o := o.(type) {
	case *types.Const:
		if c, ok := v.Interface().(constant.Value); ok {
			if !constant.Compare(c, token.EQL, o.Val()) {
				t.Errorf("%s is %s for the type checker, %s for the interpreter", name, o.Val().ExactString(), c.ExactString())
			}
			return
		}
		if !same(o.Type(), v.Type()) {
			t.Errorf("%s is a %v for the type checker, a %v for the interpreter", name, o.Type(), v.Type())
			return
		}
		// A typed constant comes out of the compiler.
		var c constant.Value
		switch {
		case v.CanInt():
			c = constant.MakeInt64(v.Int())
		case v.CanFloat():
			c = constant.MakeFloat64(v.Float())
		case v.Kind() == reflect.String:
			c = constant.MakeString(v.String())
		case v.Kind() == reflect.Bool:
			c = constant.MakeBool(v.Bool())
		default:
			t.Errorf("%s: no comparison for a constant of kind %v", name, v.Kind())
			return
		}
		if !constant.Compare(c, token.EQL, o.Val()) {
			t.Errorf("%s is %v for the type checker, %v for the interpreter", name, o.Val(), c)
		}
	case *types.Var:
		if !v.CanAddr() || !same(o.Type(), v.Type()) {
			t.Errorf("%s is a %v for the type checker, a %v for the interpreter", name, o.Type(), v.Type())
		}
	case *types.Func:
		if !same(o.Type(), v.Type()) {
			t.Errorf("%s is a %v for the type checker, a %v for the interpreter", name, o.Type(), v.Type())
		}
	case *types.TypeName:
		if v.Kind() != reflect.Pointer || !v.IsNil() || !same(o.Type(), v.Type().Elem()) {
			t.Errorf("%s is not the type of that name for the interpreter", name)
			return
		}
		agreeType(t, name, o.Type().(*types.Named), v.Type().Elem())
	}
}

func agreeType(t *testing.T, name string, n *types.Named, r reflect.Type) {
	t.Helper()
	if types.Comparable(n) != r.Comparable() {
		t.Errorf("%s: comparable is %v for the type checker, %v for the compiler", name, types.Comparable(n), r.Comparable())
	}
	if s, ok := n.Underlying().(*types.Struct); ok {
		hidden := false
		for f := range s.Fields() {
			if f.Name() == "_" {
				hidden = true
				continue
			}
			real, ok := r.FieldByName(f.Name())
			if !ok || len(real.Index) != 1 || real.Anonymous != f.Embedded() || !same(f.Type(), real.Type) {
				t.Errorf("%s.%s is not the field of that name in the compiled program", name, f.Name())
			}
		}
		exported := 0
		for i := range r.NumField() {
			if r.Field(i).IsExported() {
				exported++
			}
		}
		if !hidden && (exported != s.NumFields() || r.NumField() != s.NumFields()) {
			t.Errorf("%s has %d fields for the type checker, %d for the compiler", name, s.NumFields(), r.NumField())
		}
	} else if !sameUnder(n.Underlying(), r) {
		t.Errorf("%s is a %v for the type checker, a %v for the compiler", name, n.Underlying(), r.Kind())
	}
	for m := range n.Methods() {
		_, byPointer := m.Signature().Recv().Type().(*types.Pointer)
		on := reflect.PointerTo(r)
		if !byPointer {
			on = r
		} else if _, ok := r.MethodByName(m.Name()); ok {
			t.Errorf("%s.%s needs a pointer for the type checker, not for the compiler", name, m.Name())
		}
		real, ok := on.MethodByName(m.Name())
		if !ok {
			t.Errorf("%s.%s does not exist in the compiled program", name, m.Name())
			continue
		}
		if !sameSignature(m.Signature(), real.Type, 1) {
			t.Errorf("%s.%s is a %v for the type checker, a %v for the compiler", name, m.Name(), m.Type(), real.Type)
		}
	}
}

// same compares a type of the checker with one of the compiled program.
func same(t types.Type, r reflect.Type) bool {
	t = types.Unalias(t)
	if n, ok := t.(*types.Named); ok {
		if n.Obj().Pkg() == nil {
			return r == reflect.TypeFor[error]()
		}
		return n.Obj().Name() == r.Name() && n.Obj().Pkg().Path() == r.PkgPath()
	}
	return (r.PkgPath() == "" || r.Name() == "") && sameUnder(t, r)
}

func sameUnder(t types.Type, r reflect.Type) bool {
	switch t := t.(type) {
	case *types.Basic:
		return t.Name() == r.Kind().String() || t.Name() == "byte" && r.Kind() == reflect.Uint8 || t.Name() == "rune" && r.Kind() == reflect.Int32
	case *types.Pointer:
		return r.Kind() == reflect.Pointer && same(t.Elem(), r.Elem())
	case *types.Slice:
		return r.Kind() == reflect.Slice && same(t.Elem(), r.Elem())
	case *types.Array:
		return r.Kind() == reflect.Array && t.Len() == int64(r.Len()) && same(t.Elem(), r.Elem())
	case *types.Map:
		return r.Kind() == reflect.Map && same(t.Key(), r.Key()) && same(t.Elem(), r.Elem())
	case *types.Signature:
		return sameSignature(t, r, 0)
	case *types.Interface:
		if r.Kind() != reflect.Interface || r.NumMethod() != t.NumMethods() {
			return false
		}
		for m := range t.Methods() {
			real, ok := r.MethodByName(m.Name())
			if !ok || !sameSignature(m.Signature(), real.Type, 0) {
				return false
			}
		}
		return true
	}
	return false
}

// sameSignature leaves out the first skip parameters of the compiled function:
// the receiver of a method.
func sameSignature(s *types.Signature, r reflect.Type, skip int) bool {
	if r.Kind() != reflect.Func || s.Variadic() != r.IsVariadic() ||
		s.Params().Len() != r.NumIn()-skip || s.Results().Len() != r.NumOut() {
		return false
	}
	for i := range s.Params().Len() {
		if !same(s.Params().At(i).Type(), r.In(i+skip)) {
			return false
		}
	}
	for i := range s.Results().Len() {
		if !same(s.Results().At(i).Type(), r.Out(i)) {
			return false
		}
	}
	return true
}

// What cells are not offered must be missing on both sides.
func TestNotOffered(t *testing.T) {
	all := valuesOf(t)
	for _, name := range []string{
		"os", "unsafe", "time", "math/rand", "reflect", "runtime", "syscall", "io", "os/exec", "net/http",
		"slipring/engine/ode", "slipring/engine/cell",
	} {
		if _, err := Importer().Import(name); err == nil || all[name] != nil {
			t.Errorf("cells may import %q", name)
		}
	}
	for _, name := range []string{
		"fmt.Scan", "fmt.Sscan", "fmt.Fscanf", "fmt.Fprintln", "fmt.Appendf", "errors.As", "strings.SplitSeq", "strings.NewReader",
		"slipring/engine/bench.New", "slipring/engine/tell.Result",
	} {
		i := strings.LastIndexByte(name, '.')
		p, err := Importer().Import(name[:i])
		if err != nil {
			t.Fatal(err)
		}
		if p.Scope().Lookup(name[i+1:]) != nil || all[name[:i]][name[i+1:]].IsValid() {
			t.Errorf("cells may use %s", name)
		}
	}
	for _, src := range []string{
		`import "slipring/engine/tell"; var s tell.Sheet; var r = s.Result()`,
		`import "slipring/engine/bench"; func f(s *bench.Shelf) { s.Opened() }`,
	} {
		if err := check("package p; " + src); err == nil {
			t.Errorf("%s is allowed", src)
		}
	}
}

func check(src string) error {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "p.go", src, 0)
	if err != nil {
		return err
	}
	_, err = (&types.Config{Importer: Importer(), GoVersion: "go1.20"}).Check("p", fset, []*ast.File{f}, nil)
	return err
}

// Lessons are checked side by side; under the race detector this fails if the
// shared packages were changed by a check.
func TestImporterSideBySide(t *testing.T) {
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			err := check(`package p
				import ("fmt"; "math"; "sort"; "slipring/engine/bench"; "slipring/engine/machine"; "slipring/engine/tell")
				type by []float64
				func (b by) Len() int { return len(b) }
				func (b by) Less(i, j int) bool { return b[i] < b[j] }
				func (b by) Swap(i, j int) { b[i], b[j] = b[j], b[i] }
				func Run(t *tell.Sheet, b *bench.Shelf) {
					run := b.Open("x").Steady(machine.Load{})
					sort.Sort(by{run.Frequency})
					t.Chart("y", run.Traces("output").Turns(3))
					fmt.Println(math.Pi)
				}`)
			if err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}

// The interpreter takes the symbols, finds exact constants in them, lets a
// type of a cell stand in for an interface, and prints where it is told to.
func TestInterpreterUsesSymbols(t *testing.T) {
	var out bytes.Buffer
	i := interp.New(interp.Options{SourcecodeFilesystem: fstest.MapFS{}, Stdout: io.Discard, Stderr: io.Discard})
	for _, e := range []interp.Exports{Exports(), Printing(&out)} {
		if err := i.Use(e); err != nil {
			t.Fatal(err)
		}
	}
	_, err := i.Eval(`package p
		import ("fmt"; "math"; "math/cmplx"; "sort")
		type down []float64
		func (d down) Len() int { return len(d) }
		func (d down) Less(i, j int) bool { return d[i] > d[j] }
		func (d down) Swap(i, j int) { d[i], d[j] = d[j], d[i] }
		func F() []float64 {
			x := []float64{math.Pi, math.Ln10, math.Log2E, math.SmallestNonzeroFloat64, math.MaxFloat64, cmplx.Abs(3+4i)}
			sort.Sort(down(x))
			fmt.Println("sorted", len(x))
			return x
		}
		var _ = 0
	`)
	if err != nil {
		t.Fatal(err)
	}
	v, err := i.Eval("p.F")
	if err != nil {
		t.Fatal(err)
	}
	got := v.Interface().(func() []float64)()
	want := []float64{math.MaxFloat64, 5, math.Pi, math.Ln10, math.Log2E, math.SmallestNonzeroFloat64}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if out.String() != "sorted 6\n" {
		t.Errorf("printed %q", out.String())
	}
}

func BenchmarkExports(b *testing.B) {
	for b.Loop() {
		Exports()
	}
}

func BenchmarkStubsCold(b *testing.B) {
	for b.Loop() {
		r := reader{files: token.NewFileSet(), done: map[string]*types.Package{}}
		for p := range checked() {
			if _, err := r.Import(p); err != nil {
				b.Fatal(err)
			}
		}
	}
}
