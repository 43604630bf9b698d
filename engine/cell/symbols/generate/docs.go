package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/build"
	"go/parser"
	"go/printer"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
)

// explained says whether cells' readers are told what a package's names mean.
// The standard library has its own documentation.
func explained(path string) bool { return strings.HasPrefix(path, "slipring/") }

// symbol is one offered name with its doc comment, and field one field of a
// struct; package symbols reads them back.
type symbol struct {
	Name      string // qualified: bench.Set.Steady; of a package its name alone
	Kind      string // package, const, var, func, type, method
	Signature string
	Doc       string  `json:",omitempty"`
	Fields    []field `json:",omitempty"`
}

type field struct {
	Name string
	Type string
	Doc  string `json:",omitempty"`
}

// docs writes the doc comments of what a package offers, sorted by name after
// that of the package itself.
func (p *pack) docs() ([]byte, error) {
	said, about, err := p.comments()
	if err != nil {
		return nil, err
	}
	name := p.types.Name()
	symbols := []symbol{{Name: name, Kind: "package", Signature: "package " + name, Doc: about}}
	qualify := func(q *types.Package) string {
		if q == p.types {
			return ""
		}
		return q.Name()
	}
	text := func(t types.Type) string { return types.TypeString(t, qualify) }
	add := func(name, kind, signature string) {
		symbols = append(symbols, symbol{Name: p.types.Name() + "." + name, Kind: kind, Signature: signature, Doc: said[name]})
	}
	for _, name := range p.types.Scope().Names() {
		if !p.offered[name] {
			continue
		}
		switch o := p.types.Scope().Lookup(name).(type) {
		case *types.Const:
			kind := ""
			if b, ok := o.Type().(*types.Basic); !ok || b.Info()&types.IsUntyped == 0 {
				kind = " " + text(o.Type())
			}
			add(name, "const", fmt.Sprintf("const %s%s = %s", name, kind, o.Val()))
		case *types.Var:
			add(name, "var", "var "+name+" "+text(o.Type()))
		case *types.Func:
			add(name, "func", "func "+name+strings.TrimPrefix(text(o.Type()), "func"))
		case *types.TypeName:
			n, named := o.Type().(*types.Named)
			if o.IsAlias() || !named {
				add(name, "type", "type "+name+" = "+text(types.Unalias(o.Type())))
				continue
			}
			s, isStruct := n.Underlying().(*types.Struct)
			if !isStruct {
				add(name, "type", "type "+name+" "+text(n.Underlying()))
			} else {
				add(name, "type", "type "+name+" struct")
				e := &symbols[len(symbols)-1]
				for f := range s.Fields() {
					if p.offered[name+"."+f.Name()] {
						e.Fields = append(e.Fields, field{f.Name(), text(f.Type()), said[name+"."+f.Name()]})
					}
				}
			}
			for m := range n.Methods() {
				if p.offered[name+"."+m.Name()] {
					sig := m.Signature()
					add(name+"."+m.Name(), "method", fmt.Sprintf("func (%s) %s%s", text(sig.Recv().Type()), m.Name(), strings.TrimPrefix(text(sig), "func")))
				}
			}
		}
	}
	slices.SortFunc(symbols[1:], func(a, b symbol) int { return strings.Compare(a.Name, b.Name) })
	var b bytes.Buffer
	to := json.NewEncoder(&b)
	to.SetEscapeHTML(false)
	to.SetIndent("", "\t")
	err = to.Encode(symbols)
	return b.Bytes(), err
}

// comments reads the doc comments of a package's source, by NAME, TYPE.METHOD
// and TYPE.FIELD, and the package's own.
func (p *pack) comments() (said map[string]string, about string, err error) {
	dir := ""
	for _, name := range p.types.Scope().Names() {
		if at := p.types.Scope().Lookup(name).Pos(); at.IsValid() {
			dir = filepath.Dir(p.files.Position(at).Filename)
			break
		}
	}
	source, err := build.ImportDir(dir, 0)
	if err != nil {
		return nil, "", err
	}
	said = map[string]string{}
	files := token.NewFileSet()
	for _, name := range source.GoFiles {
		f, err := parser.ParseFile(files, filepath.Join(dir, name), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, "", err
		}
		if f.Doc != nil {
			about = f.Doc.Text()
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				name := d.Name.Name
				if d.Recv != nil {
					name = receiver(d.Recv.List[0].Type) + "." + name
				}
				said[name] = d.Doc.Text()
			case *ast.GenDecl:
				for _, s := range d.Specs {
					declared(said, d, s)
				}
			}
		}
	}
	return said, about, nil
}

func receiver(e ast.Expr) string {
	if s, ok := e.(*ast.StarExpr); ok {
		e = s.X
	}
	var b bytes.Buffer
	printer.Fprint(&b, token.NewFileSet(), e)
	return b.String()
}

// declared takes the comments of one specification: its own above or behind
// it, or else that of the whole declaration.
func declared(said map[string]string, d *ast.GenDecl, s ast.Spec) {
	first := func(groups ...*ast.CommentGroup) string {
		for _, g := range groups {
			if t := g.Text(); t != "" {
				return t
			}
		}
		return ""
	}
	switch s := s.(type) {
	case *ast.ValueSpec:
		for _, id := range s.Names {
			said[id.Name] = first(s.Doc, s.Comment, d.Doc)
		}
	case *ast.TypeSpec:
		said[s.Name.Name] = first(s.Doc, d.Doc, s.Comment)
		t, ok := s.Type.(*ast.StructType)
		if !ok {
			return
		}
		for _, f := range t.Fields.List {
			for _, id := range f.Names {
				said[s.Name.Name+"."+id.Name] = first(f.Comment, f.Doc)
			}
			if len(f.Names) == 0 {
				name := receiver(f.Type)
				said[s.Name.Name+"."+name[strings.LastIndexByte(name, '.')+1:]] = first(f.Comment, f.Doc)
			}
		}
	}
}
