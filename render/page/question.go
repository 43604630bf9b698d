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

func (p *printer) answer(n *lesson.Node) (proof.Answer, bool) {
	answers := p.in.Report.Questions
	if n.Kind == lesson.GuessBlock {
		answers = p.in.Report.Guesses
	}
	i := slices.IndexFunc(answers, func(a proof.Answer) bool { return a.Node == n })
	if i < 0 {
		p.fail(n, "question", "the question has no computed answer", "run slipring proof, which says why")
		return proof.Answer{}, false
	}
	return answers[i], true
}

// question prints a question as a form. The script shows its controls and
// checks what is answered; without it, the answer with its reasoning can be
// unfolded.
func (p *printer) question(n *lesson.Node) {
	a, ok := p.answer(n)
	if !ok {
		return
	}
	q := n.Question
	p.asked++
	p.has(Questions)
	id := escape(p.id(fmt.Sprintf("question.%d", p.asked)))
	say := func(key string) string { return p.ui.Text("question." + key) }
	data, err := json.Marshal(asking{
		Kind: kindNames[q.Kind], Number: a.Number, Within: a.Within, Unit: a.Unit, Comma: p.ui.Decimal() == ",", Right: a.Right,
		Words: map[string]string{
			"first": say("right"), "later": say("right-later"), "shown": say("right-shown"),
			"wrong": say("wrong"), "choose": say("choose"), "place": say("place"),
			"write": p.ui.Text("question.write", "example", p.ui.Number(12.5, 1)),
		},
	})
	if err != nil {
		p.fail(n, "question", "the answer cannot be written: "+err.Error(), "look for a division by zero, or a run that did not settle")
		return
	}
	p.line()
	p.putf("<div class=\"question %s\" role=\"group\" aria-labelledby=\"%s\" data-question=\"%s\"%s>\n", kindNames[q.Kind], id, escape(string(data)), p.mark(n))
	p.putf("<p class=\"ask\" id=\"%s\"><strong>%s</strong> ", id, escape(p.ui.Text("question.number", "n", p.asked)))
	p.nodes(q.Ask.Children, false)
	p.put("</p>\n<form novalidate autocomplete=\"off\">\n")
	switch q.Kind {
	case lesson.Number:
		p.putf("<p class=\"field\" hidden><label for=\"%s.field\">%s</label> <input type=\"text\" inputmode=\"decimal\" id=\"%s.field\" size=\"8\">", id, escape(say("field")), id)
		if a.Unit != "" {
			p.putf(" <span class=\"unit\">%s</span>", escape(a.Unit))
		}
		p.put("</p>\n")
	default:
		p.options(q, id, a.Shown)
	}
	p.putf("<p class=\"check\" hidden><button type=\"submit\">%s</button> <button type=\"button\" class=\"show\" hidden>%s</button></p>\n</form>\n",
		escape(say("check")), escape(say("show")))
	p.put("<div class=\"verdict\" role=\"status\"></div>\n")
	p.putf("<details class=\"answer\"><summary>%s</summary>\n<p class=\"right\">%s</p>\n", escape(say("answer")), p.right(a))
	for _, i := range a.Shown {
		if o := q.Options[i]; o.But != nil {
			p.putf("<div class=\"but\" data-option=\"%d\">\n<p class=\"chosen\">", i)
			p.nodes(o.Text.Children, false)
			p.put("</p>\n")
			p.nodes(o.But.Children, false)
			p.line()
			p.put("</div>\n")
		}
	}
	if q.Why != nil {
		p.put("<div class=\"why\">\n")
		p.nodes(q.Why.Children, false)
		p.line()
		p.put("</div>\n")
	}
	p.put("</details>\n</div>\n")
}

// options prints what can be chosen, or put into order, in the order given.
// Its controls stay hidden until there is a script.
func (p *printer) options(q *lesson.Question, id string, shown []int) {
	legend := "question.options"
	if q.Kind == lesson.Order {
		legend = "question.items"
	}
	p.putf("<fieldset aria-describedby=\"%s\"><legend>%s</legend>\n<ul>\n", id, escape(p.ui.Text(legend)))
	for _, i := range shown {
		o := q.Options[i]
		field := fmt.Sprintf("%s.option.%d", id, i+1)
		p.put("<li>")
		if q.Kind == lesson.Order {
			p.putf("<select id=\"%s\" data-option=\"%d\" hidden><option value=\"\">\u2013</option>", field, i)
			for k := range q.Options {
				p.putf("<option value=\"%d\">%d</option>", k, k+1)
			}
			p.put("</select> ")
		} else {
			p.putf("<input type=\"radio\" id=\"%s\" name=\"%s\" value=\"%d\" hidden> ", field, id, i)
		}
		p.putf("<label for=\"%s\">", field)
		p.plainly(func() { p.nodes(o.Text.Children, false) })
		p.put("</label></li>\n")
	}
	p.put("</ul></fieldset>\n")
}

// right says which answer is right.
func (p *printer) right(a proof.Answer) template.HTML {
	return p.ui.HTML("question.is", "answer", template.HTML("<strong>"+escape(a.Words)+"</strong>"))
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
func (p *printer) answers() []Answer {
	var list []Answer
	for _, n := range all(p.in.Lesson.Body, lesson.QuestionBlock) {
		a, ok := p.answer(n)
		if !ok {
			continue
		}
		q := n.Question
		one := Answer{Ask: p.print(q.Ask.Children...), Right: template.HTML(escape(a.Words))}
		if q.Kind == lesson.Number {
			one.Within = p.ui.Text("question.within", "within", p.written(q.Within))
		}
		for _, k := range a.Shown {
			one.Options = append(one.Options, p.print(q.Options[k].Text.Children...))
		}
		if q.Why != nil {
			one.Why = p.print(q.Why.Children...)
		}
		list = append(list, one)
	}
	return list
}

// written gives a tolerance as its author wrote it.
func (p *printer) written(t lesson.Tolerance) string {
	return withUnit(p.ui.Localize(Exact(t.Number)), t.Unit)
}
