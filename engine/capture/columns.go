package capture

import (
	"bytes"
	"fmt"
	"math"

	"slipring/engine/diag"
)

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
