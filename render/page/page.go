// Package page turns a lesson and its results into HTML for each of its
// readers.
//
//	course, messages := page.NewCourse(page.Source{Lesson: l, Result: result, Report: report, Cards: cards}, page.Links{})
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
	"slipring/engine/tell"
	"slipring/render/plot"
	ui "slipring/render/words"
)

// Source is one lesson with everything that its pages show.
type Source struct {
	Lesson *lesson.Lesson
	Result tell.Result
	Report proof.Report
	Cards  []machine.Card // of the lessons folder; the result says which were opened
	Calls  []Call         // what its cells name of the engine, in their order

	Hazards card.Hazards // of the house

	// Words are those around the lesson's own, in its language; nil stands for
	// the package's texts in that language.
	Words *ui.Words

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
}

// words gives the words around the lesson's own.
func (s Source) words() *ui.Words {
	if s.Words != nil {
		return s.Words
	}
	language := s.Lesson.Language
	if language == "" {
		language = "en"
	}
	w, err := ui.In(language)
	if err != nil {
		panic(err) // package lesson lets no other language through
	}
	return w
}

// Opened gives the cards that the lesson's cells opened, in the order in which
// they did.
func (s Source) Opened() []machine.Card {
	var out []machine.Card
	for _, name := range s.Result.Cards {
		if i := slices.IndexFunc(s.Cards, func(c machine.Card) bool { return c.Name == name }); i >= 0 {
			out = append(out, s.Cards[i])
		}
	}
	return out
}

// Constant finds the constant of an opened card that a label such as
// card.battery.voltage means.
func (s Source) Constant(label string) (card string, c machine.Constant, ok bool) {
	name, ok := strings.CutPrefix(label, "card.")
	if !ok {
		return "", c, false
	}
	for _, opened := range s.Opened() {
		for _, c := range opened.Constants() {
			if c.Name() == name {
				return opened.Name, c, true
			}
		}
	}
	return "", c, false
}

// reader prints one lesson for one kind of reader.
type reader struct {
	writer
	source  Source
	links   Links
	lowest  int           // level that the uppermost headings get
	outside bool          // links that leave the page are links, not just words
	cells   bool          // cells are shown
	plot    plot.Settings // of figures; id and title are set for each
	tallest [3]float64    // px, of figures with no, one and two knobs; no limit when 0

	turning *turning // what knobs change; nil on paper
	turned  bool     // there is a knob to turn

	autoplay bool         // motions begin by themselves
	moving   bool         // there is a motion
	sounds   bool         // there is something to hear
	cites    bool         // there is a list of sources to link to
	sources  map[int]bool // the numbers of those that were cited

	ui    *ui.Words
	asked int // questions

	marking *marking // nil where no progress is kept

	ids      map[string]int
	headings []Heading
	messages []diag.Message
}

// Heading is one heading of a page.
type Heading struct {
	Level int
	ID    string
	Text  template.HTML // inline
}

func newReader(s Source, l Links) *reader {
	r := &reader{source: s, links: l, lowest: 2, ui: s.words(), ids: map[string]int{}, sources: map[int]bool{}}
	r.special = r.role
	return r
}

// piece gives what was printed since the last call.
func (r *reader) piece() template.HTML {
	html := template.HTML(r.out.String())
	r.out.Reset()
	r.last = 0
	return html
}

func (r *reader) print(list ...*lesson.Node) template.HTML {
	r.nodes(list, false)
	return r.piece()
}

// id makes an identifier that no heading has, since those hold no dot, and
// that is different each time.
func (r *reader) id(words string) string {
	r.ids[words]++
	return r.latest(words)
}

// latest gives the identifier that id last made of some words, and next the one
// that it will make.
func (r *reader) latest(words string) string { return numbered(words, r.ids[words]) }
func (r *reader) next(words string) string   { return numbered(words, r.ids[words]+1) }

func numbered(words string, n int) string {
	if n > 1 {
		return fmt.Sprintf("%s.%d", words, n)
	}
	return words
}

func (r *reader) fail(n *lesson.Node, rule, text, hint string) {
	r.messages = append(r.messages, r.source.Lesson.Message(n.Offset, diag.Error, rule, text, hint))
}

// role prints the nodes that mean more than their Markdown.
func (r *reader) role(n *lesson.Node) bool {
	switch n.Kind {
	case lesson.Heading:
		r.heading(n)
	case lesson.Link:
		r.link(n)
	case lesson.Bound, lesson.Insert:
		r.bound(n)
	case lesson.Formula:
		r.formula(n)
	case lesson.QuestionBlock:
		r.question(n)
	case lesson.Embed:
		r.embed(n)
	case lesson.Caution:
		r.caution(n)
	case lesson.CellBlock:
		if r.cells {
			r.cell(n)
		}
	case lesson.VisitorPanel, lesson.TalkingPoint:
		// each is asked for where it belongs
	case lesson.Image:
		r.fail(n, "image-file", fmt.Sprintf("a picture from %q cannot be shown", n.Destination),
			"only what a cell told can be placed, with ![what it shows](figure:name)")
	case lesson.CodeBlock:
		r.line()
		r.putf("<pre class=\"plain\"><code>%s</code></pre>\n", escape(n.Text))
	default:
		return false
	}
	return true
}

func (r *reader) heading(n *lesson.Node) {
	level := min(max(n.Level, r.lowest), 6)
	r.line()
	r.putf("<h%d id=\"%s\">", level, escape(n.ID))
	r.nodes(n.Children, false)
	r.putf("</h%d>\n", level)

	inner := &reader{source: r.source, links: Links{}, ui: r.ui, turning: r.turning, ids: map[string]int{}}
	inner.special = inner.role
	r.headings = append(r.headings, Heading{level, n.ID, inner.print(n.Children...)})
}

// cell prints the code of a cell, folded.
func (r *reader) cell(n *lesson.Node) {
	r.line()
	r.putf("<details class=\"cell\"><summary>%s</summary>\n<pre><code>%s\n</code></pre>\n</details>\n", escape(r.ui.Text("course.cell")), r.code(n))
}

// link prints a link. Where a page must not be left, its words are all that is
// printed.
func (r *reader) link(n *lesson.Node) {
	href, here := strings.CutPrefix(n.Destination, "#")
	switch {
	case here && !r.known(href):
		r.fail(n, "link-heading", fmt.Sprintf("the lesson has no heading %q", "#"+href),
			"link to one of its headings, in small letters with dashes: #like-this")
	case !here && !strings.Contains(n.Destination, ":"):
		r.fail(n, "link-destination", fmt.Sprintf("a link cannot lead to the file %q", n.Destination),
			"for another lesson, write [words][lesson.its-name]")
	}
	if !r.outside {
		r.nodes(n.Children, false)
		return
	}
	class := ""
	if !here {
		class = ` class="outside" rel="noreferrer"`
	}
	r.putf(`<a href="%s"%s%s>`, escape(n.Destination), class, title(n))
	r.nodes(n.Children, false)
	r.put("</a>")
}

// known says whether the lesson's course page has a heading of an identifier.
func (r *reader) known(id string) bool {
	found := false
	r.source.Lesson.Body.Walk(func(n *lesson.Node) bool {
		found = found || n.Kind == lesson.Heading && n.ID == id
		return n.Kind != lesson.VisitorPanel && n.Kind != lesson.TalkingPoint
	})
	return found
}

// finish sorts what was found wrong; the same may be found for each reader.
func (r *reader) finish() []diag.Message { return diag.Sort(r.messages) }
