package language

import (
	"regexp"
	"slices"
	"strings"
)

// comparing holds what compares in a language: phrases of small letters, and
// idioms that hold the same words and do not compare. In them "*" stands for
// any word, and behind letters for any end of a word.
type comparing struct {
	phrases, idioms [][]string
	never           []string       // words that "*" does not stand for
	request         *regexp.Regexp // what a sentence begins with that asks to do something
}

// phrasesIn reads phrases, one a line, or several with commas between them.
func phrasesIn(text string) [][]string {
	var list [][]string
	for _, phrase := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' }) {
		if words := strings.Fields(phrase); len(words) > 0 {
			list = append(list, words)
		}
	}
	return list
}

var aWord = regexp.MustCompile(`[\pL\pN]+`)

// Comparisons finds what compares in a sentence, and gives where each begins and ends.
// Of all that begins at one word the longest counts, and an idiom before what
// is as long. What asks to do something states nothing, as in "Turn the knob to
// ring more bells".
func (l *Language) Comparisons(sentence string) [][2]int { return l.compares.in(sentence) }

func (l *comparing) in(sentence string) [][2]int {
	if l.phrases == nil {
		return nil // the language has no such words
	}
	asked := len(l.request.FindString(sentence))
	at := aWord.FindAllStringIndex(sentence[asked:], -1)
	words := make([]string, len(at))
	for i, w := range at {
		w[0], w[1] = w[0]+asked, w[1]+asked
		words[i] = strings.ToLower(sentence[w[0]:w[1]])
	}
	var found [][2]int
	for i := 0; i < len(words); i++ {
		idiom, phrase := l.longest(l.idioms, words[i:]), l.longest(l.phrases, words[i:])
		if phrase > idiom {
			found = append(found, [2]int{at[i][0], at[i+phrase-1][1]})
		}
		i += max(idiom, phrase, 1) - 1
	}
	return found
}

// longest gives the number of words of the longest phrase with which the words
// begin, or 0.
func (l *comparing) longest(phrases [][]string, words []string) int {
	most := 0
	for _, p := range phrases {
		if len(p) > most && len(p) <= len(words) && slices.EqualFunc(p, words[:len(p)], l.stands) {
			most = len(p)
		}
	}
	return most
}

// stands says whether a word of a phrase stands for a word of a sentence.
func (l *comparing) stands(in, word string) bool {
	if in == "*" {
		return !slices.Contains(l.never, word)
	}
	start, open := strings.CutSuffix(in, "*")
	return word == start || open && strings.HasPrefix(word, start)
}
