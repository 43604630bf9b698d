package capture

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"slipring/engine/diag"
)

// Bounds of a table of numbers.
const (
	mostKept   = 1 << 20 // samples kept of a channel; of more, neighbours are averaged
	mostLine   = 1 << 16 // bytes of a line, and of the part that heads are looked for in
	mostHead   = 400     // lines that heads are looked for in
	leastLines = 8
)

// table is a file of numbers while it is read.
type table struct {
	file     string
	d        dialect
	head     head
	columns  []int // of the file: the channels
	time     int   // the column of times, or -1
	factor   float64
	first    int // line of the first row, from 0
	kept     [][]float64
	sums     []float64
	inSum    int
	stride   int
	rows     int
	quantum  float64 // s: the last written digit of the times
	beyond   []int   // line in which each channel is first out of range; 0 for never
	messages []diag.Message
}

func (t *table) say(level diag.Level, line, column int, text, hint string) {
	t.messages = append(t.messages, diag.Message{File: t.file, Line: line, Column: column, Level: level, Rule: "capture", Text: text, Hint: hint})
}

// ReadNumbers reads a table of numbers: a column of times and one to four
// channels, or channels alone where a line above or beside them gives the
// sample interval; with commas, semicolons, tabs or spaces, decimal points or
// decimal commas. Of more than 1048576 rows neighbours are averaged, so that no
// file needs much memory. What could be read in two ways is a warning that says
// which was taken; with an error the capture is nil.
func ReadNumbers(file string, r io.Reader) (*Capture, []diag.Message) {
	t := &table{file: file, time: -1, factor: 1, stride: 1}
	if !t.read(r) {
		return nil, t.messages
	}
	c := t.capture()
	if diag.HasError(t.messages) {
		return nil, t.messages
	}
	return c, t.messages
}

const saveAgain = "save the capture again as CSV, with a column of times and one to four columns of values"

func (t *table) read(r io.Reader) bool {
	in := bufio.NewReaderSize(r, mostLine)
	begin, err := in.Peek(mostLine)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, bufio.ErrBufferFull) {
		t.say(diag.Error, 0, 0, "cannot be read: "+err.Error(), "check the file")
		return false
	}
	if text, hint := diag.NotText(begin); text != "" {
		t.say(diag.Error, 0, 0, text, hint)
		return false
	}
	whole := len(begin) < mostLine
	mark := []byte("\ufeff")
	if bytes.HasPrefix(begin, mark) {
		begin = begin[len(mark):]
		in.Discard(len(mark))
	}
	if !t.begin(begin, whole) {
		return false
	}
	return t.rowsOf(in)
}

// begin finds out how the numbers are written and what they are.
func (t *table) begin(begin []byte, whole bool) bool {
	var lines [][]byte
	for len(begin) > 0 && len(lines) < mostHead {
		line, rest, found := bytes.Cut(begin, []byte("\n"))
		if !found && !whole {
			break
		}
		lines = append(lines, bytes.TrimRight(line, "\r"))
		begin = rest
	}
	for len(lines) > 0 && len(bytes.TrimSpace(lines[len(lines)-1])) == 0 {
		lines = lines[:len(lines)-1]
	}
	if len(lines) == 0 {
		t.say(diag.Error, 0, 0, "there are no numbers in it", saveAgain)
		return false
	}
	var columns []int
	t.d, columns = sniff(lines)
	if len(columns) == 0 {
		t.say(diag.Error, len(lines), 1, "this line should hold numbers, and holds words", saveAgain)
		return false
	}
	// the rows begin where all lines from there on hold numbers in these columns
	fits := func(line []byte) bool {
		cells := t.d.split(line, nil)
		for _, c := range columns {
			if c >= len(cells) {
				return false
			}
			if _, _, ok := t.d.number(cells[c].text); !ok {
				return false
			}
		}
		return true
	}
	t.first = len(lines)
	for i := len(lines) - 1; i >= 0; i-- {
		if len(bytes.TrimSpace(lines[i])) == 0 {
			continue
		}
		// A line that was cut short may end the file.
		if !fits(lines[i]) && i < len(lines)-1 {
			break
		}
		t.first = i
	}
	// Rows above a line of words are rows all the same: that line is what is wrong.
	for i := 0; i+1 < t.first; i++ {
		if fits(lines[i]) && fits(lines[i+1]) {
			t.first = i
		}
	}
	t.head = t.d.readHead(lines, t.first, columns)
	return t.commas(lines, &columns) && t.findTime(lines, columns)
}

// rowsOf reads all rows, from the beginning of the file.
func (t *table) rowsOf(in *bufio.Reader) bool {
	width := len(t.columns) + 1
	t.kept, t.sums, t.beyond = make([][]float64, width), make([]float64, width), make([]int, width)
	values := make([]float64, width)
	var cells []cell
	last := math.Inf(-1)
	for number := 1; ; number++ {
		line, err := in.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			t.say(diag.Error, number, 1, fmt.Sprintf("this line is longer than %d bytes", mostLine), saveAgain)
			return false
		}
		if err != nil && !errors.Is(err, io.EOF) {
			t.say(diag.Error, number, 1, "cannot be read any further: "+err.Error(), "check the file")
			return false
		}
		atEnd := err != nil
		line = bytes.TrimRight(line, "\r\n")
		if number > t.first && len(bytes.TrimSpace(line)) > 0 {
			cells = t.d.split(line, cells)
			if !t.values(cells, values, number, atEnd) {
				if atEnd && !diag.HasError(t.messages) {
					break
				}
				return false
			}
			if t.time >= 0 && values[0] < last {
				t.say(diag.Error, number, cells[t.time].offset+1, "this time is before that of the line above", "save the record in one piece, or keep only the lines above this one")
				return false
			}
			last = values[0]
			t.push(values)
		}
		if atEnd {
			break
		}
	}
	if t.inSum > 0 && t.stride == 1 {
		t.keep()
	}
	if t.rows < leastLines {
		t.say(diag.Error, t.first+1, 1, fmt.Sprintf("only %d rows of numbers are there", t.rows), "record two turns or more, with twenty samples or more to each")
		return false
	}
	return true
}

// values reads the cells of a row: first the time, then the channels.
func (t *table) values(cells []cell, values []float64, number int, atEnd bool) bool {
	for i := range values {
		column := t.time
		if i > 0 {
			column = t.columns[i-1]
		} else if t.time < 0 {
			values[0] = float64(t.rows)
			continue
		}
		if column >= len(cells) || len(cells[column].text) == 0 {
			if atEnd {
				t.say(diag.Warning, number, 1, "the last line was cut short and is left out", "let the record run on a little longer before saving it")
				return false
			}
			at := 1
			if column < len(cells) {
				at = cells[column].offset + 1
			}
			t.say(diag.Error, number, at, fmt.Sprintf("column %d has no number in this line", column+1), "save the record again, or keep only the lines above this one")
			return false
		}
		c := cells[column]
		x, beyond, ok := t.d.number(c.text)
		if !ok || beyond && i == 0 {
			t.say(diag.Error, number, c.offset+1, fmt.Sprintf("%s is no number", strconv.Quote(short(c.text))), "save the record again, or keep only the lines above this one")
			return false
		}
		if beyond && t.beyond[i] == 0 {
			t.beyond[i] = number
		}
		values[i] = x
	}
	values[0] *= t.factor
	return true
}

func short(text []byte) string {
	if len(text) > 24 {
		return string(text[:24]) + "…"
	}
	return string(text)
}

// push adds a row. When too many are kept, neighbours are averaged.
func (t *table) push(values []float64) {
	t.rows++
	for i, x := range values {
		t.sums[i] += x
	}
	t.inSum++
	if t.inSum == t.stride {
		t.keep()
	}
	if len(t.kept[0]) < mostKept {
		return
	}
	for _, k := range t.kept {
		for i := range mostKept / 2 {
			k[i] = (k[2*i] + k[2*i+1]) / 2
		}
	}
	for i, k := range t.kept {
		t.kept[i] = k[:mostKept/2]
	}
	t.stride *= 2
}

func (t *table) keep() {
	for i := range t.sums {
		t.kept[i] = append(t.kept[i], t.sums[i]/float64(t.inSum))
		t.sums[i] = 0
	}
	t.inSum = 0
}
