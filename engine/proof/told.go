package proof

import (
	"fmt"
	"maps"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/tell"
)

// toldLabels reports labels of a translation that nothing on its pages has.
func (c *checker) toldLabels(r tell.Result) {
	told := map[string]bool{}
	for _, k := range r.Knobs {
		told[k.Label] = true
	}
	for _, f := range r.Figures {
		told[f.X.Label] = true
		for _, p := range f.Panes {
			told[p.Y.Label] = true
			for _, l := range p.Lines {
				told[l.Label] = true
			}
		}
	}
	tables := slices.Clone(r.Tables)
	for _, d := range c.lesson.Data {
		tables = append(tables, Table(d))
	}
	for _, t := range tables {
		for _, column := range t.Columns {
			told[column.Head] = true
		}
		for _, rows := range append([][][]tell.Entry{t.Rows}, t.Frames...) {
			for _, row := range rows {
				for _, e := range row {
					told[e.Text] = true
				}
			}
		}
	}
	delete(told, "")
	known := slices.Sorted(maps.Keys(told))
	for _, l := range c.lesson.Facts.Labels {
		if told[l.Told] {
			continue
		}
		hint := "write it as the cell tells it, or leave it out"
		if near := diag.Nearest(l.Told, known); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		c.say(l.Offset, ruleSameLabels, fmt.Sprintf("no cell tells the label %q", l.Told), hint)
	}
}
