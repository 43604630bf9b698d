package tell

import "fmt"

// List tells a table in the short form: its columns from left to right, then
// its rows.
//
//	tell.List("points", tell.Words("state").Numbers("speed", "Hz", 2).
//		Row("no bell", idle.Frequency).
//		Row("full load", full.Frequency))
func (s *Sheet) List(name string, t Table) {
	t.Name = name
	s.Table(t)
}

// Words begins a table with a column of words.
func Words(head string) Table { return Table{}.Words(head) }

// Numbers begins a table with a column of numbers.
func Numbers(head, unit string, decimals int) Table {
	return Table{}.Numbers(head, unit, decimals)
}

// Words gives the table with one more column, of words.
func (t Table) Words(head string) Table { return t.with(Column{Head: head}) }

// Numbers gives the table with one more column, of numbers that are written
// with so many decimals.
func (t Table) Numbers(head, unit string, decimals int) Table {
	return t.with(Column{Head: head, Unit: unit, Decimals: decimals})
}

func (t Table) with(c Column) Table {
	t.Columns = append(t.Columns[:len(t.Columns):len(t.Columns)], c)
	return t
}

// Row gives the table with one more row of words and numbers, one a column, as
// in Row("battery", 48, amperes). Whatever is no string, float64 or int is
// refused, and so is an empty string.
func (t Table) Row(entries ...any) Table {
	row := make([]Entry, len(entries))
	for i, e := range entries {
		switch e := e.(type) {
		case string:
			if e == "" {
				panic(Misuse{fmt.Sprintf("entry %d of a row is empty", i+1), `say in words what it means, such as "none"`})
			}
			row[i].Text = e
			continue
		case float64:
			row[i].Number = e
			continue
		case int:
			row[i].Number = float64(e)
			continue
		}
		panic(Misuse{
			fmt.Sprintf("entry %d of a row is neither words nor a number", i+1),
			`hand over words such as "idle", or a float64 or int, such as float64(gauge)`})
	}
	t.Rows = append(t.Rows[:len(t.Rows):len(t.Rows)], row)
	return t
}
