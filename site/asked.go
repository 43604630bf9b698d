package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/cell/symbols"
	"slipring/render/page"
)

const askedPath = "course/engine/cells.html"

// nameHere gives the link, within the page about the engine, to what is said
// about a name of it: a function, a type, or a field of one.
func nameHere(name string) string {
	for _, full := range []string{name, asInCells(name)} {
		if _, ok := owner(full); ok {
			return "#" + full
		}
	}
	return ""
}

// asInCells gives the full name of what cells call by the name of the shelf or
// of the sheet that they are handed: bench.Open is bench.Shelf.Open.
func asInCells(name string) string {
	for short, full := range map[string]string{"bench.": "bench.Shelf.", "tell.": "tell.Sheet."} {
		if rest, ok := strings.CutPrefix(name, short); ok {
			return full + rest
		}
	}
	return name
}

// owner gives the entry of a name: its own, or that of the type whose field it
// is.
func owner(name string) (symbols.Symbol, bool) {
	if e, ok := symbols.Doc(name); ok {
		return e, true
	}
	i := strings.LastIndexByte(name, '.')
	if i < 0 {
		return symbols.Symbol{}, false
	}
	e, ok := symbols.Doc(name[:i])
	return e, ok && slices.ContainsFunc(e.Fields, func(f symbols.Field) bool { return f.Name == name[i+1:] })
}

type askedPage struct {
	Packages []askedPackage
}

type askedPackage struct {
	Name  string
	About template.HTML
	Used  []askedSymbol // by a lesson, or named by what is said about those
	Rest  []askedSymbol
}

type askedSymbol struct {
	symbols.Symbol
	Signature template.HTML
	Comment   template.HTML
	Parts     []askedPart
	Lessons   template.HTML // that name it
}

// askedPart is a field of a struct.
type askedPart struct {
	ID, Name string
	Type     template.HTML
	Comment  template.HTML
}

// asked makes the page that says what cells can ask the engine, if any cell asks
// anything. It is for whoever writes lessons.
func (b *builder) asked() (shell, bool) {
	here := shell{path: b.path(askedPath), edition: b.edition}
	lessons := map[string][]template.HTML{}
	var open []string
	for _, e := range b.lessons {
		for _, c := range e.Calls {
			o, ok := owner(c.Name)
			if !ok {
				continue
			}
			open = append(open, o.Name)
			if link := here.lessonLink(e); !slices.Contains(lessons[o.Name], link) {
				lessons[o.Name] = append(lessons[o.Name], link)
			}
		}
	}
	if len(open) == 0 {
		return shell{}, false
	}
	used := reached(open)
	var p askedPage
	for _, e := range symbols.Docs() {
		pkg, _, _ := strings.Cut(e.Name, ".")
		if e.Kind == "package" {
			p.Packages = append(p.Packages, askedPackage{Name: e.Name, About: page.Comment(e.Doc, 3, nameHere)})
			continue
		}
		symbol := askedSymbol{
			Symbol:    e,
			Signature: page.Signature(e.Signature, pkg, e.Name, nameHere),
			Comment:   page.Comment(e.Doc, 4, nameHere),
		}
		if links := lessons[e.Name]; len(links) > 0 {
			symbol.Lessons = b.words.HTML("asked.used", "lessons", join(links))
		}
		for _, f := range e.Fields {
			symbol.Parts = append(symbol.Parts, askedPart{
				e.Name + "." + f.Name, f.Name, page.Signature(f.Type, pkg, "", nameHere), page.Comment(f.Doc, 4, nameHere)})
		}
		last := &p.Packages[len(p.Packages)-1]
		if used[e.Name] {
			last.Used = append(last.Used, symbol)
		} else {
			last.Rest = append(last.Rest, symbol)
		}
	}
	return shell{Title: b.title(b.words.Text("asked.title")), From: b.from(b.lessons...), Page: p}, true
}

func join(links []template.HTML) template.HTML {
	var b strings.Builder
	for i, l := range links {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(string(l))
	}
	return template.HTML(b.String())
}

// reached gives the names from which a reader is led on: those given, the types
// that they belong to, take and give, and all that their comments name.
func reached(open []string) map[string]bool {
	used := map[string]bool{}
	for len(open) > 0 {
		name := open[len(open)-1]
		open = open[:len(open)-1]
		e, ok := owner(strings.TrimPrefix(nameHere(name), "#"))
		if !ok || used[e.Name] {
			continue
		}
		used[e.Name] = true
		pkg, rest, _ := strings.Cut(e.Name, ".")
		if kind, _, member := strings.Cut(rest, "."); member {
			open = append(open, pkg+"."+kind)
		}
		if e.Kind == "method" || e.Kind == "func" {
			open = append(open, page.TypeNames(e.Signature, pkg, nameHere)...)
		}
		open = append(open, page.Names(e.Doc, nameHere)...)
	}
	return used
}
