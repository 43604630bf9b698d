package diag_test

import (
	"strings"
	"testing"

	"slipring/engine/diag"
)

// Each case is a text that TOML 1.0 does not allow, the place where reading it
// stops (marked by |), and what a person is told.
func TestTOMLSlip(t *testing.T) {
	for _, c := range []struct{ source, want string }{
		{"title = |“How warm”\n", "curly"},
		{"title = \"How warm”|\n", "curly"},
		{"title = |«Comment»\n", "curly"},
		{"title = \"How warm|\nminutes = 5\n", "nothing ends"},
		{"a = { value = 0,05,| unit = \"V\" }", "comma"},
		{"a = { value = 0,05|, unit = \"V\" }", "comma"},
		{"minutes = 5|,5\n", "comma"},
		{"revised = 25|.11.2026\n", "dots"},
		{"title = \"a\"\n\n# head\n\n|```caution rotating\n", "not closed"},
		{"title |\n", ""},
		{"needs = [\"a\" |\"b\"]\n", ""},
		{"|", ""},
	} {
		offset := strings.IndexByte(c.source, '|')
		source := c.source[:offset] + c.source[offset+1:]
		text, hint := diag.TOMLSlip([]byte(source), offset)
		if (text == "") != (c.want == "") || !strings.Contains(text, c.want) || (text == "") != (hint == "") {
			t.Errorf("%q: told %q, %q; want %q", c.source, text, hint, c.want)
		}
	}
	for _, offset := range []int{-1, 100} {
		diag.TOMLSlip([]byte("a = 1\n"), offset)
	}
}

// The byte order marks are those of the Unicode standard, section 23.8; the
// ZIP header is that of PKWARE's APPNOTE, section 4.3.7; the compound file's is
// that of [MS-CFB], section 2.2.
func TestNotText(t *testing.T) {
	for source, want := range map[string]string{
		"\xff\xfe#\x00 \x00":               "UTF-16",
		"\xfe\xff\x00#\x00 ":               "UTF-16",
		"`\x00`\x00`\x00":                  "UTF-16",
		"\x00`\x00`\x00`":                  "UTF-16",
		"PK\x03\x04\x14\x00":               "word processor",
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1": "word processor",
		`{\rtf1\ansi hello}`:               "word processor",
		"":                                 "",
		"# A heading":                      "",
		"\xef\xbb\xbf# A heading":          "",
		"a\x00bc":                          "",
		"\x00\r\n\x00":                     "",
		"PK is short for a name":           "",
		"\xe9t\xe9, in another code":       "",
	} {
		text, hint := diag.NotText([]byte(source))
		if (text == "") != (want == "") || !strings.Contains(text, want) || (text == "") != (hint == "") {
			t.Errorf("%q: told %q, %q; want %q", source, text, hint, want)
		}
	}
}
