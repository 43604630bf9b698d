package site

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// A motion has its data where a script may play it, and is a still on paper;
// the kiosk begins by itself, and the plot right before it has its cursor.
func TestMotionOnPages(t *testing.T) {
	pages := documents(t, treeOf(t, citedInput(t)))
	for _, c := range []struct {
		page    string
		figures int
		paper   bool
		plots   []string
		kiosk   bool
		note    string
	}{
		{"course/cited/index.html", 2, false, []string{"figure.turn", ""}, false, "slower than the machine"},
		{"course/cited/fr.html", 2, false, []string{"figure.turn", ""}, false, "fois"},
		{"kiosk/cited.html", 1, false, []string{""}, true, "slower than the machine"},
		{"handout/cited.html", 1, true, []string{""}, false, ""}, // where nothing moves
		{"handout/cited-guide.fr.html", 0, true, nil, false, ""}, // its visitors hold the drawing in their hands
	} {
		d := pages[c.page]
		figures := d.class("motion")
		if len(figures) != c.figures {
			t.Errorf("%s has %d motions, want %d", c.page, len(figures), c.figures)
			continue
		}
		for i, f := range figures {
			if got := attr(f, "data-plot"); got != c.plots[i] {
				t.Errorf("%s: motion %d goes with the plot %q, want %q", c.page, i, got, c.plots[i])
			}
			if id := attr(f, "data-plot"); id != "" && !d.ids[id] {
				t.Errorf("%s has no plot %q", c.page, id)
			}
			if got := slices.ContainsFunc(f.Attr, func(a html.Attribute) bool { return a.Key == "data-autoplay" }); got != c.kiosk {
				t.Errorf("%s: begins by itself: %v", c.page, got)
			}
			within := &document{c.page, f, nil}
			if n := len(within.class("motion-drawing")); n != 1 {
				t.Errorf("%s: motion %d has %d drawings", c.page, i, n)
			}
			if notes := within.class("motion-note"); c.note == "" {
				if strings.Contains(text(within.root), "slower") {
					t.Errorf("%s: motion %d is slow on paper", c.page, i)
				}
			} else if len(notes) != 1 || !strings.Contains(text(notes[0]), c.note) {
				t.Errorf("%s: motion %d lacks its note", c.page, i)
			}
			data := within.class("motion-data")
			if len(data) == 0 != c.paper {
				t.Errorf("%s: motion %d has %d blocks of data", c.page, i, len(data))
			}
			for _, n := range data {
				var film map[string]any
				if err := json.Unmarshal([]byte(n.FirstChild.Data), &film); err != nil || film["channels"] == nil {
					t.Errorf("%s: the data of motion %d: %v", c.page, i, err)
				}
				if attr(n, "type") != "application/json" || attr(n, "src") != "" {
					t.Errorf("%s: the data of motion %d would run", c.page, i)
				}
			}
		}
		var loads []string
		for _, n := range d.tags("script") {
			if src := attr(n, "src"); src != "" {
				loads = append(loads, src[strings.LastIndex(src, "/")+1:])
			}
		}
		films, motion := slices.Index(loads, "films.js"), slices.Index(loads, "motion.js")
		if c.paper && len(loads) > 0 || !c.paper && (films < 0 || motion < films) {
			t.Errorf("%s loads %q", c.page, loads)
		}
		if styles := d.tags("link"); c.figures > 0 && !slices.ContainsFunc(styles, func(n *html.Node) bool { return strings.HasSuffix(attr(n, "href"), "/motion.css") }) {
			t.Errorf("%s lacks the style sheet of motions", c.page)
		}
	}
	if d := pages["course/first/index.html"]; len(d.class("motion")) > 0 || strings.Contains(html.UnescapeString(text(d.root)), "films.js") {
		t.Error("a page without a motion has one")
	}
}

// Formulas are MathML with their source, in every edition.
func TestFormulasOnPages(t *testing.T) {
	pages := documents(t, treeOf(t, citedInput(t)))
	for _, name := range []string{"course/cited/index.html", "course/cited/fr.html"} {
		var displays, sources []string
		for _, n := range pages[name].tags("math") {
			displays = append(displays, attr(n, "display"))
		}
		for _, n := range pages[name].tags("annotation") {
			sources = append(sources, text(n))
		}
		if !slices.Equal(displays, []string{"", "block"}) || !slices.Equal(sources, []string{`\omega_0`, `k = \frac{a}{b}`}) {
			t.Errorf("%s has the formulas %q, displayed as %q", name, sources, displays)
		}
		if len(pages[name].tags("mfrac")) != 1 {
			t.Errorf("%s has no fraction", name)
		}
	}
}

// A formula that cannot be set is reported where it stands, and no page of its
// lesson is made.
func TestFormulaReported(t *testing.T) {
	in := citedInput(t)
	broken := strings.Replace(citedLesson, `\frac{a}{b}`, `\fraction{a}{b}`, 1)
	l, messages := lesson.Parse("cited/lesson.md", []byte(broken))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Slug, l.Language = "cited", "en"
	last := &in.Lessons[2]
	last.Lesson, last.Translations = l, nil
	last.Report, _ = proof.Check(l, last.Result, in.Cards, nil)
	tree, messages := Build(in)
	line, column := diag.Place([]byte(broken), strings.Index(broken, `\fraction`))
	found := false
	for _, m := range messages {
		found = found || m.Rule == "formula" && m.Level == diag.Error && m.Line == line && m.Column == column && m.Hint != ""
	}
	if !found {
		t.Errorf("%d:%d is not among %v", line, column, messages)
	}
	if tree["course/cited/index.html"] != nil {
		t.Error("the page was made")
	}
}

// Citations carry the number of their source in the page's list, where a sheet
// has those alone that it cites; the kiosk prints them as plain words.
func TestCitations(t *testing.T) {
	pages := documents(t, treeOf(t, citedInput(t)))
	book, trade := "N. Body: On Weights & Springs. Nowhere Press, 1905 (book): that it can hunt", "common practice, no source: it <hunts>"
	for _, c := range []struct {
		page  string
		cites []string
		list  []string
	}{
		{"course/cited/index.html", []string{"a book[1]", "the trade[2]", "the book[1]"}, []string{book, trade}},
		{"course/cited/fr.html", []string{"un livre[1]", "dit le métier[2]", "le livre[1]"},
			[]string{"N. Body: On Weights & Springs. Nowhere Press, 1905 (livre) : qu’il peut pomper", "usage courant, sans source : it <hunts>"}},
	} {
		d := pages[c.page]
		var cites, list []string
		for _, n := range d.class("cite") {
			cites = append(cites, text(n))
			if want := "#source." + strings.Trim(text(n)[strings.Index(text(n), "["):], "[]"); attr(n, "href") != want {
				t.Errorf("%s: %q leads to %s", c.page, text(n), attr(n, "href"))
			}
		}
		sections := d.class("sources")
		if len(sections) != 1 {
			t.Errorf("%s has %d lists of sources", c.page, len(sections))
			continue
		}
		for _, n := range (&document{c.page, sections[0], nil}).tags("li") {
			list = append(list, text(n))
		}
		if !slices.Equal(cites, c.cites) || !slices.Equal(list, c.list) {
			t.Errorf("%s cites %q of\n%q, want %q of\n%q", c.page, cites, list, c.cites, c.list)
		}
	}
	for _, name := range []string{"handout/cited.html", "handout/cited.large.html", "handout/cited-guide.html"} {
		if d := pages[name]; len(d.class("cite"))+len(d.class("sources")) > 0 || !strings.Contains(text(d.root), "they say.") {
			t.Errorf("%s cites, or leaves out the words: %q", name, text(d.root))
		}
	}
	if d := pages["handout/cited.html"]; !strings.Contains(text(d.root), "Every number and its source: on the course\u2019s pages.") {
		t.Errorf("the visitors\u2019 sheet does not say where the sources are: %q", text(d.root))
	}
	if d := pages["kiosk/cited.html"]; len(d.class("cite")) > 0 || !strings.Contains(text(d.root), "It governs, they say.") {
		t.Errorf("the kiosk says %q", text(d.root))
	}
	if d := pages["course/first/index.html"]; len(d.class("sources")) > 0 {
		t.Error("a lesson that cites nothing has a list of sources")
	}
	var list []string
	for _, n := range pages["course/sources/index.html"].tags("li") {
		list = append(list, text(n))
	}
	if want := []string{book + " Cited in Cited.", trade + " Cited in Cited."}; !slices.Equal(list, want) {
		t.Errorf("the page of sources lists\n%q, want\n%q", list, want)
	}
	if !pages["course/sources/index.html"].ids["book"] {
		t.Error("a source cannot be linked to")
	}
}

// A word of the glossary leads to its meaning there, which the lesson also
// has beside the text that uses it first; the glossary leads back.
func TestGlossary(t *testing.T) {
	pages := documents(t, treeOf(t, citedInput(t)))
	for _, c := range []struct {
		page, glossary string
		words          []string
		list, all      string
	}{
		{"course/cited/index.html", "../glossary/index.html", []string{"governor", "hunts"},
			"governor What holds the speed.; hunting A slow swing.",
			"droop Less speed under load. governor What holds the speed. Used in Cited. hunting A slow swing. See also governor, droop. Used in Cited."},
		{"course/cited/fr.html", "../glossary/fr.html", []string{"régulateur", "pompe"},
			"régulateur Ce qui tient la vitesse.; pompage Un balancement lent.",
			"pompage Un balancement lent. Voir aussi régulateur, statisme. Employé dans Cité. régulateur Ce qui tient la vitesse. Employé dans Cité. statisme Moins vite en charge."},
	} {
		d := pages[c.page]
		var words []string
		for i, n := range d.class("term") {
			label := []string{"governor", "hunting"}[min(i, 1)]
			words = append(words, text(n))
			if attr(n, "href") != c.glossary+"#"+label || attr(n, "aria-describedby") != "term."+label || !d.ids["term."+label] {
				t.Errorf("%s: %q leads to %s, described by %s", c.page, text(n), attr(n, "href"), attr(n, "aria-describedby"))
			}
		}
		if !slices.Equal(words, c.words) {
			t.Errorf("%s has the words %q, want %q", c.page, words, c.words)
		}
		var notes []string
		for _, n := range d.class("beside") {
			notes = append(notes, text(n))
		}
		if list := strings.Join(notes, "; "); list != c.list {
			t.Errorf("%s explains %q, want %q", c.page, list, c.list)
		}
		glossary := pages["course/glossary/"+c.glossary[len("../glossary/"):]]
		if list := glossary.class("terms"); len(list) != 1 || text(list[0]) != c.all {
			t.Errorf("the glossary of %s holds\n%q, want\n%q", c.page, text(list[0]), c.all)
		}
	}
	for _, name := range []string{"kiosk/cited.html", "handout/cited.html"} {
		if d := pages[name]; len(d.class("term")) > 0 || !strings.Contains(text(d.root), "It governs") {
			t.Errorf("%s does not print a word of the glossary as plain text", name)
		}
	}
	for _, n := range pages["course/cited/index.html"].class("wire") {
		if strings.Contains(text(n), "hunts") && len((&document{"", n, nil}).class("term")) > 0 {
			t.Error("the contents hold a link within a link")
		}
	}
}

// A house that cites and explains nothing has no pages about it; a lesson may
// not take the place of one.
func TestListsOnlyWhereUsed(t *testing.T) {
	tree := sampleTree(t)
	if tree["course/sources/index.html"] != nil || tree["course/glossary/index.html"] != nil {
		t.Error("there are pages of nothing")
	}
	in := sampleInput(t)
	in.Lessons[1].Lesson.Slug = "sources"
	if _, messages := Build(in); !diag.HasError(messages) || !strings.Contains(messages[0].Text, `"sources"`) {
		t.Errorf("a lesson called sources gives %v", messages)
	}
}
