package main

import (
	"errors"
	"flag"
	"fmt"
	"strconv"
	"strings"
	"time"

	"slipring/engine/cell"
	"slipring/engine/diag"
)

// Units of the flags for limits.
const (
	kilobyte = 1 << 10
	megabyte = 1 << 20
)

// longestTime is the most that the flag -time takes.
const longestTime = 24 * time.Hour

// limitFlags adds a flag for each of cell.Limits. When they have been parsed,
// the returned function gives the limits; none of them is 0.
func limitFlags(flags *flag.FlagSet) func() (cell.Limits, error) {
	d := cell.Defaults()
	time := &timeFlag{name: "time", text: d.Time.String(), most: longestTime, zero: d.Time}
	flags.Var(time, "time", "longest `TIME` that one lesson's cells keep a processor busy, such as 20s or 2m; as for all limits, 0 means the default")
	number := func(name string, most, zero int64, what, usage string) *numberFlag {
		return addNumber(flags, numberFlag{name: name, text: fmt.Sprint(zero), most: most, zero: zero, what: what}, usage)
	}
	// The most that each takes has room, in bytes, in an int of every system.
	memory := number("memory", 1<<30, d.Memory/megabyte, "megabytes", "most `MEGABYTES` of memory for one lesson's cells; less than 48 count as 48")
	output := number("output", 2000, int64(d.Output/megabyte), "megabytes", "most `MEGABYTES` of JSON that one lesson's cells may tell")
	printed := number("printed", 2_000_000, int64(d.Printed/kilobyte), "kilobytes", "most `KILOBYTES` of text that one lesson's cells may print")
	frames := number("frames", 1<<20, int64(d.Frames), "positions", "most `POSITIONS` of a knob, or of two knobs together")
	points := number("points", 1<<30, int64(d.Points), "points", "most `POINTS` in one lesson's figures, tables and motions, over all positions of knobs")
	return func() (cell.Limits, error) {
		var l cell.Limits
		var err error
		if l.Time, err = time.read(); err != nil {
			return cell.Limits{}, err
		}
		for _, n := range []struct {
			*numberFlag
			put func(int64)
		}{
			{memory, func(x int64) { l.Memory = x * megabyte }},
			{output, func(x int64) { l.Output = int(x) * megabyte }},
			{printed, func(x int64) { l.Printed = int(x) * kilobyte }},
			{frames, func(x int64) { l.Frames = int(x) }},
			{points, func(x int64) { l.Points = int(x) }},
		} {
			x, err := n.read()
			if err != nil {
				return cell.Limits{}, err
			}
			n.put(x)
		}
		return l, nil
	}
}

// numberFlag is a flag that takes a whole number. It keeps what the user wrote and
// reads it when all flags are there, so that what is wrong with it is said in
// our words rather than in those of package flag.
type numberFlag struct {
	name string
	text string // what the user wrote, at first the default
	most int64
	zero int64  // what 0 stands for; 0 where that is no number
	what string // it counts, in the plural
}

func addNumber(flags *flag.FlagSet, n numberFlag, usage string) *numberFlag {
	flags.Var(&n, n.name, usage)
	return &n
}

func (n *numberFlag) String() string        { return n.text }
func (n *numberFlag) Set(text string) error { n.text = text; return nil }

// read gives the number, or what 0 stands for.
func (n *numberFlag) read() (int64, error) {
	x, err := strconv.ParseInt(n.text, 10, 64)
	wrong := ""
	switch {
	case err != nil && !errors.Is(err, strconv.ErrRange):
		wrong = "is not a whole number"
	case x < 0:
		wrong = "is negative"
	case x > n.most:
		wrong = fmt.Sprintf("is more than %d", n.most)
	}
	if wrong != "" {
		hint := fmt.Sprintf("write the %s as a whole number from 0 to %d, such as -%s %d", n.what, n.most, n.name, max(n.zero, 1))
		if n.zero > 0 {
			hint += fmt.Sprintf("; 0 means the default, %d", n.zero)
		}
		return 0, wrongFlag(n.name, n.text, wrong, hint)
	}
	if x == 0 {
		x = n.zero
	}
	return x, nil
}

// timeFlag is a flag that takes a length of time.
type timeFlag struct {
	name string
	text string
	most time.Duration
	zero time.Duration
}

func (s *timeFlag) String() string        { return s.text }
func (s *timeFlag) Set(text string) error { s.text = text; return nil }

func (s *timeFlag) read() (time.Duration, error) {
	d, err := time.ParseDuration(s.text)
	positive, negative := strings.CutPrefix(s.text, "-")
	bare := positive != "" && strings.Trim(positive, ".0123456789") == ""
	next := fmt.Sprintf("such as -%s 20s or -%s 2m; 0 means the default, %v", s.name, s.name, s.zero)
	switch {
	case negative && (err == nil && d != 0 || err != nil && bare):
		return 0, wrongFlag(s.name, s.text, "is negative", "write a length of time, "+next)
	case err != nil && bare:
		return 0, wrongFlag(s.name, s.text, "has no unit",
			fmt.Sprintf("write -%s %ss for seconds, or -%s %sm for minutes", s.name, s.text, s.name, s.text))
	case err != nil:
		return 0, wrongFlag(s.name, s.text, "is not a length of time", "write a number with its unit, "+next)
	case d > s.most:
		return 0, wrongFlag(s.name, s.text, fmt.Sprintf("is more than %gh", s.most.Hours()), "write a shorter time, "+next)
	case d == 0:
		return s.zero, nil
	}
	return d, nil
}

func wrongFlag(name, text, wrong, hint string) error {
	return diag.Message{Text: fmt.Sprintf("-%s %q %s", name, text, wrong), Hint: hint}
}
