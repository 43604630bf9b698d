// Command slipring turns a folder of lessons into the pages of a museum: a
// kiosk for visitors, a course for volunteers, handouts for docents, and the
// logbook of the machine.
//
//	slipring begin FOLDER       lay out a house of your own, with a card and a lesson
//	slipring publish            run every lesson and write all pages to ./visit
//	slipring proof              check every quote, claim and caution; write nothing
//	slipring proof -amend       and rewrite the quotes that have drifted
//	slipring rehearse           show the pages while the lessons are written
//	slipring print              make PDFs of the handouts in ./prints
//	slipring calibrate          fit constants of a card to readings; write nothing
//	slipring calibrate -amend   and write them into the card, with an entry in its history
//	slipring cut                say what wire there is to buy for the house's board
//	slipring cut -out FILE      and write the list of wire to cut as CSV
//	slipring measure FILE...    say what an oscilloscope's captures show
//	slipring reconcile          hold drawings against continuity readings; write nothing
//	slipring reconcile -amend   and write the wires as they are believed now
//
// It is the only part of the project that prints, exits and writes pages.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"slipring/engine/cell"
	"slipring/engine/diag"
	"slipring/render/browser"
)

// Exit codes, fixed so that scripts can rely on them.
const (
	exitClean = 0 // all is well
	exitWrong = 1 // something in the lessons, the cards or the output is wrong
	exitUsage = 2 // the command was called wrongly
)

// leastOpen is how many files a run with a few processors needs open at a time.
// With far fewer, what a lock or a file that was read says is no longer true.
const leastOpen = 64

func main() {
	cell.ChildMain()
	if n := mayOpen(); n < leastOpen {
		fmt.Fprintf(os.Stderr, "slipring: this process may have %d files open at a time, and needs %d\n    allow more, with: ulimit -n %[2]d\n", n, leastOpen)
		os.Exit(exitWrong)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], output{os.Stdout}, output{os.Stderr})
	stop()
	os.Exit(code)
}

// output is where the command prints to. Nothing that an author wrote, and no
// name of a file, gets to a terminal as more than words.
type output struct{ file *os.File }

func (o output) Write(text []byte) (int, error) {
	if _, err := o.file.WriteString(diag.Visible(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}

const usage = `usage: slipring COMMAND [flags] [LESSONS]

LESSONS is the folder that holds all lessons and house.toml, "lessons" when
left out. Flags stand before it.

Commands:
  begin      lay out the lessons of a house of your own: slipring begin FOLDER
  publish    run every lesson and write all pages; then open visit/index.html
  proof      check every quote, claim, figure and caution; write no page
  rehearse   show the pages on this computer, and anew after every change
  print      make PDFs of all handouts in prints, with an installed browser
  calibrate  fit constants of a machine card to readings; -amend writes them there
  cut        list the wire to cut and to buy; -out FILE writes it as CSV
  measure    say what captures of an oscilloscope show: slipring measure FILE...
  reconcile  hold drawings of a board against continuity readings, and say what to
             test next; -amend writes the wires as they are believed now

Flags of a command: slipring COMMAND -h
Exit codes: 0 all is well, 1 something is wrong, 2 called wrongly.
`

// run is the whole command but for the process around it.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, usage)
		return exitUsage
	}
	for _, arg := range args {
		if strings.ContainsAny(arg, "\r\n") {
			fmt.Fprintf(stderr, "slipring: %q holds the end of a line, which would break what is printed about it\n    give the folder a name of one line\n", arg)
			return exitUsage
		}
	}
	switch args[0] {
	case "begin":
		return beginHouse(args[1:], stdout, stderr)
	case "publish":
		return publishSite(ctx, args[1:], stdout, stderr)
	case "proof":
		return proofread(ctx, args[1:], stdout, stderr)
	case "rehearse":
		return rehearse(ctx, args[1:], stdout, stderr)
	case "print":
		return printSheets(ctx, args[1:], stdout, stderr, browser.Find)
	case "calibrate":
		return calibrateCard(ctx, args[1:], stdout, stderr)
	case "cut":
		return cutWire(args[1:], stdout, stderr)
	case "measure":
		return measure(args[1:], stdout, stderr)
	case "reconcile":
		return reconcileSheets(ctx, args[1:], stdout, stderr)
	case "-h", "-help", "--help", "help":
		fmt.Fprint(stdout, usage)
		return exitClean
	}
	fmt.Fprintf(stderr, "slipring: there is no command %q\n    slipring -h lists them\n", args[0])
	return exitUsage
}

// options are the flags that publish and proof share.
type options struct {
	lessons string
	workers int
	limits  cell.Limits
	fresh   bool // run every lesson, also those whose results are known
}

// parse reads the flags of a command and the lessons folder behind them.
// The returned code is negative when the command is to go on.
func (o *options) parse(flags *flag.FlagSet, args []string, stdout, stderr io.Writer) int {
	flags.SetOutput(io.Discard)
	workers := addNumber(flags, numberFlag{name: "workers", text: "0", most: 1000, what: "lessons at a time"}, "`NUMBER` of lessons run side by side; 0 means one a processor core")
	limits := limitFlags(flags)
	flags.BoolVar(&o.fresh, "fresh", false, "run every lesson, also those that have not changed")
	err := flags.Parse(args)
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprintf(stdout, "usage: slipring %s [flags] [LESSONS]\n", flags.Name())
		flags.SetOutput(stdout)
		flags.PrintDefaults()
		return exitClean
	}
	if err != nil {
		fmt.Fprintf(stderr, "slipring %s: %v\n    slipring %s -h lists the flags\n", flags.Name(), err, flags.Name())
		return exitUsage
	}
	o.limits, err = limits()
	if err == nil {
		var n int64
		n, err = workers.read()
		o.workers = int(n)
	}
	if err != nil {
		fmt.Fprintf(stderr, "slipring %s: %v\n", flags.Name(), err)
		return exitUsage
	}
	o.lessons = "lessons"
	switch flags.NArg() {
	case 0:
	case 1:
		o.lessons = filepath.Clean(flags.Arg(0))
	default:
		fmt.Fprintf(stderr, "slipring %s: %q is one folder too many\n    name one folder of lessons; flags stand before it\n", flags.Name(), flags.Arg(1))
		return exitUsage
	}
	info, err := os.Stat(o.lessons)
	if err == nil && info.IsDir() {
		_, err = os.ReadDir(o.lessons)
	}
	if err != nil || !info.IsDir() {
		what, hint := "there is no folder", "run it where the lessons folder is, or name the folder"
		switch {
		case err == nil:
			what, hint = "this is a file, and no folder:", "name the folder that holds all lessons"
		case !errors.Is(err, fs.ErrNotExist):
			what, hint = "this folder cannot be read:", "check that you may read it, or name another"
		case flags.NArg() > 0:
		case isThere(".", "house.toml"):
			hint = "this is the lessons folder itself: go one folder up"
		case isThere(".", "lesson.md"):
			hint = "this is the folder of one lesson: go two folders up, to where the lessons folder is"
		}
		fmt.Fprintf(stderr, "slipring %s: %s %q\n    %s\n", flags.Name(), what, o.lessons, hint)
		return exitUsage
	}
	if isThere(o.lessons, "lesson.md") && !isThere(o.lessons, "house.toml") {
		fmt.Fprintf(stderr, "slipring %s: %q is the folder of one lesson\n    name the folder that holds all lessons: %q\n", flags.Name(), o.lessons, filepath.Dir(o.lessons))
		return exitUsage
	}
	return -1
}

// isThere says whether a folder holds the file.
func isThere(dir, name string) bool {
	_, err := os.Stat(filepath.Join(dir, name))
	return err == nil
}
