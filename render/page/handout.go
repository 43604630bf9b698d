package page

import (
	"html/template"
	"maps"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/plot"
)

// Edition says for whom a handout is printed.
type Edition int

const (
	Visitors   Edition = iota // the visitors' story with its figures
	Guide                     // also talking points and the answers to questions
	LargePrint                // what visitors get, in type of 18 pt
)

// Handout is a docent's sheet about a lesson.
type Handout struct {
	Cautions []template.HTML
	Story    []Scene
	Points   []template.HTML // talking points; of the guide's edition only
	Answers  []Answer        // to the course's questions; of the guide's edition only
	Features []Feature
	Sources  []int // numbers, from 1, of those of the lesson's sources that the sheet cites
}

// Scene is a part of a handout's story: one panel of the kiosk. Figures holds
// what it places, Text all else; either may be empty.
type Scene struct {
	Text    template.HTML
	Figures template.HTML
}

// figures says how a sheet's figures are drawn: as wide as they are printed,
// in pt, so that their words are about as large as those around them. Beside
// the text there are about 250 pt, and about 500 pt between the margins.
func (e Edition) figures() plot.Settings {
	if e == LargePrint {
		return plot.Settings{Width: 500, Text: 18}
	}
	// Figures in a column of a sheet are kept low, so that words and figures
	// of two or three scenes find room on a page; their text stays as it is.
	return plot.Settings{Width: 360, Text: 14, Tallest: 245}
}

// NewHandout prints the visitors' story with its figures, each once. In the
// guide's edition it begins a level lower, to stand under a heading of its
// own. A lesson without visitor panels tells its beginning, up to its second
// heading.
func NewHandout(in Input, edition Edition) (Handout, []diag.Message) {
	p := newPrinter(in, Links{})
	if edition == Guide {
		p.lowest = 3
	}
	p.plot = edition.figures()
	p.cites = true
	h := Handout{Cautions: p.cautions()}
	seen := map[string]bool{}
	for _, blocks := range in.Lesson.Story() {
		var text, figures []*lesson.Node
		for _, n := range blocks {
			if n.Kind != lesson.Embed {
				text = append(text, n)
				continue
			}
			if what := n.EmbedKind + ":" + n.Name; !seen[what] {
				seen[what] = true
				figures = append(figures, n)
			}
		}
		h.Story = append(h.Story, Scene{Text: p.print(text...), Figures: p.print(figures...)})
	}
	if edition == Guide {
		for _, n := range all(in.Lesson.Body, lesson.TalkingPoint) {
			h.Points = append(h.Points, p.print(n.Children...))
		}
		h.Answers = p.answers()
	}
	h.Sources = slices.Sorted(maps.Keys(p.sources))
	h.Features = p.features
	return h, p.finish()
}
