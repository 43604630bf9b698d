package page

import (
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/tell"
	"slipring/render/motion"
)

// motion prints a figure that moves: a still, what a script makes it move by,
// and what it says about itself. On paper the still is all.
func (r *reader) motion(n *lesson.Node, m tell.Motion) {
	drawing, err := motion.Draw(m, motion.Settings{ID: r.id("motion." + n.Name), Title: r.words(n), Language: r.source.Lesson.Language})
	if err != nil {
		r.fail(n, "motion", err.Error(), "change the motion in its cell")
		return
	}
	r.moving = true
	r.line()
	r.put("<figure class=\"motion\"")
	if id := r.plotBeside(n, m); id != "" {
		r.putf(` data-plot="%s"`, escape(id))
	}
	if r.autoplay {
		r.put(" data-autoplay")
	}
	r.putf(">\n%s\n", drawing.SVG)
	if r.turning != nil {
		// Draw writes <, > and & in the data as escapes.
		r.putf("<script type=\"application/json\" class=\"motion-data\">%s</script>\n", drawing.Data)
	}
	r.put("<figcaption>")
	r.nodes(n.Children, false)
	r.putf("\n<p class=\"motion-note\">%s</p>\n</figcaption>\n</figure>\n", escape(drawing.Note))
}

// plotBeside gives the identifier of the plot that stands right before or
// behind a motion and shows the same time, so that a cursor can run over it in
// step; "" where there is none. A plot that follows knobs shows another time
// at each of their positions.
func (r *reader) plotBeside(n *lesson.Node, m tell.Motion) string {
	before, behind := beside(r.source.Lesson.Body, n)
	for _, o := range []*lesson.Node{before, behind} {
		if o == nil || o.Kind != lesson.Embed || o.EmbedKind != "figure" {
			continue
		}
		i := slices.IndexFunc(r.source.Result.Figures, func(f tell.Figure) bool { return f.Name == o.Name })
		if i < 0 || !sharesTime(r.source.Result.Figures[i], m) {
			continue
		}
		id := "figure." + o.Name
		if o == behind {
			return r.next(id)
		}
		return r.latest(id)
	}
	return ""
}

// sharesTime says whether a figure runs over the time of a motion.
func sharesTime(f tell.Figure, m tell.Motion) bool {
	if f.X.Unit != "s" || len(f.Framed.Knobs) > 0 {
		return false
	}
	for _, s := range m.Signals.Signals {
		if len(s.T) == 0 {
			continue
		}
		from, to := s.T[0], s.T[len(s.T)-1]
		for _, pane := range f.Panes {
			for _, line := range pane.Lines {
				if len(line.X) > 0 && slices.Min(line.X) < to && slices.Max(line.X) > from {
					return true
				}
			}
		}
	}
	return false
}

// beside gives the blocks right before and behind a block among its siblings.
// Cells between them do not count, since they only fold out.
func beside(body, n *lesson.Node) (before, behind *lesson.Node) {
	body.Walk(func(parent *lesson.Node) bool {
		shown := slices.DeleteFunc(slices.Clone(parent.Children), func(c *lesson.Node) bool { return c.Kind == lesson.CellBlock })
		i := slices.Index(shown, n)
		if i > 0 {
			before = shown[i-1]
		}
		if i >= 0 && i+1 < len(shown) {
			behind = shown[i+1]
		}
		return i < 0
	})
	return before, behind
}
