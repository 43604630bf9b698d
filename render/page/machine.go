package page

import (
	"html/template"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Round is what a lesson has its volunteers do at one time of a day at the
// machine.
type Round struct {
	Day    string // one of lesson.Days
	ID     string // of the first of these steps on the course page; "" for a limit alone
	Steps  []Step
	Limits []template.HTML // what says stop
}

// Step is one act at the machine, under the number that it has in its lesson.
type Step struct {
	Number int
	Words  template.HTML
	Told   bool // it gives a number to hold the reading against
}

// NewRounds prints what a lesson has its volunteers do at the machine, for a
// page about all lessons, with what the lesson's cautions add to the house's
// words.
func NewRounds(in Input, l Links) ([]Round, []diag.Message) {
	p := newPrinter(in, l)
	p.outside = true
	var out []Round
	round := func(day string) *Round {
		for i := range out {
			if out[i].Day == day {
				return &out[i]
			}
		}
		out = append(out, Round{Day: day})
		return &out[len(out)-1]
	}
	for _, n := range in.Lesson.Body.Children {
		switch n.Kind {
		case lesson.MachineSteps:
			id := p.id(stepsID(n))
			r := round(n.Day)
			if r.ID == "" {
				r.ID = id
			}
			for _, list := range n.Children {
				for i, item := range list.Children {
					p.nodes(item.Children, list.Tight)
					r.Steps = append(r.Steps, Step{list.Start + i, p.piece(), p.tells(item)})
				}
			}
		case lesson.MachineLimit:
			r := round(n.Day)
			r.Limits = append(r.Limits, p.print(n.Children...))
		}
	}
	return out, p.finish()
}

// tells says whether a step holds a number to compare a reading with.
func (p *printer) tells(n *lesson.Node) (told bool) {
	n.Walk(func(n *lesson.Node) bool {
		_, number := p.in.Report.Forms[n]
		told = told || number
		return true
	})
	return told
}

func stepsID(n *lesson.Node) string { return "machine." + n.Day }

// steps prints steps at the machine, with the time of the day that is theirs.
func (p *printer) steps(n *lesson.Node) {
	p.line()
	p.putf("<div class=\"steps\" id=\"%s\">\n<p class=\"day\">%s</p>\n", escape(p.id(stepsID(n))), escape(p.ui.Text("machine."+n.Day)))
	p.nodes(n.Children, false)
	p.line()
	p.put("</div>\n")
}

// stopSign has the shape of a stop sign: eight sides.
const stopSign = `<svg class="halt" viewBox="0 0 24 24" aria-hidden="true"><path d="M7.5 1h9L23 7.5v9L16.5 23h-9L1 16.5v-9z"/><path class="bar" d="M6 10.2h12v3.6H6z"/></svg>`

// StopSign is the sign beside what says stop.
func StopSign() template.HTML { return stopSign }

// limit prints what says stop.
func (p *printer) limit(n *lesson.Node) {
	p.line()
	p.putf("<div class=\"limit\"><p class=\"stop\">%s <strong>%s</strong></p>\n", stopSign, escape(p.ui.Text("machine.stop")))
	p.nodes(n.Children, false)
	p.line()
	p.put("</div>\n")
}
