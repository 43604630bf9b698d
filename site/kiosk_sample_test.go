package site

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/engine/waveform"
	"slipring/site/publish"
)

// fullKiosk is a house of two languages with twelve lessons for visitors, all
// translated, each with as much as a lesson may have on the kiosk: four panels
// of 75 words with their headings, with a motion, a figure under a knob, one under two, and one
// under none. All numbers in it are invented.
func fullKiosk(t *testing.T) Input {
	t.Helper()
	in := sampleInput(t)
	in.Lessons = nil
	in.House.Languages = []string{"en", "fr"}
	result := fullResult()
	for n := range 12 {
		slug := fmt.Sprintf("lesson-%d", n+1)
		l := parsed(t, slug+"/lesson.md", fullLesson(n+1, "A question about the machine, number", "What happens when the shaft turns", wordsOf(panelWords, 68)))
		l.Slug, l.Folder, l.Language = slug, fmt.Sprintf("%02d-%s", n+1, slug), "en"
		source := withoutCells(fullLesson(n+1, "Une question sur cette machine, num\u00e9ro", "Que se passe-t-il quand l\u2019arbre tourne", wordsOf(panneau, 67)))
		f, messages := lesson.ParseTranslation(slug+"/words/fr.md", "fr", []byte(source), l)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		l.Translations = []*lesson.Lesson{f}
		check := func(one *lesson.Lesson) proof.Report {
			report, messages := proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{l}}.Check(one, result)
			if diag.HasError(messages) {
				t.Fatal(messages)
			}
			return report
		}
		in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: result, Report: check(l),
			Translations: []proof.Checked{{Lesson: f, Result: result, Report: check(f)}}})
	}
	return in
}

var fullKioskOnce struct {
	sync.Once
	tree publish.Tree
}

// fullKioskTree is the site of that house, which is built once.
func fullKioskTree(t *testing.T) publish.Tree {
	t.Helper()
	fullKioskOnce.Do(func() {
		in := fullKiosk(t)
		in.House.Idle, in.House.Ask = 60, 20
		fullKioskOnce.tree = treeOf(t, in)
	})
	if len(fullKioskOnce.tree) == 0 {
		t.Fatal("the full kiosk was not built")
	}
	return fullKioskOnce.tree
}

func parsed(t *testing.T, name, source string) *lesson.Lesson {
	t.Helper()
	l, messages := lesson.Parse(name, []byte(source))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return l
}

const (
	panelWords = "The weight swings out and in again while the shaft goes round below it. Gravity helps it on the way down and holds it on the way up."
	panneau    = "La masselotte s\u2019\u00e9carte puis revient pendant que l\u2019arbre tourne sous elle. La pesanteur l\u2019aide \u00e0 descendre et la retient dans la mont\u00e9e."
)

// wordsOf repeats a text up to a count of words.
func wordsOf(text string, n int) string {
	all := strings.Fields(strings.Repeat(text+" ", 10))
	return strings.TrimRight(strings.Join(all[:n], " "), ".,") + "."
}

func fullLesson(n int, title, heading, text string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "```lesson\ntitle = \"%s %d\"\nhazards = [\"rotating\", \"voltage\"]\n```\n\n", title, n)
	b.WriteString("```caution rotating\n" + wordsOf(text, 30) + "\n```\n\n```caution voltage\n" + wordsOf(text, 30) + "\n```\n\n")
	for i, place := range []string{"motion:governor", "figure:turned", "figure:two", "figure:contact"} {
		fmt.Fprintf(&b, "```visitor\n## %s, %d\n\n%s\n\n![%s](%s)\n```\n\n", heading, i+1, text, wordsOf(text, 12), place)
	}
	return b.String()
}

// withoutCells leaves a translation what it may say.
func withoutCells(source string) string {
	return strings.Replace(source, "hazards = [\"rotating\", \"voltage\"]\n", "", 1)
}

// fullResult is the samples' figures with a governor that turns.
func fullResult() tell.Result {
	r := turnedResult()
	first := sampleResult()
	r.Figures = append(r.Figures, first.Figures...)
	r.Cards = first.Cards
	signal := func(name, unit string, f func(turn float64) float64) waveform.Signal {
		s := waveform.Signal{Name: name, Unit: unit}
		for i := range 121 {
			turn := float64(i) / 120
			s.T = append(s.T, turn/20)
			s.Y = append(s.Y, f(turn))
		}
		return s
	}
	var s tell.Sheet
	s.Motion("governor", waveform.Set{Signals: []waveform.Signal{
		signal("shaft angle", "deg", func(turn float64) float64 { return 360 * turn }),
		signal("weight travel", "mm", func(turn float64) float64 { return 0.5*math.Cos(2*math.Pi*turn) - 0.3 }),
		{Name: "governor contact", Stepped: true, T: []float64{0, 0.007, 0.043, 0.05}, Y: []float64{1, 0, 1, 1}},
	}})
	r.Motions = s.Result().Motions
	return r
}
