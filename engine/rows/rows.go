// Package rows reads text of rows and fields, as a spreadsheet saves it, with
// the place of each field. What the fields mean is for others to say.
package rows

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"strings"

	"slipring/engine/diag"
)

// Field is one field without the blanks around it. Line and Column are those in
// the file, from 1.
type Field struct {
	Text   string
	Line   int
	Column int
}

// Form is what a file has to look like.
type Form struct {
	Rule   string // of messages
	Sample string // a file of the form, for hints

	// Separators are what may stand between fields; with several, the first line
	// of fields says which it is.
	Separators string
}

// Largest is the size, in bytes, up to which a file is read.
const Largest = 4 << 20

const mark = "#"

// Read reads comma-separated values after RFC 4180, or such with another
// separator. The first lines begin with # and say where the data come from.
// Line ends may be of either sort, and a byte-order mark may stand first. File
// is used in messages. With messages, the records are those above the first
// place that is wrong.
func Read(file string, source []byte, form Form) (note string, records [][]Field, messages []diag.Message) {
	fail := func(line, column int, text, hint string) {
		messages = append(messages, diag.Message{File: file, Line: line, Column: column, Rule: form.Rule, Text: text, Hint: hint})
	}
	rest := bytes.TrimPrefix(source, []byte("\ufeff"))
	skipped := len(source) - len(rest)
	if len(source) > Largest {
		fail(1, 1, fmt.Sprintf("the file has %d bytes, more than the %d that a data file may have", len(source), Largest),
			"keep the part that the lesson shows, and the rest elsewhere")
		return
	}
	if text, _ := diag.NotText(source); text != "" {
		fail(1, 1, text, "save it as CSV, with commas and in UTF-8")
		return
	}
	if at, what := diag.Hidden(rest); at >= 0 {
		line, column := diag.Place(source, skipped+at)
		fail(line, column, what, "save the file as CSV in UTF-8, without such characters")
		return
	}
	head, rest := above(rest, form)
	lines := len(head)
	var notes []string
	for _, line := range head {
		if line.Text != "" {
			notes = append(notes, line.Text)
		}
	}
	note = strings.Join(notes, " ")
	if note == "" {
		fail(1, 1, "the first line does not say where the data come from", "begin the file, for example, with:\n"+form.Sample)
		return
	}
	in := csv.NewReader(bytes.NewReader(rest))
	in.FieldsPerRecord = -1
	in.Comma = form.separator(rest)
	for {
		record, err := in.Read()
		var at *csv.ParseError
		if errors.As(err, &at) {
			text, hint := "this is not CSV: "+at.Err.Error(), "separate fields with commas"
			if errors.Is(at.Err, csv.ErrQuote) || errors.Is(at.Err, csv.ErrBareQuote) {
				text, hint = "a quotation mark stands alone in a field", `put the whole field between quotation marks, and write each one in it twice: "a ""b"" c"`
			}
			fail(lines+at.Line, at.Column, text, hint)
		}
		if err != nil {
			return
		}
		fields := make([]Field, len(record))
		for i := range record {
			line, column := in.FieldPos(i)
			fields[i] = Field{Text: strings.TrimSpace(record[i]), Line: lines + line, Column: column}
			if lines+line == 1 {
				fields[i].Column += skipped
			}
		}
		records = append(records, fields)
	}
}

// Head gives the first lines, those that begin with #, without it.
func Head(source []byte, form Form) []Field {
	lines, _ := above(bytes.TrimPrefix(source, []byte("\ufeff")), form)
	return lines
}

// above parts the first lines, those that begin with #, from the rest. A
// spreadsheet puts separators behind a line of words, and quotation marks around
// it.
func above(source []byte, form Form) (head []Field, rest []byte) {
	rest = source
	for bytes.HasPrefix(rest, []byte(mark)) || bytes.HasPrefix(rest, []byte(`"`+mark)) {
		line, after, _ := bytes.Cut(rest, []byte("\n"))
		rest = after
		text := strings.Trim(strings.Trim(string(line), "\r"+form.Separators), `"`)
		head = append(head, Field{Text: strings.TrimSpace(strings.TrimLeft(text, mark)), Line: len(head) + 1, Column: 1})
	}
	return head, rest
}

// Separator says what stands between the fields of a file.
func (f Form) Separator(source []byte) rune {
	_, rest := above(bytes.TrimPrefix(source, []byte("\ufeff")), f)
	return f.separator(rest)
}

// separator gives the separator that the first line of fields has most of: of
// those that the second has as often, if there are such, since a decimal comma
// or a semicolon between words stands in one of them alone.
func (f Form) separator(text []byte) rune {
	first, rest, _ := bytes.Cut(bytes.TrimLeft(text, "\r\n"), []byte("\n"))
	second, _, _ := bytes.Cut(rest, []byte("\n"))
	best, most := rune(f.Separators[0]), 0
	for _, r := range f.Separators {
		n := outside(first, r)
		if n == 0 {
			continue
		}
		if outside(second, r) == n {
			n += len(text) // and comes before all others
		}
		if n > most {
			best, most = r, n
		}
	}
	return best
}

// Rewrite gives a file's records anew, below the first lines, with the separator,
// the line ends and the byte-order mark that the file has. In a new file, source
// is its first lines.
func (f Form) Rewrite(source []byte, records [][]string) []byte {
	body := bytes.TrimPrefix(source, []byte("\ufeff"))
	_, rest := above(body, f)
	var out bytes.Buffer
	out.Write(source[:len(source)-len(rest)])
	in := csv.NewWriter(&out)
	in.Comma = f.separator(rest)
	in.UseCRLF = bytes.Contains(source, []byte("\r\n"))
	in.WriteAll(records) // a buffer takes everything
	return out.Bytes()
}

// outside counts a separator where it stands outside quotation marks.
func outside(line []byte, separator rune) (n int) {
	quoted := false
	for _, r := range string(line) {
		switch {
		case r == '"':
			quoted = !quoted
		case r == separator && !quoted:
			n++
		}
	}
	return n
}
