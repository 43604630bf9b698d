package plot

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/tell"
)

// CSV gives the numbers of a figure as comma-separated values after RFC 4180,
// each as the shortest decimal that reads back to the same float64. Where all
// lines have the same x values, those come first and then one column a line;
// otherwise each line has two columns, x and y, and the shorter ones end in
// empty fields.
//
// A line with a band has two more columns, for its lower and its upper edge.
//
// A figure that was told under some of a lesson's knobs has a column for each
// of these in front, and the rows of all frames.
//
// What would be larger than MostCSV has only the points at which the figure is
// drawn, each as precise as before, and says so in a first line that begins
// with "#".
func CSV(f tell.Figure, knobs ...tell.Knob) []byte {
	all := figureCSV(f, knobs, "")
	if len(all) <= MostCSV {
		return all
	}
	smallest := all
	for _, together := range []bool{false, true} {
		thin, kept, of, err := drawnPoints(f, together)
		if err != nil {
			return all // there is no drawing
		}
		if some := figureCSV(thin, knobs, thinned(kept, of)); len(some) < len(smallest) {
			smallest = some
		}
	}
	return smallest
}

// thinned says in a first line what a CSV holds.
func thinned(kept, of int) string {
	return fmt.Sprintf("# %d of %d points are kept: those at which the figure is drawn. Lines through them pass within %g px of all others on a drawing %d px wide."+
		" Where a line swings too densely for that its least and its greatest point in each %dth of the width are kept. No number is rounded.", kept, of, visible, usualWidth, most/4)
}

// MostCSV is the size in bytes above which the numbers of a figure are thinned.
const MostCSV = 200_000

// drawnPoints gives a figure with only the points at which it is drawn, and
// how many of how many these are. Together, the lines of a frame that have the
// same x values keep those at which any of them is drawn, so that they still
// need but one column for them.
func drawnPoints(f tell.Figure, together bool) (thin tell.Figure, kept, of int, err error) {
	if err := check(f, nil); err != nil {
		return f, 0, 0, err
	}
	l := layOut(f, Settings{Width: usualWidth, Text: usualText})
	if l.err != nil {
		return f, 0, 0, l.err
	}
	left, right := l.frame()
	frame := func(panes []tell.Pane) []tell.Pane {
		panes = slices.Clone(panes)
		lines := linesOf(panes)
		union := together && !slices.ContainsFunc(lines, func(l tell.Line) bool { return !slices.Equal(l.X, lines[0].X) })
		at := make([][]int, 0, len(lines)) // the indexes that each line keeps
		for i := range panes {
			panes[i].Lines = slices.Clone(panes[i].Lines)
			for k := range panes[i].Lines {
				line := &panes[i].Lines[k]
				var px points
				for n := range line.X {
					px.add((right-left)*(line.X[n]-l.x.low)/l.x.span(), l.panes[i].height*(line.Y[n]-l.panes[i].y.low)/l.panes[i].y.span())
				}
				of += len(line.X)
				drawn := px.drawn(*line)
				for _, edge := range [][]float64{line.Low, line.High} {
					var at points
					for n := range edge {
						at.add(px.x[n], l.panes[i].height*(edge[n]-l.panes[i].y.low)/l.panes[i].y.span())
					}
					drawn = append(drawn, at.thinned(most)...)
				}
				slices.Sort(drawn)
				at = append(at, slices.Compact(drawn))
			}
		}
		if union {
			all := slices.Concat(at...)
			slices.Sort(all)
			all = slices.Compact(all)
			for i := range at {
				at[i] = all
			}
		}
		for i := range panes {
			for k := range panes[i].Lines {
				line := &panes[i].Lines[k]
				kept += len(at[0])
				line.X, line.Y = picked(line.X, at[0]), picked(line.Y, at[0])
				if banded(*line) {
					line.Low, line.High = picked(line.Low, at[0]), picked(line.High, at[0])
				}
				at = at[1:]
			}
		}
		return panes
	}
	thin = f
	thin.Panes = frame(f.Panes)
	if len(f.Frames) > 0 {
		kept, of = 0, 0
		thin.Frames = nil
		for _, panes := range f.Frames {
			thin.Frames = append(thin.Frames, frame(panes))
		}
	}
	return thin, kept, of, nil
}

func picked(xs []float64, indexes []int) []float64 {
	var out []float64
	for _, i := range indexes {
		out = append(out, xs[i])
	}
	return out
}

// figureCSV writes all points of a figure, below a first line if there is one.
func figureCSV(f tell.Figure, knobs []tell.Knob, first string) []byte {
	same := true
	for _, panes := range allFrames(f) {
		lines := linesOf(panes)
		for _, l := range lines {
			same = same && slices.Equal(l.X, lines[0].X)
		}
	}
	heads := knobHeads(f.Framed, knobs)
	for i, p := range f.Panes {
		for k, l := range p.Lines {
			head := or(l.Label, p.Y.Label)
			if len(p.Lines) > 1 && p.Y.Label != "" && l.Label != "" {
				head = p.Y.Label + " " + l.Label
			}
			if l.Measured {
				head += " measured"
			}
			y := columnHead(head, p.Y.Unit)
			switch {
			case !same:
				heads = append(heads, columnHead(f.X.Label+" of "+or(l.Label, y), f.X.Unit))
			case k == 0 && i == 0:
				heads = append(heads, columnHead(f.X.Label, f.X.Unit))
			}
			heads = append(heads, y)
			if banded(l) {
				heads = append(heads, columnHead(head+" least", p.Y.Unit), columnHead(head+" most", p.Y.Unit))
			}
		}
	}
	rows := [][]string{heads}
	if first != "" {
		rows = [][]string{{first}, heads}
	}
	for i, panes := range allFrames(f) {
		var columns [][]float64
		for k, l := range linesOf(panes) {
			if !same || k == 0 {
				columns = append(columns, l.X)
			}
			columns = append(columns, l.Y)
			if banded(l) {
				columns = append(columns, l.Low, l.High)
			}
		}
		rows = append(rows, numbers(knobFields(f.Framed, knobs, i), columns)...)
	}
	return writeCSV(rows)
}

func linesOf(panes []tell.Pane) []tell.Line {
	var lines []tell.Line
	for _, p := range panes {
		lines = append(lines, p.Lines...)
	}
	return lines
}

func knobHeads(f tell.Framed, knobs []tell.Knob) []string {
	var heads []string
	for _, k := range f.Under(knobs) {
		heads = append(heads, columnHead(k.Label, k.Unit))
	}
	return heads
}

// knobFields says where the knobs stand in a frame.
func knobFields(f tell.Framed, knobs []tell.Knob, frame int) []string {
	var fields []string
	for _, x := range f.At(knobs, frame) {
		fields = append(fields, exact(x))
	}
	return fields
}

// TableCSV gives a table as comma-separated values after RFC 4180. Its numbers
// are not rounded as on a page, but written as the shortest decimals that read
// back to the same float64. Knobs are written as in those of a figure.
func TableCSV(t tell.Table, knobs ...tell.Knob) []byte {
	return writeCSV(tableRows(t, exact, knobs))
}

// SemicolonCSV gives a table as a spreadsheet takes it that was set up for a
// decimal comma: semicolons between fields, and commas in numbers.
func SemicolonCSV(t tell.Table) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = ';', true
	// A bytes.Buffer takes all that is written to it.
	_ = w.WriteAll(tableRows(t, func(x float64) string { return strings.Replace(exact(x), ".", ",", 1) }, nil))
	return b.Bytes()
}

// tableRows gives heads and rows of a table, with its numbers written so.
func tableRows(t tell.Table, number func(float64) string, knobs []tell.Knob) [][]string {
	heads := knobHeads(t.Framed, knobs)
	for _, c := range t.Columns {
		heads = append(heads, columnHead(c.Head, c.Unit))
	}
	rows := [][]string{heads}
	frames := t.Frames
	if len(frames) == 0 {
		frames = [][][]tell.Entry{t.Rows}
	}
	for i, frame := range frames {
		for _, r := range frame {
			row := knobFields(t.Framed, knobs, i)
			for _, e := range r {
				if e.Text != "" {
					row = append(row, harmless(e.Text))
				} else {
					row = append(row, number(e.Number))
				}
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// numbers writes columns side by side, behind the same first fields.
func numbers(first []string, columns [][]float64) [][]string {
	longest := 0
	for _, c := range columns {
		longest = max(longest, len(c))
	}
	var rows [][]string
	for i := range longest {
		row := slices.Clone(first)
		for _, c := range columns {
			if i < len(c) {
				row = append(row, exact(c[i]))
			} else {
				row = append(row, "")
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

// harmless puts an apostrophe before what a spreadsheet would take for a formula
// (OWASP, CSV Injection): words that begin like one, and words that do so
// behind a mark at which a spreadsheet may part fields, as those of countries
// with a decimal comma do at semicolons. Whoever reads the file in another way
// finds the words with that one sign more. Numbers are no words: they stand as
// they are.
func harmless(words string) string { return formula.ReplaceAllString(words, "$1'$2") }

var formula = regexp.MustCompile(`((?:^|[;|\t\r\n])[\s\pZ]*)([=+\-@＝＋－＠])`)

func writeCSV(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	// A bytes.Buffer takes all that is written to it.
	_ = w.WriteAll(rows)
	return b.Bytes()
}
