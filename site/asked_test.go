package site

import (
	"net/url"
	"path"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/cell"
	"slipring/engine/cell/symbols"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/site/publish"
)

const callingLesson = "```lesson\ntitle = \"Calls\"\n```\n\n" +
	"Text.\n\n```go\nset := bench.Open(\"set\")\nidle := set.Steady(machine.Load{Torque: 0.3})\n```\n\n" +
	"More.\n\n```go\nrule := set.OpenFractionRule(20)\nif idle.OpenFraction < rule { tell.Chart(\"a\", idle.Traces(\"output\").Turns(3)) }\n```\n"

// callingTree is the sample, in two languages, with a lesson whose cells call
// the engine.
func callingTree(t *testing.T) publish.Tree {
	t.Helper()
	in := inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}, {"calls", callingLesson}})
	in.House.Languages = []string{"en", "fr"}
	l := &in.Lessons[2]
	program, messages := cell.Assemble(l.Lesson)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	for _, c := range program.Calls() {
		l.Calls = append(l.Calls, lesson.Call(c))
	}
	return treeOf(t, in)
}

// From each cell links lead to what is said about the functions in it, and
// from there on to the equations.
func TestCellsLeadToEquations(t *testing.T) {
	pages := documents(t, callingTree(t))
	here := "course/calls/index.html"
	got := map[string]string{}
	for _, c := range pages[here].class("cell") {
		for n := range c.Descendants() {
			if n.Type == html.ElementNode && n.Data == "a" {
				got[text(n)] = attr(n, "href")
			}
		}
	}
	for words, name := range map[string]string{
		"bench.Open": "bench.Shelf.Open", "Steady": "bench.Set.Steady", "machine.Load": "machine.Load", "Torque": "machine.Load.Torque",
		"OpenFractionRule": "bench.Set.OpenFractionRule", "OpenFraction": "bench.Run.OpenFraction",
		"tell.Chart": "tell.Sheet.Chart", "Traces": "bench.Run.Traces", "Turns": "bench.Traces.Turns",
	} {
		if want := "../engine/" + askedAt(name); got[words] != want {
			t.Errorf("%s leads to %q, want %q", words, got[words], want)
		}
	}
	if len(got) != 9 {
		t.Errorf("cells have the links %q", got)
	}

	// There, the rule's comment names the closed form, whose equation stands open,
	// not folded.
	for _, c := range []struct{ from, to, says string }{
		{"bench.Set.OpenFractionRule", "machine.Governor.OpenFraction", "d = 1 - arccos(-S/A)/pi"},
		{"machine.Governor.OpenFraction", "machine.Governor.Offset", "S = (w^2 - wc^2) r / (w0^2 - w^2)"},
		{"bench.Set.Steady", "machine.Simulation", "(J + m rho^2) w'"},
		{"machine.Simulation", "machine.Shaft.LossTorque", "T = friction tanh(w/0.5)"},
	} {
		want := askedAt(c.to)
		if same := askedFile(c.from); same == askedFile(c.to) {
			want = strings.TrimPrefix(want, path.Base(same))
		}
		if from := entryOf(pages[askedFile(c.from)], c.from); from == nil || !slices.Contains(linksIn(from), want) {
			t.Errorf("what is said about %s does not lead to %s", c.from, want)
		}
		to := entryOf(pages[askedFile(c.to)], c.to)
		if to == nil || !strings.Contains(text(to), c.says) {
			t.Errorf("what is said about %s lacks %q", c.to, c.says)
			continue
		}
		for up := to; up != nil; up = up.Parent {
			if up.Data == "details" {
				t.Errorf("%s is folded away, though %s leads there", c.to, c.from)
			}
		}
	}
	if e := entryOf(pages["course/engine/cells-bench.html"], "bench.Set.Steady"); !strings.Contains(text(e), "Used in Calls.") || !slices.Contains(linksIn(e), "../calls/index.html") {
		t.Errorf("it does not say where it is used: %s", text(e))
	}
}

// askedFile is the page that says what a name is, and askedAt the place there, seen
// from beside it.
func askedFile(name string) string {
	pkg, _, _ := strings.Cut(name, ".")
	return "course/engine/cells-" + pkg + ".html"
}

func askedAt(name string) string { return path.Base(askedFile(name)) + "#" + name }

// Everything that cells may use is listed, once, and said on its package's page,
// with links that lead somewhere, in each language.
func TestAskedPages(t *testing.T) {
	tree := callingTree(t)
	pages := documents(t, tree)
	of := map[string][]symbols.Symbol{}
	for _, e := range symbols.Docs() {
		pkg, _, _ := strings.Cut(e.Name, ".")
		of[pkg] = append(of[pkg], e)
	}
	names := map[string]string{"": "course/engine/cells"}
	for pkg := range of {
		names[pkg] = "course/engine/cells-" + pkg
	}
	if len(of) != 5 { // bench, machine, tell, waveform, wiring
		t.Errorf("cells can ask of %d packages", len(of))
	}
	for pkg, start := range names {
		for _, lang := range []string{"en", "fr"} {
			askedPageIs(t, tree, pages, start+map[string]string{"en": ".html", "fr": ".fr.html"}[lang], lang, of[pkg])
		}
	}
	for name, end := range map[string]string{"course/engine/cells.html": ".html", "course/engine/cells.fr.html": ".fr.html"} {
		listed := map[string]int{}
		for _, n := range pages[name].tags("a") {
			listed[attr(n, "href")]++
		}
		for pkg, list := range of {
			for _, e := range list[1:] {
				if to := "cells-" + pkg + end + "#" + e.Name; listed[to] != 1 {
					t.Errorf("%s: %d links lead to %s", name, listed[to], to)
				}
			}
		}
	}
}

// askedPageIs: a page says something about each of some names.
func askedPageIs(t *testing.T, tree publish.Tree, pages map[string]*document, name, lang string, says []symbols.Symbol) {
	t.Helper()
	d := pages[name]
	if d == nil {
		t.Errorf("there is no %s", name)
		return
	}
	if got := attr(d.tags("html")[0], "lang"); got != lang {
		t.Errorf("%s: lang is %q", name, got)
	}
	for _, e := range says {
		if !d.ids[e.Name] {
			t.Errorf("%s says nothing about %s", name, e.Name)
		}
		for _, f := range e.Fields {
			if !d.ids[e.Name+"."+f.Name] {
				t.Errorf("%s says nothing about the field %s.%s", name, e.Name, f.Name)
			}
		}
	}
	level := 0
	for n := range d.root.Descendants() {
		if n.Type == html.ElementNode && len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6' {
			if this := int(n.Data[1] - '0'); this > level+1 {
				t.Errorf("%s: heading %q skips a level", name, text(n))
			} else {
				level = this
			}
		}
	}
	for _, n := range d.tags("a") {
		u, err := url.Parse(attr(n, "href"))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		to := name
		if u.Path != "" {
			to = path.Join(path.Dir(name), u.Path)
		}
		if u.IsAbs() || tree[to] == nil || u.Fragment != "" && !pages[to].ids[u.Fragment] {
			t.Errorf("%s: %q leads nowhere", name, attr(n, "href"))
		}
	}
}

// A house whose lessons compute nothing has no page about the engine, and no
// lesson may stand in its place.
func TestEnginePagesOnlyWhereNeeded(t *testing.T) {
	for name := range sampleTree(t) {
		if strings.HasPrefix(name, partsDir) {
			t.Errorf("there is %s, which no page leads to", name)
		}
	}
	in := inputOf(t, [][2]string{{"engine", callingLesson}})
	in.Lessons[0].Calls = []lesson.Call{{Cell: 0, From: 7, To: 17, Name: "bench.Shelf.Open"}}
	_, messages := Build(in)
	if len(messages) != 1 || !diag.HasError(messages) || !strings.Contains(messages[0].Text, `cannot be called "engine"`) || messages[0].File != "engine/lesson.md" {
		t.Errorf("a lesson in its place gives %v", messages)
	}
}

// entryOf gives the section about a name.
func entryOf(d *document, name string) *html.Node {
	for _, n := range d.class("entry") {
		for h := range n.Descendants() {
			if attr(h, "id") == name {
				return n
			}
		}
	}
	return nil
}

func linksIn(n *html.Node) []string {
	var out []string
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && d.Data == "a" {
			out = append(out, attr(d, "href"))
		}
	}
	return out
}
