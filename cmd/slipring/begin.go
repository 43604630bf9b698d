package main

import (
	"embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// houses holds what a new house begins with: what every one has, and a folder
// for each kind of machine.
//
//go:embed begin
var houses embed.FS

// everyHouse is the folder of what any house has, whatever its machine.
const everyHouse = "every"

// machinesToBegin lists the machines that a new house may have.
func machinesToBegin() []string {
	entries, err := houses.ReadDir("begin")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	var names []string
	for _, e := range entries {
		if e.Name() != everyHouse {
			names = append(names, e.Name())
		}
	}
	return names
}

// beginHouse is the command begin: it lays out the lessons of a new house in a
// folder that holds nothing yet.
func beginHouse(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("begin", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	choices := strings.Join(machinesToBegin(), " or ")
	machine := flags.String("machine", machinesToBegin()[0], "`KIND` of machine to begin with: "+choices)
	err := flags.Parse(args)
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprint(stdout, "usage: slipring begin [flags] FOLDER\n")
		flags.SetOutput(stdout)
		flags.PrintDefaults()
		return exitClean
	}
	wrong := func(code int, text, hint string) int {
		fmt.Fprintf(stderr, "slipring begin: %s\n    %s\n", text, hint)
		return code
	}
	switch {
	case err != nil:
		return wrong(exitUsage, err.Error(), "slipring begin -h lists the flags")
	case flags.NArg() != 1:
		return wrong(exitUsage, fmt.Sprintf("%d folders are named", flags.NArg()), "name the one folder that the new house goes into; flags stand before it")
	case !slices.Contains(machinesToBegin(), *machine):
		return wrong(exitUsage, fmt.Sprintf("there is no machine %q to begin with", *machine), "-machine is "+choices)
	}
	house := filepath.Clean(flags.Arg(0))
	entries, err := os.ReadDir(house)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return wrong(exitWrong, err.Error(), "name a folder that you may write into")
	case len(entries) > 0:
		return wrong(exitWrong, fmt.Sprintf("%q is not empty: it holds %q", house, entries[0].Name()), "name a folder that is empty, or one that does not exist yet; nothing was written")
	}
	if err := layOut(house, *machine); err != nil {
		return wrong(exitWrong, err.Error(), "name a folder that you may write into")
	}
	lessons := filepath.Join(house, "lessons")
	fmt.Fprintf(stdout, "a house to begin with lies in %s: put your own words and values into its files\n", lessons)
	fmt.Fprintf(stdout, "next: slipring proof %s\n      slipring rehearse %[1]s\n      slipring publish -out %[2]s %[1]s\n", lessons, filepath.Join(house, "visit"))
	return exitClean
}

// layOut writes a new house's lessons, all or none.
func layOut(house, machine string) error {
	if err := os.MkdirAll(house, 0o755); err != nil {
		return err
	}
	unfinished, err := os.MkdirTemp(house, ".lessons-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(unfinished)
	if err := os.Chmod(unfinished, 0o755); err != nil {
		return err
	}
	for _, part := range []string{everyHouse, machine} {
		files, err := fs.Sub(houses, "begin/"+part)
		if err == nil {
			err = os.CopyFS(unfinished, files)
		}
		if err != nil {
			return err
		}
	}
	return os.Rename(unfinished, filepath.Join(house, "lessons"))
}
