package page

import (
	"html/template"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/plot"
)

// Edition says for whom a handout is printed.
type Edition int

const (
	Visitors   Edition = iota // the visitors' story with its figures
	Guide                     // the story's words, and all that a guide needs at the stop
	LargePrint                // what visitors get, in type of 18 pt
)

// Handout is a docent's sheet about a lesson.
type Handout struct {
	Cautions []template.HTML
	Story    []Scene
	More     []template.HTML            // headings, inline, of panels that are on the screen alone
	Points   map[string][]template.HTML // talking points by their purpose, "" for what to say; of the guide's edition only
	Answers  []Answer                   // to the course's questions; of the guide's edition only
	Features []Feature
}

// Scene is a part of a handout's story: one panel of the kiosk. Figures holds
// what it places, Text all else; either may be empty.
type Scene struct {
	Text    template.HTML
	Figures template.HTML
}

// figures says how a sheet's figures are drawn: as wide as they are printed,
// in pt, so that their words are about as large as those around them. In a
// column of A4, the narrower paper, there are 252 pt.
func (e Edition) figures() plot.Settings {
	if e == LargePrint {
		return plot.Settings{Width: 448, Text: 18, Tallest: 230}
	}
	// Figures in a column of a sheet are kept low, so that words and figures
	// of several scenes find room on a page; their text stays as it is.
	return plot.Settings{Width: 360, Text: 18, Tallest: 165}
}

// NewHandout prints the visitors' story, with its figures, each once, but for
// those that stand in a block for the screen. In the guide's edition it has
// words alone and begins a level lower, to stand under a heading of its own:
// visitors hold the figures in their hands. A lesson without visitor panels
// tells its beginning, up to its second heading. A sheet cites nothing; it says
// where the sources stand.
func NewHandout(in Input, edition Edition) (Handout, []diag.Message) {
	p := newPrinter(in, Links{})
	if edition == Guide {
		p.lowest = 3
	}
	p.plot = edition.figures()
	h := Handout{Cautions: p.cautions()}
	seen := map[string]bool{}
	for _, blocks := range in.Lesson.Story() {
		var text, figures []*lesson.Node
		for _, n := range lesson.OnPaper(blocks) {
			if n.Kind != lesson.Embed {
				text = append(text, n)
				continue
			}
			if what := n.EmbedKind + ":" + n.Name; !seen[what] {
				seen[what] = true
				figures = append(figures, n)
			}
		}
		scene := Scene{Text: p.print(text...)}
		if edition != Guide {
			scene.Figures = p.print(figures...)
		}
		h.Story = append(h.Story, scene)
	}
	for _, n := range in.Lesson.OnScreenAlone() {
		h.More = append(h.More, p.print(n.Children...))
	}
	if edition == Guide {
		h.Points = map[string][]template.HTML{}
		for _, n := range all(in.Lesson.Body, lesson.TalkingPoint) {
			h.Points[n.Purpose] = append(h.Points[n.Purpose], p.print(n.Children...))
		}
		h.Answers = p.answers()
	}
	h.Features = p.features
	return h, p.finish()
}

// ForTeachers prints a lesson's blocks for teachers, by what they are.
func ForTeachers(in Input) (map[string][]template.HTML, []diag.Message) {
	p := newPrinter(in, Links{})
	p.lowest = 3
	out := map[string][]template.HTML{}
	for _, n := range all(in.Lesson.Body, lesson.TeacherBlock) {
		if !slices.Contains(lesson.TeacherPurposes(), n.Purpose) {
			continue // has been reported
		}
		out[n.Purpose] = append(out[n.Purpose], p.print(n.Children...))
	}
	return out, p.finish()
}

// screenBlock prints what is for the screen alone, on paper in a box that says
// so.
func (p *printer) screenBlock(n *lesson.Node) {
	p.line()
	p.putf("<div class=\"at-screen\" role=\"note\">\n<p class=\"where\"><strong>%s</strong></p>\n", escape(p.ui.Text("handout.at-screen")))
	p.nodes(n.Children, false)
	p.line()
	p.put("</div>\n")
}
