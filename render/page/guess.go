package page

import (
	"html/template"

	"slipring/engine/lesson"
)

// waits stands in the place of the picture that a visitor sees after a guess.
const waits = `<svg viewBox="0 0 100 140" aria-hidden="true"><path d="M22 44a28 28 0 1 1 44 23c-11 8-15 13-15 27"/><circle cx="51" cy="120" r="8"/></svg>` + "\n"

// panel prints a panel of the kiosk but for its heading. What its visitor sees
// after a guess alone stands apart, in elements of the class "after".
func (p *printer) panel(n *lesson.Node) Panel {
	var panel Panel
	above, guess, below := n.Guess()
	if len(above) > 0 && above[0].Kind == lesson.Heading {
		panel.Title = p.print(above[0].Children...)
		above = above[1:]
	}
	texts, figures := apart(above)
	panel.Text, panel.Figures = p.print(texts...), p.print(figures...)
	if guess == nil {
		return panel
	}
	panel.Text += p.print(guess)
	pass := template.HTML("<p class=\"pass\" hidden><button type=\"button\">" + escape(p.ui.Text("guess.pass")) + "</button></p>\n")
	texts, figures = apart(below)
	text, later := p.print(texts...), p.print(figures...)
	if later != "" && panel.Figures == "" {
		panel.Figures = "<div class=\"waits\">" + waits + pass + "</div>\n"
	} else {
		panel.Text += pass
	}
	after := func(inner template.HTML) template.HTML {
		if inner == "" {
			return ""
		}
		return "<div class=\"after\">\n" + inner + "</div>\n"
	}
	panel.Text += after(text)
	panel.Figures += after(later)
	return panel
}

// apart parts the blocks that a panel places from its text. What is for the
// screen alone is text like any other there.
func apart(blocks []*lesson.Node) (text, figures []*lesson.Node) {
	for _, n := range blocks {
		switch n.Kind {
		case lesson.Embed:
			figures = append(figures, n)
		case lesson.ScreenBlock:
			words, shown := apart(n.Children)
			text, figures = append(text, words...), append(figures, shown...)
		default:
			text = append(text, n)
		}
	}
	return text, figures
}

// guess prints a guess with its answers. On the kiosk each is a button, which
// the script brings to life, and for each stands ready what its visitor is told.
// Without the script, and on paper, the right answer follows.
func (p *printer) guess(n *lesson.Node) {
	a, ok := p.answer(n)
	if !ok {
		return
	}
	p.has(Guesses)
	q := n.Question
	id := escape(p.id("guess"))
	p.line()
	p.putf("<div class=\"guess\" role=\"group\" aria-labelledby=\"%s\">\n<p class=\"asked\" id=\"%s\"><strong>%s</strong> ", id, id, escape(p.ui.Text("guess.ask")))
	p.nodes(q.Ask.Children, false)
	p.put("</p>\n<ul class=\"offers\">\n")
	for _, i := range a.Shown {
		p.put("<li>")
		if p.turning == nil {
			p.plainly(func() { p.nodes(q.Options[i].Text.Children, false) })
		} else {
			p.putf("<button type=\"button\" data-option=\"%d\" disabled>", i)
			p.plainly(func() { p.nodes(q.Options[i].Text.Children, false) })
			p.put("</button>")
		}
		p.put("</li>\n")
	}
	p.put("</ul>\n")
	right := q.Options[a.Right[0]]
	if p.turning == nil {
		p.putf("<p class=\"right\">%s</p>\n", p.saying("question.is", right))
	} else {
		p.putf("<p class=\"right good\" tabindex=\"-1\">%s</p>\n", p.saying("question.is", right))
		for i, o := range q.Options {
			p.told(i, o, right)
		}
	}
	p.put("</div>\n")
}

// told prints what is said to a visitor who chose an option.
func (p *printer) told(i int, o, right lesson.Option) {
	p.putf("<div class=\"told\" data-option=\"%d\" tabindex=\"-1\" hidden>\n", i)
	if o.At == right.At {
		p.putf("<p class=\"chosen good\">%s</p>\n", p.saying("guess.right", o))
	} else {
		p.putf("<p class=\"chosen\">%s</p>\n<p class=\"good\">%s</p>\n", p.saying("guess.other", o), p.saying("question.is", right))
		if o.But != nil {
			p.nodes(o.But.Children, false)
		}
	}
	p.line()
	p.put("</div>\n")
}

// saying gives a text about an option with the option's words in it.
func (p *printer) saying(key string, o lesson.Option) template.HTML {
	inner := &printer{in: p.in, links: p.links, ui: p.ui, turning: p.turning, ids: p.ids}
	inner.special = inner.role
	return p.ui.HTML(key, "answer", "<strong>"+inner.print(o.Text.Children...)+"</strong>")
}
