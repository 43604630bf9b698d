// Package motion draws mechanisms that move: a motion that a cell told becomes
// an SVG drawing at one well chosen instant, and a small block of data from
// which the page's script draws every other instant in slow motion.
//
//	drawing, err := motion.Draw(told, motion.Settings{ID: "governor"})
//
// The drawing stands for itself: in print, with reduced motion asked for, or
// with no script at all, the reader sees the still. It holds classes instead
// of colours, as in render/plot, so that the page's style sheet decides how it
// looks. Below the class motion-drawing the style sheet has to know: shape
// with body, iron, copper, brass, insulation, ground (filled parts), glow (at
// a closed contact), pull (arrows of force) and turning (an arrow's head);
// line with wire, spring, ring, needle, thin, turning and band (where in the
// turn a contact is closed); flux, whose width is not for the style sheet; sign
// (dot and cross of a current); leader, dot and label (names of parts, with
// on-brass where they stand on one); state with on and off (what a contact
// does); lit and ray (a lamp that burns, a gong that rings); trace, pen and
// level (a curve that is being drawn, and the line that leads to it) and marked
// (what it is drawn from); glass, halo, hot and fill (a fuse and its bars); clamp
// (what holds a contact); small (bells in a row).
//
// What moves carries data-part; the data say for each part by what it moves.
// The package places nothing on a page and plays nothing: site/web/motion.js
// does.
package motion

import (
	"fmt"
	"math"

	"slipring/engine/card"
	"slipring/engine/tell"
	"slipring/render/markup"
	ui "slipring/render/words"
)

// Settings says how a drawing is called. The zero value works.
type Settings struct {
	ID    string    // id of the drawing, unique on its page; "motion" when empty
	Title string    // what the drawing shows; the mechanism's own title when empty
	Words *ui.Words // of labels and descriptions; English when nil

	Scene card.Scene // of the house, which tell.Whole moves
}

// Drawing is a motion as it stands in a page.
type Drawing struct {
	SVG         string
	Data        string // JSON that is safe inside a script element of type application/json
	Description string // what a listener is told
	Note        string // how many times slower than the machine, and what is drawn too large
}

// Draw draws a motion. The same motion with the same settings gives the same
// bytes. It fails when the motion lacks a signal of its mechanism, when
// signals are empty or hold numbers that are not finite.
func Draw(m tell.Motion, s Settings) (Drawing, error) {
	if s.ID == "" {
		s.ID = "motion"
	}
	w, err := s.say()
	if err != nil {
		return Drawing{}, fmt.Errorf("motion %q: %w", m.Name, err)
	}
	c, err := read(m)
	if err != nil {
		return Drawing{}, fmt.Errorf("motion %q: %w", m.Name, err)
	}
	if m.Mechanism == tell.Whole {
		return whole(c, w, s)
	}
	draw, ok := mechanisms()[m.Mechanism]
	if !ok {
		return Drawing{}, fmt.Errorf("motion %q shows a mechanism %q, which is not known", m.Name, m.Mechanism)
	}
	return draw(c, w).finish(s, w)
}

// say gives the words of a drawing.
func (s Settings) say() (words, error) {
	if s.Words != nil {
		return words{s.Words}, nil
	}
	w, err := ui.In("en")
	return words{w}, err
}

// mechanisms says who draws what. Each has a file of its own, an entry here,
// words in the files of package language, and an entry in the table of tell, which says what it
// needs.
func mechanisms() map[tell.Mechanism]func(course, words) picture {
	return map[tell.Mechanism]func(course, words) picture{
		tell.Balance:   balance,
		tell.Bell:      bell,
		tell.Fuse:      fuse,
		tell.Generator: generator,
		tell.Governor:  governor,
		tell.Regulator: regulator,
		tell.ToneWheel: toneWheel,
	}
}

// picture is a drawing with its film, not yet put together.
type picture struct {
	film        *film
	draw        func(*canvas) // draws the parts, which have their places at the still by then
	wide, high  float64       // px; 0 for the usual width and height
	title       string
	description string
	note        string
}

func (p picture) finish(s Settings, w words) (Drawing, error) {
	if s.Title == "" {
		s.Title = p.title
	}
	if p.wide == 0 {
		p.wide = width
	}
	if p.high == 0 {
		p.high = height
	}
	p.film.Still = micro(p.film.Still)
	if p.film.Ends = !p.film.joins(); !p.film.Ends {
		p.film.Words.Again = ""
	}
	data, err := p.film.encode()
	if err != nil {
		return Drawing{}, err
	}
	c := &canvas{still: p.film.at(p.film.Still)}
	class := "motion-drawing"
	if p.wide > width {
		class += " wide"
	}
	c.open("svg", "class", class, "id", s.ID, "xmlns", "http://www.w3.org/2000/svg",
		"viewBox", "0 0 "+markup.Tenths(p.wide)+" "+markup.Tenths(p.high), "role", "img", "lang", w.Language(),
		"aria-labelledby", s.ID+"-title", "aria-describedby", s.ID+"-desc")
	c.text("title", s.Title, "id", s.ID+"-title")
	c.text("desc", p.description, "id", s.ID+"-desc")
	p.draw(c)
	c.close("svg")
	if c.err != nil {
		return Drawing{}, c.err
	}
	return Drawing{SVG: c.String(), Data: data, Description: p.description, Note: p.note}, nil
}

// The size of a drawing in px at which text is 34 px high. On the kiosk's
// screen of 1080 px that is about 28 px. Those with an instrument beside the
// mechanism are wider; those with a sound below them are less high.
const (
	width    = 760
	wide     = 960
	height   = 620
	textSize = 34
)

// circle gives the point at a radius and an angle in degrees from straight
// down, clockwise, which is how a shaft angle is counted here: 0 is the
// governor weight at its lowest.
func circle(x, y, radius, angle float64) (float64, float64) {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	return x - radius*sin, y + radius*cos
}
