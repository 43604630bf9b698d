package page

import (
	"html/template"
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/render/words"
)

// Act is one step of commissioning, under the number that it has in its lesson.
type Act struct {
	Stage  string // one of lesson.Stages
	ID     string // on the course page
	Number int
	Words  template.HTML

	Expected proof.Expected
}

// act prints a step of commissioning, and gives what it expects.
func (p *printer) act(n *lesson.Node) (e proof.Expected) {
	i := slices.IndexFunc(p.in.Report.Steps, func(e proof.Expected) bool { return e.Node == n })
	if i < 0 {
		p.fail(n, "step", "it is not known what the step expects", "run slipring proof, which says why")
		return e
	}
	e = p.in.Report.Steps[i]
	s := n.Step
	p.acts++
	id := p.id("step")
	if p.boxes { // on a page of several lessons
		id = p.in.Lesson.Slug + "." + id
	}
	say := func(key string) string { return escape(p.ui.Text("step." + key)) }
	p.line()
	p.putf("<div class=\"commission\" role=\"group\" aria-labelledby=\"%s\">\n<p class=\"stage\" id=\"%s\"><strong>%s</strong>", id, id, escape(p.ui.Text("step.number", "n", p.acts)))
	if !p.boxes { // a page of many steps has them below headings
		p.putf(" %s", say(s.Stage))
	}
	p.put("</p>\n<p class=\"do\">")
	p.nodes(s.Do.Children, false)
	p.put("</p>\n<dl>\n")
	entry := func(class, key string, words func()) {
		p.putf("<div class=\"%s\"><dt>%s</dt><dd>", class, say(key))
		words()
		p.put("</dd></div>\n")
	}
	text := func(class, key string, n *lesson.Node) {
		if n != nil {
			entry(class, key, func() { p.nodes(n.Children, false) })
		}
	}
	text("where", "where", s.Where)
	text("with", "with", s.With)
	if s.See != nil {
		text("expect", "expect", s.See)
	} else {
		entry("expect", "expect", func() { p.put(string(StepLimits(e, p.ui))) })
	}
	if len(e.Readings) > 0 {
		entry("read", "read", func() {
			for i, r := range e.Readings {
				if i > 0 {
					p.put("<br>")
				}
				p.putf("%s (%s)", p.stepReading(r), escape(p.ui.Date(r.Date)))
			}
		})
	}
	entry("otherwise", "otherwise", func() { p.nodes(s.Otherwise.Children, true) })
	text("signs", "signs", s.Signs)
	if len(s.Hazards) > 0 {
		entry("hazards", "hazards", func() {
			for _, h := range s.Hazards {
				notice := NoticeOf(hazardOf(p.in.Hazards, h.Name), p.ui)
				p.putf("<span class=\"hazard\">%s %s.</span> ", alertSign, notice.Line)
			}
		})
	}
	p.put("</dl>\n")
	if p.boxes {
		p.put("<ul class=\"sign\">\n")
		if s.See == nil {
			p.putf("<li class=\"reading\">%s</li>\n", say("reading"))
		} else {
			p.putf("<li class=\"reading\"><span class=\"box\"></span> %s</li>\n", say("seen"))
		}
		p.putf("<li>%s</li>\n<li>%s</li>\n</ul>\n", say("initials"), say("date"))
	}
	p.put("</div>\n")
	return e
}

// StepLimits says what is to be read at a step, and "" where nothing is.
func StepLimits(e proof.Expected, ui *words.Words) template.HTML {
	strong := func(words string) template.HTML { return template.HTML("<strong>" + escape(words) + "</strong>") }
	switch {
	case e.High == "" && e.Low == "":
		return ""
	case e.High == "":
		return ui.HTML("step.least", "value", strong(e.Low))
	case e.Low == "":
		return ui.HTML("step.most", "value", strong(e.High))
	}
	return ui.HTML("step.between", "value", strong(e.Words), "low", e.Low, "high", e.High)
}

// stepReading says what was read, and whether it is as expected.
func (p *printer) stepReading(r proof.StepReading) template.HTML {
	verdict := "step.not"
	if r.So {
		verdict = "step.so"
	}
	return p.ui.HTML(verdict, "value", template.HTML("<strong>"+escape(r.Words)+"</strong>"))
}
