package site

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/tell"
	"slipring/engine/watch"
	"slipring/render/page"
	"slipring/render/plot"
)

const (
	measuredFolder = "logbook/readings/"
	measuredPath   = measuredFolder + "index.html"
)

// Measured is what was read off the set of a card, beside what its model gives.
type Measured struct {
	Card     machine.Card
	Beside   []watch.Off
	Trend    watch.Trend
	Followed bool // there are days enough for a trend
}

// measuredSet is what the page shows of one set.
type measuredSet struct {
	ID, Name string
	Heading  template.HTML
	Invented bool
	Verdict  string
	Drifts   bool
	Charts   []measuredChart
	Days     []measuredDay // the newest first
}

type measuredChart struct {
	SVG     template.HTML
	Caption string
	File    string // with its numbers, beside the page; a card may be called what no file can be
}

type measuredDay struct {
	ID    string // of it on the page
	Date  string
	Tally string // how many readings, and how many of them far off
	Open  bool
	Rows  []measuredRow
}

// readOn names a day of readings on their page.
func readOn(card, date string) string { return "read." + card + "." + date }

type measuredRow struct {
	What, Load, Unit string
	Read, Gives, Off string
	Beyond           string // in words, "" of what is near
	Class            string
	By, With         string
}

// measuredPage is all that was read: off the sets, and at the steps of lessons.
type measuredPage struct {
	Sets  []measuredSet
	Steps []stepsRead
}

func (b *builder) measured() (shell, bool) {
	p := measuredPage{Steps: b.atSteps()}
	var with []*lessonPages
	for _, s := range p.Steps {
		with = append(with, s.Of)
	}
	from := b.from(with...)
	for i, m := range b.Measured {
		p.Sets = append(p.Sets, b.measuredSet(m, i+1))
		if !slices.ContainsFunc(from.Cards, func(c machine.Card) bool { return c.Name == m.Card.Name }) {
			from.Cards = append(from.Cards, m.Card)
		}
		from.Invented = from.Invented || m.Card.Invented
	}
	return shell{Title: b.title(b.words.Text("measured.title")), From: from, Page: p}, len(p.Sets)+len(p.Steps) > 0
}

func (b *builder) measuredSet(m Measured, nth int) measuredSet {
	w := b.words
	s := measuredSet{ID: "read." + m.Card.Name, Name: m.Card.Name, Heading: b.saying().said(b.sheet(m.Card).TitleIn(w.Language())), Invented: m.Card.Invented}
	s.Verdict, s.Drifts = b.verdict(m)
	if m.Followed {
		s.Charts = append(s.Charts, b.chart(m, fmt.Sprintf("%d-contact-speed", nth), w.Text("measured.chart"), followed(m, w.Text)))
	}
	var quantities []string
	for _, o := range m.Beside {
		if !strings.Contains(o.Quantity, ".") && !slices.Contains(quantities, o.Quantity) {
			quantities = append(quantities, o.Quantity)
		}
	}
	for _, q := range quantities {
		name := b.quantityName(m.Card, q)
		s.Charts = append(s.Charts, b.chart(m, fmt.Sprintf("%d-%s", nth, key(q)), w.Text("measured.quantity", "quantity", name), b.overMonths(m, q)))
	}
	s.Days = b.measuredDays(m)
	return s
}

// measuredDays gives the days of readings, the newest first.
func (b *builder) measuredDays(m Measured) (days []measuredDay) {
	for i := len(m.Beside) - 1; i >= 0; i-- {
		o := m.Beside[i]
		if n := len(days); n == 0 || o.Date != m.Beside[i+1].Date {
			days = append(days, measuredDay{ID: readOn(m.Card.Name, o.Date), Date: o.Date, Open: n == 0})
		}
		last := &days[len(days)-1]
		last.Rows = slices.Insert(last.Rows, 0, b.measuredRow(m.Card, o))
		if i == 0 || m.Beside[i-1].Date != o.Date {
			beyond := 0
			for _, r := range last.Rows {
				if r.Beyond != "" {
					beyond++
				}
			}
			last.Tally = b.words.Text("measured.tally", "n", len(last.Rows), "beyond", beyond)
		}
	}
	return days
}

// verdict says whether the governor drifts, and since when.
func (b *builder) verdict(m Measured) (text string, drifts bool) {
	t := m.Trend
	switch {
	case !m.Followed:
		return b.words.Text("measured.few", "n", watch.Least), false
	case t.Spoke < 0:
		return b.words.Text("measured.holds"), false
	}
	way := "measured.falls"
	if t.Rate > 0 {
		way = "measured.rises"
	}
	return b.words.Text(way, "spoke", b.words.Date(t.Days[t.Spoke].Date), "since", b.words.Date(t.Days[t.Since].Date),
		"part", b.words.Number(100*math.Abs(t.Rate), 2)), true
}

func key(quantity string) string { return strings.ReplaceAll(quantity, " ", "-") }

// quantityName says what was read: a quantity of the running set, or a constant.
func (b *builder) quantityName(c machine.Card, quantity string) string {
	if one, ok := c.Constant(quantity); ok {
		return b.words.Text("measured.of-part", "part", b.partName(c, one.Part), "what", b.words.Constant(one.Doc))
	}
	return b.words.Text("quantity." + key(quantity))
}

// loadName says under which load and setting something was read.
func (b *builder) loadName(r reading.Reading) string {
	load := r.Load
	switch {
	case strings.Contains(r.Quantity, "."):
		load = b.words.Text("measured.still")
	case r.How.FullLoad:
		load = b.words.Text("measured.full")
	case load == "" || load == "idle":
		load = b.words.Text("measured.idle")
	}
	return strings.TrimSuffix(load+", "+r.Setting, ", ")
}

func (b *builder) measuredRow(c machine.Card, o watch.Off) measuredRow {
	w := b.words
	r := measuredRow{What: b.quantityName(c, o.Quantity), Load: b.loadName(o.Reading), Unit: page.UnitSymbol(o.Unit), By: o.Role, With: o.Instrument,
		Read:  w.Number(o.InUnit(o.Value), o.Decimals()),
		Gives: w.Number(o.InUnit(o.Expected), o.Decimals()),
		Off:   b.far(o.Far)}
	switch far := math.Abs(o.Far); {
	case far > 3:
		r.Beyond, r.Class = w.Text("measured.beyond-3"), "beyond far"
	case far > 2:
		r.Beyond, r.Class = w.Text("measured.beyond-2"), "beyond"
	}
	return r
}

// far writes a distance in uncertainties.
func (b *builder) far(x float64) string {
	off := b.words.Number(x, 1)
	if x > 0 && off != b.words.Number(0, 1) {
		return "+" + off
	}
	return off
}

// chart draws a figure, and adds its numbers beside the page.
func (b *builder) chart(m Measured, name, caption string, f tell.Figure) measuredChart {
	f.Name = name
	f.X.Label = b.words.Text("measured.months", "date", b.words.Date(m.Beside[0].Date))
	c := measuredChart{Caption: caption, File: "set-" + name + ".csv"}
	drawing, err := b.Drawings.Draw(f, plot.Settings{ID: "chart." + name, Title: caption, Width: 460, Height: 300, Words: b.words})
	if err != nil {
		b.fail(fmt.Errorf("the chart %s of %s: %w", name, m.Card.Name, err))
		return c
	}
	c.SVG = template.HTML(drawing.SVG)
	if b.first { // numbers are the same in all languages
		b.add(measuredFolder+c.File, b.Drawings.CSV(f))
	}
	return c
}

// followed is the chart of the pair.
func followed(m Measured, text func(key string, fill ...any) string) tell.Figure {
	var months, speed, field []float64
	for _, d := range m.Trend.Days {
		months = append(months, watch.Months(m.Beside[0].Date, d.Date))
		speed, field = append(speed, d.Constant[0]), append(field, d.Constant[1])
	}
	return tell.Figure{}.
		Show(text("measured.speed"), "Hz",
			tell.Points(text("measured.day"), months, speed),
			tell.Curve(text("measured.average"), months, m.Trend.Chart.Points),
			tell.Curve(text("measured.upper"), months, m.Trend.Chart.High),
			tell.Curve(text("measured.lower"), months, m.Trend.Chart.Low)).
		Show(text("measured.field"), "ohm", tell.Points(text("measured.day"), months, field))
}

// overMonths is the chart of one quantity: what was read under each load, and
// what the model gives.
func (b *builder) overMonths(m Measured, quantity string) tell.Figure {
	var lines []tell.Line
	unit := ""
	end := watch.Months(m.Beside[0].Date, m.Beside[len(m.Beside)-1].Date)
	at := map[string]int{}
	for _, o := range m.Beside {
		if o.Quantity != quantity {
			continue
		}
		if unit == "" {
			unit = o.Unit
		}
		if o.Unit != unit {
			continue // what is written in another unit stands in the table
		}
		load := b.loadName(o.Reading)
		i, had := at[load]
		if !had {
			i = len(lines)
			at[load] = i
			level := o.InUnit(o.Expected)
			lines = append(lines, tell.Points(load, nil, nil), tell.Level(b.words.Text("measured.model", "load", load), 0, max(end, 1), level))
		}
		lines[i].X = append(lines[i].X, watch.Months(m.Beside[0].Date, o.Date))
		lines[i].Y = append(lines[i].Y, o.InUnit(o.Value))
	}
	return tell.Figure{}.Show(b.words.Text("quantity."+key(quantity)), unit, lines...)
}
