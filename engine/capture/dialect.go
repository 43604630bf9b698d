package capture

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// dialect is how a table of numbers is written.
type dialect struct {
	separator byte // 0 means any number of spaces
	decimal   byte
}

// dialects are tried in this order; of equally good ones the first is taken.
func dialects() []dialect {
	return []dialect{{'\t', '.'}, {'\t', ','}, {';', '.'}, {';', ','}, {',', '.'}, {0, '.'}, {0, ','}}
}

// cell is a piece of a line, with its offset there.
type cell struct {
	text   []byte
	offset int
}

// split cuts a line into cells, without the spaces and quotation marks around
// them. Within quotation marks a separator is text.
func (d dialect) split(line []byte, into []cell) []cell {
	into = into[:0]
	if d.separator == 0 {
		for at := 0; at < len(line); {
			for at < len(line) && (line[at] == ' ' || line[at] == '\t') {
				at++
			}
			end := at
			for end < len(line) && line[end] != ' ' && line[end] != '\t' {
				end++
			}
			if end > at {
				into = append(into, cell{line[at:end], at})
			}
			at = end
		}
		return into
	}
	from, quoted := 0, false
	for i := 0; i <= len(line); i++ {
		if i < len(line) && line[i] == '"' {
			quoted = !quoted
		}
		if i < len(line) && (line[i] != d.separator || quoted) {
			continue
		}
		text := bytes.TrimLeft(line[from:i], " \"")
		offset := i - len(text)
		into = append(into, cell{bytes.TrimRight(text, " \""), offset})
		from = i + 1
	}
	return into
}

// huge is what no instrument means: some write 9.9E+37 for what lies beyond
// their range.
const huge = 1e30

// number reads a cell. Beyond is what stands for a value out of the
// instrument's range; its value is then that of no number.
func (d dialect) number(text []byte) (value float64, beyond, ok bool) {
	if len(text) == 0 {
		return 0, false, false
	}
	first := text[0]
	if !(first >= '0' && first <= '9' || first == '-' || first == '+' || first == '.' || first == d.decimal) || len(text) > 64 {
		return math.NaN(), true, outOfRange(text)
	}
	var buffer [64]byte
	plain := append(buffer[:0], text...)
	for i, b := range plain {
		switch {
		case b >= '0' && b <= '9', b == '-', b == '+', b == 'e', b == 'E':
		case b == d.decimal:
			plain[i] = '.'
		default:
			return math.NaN(), true, outOfRange(text)
		}
	}
	value, err := strconv.ParseFloat(string(plain), 64)
	if math.Abs(value) >= huge {
		return math.NaN(), true, true
	}
	return value, false, err == nil
}

// outOfRange says whether a cell says in words that the value was beyond what
// the instrument shows.
func outOfRange(text []byte) bool {
	if len(text) > 16 {
		return false
	}
	switch strings.Trim(strings.ToLower(string(text)), "+-. ") {
	case "inf", "infinity", "nan", "ol", "o.l", "overrange", "over range", "out of range", "overload", "over", "clipped", "∞":
		return true
	}
	return false
}

// row is what a line holds as a row of numbers: the numbers of its columns that
// hold one.
func (d dialect) row(line []byte) (columns []int, only bool) {
	only = true
	for i, c := range d.split(line, nil) {
		if len(c.text) == 0 {
			continue
		}
		if _, _, ok := d.number(c.text); ok {
			columns = append(columns, i)
		} else {
			only = false
		}
	}
	return columns, only
}

// sniff finds the dialect of the last lines of a head in which all, or most, are
// rows of numbers, with the columns that all of these have. In the end lines
// hold no heads any more.
func sniff(lines [][]byte) (dialect, []int) {
	var best dialect
	var columns []int
	rows := 0
	semicolons := bytes.IndexByte(bytes.Join(lines, nil), ';') >= 0
	for _, d := range dialects() {
		if d.separator == ',' && semicolons {
			continue // the commas are in the numbers
		}
		n := 0
		var common []int
		for i := len(lines) - 1; i >= 0 && n < 40; i-- {
			if len(bytes.TrimSpace(lines[i])) == 0 {
				continue
			}
			has, only := d.row(lines[i])
			if !only || len(has) == 0 || common != nil && len(has) != len(common) {
				if n == 0 && i == len(lines)-1 && i > 2 {
					continue // a last line that was cut short
				}
				break
			}
			common = has
			n++
		}
		if n > rows || n == rows && len(common) > len(columns) {
			best, columns, rows = d, common, n
		}
	}
	if len(columns) == 1 && columns[0] == 0 {
		// One column has no separator of its own: that of the head is taken.
		text := bytes.Join(lines, []byte("\n"))
		most := 0
		for _, mark := range []byte(";,\t") {
			if n := bytes.Count(text, []byte{mark}); n > most && mark != best.decimal {
				best.separator, most = mark, n
			}
		}
	}
	return best, columns
}

// lastPlace gives the value of a number's last written digit: 0.001 for 1.250,
// 1e-6 for 1.250E-03.
func (d dialect) lastPlace(text []byte) float64 {
	mantissa, exponent := string(text), 0
	if i := strings.IndexAny(mantissa, "eE"); i >= 0 {
		exponent, _ = strconv.Atoi(mantissa[i+1:])
		mantissa = mantissa[:i]
	}
	if i := strings.IndexByte(mantissa, d.decimal); i >= 0 {
		exponent -= len(mantissa) - i - 1
	}
	return math.Pow(10, float64(exponent))
}
