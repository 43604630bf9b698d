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

	// Told says where each number comes from that the lesson quotes, with the
	// equations; Stories lists the same.
	Told    template.HTML
	Stories []Story

	Marks Marks // of its cautions and questions, in their order
}

// NewCourse prints the whole lesson but for what is meant for others: its
// text, cautions, figures, folded cells, and behind the block that uses a word of
// the glossary first, its meaning. The title is left to the page: a
// first heading that repeats it is not printed, and other headings begin at
// level 2.
func NewCourse(in Input, l Links) (Course, []diag.Message) {
	p := newPrinter(in, l)
	p.outside, p.cells = true, true
	// As wide as a telephone shows it, so that its words are 12 px there; beside the
	// text on a larger screen it is a little larger.
	p.plot = plot.Settings{Width: 400, Height: 300, Text: 14}
	p.turning = newTurning(in)
	p.cites, p.marking, p.stories = true, newMarking(in.Lesson, in.Hazards), new(stories)
	p.withNotes(in.Lesson.WithoutTitle())
	c := Course{Body: p.piece(), Headings: p.headings}
	c.Told = p.tellStories()
	c.Knobs, c.Features, c.Stories = p.data(), p.features, p.stories.list
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
