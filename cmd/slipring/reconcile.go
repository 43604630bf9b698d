package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
)

// Files of a house's wiring, in its lessons folder.
const (
	partsFile = "wiring/parts.toml"
	wiresFile = "wiring/wires.csv"
)

// How many tests are told when nobody says how many.
const usualTests = 5

// reconciling is what one run of reconcile was asked for.
type reconciling struct {
	options
	tests int
	sheet bool // the tests alone, as a sheet to take to the board
	json  bool
	amend bool
}

// reconciled is what is believed of a board.
type reconciled struct {
	sheets         []reconcile.Sheet
	readings       []reconcile.Reading
	judged         []reconcile.Judged
	fits           []reconcile.Fit
	contradictions []reconcile.Contradiction
	tests          []reconcile.Test
}

// openPower gives the open questions that carry power.
func (r reconciled) openPower() (out []reconcile.Judged) {
	for _, j := range r.judged {
		if j.Power && j.Verdict == reconcile.Question {
			out = append(out, j)
		}
	}
	return out
}

// reconcileSheets is the command reconcile: it holds drawings against each other
// and against continuity readings, and writes nothing unless it is told to amend
// the list of wires.
func reconcileSheets(_ context.Context, args []string, stdout, stderr io.Writer) int {
	r, code := readReconciling(args, stdout, stderr)
	if code >= 0 {
		return code
	}
	in := folder.Open(r.lessons)
	defer in.Close()
	parts, messages := readBoardParts(in)
	var board *reconcile.Board
	if !diag.HasError(messages) {
		var found []diag.Message
		board, found = readDrawings(in, parts)
		messages = append(messages, found...)
	}
	if board == nil && !diag.HasError(messages) {
		messages = append(messages, diag.Message{File: in.Path("wiring/sheets"), Rule: reconcile.Rule, Text: "there is no drawing",
			Hint: "write each as a list of wires into a file of its own, such as wiring/sheets/a.csv:\n" + reconcile.SheetSample})
	}
	for _, m := range diag.Sort(messages) {
		fmt.Fprintln(stderr, m)
	}
	if diag.HasError(messages) {
		fmt.Fprintln(stderr, "slipring reconcile: nothing was reconciled\n    first mend what is listed above")
		return exitWrong
	}
	is := reconciled{board.Sheets(), board.Readings(), board.Judged(), board.Fits(), board.Contradictions(), board.Next(r.tests)}
	var err error
	switch {
	case r.json:
		err = reconciledJSON(stdout, is)
	case r.sheet:
		err = sayTestSheet(stdout, is)
	default:
		err = sayReconciled(stdout, is)
	}
	if err == nil && r.amend {
		err = amendWires(stdout, in, parts, board)
	}
	if err != nil {
		code := sayUnreconciled(stderr, err)
		if r.amend {
			fmt.Fprintln(stderr, "slipring reconcile: nothing was amended")
		}
		return code
	}
	if len(is.openPower()) > 0 {
		return exitWrong
	}
	return exitClean
}

// readDrawings reads the drawings of a house's board and the readings of its
// wires, and gives what is believed of them; nil when there is no drawing.
func readDrawings(in *folder.Folder, parts circuit.Wiring) (*reconcile.Board, []diag.Message) {
	sheets, readings, messages := reconcile.ReadAll(in, parts)
	if diag.HasError(messages) || len(sheets) == 0 {
		return nil, messages
	}
	board, err := reconcile.New(parts, sheets)
	for i := 0; err == nil && i < len(readings); i++ {
		err = board.Take(readings[i])
	}
	if err != nil {
		messages = append(messages, diag.Message{File: in.Path("wiring/sheets"), Rule: reconcile.Rule, Text: err.Error(), Hint: "mend parts.toml first"})
	}
	return board, messages
}

func sayUnreconciled(stderr io.Writer, err error) int {
	var at diag.Message
	if errors.As(err, &at) {
		fmt.Fprintln(stderr, at)
		return exitWrong
	}
	fmt.Fprintf(stderr, "slipring reconcile: %v\n", err)
	var f circuit.Flaw
	if errors.As(err, &f) {
		fmt.Fprintf(stderr, "    %s\n", f.Next)
	}
	return exitWrong
}

// readReconciling reads the flags. The returned code is negative when the command
// is to go on.
func readReconciling(args []string, stdout, stderr io.Writer) (reconciling, int) {
	var r reconciling
	flags := flag.NewFlagSet("reconcile", flag.ContinueOnError)
	tests := addNumber(flags, numberFlag{name: "tests", text: fmt.Sprint(usualTests), most: 200, what: "tests"}, "print the next `NUMBER` of tests alone, as a sheet to take to the board")
	flags.BoolVar(&r.json, "json", false, "print what is believed as JSON")
	flags.BoolVar(&r.amend, "amend", false, "write what is believed into "+wiresFile+", each wire with its evidence, and nothing else")
	if code := r.parse(flags, args, stdout, stderr); code >= 0 {
		return r, code
	}
	n, err := tests.read()
	if err != nil {
		fmt.Fprintf(stderr, "slipring reconcile: %v\n", err)
		return r, exitUsage
	}
	r.tests = int(n)
	var given []string
	flags.Visit(func(f *flag.Flag) { given = append(given, f.Name) })
	r.sheet = slices.Contains(given, "tests") && !r.json
	if r.amend && (r.json || r.sheet) {
		fmt.Fprint(stderr, "slipring reconcile: -amend goes with no other form of output\n    look first, with -json or -tests, then amend without them\n")
		return r, exitUsage
	}
	return r, -1
}

// readBoardParts reads the parts of the board that the drawings are of.
func readBoardParts(in *folder.Folder) (circuit.Wiring, []diag.Message) {
	source, there, messages := readText(in, partsFile)
	if len(messages) > 0 {
		return circuit.Wiring{}, messages
	}
	if !there {
		return circuit.Wiring{}, []diag.Message{{File: in.Path(partsFile), Rule: reconcile.Rule, Text: "the file that describes the parts of the board is missing",
			Hint: "write it with each part, such as:\n[TS1]\nkind = \"strip\"\nterminals = 20"}}
	}
	return card.ReadParts(in.Path(partsFile), source)
}
