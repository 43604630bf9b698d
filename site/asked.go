package site

import (
	"go/doc"
	"html/template"
	"maps"
	"slices"
	"strings"

	"slipring/engine/cell/symbols"
	"slipring/render/page"
)

// The pages about what cells can ask: all names, and what is said about those of
// each package, which is too long together for a telephone.
const askedPath = "course/engine/cells.html"

func askedIn(pkg string) string { return "course/engine/cells-" + pkg + ".html" }

// askedPackages lists the packages that cells can ask.
func askedPackages() (names []string) {
	for _, e := range symbols.Docs() {
		if e.Kind == "package" {
			names = append(names, e.Name)
		}
	}
	return names
}

// fullName gives the name by which something is said about a name that cells
// use: a package, a function, a type, or a field of one. It is "" where nothing is.
func fullName(name string) string {
	for _, full := range []string{name, asInCells(name)} {
		if _, ok := owner(full); ok {
			return full
		}
	}
	return ""
}

// askedHref gives the link from a page to what is said about a name.
func (b *builder) askedHref(here, name string) string {
	full := fullName(name)
	if full == "" {
		return ""
	}
	pkg, _, _ := strings.Cut(full, ".")
	to := b.path(askedIn(pkg))
	if to == here {
		return "#" + full
	}
	return relative(here, to) + "#" + full
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
	Href  string // of its page
	About template.HTML
	Used  []askedSymbol // by a lesson, or named by what is said about those
	Rest  []askedSymbol
}

type askedSymbol struct {
	symbols.Symbol
	Short     string // its name within its package or type
	Href      string
	Signature template.HTML
	Comment   template.HTML
	Parts     []askedPart
	Lessons   template.HTML // that name it
	Members   []askedSymbol // its methods, in the list of all names
}

// askedPart is a field of a struct.
type askedPart struct {
	ID, Name string
	Type     template.HTML
	Comment  template.HTML
}

// askedBy gives the names that cells ask by, each with links from a page to the
// lessons of these cells.
func (b *builder) askedBy(here string) map[string][]template.HTML {
	from := shell{path: here, edition: b.edition}
	lessons := map[string][]template.HTML{}
	for _, e := range b.lessons {
		for _, c := range e.Calls {
			o, ok := owner(c.Name)
			if !ok {
				continue
			}
			if link := from.lessonLink(e); !slices.Contains(lessons[o.Name], link) {
				lessons[o.Name] = append(lessons[o.Name], link)
			}
		}
	}
	return lessons
}

// asked makes the page that lists all that cells can ask the engine, if any cell
// asks anything. It is for whoever writes lessons.
func (b *builder) asked() (shell, bool) {
	here := b.path(askedPath)
	lessons := b.askedBy(here)
	if len(lessons) == 0 {
		return shell{}, false
	}
	used := reached(slices.Collect(maps.Keys(lessons)))
	link := func(name string) string { return b.askedHref(here, name) }
	var p askedPage
	for _, e := range symbols.Docs() {
		if e.Kind == "package" {
			p.Packages = append(p.Packages, askedPackage{Name: e.Name, Href: relative(here, b.path(askedIn(e.Name))),
				About: page.Comment(new(doc.Package).Synopsis(e.Doc), 3, link)})
			continue
		}
		last := &p.Packages[len(p.Packages)-1]
		one := askedSymbol{Symbol: e, Short: strings.TrimPrefix(e.Name, last.Name+"."), Href: link(e.Name)}
		list := last.list(used[e.Name])
		if n := len(*list); e.Kind == "method" && n > 0 && strings.HasPrefix(e.Name, (*list)[n-1].Name+".") {
			of := &(*list)[n-1]
			one.Short = strings.TrimPrefix(one.Short, of.Short+".")
			of.Members = append(of.Members, one)
			continue
		}
		*list = append(*list, one)
	}
	return shell{Title: b.title(b.words.Text("asked.title")), From: b.from(b.lessons...), Page: p}, true
}

// askedOf makes the page that says what cells can ask of a package.
func (b *builder) askedOf(pkg string) (shell, bool) {
	here := b.path(askedIn(pkg))
	lessons := b.askedBy(here)
	if len(lessons) == 0 {
		return shell{}, false
	}
	used := reached(slices.Collect(maps.Keys(lessons)))
	link := func(name string) string { return b.askedHref(here, name) }
	var p askedPackage
	for _, e := range symbols.Docs() {
		if e.Name == pkg {
			p.Name, p.About = e.Name, page.Comment(e.Doc, 2, link)
		}
		if !strings.HasPrefix(e.Name, pkg+".") {
			continue
		}
		symbol := askedSymbol{
			Symbol:    e,
			Signature: page.Signature(e.Signature, pkg, e.Name, link),
			Comment:   page.Comment(e.Doc, 3, link),
		}
		if links := lessons[e.Name]; len(links) > 0 {
			symbol.Lessons = b.words.HTML("asked.used", "lessons", join(links))
		}
		for _, f := range e.Fields {
			symbol.Parts = append(symbol.Parts, askedPart{
				e.Name + "." + f.Name, f.Name, page.Signature(f.Type, pkg, "", link), page.Comment(f.Doc, 3, link)})
		}
		list := p.list(used[e.Name])
		*list = append(*list, symbol)
	}
	return shell{Title: b.title(pkg, b.words.Text("asked.title")), About: b.words.Text("asked.of", "package", pkg), From: b.from(b.lessons...), Page: p}, true
}

// list gives that of the names that lessons use, or that of the rest.
func (p *askedPackage) list(used bool) *[]askedSymbol {
	if used {
		return &p.Used
	}
	return &p.Rest
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
		e, ok := owner(fullName(name))
		if !ok || used[e.Name] {
			continue
		}
		used[e.Name] = true
		pkg, rest, _ := strings.Cut(e.Name, ".")
		if kind, _, member := strings.Cut(rest, "."); member {
			open = append(open, pkg+"."+kind)
		}
		if e.Kind == "method" || e.Kind == "func" {
			open = append(open, page.TypeNames(e.Signature, pkg, fullName)...)
		}
		open = append(open, page.Names(e.Doc, fullName)...)
	}
	return used
}
