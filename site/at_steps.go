package site

import (
	"cmp"
	"html/template"
	"math"
	"slices"

	"slipring/render/page"
)

// stepsRead is what was read at the steps of a lesson.
type stepsRead struct {
	ID    string
	Of    *lessonPages
	Title template.HTML // leads to the lesson
	Days  []stepDay     // the newest first
}

// stepDay is what was read at them on one day.
type stepDay struct {
	ID    string // of it on the page
	Date  string
	Tally string
	Open  bool
	Rows  []stepRow // in the order of the steps
}

type stepRow struct {
	Name          string        // of the step
	Step          template.HTML // the same, and leads to it
	Limits        template.HTML
	Read, Verdict string
	Off           string // in uncertainties; "" where that says nothing
	So            bool
	By, With      string
}

// atSteps gives what was read at the steps of each lesson, in the order of the
// course.
func (b *builder) atSteps() (all []stepsRead) {
	here := shell{edition: b.edition, main: b.editions[0].words, path: b.path(measuredPath)}
	for _, e := range b.course() {
		one := stepsRead{ID: "steps." + e.Lesson.Slug, Of: e, Title: here.lessonLinks([]*lessonPages{e})}
		not := map[string]int{} // by date: readings that are not as expected
		for _, act := range e.atMachine.Acts {
			for _, r := range act.Expected.Readings {
				i := slices.IndexFunc(one.Days, func(d stepDay) bool { return d.Date == r.Date })
				if i < 0 {
					i = len(one.Days)
					one.Days = append(one.Days, stepDay{ID: one.ID + "." + r.Date, Date: r.Date})
				}
				row := stepRow{Name: b.stepName(act), Step: b.stepLink(e, act), Limits: page.StepLimits(act.Expected, b.words), Read: r.Words, Verdict: b.words.Text("measured.so"), So: r.So, By: r.Role, With: r.Instrument}
				if !r.So {
					row.Verdict = b.words.Text("measured.not")
					not[r.Date]++
				}
				if !math.IsNaN(r.Far) {
					row.Off = b.far(r.Far)
				}
				one.Days[i].Rows = append(one.Days[i].Rows, row)
			}
		}
		slices.SortStableFunc(one.Days, func(a, b stepDay) int { return cmp.Compare(b.Date, a.Date) })
		for i := range one.Days {
			d := &one.Days[i]
			d.Open = i == 0
			d.Tally = b.words.Text("measured.steps-tally", "n", len(d.Rows), "not", not[d.Date])
		}
		if len(one.Days) > 0 {
			all = append(all, one)
		}
	}
	return all
}

func (b *builder) stepName(act page.Act) string {
	return b.words.Text("step.number", "n", act.Number) + ", " + b.words.Text("step."+act.Stage)
}

// stepLink leads from the page of what was read to a step.
func (b *builder) stepLink(e *lessonPages, act page.Act) template.HTML {
	return template.HTML(`<a href="` + template.HTMLEscapeString(relative(b.path(measuredPath), e.Path("course"))+"#"+act.ID) + `">` + template.HTMLEscapeString(b.stepName(act)) + `</a>`)
}

// doneAtSteps gives the days on which something was read at the steps of a
// lesson.
func (b *builder) doneAtSteps() (all []moment) {
	for _, s := range b.atSteps() {
		for _, d := range s.Days {
			m := moment{ID: "on." + d.ID, Date: d.Date, Kind: momentSteps, Title: b.words.HTML("book.steps", "title", s.Of.Lesson.Title), Content: d}
			if cards := s.Of.Result.Cards; len(cards) == 1 {
				m.Card = cards[0]
			}
			all = append(all, m)
		}
	}
	return all
}

// readAtSteps says whether something was read at a lesson's steps.
func (in Input) readAtSteps() bool {
	for _, l := range in.Lessons {
		for _, e := range l.Report.Steps {
			if !l.Lesson.Facts.Beside && len(e.Readings) > 0 {
				return true
			}
		}
	}
	return false
}
