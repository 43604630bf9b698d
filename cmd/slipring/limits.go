package main

import (
	"errors"
	"flag"
	"fmt"

	"slipring/engine/cell"
)

// Units of the flags for limits.
const (
	kilobyte = 1 << 10
	megabyte = 1 << 20
)

// limitFlags adds a flag for each of cell.Limits. When they have been parsed,
// the returned function gives the limits.
func limitFlags(flags *flag.FlagSet) func() (cell.Limits, error) {
	d := cell.Defaults()
	time := flags.Duration("time", d.Time, "longest time for one lesson's cells; as for all limits, 0 means the default")
	type limit struct {
		name string
		most int64 // what numbers of bytes have room for, on every system
		set  *int64
	}
	var all []limit
	number := func(name string, most, by int64, usage string) *int64 {
		set := flags.Int64(name, by, usage)
		all = append(all, limit{name, most, set})
		return set
	}
	memory := number("memory", 1<<30, d.Memory/megabyte, "most memory for one lesson's cells, in megabytes")
	output := number("output", 2000, int64(d.Output/megabyte), "most that one lesson's cells may tell, in megabytes of JSON")
	printed := number("printed", 2_000_000, int64(d.Printed/kilobyte), "most text that one lesson's cells may print, in kilobytes")
	frames := number("frames", 1<<20, int64(d.Frames), "most positions of a knob, or of two knobs together")
	points := number("points", 1<<30, int64(d.Points), "most points in one lesson's figures, tables and motions, over all positions of knobs")
	return func() (cell.Limits, error) {
		if *time < 0 {
			return cell.Limits{}, errors.New("-time cannot be negative")
		}
		for _, l := range all {
			switch {
			case *l.set < 0:
				return cell.Limits{}, fmt.Errorf("-%s cannot be negative", l.name)
			case *l.set > l.most:
				return cell.Limits{}, fmt.Errorf("-%s can be %d at most", l.name, l.most)
			}
		}
		return cell.Limits{
			Time:    *time,
			Memory:  *memory * megabyte,
			Output:  int(*output) * megabyte,
			Printed: int(*printed) * kilobyte,
			Frames:  int(*frames),
			Points:  int(*points),
		}, nil
	}
}
