package page

import (
	"fmt"
	"html/template"
	"slices"

	"slipring/engine/card"
	"slipring/engine/lesson"
	ui "slipring/render/words"
)

// Notice is one hazard of a lesson in short.
type Notice struct {
	Name     string        // by which lessons declare it
	Class    string        // danger, warning or caution
	Signal   string        // the same in words
	Hazard   template.HTML // in words
	Glance   template.HTML // what visitors read of it, in a line
	Line     template.HTML // signal and hazard together
	Accident template.HTML // hazard, and what to do first once it has hurt somebody
}

// alertSign is a triangle with an exclamation mark, as the general warning
// sign of ISO 7010 (W001) has it.
const alertSign = `<svg class="alert" viewBox="0 0 24 22" aria-hidden="true"><path d="M12 1 23.5 21H.5z"/><path class="bar" d="M10.8 7.5h2.4l-.4 7h-1.6z"/><circle class="bar" cx="12" cy="17.4" r="1.4"/></svg>`

// caution prints a safety notice: signal word, hazard, harm and how to avoid
// it, in this order (ANSI Z535.6, second hand), then what the lesson adds. It is
// the same for every reader, and nothing folds it away.
func (p *printer) caution(n *lesson.Node) {
	h := hazardOf(p.in.Hazards, n.Hazard)
	words := h.Say(p.ui.Language())
	id := p.id("caution." + n.Hazard)
	lang := langOf(words, p.ui)
	p.line()
	p.putf("<div class=\"notice %s\" role=\"note\" aria-labelledby=\"%s\"%s>\n", escape(h.Signal), escape(id), p.mark(n))
	p.putf("<p class=\"signal\" id=\"%s\">%s<strong>%s</strong> <span%s>%s</span></p>\n",
		escape(id), alertSign, escape(p.ui.Text("notice."+h.Signal)), lang, escape(words.Hazard))
	p.putf("<div class=\"message\">\n<p%s><strong class=\"harm\">%s</strong> %s</p>\n", lang, escape(words.Harm), escape(words.Avoid))
	p.nodes(n.Children, false)
	p.line()
	p.put("</div>\n</div>\n")
}

// InFull prints the notice of a hazard with the house's words alone.
func InFull(h card.Hazard, w *ui.Words) template.HTML {
	p := &printer{in: Input{Hazards: card.Hazards{h}}, ui: w, ids: map[string]int{}}
	p.special = p.role
	return p.print(&lesson.Node{Kind: lesson.Caution, Hazard: h.Name})
}

// hazardOf finds what the house says of a hazard. Package proof reports a
// hazard that the house does not describe; a page that is made all the same
// shows its bare name under the gravest word.
func hazardOf(all card.Hazards, name string) card.Hazard {
	if h, ok := all.Find(name); ok {
		return h
	}
	return card.Hazard{Name: name, Signal: card.Signals()[0], HazardWords: card.HazardWords{Hazard: name}}
}

// langOf gives the attribute that marks words about a hazard in another
// language than the page's.
func langOf(words card.HazardWords, w *ui.Words) string {
	if words.Language == "" || words.Language == w.Language() {
		return ""
	}
	return fmt.Sprintf(" lang=\"%s\"", escape(words.Language))
}

// Warned is a hazard as the kiosk shows it: a line beside its sign, and behind
// that the notice in full.
type Warned struct {
	Notice
	Full template.HTML
}

// AlertSign is the sign beside a line of caution.
func AlertSign() template.HTML { return alertSign }

// cautions prints all cautions of the lesson.
func (p *printer) cautions() []template.HTML {
	var out []template.HTML
	for _, n := range all(p.in.Lesson.Body, lesson.Caution) {
		out = append(out, p.print(n))
	}
	return out
}

// warned prints them for the kiosk, the gravest first.
func (p *printer) warned() []Warned {
	var out []Warned
	for _, n := range all(p.in.Lesson.Body, lesson.Caution) {
		out = append(out, Warned{NoticeOf(hazardOf(p.in.Hazards, n.Hazard), p.ui), p.print(n)})
	}
	slices.SortStableFunc(out, func(a, b Warned) int {
		return slices.Index(card.Signals(), a.Class) - slices.Index(card.Signals(), b.Class)
	})
	return out
}

// NoticeOf gives a hazard in short, in the words w.
func NoticeOf(h card.Hazard, w *ui.Words) Notice {
	words := h.Say(w.Language())
	marked := func(text string) template.HTML {
		html := template.HTML(escape(text))
		if lang := langOf(words, w); lang != "" {
			html = template.HTML("<span"+lang+">") + html + "</span>"
		}
		return html
	}
	n := Notice{Name: h.Name, Class: h.Signal, Signal: w.Text("notice." + h.Signal), Hazard: marked(words.Hazard), Glance: marked(words.Glance())}
	n.Line = w.HTML("notice.line", "signal", n.Signal, "hazard", n.Hazard)
	n.Accident = w.HTML("notice.accident-line", "strong", ui.Tag("strong"), "hazard", n.Hazard, "accident", marked(words.Accident))
	return n
}

// Notices lists the hazards that a lesson's cautions are about, each once, in
// the words w.
func Notices(l *lesson.Lesson, hazards card.Hazards, w *ui.Words) []Notice {
	var out []Notice
	for _, n := range all(l.Body, lesson.Caution) {
		if !slices.ContainsFunc(out, func(had Notice) bool { return had.Name == n.Hazard }) {
			out = append(out, NoticeOf(hazardOf(hazards, n.Hazard), w))
		}
	}
	return out
}

// all lists the nodes of a kind, in the order of the lesson.
func all(body *lesson.Node, kind lesson.Kind) []*lesson.Node {
	var out []*lesson.Node
	body.Walk(func(n *lesson.Node) bool {
		if n.Kind == kind {
			out = append(out, n)
		}
		return n.Kind != kind
	})
	return out
}
