package diag

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// What a message repeats of a lesson may be long; what is printed is not.
func TestStringIsShort(t *testing.T) {
	long := strings.Repeat("é", 100000)
	s := Message{File: "a.md", Line: 1, Column: 2, Text: "x " + long, Hint: "one\ntwo " + long}.String()
	if len(s) > 3*longest || !utf8.ValidString(s) || strings.Count(s, "...") != 2 || !strings.HasPrefix(s, "a.md:1:2: x é") {
		t.Errorf("%d bytes: %.100s", len(s), s)
	}
	if s := (Message{Text: "x", Hint: "y"}).String(); s != "x\n    y" {
		t.Errorf("%q", s)
	}
}
