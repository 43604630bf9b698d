package symbols

import (
	"go/types"
	"slices"
	"strings"
	"testing"
)

// Exactly what the type checker knows of the engine is explained, each with a
// comment, and with the signature that the stub has.
func TestDocsAgreeWithStubs(t *testing.T) {
	want := map[string]string{}
	for path, p := range checked() {
		if !strings.HasPrefix(path, "slipring/") {
			continue
		}
		qualify := func(q *types.Package) string {
			if q == p {
				return ""
			}
			return q.Name()
		}
		want[p.Name()] = "package " + p.Name()
		for _, name := range p.Scope().Names() {
			full := p.Name() + "." + name
			o := p.Scope().Lookup(name)
			t1, isType := o.(*types.TypeName)
			switch {
			case !isType:
				want[full] = types.ObjectString(o, func(*types.Package) string { return "" })
				if _, ok := o.(*types.Const); ok {
					want[full] = "const " + name
				} else if _, ok := o.(*types.Func); ok {
					want[full] = "func " + name + strings.TrimPrefix(types.TypeString(o.Type(), qualify), "func")
				}
			default:
				want[full] = "type " + name
				n, ok := t1.Type().(*types.Named)
				if !ok {
					continue
				}
				for m := range n.Methods() {
					want[full+"."+m.Name()] = "func (" + types.TypeString(m.Signature().Recv().Type(), qualify) + ") " + m.Name() +
						strings.TrimPrefix(types.TypeString(m.Type(), qualify), "func")
				}
				s, ok := n.Underlying().(*types.Struct)
				if !ok {
					continue
				}
				var fields []string
				for f := range s.Fields() {
					if f.Exported() {
						fields = append(fields, f.Name()+" "+types.TypeString(f.Type(), qualify))
					}
				}
				e, _ := Doc(full)
				var got []string
				for _, f := range e.Fields {
					got = append(got, f.Name+" "+f.Type)
				}
				if !slices.Equal(got, fields) {
					t.Errorf("%s has the fields %q, and %q are explained", full, fields, got)
				}
			}
		}
	}
	for name, signature := range want {
		e, ok := Doc(name)
		if !ok {
			t.Errorf("nothing is said about %s", name)
			continue
		}
		if e.Name != name || e.Signature != signature && !strings.HasPrefix(e.Signature, signature+" ") {
			t.Errorf("%s is %q, %q; the stub has %q", name, e.Name, e.Signature, signature)
		}
		// One of several constants may be explained by their type, and that an
		// error can be read goes without saying.
		silent := e.Kind == "const" && strings.Count(e.Signature, " ") == 4 || strings.HasSuffix(name, ".Error")
		if strings.TrimSpace(e.Doc) == "" && !silent {
			t.Errorf("%s has no comment", name)
		}
	}
	for _, e := range Docs() {
		if want[e.Name] == "" {
			t.Errorf("%s is explained and not offered", e.Name)
		}
	}
}

// The equations come through as their comments have them.
func TestDocsKeepEquations(t *testing.T) {
	e, ok := Doc("machine.Governor.OpenFraction")
	if !ok || e.Kind != "method" || !strings.Contains(e.Doc, "\n\td = 1 - arccos(-S/A)/pi\n") {
		t.Errorf("%+v", e)
	}
	if e, ok := Doc("bench.New"); ok {
		t.Errorf("cells are not offered %+v", e)
	}
	if _, ok := Doc("strings.Fields"); ok {
		t.Error("the standard library is explained")
	}
}
