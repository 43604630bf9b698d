package cell

import (
	"slipring/engine/bench"
	"slipring/engine/lesson"
)

// readings gives the lesson's data files as cells see them.
func readings(l *lesson.Lesson) []bench.Readings {
	var all []bench.Readings
	for _, d := range l.Data {
		r := bench.Readings{Name: d.Name}
		for i, head := range d.Columns {
			c := bench.ReadingsColumn{Head: head.Head, Unit: head.Unit}
			if head.Words {
				c.Words = []string{}
			}
			for _, row := range d.Rows {
				e := row[i]
				if head.Words {
					c.Words = append(c.Words, e.Text)
					continue
				}
				c.Numbers = append(c.Numbers, e.Number)
				c.Missing = append(c.Missing, e.Missing)
			}
			r.Columns = append(r.Columns, c)
		}
		all = append(all, r)
	}
	return all
}
