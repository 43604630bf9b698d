package language

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sentences splits a text at full stops, question and exclamation marks before
// a space, and gives where each sentence begins and ends. What goes on with a
// small letter or a digit is the same sentence, as in "e.g. this" and "No. 4",
// and so is what goes on behind an abbreviation that the language names.
func (l *Language) Sentences(text string) [][2]int {
	var all [][2]int
	start := 0
	add := func(end int) {
		trimmed := strings.TrimLeft(text[start:end], " ")
		if trimmed != "" {
			all = append(all, [2]int{end - len(trimmed), end})
		}
		start = end
	}
	for i, r := range text {
		if i < start || r != '.' && r != '!' && r != '?' && r != '…' {
			continue
		}
		rest := afterClosing(text[i+utf8.RuneLen(r):])
		if rest != "" && !strings.HasPrefix(rest, " ") {
			continue
		}
		if goesOn := l.reads.goesOn; goesOn != nil && r == '.' && rest != "" && goesOn.MatchString(text[start:i+1]) {
			continue
		}
		next, _ := utf8.DecodeRuneInString(strings.TrimLeft(rest, " \"'(“‘„‚«\u00a0\u202f"))
		if rest == "" || !unicode.IsLower(next) && !unicode.IsDigit(next) {
			add(len(text) - len(rest))
		}
	}
	add(len(text))
	return all
}

// afterClosing gives what stands behind the signs that may close a sentence,
// French quotation marks with their space included.
func afterClosing(text string) string {
	for {
		text = strings.TrimLeft(text, `.!?…"')]“”‘’»`)
		rest := strings.TrimLeft(text, " \u00a0\u202f")
		if !strings.HasPrefix(rest, "»") {
			return text
		}
		text = rest
	}
}
