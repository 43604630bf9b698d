package plot

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"slipring/engine/tell"
)

// CSV gives the numbers of a figure as comma-separated values after RFC 4180,
// each as the shortest decimal that reads back to the same float64. Where all
// lines have the same x values, those come first and then one column a line;
// otherwise each line has two columns, x and y, and the shorter ones end in
// empty fields.
func CSV(f tell.Figure) []byte {
	var lines []tell.Line
	var heads []string
	for _, p := range f.Panes {
		for _, l := range p.Lines {
			lines = append(lines, l)
			head := or(l.Label, p.Y.Label)
			if len(p.Lines) > 1 && p.Y.Label != "" && l.Label != "" {
				head = p.Y.Label + " " + l.Label
			}
			heads = append(heads, columnHead(head, p.Y.Unit))
		}
	}
	same := true
	for _, l := range lines {
		same = same && slices.Equal(l.X, lines[0].X)
	}
	x := columnHead(f.X.Label, f.X.Unit)
	var columns []column
	for i, l := range lines {
		if !same || i == 0 {
			head := x
			if !same {
				head = columnHead(f.X.Label+" of "+or(l.Label, heads[i]), f.X.Unit)
			}
			columns = append(columns, column{head, l.X})
		}
		columns = append(columns, column{heads[i], l.Y})
	}
	return writeCSV(numbers(columns))
}

// TableCSV gives a table as comma-separated values after RFC 4180. Its numbers
// are not rounded as on a page, but written as the shortest decimals that read
// back to the same float64.
func TableCSV(t tell.Table) []byte {
	var rows [][]string
	var head []string
	for _, c := range t.Columns {
		head = append(head, columnHead(c.Head, c.Unit))
	}
	rows = append(rows, head)
	for _, r := range t.Rows {
		var row []string
		for _, e := range r {
			if e.Text != "" {
				row = append(row, harmless(e.Text))
			} else {
				row = append(row, exact(e.Number))
			}
		}
		rows = append(rows, row)
	}
	return writeCSV(rows)
}

type column struct {
	head    string
	numbers []float64
}

func numbers(columns []column) [][]string {
	longest := 0
	var head []string
	for _, c := range columns {
		head = append(head, c.head)
		longest = max(longest, len(c.numbers))
	}
	rows := [][]string{head}
	for i := range longest {
		row := make([]string, len(columns))
		for k, c := range columns {
			if i < len(c.numbers) {
				row[k] = exact(c.numbers[i])
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// columnHead names a column with its unit in brackets.
func columnHead(name, unit string) string {
	if unit != "" {
		name += " (" + unit + ")"
	}
	return harmless(strings.TrimSpace(name))
}

// harmless puts an apostrophe before words that a spreadsheet would take for a
// formula (OWASP, CSV Injection).
func harmless(words string) string {
	if first, _ := utf8.DecodeRuneInString(words); words != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", first) {
		return "'" + words
	}
	return words
}

func writeCSV(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	// A bytes.Buffer takes all that is written to it.
	_ = w.WriteAll(rows)
	return b.Bytes()
}
