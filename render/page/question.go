package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// asking is what the page's script knows of a question. Words holds what it
// says.
type asking struct {
	Kind   string            `json:"kind"`
	Number float64           `json:"number"`
	Within float64           `json:"within"`
	Unit   string            `json:"unit"`
	Comma  bool              `json:"comma"` // numbers may have a decimal comma
	Right  []int             `json:"right"`
	Words  map[string]string `json:"words"`
}

// kindNames are the names that the script and the style sheet know kinds by.
var kindNames = map[lesson.QuestionKind]string{lesson.Number: "number", lesson.Choice: "choice", lesson.Order: "order"}

func (r *reader) answer(n *lesson.Node) (proof.Answer, bool) {
	i := slices.IndexFunc(r.source.Report.Questions, func(a proof.Answer) bool { return a.Node == n })
	if i < 0 {
		r.fail(n, "question", "the question has no computed answer", "run slipring proof, which says why")
		return proof.Answer{}, false
	}
	return r.source.Report.Questions[i], true
}

// question prints a question as a form. The script shows its controls and
// checks what is answered; without it, the answer with its reasoning can be
// unfolded.
func (r *reader) question(n *lesson.Node) {
	a, ok := r.answer(n)
	if !ok {
		return
	}
	q := n.Question
	r.asked++
	id := escape(r.id(fmt.Sprintf("question.%d", r.asked)))
	say := func(key string) string { return r.ui.Text("question." + key) }
	data, err := json.Marshal(asking{
		Kind: kindNames[q.Kind], Number: a.Number, Within: a.Within, Unit: a.Unit, Comma: r.ui.Decimal() == ",", Right: a.Right,
		Words: map[string]string{
			"first": say("right"), "later": say("right-later"), "shown": say("right-shown"),
			"wrong": say("wrong"), "choose": say("choose"), "place": say("place"),
			"write": r.ui.Text("question.write", "example", r.ui.Number(12.5, 1)),
		},
	})
	if err != nil {
		r.fail(n, "question", "the answer cannot be written: "+err.Error(), "look for a division by zero, or a run that did not settle")
		return
	}
	r.line()
	r.putf("<div class=\"question %s\" role=\"group\" aria-labelledby=\"%s\" data-question=\"%s\"%s>\n", kindNames[q.Kind], id, escape(string(data)), r.mark(n))
	r.putf("<p class=\"ask\" id=\"%s\"><strong>%s</strong> ", id, escape(r.ui.Text("question.number", "n", r.asked)))
	r.nodes(q.Ask.Children, false)
	r.put("</p>\n<form novalidate autocomplete=\"off\">\n")
	switch q.Kind {
	case lesson.Number:
		r.putf("<p class=\"field\" hidden><label for=\"%s.field\">%s</label> <input type=\"text\" inputmode=\"decimal\" id=\"%s.field\" size=\"8\">", id, escape(say("field")), id)
		if a.Unit != "" {
			r.putf(" <span class=\"unit\">%s</span>", escape(a.Unit))
		}
		r.put("</p>\n")
	default:
		r.options(q, id, a.Shown)
	}
	r.putf("<p class=\"check\" hidden><button type=\"submit\">%s</button> <button type=\"button\" class=\"show\" hidden>%s</button></p>\n</form>\n",
		escape(say("check")), escape(say("show")))
	r.put("<div class=\"verdict\" role=\"status\"></div>\n")
	r.putf("<details class=\"answer\"><summary>%s</summary>\n<p class=\"right\">%s</p>\n", escape(say("answer")), r.right(a))
	for _, i := range a.Shown {
		if o := q.Options[i]; o.But != nil {
			r.putf("<div class=\"but\" data-option=\"%d\">\n<p class=\"chosen\">", i)
			r.nodes(o.Text.Children, false)
			r.put("</p>\n")
			r.nodes(o.But.Children, false)
			r.line()
			r.put("</div>\n")
		}
	}
	if q.Why != nil {
		r.put("<div class=\"why\">\n")
		r.nodes(q.Why.Children, false)
		r.line()
		r.put("</div>\n")
	}
	r.put("</details>\n</div>\n")
}

// options prints what can be chosen, or put into order, in the order given.
// Its controls stay hidden until there is a script.
func (r *reader) options(q *lesson.Question, id string, shown []int) {
	legend := "question.options"
	if q.Kind == lesson.Order {
		legend = "question.items"
	}
	r.putf("<fieldset aria-describedby=\"%s\"><legend>%s</legend>\n<ul>\n", id, escape(r.ui.Text(legend)))
	for _, i := range shown {
		o := q.Options[i]
		field := fmt.Sprintf("%s.option.%d", id, i+1)
		r.put("<li>")
		if q.Kind == lesson.Order {
			r.putf("<select id=\"%s\" data-option=\"%d\" hidden><option value=\"\">\u2013</option>", field, i)
			for k := range q.Options {
				r.putf("<option value=\"%d\">%d</option>", k, k+1)
			}
			r.put("</select> ")
		} else {
			r.putf("<input type=\"radio\" id=\"%s\" name=\"%s\" value=\"%d\" hidden> ", field, id, i)
		}
		r.putf("<label for=\"%s\">", field)
		r.nodes(o.Text.Children, false)
		r.put("</label></li>\n")
	}
	r.put("</ul></fieldset>\n")
}

// right says which answer is right.
func (r *reader) right(a proof.Answer) template.HTML {
	return r.ui.HTML("question.is", "answer", template.HTML("<strong>"+escape(a.Words)+"</strong>"))
}

// Answer is a question with its answer, as on a guide's sheet.
type Answer struct {
	Ask     template.HTML // inline
	Options []template.HTML
	Right   template.HTML // inline
	Within  string        // how far off a number may be, "" for what is no number
	Why     template.HTML
}

// answers prints the answer key.
func (r *reader) answers() []Answer {
	var list []Answer
	for _, n := range all(r.source.Lesson.Body, lesson.QuestionBlock) {
		a, ok := r.answer(n)
		if !ok {
			continue
		}
		q := n.Question
		one := Answer{Ask: r.print(q.Ask.Children...), Right: template.HTML(escape(a.Words))}
		if q.Kind == lesson.Number {
			one.Within = r.ui.Text("question.within", "within", r.written(q.Within))
		}
		for _, k := range a.Shown {
			one.Options = append(one.Options, r.print(q.Options[k].Text.Children...))
		}
		if q.Why != nil {
			one.Why = r.print(q.Why.Children...)
		}
		list = append(list, one)
	}
	return list
}

// written gives a tolerance as its author wrote it.
func (r *reader) written(t lesson.Tolerance) string {
	return withUnit(r.ui.Localize(Exact(t.Number)), t.Unit)
}
