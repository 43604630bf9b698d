// Package plot draws the figures that cells tell, as SVG, and writes their
// numbers as CSV.
//
//	drawing, err := plot.Draw(figure, plot.Settings{ID: "contact", Title: "The contact closes once a turn"})
//
// A drawing holds classes instead of colours and widths, so that the page's
// style sheet decides how it looks, on light ground and on dark. Classes that
// the style sheet has to know: plot (the whole), pane, grid, axis, tick,
// label (numbers at ticks), quantity (names of axes), line with line-1 to
// line-6, marks with marks-1 to marks-6, name with name-1 to name-6 (labels at
// lines' ends) and leader. Lines of one pane differ in dash pattern by class,
// marks differ in shape.
//
// A line whose label ends in "contact" and that has no unit is read as a
// contact: 1 is closed, 0 is open, as engine/machine records it.
//
// The package knows figures only; it places nothing on a page.
package plot

import (
	"fmt"
	"math"

	"slipring/engine/tell"
)

// Settings says how large a drawing is and how it is called. The zero value
// works.
type Settings struct {
	ID     string  // id of the drawing, unique on its page; "plot" when empty
	Title  string  // what the drawing shows; the figure's name when empty
	Width  float64 // px; 680 when 0
	Height float64 // px; enough for each pane when 0 or too small
	Text   float64 // px, size of text; 14 when 0
}

// Drawing is a figure as it stands in a page.
type Drawing struct {
	SVG         string
	Description string // what a listener is told of the data
}

// Draw draws a figure. The same figure with the same settings gives the same
// bytes. It fails when the figure has no line, when a line has no point, when
// a number is not finite, or when an axis would span more than a float64
// holds.
func Draw(f tell.Figure, s Settings) (Drawing, error) {
	if err := check(f); err != nil {
		return Drawing{}, err
	}
	if s.ID == "" {
		s.ID = "plot"
	}
	if s.Title == "" {
		s.Title = f.Name
	}
	if s.Text <= 0 {
		s.Text = 14
	}
	if s.Width <= 0 {
		s.Width = 680
	}
	description := describe(f)
	svg, err := layOut(f, s).draw(s, description)
	if err != nil {
		return Drawing{}, fmt.Errorf("figure %q: %w", f.Name, err)
	}
	return Drawing{SVG: svg, Description: description}, nil
}

func check(f tell.Figure) error {
	if len(f.Panes) == 0 {
		return fmt.Errorf("figure %q has no pane", f.Name)
	}
	xs := newRange()
	for _, p := range f.Panes {
		if len(p.Lines) == 0 {
			return fmt.Errorf("figure %q has a pane without a line", f.Name)
		}
		ys := newRange()
		for _, l := range p.Lines {
			if len(l.X) == 0 || len(l.X) != len(l.Y) {
				return fmt.Errorf("line %q of figure %q has %d x values and %d y values", l.Label, f.Name, len(l.X), len(l.Y))
			}
			for i := range l.X {
				if !finite(l.X[i]) || !finite(l.Y[i]) {
					return fmt.Errorf("line %q of figure %q has a point at %v, %v", l.Label, f.Name, l.X[i], l.Y[i])
				}
			}
			xs.add(l.X...)
			ys.add(l.Y...)
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
