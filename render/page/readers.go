package page

import (
	"html/template"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/plot"
)

// Course is a lesson as the volunteers read it.
type Course struct {
	Body     template.HTML
	Headings []Heading // without the lesson's title

	Features []Feature

	// Knobs is an element with what turning the page's knobs changes, for the
	// script that does it. It is empty where there is no knob to turn.
	Knobs template.HTML

	Words []Term // of the glossary, that the lesson uses

	Marks Marks // of its cautions and questions, in their order
}

// NewCourse prints the whole lesson but for what is meant for others: its
// text, cautions, figures, and folded cells. The title is left to the page: a
// first heading that repeats it is not printed, and other headings begin at
// level 2.
func NewCourse(in Input, l Links) (Course, []diag.Message) {
	p := newPrinter(in, l)
	p.outside, p.cells = true, true
	p.plot = plot.Settings{Width: 680, Text: 14}
	p.turning = newTurning(in)
	p.cites, p.marking = true, newMarking(in.Lesson, in.Hazards)
	c := Course{Body: p.print(in.Lesson.WithoutTitle()...), Headings: p.headings, Knobs: p.data(), Features: p.features, Words: Words(in)}
	c.Marks = p.marking.Marks
	return c, p.finish()
}

// Kiosk is what visitors see of a lesson, one panel a screen.
type Kiosk struct {
	Cautions []Warned // the gravest first
	Panels   []Panel
	Knobs    template.HTML // as in Course
	Features []Feature
}

// Panel is one screen. Title is inline, and empty where the panel begins with
// no heading. Figures holds what the panel places, Text all else.
type Panel struct {
	Title   template.HTML
	Text    template.HTML
	Figures template.HTML
}

// NewKiosk prints the visitors' panels. Nothing in them leads away from the
// kiosk: of the links, only the files of sounds are used.
func NewKiosk(in Input, l Links) (Kiosk, []diag.Message) {
	p := newPrinter(in, Links{Sound: l.Sound})
	p.lowest = 3
	// A figure is shown 930 px wide on a screen of 1920 x 1080 px and 970 px on
	// one of 1080 x 1920 px, so that its text is 28 px there. One shape fits
	// both: what words leave of the one and knobs of the other.
	p.plot = plot.Settings{Width: 740, Height: 540, Text: 22.75}
	p.tallest = [3]float64{540, 460, 395}
	p.turning = newTurning(in)
	p.autoplay, p.status = true, true
	k := Kiosk{Cautions: p.warned()}
	for _, n := range all(in.Lesson.Body, lesson.VisitorPanel) {
		k.Panels = append(k.Panels, p.panel(n))
	}
	k.Knobs, k.Features = p.data(), p.features
	return k, p.finish()
}
