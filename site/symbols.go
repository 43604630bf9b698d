package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/render/schematic"
	ui "slipring/render/words"
)

const (
	// symbolsPath holds a dot, which is in no lesson's name.
	symbolsPath  = "handout/symbols.chart.html"
	symbolsSheet = "symbols" // its edition, for those who print
)

// symbolsChart is the chart of all symbols, then and now.
type symbolsChart struct {
	Names  []symbolsName // heads of the columns of names: the page's language first
	Rows   []symbolsRow
	Print  string // which were read in print
	Styles [2]string
}

type symbolsName struct{ Language, Text string }

type symbolsRow struct {
	Then, Now template.HTML
	Names     []symbolsName
	Watch     string
}

// symbols makes the chart, where a lesson draws a circuit.
func (b *builder) symbols() (shell, bool) {
	if !slices.ContainsFunc(b.lessons, draws) {
		return shell{}, false
	}
	named := []*ui.Words{b.words}
	for _, e := range b.editions {
		if e != b.edition {
			named = append(named, e.words)
		}
	}
	c := symbolsChart{Styles: [2]string{b.words.Text("schematic.then"), b.words.Text("schematic.now")}}
	for _, w := range named {
		c.Names = append(c.Names, symbolsName{w.Language(), w.Text("symbols.name")})
	}
	var read []string
	for _, k := range tell.SymbolKinds() {
		key := schematic.Key(k.Name)
		row := symbolsRow{
			// Drawn by ourselves, without a word of an author.
			Then:  template.HTML(schematic.One(k.Name, schematic.Then)),
			Now:   template.HTML(schematic.One(k.Name, schematic.Now)),
			Watch: b.words.Text("symbol-watch." + key),
		}
		for _, w := range named {
			row.Names = append(row.Names, symbolsName{w.Language(), w.Text("symbol." + key)})
		}
		c.Rows = append(c.Rows, row)
		if in := schematic.ReadInPrint(k.Name); in != "" {
			read = append(read, b.words.Text("symbol."+key)+" ("+in+")")
		}
	}
	c.Print = b.words.Text("symbols.print", "kinds", strings.Join(read, ", "))
	return shell{Title: b.title(b.words.Text("symbols.title")), From: b.from(), Page: c}, true
}

// draws says whether a lesson draws a circuit.
func draws(e *lessonPages) bool { return !e.Lesson.Facts.Beside && len(e.Result.Schematics) > 0 }

// Symbols leads to the chart of symbols, "" where there is none.
func (s shell) Symbols() string {
	if !slices.ContainsFunc(s.edition.lessons, draws) {
		return ""
	}
	return s.To(symbolsPath)
}
