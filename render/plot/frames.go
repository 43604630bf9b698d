package plot

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/tell"
)

// Frames is what changes of a drawing when the knobs of its figure are turned:
// its description, the paths of lines, of marks and of the thin lines to names,
// and the names. Axes stay where they are.
type Frames struct {
	Descriptions []string // one a frame
	Paths        []Moving // in the order of the attribute data-moves
}

// Moving is a path in all of its frames. Steps holds each form that it takes
// once, in whole tenths of a px: the first point's x and y, then the
// differences from each point to the next. Marks draw one shape at each point;
// Shape is its path data. A text begins at its one point.
type Moving struct {
	Text  bool    `json:"text,omitempty"`
	Shape string  `json:"shape,omitempty"`
	Form  []int   `json:"form"` // of each frame: an index of Steps
	Steps [][]int `json:"steps"`
}

// movedPath is a path of one frame.
type movedPath struct {
	text  bool
	shape string
	steps []int
}

// allFrames gives the panes of all frames that share their axes. A figure that
// was told under no knob has one.
func allFrames(f tell.Figure) [][]tell.Pane {
	if len(f.Frames) == 0 {
		return [][]tell.Pane{f.Panes}
	}
	return f.Frames
}

// allMoves draws every frame on the figure's axes.
func (l *layout) allMoves() (*Frames, error) {
	out := &Frames{}
	seen := []map[string]int{}
	for _, panes := range l.frames {
		one := *l
		one.figure.Panes = panes
		one.panes = slices.Clone(l.panes)
		for i := range one.panes {
			one.panes[i].Pane = panes[i]
		}
		one.movesOnly = true
		c, err := one.drawPanes()
		if err != nil {
			return nil, err
		}
		for i, p := range c.moved {
			if i == len(out.Paths) {
				out.Paths = append(out.Paths, Moving{Text: p.text, Shape: p.shape})
				seen = append(seen, map[string]int{})
			}
			m := &out.Paths[i]
			key := fmt.Sprint(p.steps)
			form, had := seen[i][key]
			if !had {
				form = len(m.Steps)
				seen[i][key] = form
				m.Steps = append(m.Steps, p.steps)
			}
			m.Form = append(m.Form, form)
		}
		out.Descriptions = append(out.Descriptions, describe(one.figure, one.said))
	}
	return out, nil
}

// where says at which positions of its knobs a frame of a figure stands.
func where(f tell.Figure, knobs []tell.Knob, frame int) string {
	if len(f.Frames) == 0 {
		return ""
	}
	at := f.At(knobs, frame)
	var words []string
	for i, k := range f.Under(knobs) {
		words = append(words, with(k.Label+" at "+short(at[i]), k.Unit))
	}
	if len(words) == 0 {
		return fmt.Sprintf(", in frame %d of %d", frame+1, len(f.Frames))
	}
	return ", with " + strings.Join(words, " and ")
}
