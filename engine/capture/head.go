package capture

import (
	"bytes"
	"math"
	"strings"
)

// head is what stands above or beside the numbers.
type head struct {
	interval float64 // s between samples; 0 when it is not given
	start    float64 // s, instant of the first sample
	trigger  float64 // index of the sample at instant 0
	unit     string  // of all channels
	name     string  // of the only channel
	scale    float64 // of codes; 0 when it is not given
	offset   float64
	probe    float64
	names    []string // by column of the file
	units    []string
}

// what a key of a head stands for
type key int

const (
	noKey key = iota
	otherKey
	intervalKey
	rateKey
	startKey
	triggerKey
	unitKey
	nameKey
	scaleKey
	offsetKey
	probeKey
)

// keyOf knows the keys that instruments write, by their words.
func keyOf(text string) key {
	switch plainKey(text) {
	case "sample interval", "sampling interval", "sampling period", "sample period", "interval", "increment", "time increment",
		"dt", "delta t", "x increment", "xincrement", "time per sample", "sample time", "time step", "horizontal resolution", "xincr":
		return intervalKey
	case "sample rate", "sampling rate", "sampling frequency", "sample frequency", "samples per second", "samplerate", "rate":
		return rateKey
	case "start", "start time", "x origin", "xorigin", "x zero", "xzero", "time of first sample", "first time", "time zero":
		return startKey
	case "trigger point", "trigger index", "trigger position", "trigger sample", "trigger", "position of the trigger", "pre trigger samples":
		return triggerKey
	case "vertical units", "vertical unit", "unit", "units", "y unit", "y units", "yunit":
		return unitKey
	case "source", "channel", "trace", "name", "channel name":
		return nameKey
	case "vertical scale", "scale", "y scale", "multiplier", "y multiplier", "volts per code", "units per code", "ymult", "gain", "y increment", "yincrement":
		return scaleKey
	case "vertical offset", "offset", "y offset", "y zero", "yzero", "yoffset", "y origin", "yorigin":
		return offsetKey
	case "probe factor", "probe attenuation", "probe", "attenuation", "probe ratio":
		return probeKey
	case "record length", "points", "samples", "number of points", "number of samples", "memory length", "horizontal units", "horizontal unit",
		"horizontal scale", "x unit", "x units", "date", "time of day", "model", "serial number", "instrument", "firmware version", "firmware", "note", "coupling", "mode":
		return otherKey
	}
	return noKey
}

func plainKey(text string) string {
	text = strings.ToLower(text)
	if i := strings.IndexAny(text, "([:="); i > 0 {
		text = text[:i]
	}
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '_' || r == '-' || r == '.' }), " ")
}

// unitOf gives the unit without its prefix, and what the prefix multiplies by.
func unitOf(text string) (unit string, factor float64, ok bool) {
	text = strings.NewReplacer("μ", "u", "µ", "u").Replace(strings.Trim(strings.TrimSpace(text), "()[]"))
	switch strings.ToLower(text) {
	case "volt", "volts":
		return "V", 1, true
	case "amp", "amps", "ampere", "amperes":
		return "A", 1, true
	case "second", "seconds", "sec", "secs":
		return "s", 1, true
	case "msec", "millisecond", "milliseconds":
		return "s", 1e-3, true
	case "usec", "microsecond", "microseconds":
		return "s", 1e-6, true
	case "s/s", "sa/s", "samples/s", "hz":
		return "Hz", 1, true
	case "ks/s", "ksa/s", "khz":
		return "Hz", 1e3, true
	case "ms/s", "msa/s", "mhz":
		return "Hz", 1e6, true
	case "%":
		return "", 0.01, true
	}
	for _, base := range []string{"V", "A", "s", "W", "Hz", "Ω"} {
		prefix, found := strings.CutSuffix(text, base)
		if !found {
			continue
		}
		switch prefix {
		case "":
			return base, 1, true
		case "k":
			return base, 1e3, true
		case "m":
			return base, 1e-3, true
		case "u":
			return base, 1e-6, true
		case "n":
			return base, 1e-9, true
		}
	}
	return "", 1, false
}

// nameAndUnit parts "bell (V)", "bell [V]" and "bell/V".
func nameAndUnit(text string) (name, unit string) {
	text = strings.TrimSpace(text)
	for _, marks := range []string{"()", "[]"} {
		i := strings.LastIndexByte(text, marks[0])
		if i >= 0 && strings.HasSuffix(text, marks[1:]) {
			return strings.TrimSpace(text[:i]), text[i+1 : len(text)-1]
		}
	}
	for _, mark := range []string{"/", " in "} {
		if i := strings.LastIndex(text, mark); i > 0 {
			if _, _, ok := unitOf(text[i+len(mark):]); ok {
				return strings.TrimSpace(text[:i]), text[i+len(mark):]
			}
		}
	}
	return text, ""
}

// quantity reads a number with a unit, as "0.1 ms", or with the unit in the
// cell behind it.
func (d dialect) quantity(cells []cell) (value float64, unit string, ok bool) {
	if len(cells) == 0 {
		return 0, "", false
	}
	text := string(cells[0].text)
	if i := strings.LastIndexByte(text, ' '); i > 0 {
		text, unit = text[:i], text[i+1:]
	} else if len(cells) > 1 {
		unit = string(cells[1].text)
	}
	value, beyond, ok := d.number([]byte(strings.TrimSpace(text)))
	_, factor, known := unitOf(unit)
	if !known {
		factor = 1
	}
	return value * factor, unit, ok && !beyond
}

// readHead looks through the lines above the numbers, and at the cells beside
// them in the first lines.
func (d dialect) readHead(lines [][]byte, first int, columns []int) head {
	width := columns[len(columns)-1] + 1
	h := head{probe: 1, names: make([]string, width), units: make([]string, width)}
	isData := make(map[int]bool)
	for _, c := range columns {
		isData[c] = true
	}
	var above [][]cell
	for i, line := range lines {
		cells := d.split(line, nil)
		if d.separator == 0 { // a head's words have spaces too
			if k, value, found := bytes.Cut(line, []byte(":")); found {
				cells = []cell{{bytes.TrimSpace(k), 0}, {bytes.TrimSpace(value), 0}}
			}
		}
		for j := range cells {
			cells[j].text = bytes.TrimLeft(cells[j].text, "#% ")
		}
		if i >= first {
			var beside []cell
			for j, c := range cells {
				if !isData[j] {
					beside = append(beside, c)
				}
			}
			h.take(d, beside)
			continue
		}
		if len(cells) == 1 {
			for _, mark := range []string{":", "="} {
				if k, value, found := strings.Cut(string(cells[0].text), mark); found {
					cells = []cell{{[]byte(strings.TrimSpace(k)), 0}, {[]byte(strings.TrimSpace(value)), 0}}
				}
			}
		}
		if !h.take(d, cells) {
			above = append(above, cells)
		}
	}
	for i, cells := range above {
		h.names2(d, cells, above[i+1:], columns)
	}
	return h
}

// take reads a key with its value, and says whether there was one.
func (h *head) take(d dialect, cells []cell) bool {
	if len(cells) == 0 {
		return false
	}
	text := string(cells[0].text)
	k := keyOf(text)
	if k == noKey {
		return false
	}
	// A line of names may begin with such a word too: a value has to follow it.
	rest := cells[1:]
	if len(rest) == 0 || len(rest[0].text) == 0 {
		return false
	}
	value, unit, ok := d.quantity(rest)
	if _, inKey := nameAndUnit(text); inKey != "" && unit == "" {
		if _, factor, known := unitOf(inKey); known {
			value *= factor
		}
	}
	switch {
	case k == unitKey:
		h.unit = string(rest[0].text)
	case k == nameKey:
		if keyOf(string(rest[0].text)) != noKey {
			return false
		}
		h.name = string(rest[0].text)
	case k == otherKey:
		return true
	case !ok:
		return false
	case k == intervalKey && value > 0:
		h.interval = value
	case k == rateKey && value > 0:
		h.interval = 1 / value
	case k == startKey:
		h.start = value
	case k == triggerKey:
		h.trigger = value
	case k == scaleKey:
		h.scale = value
	case k == offsetKey:
		h.offset = value
	case k == probeKey && value > 0:
		h.probe = value
	}
	return true
}

// names2 reads a line of names or of units, and start and increment that stand
// behind the names, as two numbers there or in the line below.
func (h *head) names2(d dialect, cells []cell, below [][]cell, columns []int) {
	words, unitsOnly := 0, true
	for _, c := range columns {
		if c >= len(cells) || len(cells[c].text) == 0 {
			continue
		}
		if _, _, ok := d.number(cells[c].text); ok {
			return
		}
		words++
		if _, _, ok := unitOf(string(cells[c].text)); !ok {
			text := string(cells[c].text)
			unitsOnly = unitsOnly && (strings.HasPrefix(text, "(") || strings.HasPrefix(text, "[") || len(text) <= 3 && h.names[c] != "" || keyOf(text) != noKey || indexName(text))
		}
	}
	if words == 0 || words < len(columns)-1 {
		return
	}
	named := false
	for _, n := range h.names {
		named = named || n != ""
	}
	for _, c := range columns {
		if c >= len(cells) {
			continue
		}
		text := string(cells[c].text)
		if unitsOnly && (named || words > 1) {
			h.units[c] = strings.Trim(text, "()[]")
			continue
		}
		h.names[c], h.units[c] = nameAndUnit(text)
	}
	last := columns[len(columns)-1] + 1
	if last >= len(cells) {
		return
	}
	rest := cells[last:]
	var numbers []float64
	for i, c := range rest {
		if v, beyond, ok := d.number(c.text); ok && !beyond {
			numbers = append(numbers, v)
		}
		k := keyOf(string(c.text))
		if k == noKey || len(below) == 0 || last+i >= len(below[0]) {
			continue
		}
		h.take(d, []cell{c, below[0][last+i]})
	}
	if len(numbers) == 2 && numbers[1] > 0 && h.interval == 0 {
		h.start, h.interval = numbers[0], numbers[1]
	}
}

// indexName says whether a column of this name numbers its samples.
func indexName(name string) bool {
	switch plainKey(name) {
	case "x", "sequence", "index", "sample", "no", "n", "point", "nr", "#":
		return true
	}
	return false
}

// timeName says whether a column of this name or unit holds times.
func timeName(name, unit string) bool {
	base, _, known := unitOf(unit)
	if known && base == "s" {
		return true
	}
	switch plainKey(name) {
	case "time", "t", "times", "second", "seconds", "zeit", "temps", "s", "ms", "us", "time s", "time ms":
		return !known
	}
	return false
}

// whole says whether a number has no fraction.
func whole(x float64) bool { return x == math.Trunc(x) }
