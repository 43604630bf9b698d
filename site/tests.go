package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/reconcile"
	"slipring/render/page"
)

const (
	// testsPath holds a dot, which is in no lesson's name.
	testsPath  = "handout/tests.sheet.html"
	testsSheet = "tests" // its edition, for those who print
)

// TestsOnSheet is how many tests one sheet asks for: as many as go on with a
// morning at the board.
const TestsOnSheet = 20

// testsPage is the sheet of tests to take to the board.
type testsPage struct {
	Cautions []template.HTML
	Rows     []testRow
	Sample   string
}

// testRow is one test in the words of the page.
type testRow struct {
	Number        int // from 1
	From, To      string
	With          string // what to hold or take out, as continuity.csv has it
	Closes, Opens string // what either answer would settle
}

// tests makes the sheet, where some test would tell more.
func (b *builder) tests() (shell, bool) {
	if len(b.Tests) == 0 {
		return shell{}, false
	}
	p := testsPage{Sample: reconcile.ContinuitySample}
	for i, t := range b.Tests {
		p.Rows = append(p.Rows, testRow{i + 1, t.From, t.To, t.With(), b.settled(t.Closes), b.settled(t.Opens)})
	}
	for _, h := range b.House.Hazards {
		if slices.Contains([]string{"rotating", "voltage", "battery"}, h.Name) {
			p.Cautions = append(p.Cautions, page.InFull(h, b.words))
		}
	}
	return shell{Title: b.title(b.words.Text("tests.title")), From: b.from(), Page: p}, true
}

// settled says in short which wires an answer would settle.
func (b *builder) settled(s reconcile.Settled) string {
	var text []string
	if len(s.Found) > 0 {
		text = append(text, b.words.Text("tests.found", "wires", inShort(s.Found, true)))
	}
	if len(s.NotThere) > 0 {
		text = append(text, b.words.Text("tests.not-there", "wires", inShort(s.NotThere, false)))
	}
	if len(text) == 0 {
		return b.words.Text("tests.nothing")
	}
	return strings.Join(text, "; ")
}

// inShort names wires by their numbers, where these are enough: what is not there
// may be there under the same number elsewhere, and is named by its ends.
func inShort(wires []reconcile.Drawn, numbers bool) string {
	var names []string
	for _, w := range wires {
		same := func(o reconcile.Drawn) bool { return o.Wire == w.Wire && (o.From != w.From || o.To != w.To) }
		if !numbers || w.Wire == "" || slices.ContainsFunc(wires, same) {
			names = append(names, w.From+"\u2013"+w.To)
			continue
		}
		names = append(names, w.Wire)
	}
	return strings.Join(names, ", ")
}

// Tests leads to the sheet of tests, "" where there is none.
func (s shell) Tests() string {
	if !s.edition.tested {
		return ""
	}
	return s.To(testsPath)
}
