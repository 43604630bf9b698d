package main

import (
	"fmt"
	"go/importer"
	"go/token"
	"go/types"
	"strings"
)

// packages are all that cells may import.
var packages = []string{
	"errors",
	"fmt",
	"math",
	"math/cmplx",
	"sort",
	"strconv",
	"strings",
	"slipring/engine/bench",
	"slipring/engine/machine",
	"slipring/engine/tell",
	"slipring/engine/waveform",
	"slipring/engine/wiring",
}

// notOffered are parts of those packages that cells do without, each with its
// reason. A name that ends in * stands for all that begin so. Generic things,
// and things that mention a type that is itself not offered, need no entry.
var notOffered = []struct{ name, reason string }{
	{"errors.As", "the interpreter does not keep the type of its target"},

	{"fmt.Append*", "Sprint makes text"},
	{"fmt.Fprint*", "a cell has no file to write to"},
	{"fmt.Fscan*", "a cell has no file to read"},
	{"fmt.Scan*", "a cell has no one to ask"},
	{"fmt.Sscan*", "strconv reads numbers"},
	{"fmt.Formatter", "own verbs are not interpreted"},
	{"fmt.FormatString", "own verbs are not interpreted"},
	{"fmt.State", "own verbs are not interpreted"},
	{"fmt.GoStringer", "own verbs are not interpreted"},

	{"strings.NewReader", "a cell has no file to read"},
	{"strings.Reader", "a cell has no file to read"},
	{"strings.Title", "deprecated: it does not know what a word is"},

	{"bench.New", "a cell is handed its shelf"},
	{"bench.Shelf.Opened", "for the page, not for the cell"},
	{"bench.Shelf.Recall", "for the one that runs cells"},
	{"bench.Shelf.Lay", "for the one that runs cells"},
	{"bench.Shelf.Wire", "for the one that runs cells"},
	{"bench.Shelf.Plan", "for the one that runs cells"},
	{"bench.Shelf.ToCut", "for the page, not for the cell"},
	{"bench.ReadingsColumn", "for the one that lays readings on the shelf"},
	{"bench.Beside", "for the one that runs cells"},
	{"bench.CaptureChannel", "for the one that lays captures on the shelf"},
	{"bench.CaptureResult", "for the one that lays captures on the shelf"},
	{"bench.Shelf.Enter", "for the one that runs cells"},
	{"bench.Log.Beside", "for the page, not for the cell"},
	{"bench.Log.Trend", "for the page, not for the cell"},
	{"bench.Shelf.Kept", "for the one that runs cells"},
	{"bench.Solved", "for the page, not for the cell"},
	{"bench.Shelf.Draw", "for the one that runs cells"},
	{"machine.Explained", "for the page, not for the cell"},
	{"waveform.Explained", "for the page, not for the cell"},
	{"wiring.Explained", "for the page, not for the cell"},

	{"machine.Card.Fit", "it changes the inside of a card"},
	{"machine.Card.FitAs", "it changes the inside of a card"},
	{"machine.Card.Parts", "it hands out the inside of a card"},
	{"machine.Card.Put", "it changes the inside of a card"},
	{"machine.Card.Read", "bench gives the parts of a set"},
	{"machine.Card.Together", "set.Doubt reckons with it"},
	{"machine.Together", "set.Doubt reckons with it"},
	{"machine.Model", "bench gives the parts of a set"},
	{"machine.Part", "it hands out the inside of a card"},
	{"machine.Snapshot", "for the one that keeps runs"},
	{"machine.Simulation.Snapshot", "for the one that keeps runs"},
	{"machine.Resume", "for the one that keeps runs"},

	{"tell.Bounded", "for the one that runs cells"},
	{"tell.Bounds", "for the one that runs cells"},
	{"tell.Board", "for the page, not for the cell"},
	{"tell.BoardState.Is", "for the page, not for the cell"},
	{"tell.Sound", "for the page, not for the cell"},
	{"tell.Heard", "for the page, not for the cell"},
	{"tell.Claim", "for the page, not for the cell"},
	{"tell.Finder", "for the page, not for the cell"},
	{"tell.Look.Walk", "for the page, not for the cell"},
	{"tell.Look.Numbers", "for the page, not for the cell"},
	{"tell.Look.Stops", "for the page, not for the cell"},
	{"tell.Figure.Frames", "the sheet makes frames, when a knob is told"},
	{"tell.Framed", "the sheet makes frames, when a knob is told"},
	{"tell.Knob", "for the page, not for the cell"},
	{"tell.Limit", "for the page, not for the cell"},
	{"tell.Mechanism", "for the page, not for the cell"},
	{"tell.Misuse", "a cell stops with panic and words of its own"},
	{"tell.Motion", "for the page, not for the cell"},
	{"tell.Result", "for the page, not for the cell"},
	{"tell.Place", "for the one that checks digits"},
	{"tell.StripReasons", "for the page, not for the cell"},
	{"tell.Terminal", "for the page, not for the cell"},
	{"tell.TerminalOf", "for the page, not for the cell"},
	{"tell.Verdicts", "for the page, not for the cell"},
	{"tell.StripWire.At", "for the page, not for the cell"},
	{"tell.SameForm", "for the one that runs cells"},
	{"tell.Join", "Schematic.Join says it in short"},
	{"tell.Lines", "for the page, not for the cell"},
	{"tell.Spot", "for the page, not for the cell"},
	{"tell.Symbol", "Schematic.Put says it in short"},
	{"tell.SymbolKind", "for the page, not for the cell"},
	{"tell.SymbolKindOf", "for the page, not for the cell"},
	{"tell.SymbolKinds", "for the page, not for the cell"},
	{"tell.Sheet.Result", "for the page, not for the cell"},
	{"tell.Table.Frames", "the sheet makes frames, when a knob is told"},
	{"tell.Value", "for the page, not for the cell"},

	{"wiring.Flaw", "its text and next step are those of the error"},
}

// pack is one package and what of it is offered.
type pack struct {
	path    string
	types   *types.Package
	files   *token.FileSet
	offered map[string]bool // exported names; also TYPE.METHOD and TYPE.FIELD
	left    map[string]string
	among   map[*types.Package]bool // the packages that cells may import
}

// load type-checks the packages from source and sorts out what is offered. It
// must run within the module.
func load() ([]*pack, error) {
	files := token.NewFileSet()
	from := importer.ForCompiler(files, "source", nil)
	among := map[*types.Package]bool{}
	var all []*pack
	for _, path := range packages {
		p, err := from.Import(path)
		if err != nil {
			return nil, err
		}
		among[p] = true
		all = append(all, &pack{path: path, types: p, files: files, offered: map[string]bool{}, left: map[string]string{}, among: among})
	}
	used := map[string]bool{}
	for _, p := range all {
		p.begin(used)
	}
	for _, n := range notOffered {
		if !used[n.name] {
			return nil, fmt.Errorf("nothing is called %s; remove it from the list of what is not offered", n.name)
		}
	}
	byTypes := map[*types.Package]*pack{}
	for _, p := range all {
		byTypes[p.types] = p
	}
	// What mentions something that is not offered is not offered either; this
	// goes on until nothing changes.
	for changed := true; changed; {
		changed = false
		for _, p := range all {
			if p.prune(byTypes) {
				changed = true
			}
		}
	}
	return all, nil
}

// named gives the reason for which the list leaves a name out.
func named(name string, used map[string]bool) (reason string, out bool) {
	for _, n := range notOffered {
		prefix, many := strings.CutSuffix(n.name, "*")
		if n.name == name || many && strings.HasPrefix(name, prefix) {
			used[n.name] = true
			return n.reason, true
		}
	}
	return "", false
}

// begin offers every exported name that the list does not leave out.
func (p *pack) begin(used map[string]bool) {
	take := func(name string) {
		if reason, out := named(p.types.Name()+"."+name, used); out {
			p.left[name] = reason
		} else {
			p.offered[name] = true
		}
	}
	for _, name := range p.types.Scope().Names() {
		o := p.types.Scope().Lookup(name)
		if !o.Exported() {
			continue
		}
		take(name)
		t, ok := o.(*types.TypeName)
		if !ok || !p.offered[name] {
			continue
		}
		n, ok := t.Type().(*types.Named)
		if !ok {
			continue
		}
		for m := range n.Methods() {
			if m.Exported() {
				take(name + "." + m.Name())
			}
		}
		if s, ok := n.Underlying().(*types.Struct); ok {
			for f := range s.Fields() {
				if f.Exported() {
					take(name + "." + f.Name())
				}
			}
		}
	}
}

// prune takes back what mentions something that is not offered, and says
// whether there was any.
func (p *pack) prune(all map[*types.Package]*pack) bool {
	changed := false
	drop := func(name, reason string) {
		delete(p.offered, name)
		p.left[name] = reason
		changed = true
	}
	check := func(name string, t types.Type) {
		if what := missing(t, all); what != "" && p.offered[name] {
			drop(name, "mentions "+what)
		}
	}
	for _, name := range p.types.Scope().Names() {
		if !p.offered[name] {
			continue
		}
		o := p.types.Scope().Lookup(name)
		t, isType := o.(*types.TypeName)
		if !isType {
			check(name, o.Type())
			continue
		}
		if t.IsAlias() {
			check(name, types.Unalias(t.Type()))
			continue
		}
		n := t.Type().(*types.Named)
		if n.TypeParams().Len() > 0 {
			drop(name, "is generic")
			continue
		}
		for m := range n.Methods() {
			if m.Exported() {
				check(name+"."+m.Name(), m.Type())
			}
		}
		switch u := n.Underlying().(type) {
		case *types.Struct:
			for f := range u.Fields() {
				switch {
				case f.Exported():
					check(name+"."+f.Name(), f.Type())
				case f.Embedded():
					drop(name, "embeds what it does not export")
				}
			}
		default:
			check(name, u)
		}
	}
	return changed
}

// missing names the first thing that a type mentions and cells are not
// offered.
func missing(t types.Type, all map[*types.Package]*pack) string {
	switch t := t.(type) {
	case *types.Basic:
		if t.Kind() == types.UnsafePointer {
			return t.String()
		}
	case *types.Alias:
		return missing(types.Unalias(t), all)
	case *types.Named:
		o := t.Obj()
		if o.Pkg() == nil {
			return "" // error
		}
		p := all[o.Pkg()]
		if p == nil || t.TypeArgs().Len() > 0 || !p.offered[o.Name()] {
			return o.Pkg().Name() + "." + o.Name()
		}
	case *types.Pointer:
		return missing(t.Elem(), all)
	case *types.Slice:
		return missing(t.Elem(), all)
	case *types.Array:
		return missing(t.Elem(), all)
	case *types.Map:
		return missing(t.Key(), all) + missing(t.Elem(), all)
	case *types.Tuple:
		for v := range t.Variables() {
			if m := missing(v.Type(), all); m != "" {
				return m
			}
		}
	case *types.Signature:
		if t.TypeParams().Len() > 0 {
			return "a type parameter"
		}
		if m := missing(t.Params(), all); m != "" {
			return m
		}
		return missing(t.Results(), all)
	case *types.Interface:
		for m := range t.ExplicitMethods() {
			if !m.Exported() {
				return "a method that it does not export"
			}
			if what := missing(m.Type(), all); what != "" {
				return what
			}
		}
		if t.NumEmbeddeds() > 0 {
			return "an embedded interface"
		}
	default:
		return t.String() // channels, type parameters, structs without a name
	}
	return ""
}
