package lesson

import (
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/folder"
	meters "slipring/engine/reading"
	"slipring/engine/rows"
)

// value heads the column of numbers in a file of readings.
const value = "value"

// readings reads a file in the form of readings: once as these, and once as a
// table, for cells and pages, of which the column of values alone holds numbers.
func (r *dataReader) readings(records [][]rows.Field) {
	r.data.Readings, r.messages = meters.Parse(r.data.File, r.source)
	if len(r.messages) > 0 {
		return
	}
	var at []int // of the columns that have a head
	for i, f := range records[0] {
		if f.Text != "" {
			at = append(at, i)
			r.data.Columns = append(r.data.Columns, DataColumn{Head: strings.ToLower(f.Text), Words: strings.ToLower(f.Text) != value})
		}
	}
	lines := map[int]meters.Reading{}
	for _, one := range r.data.Readings {
		lines[one.Line] = one
	}
	for _, record := range records[1:] {
		row := make([]DataEntry, len(at))
		line := 0
		for k, i := range at {
			if i >= len(record) {
				row[k] = DataEntry{Missing: true, Line: record[0].Line, Column: record[0].Column}
				continue
			}
			f := record[i]
			row[k] = DataEntry{Text: f.Text, Line: f.Line, Column: f.Column}
			if f.Text == "" || f.Text == "-" {
				row[k].Text, row[k].Missing = "", true
			}
			if f.Text != "" && !r.data.Columns[k].Words {
				line = f.Line
				row[k].Number = lines[line].Shown()
				r.data.Columns[k].Decimals = max(r.data.Columns[k].Decimals, lines[line].Decimals())
			}
		}
		if line > 0 { // and no empty line of a spreadsheet
			r.data.Rows = append(r.data.Rows, row)
		}
	}
}

func words(record []rows.Field) (heads []string) {
	for _, f := range record {
		heads = append(heads, f.Text)
	}
	return heads
}

// Entered gives what was read beside lessons off the house's sets. A lesson that
// stands beside the course, such as the author's guide, keeps its readings to
// itself.
func Entered(lessons []*Lesson) (all []meters.Reading) {
	for _, l := range lessons {
		if !l.Facts.Beside {
			all = append(all, l.Entered()...)
		}
	}
	return all
}

// Entered gives what was read beside the lesson, without what is of its steps
// alone.
func (l *Lesson) Entered() (all []meters.Reading) {
	for _, d := range l.Data {
		for _, r := range d.Readings {
			if r.Quantity != "" {
				all = append(all, r)
			}
		}
	}
	return all
}

// ForCells gives the readings that the lesson's cells can ask for, of which those
// of the house are given.
func (l *Lesson) ForCells(house []meters.Reading) []meters.Reading {
	if !l.Facts.Beside {
		return house
	}
	return append(slices.Clone(house), l.Entered()...)
}

// ReadEntered gives what Entered does, of a folder of which nothing else is
// wanted. Messages are those about the files beside lessons: what is wrong with
// a text is for proof to say.
func ReadEntered(in *folder.Folder) ([]meters.Reading, []diag.Message) {
	entries, _ := in.ReadDir(".")
	var lessons []*Lesson
	var about []diag.Message
	for _, e := range entries {
		l, _ := readBody(in, e.Name())
		if l == nil {
			continue
		}
		about = append(about, l.readData(in)...)
		lessons = append(lessons, l)
	}
	return Entered(lessons), diag.Sort(about)
}
