package site

import (
	"fmt"
	"html/template"
	"math"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/tell"
	"slipring/render/chart"
	"slipring/render/page"
)

// chartSheet is the edition of the charts for the wall.
const chartSheet = "chart"

// chartPage is what a lesson's finders are as charts for the wall.
type chartPage struct {
	*lessonPages
	Drawings []template.HTML
	Cautions []template.HTML // in full, about all hazards of the lesson
	Least    string          // size in pt of the smallest questions on A4 and Letter
	Far      string          // m from which these can be read
	FarA3    string          // m, on A3
}

// finderCharts is the reader of the charts for the wall.
func finderCharts() reader {
	return reader{
		name:  chartSheet,
		kind:  kind{path: "handout/%s.chart.html", template: "chart", paper: true}, // a dot is in no lesson's name
		print: func(*builder, *lessonPages) []diag.Message { return nil },
		page: func(b *builder, e *lessonPages) (shell, bool) {
			if !hasChart(e) {
				return shell{}, false
			}
			p, err := b.chartOf(e)
			if err != nil {
				b.fail(fmt.Errorf("the chart of %s: %w", e.Lesson.Slug, err))
			}
			return shell{Title: b.title(e.Lesson.Title, b.words.Text("chart.window")), Page: p}, true
		},
	}
}

// hasChart says whether a lesson has a finder to print for the wall.
func hasChart(e *lessonPages) bool {
	return !e.Lesson.Facts.Beside && len(page.FindersOf(e.Input)) > 0
}

// Charts says whether a lesson has a chart for the wall, and leads to it.
func (s shell) Charts(e *lessonPages) string {
	if !hasChart(e) {
		return ""
	}
	return s.Link(e.Path(chartSheet))
}

func (b *builder) chartOf(e *lessonPages) (chartPage, error) {
	p := chartPage{lessonPages: e}
	least := math.Inf(1)
	for _, f := range page.FindersOf(e.Input) {
		sheets, err := chart.Draw(f, b.chartWords(e, f))
		if err != nil {
			return p, err
		}
		for _, s := range sheets {
			p.Drawings = append(p.Drawings, template.HTML(s.SVG))
			least = min(least, s.Size)
		}
	}
	for _, h := range b.House.Hazards {
		if slices.Contains(e.Lesson.Facts.Hazards, h.Name) {
			p.Cautions = append(p.Cautions, page.InFull(h, b.words))
		}
	}
	capital, err := capitalHeight()
	if err != nil {
		return p, err
	}
	p.Least = b.words.Localize(fmt.Sprint(least))
	const perMetre = 5 // mm of a capital, in good light: AS 1319-1994, second hand
	far := func(times float64) string {
		return b.words.Number(math.Floor(10*least*times*capital*25.4/72/perMetre)/10, 1)
	}
	p.Far, p.FarA3 = far(1), far(min((420-20)/259., (297-20)/188.))
	return p, nil
}

// chartWords gives a chart the words of its page.
func (b *builder) chartWords(e *lessonPages, f tell.Finder) chart.Settings {
	w := b.words
	title := e.Lesson.Title
	if caption := page.CaptionOf(e.Input, f); caption != "" {
		title = w.Text("chart.title", "finder", caption, "lesson", title)
	}
	return chart.Settings{
		ID: "chart." + f.Name, Title: title, Told: e.Lesson.Told,
		Share: func(chance float64) string { return w.Text("finder.share", "n", int(math.Round(100*chance))) },
		GoOn: func(sheet, question int) string {
			if question == 0 {
				return w.Text("chart.go-on-causes", "sheet", sheet)
			}
			return w.Text("chart.go-on", "sheet", sheet, "question", question)
		},
		OnPage: func(question int) string {
			return w.Text("chart.on-page", "question", question)
		},
		More: func(causes int) string { return w.Text("chart.more", "n", causes) },
		Of:   func(sheet, of int) string { return w.Text("chart.of", "sheet", sheet, "of", of) },
		From: func(sheet, question int, answer string) string {
			return w.Text("chart.from", "sheet", sheet, "question", question, "answer", answer)
		},
		Stop: w.Text("finder.stop"),
		Says: func(sheet, of int) string { return w.Text("chart.says", "sheet", sheet, "of", of) },
		Hazard: func(name string) (sign, class, line string) {
			h, ok := b.House.Hazards.Find(name)
			if !ok {
				return "", "danger", name // which proof has reported
			}
			notice := page.NoticeOf(h, w)
			return string(notice.Sign()), notice.Class, w.Text("notice.line", "signal", notice.Signal, "hazard", h.Say(w.Language()).Hazard)
		},
	}
}

// StopSign is for the template.
func (p chartPage) StopSign() template.HTML { return page.StopSign() }
