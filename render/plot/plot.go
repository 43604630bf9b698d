// Package plot draws the figures that cells tell, as SVG, and writes their
// numbers as CSV.
//
//	drawing, err := plot.Draw(figure, plot.Settings{ID: "contact", Title: "The contact closes once a turn"})
//
// A drawing holds classes instead of colours and widths, so that the page's
// style sheet decides how it looks, on light ground and on dark. Classes that
// the style sheet has to know: plot (the whole), pane, grid, axis, tick,
// label (numbers at ticks), quantity (names of axes), line with line-1 to
// line-6, key with the same (a piece of the line before its name), marks with
// marks-1 to marks-6, band with band-1 to band-6 (an area around a
// line that leans on doubt), name with name-1 to name-6 (labels at lines' ends or near
// their points) and leader with the same (from a label that stands off). Lines
// of one pane differ in dash pattern by class, marks differ in shape.
//
// Of a line whose kind is waveform.Contact, 1 reads as closed and 0 as open; of
// one whose kind is waveform.Working, as on and off.
//
// gonum/plot chooses the ticks, measures letters, places data on the axes and
// draws lines, on a canvas of ours that takes classes for colours. Axes,
// numbers and names are drawn here: gonum's ticks round 20.35 to 20, its axes
// turn the name of the upright one, and each of its plots has an edge of its
// own, where panes share one. Marks are drawn here too, many in one path.
//
// The package knows figures only; it places nothing on a page.
package plot

import (
	"fmt"
	"math"

	"slipring/engine/tell"
	"slipring/render/words"
)

// Settings says how large a drawing is and how it is called. The zero value
// works.
type Settings struct {
	ID     string  // id of the drawing, unique on its page; "plot" when empty
	Title  string  // what the drawing shows; the figure's name when empty
	Width  float64 // px; 680 when 0
	Height float64 // px; enough for each pane when 0 or too small
	Text   float64 // px, size of text; 14 when 0

	// Tallest is the height in px above which panes are made lower, down to
	// less than half, so that the text need not become smaller where a page
	// fits the drawing into a box; no limit when 0.
	Tallest float64

	Words *words.Words              // of the descriptions; English when nil
	Told  func(label string) string // gives labels in that language; as told when nil

	Knobs []tell.Knob // of the lesson, to name positions in errors
	Still bool        // for paper: no frames, though axes are those of all
}

const (
	usualWidth = 680
	usualText  = 14
)

// Drawing is a figure as it stands in a page.
type Drawing struct {
	SVG         string
	Description string // what a listener is told of the data

	// Frames is nil but for a figure that was told under knobs. The path with
	// the attribute data-moves="2", or the text, is the one of index 2.
	Frames *Frames
}

// Draw draws a figure as it stands at the start of its knobs, on axes that
// hold all of its frames. The same figure with the same settings gives the
// same bytes. It fails when the figure has no line, when a line has no point,
// when a number is not finite, when frames differ in more than their points,
// or when an axis would span more than a float64 holds.
func Draw(f tell.Figure, s Settings) (Drawing, error) {
	if err := check(f, s.Knobs); err != nil {
		return Drawing{}, err
	}
	if s.ID == "" {
		s.ID = "plot"
	}
	if s.Title == "" {
		s.Title = f.Name
	}
	if s.Text <= 0 {
		s.Text = usualText
	}
	if s.Width <= 0 {
		s.Width = usualWidth
	}
	l := layOut(f, s)
	if l.err != nil {
		return Drawing{}, fmt.Errorf("figure %q: %w", f.Name, l.err)
	}
	description := describe(f, l.said)
	l.still = s.Still || len(f.Frames) == 0
	svg, err := l.draw(s, description)
	d := Drawing{SVG: svg, Description: description}
	if err == nil && !l.still {
		d.Frames, err = l.allMoves()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("figure %q: %w", f.Name, err)
	}
	return d, nil
}

func check(f tell.Figure, knobs []tell.Knob) error {
	if len(f.Panes) == 0 {
		return fmt.Errorf("figure %q has no pane", f.Name)
	}
	for k, panes := range allFrames(f) {
		if err := checkPanes(f, panes, where(f, knobs, k)); err != nil {
			return err
		}
	}
	xs := newRange()
	for i, p := range f.Panes {
		ys := newRange()
		for _, panes := range allFrames(f) {
			for _, l := range panes[i].Lines {
				xs.add(l.X...)
				ys.add(l.Y...)
				ys.add(l.Low...)
				ys.add(l.High...)
			}
		}
		if !finite(2 * ys.span()) {
			return fmt.Errorf("figure %q: %q spans more than can be drawn", f.Name, p.Y.Label)
		}
	}
	if !finite(2 * xs.span()) {
		return fmt.Errorf("figure %q: %q spans more than can be drawn", f.Name, f.X.Label)
	}
	return nil
}

// checkPanes checks one frame; where says which, for messages.
func checkPanes(f tell.Figure, panes []tell.Pane, where string) error {
	if len(panes) != len(f.Panes) {
		return fmt.Errorf("figure %q has %d panes and not %d%s", f.Name, len(panes), len(f.Panes), where)
	}
	for i, p := range panes {
		if len(p.Lines) == 0 {
			return fmt.Errorf("figure %q has a pane without a line%s", f.Name, where)
		}
		if len(p.Lines) != len(f.Panes[i].Lines) {
			return fmt.Errorf("pane %d of figure %q has %d lines and not %d%s", i+1, f.Name, len(p.Lines), len(f.Panes[i].Lines), where)
		}
		for k, l := range p.Lines {
			if first := f.Panes[i].Lines[k]; l.Kind != first.Kind || l.Marks != first.Marks || l.Measured != first.Measured || l.Stepped != first.Stepped || banded(l) != banded(first) {
				return fmt.Errorf("line %q of figure %q is drawn in another way%s", l.Label, f.Name, where)
			}
			if len(l.X) == 0 || len(l.X) != len(l.Y) {
				return fmt.Errorf("line %q of figure %q has %d x values and %d y values%s", l.Label, f.Name, len(l.X), len(l.Y), where)
			}
			if banded(l) && (len(l.Low) != len(l.X) || len(l.High) != len(l.X)) {
				return fmt.Errorf("line %q of figure %q has %d points and a band of %d and %d%s", l.Label, f.Name, len(l.X), len(l.Low), len(l.High), where)
			}
			for n := range l.Low {
				if !finite(l.Low[n]) || !finite(l.High[n]) {
					return fmt.Errorf("line %q of figure %q has a band from %v to %v%s", l.Label, f.Name, l.Low[n], l.High[n], where)
				}
			}
			for n := range l.X {
				if !finite(l.X[n]) || !finite(l.Y[n]) {
					return fmt.Errorf("line %q of figure %q has a point at %v, %v%s", l.Label, f.Name, l.X[n], l.Y[n], where)
				}
			}
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// span of numbers, from the least to the greatest
type span struct{ low, high float64 }

func newRange() span { return span{math.Inf(1), math.Inf(-1)} }

func (r *span) add(xs ...float64) {
	for _, x := range xs {
		r.low, r.high = min(r.low, x), max(r.high, x)
	}
}

func (r span) span() float64 { return r.high - r.low }

// wide gives a span that an axis can show: with a part of it added at each
// end, and never so narrow that its ends could not be told apart on labels.
func (r span) wide(part float64) span {
	add := part * r.span()
	if least := 1e-9 * max(math.Abs(r.low), math.Abs(r.high)); r.span() <= least {
		add = max(0.05*math.Abs(r.high), 1e-300)
		if r.high == 0 {
			add = 1
		}
	}
	return span{r.low - add, r.high + add}
}

// twoValued says whether a line does nothing but switch between 0 and 1.
func twoValued(l tell.Line) bool {
	for _, y := range l.Y {
		if y != 0 && y != 1 {
			return false
		}
	}
	return l.Stepped && !l.Marks
}
