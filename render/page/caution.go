package page

import (
	"html/template"

	"slipring/engine/lesson"
	ui "slipring/render/words"
)

// Notice is one caution of a lesson in short.
type Notice struct {
	Signal string // Danger, Warning or Caution
	Hazard string // in words
	Class  string // danger, warning or caution
	Line   string // signal and hazard together
}

// alertSign is a triangle with an exclamation mark, as the general warning
// sign of ISO 7010 (W001) has it.
const alertSign = `<svg class="alert" viewBox="0 0 24 22" aria-hidden="true"><path d="M12 1 23.5 21H.5z"/><path class="bar" d="M10.8 7.5h2.4l-.4 7h-1.6z"/><circle class="bar" cx="12" cy="17.4" r="1.4"/></svg>`

// caution prints a safety notice: signal word and hazard, then what to do. It
// is the same for every reader, and nothing folds it away.
func (r *reader) caution(n *lesson.Node) {
	id := r.id("caution." + n.Hazard)
	r.line()
	r.putf("<div class=\"notice %s\" role=\"note\" aria-labelledby=\"%s\"%s>\n", escape(n.Signal), escape(id), r.mark(n))
	r.putf("<p class=\"signal\" id=\"%s\">%s<strong>%s</strong> <span>%s</span></p>\n",
		escape(id), alertSign, escape(r.ui.Text("notice."+n.Signal)), escape(r.ui.Text("notice."+n.Hazard)))
	r.nodes(n.Children, false)
	r.line()
	r.put("</div>\n")
}

// cautions prints all cautions of the lesson.
func (r *reader) cautions() []template.HTML {
	var out []template.HTML
	for _, n := range all(r.source.Lesson.Body, lesson.Caution) {
		out = append(out, r.print(n))
	}
	return out
}

// Notices lists the cautions of a lesson in short, each hazard once under the
// gravest of its signal words, in the words w.
func Notices(l *lesson.Lesson, w *ui.Words) []Notice {
	var out []Notice
	place := map[string]int{}
	for _, n := range all(l.Body, lesson.Caution) {
		signal, hazard := w.Text("notice."+n.Signal), w.Text("notice."+n.Hazard)
		notice := Notice{signal, hazard, n.Signal, w.Text("notice.line", "signal", signal, "hazard", hazard)}
		i, had := place[n.Hazard]
		if !had {
			place[n.Hazard] = len(out)
			out = append(out, notice)
		} else if graver(n.Signal, out[i].Class) {
			out[i] = notice
		}
	}
	return out
}

func graver(a, b string) bool {
	rank := func(signal string) int {
		for i, s := range lesson.Signals() {
			if s == signal {
				return i
			}
		}
		return len(lesson.Signals())
	}
	return rank(a) < rank(b)
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

// String gives the notice in a line.
func (n Notice) String() string { return n.Line }
