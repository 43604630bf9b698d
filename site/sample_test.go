package site

import (
	"math"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/engine/waveform"
	"slipring/site/publish"
)

// The lessons of these tests; all numbers in them are invented.
const (
	firstLesson = "```lesson\ntitle = \"What holds <the> speed & why\"\nminutes = 10\nhazards = [\"rotating\"]\nrevised = 2026-11-25\n```\n\n" +
		"# What holds <the> speed & why\n\n" +
		"```caution rotating\nKeep your hands off while it turns.\n```\n\n" +
		"It makes [19.95 Hz][idle.speed], from [48 V][card.battery.voltage], and [never more than 21 Hz][fast].\n\n" +
		"## The rule\n\nSee [above](#the-rule), [the other][lesson.second] and [a book](https://example.org/book).\n\n" +
		"```go\ntell.Value(\"idle.speed\", 19.95, \"Hz\")\n```\n\n" +
		"![One turn of the shaft](figure:contact)\n\n![All readings](table:readings)\n\n" +
		"### In detail\n\nNothing.\n\n" +
		"```visitor\n## A weight\n\nIt turns [20 times a second][idle.speed].\n\n![One turn](figure:contact)\n```\n\n" +
		"```visitor\n## Gravity\n\nIt tugs.\n\n![One turn](figure:contact)\n```\n\n" +
		"```docent\nAsk them first.\n```\n"
	secondLesson = "```lesson\ntitle = \"The other\"\nneeds = [\"first\"]\n```\n\nOnly words, and no number.\n"
	thirdLesson  = "```lesson\ntitle = \"Knobs\"\n```\n\n" +
		"Under load it makes [19.90 Hz][turned.speed], and [stays below 21 Hz][turned.slow].\n\n" +
		"## At [19.90 Hz][turned.speed]\n\n![Under load](figure:turned)\n\n![Under load and heat](figure:two)\n\n![Readings under load](table:turned.table)\n\n" +
		"```visitor\n## Load\n\nIt turns [19.9 times a second][turned.speed].\n\n![Under load](figure:turned)\n```\n\n" +
		"```visitor\n## Heat\n\nIt gets warm.\n\n![Under load and heat](figure:two)\n```\n"
)

func sampleResult() tell.Result {
	var s tell.Sheet
	s.Value("idle.speed", 19.950000000000003, "Hz")
	s.Value("drop.speed", -0.1, "Hz")
	s.Value("tiny", 1e-12, "")
	s.Below("fast", 20, 21, "Hz")
	var x, y []float64
	for i := range 201 {
		x, y = append(x, float64(i)/4000), append(y, 118*math.Sin(2*math.Pi*float64(i)/200))
	}
	s.Figure(tell.Figure{Name: "contact", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
		{Y: tell.Axis{Label: "governor contact"}, Lines: []tell.Line{{Label: "governor contact", Kind: waveform.Contact, X: []float64{0, 0.01, 0.05}, Y: []float64{1, 0, 0}, Stepped: true}}},
		{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{{Label: "output", X: x, Y: y}, {Label: "read off", X: x[:1], Y: y[:1], Marks: true}}},
	}})
	s.Table(tell.Table{Name: "readings", Columns: []tell.Column{{Head: "who"}, {Head: "speed", Unit: "Hz", Decimals: 2}},
		Rows: [][]tell.Entry{{tell.Text("first"), tell.Number(20)}}})
	r := s.Result()
	r.Cards = []string{"set"}
	return r
}

// turnedResult is told under knobs: three traces over 41 positions, and a
// figure under two knobs.
func turnedResult() tell.Result {
	var s tell.Sheet
	s.Knob("load", tell.Range{From: 0, To: 2, Steps: 41, Start: 0.5, Unit: "N m", Label: "load"}, func(load float64) {
		var x, output, current []float64
		for i := range 601 {
			at := float64(i) / 4000
			x = append(x, at)
			output = append(output, (118-3*load)*math.Sin(2*math.Pi*at*(20-0.1*load)))
			current = append(current, 1+load+0.3*math.Exp(-math.Mod(at, 0.05)*(60+20*load)))
		}
		s.Value("turned.speed", 20-0.2*load, "Hz")
		s.Below("turned.slow", 20-0.2*load, 21, "Hz")
		s.Figure(tell.Figure{Name: "turned", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
			{Y: tell.Axis{Label: "governor contact"}, Lines: []tell.Line{{Label: "governor contact", Kind: waveform.Contact, X: []float64{0, 0.03, 0.03 + 0.04/(1+load), 0.15}, Y: []float64{0, 1, 0, 0}, Stepped: true}}},
			{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{{Label: "output", X: x, Y: output}}},
			{Y: tell.Axis{Label: "current", Unit: "A"}, Lines: []tell.Line{{Label: "computed", X: x, Y: current}, {Label: "measured", X: x[:3], Y: current[:3], Marks: true}}},
		}})
		other := tell.Text("<heavy>")
		if load < 1 {
			other = tell.Number(load / 3)
		}
		s.Table(tell.Table{Name: "turned.table", Columns: []tell.Column{{Head: "who"}, {Head: "speed", Unit: "Hz", Decimals: 2}, {Head: "other", Decimals: 1}},
			Rows: [][]tell.Entry{{tell.Text("first"), tell.Number(20 - 0.2*load), other}}})
	})
	s.Knob("heat", tell.Range{From: 20, To: 60, Steps: 3, Start: 40, Unit: "\u00b0C", Label: "heat"}, func(heat float64) {
		s.Knob("age", tell.Range{From: 1, To: 0, Steps: 5, Start: 0.75, Label: "age of the brushes"}, func(age float64) {
			s.Figure(tell.Figure{Name: "two", Panes: []tell.Pane{{Lines: []tell.Line{
				{Label: "a", X: []float64{0, 1, 2}, Y: []float64{heat, age, 3}}, {Label: "b", X: []float64{2, 1 + age/2, 0, 0, 0.5}, Y: []float64{10 * age, heat, 5, 4 - age, 4 - age}}}}}})
		})
	})
	return s.Result()
}

// sampleHazards are those that the lessons of these tests declare.
func sampleHazards() card.Hazards {
	return card.Hazards{
		{Name: "rotating", Signal: "warning",
			HazardWords: card.HazardWords{Hazard: "Rotating shaft", Harm: "It winds in sleeves and hair.", Avoid: "Keep hands and hair away.", Accident: "Stop the set & call help.", Language: "en"},
			In:          map[string]card.HazardWords{"fr": {Hazard: "Arbre en rotation", Harm: "Il enroule manches et cheveux.", Avoid: "Tenez mains et cheveux loin.", Accident: "Arrêtez le groupe.", Language: "fr"}}},
		{Name: "voltage", Signal: "danger", HazardWords: card.HazardWords{Hazard: "Electric shock", Harm: "It can kill.", Avoid: "Touch nothing.", Accident: "Switch off first.", Language: "en"}},
	}
}

func sampleInput(t *testing.T) Input {
	t.Helper()
	return inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}})
}

// knobbedTree is the sample with a lesson more, which has knobs.
func knobbedTree(t *testing.T) publish.Tree {
	t.Helper()
	return treeOf(t, inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}, {"third", thirdLesson}}))
}

func inputOf(t *testing.T, sources [][2]string) Input {
	t.Helper()
	c := machine.Card{Name: "set", Title: "The set", Invented: true, Revised: "2026-11-20"}
	c.Fit("battery")
	c.Put("battery", "voltage", machine.Given{Value: 48, Unit: "V", Origin: machine.Nameplate, Note: "24 <cells>"})
	c.Put("battery", "cells", machine.Given{Value: 24, Unit: "1", Origin: machine.Nameplate})
	c.Put("battery", "resistance", machine.Given{Value: 0.05, Unit: "ohm", Origin: machine.Measured, Date: "2026-05-12"})
	in := Input{
		House: card.House{Name: "The Test House", Place: "nowhere", Contact: "the front desk", Languages: []string{"en"}, Hazards: sampleHazards()},
		Cards: []machine.Card{c},
	}
	var lessons []*lesson.Lesson
	for _, one := range sources {
		slug, source := one[0], one[1]
		l, messages := lesson.Parse(slug+"/lesson.md", []byte(source))
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		l.Slug, l.Folder = slug, "01-"+slug
		lessons = append(lessons, l)
	}
	for _, l := range lessons {
		result := tell.Result{}
		if l.Slug == "first" {
			result = sampleResult()
		}
		if l.Slug == "third" {
			result = turnedResult()
		}
		report, messages := proof.Folder{House: in.House, Cards: in.Cards, Lessons: lessons}.Check(l, result)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: result, Report: report})
	}
	return in
}

func sampleTree(t *testing.T) publish.Tree {
	t.Helper()
	return treeOf(t, sampleInput(t))
}

func treeOf(t *testing.T, in Input) publish.Tree {
	t.Helper()
	tree, messages := Build(in)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return tree
}
