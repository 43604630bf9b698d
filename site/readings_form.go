package site

import (
	"html/template"
	"slices"

	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/render/page"
)

const (
	// readingsFormPath holds a dot, which is in no lesson's name.
	readingsFormPath  = "handout/readings.form.html"
	readingsFormSheet = "readings-form" // its edition, for those who print
)

// readingsForm is the sheet to take to the machine and to type from.
type readingsForm struct {
	Set      string
	Heads    []string // those of the columns, as the files write them
	Rows     []formRow
	Blank    []int
	Cautions []template.HTML
	Sample   string
}

// formRow is one thing to read, in the words of the files, and beside them in
// those of the page.
type formRow struct{ Quantity, Said, With, Unit, Load string }

// formQuantities lists what most houses read, by the part that it takes, and
// with what.
var formQuantities = []struct{ part, quantity, with, unit string }{
	{"shaft", "speed", "tachometer", "Hz"},
	{"governor", "contact open", "oscilloscope", "%"},
	{"battery", "bus voltage", "voltmeter", "V"},
	{"motor", "field current", "ammeter", "A"},
	{"output", "output voltage", "voltmeter", "V"},
	{"generator", "generator field current", "ammeter", "A"},
}

// blankRows is how many rows are left to whatever else is read.
const blankRows = 2

// formCard gives the card that the form is for: that of the course.
func (e *edition) formCard() (machine.Card, bool) {
	for _, one := range e.lessons {
		for _, c := range one.Opened() {
			if !one.Lesson.Facts.Beside && c.Has("motor") {
				return c, true
			}
		}
	}
	return machine.Card{}, false
}

// readingsForm makes the form, where the course has a machine to read.
func (b *builder) readingsForm() (shell, bool) {
	c, ok := b.formCard()
	if !ok {
		return shell{}, false
	}
	f := readingsForm{Set: c.Name, Heads: []string{"quantity", "value", "unit", "uncertainty", "instrument", "class", "load", "setting"}, Blank: make([]int, blankRows)}
	loads := []string{"idle"}
	if c.Has("full-load") {
		loads = append(loads, "full")
	}
	for _, load := range loads {
		for _, q := range formQuantities {
			if c.Has(q.part) {
				row := formRow{Quantity: q.quantity, Unit: q.unit, Load: load}
				if load == loads[0] { // what it means is said once
					row.With = b.words.Text("readings-form." + q.with)
					if said := b.words.Text("quantity." + key(q.quantity)); said != q.quantity {
						row.Said = said
					}
				}
				f.Rows = append(f.Rows, row)
			}
		}
	}
	if one, ok := c.Constant("motor.field-resistance"); ok {
		f.Rows = append(f.Rows, formRow{one.Name(), b.quantityName(c, one.Name()), b.words.Text("readings-form.ohmmeter"), "ohm", ""})
	}
	for _, h := range b.House.Hazards {
		if slices.Contains([]string{"rotating", "voltage", "battery"}, h.Name) {
			f.Cautions = append(f.Cautions, page.InFull(h, b.words))
		}
	}
	f.Sample = reading.Sample
	from := provenance{Cards: []machine.Card{c}, Version: b.Version, Invented: c.Invented}
	return shell{Title: b.title(b.words.Text("readings-form.title")), From: from, Page: f}, true
}

// ReadingsForm says whether there is a form for readings, and leads to it.
func (s shell) ReadingsForm() string {
	if _, ok := s.edition.formCard(); !ok {
		return ""
	}
	return s.To(readingsFormPath)
}
