package site

import (
	"fmt"
	"html/template"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/render/page"
)

// screen is one screen of a lesson on the kiosk. The first shows the lesson's
// title, its panels to choose from, and for each caution its sign and a line, so
// that nobody reaches a panel past them. Behind each sign is a screen with the
// notice in full.
type screen struct {
	page.Panel
	First      bool
	Number     int // of the panel, from 1; 0 on the first screen
	ID         string
	Back, Next string // links; "" at either end
}

type kioskPage struct {
	*lessonPages
	waiting
	Cautions []page.Warned
	Sign     template.HTML // beside each
	Screens  []screen
	Knobs    template.HTML
	Scene    template.HTML // a drawing on the first screen; "" for none
}

// waiting says how long a kiosk waits for a touch, in s.
type waiting struct {
	Idle int // then it starts again
	Ask  int // that long before, it asks whether somebody is there
}

// waits gives the times of the house; 0 is for times that it leaves open.
func (b *builder) waits() waiting {
	w := waiting{b.House.Idle, b.House.Ask}
	if w.Idle == 0 {
		w.Idle = card.IdleSeconds
	}
	if w.Ask == 0 {
		w.Ask = card.AskSeconds
	}
	return w
}

func (b *builder) printKiosk(e *lessonPages) (messages []diag.Message) {
	e.kiosk, messages = page.NewKiosk(e.Input, b.linksFrom("kiosk", e))
	return messages
}

func (b *builder) kioskPage(e *lessonPages) (shell, bool) {
	p := kioskPage{lessonPages: e, waiting: b.waits(), Cautions: e.kiosk.Cautions, Sign: page.AlertSign(), Knobs: e.kiosk.Knobs, Scene: b.place(e, "whole", 0, false).Drawing}
	of := len(e.kiosk.Panels) + 1
	for i := range of {
		s := screen{First: i == 0, Number: i, ID: screenID(i)}
		if i > 0 {
			s.Panel = e.kiosk.Panels[i-1]
			s.Back = "#" + screenID(i-1)
		}
		if i+1 < of {
			s.Next = "#" + screenID(i+1)
		}
		p.Screens = append(p.Screens, s)
	}
	return shell{Title: b.title(e.Lesson.Title, b.words.Text("kiosk.window")), Features: e.kiosk.Features, Page: p}, onKiosk(b.House, e)
}

// screenID holds a dot, which no heading's identifier does.
func screenID(i int) string { return fmt.Sprintf("screen.%d", i+1) }

// Pages, Panels and Of are for the template: the lesson, its screens but for
// the first, and how many these are.
func (p kioskPage) Pages() *lessonPages { return p.lessonPages }
func (p kioskPage) Panels() []screen    { return p.Screens[1:] }
func (p kioskPage) Of() int             { return len(p.Screens) - 1 }

// signal is one signal word with the hazards of a lesson that have it.
type signal struct {
	Class, Word string
	Hazards     []template.HTML
}

// Signals gives the cautions of a lesson in short for each of its panels: of
// the gravest the line for visitors, of the others what they are, the gravest
// signal word first.
func (p kioskPage) Signals() []signal {
	var out []signal
	for i, c := range p.Cautions {
		if i == 0 {
			out = append(out, signal{c.Class, c.Signal, []template.HTML{c.Glance}})
			continue
		}
		if last := len(out) - 1; i > 1 && out[last].Class == c.Class {
			out[last].Hazards = append(out[last].Hazards, c.Hazard)
			continue
		}
		out = append(out, signal{c.Class, c.Signal, []template.HTML{c.Hazard}})
	}
	return out
}
