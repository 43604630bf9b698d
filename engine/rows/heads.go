package rows

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// Columns are the heads that a file may have, the first of which it needs.
type Columns struct {
	Known   []string
	Needed  int
	Meant   map[string]string // heads that go by other words as well, by these words; for hints
	Instead map[string]string // of heads that are needed: another that may stand in their place
}

// Heads says in which columns the heads of a file stand.
type Heads struct {
	at    map[string]int
	width int
	say   func(at Field, text, hint string)
}

// Heads reads the line of heads, in any order and in capitals or not. What is
// wrong is said; a file of which something was said is not read further.
func (c Columns) Heads(record []Field, say func(at Field, text, hint string)) (h Heads, ok bool) {
	h, ok = Heads{at: map[string]int{}, width: len(record), say: say}, true
	bad := func(at Field, text, hint string) {
		say(at, text, hint)
		ok = false
	}
	for i, f := range record {
		head := strings.ToLower(f.Text)
		_, twice := h.at[head]
		switch {
		case head == "": // an empty column, as spreadsheets leave behind
			continue
		case twice:
			bad(f, fmt.Sprintf("two columns are headed %q", head), "leave one of them out")
		case !slices.Contains(c.Known, head):
			hint := "columns are: " + strings.Join(c.Known, ", ")
			if near := cmp.Or(c.Meant[head], diag.Nearest(head, c.Known)); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			bad(f, fmt.Sprintf("unknown column %q", f.Text), hint)
		}
		h.at[head] = i
	}
	if !ok {
		return h, false // a head that is unknown may be the one that is missing
	}
	for _, head := range c.Known[:c.Needed] {
		_, has := h.at[head]
		_, instead := h.at[c.Instead[head]]
		if !has && !instead {
			bad(record[0], fmt.Sprintf("there is no column %q", head), "the heads are: "+strings.Join(c.Known, ","))
		}
	}
	return h, ok
}

// Field gives a field of a line, and whether the line has it; one that it has not
// stands where the line begins.
func (h Heads) Field(record []Field, head string) (f Field, has bool) {
	if i, ok := h.at[head]; ok && i < len(record) {
		return record[i], true
	}
	return Field{Line: record[0].Line, Column: record[0].Column}, false
}

// Fits says whether a line has no more fields than there are heads.
func (h Heads) Fits(record []Field) bool {
	for i, f := range record {
		if i >= h.width && f.Text != "" {
			h.say(f, fmt.Sprintf("this line has %d fields under %d columns", len(record), h.width),
				"put a text with the separator in it between quotation marks, and a decimal comma as well where commas part the columns")
			return false
		}
	}
	return true
}

// Filled gives the lines of which something is filled in.
func Filled(records [][]Field) [][]Field {
	return slices.DeleteFunc(records, func(record []Field) bool {
		return !slices.ContainsFunc(record, func(f Field) bool { return f.Text != "" })
	})
}
