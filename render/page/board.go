package page

import (
	"slipring/engine/lesson"
	"slipring/engine/tell"
	"slipring/render/motion"
)

// board prints a control board: its front, what a script shows on it, and each
// of its states in small. With no script, and on paper, the states stand beside
// one another.
func (p *printer) board(n *lesson.Node, b tell.Board) {
	id := p.id("board." + n.Name)
	drawing, err := motion.DrawBoard(b, motion.Settings{ID: id, Words: p.in.words()}, p.in.Lesson.Told)
	if err != nil {
		p.fail(n, "board", err.Error(), "change the board in its cell")
		return
	}
	p.described(n, drawing.Description)
	p.has(Boards)
	first := drawing.States[0]
	p.line()
	p.put("<figure class=\"board\">\n")
	p.putf("<div class=\"front\" role=\"img\" aria-label=\"%s\" aria-describedby=\"%s.says\">\n%s</div>\n",
		escape(p.words(n)+". "+drawing.Description), escape(id), drawing.SVG)
	p.putf("<p class=\"says\" id=\"%s.says\" role=\"status\"><span class=\"what\">%s</span> <span class=\"reads\">%s</span></p>\n<ol class=\"states\">\n", escape(id), escape(first.Says), escape(first.Reads))
	for _, s := range drawing.States {
		p.putf("<li>%s<p>", s.SVG)
		if s.Act != "" {
			p.putf("<strong>%s.</strong> ", escape(s.Act))
		}
		p.putf("%s %s</p></li>\n", escape(s.Says), escape(s.Reads))
	}
	p.put("</ol>\n")
	if p.turning != nil {
		// DrawBoard writes <, > and & in the data as escapes.
		p.putf("<script type=\"application/json\" class=\"board-data\">%s</script>\n", drawing.Data)
	}
	p.put("<figcaption>")
	p.rests("computed")
	p.nodes(n.Children, false)
	p.put("</figcaption>\n</figure>\n")
}
