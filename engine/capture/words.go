package capture

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"
)

// Slip says that what people write about a screen cannot be read: what is wrong
// with it, and how to write it, with an example.
type Slip struct{ Text, How, Such string }

func (s *Slip) Error() string { return s.Text + "; " + s.How + ", such as " + s.Such }

// SetCorners reads the places of a graticule's corners, "x,y x,y x,y x,y".
func (s *Screen) SetCorners(text string) *Slip {
	slip := &Slip{"is not four places", "write them clockwise from the top left", "40,30 600,30 600,450 40,450"}
	places := strings.Fields(text)
	if len(places) != 4 {
		return slip
	}
	s.Corners = nil
	for _, place := range places {
		xy, ok := numbers(place)
		if !ok || len(xy) != 2 {
			return slip
		}
		s.Corners = append(s.Corners, Point{X: xy[0], Y: xy[1]})
	}
	return nil
}

// SetPerDivision reads "time,volts" in seconds and volts, or the time alone.
func (s *Screen) SetPerDivision(text string) *Slip {
	each, ok := numbers(text)
	if !ok || len(each) > 2 || !(each[0] > 0) || len(each) == 2 && !(each[1] > 0) {
		return &Slip{"is not a time and volts", "write seconds and volts with a comma between", "0.01,20"}
	}
	s.TimePerDivision, s.VoltsPerDivision = each[0], 0
	if len(each) == 2 {
		s.VoltsPerDivision = each[1]
	}
	return nil
}

// SetDivisions reads "across,up".
func (s *Screen) SetDivisions(text string) *Slip {
	each, ok := numbers(text)
	if !ok || len(each) != 2 || !wholeWithin(each[0], 4, mostDivisions) || !wholeWithin(each[1], 4, mostDivisions) {
		return &Slip{"is not two whole numbers from 4 to 40", "count the divisions across and up", "10,8"}
	}
	s.Columns, s.Rows = int(each[0]), int(each[1])
	return nil
}

// SetOwnColumns reads in how many columns the instrument's own screen shows its
// divisions.
func (s *Screen) SetOwnColumns(text string) *Slip {
	each, ok := numbers(text)
	if !ok || len(each) != 1 || !wholeWithin(each[0], 50, 10000) {
		return &Slip{"is not a whole number from 50 to 10000", "write the columns of the instrument's own screen within the graticule, from its manual", "500"}
	}
	s.OwnColumns = int(each[0])
	return nil
}

// AddTrace reads "NAME=#RRGGBB".
func (s *Screen) AddTrace(text string) *Slip {
	name, colour, found := strings.Cut(text, "=#")
	name = strings.TrimSpace(name)
	n, err := strconv.ParseUint(colour, 16, 32)
	if !found || name == "" || len(colour) != 6 || err != nil {
		return &Slip{"is not a name and a colour", "write a name and a colour", "contact=#FFE040"}
	}
	if len(s.Traces) == MostChannels {
		return &Slip{fmt.Sprintf("is one trace more than the %d that a capture has at most", MostChannels), "name those that matter", "contact=#FFE040"}
	}
	for _, t := range s.Traces {
		if t.Name == name {
			return &Slip{"is a name that was given before", "give each trace a name of its own", "contact=#FFE040"}
		}
	}
	s.Traces = append(s.Traces, Trace{Name: name, Colour: color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}})
	return nil
}

// AddZero reads "NAME=DIVISIONS", where 0 V of a trace lies above the middle line,
// or the divisions alone, for all traces. It was read to a tenth of a division, or as
// finely as its digits.
func (s *Screen) AddZero(text string) *Slip {
	how, such := "write a trace's name and how many divisions above the middle line its 0 V lies, with a minus for below", "contact=-3"
	name, place := "", text
	if i := strings.LastIndex(text, "="); i >= 0 {
		name, place = strings.TrimSpace(text[:i]), text[i+1:]
		if name == "" {
			return &Slip{"names no trace", how, such}
		}
	}
	each, ok := numbers(place)
	if !ok || len(each) != 1 || math.Abs(each[0]) > mostDivisions {
		return &Slip{fmt.Sprintf("is not a name and a number from -%d to %[1]d", mostDivisions), how, such}
	}
	for _, z := range s.Zeros {
		if z.Trace == name {
			return &Slip{"gives 0 V of the same trace twice", "give it once", such}
		}
	}
	z := Zero{Trace: name, Divisions: each[0]}
	if _, digits, _ := strings.Cut(strings.TrimSpace(place), "."); len(digits) > 1 && !strings.ContainsAny(digits, "eE") {
		z.Read = math.Pow10(-len(digits))
	}
	s.Zeros = append(s.Zeros, z)
	return nil
}

// mostDivisions is how many divisions a screen may have, across or up.
const mostDivisions = 40

func wholeWithin(x, least, most float64) bool { return x == math.Trunc(x) && x >= least && x <= most }

// numbers reads finite numbers with commas between.
func numbers(text string) ([]float64, bool) {
	var out []float64
	for part := range strings.SplitSeq(text, ",") {
		x, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
			return nil, false
		}
		out = append(out, x)
	}
	return out, true
}

// write says how to write something about a screen: as a flag, or as a line of a
// lesson's declaration.
func (s Screen) write(key, value string) string {
	switch {
	case s.Declared && (key == "trace" || key == "zero"):
		return fmt.Sprintf("%ss = %q", key, value)
	case s.Declared:
		return fmt.Sprintf("%s = %q", key, value)
	case key == "trace":
		return "-trace " + value
	}
	return fmt.Sprintf("-%s %q", key, value)
}
