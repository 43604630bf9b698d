package page

import (
	"html/template"

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

// AtMachine is all that a lesson has its volunteers do at the machine.
type AtMachine struct {
	Rounds []Round
	Acts   []Act // of commissioning
	Added  []Added
}

// Added is a lesson's caution, with what it adds to the house's words, which may
// be nothing.
type Added struct {
	Notice
	Words template.HTML
}

// NewAtMachine prints what a lesson has its volunteers do at the machine, for a
// page about all lessons, with what the lesson's cautions add to the house's
// words. It finds nothing wrong that NewCourse does not.
func NewAtMachine(in Input, l Links) (out AtMachine) {
	p := newPrinter(in, l)
	p.outside, p.boxes = true, true
	round := func(day string) *Round {
		for i := range out.Rounds {
			if out.Rounds[i].Day == day {
				return &out.Rounds[i]
			}
		}
		out.Rounds = append(out.Rounds, Round{Day: day})
		return &out.Rounds[len(out.Rounds)-1]
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
		case lesson.StepBlock:
			expected := p.act(n)
			out.Acts = append(out.Acts, Act{n.Step.Stage, p.latest("step"), p.acts, p.piece(), expected})
		case lesson.Caution:
			out.Added = append(out.Added, Added{NoticeOf(hazardOf(in.Hazards, n.Hazard), p.ui), p.print(n.Children...)})
		}
	}
	return out
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
