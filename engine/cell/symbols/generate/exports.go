package main

import (
	"bytes"
	"fmt"
	"go/constant"
	"go/format"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// printing are the functions that write to standard output. The interpreter
// is given others in their place, which write to a buffer.
var printing = []string{"fmt.Print", "fmt.Printf", "fmt.Println"}

// exports writes the interpreter's symbols: of each function, variable and
// typed constant its value, of each untyped constant its exact value, of each
// type a nil pointer to it, and for each interface a struct that lets a type
// of a cell stand in for it.
func exports(all []*pack) ([]byte, error) {
	var body, wrappers bytes.Buffer
	for _, p := range all {
		fmt.Fprintf(&body, "%q: {\n", p.path+"//"+p.types.Name())
		for _, name := range p.types.Scope().Names() {
			qualified := p.types.Name() + "." + name
			if !p.offered[name] || slices.Contains(printing, qualified) {
				continue
			}
			value := qualified
			switch o := p.types.Scope().Lookup(name).(type) {
			case *types.Const:
				if b, ok := o.Type().(*types.Basic); ok && b.Info()&types.IsUntyped != 0 && b.Kind() != types.UntypedBool {
					v, err := exactValue(o.Val())
					if err != nil {
						return nil, fmt.Errorf("%s: %v", qualified, err)
					}
					value = v
				}
			case *types.Var:
				fmt.Fprintf(&body, "%q: reflect.ValueOf(&%s).Elem(),\n", name, qualified)
				continue
			case *types.TypeName:
				value = "(*" + qualified + ")(nil)"
				if i, ok := o.Type().Underlying().(*types.Interface); ok {
					wrapper := p.types.Name() + name
					fmt.Fprintf(&body, "%q: reflect.ValueOf((*%s)(nil)),\n", "_"+name, wrapper)
					writeWrapper(&wrappers, wrapper, qualified, i)
				}
			}
			fmt.Fprintf(&body, "%q: reflect.ValueOf(%s),\n", name, value)
		}
		body.WriteString("},\n")
	}
	var b bytes.Buffer
	b.WriteString(mark + "package symbols\n\nimport (\n")
	imports := append([]string{"go/constant", "go/token", "reflect", "github.com/traefik/yaegi/interp"}, packages...)
	slices.SortFunc(imports, func(a, b string) int {
		// the standard library, others, ours
		group := func(s string) string {
			switch {
			case strings.HasPrefix(s, "slipring/"):
				return "3"
			case strings.Contains(s, "."):
				return "2"
			}
			return "1"
		}
		return strings.Compare(group(a)+a, group(b)+b)
	})
	for i, path := range imports {
		if i > 0 && (strings.Contains(path, ".") || strings.HasPrefix(path, "slipring/") && !strings.HasPrefix(imports[i-1], "slipring/")) {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "%q\n", path)
	}
	b.WriteString(`)

// Exports gives the interpreter the packages that cells may import, but for
// what prints; see Printing.
func Exports() interp.Exports {
	return interp.Exports{
`)
	b.Write(body.Bytes())
	b.WriteString("}\n}\n\n")
	b.Write(wrappers.Bytes())
	return format.Source(b.Bytes())
}

// exactValue writes an expression for an untyped constant's exact value.
func exactValue(v constant.Value) (string, error) {
	make := func(text, kind string) string {
		return fmt.Sprintf("constant.MakeFromLiteral(%q, token.%s, 0)", text, kind)
	}
	switch v.Kind() {
	case constant.String:
		return make(v.ExactString(), "STRING"), nil
	case constant.Int:
		if constant.Sign(v) < 0 {
			positive, err := exactValue(constant.UnaryOp(token.SUB, v, 0))
			return "constant.UnaryOp(token.SUB, " + positive + ", 0)", err
		}
		return make(v.ExactString(), "INT"), nil
	case constant.Float:
		if constant.Sign(v) < 0 {
			positive, err := exactValue(constant.UnaryOp(token.SUB, v, 0))
			return "constant.UnaryOp(token.SUB, " + positive + ", 0)", err
		}
		r, err := rational(v)
		if err != nil {
			return "", err
		}
		if s, ok := exact(r); ok {
			return make(s, "FLOAT"), nil
		}
		return fmt.Sprintf("constant.BinaryOp(%s, token.QUO, %s)",
			make(r.Num().String()+".0", "FLOAT"), make(r.Denom().String()+".0", "FLOAT")), nil
	}
	return "", fmt.Errorf("an untyped constant of kind %v is not supported", v.Kind())
}

// writeWrapper writes the struct through which the interpreter hands a type
// of a cell to compiled code as an interface. The interpreter finds it by the
// interface's name after an underscore and fills its fields by their names.
func writeWrapper(b *bytes.Buffer, wrapper, qualified string, i *types.Interface) {
	qualify := func(p *types.Package) string { return p.Name() }
	fmt.Fprintf(b, "// %s stands in for %s.\ntype %s struct {\nIValue any\n", wrapper, qualified, wrapper)
	for m := range i.Methods() {
		fmt.Fprintf(b, "W%s %s\n", m.Name(), types.TypeString(m.Type(), qualify))
	}
	b.WriteString("}\n\n")
	for m := range i.Methods() {
		sig := m.Signature()
		var params, args []string
		for j := range sig.Params().Len() {
			v := sig.Params().At(j)
			arg, kind := fmt.Sprintf("a%d", j), types.TypeString(v.Type(), qualify)
			if sig.Variadic() && j == sig.Params().Len()-1 {
				kind = "..." + strings.TrimPrefix(kind, "[]")
				params, args = append(params, arg+" "+kind), append(args, arg+"...")
				continue
			}
			params, args = append(params, arg+" "+kind), append(args, arg)
		}
		results := types.TypeString(sig.Results(), qualify)
		back := ""
		if sig.Results().Len() > 0 {
			back = "return "
		}
		fmt.Fprintf(b, "func (w %s) %s(%s) %s { %sw.W%s(%s) }\n\n",
			wrapper, m.Name(), strings.Join(params, ", "), results, back, m.Name(), strings.Join(args, ", "))
	}
}
