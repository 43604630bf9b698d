package diag

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden finds the first character of a text that nobody sees and that may
// make it read otherwise than it is: one that turns the direction of writing
// around (the Unicode standard's bidirectional controls), a control character
// other than tab and line end, or another without a shape of its own. A byte
// that is no UTF-8 counts too. It gives the character's offset and words for
// it, or -1.
//
// Characters that French and other languages need are not meant: spaces of all
// widths, the soft hyphen, and joiners.
func Hidden(source []byte) (offset int, what string) {
	for at := 0; at < len(source); {
		c, size := utf8.DecodeRune(source[at:])
		switch {
		case c == utf8.RuneError && size <= 1:
			return at, fmt.Sprintf("the byte 0x%02x here is not UTF-8", source[at])
		case !hidden(c):
		case c < ' ' || c == 0x7f:
			return at, fmt.Sprintf("the control character U+%04X, which cannot be seen, stands here", c)
		case unicode.Is(unicode.Bidi_Control, c):
			return at, fmt.Sprintf("the character U+%04X, which cannot be seen and turns the text behind it around, stands here", c)
		default:
			return at, fmt.Sprintf("the character U+%04X, which cannot be seen, stands here", c)
		}
		at += size
	}
	return -1, ""
}

func hidden(c rune) bool {
	switch {
	case c < ' ' || c == 0x7f:
		return c != '\t' && c != '\n' && c != '\r'
	case c < 0x80 || c == 0xad || c == 0x200c || c == 0x200d || c == 0x2060:
		return false
	}
	return unicode.In(c, unicode.Bidi_Control, unicode.Cf, unicode.Cc)
}

// Visible gives a text with an escape, as in Go, for each character that Hidden
// finds, and for a carriage return, so that no name of a file moves a
// terminal's cursor, or reads otherwise than it is.
func Visible(text string) string {
	if offset, _ := Hidden([]byte(text)); offset < 0 && !strings.Contains(text, "\r") {
		return text
	}
	var b strings.Builder
	for at := 0; at < len(text); {
		c, size := utf8.DecodeRuneInString(text[at:])
		if one := text[at : at+size]; hidden(c) || c == '\r' || c == utf8.RuneError && size <= 1 {
			quoted := strconv.QuoteToASCII(one)
			b.WriteString(quoted[1 : len(quoted)-1])
		} else {
			b.WriteString(one)
		}
		at += size
	}
	return b.String()
}
