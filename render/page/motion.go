package page

import (
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/render/motion"
)

// motion prints a figure that moves: a still, what a script makes it move by,
// and what it says about itself. On paper the still is all.
func (p *printer) motion(n *lesson.Node, m tell.Motion) {
	drawing, err := motion.Draw(m, motion.Settings{ID: p.id("motion." + n.Name), Title: p.words(n), Words: p.in.words(), Scene: p.in.Scene})
	if err != nil {
		p.fail(n, "motion", err.Error(), "change the motion in its cell")
		return
	}
	p.described(n, drawing.Description)
	p.has(Motions)
	if m.Mechanism == tell.Whole {
		p.has(WholeSet)
	}
	p.line()
	p.put("<figure class=\"motion\"")
	if id := p.plotBeside(n, m); id != "" {
		p.putf(` data-plot="%s"`, escape(id))
	}
	if p.autoplay {
		p.put(" data-autoplay")
	}
	p.putf(">\n%s\n", drawing.SVG)
	if p.turning != nil {
		// Draw writes <, > and & in the data as escapes.
		p.putf("<script type=\"application/json\" class=\"motion-data\">%s</script>\n", drawing.Data)
	}
	p.put("<figcaption>")
	p.rests("computed")
	p.nodes(n.Children, false)
	note := drawing.Note
	if p.turning == nil { // on paper nothing is slow: its first sentence says how much slower it moves
		_, note, _ = strings.Cut(note, ". ")
	}
	if note != "" {
		p.putf("\n<p class=\"motion-note\">%s</p>", escape(note))
	}
	p.put("\n</figcaption>\n</figure>\n")
}

// plotBeside gives the identifier of the plot that stands right before or
// behind a motion and shows the same time, so that a cursor can run over it in
// step; "" where there is none. A plot that follows knobs shows another time
// at each of their positions.
func (p *printer) plotBeside(n *lesson.Node, m tell.Motion) string {
	before, behind := beside(p.in.Lesson.Body, n)
	for _, o := range []*lesson.Node{before, behind} {
		if o == nil {
			continue
		}
		one, _ := proof.Placed(o, p.shown)
		if f, ok := one.What.(tell.Figure); !ok || !sharesTime(f, m) {
			continue
		}
		id := "figure." + o.Name
		if o == behind {
			return p.next(id)
		}
		return p.latest(id)
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
