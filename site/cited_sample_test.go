package site

import (
	"math"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// A lesson with a motion, formulas, citations and words of the glossary. All
// numbers, sources and terms in it are invented.
const (
	citedLesson = "```lesson\ntitle = \"Cited\"\n```\n\n" +
		"A [governor][term.governor] can hunt ([a book][src.book]); so says [the trade][src.trade], and [the book][src.book] again.\n\n" +
		"## Why it [hunts][term.hunting]\n\nWith `tex \\omega_0` it is\n\n```formula\nk = \\frac{a}{b}\n```\n\n" +
		"![One turn of the shaft](figure:turn)\n\n![The weight goes round](motion:governor)\n\nWords between.\n\n![And again](motion:governor)\n\n" +
		"```visitor\n## A weight\n\nIt [governs][term.governor], [they say][src.trade].\n\n![The weight goes round](motion:governor)\n```\n\n" +
		"```docent\nSo says [a book][src.book].\n```\n"
	citedFrench = "```lesson\ntitle = \"Cité\"\n```\n\n" +
		"Un [régulateur][term.governor] peut pomper ([un livre][src.book])\u00a0; ainsi [dit le métier][src.trade], et [le livre][src.book] encore.\n\n" +
		"## Pourquoi il [pompe][term.hunting]\n\nAvec `tex \\omega_0` c’est\n\n```formula\nk = \\frac{a}{b}\n```\n\n" +
		"![Un tour de l’arbre](figure:turn)\n\n![Le poids tourne](motion:governor)\n\nDes mots.\n\n![Et encore](motion:governor)\n\n" +
		"```visitor\n## Un poids\n\nIl [règle][term.governor], [dit-on][src.trade].\n\n![Le poids tourne](motion:governor)\n```\n\n" +
		"```docent\nAinsi dit [un livre][src.book].\n```\n"
	citedSources = "[trade]\nkind = \"common practice\"\nsupports = \"it <hunts>\"\n\n" +
		"[book]\nkind = \"book\"\ntitle = \"On Weights & Springs\"\nauthor = \"N. Body\"\npublisher = \"Nowhere Press\"\nyear = 1905\nsupports = \"that it can hunt\"\n[book.fr]\nsupports = \"qu’il peut pomper\"\n"
	citedGlossary = "[hunting]\nword = \"hunting\"\nmeaning = \"A *slow* swing.\"\nsee = [\"governor\", \"droop\"]\n\n[hunting.fr]\nword = \"pompage\"\nmeaning = \"Un balancement *lent*.\"\n\n" +
		"[governor]\nword = \"governor\"\nmeaning = \"What holds the speed.\"\n\n[governor.fr]\nword = \"régulateur\"\nmeaning = \"Ce qui tient la vitesse.\"\n\n" +
		"[droop]\nword = \"droop\"\nmeaning = \"Less speed under load.\"\n\n[droop.fr]\nword = \"statisme\"\nmeaning = \"Moins vite en charge.\"\n"
)

func citedResult() tell.Result {
	var s tell.Sheet
	var at, angle, travel []float64
	for i := range 201 {
		t := 0.05 * float64(i) / 200
		at, angle = append(at, t), append(angle, 360*float64(i)/200)
		travel = append(travel, 0.09*math.Cos(2*math.Pi*t/0.05)-0.06)
	}
	contact := waveform.Signal{Name: "governor contact", Stepped: true, T: []float64{0, 0.0067, 0.0433, 0.05}, Y: []float64{1, 0, 1, 1}}
	s.Motion("governor", waveform.Set{Signals: []waveform.Signal{
		{Name: "shaft angle", Unit: "deg", T: at, Y: angle}, {Name: "weight travel", Unit: "mm", T: at, Y: travel}, contact,
	}, Starts: []float64{0, 0.05}})
	s.Figure(tell.Figure{Name: "turn", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
		{Y: tell.Axis{Label: "travel", Unit: "mm"}, Lines: []tell.Line{{Label: "travel", X: at, Y: travel}}}}})
	return s.Result()
}

// citedInput is a house of two languages with that lesson and its translation.
func citedInput(t *testing.T) Input {
	t.Helper()
	must := func(messages []diag.Message) {
		t.Helper()
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
	}
	in := inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}})
	in.House.Languages = []string{"en", "fr"}
	var all []*lesson.Lesson
	for _, l := range in.Lessons {
		l.Lesson.Language = "en"
		all = append(all, l.Lesson)
	}
	l, messages := lesson.Parse("cited/lesson.md", []byte(citedLesson))
	must(messages)
	l.Slug, l.Folder, l.Language = "cited", "03-cited", "en"
	f, messages := lesson.ParseTranslation("cited/words/fr.md", "fr", []byte(citedFrench), l)
	must(messages)
	l.Translations = []*lesson.Lesson{f}
	sources, messages := card.ReadSources("sources.toml", []byte(citedSources))
	must(messages)
	in.Glossary, messages = card.ReadGlossary("glossary.toml", []byte(citedGlossary))
	must(messages)
	folder := proof.Folder{Cards: in.Cards, Lessons: append(all, l), Sources: sources, Glossary: in.Glossary}
	result := citedResult()
	report, messages := folder.Check(l, result)
	must(messages)
	translated, messages := folder.Check(f, result)
	must(messages)
	in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: result, Report: report,
		Translations: []proof.Checked{{Lesson: f, Result: result, Report: translated}}})
	return in
}
