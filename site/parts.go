package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/equation"
	"slipring/engine/machine"
	"slipring/engine/story"
	"slipring/render/page"
	"slipring/render/scene"
)

// The pages about the machine: all parts, and each part.
const (
	partsPath = "course/engine/index.html"
	partsDir  = "course/engine/"
)

func partPath(name string) string { return partsDir + name + ".html" }

// partPage is what a part is, what governs it, and where it is used.
type partPage struct {
	partLine
	Equations   []partEquation
	Assumptions []string
	Tables      []partTable
	Beside      []beside
	Sources     []template.HTML
	Used        []usedIn
}

// partLine is a part in the list of all.
type partLine struct {
	Name, What string
	Href       string
	Picture    template.HTML // "" without one
}

type partEquation struct {
	Key  string
	HTML template.HTML
}

// partTable holds the constants that a card gives of the part.
type partTable struct {
	Card      string
	Href      string // in the logbook
	Constants []entered
}

// beside says what a constant is for that stands in no equation.
type beside struct{ Doc, Words string }

// usedIn is a lesson with its numbers that lean on the part.
type usedIn struct {
	Lesson  template.HTML
	Numbers []usedNumber
}

type usedNumber struct{ Href, Printed string }

// mostUsed is how many numbers of a lesson a part's page shows.
const mostUsed = 6

// explained gives the parts that the cards of the lessons have, and the theory
// that is about no part. It is empty where no lesson tells a number.
func (b *builder) explained() (parts []equation.Part) {
	if !slices.ContainsFunc(b.lessons, func(e *lessonPages) bool { return len(e.Calls) > 0 }) {
		return nil
	}
	for _, p := range story.Parts() {
		_, ofMachine := machine.Describe(p.Name)
		if !ofMachine || slices.ContainsFunc(b.Cards, func(c machine.Card) bool { return c.Has(p.Name) }) {
			parts = append(parts, p)
		}
	}
	return parts
}

// hasPart says whether there is a page about the part of an equation.
func (b *builder) hasPart(key string) bool {
	part, _, _ := strings.Cut(key, ".")
	return slices.ContainsFunc(b.explained(), func(p equation.Part) bool { return p.Name == part })
}

// partHref gives the link from a page to an equation on its part's page.
func (b *builder) partHref(here, key string) string {
	part, _, _ := strings.Cut(key, ".")
	if !b.hasPart(key) {
		return ""
	}
	return relative(here, b.path(partPath(part))) + "#" + key
}

// sourceHref gives the link to the source of an equation, when lessons cite it.
func (b *builder) sourceHref(here, source string) string {
	for _, e := range b.lessons {
		for _, one := range e.Report.Sources {
			if one.Kind != card.CommonPractice && strings.Contains(source, one.Title) {
				return relative(here, b.path(sourcesPath)) + "#" + one.Label
			}
		}
	}
	return ""
}

// explainer prints equations on a page.
func (b *builder) explainer(here string) page.Explainer {
	return page.Explainer{Words: b.words, Cards: b.Cards, Links: page.Links{
		Card: func(card string, c machine.Constant) string {
			return relative(here, b.path(logbookPath)) + "#" + constantID(card, c)
		},
		Part:   func(key string) string { return b.partHref(here, key) },
		Source: func(source string) string { return b.sourceHref(here, source) },
	}}
}

type partsPage struct {
	Whole template.HTML
	Parts []partLine
}

// sights gives, for each part, what draws it in the house's drawing.
func sights(s card.Scene, parts []equation.Part) map[string]card.ScenePart {
	out := map[string]card.ScenePart{}
	draws := map[string][]string{"lamp": {"rheostat", "full-load"}, "rings": {"output"}, "wheel": {"low-tone", "high-tone"}, "meter": {"signal"}, "pole": {"wire"}, "wire": {}}
	for _, one := range s.Parts {
		if one.Gone {
			continue
		}
		names, others := draws[one.Draws]
		if !others {
			names = []string{one.Draws}
		}
		for _, name := range names {
			if _, had := out[name]; !had && slices.ContainsFunc(parts, func(p equation.Part) bool { return p.Name == name }) {
				out[name] = one
				if one.Draws == "wheel" {
					break
				}
			}
		}
	}
	return out
}

// parts makes the page that lists the parts of the machine.
func (b *builder) parts() (shell, bool) {
	all := b.explained()
	if len(all) == 0 {
		return shell{}, false
	}
	here := b.path(partsPath)
	p := partsPage{}
	s, drawn := b.saidScene()
	seen := sights(s, all)
	for _, one := range all {
		line := partLine{Name: b.words.Part(one.Name), What: b.words.Constant(one.What), Href: relative(here, b.path(partPath(one.Name)))}
		if at, ok := seen[one.Name]; ok && drawn {
			line.Picture = template.HTML(scene.Crop(s, "whole", scene.Near(s, at, 1)))
		}
		p.Parts = append(p.Parts, line)
	}
	p.Whole = b.drawScene(scene.Settings{ID: "whole", Link: func(at card.ScenePart) string {
		for _, one := range all {
			if seen[one.Name].Label == at.Label && at.Label != "" {
				return relative(here, b.path(partPath(one.Name)))
			}
		}
		return ""
	}})
	return shell{Title: b.title(b.words.Text("engine.title")), From: b.from(b.lessons...), Page: p}, true
}

// part makes the page about one part.
func (b *builder) part(name string) (shell, bool) {
	all := b.explained()
	i := slices.IndexFunc(all, func(p equation.Part) bool { return p.Name == name })
	if i < 0 {
		return shell{}, false
	}
	one, here := all[i], b.path(partPath(name))
	explains := b.explainer(here)
	p := partPage{partLine: partLine{Name: b.words.Part(name), What: b.words.Constant(one.What)}}
	var sources []string
	for _, e := range one.Equations {
		p.Equations = append(p.Equations, partEquation{e.Key, explains.Equation(e)})
		if !slices.Contains(sources, e.Source) {
			sources = append(sources, e.Source)
			p.Sources = append(p.Sources, explains.Source(e.Source))
		}
	}
	for _, words := range one.Assumptions {
		p.Assumptions = append(p.Assumptions, b.words.Constant(words))
	}
	list, _ := machine.Describe(name)
	for _, d := range list {
		if words := one.Beside[d.Key]; words != "" {
			p.Beside = append(p.Beside, beside{b.words.Constant(d.Doc), b.words.Constant(words)})
		}
	}
	said := shell{edition: b.edition, main: b.editions[0].words, path: here}
	for _, c := range b.Cards {
		t := partTable{Card: c.Name, Href: relative(here, b.path(logbookPath)) + "#" + partID(c.Name, name)}
		sheet := b.sheet(c)
		for _, given := range c.Constants() {
			if given.Part == name {
				amount, doubt := b.amount(given.Value, given.Uncertainty, given.Origin, given.Unit)
				t.Constants = append(t.Constants, entered{Constant: given, number: amount, Doubt: doubt,
					Note: said.said(sheet.NoteIn(b.words.Language(), given)), Table: b.rows(given),
					ID: relative(here, b.path(logbookPath)) + "#" + constantID(c.Name, given)})
			}
		}
		if len(t.Constants) > 0 {
			p.Tables = append(p.Tables, t)
		}
	}
	p.Used = b.usedIn(said, name)
	if s, ok := b.saidScene(); ok {
		if at, ok := sights(s, all)[name]; ok {
			p.Picture = template.HTML(scene.Draw(s, scene.Settings{ID: "part", View: scene.Near(s, at, 4/3.)}))
		}
	}
	return shell{Title: b.title(p.Name, b.words.Text("engine.window")), About: p.What, From: b.from(b.lessons...), Page: p}, true
}

// usedIn finds the numbers of lessons that lean on a part.
func (b *builder) usedIn(here shell, name string) (out []usedIn) {
	for _, e := range b.lessons {
		one := usedIn{Lesson: here.lessonLink(e)}
		for _, s := range e.course.Stories {
			leans := slices.ContainsFunc(s.Equations, func(key string) bool { return strings.HasPrefix(key, name+".") })
			if leans && s.Printed != "" && len(one.Numbers) < mostUsed {
				one.Numbers = append(one.Numbers, usedNumber{here.Link(e.Path("course")) + "#" + page.StoryID(s.Label), s.Printed})
			}
		}
		if len(one.Numbers) > 0 {
			out = append(out, one)
		}
	}
	return out
}

// HasParts says whether there are pages about the parts of the machine.
func (s shell) HasParts() bool {
	return slices.ContainsFunc(s.edition.lessons, func(e *lessonPages) bool { return len(e.Calls) > 0 })
}
