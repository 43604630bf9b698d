package capture

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
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

// commas looks whether commas stand between columns or as decimal commas.
func (t *table) commas(lines [][]byte, columns *[]int) bool {
	if t.d.decimal == ',' {
		thousands := t.d.separator != 0
		for _, line := range lines[t.first:] {
			for _, c := range t.d.split(line, nil) {
				before, after, found := bytes.Cut(c.text, []byte(","))
				thousands = thousands && (len(c.text) == 0 || found && len(after) == 3 && len(before) > 0 && len(before) < 4 && before[0] != '0')
			}
		}
		if thousands {
			t.say(diag.Warning, t.first+1, 1, "commas are taken as decimal commas: 1,250 is a little more than one; the other reading is thousands",
				"if they part thousands, save the file without them")
		}
		return true
	}
	if t.d.separator != ',' {
		return true
	}
	zeros := false
	for _, line := range lines[t.first:] {
		if bytes.ContainsAny(line, ".eE") {
			return true
		}
		for i, c := range t.d.split(line, nil) {
			zeros = zeros || i%2 == 1 && len(c.text) > 1 && c.text[0] == '0'
		}
	}
	n := len(*columns)
	single := dialect{';', ','}
	alone := single.readHead(lines, t.first, []int{0})
	switch {
	case n == 2 && alone.interval > 0 && !t.rises(lines, 0):
		t.d, t.head = single, alone
		*columns = []int{0}
		t.say(diag.Warning, t.first+1, 1, "the comma is taken as a decimal comma, in one column of values; the other reading is two columns of whole numbers",
			"if these are two columns, save the file with semicolons between them")
	case n%2 == 0 && zeros:
		t.say(diag.Error, t.first+1, 1, fmt.Sprintf("commas seem to stand both between columns and as decimal commas: this is %d columns of whole numbers, or %d with fractions", n, n/2),
			"save the file with semicolons between columns")
		return false
	case n == 2:
		t.say(diag.Warning, t.first+1, 1, "the comma is taken to part two columns of whole numbers; the other reading is one column with decimal commas",
			"if it is a decimal comma, save the file with semicolons between columns, and give the sample interval above the numbers")
	}
	return true
}

// rises says whether a column rises from row to row in the lines.
func (t *table) rises(lines [][]byte, column int) bool {
	last, n := math.Inf(-1), 0
	for _, line := range lines[t.first:] {
		cells := t.d.split(line, nil)
		if column >= len(cells) {
			continue
		}
		x, beyond, ok := t.d.number(cells[column].text)
		if !ok {
			continue
		}
		if beyond || x < last {
			return false
		}
		if x > last {
			n++
		}
		last = x
	}
	return n > 2
}

// findTime finds the column of times, or that there is none.
func (t *table) findTime(lines [][]byte, columns []int) bool {
	h := &t.head
	index := -1
	for _, c := range columns {
		if timeName(h.names[c], h.units[c]) && t.time < 0 {
			t.time = c
		}
		if indexName(h.names[c]) && index < 0 && c == columns[0] {
			index = c
		}
	}
	counts := t.counts(lines, columns[0])
	unitOfTime := ""
	if t.time >= 0 {
		unitOfTime = h.units[t.time]
		if unitOfTime == "" {
			unitOfTime = map[string]string{"ms": "ms", "us": "us", "s": "s", "seconds": "s", "second": "s", "time s": "s", "time ms": "ms"}[plainKey(h.names[t.time])]
		}
	}
	switch {
	case t.time >= 0 && counts && h.interval > 0 && h.interval != 1 && unitOfTime == "", t.time < 0 && h.interval > 0 && len(columns) > 1 && (index >= 0 || counts):
		// a column that numbers the samples
		t.time = -1
		columns = columns[1:]
	case t.time < 0 && len(columns) > 1 && t.rises(lines, columns[0]) && (h.interval == 0 || h.names[columns[0]] == ""):
		t.time = columns[0]
		unitOfTime = h.units[t.time]
	case t.time < 0 && h.interval == 0:
		text := "neither a column of times nor a sample interval is there"
		if len(columns) > 1 {
			text = fmt.Sprintf("column %d does not rise as times do, and no sample interval is given above", columns[0]+1)
		}
		t.say(diag.Error, t.first+1, 1, text, "write a line above the numbers, such as: sample interval"+t.mark()+"0"+string(t.d.decimal)+"0001")
		return false
	}
	if t.time >= 0 {
		_, factor, known := unitOf(unitOfTime)
		t.factor = factor
		switch {
		case known:
		case counts:
			t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("column %d counts 0, 1, 2 and is taken as seconds; the other reading is that it numbers the samples", t.time+1),
				"if it numbers them, write a line above such as: sample interval"+t.mark()+"0"+string(t.d.decimal)+"0001")
		default:
			t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("the times in column %d have no unit and are taken as seconds; the other reading is milliseconds", t.time+1),
				"write the unit behind the column's name, such as: time (ms)")
		}
		t.quantum = math.Inf(1)
		for _, line := range lines[t.first:] {
			if cells := t.d.split(line, nil); t.time < len(cells) && len(cells[t.time].text) > 0 {
				t.quantum = min(t.quantum, t.d.lastPlace(cells[t.time].text)*t.factor)
			}
		}
	}
	for _, c := range columns {
		if c != t.time {
			t.columns = append(t.columns, c)
		}
	}
	if n := len(t.columns); n < 1 || n > MostChannels {
		t.say(diag.Error, t.first+1, 1, fmt.Sprintf("%d columns of values are there, and a capture has one to %d", n, MostChannels), "save only the channels that matter, with their times")
		return false
	}
	return true
}

// counts says whether a column holds 0, 1, 2 and so on.
func (t *table) counts(lines [][]byte, column int) bool {
	n, from := 0, 0.0
	for _, line := range lines[t.first:] {
		cells := t.d.split(line, nil)
		if column >= len(cells) || len(cells[column].text) == 0 {
			continue
		}
		x, beyond, ok := t.d.number(cells[column].text)
		if n == 0 {
			from = x
		}
		if !ok || beyond || x != from+float64(n) || !whole(x) {
			return false
		}
		n++
	}
	return n > 2
}

func (t *table) mark() string {
	switch t.d.separator {
	case 0:
		return ": "
	case '\t':
		return "<tab>"
	}
	return string(t.d.separator)
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

// capture makes channels of the rows.
func (t *table) capture() *Capture {
	c := &Capture{File: t.file}
	from, step, ok := t.times()
	if !ok {
		return nil
	}
	if t.stride > 1 {
		t.say(diag.Warning, 0, 0, fmt.Sprintf("of its %d lines each %d neighbours are averaged to one sample", t.rows, t.stride), "for finer edges, save a shorter stretch")
	}
	for i, column := range t.columns {
		ch := Channel{From: from, Step: step, Y: t.kept[i+1], grain: step, counted: true}
		ch.place = diag.Message{File: t.file, Line: t.first + 1, Column: 1, Rule: "capture"}
		ch.Name = t.head.names[column]
		if ch.Name == "" && len(t.columns) == 1 {
			ch.Name = t.head.name
		}
		if ch.Name == "" {
			ch.Name = fmt.Sprintf("channel %d", i+1)
		}
		unit := t.head.units[column]
		if unit == "" {
			unit = t.head.unit
		}
		base, factor, known := unitOf(unit)
		if !known {
			base, factor = unit, 1
		}
		ch.Unit = base
		t.codes(&ch, &factor)
		top, bottom := math.Inf(-1), math.Inf(1)
		for j, y := range ch.Y {
			y *= factor
			ch.Y[j] = y
			top, bottom = max(top, y), min(bottom, y) // NaN, which stands for beyond, spreads: mended below
			if math.IsNaN(top) {
				top = math.Inf(-1)
			}
			if math.IsNaN(bottom) {
				bottom = math.Inf(1)
			}
		}
		if t.beyond[i+1] > 0 {
			fill(ch.Y)
			ch.clipped = true
			ch.place.Line = t.beyond[i+1]
			t.say(diag.Warning, t.beyond[i+1], 1, fmt.Sprintf("channel %q goes beyond what the instrument shows from here on, in places", ch.Name),
				"choose more volts a division and record again; times are measured, heights are not")
		}
		ch.quantum = smallestStep(ch.Y)
		c.Channels = append(c.Channels, ch)
	}
	return c
}

// fill puts the extreme of the side on which the signal left in the place of
// values beyond the range.
func fill(y []float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range y {
		if !math.IsNaN(x) {
			low, high = min(low, x), max(high, x)
		}
	}
	if low > high {
		low, high = 0, 0
	}
	last := high
	for i, x := range y {
		if !math.IsNaN(x) {
			last = x
			continue
		}
		y[i] = low
		if last-low >= high-last {
			y[i] = high
		}
	}
}

// codes takes whole numbers as an instrument's codes where the head has a scale
// for them.
func (t *table) codes(ch *Channel, factor *float64) {
	if t.head.probe != 1 {
		t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("the probe factor %g above is taken to be in the numbers already; the other reading multiplies them by it", t.head.probe),
			"compare the height with the screen of the instrument")
	}
	if t.head.scale == 0 || t.stride > 1 {
		return
	}
	for _, y := range ch.Y {
		if !whole(y) {
			return
		}
	}
	t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("channel %q has whole numbers, taken as codes: a value is its code times %g plus %g, the scale and offset above; the other reading takes them as they are", ch.Name, t.head.scale, t.head.offset),
		"compare the height with the screen of the instrument")
	for i, y := range ch.Y {
		ch.Y[i] = y*t.head.scale + t.head.offset / *factor
	}
}

// smallestStep gives the smallest difference between two values that are not the
// same: at most a few steps of the instrument's converter.
func smallestStep(y []float64) float64 {
	var some []float64
	for i := 0; i < len(y); i += max(1, len(y)/5000) {
		some = append(some, y[i])
	}
	sort.Float64s(some)
	least := 0.0
	for i := 1; i < len(some); i++ {
		if d := some[i] - some[i-1]; d > 0 && (least == 0 || d < least) {
			least = d
		}
	}
	return least
}

// times gives the first instant and the distance of the samples. Times that
// were rounded when they were written are even within that rounding.
func (t *table) times() (from, step float64, ok bool) {
	half := float64(t.stride-1) / 2
	if t.time < 0 {
		dt := t.head.interval
		return t.head.start + (half-t.head.trigger)*dt, dt * float64(t.stride), true
	}
	at := t.kept[0]
	n := len(at)
	middle, squares, slopes, mean := float64(n-1)/2, 0.0, 0.0, 0.0
	for i, x := range at {
		k := float64(i) - middle
		squares += k * k
		slopes += k * (x - at[0])
		mean += (x - at[0]) / float64(n)
	}
	step = slopes / squares
	from = at[0] + mean - middle*step
	if !(step > 0) {
		t.say(diag.Error, t.first+1, t.time+1, "all times are the same", "save the record with more digits of its times, or with its sample interval above the numbers")
		return 0, 0, false
	}
	// float32, in which some instruments keep times, has 24 bits
	far := max(math.Abs(at[0]), math.Abs(at[n-1]))
	may := 0.51*t.quantum + 0.1*step/float64(t.stride) + far/(1<<23)
	if t.stride > 1 {
		may += 0.5 * step / float64(t.stride)
	}
	worst, line := 0.0, 0
	for i, x := range at {
		off := math.Abs(x - from - float64(i)*step)
		if i > 0 && off > may {
			if gap := math.Abs(x - at[i-1] - step); gap > worst {
				worst, line = gap, i
			}
		}
	}
	if line == 0 {
		return from, step, true
	}
	// Where one gap shifts all that follows, it is the largest that counts.
	for i := 1; i < n; i++ {
		if gap := math.Abs(at[i] - at[i-1] - step); gap > worst {
			worst, line = gap, i
		}
	}
	t.say(diag.Error, t.first+1+line*t.stride, t.time+1,
		fmt.Sprintf("the times are uneven: this one is %.4g s after the line above, where %.4g s is the mean", at[line]-at[line-1], step),
		"save the record as it was sampled, with one distance, or keep only the lines above this one")
	return 0, 0, false
}
