package page

import (
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// A talk is on its own sheet alone: with the caution about its hazard in full,
// the other hazards by name, and its numbers as the model gives them.
func TestTalk(t *testing.T) {
	in := source(t)
	l, messages := lesson.Parse("lesson.md", []byte(sample+"\n```talk voltage\n## The *wet* hand\n\nIt made [20.0 Hz][idle.speed]. <b>\n\nSo they ran.\n\n"+
		"1. Who knew?\n2. Who asked?\n3. Who ran?\n\nIt [never runs away][fast].\n```\n"))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	other := &lesson.Lesson{Slug: "other", Title: "The other"}
	report, messages := proof.Folder{House: house, Cards: in.Cards, Lessons: []*lesson.Lesson{l, other}}.Check(l, in.Result)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lesson, in.Report = l, report
	talk, messages := NewTalk(in)
	if diag.HasError(messages) {
		t.Error(messages)
	}
	words := func(piece string) string { return strings.Join(strings.Fields(text(parsed(t, piece))), " ") }
	for _, c := range []struct{ got, want string }{
		{words(string(talk.Title)), "The wet hand"},
		{words(string(talk.Story)), "It made 20.0 Hz. <b> So they ran."},
		{words(string(talk.Rule)), "It never runs away."},
		{words(string(talk.Caution)), "Danger Shock It kills. Touch nothing."},
		{words(string(talk.Accident)), "Shock: Switch off."},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if len(talk.Questions) != 3 || words(string(talk.Questions[2])) != "Who ran?" {
		t.Errorf("the questions are %q", talk.Questions)
	}
	if len(talk.Others) != 1 || words(string(talk.Others[0].Line)) != "Warning: Turning <shaft>" {
		t.Errorf("the other hazards are %+v", talk.Others)
	}

	course, _ := NewCourse(in, Links{})
	handout, _ := NewHandout(in, Guide)
	for _, piece := range append(handout.Cautions, course.Body, handout.Story[0].Text, handout.Points[""][0]) {
		if strings.Contains(string(piece), "So they ran") {
			t.Errorf("the talk stands on another page: %s", piece)
		}
	}
	for _, h := range course.Headings {
		if strings.Contains(string(h.Text), "hand") {
			t.Error("the talk's heading is in the contents of the course page")
		}
	}
	if none, _ := NewTalk(source(t)); none.Title != "" {
		t.Errorf("a lesson without a talk has one: %+v", none)
	}
}
