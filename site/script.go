package site

import (
	"encoding/json"
	"html/template"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	ui "slipring/render/words"
)

// scriptPath holds a dot, which is in no lesson's name.
const scriptPath = "handout/spoken.sheet.html"

// scriptSheet is the edition of that page.
const scriptSheet = "spoken"

// scriptPage is what the kiosk says aloud, for whoever records it.
type scriptPage []scriptOf

type scriptOf struct {
	*lessonPages
	Panels []spokenPanel
}

// spokenPanel is what is said of one panel: a paragraph each for its heading,
// its words, what its picture shows and where its knobs stand.
type spokenPanel struct {
	Number int
	Lines  []string
}

// script makes the page with the scripts of all panels.
func (b *builder) script() (shell, bool) {
	var p scriptPage
	for _, e := range b.kioskLessons() {
		if !b.own(e) {
			continue
		}
		one := scriptOf{lessonPages: e}
		for i, panel := range e.kiosk.Panels {
			title := panel.Title
			if title == "" {
				title = template.HTML(template.HTMLEscapeString(e.Lesson.Title))
			}
			lines, err := spoken(b.words, "<h2>"+title+"</h2>", panel.Text, panel.Figures)
			if err != nil {
				b.fail(err)
				return shell{}, false
			}
			one.Panels = append(one.Panels, spokenPanel{i + 1, lines})
		}
		p = append(p, one)
	}
	return shell{Title: b.title(b.words.Text("spoken.title")), From: b.from(b.kioskLessons()...), Page: p}, len(p) > 0
}

// Reads leads to the page with the scripts, "" where there is none.
func (s shell) Reads() string {
	if !slices.ContainsFunc(s.edition.lessons, func(e *lessonPages) bool { return s.edition.own(e) && onKiosk(s.House, e) }) {
		return ""
	}
	return s.To(scriptPath)
}

// ReadingWords are what the script of the kiosk needs to read a screen aloud.
func (s shell) ReadingWords() (string, error) {
	w := s.Words
	units := map[string]string{}
	for written, key := range spokenUnits() {
		units[written] = w.Text("spoken-unit." + key)
	}
	text, err := json.Marshal(map[string]any{
		"read": w.Text("kiosk.read"), "stop": w.Text("kiosk.read-stop"), "minus": w.Text("spoken.minus"),
		"knob": w.Text("spoken.knob", "knob", "{knob}", "setting", "{setting}"), "units": units,
	})
	return string(text), err
}

// spokenUnits gives the keys of the words for units, as pages write these.
func spokenUnits() map[string]string {
	return map[string]string{
		"Hz": "hz", "V": "v", "mV": "mv", "A": "a", "mA": "ma", "W": "w", "kW": "kw", "N": "n", "N m": "nm", "mN m": "mnm",
		"ohm": "ohm", "\u03a9": "ohm", "m\u03a9": "mohm", "s": "s", "ms": "ms", "min": "min", "mm": "mm", "cm": "cm", "m": "m", "km": "km", "g": "g", "kg": "kg",
		"%": "percent", "\u00b0C": "celsius", "deg": "deg", "\u00b0": "deg", "r/min": "rpm", "rpm": "rpm",
	}
}

// spoken gives what is said of pieces of a kiosk's page, as reading.js finds it
// there, with what a visitor sees only after a guess.
func spoken(w *ui.Words, pieces ...template.HTML) ([]string, error) {
	s := speaker{words: w}
	for _, piece := range pieces {
		nodes, err := html.ParseFragment(strings.NewReader(string(piece)), &html.Node{Type: html.ElementNode, Data: "body", DataAtom: atom.Body})
		if err != nil {
			return nil, err
		}
		for _, n := range nodes {
			s.walk(n)
		}
		s.end()
	}
	return s.lines, nil
}

// speaker collects what is said.
type speaker struct {
	words *ui.Words
	lines []string
	now   strings.Builder
	after bool // that something comes after a guess is said
}

func (s *speaker) end() {
	if line := strings.Join(strings.Fields(s.now.String()), " "); line != "" {
		s.lines = append(s.lines, line)
	}
	s.now.Reset()
}

func (s *speaker) line(text string) {
	s.end()
	s.now.WriteString(text)
	s.end()
}

// mute lists the classes and elements of which nothing is said.
var mute = [...]string{"script", "nav", "strip", "motion-controls", "unseen", "audio", "input", "hear", "pass", "waits", "told", "dial", "acts", "states"}

var blocks = [...]string{"p", "div", "li", "ol", "ul", "h1", "h2", "h3", "h4", "h5", "h6", "figure", "figcaption", "blockquote", "table", "caption", "tr"}

func classes(n *html.Node) []string {
	for _, a := range n.Attr {
		if a.Key == "class" {
			return strings.Fields(a.Val)
		}
	}
	return nil
}

func (s *speaker) walk(n *html.Node) {
	if n.Type == html.TextNode {
		s.now.WriteString(n.Data)
	}
	if n.Type != html.ElementNode {
		return
	}
	class := classes(n)
	is := func(name string) bool { return n.Data == name || slices.Contains(class, name) }
	if slices.ContainsFunc(mute[:], is) {
		return
	}
	switch {
	case n.Data == "svg":
		if desc := first(n, "desc", ""); desc != nil {
			s.line(readOf(desc))
		}
		return
	case is("knob"):
		s.line(s.words.Text("spoken.knob", "knob", readOf(first(n, "", "called")), "setting", readOf(first(n, "", "setting"))))
		return
	case (is("after") || is("right")) && !s.after:
		s.after = true
		s.line(s.words.Text("spoken.after"))
	}
	block := slices.Contains(blocks[:], n.Data) || n.Data == "button"
	if block {
		s.end()
	}
	var later []*html.Node
	for c := range n.ChildNodes() {
		if n.Data == "figure" && c.Data != "figcaption" { // what it shows, then what is drawn
			later = append(later, c)
			continue
		}
		s.walk(c)
	}
	for _, c := range later {
		s.walk(c)
	}
	if (n.Data == "td" || n.Data == "th") && n.NextSibling != nil {
		s.now.WriteString(", ")
	}
	if block {
		s.end()
	}
}

// first finds an element of a name or a class below a node.
func first(n *html.Node, name, class string) *html.Node {
	for c := range n.Descendants() {
		if c.Type == html.ElementNode && (c.Data == name || class != "" && slices.Contains(classes(c), class)) {
			return c
		}
	}
	return nil
}

func readOf(n *html.Node) string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
