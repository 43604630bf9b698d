package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"slipring/engine/calibrate"
	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/fit"
	"slipring/engine/folder"
	"slipring/engine/lesson"
	"slipring/engine/reading"
	"slipring/engine/tell"
)

// calibrateCard is the command calibrate: it fits constants of a card to all
// readings, and writes nothing unless it is told to amend the card.
func calibrateCard(_ context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("calibrate", flag.ContinueOnError)
	var o options
	names := flags.String("constants", "", "fit these `CONSTANTS`, PART.KEY with commas between; else all with an uncertainty on the card that the readings lean on")
	of := flags.String("card", "", "`NAME` of the machine card, where readings of several are there")
	since := flags.String("since", "", "use the readings from this `DAY` on, such as 2026-10-01: a set that has changed meanwhile is not one set")
	asJSON := flags.Bool("json", false, "print what was found as JSON")
	dangerous := flags.Bool("dangerous", false, "also ask for readings that are dangerous to take, with what is dangerous")
	today := time.Now().Format(time.DateOnly)
	amend := amendFlags(flags, today)
	if code := o.parse(flags, args, stdout, stderr); code >= 0 {
		return code
	}
	if err := amend.check(flags, today); err != nil {
		sayRefusal(stderr, err)
		return exitUsage
	}
	in := folder.Open(o.lessons)
	defer in.Close()
	sheets, messages := readCards(in)
	readings, found := reading.ReadAll(in)
	messages = append(messages, found...)
	beside, found := lesson.ReadEntered(in)
	readings, messages = append(readings, beside...), append(messages, found...)
	wiring, _ := readWiring(in, cardsOf(sheets)) // what is wrong with it is for proof to say
	messages = append(messages, plates(readings, wiring)...)
	messages = append(messages, amend.later(readings, today)...)
	history, found := amend.history(in, sheets)
	messages = append(messages, found...)
	readings = slices.DeleteFunc(readings, func(r reading.Reading) bool { return r.Date < *since })
	for _, m := range diag.Sort(messages) {
		fmt.Fprintln(stderr, m)
	}
	if diag.HasError(messages) {
		fmt.Fprintln(stderr, "slipring calibrate: nothing was fitted\n    first mend what is listed above")
		return exitWrong
	}
	sheet, readings, err := cardOf(sheets, readings, *of)
	var out *calibrate.Outcome
	if err == nil {
		var constants []string
		if *names != "" {
			constants = strings.Split(strings.ReplaceAll(*names, " ", ""), ",")
		}
		out, err = calibrate.Run(sheet.Card, constants, readings, *dangerous)
	}
	if err != nil {
		sayRefusal(stderr, placed(err, in, sheet, readings))
		return exitWrong
	}
	if *asJSON {
		err = calibrationJSON(stdout, out)
	} else {
		err = sayCalibration(stdout, out)
	}
	if err == nil && amend.on {
		err = amend.write(stdout, in, sheet, sheets, history, out)
	}
	if err != nil {
		sayRefusal(stderr, err)
		if amend.on {
			fmt.Fprintln(stderr, "slipring calibrate: nothing was amended")
		}
		return exitWrong
	}
	return exitClean
}

// sayRefusal prints why nothing was fitted, or nothing written.
func sayRefusal(stderr io.Writer, err error) {
	var at diag.Message
	if errors.As(err, &at) {
		fmt.Fprintln(stderr, at)
		return
	}
	fmt.Fprintf(stderr, "slipring calibrate: %v\n", err)
	var f fit.Error
	var m tell.Misuse
	switch {
	case errors.As(err, &f):
		fmt.Fprintf(stderr, "    %s\n", f.Next)
	case errors.As(err, &m):
		fmt.Fprintf(stderr, "    %s\n", m.Hint)
	}
}

// placed gives why there is no fit with its place: the constant or the reading
// that it is about.
func placed(err error, in *folder.Folder, sheet card.Sheet, readings []reading.Reading) error {
	var f fit.Error
	if !errors.As(err, &f) {
		return err
	}
	m := diag.Message{File: in.Path("readings"), Rule: reading.Rule, Text: f.Text, Hint: f.Next}
	for _, name := range f.About {
		if c, ok := sheet.Constant(name); ok {
			m.File = sheet.File
			m.Line, m.Column = sheet.Place(c.Part, c.Key)
			return m
		}
		for _, r := range readings {
			if calibrate.NameOf(r) == name {
				m.File, m.Line, m.Column = r.File, r.Line, r.Column
				return m
			}
		}
	}
	return m
}

// cardOf finds the card that the readings are about, and those about it.
func cardOf(sheets []card.Sheet, readings []reading.Reading, name string) (card.Sheet, []reading.Reading, error) {
	var names, read []string
	for _, s := range sheets {
		names = append(names, s.Name)
	}
	for _, r := range readings {
		if r.Set != "" && !slices.Contains(read, r.Set) {
			read = append(read, r.Set)
		}
	}
	switch {
	case len(readings) == 0:
		return card.Sheet{}, nil, tell.Misuse{Text: "there are no readings", Hint: "write them into readings/NAME.csv in the lessons folder, or into a file beside a lesson, for example:\n    " + strings.ReplaceAll(reading.Sample, "\n", "\n    ")}
	case name == "" && len(read) == 1:
		name = read[0]
	case name == "" && len(names) == 1:
		name = names[0]
	case name == "":
		return card.Sheet{}, nil, tell.Misuse{Text: "the readings do not say which set they are of", Hint: "name the card: -card NAME, or in a column set; the cards are: " + strings.Join(names, ", ")}
	}
	i := slices.Index(names, name)
	if i < 0 {
		return card.Sheet{}, nil, tell.Misuse{Text: fmt.Sprintf("there is no machine card called %q", name), Hint: "the cards are: " + strings.Join(names, ", ")}
	}
	readings = slices.DeleteFunc(readings, func(r reading.Reading) bool { return r.Set != "" && r.Set != name })
	if len(readings) == 0 {
		return card.Sheet{}, nil, tell.Misuse{Text: fmt.Sprintf("there are no readings of %q", name), Hint: "the readings are of: " + strings.Join(read, ", ")}
	}
	return sheets[i], readings, nil
}

func sayCalibration(out io.Writer, o *calibrate.Outcome) error {
	var b strings.Builder
	var stay []string
	fmt.Fprintf(&b, "fitted %s to %s; chi2 %.1f, where about %d is to be expected\n", count(len(o.Constants), "constant"), count(len(o.Used), "reading"), o.Fit.Chi2, o.Fit.Freedom)
	for _, c := range o.Constants {
		value, u := rounded(calibrate.InCardUnit(c.Card, c.Value, c.U))
		if !c.Moved() {
			stay = append(stay, c.Card.Name())
			continue
		}
		fmt.Fprintf(&b, "%s: %s ± %s %s; the card has %v %s (%s)\n", c.Card.Name(), value, u, c.Card.Unit, c.Card.Value, c.Card.Unit, c.Card.Origin)
		if c.Lopsided {
			low, high := calibrate.InCardUnit(c.Card, c.Interval.Low, c.Interval.High)
			text := fmt.Sprintf("it lies between %.3g and %.3g %s", low, high, c.Card.Unit)
			switch {
			case c.Interval.LowOpen && c.Interval.HighOpen:
				text = "it could be anything"
			case c.Interval.LowOpen:
				text = fmt.Sprintf("it lies below %.3g %s", high, c.Card.Unit)
			case c.Interval.HighOpen:
				text = fmt.Sprintf("it lies above %.3g %s", low, c.Card.Unit)
			}
			fmt.Fprintf(&b, "    it is not that sure on both sides: in 95 of 100 such cases %s\n", text)
		}
	}
	if len(stay) > 0 {
		fmt.Fprintf(&b, "the readings say no more than what was known before of these, which stay: %s\n", strings.Join(stay, ", "))
	}
	for _, a := range o.Alike {
		if len(a.Names) == 1 {
			fmt.Fprintf(&b, "no reading leans on %s\n", a.Names[0])
			continue
		}
		fmt.Fprintf(&b, "the readings can hardly tell these apart: %s\n", strings.Join(a.Names, ", "))
	}
	for _, l := range o.Left {
		fmt.Fprintf(&b, "%s:%d:%d: left out: %s is %.1f of its standard deviations from the rest (%s; up to %.1f would pass)\n", l.File, l.Line, l.Column, l.Quantity, l.Far, l.Rule, l.Critical)
	}
	for _, n := range o.Notes {
		fmt.Fprintln(&b, n)
	}
	for i, a := range o.Next {
		if i == 0 {
			fmt.Fprintln(&b, "worth reading next, in this order:")
		}
		fmt.Fprintf(&b, "    %s", a.Reading)
		if a.Hazard != "" {
			fmt.Fprintf(&b, " (dangerous: %s)", a.Hazard)
		}
		best, part := -1, 1.0
		for k, c := range o.Constants {
			before := c.U
			if i > 0 {
				before = o.Next[i-1].U[k]
			}
			if before > 0 && a.U[k]/before < part {
				best, part = k, a.U[k]/before
			}
		}
		if best >= 0 {
			fmt.Fprintf(&b, ": would leave %.0f %% of the doubt of %s", 100*part, o.Constants[best].Card.Name())
		}
		fmt.Fprintln(&b)
	}
	if o.Held > 0 {
		fmt.Fprintf(&b, "%d doubtful constants of the card were not fitted and count as exact, so that all this is surer than it should be\n", o.Held)
	}
	if n := len(o.Guessed); n > 0 {
		fmt.Fprintf(&b, "the readings lean on %d constants that nobody measured, which have no uncertainty on the card and count as exact; most on:\n    %s\n    fit some of them by their names: -constants %s\n", n, strings.Join(o.Guessed[:min(n, 6)], ", "), strings.Join(o.Guessed[:min(n, 2)], ","))
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// calibration is what -json prints; its names are fixed.
type calibration struct {
	Constants []calibrated `json:"constants"`
	Alike     [][]string   `json:"alike"`
	Outliers  []outlying   `json:"outliers"`
	Next      []worth      `json:"next"`
	Chi2      float64      `json:"chi2"`
	Freedom   int          `json:"freedom"`
}

type calibrated struct {
	Name        string  `json:"name"`
	Value       float64 `json:"value"`
	Unit        string  `json:"unit"`
	Uncertainty float64 `json:"uncertainty"`
}

type outlying struct {
	Reading string  `json:"reading"`
	File    string  `json:"file"`
	Line    int     `json:"line"`
	Far     float64 `json:"far"`
	Rule    string  `json:"rule"`
}

type worth struct {
	Reading string  `json:"reading"`
	Gain    float64 `json:"gain"`
	Hazard  string  `json:"hazard,omitempty"`
}

func calibrationJSON(out io.Writer, o *calibrate.Outcome) error {
	c := calibration{Constants: []calibrated{}, Alike: [][]string{}, Outliers: []outlying{}, Next: []worth{}, Chi2: o.Fit.Chi2, Freedom: o.Fit.Freedom}
	for _, one := range o.Constants {
		value, u := calibrate.InCardUnit(one.Card, one.Value, one.U)
		c.Constants = append(c.Constants, calibrated{one.Card.Name(), value, one.Card.Unit, u})
	}
	for _, a := range o.Alike {
		c.Alike = append(c.Alike, a.Names)
	}
	for _, l := range o.Left {
		c.Outliers = append(c.Outliers, outlying{l.Outlier.Name, l.File, l.Line, l.Far, l.Rule})
	}
	for _, a := range o.Next {
		c.Next = append(c.Next, worth{a.Reading, a.Gain, a.Hazard})
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(c)
}
