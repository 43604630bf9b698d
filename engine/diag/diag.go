// Package diag holds what Slipring has to say about a lesson: findings, each
// with the file, line and column that it is about.
//
// A part of the engine that finds something makes a Message and hands it up;
// only the command sorts and prints. The package knows no lessons and prints
// nothing itself.
package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Level says how much a finding matters.
type Level int

const (
	Error   Level = iota // the lesson cannot be published as it is
	Warning              // worth a look; publishing goes on
)

// Message is one finding. Line and Column count from 1, Column in bytes; a
// Line of 0 means that the finding is about the whole file, a File of "" that
// it is about no file at all.
type Message struct {
	File   string
	Line   int
	Column int
	Level  Level
	Rule   string // short name of the rule that found it, such as "quote-drift"
	Text   string // what is wrong: lower case, no full stop
	Hint   string // the next step, in words for the author; may hold several lines
}

// longest is how many bytes of a text or a line of a hint are printed: what an
// author wrote and a message repeats has no bound of its own.
const longest = 600

func short(s string) string {
	if len(s) <= longest {
		return s
	}
	return strings.ToValidUTF8(s[:longest], "") + "..."
}

// String gives the message as the command prints it: position, what is wrong,
// and each line of the hint indented below. What is very long is cut.
func (m Message) String() string {
	var b strings.Builder
	if m.File != "" {
		b.WriteString(m.At() + ": ")
	}
	if m.Level == Warning {
		b.WriteString("warning: ")
	}
	b.WriteString(short(m.Text))
	if m.Hint != "" {
		for line := range strings.SplitSeq(m.Hint, "\n") {
			b.WriteString("\n    " + short(line))
		}
	}
	return b.String()
}

// At gives the message's file and its position there, on one line whatever the
// file is called.
func (m Message) At() string {
	file := strings.ReplaceAll(Visible(m.File), "\n", `\n`)
	if m.Line > 0 {
		return fmt.Sprintf("%s:%d:%d", file, m.Line, max(m.Column, 1))
	}
	return file
}

// Error makes a Message usable as an error.
func (m Message) Error() string { return m.String() }

// Sort orders messages by file, line, column, then text, and drops repeats,
// so that the same findings always print the same way.
func Sort(ms []Message) []Message {
	slices.SortStableFunc(ms, func(a, b Message) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Text, b.Text),
		)
	})
	return slices.Compact(ms)
}

// HasError says whether any of the messages forbids publishing.
func HasError(ms []Message) bool {
	return slices.ContainsFunc(ms, func(m Message) bool { return m.Level == Error })
}

// Place turns a byte offset into a line and column, both from 1.
// An offset past the end gives the place just behind the last byte.
func Place(source []byte, offset int) (line, column int) {
	offset = min(max(offset, 0), len(source))
	line = 1
	start := 0
	for i, c := range source[:offset] {
		if c == '\n' {
			line++
			start = i + 1
		}
	}
	return line, offset - start + 1
}
