package lesson

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"

	"slipring/engine/diag"
	meters "slipring/engine/reading"
	"slipring/engine/rows"
)

// Data is one CSV file beside a lesson: a table of anything, or readings.
type Data struct {
	Name    string // of the file, without its ending
	File    string // path as the author would write it
	Note    string // the comment above the numbers: where they come from
	Columns []DataColumn
	Rows    [][]DataEntry // each as long as Columns

	// Readings are what the same rows say, where the file has the form of package
	// reading; nil of any other table.
	Readings []meters.Reading
}

// DataColumn is the head of a column, written in the file as "name (unit)".
// All its entries are numbers, or all are words.
type DataColumn struct {
	Head     string
	Unit     string // "" for none
	Words    bool
	Decimals int // the most that a number of it is written with
}

// DataEntry is one field: a word, or a number; of a reading's value both, since
// each is written with decimals of its own. Missing says that there is
// none, which the file shows with a dash. Line and Column are those in the
// file, from 1.
type DataEntry struct {
	Text    string
	Number  float64
	Missing bool
	Line    int
	Column  int
}

// LargestData is the size, in bytes, up to which a data file is read.
const LargestData = rows.Largest

const (
	mostColumns  = 30
	mostField    = 200 // bytes
	mostFindings = 20  // about one file; more say nothing new

	dataSample = "# Where the readings come from, and whether they are invented.\nload (A),speed (Hz)\n0.5,16.52"
)

var (
	dataForm  = regexp.MustCompile(`^[a-z][a-z0-9]*(?:-[a-z0-9]+)*\.csv$`)
	headForm  = regexp.MustCompile(`^(.*\S)\s*\(([^()]+)\)$`)
	csvNumber = regexp.MustCompile(`^[-+]?[0-9]+(?:\.([0-9]+))?(?:[eE][-+]?[0-9]{1,3})?$`)
)

// ParseData reads a file of comma-separated values after RFC 4180, or one with
// semicolons or tabs, which then may have decimal commas. Its first lines begin
// with # and say where the data come from; the next is the head of the columns.
// Line ends may be of either sort. The file name is used in messages, and names
// the data. Where the heads are those of readings, package reading reads it.
func ParseData(file string, source []byte) (Data, []diag.Message) {
	r := dataReader{data: Data{File: file}, source: source}
	r.data.Name = strings.TrimSuffix(file[strings.LastIndexAny(file, `/\`)+1:], ".csv")
	r.read()
	return r.data, diag.Sort(r.messages)
}

type dataReader struct {
	data     Data
	source   []byte
	messages []diag.Message
	full     bool // there is more than can be read
	commas   bool // stand between the columns, so that none is decimal
}

func (r *dataReader) say(line, column int, text, hint string) {
	if len(r.messages) < mostFindings {
		r.messages = append(r.messages, diag.Message{File: r.data.File, Line: line, Column: column, Rule: "data", Text: text, Hint: hint})
	}
}

func (r *dataReader) read() {
	form := rows.Form{Rule: "data", Sample: dataSample, Separators: ",;\t"}
	note, records, broken := rows.Read(r.data.File, r.source, form)
	r.data.Note, r.commas = note, form.Separator(r.source) == ','
	if len(records) > 0 && meters.Are(words(records[0])) {
		r.readings(records)
		return
	}
	for i, record := range records {
		if len(r.messages) >= mostFindings || r.full {
			break
		}
		at := make([]DataEntry, len(record))
		for k, f := range record {
			at[k] = DataEntry{Text: f.Text, Line: f.Line, Column: f.Column}
		}
		if i == 0 {
			r.heads(at)
		} else {
			r.row(at)
		}
	}
	if len(r.messages) < mostFindings && !r.full {
		r.messages = append(r.messages, broken...)
	}
	if len(r.messages) == 0 && len(r.data.Rows) == 0 {
		r.say(1, 1, "the file holds no data", "it needs a line of heads and at least one line below it, for example:\n"+dataSample)
	}
	if len(r.messages) == 0 {
		r.numbers()
	}
}

func (r *dataReader) heads(record []DataEntry) {
	if len(record) > mostColumns {
		r.say(record[mostColumns].Line, record[mostColumns].Column, fmt.Sprintf("the file has %d columns, more than %d", len(record), mostColumns),
			"keep those that the lesson shows")
		r.full = true
		return
	}
	seen := map[string]bool{}
	for _, f := range record {
		c := DataColumn{Head: f.Text}
		if m := headForm.FindStringSubmatch(f.Text); m != nil {
			c.Head, c.Unit = m[1], strings.Join(strings.Fields(m[2]), " ")
		}
		switch {
		case c.Head == "":
			r.say(f.Line, f.Column, "a column has no head", "name what its numbers are, with the unit in brackets: speed (Hz)")
		case csvNumber.MatchString(c.Head):
			r.say(f.Line, f.Column, fmt.Sprintf("the head of a column is the number %q", c.Head), "put a line of heads above the numbers, such as: load (A),speed (Hz)")
		case seen[c.Head]:
			r.say(f.Line, f.Column, fmt.Sprintf("two columns are headed %q", c.Head), "name each differently")
		}
		seen[c.Head] = true
		r.data.Columns = append(r.data.Columns, c)
	}
}

func (r *dataReader) row(record []DataEntry) {
	if len(record) != len(r.data.Columns) {
		f := record[0]
		r.say(f.Line, f.Column, fmt.Sprintf("this line has %d fields, and the head has %d", len(record), len(r.data.Columns)),
			`give each line one field a column; a decimal comma has to be a point`)
		return
	}
	for _, f := range record {
		switch {
		case len(f.Text) > mostField:
			r.say(f.Line, f.Column, fmt.Sprintf("this field has %d bytes, more than %d", len(f.Text), mostField), "shorten it")
		case f.Text == "":
			r.say(f.Line, f.Column, "this field is empty", "write what was read, or a dash where nothing was")
		}
	}
	r.data.Rows = append(r.data.Rows, record)
}

// numbers finds out which columns hold numbers: those with a unit, and those
// whose first entry is one.
func (r *dataReader) numbers() {
	for i := range r.data.Columns {
		c := &r.data.Columns[i]
		c.Words = c.Unit == ""
		for _, row := range r.data.Rows {
			if row[i].Text != "-" {
				c.Words = c.Words && !csvNumber.MatchString(r.point(row[i].Text))
				break
			}
		}
		for _, row := range r.data.Rows {
			f := &row[i]
			if f.Text == "-" {
				f.Text, f.Missing = "", true
				continue
			}
			if c.Words {
				continue
			}
			text := r.point(f.Text)
			m := csvNumber.FindStringSubmatch(text)
			x, err := strconv.ParseFloat(text, 64)
			switch {
			case m == nil:
				r.say(f.Line, f.Column, fmt.Sprintf("%q stands in the column %q, which holds numbers", f.Text, c.Head),
					"write a number with a decimal point and without its unit, or a dash where nothing was read")
			case err != nil || math.IsInf(x, 0):
				r.say(f.Line, f.Column, fmt.Sprintf("the number %s is too large", f.Text), "check it, or use another unit")
			default:
				f.Text, f.Number = "", x
				c.Decimals = max(c.Decimals, len(m[1]))
			}
		}
	}
}

// point writes a decimal comma as a point, where no comma stands between the
// columns.
func (r *dataReader) point(number string) string {
	if r.commas {
		return number
	}
	return strings.Replace(number, ",", ".", 1)
}

// DataNamed finds the data of that name.
func (l *Lesson) DataNamed(name string) (Data, bool) {
	for _, d := range l.Data {
		if d.Name == name {
			return d, true
		}
	}
	return Data{}, false
}

// ReadData reads the data files that the lesson names, with open giving the
// content of each, and puts them into Data.
func (l *Lesson) ReadData(open func(name string) ([]byte, error)) []diag.Message {
	var messages []diag.Message
	l.Data = nil
	for i, name := range l.Facts.Data {
		source, err := open(name)
		if err != nil {
			text, hint := fmt.Sprintf("%q cannot be read: %s", name, reason(err)), "put the file itself into the lesson's folder"
			if errors.Is(err, fs.ErrNotExist) {
				text, hint = fmt.Sprintf("%q is not beside the lesson", name), hint+", under this very name, with large and small letters as here"
			}
			messages = append(messages, l.Message(l.Facts.DataAt[i], diag.Error, "data", text, hint))
			continue
		}
		d, found := ParseData(strings.TrimSuffix(l.File, lessonFile)+name, source)
		messages = append(messages, found...)
		l.Data = append(l.Data, d)
	}
	return messages
}
