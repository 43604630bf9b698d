package tell

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// visible refuses words for a page in which stands something that nobody sees.
// It could turn the letters behind it around, or hide words among others, so
// that a label would read otherwise than it is. In a lesson's file such
// characters are refused as they stand; a cell could make them by an escape.
//
// The part, such as "the unit", is that of something told, of a kind and with a
// name. Letters of all scripts may stand in words, and spaces of all widths, the soft
// hyphen, and joiners.
func visible(part, kind, name, words string) {
	for at, c := range words {
		what, hint := "", "leave it out; whoever reads the page cannot know that it is there"
		switch {
		case c == utf8.RuneError && !strings.HasPrefix(words[at:], string(c)):
			what, hint = fmt.Sprintf("the byte 0x%02x, which is not UTF-8", words[at]), `write the letter itself, such as "é", or an escape for it, such as "\u00e9"`
		case c == '\t', c == '\n', c == '\r', unicode.In(c, unicode.Zl, unicode.Zp):
			what, hint = fmt.Sprintf("the character U+%04X, which ends a line or jumps within it", c), "write it in one line, with plain spaces; the page breaks long words by itself"
		case c == 0xad, c == 0x200c, c == 0x200d, c == 0x2060:
		case unicode.Is(unicode.Bidi_Control, c):
			what = fmt.Sprintf("the character U+%04X, which cannot be seen and turns the text behind it around", c)
		case unicode.In(c, unicode.Cc, unicode.Cf):
			what = fmt.Sprintf("the character U+%04X, which cannot be seen", c)
		}
		if what != "" {
			panic(Misuse{fmt.Sprintf("%s of %s %q, %s, holds %s", part, kind, name, quoted(words), what), hint})
		}
	}
}

// quoted gives words as Go writes them, which shows what cannot be seen.
func quoted(words string) string {
	const most = 60
	if runes := []rune(words); len(runes) > most {
		return fmt.Sprintf("%q...", string(runes[:most]))
	}
	return fmt.Sprintf("%q", words)
}

// visible refuses an axis that nobody could read.
func (a Axis) visible(figure string) {
	visible("the label of an axis", "figure", figure, a.Label)
	visible("the unit of an axis", "figure", figure, a.Unit)
}
