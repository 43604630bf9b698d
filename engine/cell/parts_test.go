package cell

import (
	"strings"
	"testing"
)

// A lesson's rows are counted in the child, where what is too much can be said
// at once, and without the machine's runs, which are handed back only when they
// are new.
func TestTooManyParts(t *testing.T) {
	p, messages := Assemble(lessonOf("row := []tell.Entry{tell.Number(1)}\n" +
		"rows := make([][]tell.Entry, 600000)\nfor i := range rows {\n\trows[i] = row\n}\n" +
		"tell.Table(tell.Table{Name: \"t\", Columns: []tell.Column{{Head: \"x\"}}, Rows: rows})\n"))
	if p == nil {
		t.Fatal(messages)
	}
	_, messages = p.Run(t.Context(), nil, Limits{Points: 600_000})
	if len(messages) != 1 || !strings.HasPrefix(messages[0].Text, "the cells tell 1200") {
		t.Errorf("got %v", messages)
	}
}
