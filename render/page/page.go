// Package page turns a lesson and its results into HTML for each of its
// readers.
//
//	course, messages := page.NewCourse(page.Input{Checked: checked, Cards: cards}, page.Links{})
//
// NewCourse makes the volunteers' text, NewKiosk the visitors' panels,
// NewHandout a docent's sheet, and HTML prints plain Markdown. What comes out
// are pieces of pages; package site puts them into whole ones. Classes say
// what a piece is, never how it looks.
//
// The package runs and checks nothing: it prints a quote as package proof
// found that it reads.
package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/render/plot"
	ui "slipring/render/words"
)

// Input is one lesson with everything that its pages show.
type Input struct {
	proof.Checked
	Cards   []machine.Card // of the lessons folder; the result says which were opened
	Hazards card.Hazards   // of the house

	// Words are those around the lesson's own, in its language; nil stands for
	// the package's texts in that language.
	Words *ui.Words

	Scene card.Scene // of the house, for motions of all of it

	Drawings *plot.Drawings // keeps the drawings of figures; nil keeps none
}

// Links says where a page finds what lies outside it, each as a link relative
// to the page. A nil function, or one that gives "", stands for no link.
type Links struct {
	Lesson func(*lesson.Lesson) string
	Card   func(card string, c machine.Constant) string // a constant in the logbook
	File   func(kind, name string) string               // numbers of a "figure" or "table"
	Code   func(name string) string                     // what is said about a name of the engine
	Term   func(label string) string                    // a term in the glossary
	Sound  func(name string, frame int) string          // the file of a sound, of a frame where it has several
	Part   func(equation string) string                 // an equation on the page of its part
	Source func(source string) string                   // the source of an equation in the list of all

	Fact    func(name string) string                           // what an entry of the logbook binds a number to
	Picture func(name string) (href string, width, height int) // a file beside an entry; its size in pixels

	Note func(card string, c machine.Constant) template.HTML // what a card notes of a constant
}

// words gives the words around the lesson's own.
func (in Input) words() *ui.Words {
	if in.Words != nil {
		return in.Words
	}
	return ui.Of(in.Lesson.Tongue())
}

// Opened gives the cards that the lesson's cells opened, in the order in which
// they did.
func (in Input) Opened() []machine.Card {
	var out []machine.Card
	for _, name := range in.Result.Cards {
		if i := slices.IndexFunc(in.Cards, func(c machine.Card) bool { return c.Name == name }); i >= 0 {
			out = append(out, in.Cards[i])
		}
	}
	return out
}

// Constant finds the constant of an opened card that a label such as
// card.battery.voltage means.
func (in Input) Constant(label string) (card string, c machine.Constant, ok bool) {
	name, ok := strings.CutPrefix(label, "card.")
	if !ok {
		return "", c, false
	}
	for _, opened := range in.Opened() {
		for _, c := range opened.Constants() {
			if c.Name() == name {
				return opened.Name, c, true
			}
		}
	}
	return "", c, false
}

// printer prints one lesson for one kind of reader.
type printer struct {
	writer
	in      Input
	links   Links
	lowest  int           // level that the uppermost headings get
	outside bool          // links that leave the page are links, not just words
	cells   bool          // cells are shown
	shown   []proof.Shown // what the lesson may place
	plot    plot.Settings // of figures; id and title are set for each
	tallest [3]float64    // px, of figures with no, one and two knobs; no limit when 0

	turning *turning // what knobs change; nil on paper

	autoplay bool         // motions begin by themselves
	status   bool         // figures say in words whether they are computed, and of what
	cites    bool         // there is a list of sources to link to
	sources  map[int]bool // the numbers of those that were cited

	ui       *ui.Words
	asked    int  // questions
	acts     int  // steps of commissioning
	boxes    bool // with room to write on
	features []Feature

	marking *marking // nil where no progress is kept
	stories *stories // nil where quotes open nothing

	ids      map[string]int
	anchors  map[string]bool // identifiers of headings, once a link asks for one
	headings []Heading
	messages []diag.Message
}

// Feature is something on a page that a browser needs more for than the text:
// a style sheet, or a script.
type Feature string

// The features of what a lesson holds.
const (
	Questions Feature = "questions"
	Guesses   Feature = "guesses"
	Knobs     Feature = "knobs"
	WholeSet  Feature = "scene" // the drawing of the whole demonstration
	Motions   Feature = "motions"
	Boards    Feature = "boards"
	Sounds    Feature = "sounds"
	Finders   Feature = "finders"
	Symbols   Feature = "symbols" // circuits drawn with symbols
	Strips    Feature = "strips"  // a board's wires as old drawings have them
	Stories   Feature = "stories" // of where numbers come from
)

// has notes that the page has a feature.
func (p *printer) has(f Feature) {
	if !slices.Contains(p.features, f) {
		p.features = append(p.features, f)
	}
}

// Heading is one heading of a page.
type Heading struct {
	Level int
	ID    string
	Text  template.HTML // inline
}

func newPrinter(in Input, l Links) *printer {
	p := &printer{in: in, links: l, lowest: 2, shown: proof.ShownBy(in.Lesson, in.Result), ui: in.words(), ids: map[string]int{}, sources: map[int]bool{}}
	p.special = p.role
	return p
}

// piece gives what was printed since the last call.
func (p *printer) piece() template.HTML {
	html := template.HTML(p.out.String())
	p.out.Reset()
	p.last = 0
	return html
}

func (p *printer) print(list ...*lesson.Node) template.HTML {
	p.nodes(list, false)
	return p.piece()
}

// id makes an identifier that no heading has, since those hold no dot, and
// that is different each time.
func (p *printer) id(words string) string {
	p.ids[words]++
	return p.latest(words)
}

// latest gives the identifier that id last made of some words, and next the one
// that it will make.
func (p *printer) latest(words string) string { return numbered(words, p.ids[words]) }
func (p *printer) next(words string) string   { return numbered(words, p.ids[words]+1) }

func numbered(words string, n int) string {
	if n > 1 {
		return fmt.Sprintf("%s.%d", words, n)
	}
	return words
}

func (p *printer) fail(n *lesson.Node, rule, text, hint string) {
	p.messages = append(p.messages, p.in.Lesson.Message(n.Offset, diag.Error, rule, text, hint))
}

// role prints the nodes that mean more than their Markdown.
func (p *printer) role(n *lesson.Node) bool {
	switch n.Kind {
	case lesson.Heading:
		p.heading(n)
	case lesson.Link:
		p.link(n)
	case lesson.Bound, lesson.Insert:
		p.bound(n)
	case lesson.Formula:
		p.formula(n)
	case lesson.QuestionBlock:
		p.question(n)
	case lesson.GuessBlock:
		p.guess(n)
	case lesson.Embed:
		p.embed(n)
	case lesson.Caution:
		p.caution(n)
	case lesson.CellBlock:
		if p.cells {
			p.cell(n)
		}
	case lesson.ScreenBlock:
		p.screenBlock(n)
	case lesson.MachineSteps:
		p.steps(n)
	case lesson.MachineLimit:
		p.limit(n)
	case lesson.StepBlock:
		p.act(n)
	case lesson.VisitorPanel, lesson.TalkingPoint, lesson.TalkBlock, lesson.TeacherBlock:
		// each is asked for where it belongs
	case lesson.Image:
		p.fail(n, "image-file", fmt.Sprintf("a picture from %q cannot be shown", n.Destination),
			"only what a cell told can be placed, with ![what it shows](figure:name)")
	case lesson.CodeBlock:
		p.line()
		p.putf("<pre class=\"plain\"><code>%s</code></pre>\n", escape(n.Text))
	default:
		return false
	}
	return true
}

func (p *printer) heading(n *lesson.Node) {
	level := min(max(n.Level, p.lowest), 6)
	p.line()
	p.putf("<h%d id=\"%s\">", level, escape(n.ID))
	p.plainly(func() { p.nodes(n.Children, false) })
	p.putf("</h%d>\n", level)

	inner := &printer{in: p.in, links: Links{}, ui: p.ui, turning: p.turning, ids: map[string]int{}}
	inner.special = inner.role
	p.headings = append(p.headings, Heading{level, n.ID, inner.print(n.Children...)})
}

// cell prints the code of a cell, folded.
func (p *printer) cell(n *lesson.Node) {
	p.line()
	p.putf("<details class=\"cell\"><summary>%s</summary>\n<pre><code>%s\n</code></pre>\n</details>\n", escape(p.ui.Text("course.cell")), p.code(n))
}

// link prints a link. Where a page must not be left, its words are all that is
// printed.
func (p *printer) link(n *lesson.Node) {
	href, here := strings.CutPrefix(n.Destination, "#")
	switch {
	case here && !p.known(href):
		p.fail(n, "link-heading", fmt.Sprintf("the lesson has no heading %q", "#"+href),
			"link to one of its headings, in small letters with dashes: #like-this")
	case !here && !strings.Contains(n.Destination, ":"):
		p.fail(n, "link-destination", fmt.Sprintf("a link cannot lead to the file %q", n.Destination),
			"for another lesson, write [words][lesson.its-name]")
	}
	if !p.outside {
		p.nodes(n.Children, false)
		return
	}
	class := ""
	if !here {
		class = ` class="outside" rel="noreferrer"`
	}
	p.putf(`<a href="%s"%s%s>`, escape(n.Destination), class, title(n))
	p.plainly(func() { p.nodes(n.Children, false) })
	p.put("</a>")
}

// known says whether the lesson's course page has a heading of an identifier.
func (p *printer) known(id string) bool {
	if p.anchors == nil {
		p.anchors = map[string]bool{}
		p.in.Lesson.Body.Walk(func(n *lesson.Node) bool {
			if n.Kind == lesson.Heading {
				p.anchors[n.ID] = true
			}
			return !n.Elsewhere()
		})
	}
	return p.anchors[id]
}

// finish sorts what was found wrong; the same may be found for each reader.
func (p *printer) finish() []diag.Message { return diag.Sort(p.messages) }
