package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
	"text/tabwriter"

	"slipring/engine/capture"
	"slipring/engine/diag"
)

// measuring is what one run of measure was asked for.
type measuring struct {
	json   bool
	screen capture.Screen // for pictures
	files  []string
}

// measure is the command measure: what captures show, as a table or as JSON.
func measure(args []string, stdout, stderr io.Writer) int {
	m, code := readMeasuring(args, stdout, stderr)
	if code >= 0 {
		return code
	}
	code = exitClean
	entries := []entry{}
	for i, file := range m.files {
		report := m.one(file)
		for _, message := range diag.Sort(report.Messages) {
			fmt.Fprintln(stderr, message)
		}
		if diag.HasError(report.Messages) {
			code = exitWrong
		}
		if m.json {
			entries = append(entries, entriesOf(file, report)...)
			continue
		}
		if i > 0 && len(report.Results) > 0 {
			fmt.Fprintln(stdout)
		}
		printReport(stdout, file, report)
	}
	if m.json {
		text, err := json.MarshalIndent(entries, "", "  ")
		if err != nil {
			fmt.Fprintf(stderr, "slipring measure: %v\n", err)
			return exitWrong
		}
		fmt.Fprintf(stdout, "%s\n", text)
	}
	return code
}

// readMeasuring reads the flags. The returned code is negative when the command
// is to go on.
func readMeasuring(args []string, stdout, stderr io.Writer) (measuring, int) {
	var m measuring
	flags := flag.NewFlagSet("measure", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.BoolVar(&m.json, "json", false, "print JSON, for programs")
	corners := flags.String("corners", "", "for pictures: `PLACES` of the graticule's corners in pixels, \"x,y x,y x,y x,y\", clockwise from the top left; looked for when left out")
	perDivision := flags.String("per-division", "", "for pictures: `TIME,VOLTS` a division, such as 0.01,20")
	divisions := flags.String("divisions", "", "for pictures: `ACROSS,UP` divisions of the graticule; 10,8 when left out")
	columns := flags.String("columns", "", "for pictures: `NUMBER` of columns of the instrument's own screen within the graticule, from its manual; taken as 500 when left out")
	flags.Func("trace", "for pictures: `NAME=#RRGGBB`, a trace and its colour, once for each; looked for when left out", func(text string) error {
		if slip := m.screen.AddTrace(text); slip != nil {
			return fmt.Errorf("it %s: %s, such as -trace %s", slip.Text, slip.How, slip.Such)
		}
		return nil
	})
	flags.Func("zero", "for pictures: `NAME=DIVISIONS`, how far above the middle line 0 V of a trace lies, or below it with a minus, once for each; the divisions alone count for all traces. What counts from 0 V, such as the mean, is left out without it", func(text string) error {
		if slip := m.screen.AddZero(text); slip != nil {
			return fmt.Errorf("it %s: %s, such as -zero %s", slip.Text, slip.How, slip.Such)
		}
		return nil
	})
	err := flags.Parse(args)
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(stdout, "usage: slipring measure [flags] FILE...")
		flags.SetOutput(stdout)
		flags.PrintDefaults()
		return m, exitClean
	}
	if err != nil {
		fmt.Fprintf(stderr, "slipring measure: %v\n    slipring measure -h lists the flags\n", err)
		return m, exitUsage
	}
	if err := m.setScreen(*corners, *perDivision, *divisions, *columns); err != nil {
		fmt.Fprintf(stderr, "slipring measure: %v\n", err)
		return m, exitUsage
	}
	m.files = flags.Args()
	if len(m.files) == 0 {
		fmt.Fprint(stderr, "slipring measure: no file is named\n    name one capture or more: slipring measure bell.csv\n")
		return m, exitUsage
	}
	return m, -1
}

// setScreen reads what the flags say of a picture's screen.
func (m *measuring) setScreen(corners, perDivision, divisions, columns string) error {
	for _, f := range []struct {
		name, value string
		set         func(string) *capture.Slip
	}{
		{"corners", corners, m.screen.SetCorners}, {"per-division", perDivision, m.screen.SetPerDivision},
		{"divisions", divisions, m.screen.SetDivisions}, {"columns", columns, m.screen.SetOwnColumns},
	} {
		if f.value == "" {
			continue
		}
		if slip := f.set(f.value); slip != nil {
			return wrongFlag(f.name, f.value, slip.Text, fmt.Sprintf("%s, such as -%s %q", slip.How, f.name, slip.Such))
		}
	}
	return nil
}

// one reads a file and measures what is in it.
func (m measuring) one(file string) capture.Report {
	wrong := func(text, hint string) capture.Report {
		return capture.Report{Messages: []diag.Message{{File: file, Rule: "capture", Text: text, Hint: hint}}}
	}
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return wrong("there is no such file", "check its name and the folder that you are in")
	case err == nil && !info.Mode().IsRegular():
		return wrong("this is no file that can be read from end to end", "name a capture: a table of numbers, or a picture of a screen")
	}
	var in *os.File
	if err == nil {
		in, err = os.Open(file)
	}
	if err != nil {
		return wrong("it cannot be read: "+err.Error(), "check that you may read it")
	}
	defer in.Close()
	var begin [8]byte
	n, _ := io.ReadFull(in, begin[:])
	if _, err := in.Seek(0, io.SeekStart); err != nil {
		return wrong("it cannot be read: "+err.Error(), "check that you may read it")
	}
	var c *capture.Capture
	var messages []diag.Message
	if capture.IsPicture(begin[:n]) {
		c, messages = capture.ReadPicture(file, in, m.screen)
	} else {
		c, messages = capture.ReadNumbers(file, in)
	}
	if c == nil {
		return capture.Report{Messages: messages}
	}
	report := capture.Measure(c)
	report.Messages = append(messages, report.Messages...)
	return report
}

// entry is a result as programs read it. Its fields are fixed.
type entry struct {
	File        string  `json:"file"`
	Channel     string  `json:"channel"`
	Name        string  `json:"name"`
	Value       float64 `json:"value"`
	Unit        string  `json:"unit"`
	Uncertainty float64 `json:"uncertainty"`
}

func entriesOf(file string, report capture.Report) []entry {
	var out []entry
	for _, r := range report.Results {
		out = append(out, entry{file, r.Channel, r.Name, r.Value, r.Unit, r.Uncertainty})
	}
	return out
}

// printReport prints a table of what was found, and what was not.
func printReport(w io.Writer, file string, report capture.Report) {
	if len(report.Results) == 0 {
		return
	}
	fmt.Fprintln(w, file)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	channel := ""
	for _, r := range report.Results {
		if r.Channel != channel {
			channel = r.Channel
			table.Flush()
			fmt.Fprintf(w, "  %s\n", channel)
		}
		value, doubt := rounded(r.Value, r.Uncertainty)
		unit := ""
		if r.Unit != "" {
			unit = " " + r.Unit
		}
		fmt.Fprintf(table, "    %s\t%s ± %s%s\t%s\n", r.Name, value, doubt, unit, r.Why)
	}
	table.Flush()
	type key struct{ channel, why string }
	var order []key
	names := map[key][]string{}
	for _, m := range report.Missing {
		k := key{m.Channel, m.Why}
		if names[k] == nil {
			order = append(order, k)
		}
		names[k] = append(names[k], m.Name)
	}
	if len(order) > 0 {
		fmt.Fprintln(w, "  looked for and not found")
	}
	for _, k := range order {
		fmt.Fprintf(w, "    %s: %s: %s\n", k.channel, strings.Join(names[k], ", "), k.why)
	}
	fmt.Fprintln(w, "  ± is one standard uncertainty; how true the instrument's own clock and scales are is not in it")
}

// rounded writes a value and its uncertainty to the same place: two digits of
// the uncertainty, as the GUM (7.2.6) has it.
func rounded(value, doubt float64) (string, string) {
	if !(doubt > 0) || math.IsInf(doubt, 0) {
		return strconv.FormatFloat(value, 'g', 6, 64), "0"
	}
	places := 1 - int(math.Floor(math.Log10(doubt)))
	if places > 9 || places < -3 {
		power := math.Pow(10, float64(places))
		return strconv.FormatFloat(math.Round(value*power)/power, 'g', -1, 64), strconv.FormatFloat(doubt, 'g', 2, 64)
	}
	if places < 0 {
		power := math.Pow(10, float64(-places))
		value, doubt, places = math.Round(value/power)*power, math.Round(doubt/power)*power, 0
	}
	return strconv.FormatFloat(value, 'f', places, 64), strconv.FormatFloat(doubt, 'f', places, 64)
}
