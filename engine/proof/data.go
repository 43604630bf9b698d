package proof

import (
	"fmt"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// mostRows is how many lines a table of readings may have on a page. Longer
// ones are for figures.
const mostRows = 60

// missing stands in a table where nothing was read.
const missing = "–"

// Table gives data as a table that pages can show. The values of readings, each
// with decimals of its own, stand there as written, with the decimal sign of the
// page.
func Table(d lesson.Data, localize func(number string) string) tell.Table {
	t := tell.Table{Name: d.Name}
	for _, c := range d.Columns {
		t.Columns = append(t.Columns, tell.Column{Head: c.Head, Unit: c.Unit, Decimals: c.Decimals})
	}
	for _, row := range d.Rows {
		var entries []tell.Entry
		for i, e := range row {
			entry := tell.Entry{Text: e.Text, Number: e.Number}
			if !d.Columns[i].Words && e.Text != "" {
				entry.Text = localize(strings.Replace(e.Text, ",", ".", 1))
			}
			if e.Missing {
				entry.Text = missing
			}
			entries = append(entries, entry)
		}
		t.Rows = append(t.Rows, entries)
	}
	return t
}

// data finds the readings that are placed as tables, and those that nothing
// uses.
func (c *checker) data() {
	placed := map[string]bool{}
	for _, d := range c.lesson.Data {
		placed[d.Name] = len(d.Readings) > 0 // they stand in the logbook, or at a step
	}
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		one, _ := Placed(n, c.shown)
		if d, ok := one.What.(lesson.Data); ok {
			placed[n.Name] = true
			if len(d.Rows) > mostRows {
				c.say(n.Offset, ruleRows, fmt.Sprintf("%q has %d lines, more than %d", n.Name, len(d.Rows), mostRows),
					"show them as a figure, or tell a table of some of them")
			}
		}
		return true
	})
	if c.lesson.Base != nil {
		return
	}
	for _, d := range c.lesson.Facts.Captures {
		if c.told(d.Name()) == 0 {
			c.say(d.Offset, ruleDataUnused, fmt.Sprintf("nothing uses the capture %q", d.File),
				fmt.Sprintf("read it in a cell, with bench.Capture(%q), or leave it out", d.Name()))
		}
	}
	for i, file := range c.lesson.Facts.Data {
		name := strings.TrimSuffix(file, ".csv")
		if !placed[name] && c.told(name) == 0 {
			c.say(c.lesson.Facts.DataAt[i], ruleDataUnused, fmt.Sprintf("nothing uses the data %q", file),
				fmt.Sprintf("place them with ![what they are](table:%s), read them in a cell, or leave the file out", name))
		}
	}
}
