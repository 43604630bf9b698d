package diag

import (
	"fmt"
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
		case c < ' ' || c == 0x7f:
			if c != '\t' && c != '\n' && c != '\r' {
				return at, fmt.Sprintf("the control character U+%04X, which cannot be seen, stands here", c)
			}
		case c < 0x80 || c == 0xad || c == 0x200c || c == 0x200d || c == 0x2060:
		case unicode.Is(unicode.Bidi_Control, c):
			return at, fmt.Sprintf("the character U+%04X, which cannot be seen and turns the text behind it around, stands here", c)
		case unicode.Is(unicode.Cf, c) || unicode.Is(unicode.Cc, c):
			return at, fmt.Sprintf("the character U+%04X, which cannot be seen, stands here", c)
		}
		at += size
	}
	return -1, ""
}
