package diag

import (
	"bytes"
	"regexp"
	"strings"
	"unicode/utf8"
)

// curly holds the quotation marks that word processors put in place of the
// plain one.
const curly = "“”„«»‘’‚"

var (
	commaBefore = regexp.MustCompile(`=[ \t]*[+-]?[0-9]+,[0-9]+,?$`)
	dotted      = regexp.MustCompile(`^[0-9]{1,2}\.[ \t]*[0-9]{1,2}\.[ \t]*[0-9]{2,4}`)
)

// TOMLSlip says in plain words what a person most likely did at the place where
// a text could not be read as TOML any further: a quotation mark that is not
// the plain one, a decimal comma, a date with dots, a block that was never
// closed, an ending quotation mark left out. Both are empty when it recognises
// nothing.
func TOMLSlip(source []byte, offset int) (text, hint string) {
	offset = min(max(offset, 0), len(source))
	begin := bytes.LastIndexByte(source[:offset], '\n') + 1
	end := len(source)
	if i := bytes.IndexByte(source[begin:], '\n'); i >= 0 {
		end = begin + i
	}
	line := strings.NewReplacer("\r", "", `\"`, "", `"""`, "").Replace(string(source[begin:end]))
	open := strings.Count(line, `"`)%2 == 1
	before, here := string(source[begin:offset]), string(source[offset:])
	_, value, _ := strings.Cut(line, "=")
	value = strings.TrimSpace(value)
	first, _ := utf8.DecodeRuneInString(here)
	switch {
	case strings.HasPrefix(strings.TrimSpace(line), "```") || strings.HasPrefix(strings.TrimSpace(line), "~~~"):
		return "a block is not closed before this fence", "end it above with a line that holds only its fence, such as ```"
	case strings.ContainsRune(curly, first) && here != "", open && strings.ContainsAny(line, curly):
		return "a curly quotation mark stands where a plain one belongs",
			`use the plain quotation mark ", and switch off the quotes that your editor puts in by itself`
	case open:
		return "a quotation mark on this line begins words that nothing ends", `end them with the plain quotation mark " on the same line`
	case commaBefore.MatchString(before), commaBefore.MatchString(before + upTo(here, ' ', '}', '#')):
		return "a number is written here with a comma", "write a decimal point, such as 0.5"
	case dotted.MatchString(value):
		return "a date is written here with dots", "write year-month-day without quotation marks, such as 2026-11-25"
	}
	return "", ""
}

// upTo gives what stands in text before the first of some characters.
func upTo(text string, stops ...rune) string {
	if i := strings.IndexFunc(text, func(r rune) bool {
		return r == '\n' || r == '\r' || bytes.ContainsRune([]byte(string(stops)), r)
	}); i >= 0 {
		return text[:i]
	}
	return text
}

// NotText says what a file is that holds no plain text in UTF-8, by how it
// begins, with what to do about it; both are empty when it may be text. Known
// are the byte order marks of UTF-16 (the Unicode standard, section 23.8), UTF-16
// without one, and the documents of word processors: ZIP and compound files, and
// rich text.
func NotText(source []byte) (text, hint string) {
	const plain = `save it as plain text, with the encoding "UTF-8"`
	begins := func(s string) bool { return bytes.HasPrefix(source, []byte(s)) }
	switch {
	case begins("\xff\xfe"), begins("\xfe\xff"),
		len(source) > 3 && (source[0] == 0) != (source[1] == 0) && source[0]|source[1] < 0x80 &&
			(source[2] == 0) == (source[0] == 0) && (source[3] == 0) == (source[1] == 0):
		return "the file is written in UTF-16, not in UTF-8", plain
	case begins("PK\x03\x04"), begins("\xd0\xcf\x11\xe0"), begins(`{\rtf`):
		return "the file is a word processor's document, and no plain text", plain + ", or write it with a plain text editor"
	}
	return "", ""
}
