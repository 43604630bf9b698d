package page

import (
	"html/template"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Talk is the sheet for a talk of ten minutes about a hazard of a lesson.
type Talk struct {
	Title     template.HTML // inline; empty where the lesson has no talk
	Caution   template.HTML // in full, about the talk's hazard
	Others    []Notice      // the lesson's other hazards
	Story     template.HTML
	Questions []template.HTML
	Rule      template.HTML
	Accident  template.HTML // what to do first once the talk's hazard has hurt somebody
}

// NewTalk prints the talk of a lesson that has one.
func NewTalk(in Input) (Talk, []diag.Message) {
	var t Talk
	blocks := all(in.Lesson.Body, lesson.TalkBlock)
	if len(blocks) == 0 {
		return t, nil
	}
	p := newPrinter(in, Links{})
	hazard, said := blocks[0].Hazard, blocks[0].Talk()
	t.Title = p.print(said.Title.Children...)
	for _, n := range all(in.Lesson.Body, lesson.Caution) {
		if n.Hazard == hazard {
			t.Caution = p.print(n)
		}
	}
	for _, n := range Notices(in.Lesson, in.Hazards, p.ui) {
		if n.Name == hazard {
			t.Accident = n.Accident
		} else {
			t.Others = append(t.Others, n)
		}
	}
	t.Story = p.print(said.Story...)
	for _, q := range said.Questions {
		t.Questions = append(t.Questions, p.print(q.Children...))
	}
	t.Rule = p.print(said.Rule)
	return t, p.finish()
}
