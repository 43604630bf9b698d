package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"image/color"
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
	divisions := flags.String("divisions", "10,8", "for pictures: `ACROSS,UP` divisions of the graticule")
	flags.Func("trace", "for pictures: `NAME=#RRGGBB`, a trace and its colour, once for each; looked for when left out", m.addTrace)
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
	if err := m.readScreen(*corners, *perDivision, *divisions); err != nil {
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

// addTrace reads one NAME=#RRGGBB.
func (m *measuring) addTrace(text string) error {
	name, colour, found := strings.Cut(text, "=#")
	n, err := strconv.ParseUint(colour, 16, 32)
	if !found || strings.TrimSpace(name) == "" || len(colour) != 6 || err != nil {
		return errors.New("write a name and a colour, such as -trace contact=#FFE040")
	}
	if len(m.screen.Traces) == capture.MostChannels {
		return fmt.Errorf("a capture has at most %d traces", capture.MostChannels)
	}
	for _, t := range m.screen.Traces {
		if t.Name == name {
			return errors.New("this name is given twice")
		}
	}
	m.screen.Traces = append(m.screen.Traces, capture.Trace{Name: name, Colour: color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}})
	return nil
}

// readScreen reads what the flags say of a picture's screen.
func (m *measuring) readScreen(corners, perDivision, divisions string) error {
	if corners != "" {
		places := strings.Fields(corners)
		for _, place := range places {
			xy, ok := numbers(place)
			if !ok || len(xy) != 2 || len(places) != 4 {
				return wrongFlag("corners", corners, "is not four places", `write them clockwise from the top left, such as -corners "40,30 600,30 600,450 40,450"`)
			}
			m.screen.Corners = append(m.screen.Corners, capture.Point{X: xy[0], Y: xy[1]})
		}
		if len(places) != 4 {
			return wrongFlag("corners", corners, "is not four places", `write them clockwise from the top left, such as -corners "40,30 600,30 600,450 40,450"`)
		}
	}
	if perDivision != "" {
		each, ok := numbers(perDivision)
		if !ok || len(each) < 1 || len(each) > 2 || !(each[0] > 0) || len(each) == 2 && !(each[1] > 0) {
			return wrongFlag("per-division", perDivision, "is not a time and volts", "write seconds and volts with a comma between, such as -per-division 0.01,20")
		}
		m.screen.TimePerDivision = each[0]
		if len(each) == 2 {
			m.screen.VoltsPerDivision = each[1]
		}
	}
	each, ok := numbers(divisions)
	if !ok || len(each) != 2 || each[0] != math.Trunc(each[0]) || each[1] != math.Trunc(each[1]) || each[0] < 4 || each[1] < 4 || each[0] > 40 || each[1] > 40 {
		return wrongFlag("divisions", divisions, "is not two whole numbers from 4 to 40", "count the divisions across and up, such as -divisions 10,8")
	}
	m.screen.Columns, m.screen.Rows = int(each[0]), int(each[1])
	return nil
}

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
