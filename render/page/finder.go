package page

import (
	"fmt"
	"html/template"
	"math"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// finder prints a finder. On a screen each answer folds out what comes next,
// which needs no script: answers of one question have one name, so that one at
// most is open. On paper, all of it is an indented list; a page of the course
// has both, since it is printed too.
func (p *printer) finder(n *lesson.Node, f tell.Finder) {
	p.has(Finders)
	w := finderPrinter{printer: p, id: p.id("finder." + n.Name), numbers: f.Root.Numbers()}
	p.line()
	p.putf("<figure class=\"finder\" aria-labelledby=\"%s\">\n<figcaption id=\"%s\">", escape(w.id), escape(w.id))
	p.rests("computed")
	p.nodes(n.Children, false)
	p.fileOf(lesson.Finder, n.Name, "finder.file")
	p.put("</figcaption>\n")
	if p.turning != nil {
		p.put("<div class=\"asks\">\n")
		w.look(&f.Root)
		p.put("</div>\n")
	}
	if p.turning == nil || p.cells {
		p.put("<div class=\"listed\">\n")
		stops := false
		f.Root.Walk(func(l *tell.Look, _ int) { stops = stops || l.Stops() })
		if stops { // once for all causes with the sign
			w.stop()
		}
		w.listed(&f.Root)
		p.put("</div>\n")
	}
	p.put("</figure>\n")
}

type finderPrinter struct {
	*printer
	id      string
	numbers map[*tell.Look]int
}

func (w finderPrinter) told(words string) string { return escape(w.in.Lesson.Told(words)) }

// look prints what a reader sees of a look at a time, with all that it may lead
// to folded behind its answers.
func (w finderPrinter) look(l *tell.Look) {
	w.put("<div class=\"look\">\n")
	w.hazard(l, true)
	if w.numbers[l] == 0 {
		if l.Stops() {
			w.stop()
		}
		w.end(l)
		w.put("</div>\n")
		return
	}
	name := fmt.Sprintf("%s.%d", w.id, w.numbers[l])
	w.putf("<p class=\"asked\" id=\"%s\">%s</p>\n", escape(name), w.told(l.Ask))
	w.how(l)
	w.putf("<ul class=\"answers\" aria-labelledby=\"%s\">\n", escape(name))
	for _, a := range l.Answers {
		w.putf("<li><details name=\"%s\"><summary><span class=\"says\">%s</span> <span class=\"again\">%s</span></summary>\n",
			escape(name), w.told(a.Says), escape(w.ui.Text("finder.again")))
		w.look(a.Then)
		w.put("</details></li>\n")
	}
	w.put("</ul>\n</div>\n")
}

// listed prints a look for paper, with all that follows below each answer.
func (w finderPrinter) listed(l *tell.Look) {
	w.hazard(l, false)
	if w.numbers[l] == 0 {
		w.end(l)
		return
	}
	w.putf("<p class=\"asked\"><b>%d</b> %s</p>\n", w.numbers[l], w.told(l.Ask))
	w.how(l)
	w.put("<ul class=\"answers\">\n")
	for _, a := range l.Answers {
		w.putf("<li><p class=\"says\">%s</p>\n", w.told(a.Says))
		w.listed(a.Then)
		w.put("</li>\n")
	}
	w.put("</ul>\n")
}

// hazard prints what can hurt at a look, before all else of it, and on a screen
// how to avoid it; on paper the caution about it says so.
func (w finderPrinter) hazard(l *tell.Look, full bool) {
	if l.Hazard == "" {
		return
	}
	h := hazardOf(w.in.Hazards, l.Hazard)
	notice, words := NoticeOf(h, w.ui), h.Say(w.ui.Language())
	what := notice.Glance
	if !full {
		w.putf("<p class=\"hazard %s\">%s <span>%s</span></p>\n", escape(notice.Class), notice.Sign(), notice.Line)
		return
	}
	if !w.status { // for those who work at the board
		what = template.HTML(fmt.Sprintf("<span%s>%s</span>", langOf(words, w.ui), escape(words.Avoid)))
	}
	w.putf("<p class=\"hazard %s\">%s <span>%s. %s</span></p>\n", escape(notice.Class), notice.Sign(), notice.Line, what)
}

func (w finderPrinter) how(l *tell.Look) {
	if l.How != "" {
		w.putf("<p class=\"how\">%s</p>\n", w.told(l.How))
	}
}

// stop prints what everybody does who finds a cause with a stop sign.
func (w finderPrinter) stop() {
	w.putf("<p class=\"stop\">%s <strong>%s</strong></p>\n", stopSign, escape(w.ui.Text("finder.stop")))
}

// end prints the causes that a finder ends with, and what is to be done.
func (w finderPrinter) end(l *tell.Look) {
	if l.Ask != "" {
		w.putf("<p class=\"asked\">%s</p>\n", w.told(l.Ask))
	}
	w.putf("<p class=\"found\">%s</p>\n<ul class=\"causes\">\n", escape(w.ui.Text("finder.found", "n", len(l.Causes))))
	for _, c := range l.Causes {
		sign, share := "", ""
		if c.Stop {
			sign = stopSign + " "
		}
		if c.Chance > 0 && len(l.Causes) > 1 {
			share = fmt.Sprintf(" <span class=\"share\">%s</span>", escape(w.ui.Text("finder.share", "n", int(math.Round(100*c.Chance)))))
		}
		w.putf("<li>%s%s%s</li>\n", sign, w.told(c.Says), share)
	}
	w.put("</ul>\n")
	w.how(l)
}

// CaptionOf gives the words with which a lesson first places a finder.
func CaptionOf(in Input, f tell.Finder) (caption string) {
	p := newPrinter(in, Links{})
	in.Lesson.Body.Walk(func(n *lesson.Node) bool {
		if caption == "" && n.Kind == lesson.Embed && n.EmbedKind == lesson.Finder && n.Name == f.Name {
			caption = p.words(n)
		}
		return true
	})
	return caption
}

// FindersOf lists the finders that a lesson places, each once, in its order.
func FindersOf(in Input) []tell.Finder {
	var out []tell.Finder
	shown, had := proof.ShownBy(in.Lesson, in.Result), map[string]bool{}
	in.Lesson.Body.Walk(func(n *lesson.Node) bool {
		one, _ := proof.Placed(n, shown)
		if f, ok := one.What.(tell.Finder); ok && !had[f.Name] {
			had[f.Name] = true
			out = append(out, f)
		}
		return true
	})
	return out
}
