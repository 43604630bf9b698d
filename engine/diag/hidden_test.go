package diag

import (
	"strings"
	"testing"
)

func TestHidden(t *testing.T) {
	for text, want := range map[string]string{
		"":                         "",
		"a\tb\r\nc":                "",
		"19,95\u00a0Hz\u202fA ½ é": "",
		"Mo\u00adtor 👩\u200d🔧":     "",
		"a\x00b":                   "control character U+0000",
		"a\x1bb":                   "control character U+001B",
		"a\x7f":                    "control character U+007F",
		"a\u0085":                  "U+0085, which cannot be seen",
		"a\u202eb":                 "U+202E, which cannot be seen and turns the text behind it around",
		"a\u2067b":                 "U+2067, which cannot be seen and turns",
		"a\u200fb":                 "U+200F, which cannot be seen and turns",
		"a\u200bb":                 "U+200B, which cannot be seen, stands",
		"a\ufeffb":                 "U+FEFF, which cannot be seen, stands",
		"a\U000e0041b":             "U+E0041, which cannot be seen, stands",
		"a\xffb":                   "byte 0xff here is not UTF-8",
		"a\ufffdb":                 "",
	} {
		at, what := Hidden([]byte(text))
		if want == "" && (at != -1 || what != "") || want != "" && (at != 1 || !strings.Contains(what, want)) {
			t.Errorf("%q: %d, %q; want %q", text, at, what, want)
		}
	}
}

// Whatever Visible gives, Hidden finds nothing in it, and what was in sight
// stays as it was.
func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"19,95\u00a0Hz\nA ½ é\t": "19,95\u00a0Hz\nA ½ é\t",
		"a\x1b[31mb":             `a\x1b[31mb`,
		"a\u202eb\xff\r":         `a\u202eb\xff\r`,
		"\ufffd":                 "\ufffd",
	} {
		got := Visible(text)
		if got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
		if at, what := Hidden([]byte(got)); at >= 0 {
			t.Errorf("%q: %s", got, what)
		}
	}
	m := Message{File: "a\nb\x1b.md", Line: 2, Text: "x"}
	if got := m.String(); got != `a\nb\x1b.md:2:1: x` {
		t.Errorf("%q", got)
	}
}
