package main

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"

	"slipring/engine/diag"
)

// What of a lesson's printed text is shown to its author; the rest is counted.
const (
	printedLines = 20
	printedRunes = 200 // of a line
)

var printCall = regexp.MustCompile(`\bfmt\.Print(f|ln)?\b`)

// printed says what the cells of each lesson printed, which an author does to
// look at a value while writing, and which no page shows. It stands at the
// first place in the lesson that prints; its Level means nothing.
func (w workshop) printed() []diag.Message {
	var out []diag.Message
	for _, f := range w.lessons {
		if f.Result.Printed == "" {
			continue
		}
		m := f.Lesson.Message(0, diag.Warning, "printed", "printed by the cells, for you alone:", legible(f.Result.Printed))
		for _, c := range f.Lesson.Cells {
			if at := printCall.FindStringIndex(c.Source); at != nil {
				m = f.Lesson.Message(c.Offset+at[0], diag.Warning, m.Rule, m.Text, m.Hint)
				break
			}
		}
		out = append(out, m)
	}
	return diag.Sort(out)
}

// printNotes writes what cells printed, in the form of findings but without a
// word that would call it one.
func printNotes(out io.Writer, notes []diag.Message) {
	for _, m := range notes {
		m.Level = diag.Error // the level whose messages have no word before them
		fmt.Fprintln(out, m)
	}
}

// legible gives the first lines of a text, with a sign in the place of each
// character that would do something to a terminal.
func legible(text string) string {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	more := len(lines) - printedLines
	if more > 0 {
		lines = lines[:printedLines]
	}
	for i, line := range lines {
		runes := []rune(strings.ToValidUTF8(line, "\ufffd"))
		cut := len(runes) > printedRunes
		if cut {
			runes = runes[:printedRunes]
		}
		for k, r := range runes {
			switch {
			case r == '\t':
				runes[k] = ' '
			case !unicode.IsPrint(r):
				runes[k] = '\ufffd'
			}
		}
		lines[i] = string(runes)
		if cut {
			lines[i] += " ..."
		}
	}
	switch {
	case more == 1:
		lines = append(lines, "... and 1 line more")
	case more > 1:
		lines = append(lines, fmt.Sprintf("... and %d lines more", more))
	}
	return strings.Join(lines, "\n")
}
