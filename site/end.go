package site

import (
	"html/template"
	"slices"

	"slipring/engine/lesson"
	"slipring/render/page"
)

const (
	endPath  = "course/end-to-end/index.html"
	endSheet = "end-to-end" // its edition, for those who print
)

// endPage is all steps of commissioning of all lessons, from one end of the set
// to the other.
type endPage struct {
	Cautions []template.HTML // in full, of all lessons that have such steps
	Stages   []stage
	People   []string // who is there, to be filled in
}

// stage is one part of the set.
type stage struct {
	Stage string // one of lesson.Stages
	Name  string
	Of    []staged
}

// staged is what one lesson has to be done at one part of the set.
type staged struct {
	Acts  []page.Act
	Of    *lessonPages
	Named bool         // the part before ended with the same lesson
	Added []page.Added // what the lesson's cautions add to the house's words
}

// fromEndToEnd is the page of all steps of commissioning.
func (b *builder) fromEndToEnd() (shell, bool) {
	var p endPage
	var with []*lessonPages
	for _, name := range lesson.Stages() {
		s := stage{Stage: name, Name: b.words.Text("step." + name)}
		for _, e := range b.course() {
			one := staged{Of: e}
			if !slices.Contains(with, e) { // once is enough
				one.Added = e.atMachine.Added
			}
			for _, act := range e.atMachine.Acts {
				if act.Stage == name {
					one.Acts = append(one.Acts, act)
				}
			}
			if len(one.Acts) > 0 {
				one.Named = len(with) > 0 && with[len(with)-1] == e
				s.Of, with = append(s.Of, one), append(with, e)
			}
		}
		if len(s.Of) > 0 {
			p.Stages = append(p.Stages, s)
		}
	}
	if len(p.Stages) == 0 {
		return shell{}, false
	}
	p.Cautions, p.People = b.dangers(with), b.people()
	return shell{Title: b.title(b.words.Text("step.title")), From: b.from(with...), Page: p}, true
}

// dangers gives the notices of all hazards of some lessons, in full.
func (b *builder) dangers(of []*lessonPages) (notices []template.HTML) {
	hazards := map[string]bool{}
	for _, e := range of {
		for _, name := range e.Lesson.Facts.Hazards {
			hazards[name] = true
		}
	}
	for _, h := range b.House.Hazards {
		if hazards[h.Name] {
			notices = append(notices, page.InFull(h, b.words))
		}
	}
	return notices
}

// people names who is there, with a line for each to write on.
func (b *builder) people() (people []string) {
	for _, key := range []string{"on", "who", "second", "licensed"} {
		people = append(people, b.words.Text("machine."+key))
	}
	return people
}

// FromEndToEnd gives a link to the page of all steps of commissioning, "" where
// lessons have none.
func (s shell) FromEndToEnd() string {
	if !s.edition.holds(lesson.StepBlock) {
		return ""
	}
	return s.To(endPath)
}

// AlertSign is for the template.
func (p endPage) AlertSign() template.HTML { return page.AlertSign() }
