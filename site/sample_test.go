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
)

// The lessons of these tests; all numbers in them are invented.
const (
	firstLesson = "```lesson\ntitle = \"What holds <the> speed & why\"\nminutes = 10\nhazards = [\"rotating\"]\nrevised = 2026-11-25\n```\n\n" +
		"# What holds <the> speed & why\n\n" +
		"```caution rotating warning\nKeep your hands off while it turns.\n```\n\n" +
		"It makes [19.95 Hz][idle.speed], from [48 V][card.battery.voltage], and [never more than 21 Hz][fast].\n\n" +
		"## The rule\n\nSee [above](#the-rule), [the other][lesson.second] and [a book](https://example.org/book).\n\n" +
		"```go\ntell.Value(\"idle.speed\", 19.95, \"Hz\")\n```\n\n" +
		"![One turn of the shaft](figure:contact)\n\n![All readings](table:readings)\n\n" +
		"### In detail\n\nNothing.\n\n" +
		"```visitor\n## A weight\n\nIt turns [20 times a second][idle.speed].\n\n![One turn](figure:contact)\n```\n\n" +
		"```visitor\n## Gravity\n\nIt tugs.\n\n![One turn](figure:contact)\n```\n\n" +
		"```docent\nAsk them first.\n```\n"
	secondLesson = "```lesson\ntitle = \"The other\"\nneeds = [\"first\"]\n```\n\nOnly words, and no number.\n"
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
		{Y: tell.Axis{Label: "governor contact"}, Lines: []tell.Line{{Label: "governor contact", X: []float64{0, 0.01, 0.05}, Y: []float64{1, 0, 0}, Stepped: true}}},
		{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{{Label: "output", X: x, Y: y}, {Label: "read off", X: x[:1], Y: y[:1], Marks: true}}},
	}})
	s.Table(tell.Table{Name: "readings", Columns: []tell.Column{{Head: "who"}, {Head: "speed", Unit: "Hz", Decimals: 2}},
		Rows: [][]tell.Entry{{tell.Text("first"), tell.Number(20)}}})
	r := s.Result()
	r.Cards = []string{"set"}
	return r
}

func sampleInput(t *testing.T) Input {
	t.Helper()
	c := machine.Card{Name: "set", Title: "The set", Invented: true, Revised: "2026-11-20"}
	c.Fit("battery")
	c.Battery.Voltage = machine.Constant{Value: 48, Unit: "V", From: machine.Nameplate, Note: "24 <cells>"}
	c.Battery.Resistance = machine.Constant{Value: 0.05, Unit: "ohm", From: machine.Measured, Date: "2026-05-12"}
	in := Input{
		House: card.House{Name: "The Test House", Place: "nowhere", Contact: "the front desk", Languages: []string{"en"}},
		Cards: []machine.Card{c},
	}
	var lessons []*lesson.Lesson
	for slug, source := range map[string]string{"first": firstLesson, "second": secondLesson} {
		l, messages := lesson.Parse(slug+"/lesson.md", []byte(source))
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		l.Slug, l.Folder = slug, "01-"+slug
		if slug == "first" {
			lessons = append([]*lesson.Lesson{l}, lessons...)
		} else {
			lessons = append(lessons, l)
		}
	}
	for _, l := range lessons {
		result := tell.Result{}
		if l.Slug == "first" {
			result = sampleResult()
		}
		report, messages := proof.Check(l, result, in.Cards, lessons)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		in.Lessons = append(in.Lessons, Lesson{Lesson: l, Result: result, Report: report})
	}
	return in
}

func sampleTree(t *testing.T) Tree {
	t.Helper()
	tree, messages := Build(sampleInput(t))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return tree
}
