package lesson

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/yuin/goldmark/util"

	"slipring/engine/diag"
)

// unescape gives text with its backslash escapes and character references
// resolved (CommonMark 0.31.2, sections 2.4 and 2.5).
func unescape(s []byte) string { return unescaped(s, reference) }

func unescaped(s []byte, reference func([]byte) (chars string, n int)) string {
	if !strings.ContainsAny(string(s), "\\&") {
		return string(s)
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		switch {
		case s[i] == '\\' && i+1 < len(s) && util.IsPunct(s[i+1]):
			b.WriteByte(s[i+1])
			i += 2
			continue
		case s[i] == '&':
			if chars, n := reference(s[i:]); n > 0 {
				b.WriteString(chars)
				i += n
				continue
			}
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

// reference resolves the character reference that s begins with. n is its
// length, 0 when it is none. What nobody could see on a page becomes U+FFFD,
// as CommonMark has it for U+0000.
func reference(s []byte) (chars string, n int) {
	chars, n = resolve(s)
	if at, _ := diag.Hidden([]byte(chars)); at >= 0 {
		chars = string(utf8.RuneError)
	}
	return chars, n
}

// hiddenReference finds the first character reference in s that stands for what
// nobody sees, as diag.Hidden does with the character itself; -1 when there is
// none.
func hiddenReference(s []byte) (offset int, what string) {
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '\\' && i+1 < len(s) && util.IsPunct(s[i+1]):
			i++
		case s[i] == '&':
			chars, n := resolve(s[i:])
			if at, what := diag.Hidden([]byte(chars)); at >= 0 {
				return i, fmt.Sprintf("%q is %s", s[i:i+n], strings.TrimSuffix(what, standsHere))
			}
		}
	}
	return -1, ""
}

// resolve is reference for characters of all sorts.
func resolve(s []byte) (chars string, n int) {
	const longest = 40 // bytes; the longest entity name has 31 letters
	end := strings.IndexByte(string(s[:min(len(s), longest)]), ';')
	if end < 0 {
		return "", 0
	}
	name := string(s[1:end])
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		base, most := 10, 7
		if len(digits) > 0 && (digits[0] == 'x' || digits[0] == 'X') {
			digits, base, most = digits[1:], 16, 6
		}
		code, err := strconv.ParseUint(digits, base, 32)
		if err != nil || len(digits) > most {
			return "", 0
		}
		r := rune(code)
		if code == 0 || code > unicode.MaxRune || !utf8.ValidRune(r) {
			r = utf8.RuneError
		}
		return string(r), end + 1
	}
	if entity, ok := util.LookUpHTML5EntityByName(name); ok {
		return string(entity.Characters), end + 1
	}
	return "", 0
}

// destination gives a link's destination as it stands in an href attribute:
// resolved, then with all characters that no URL may hold percent-encoded.
func destination(s []byte) string {
	return string(util.URLEscape([]byte(unescaped(s, resolve)), false))
}

// slugs hands out an identifier for each heading of a lesson.
type slugs map[string]int // how often each was asked for

// make gives a heading's identifier: its words in small letters with dashes
// between them, with a number behind when the lesson has used them before. A
// bound text counts by its label, so that amending it breaks no link.
func (s *slugs) make(heading *Node) string {
	if *s == nil {
		*s = slugs{}
	}
	var b strings.Builder
	gap := false
	heading.Walk(func(n *Node) bool {
		words := n.Text
		switch n.Kind {
		case Bound:
			words = " " + n.Name + " "
		case SoftBreak, HardBreak:
			words = " "
		case RawHTML:
			words = ""
		}
		for _, r := range words {
			if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
				gap = gap || r != '\''
				continue
			}
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(unicode.ToLower(r))
		}
		return n.Kind != Bound
	})
	id := b.String()
	if id == "" {
		id = "section"
	}
	unique := id
	for (*s)[unique] > 0 {
		(*s)[id]++
		unique = fmt.Sprintf("%s-%d", id, (*s)[id])
	}
	(*s)[unique]++
	return unique
}
