package language

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// readability is how a language tells how hard a text is to read: by the mean
// number of words in its sentences and of syllables in its words, each times a
// factor, as formulas of the kind of Flesch's have it.
type readability struct {
	base, words, syllables float64
	most, least            float64 // the limit: a grade at most, or an ease at least; both 0 for none
	source                 string
	said                   bool                  // the file says how hard a text is, or that nobody should ask
	count                  func(word string) int // of syllables
	goesOn                 *regexp.Regexp        // what ends no sentence although it ends with a full stop; nil for nothing
}

// counters are ways to count syllables that are no list of vowels.
func counters() map[string]func(string) int {
	return map[string]func(string) int{"english": englishSyllables, "french": frenchSyllables}
}

func readReading(l *Language, t *table) {
	r := readability{said: true, count: oneSyllable}
	if t.truth("none") {
		l.reads = r
		return
	}
	switch way := t.text("syllables"); {
	case way == "vowels":
		r.count = vowelGroups(t.text("vowels"), t.list("together"), t.list("silent"))
	case counters()[way] != nil:
		r.count = counters()[way]
	default:
		t.file.add(t.at+".syllables", fmt.Sprintf("syllables cannot be counted by %q", way), "it is one of: vowels, english, french")
	}
	r.base, _ = t.number("base")
	r.words, _ = t.number("per-word")
	r.syllables, _ = t.number("per-syllable")
	var most, least bool
	r.most, most = t.number("most")
	r.least, least = t.number("least")
	r.source = t.text("source")
	if most == least {
		t.file.add(t.at, "the reading rule has no limit, or two", "write most = 8 for a grade, or least = 60 for an ease")
	}
	if pattern := t.text("goes-on"); pattern != "" {
		r.goesOn = t.pattern("goes-on")
	}
	l.reads = r
}

// Syllables counts those of a word. It gives 0 for what is no word, such as a
// number. A language without a rule for reading counts one in every word.
func (l *Language) Syllables(word string) int { return l.reads.count(word) }

// Hard says what is wrong with a text of so many words, sentences and
// syllables, and what to do, when it is too hard to read.
func (l *Language) Hard(words, sentences, syllables int) (text, hint string) {
	r := l.reads
	switch score := r.score(words, sentences, syllables); {
	case r.most > 0 && score > r.most:
		text = fmt.Sprintf("the panel reads at about grade %.1f, above %g", score, r.most)
	case r.least > 0 && score < r.least:
		text = fmt.Sprintf("the panel's reading ease is about %.0f, below %g", score, r.least)
	default:
		return "", ""
	}
	return text, "use shorter words and sentences (" + r.source + ")"
}

// score is the grade or the ease of a text.
func (r readability) score(words, sentences, syllables int) float64 {
	return r.base + r.words*float64(words)/float64(sentences) + r.syllables*float64(syllables)/float64(words)
}

// oneSyllable counts one in every word.
func oneSyllable(word string) int {
	if strings.ContainsFunc(word, unicode.IsDigit) || !strings.ContainsFunc(word, unicode.IsLetter) {
		return 0
	}
	return 1
}

// vowelGroups counts a syllable for each vowel, but one for vowels that are spoken
// together. Silent letters are left out before.
func vowelGroups(vowels string, together, silent []string) func(word string) int {
	var out []string
	for _, s := range silent {
		out = append(out, s, "-")
	}
	leave := strings.NewReplacer(out...)
	return func(word string) int {
		if oneSyllable(word) == 0 {
			return 0
		}
		rest := leave.Replace(strings.ToLower(word))
		count := 0
		for rest != "" {
			length := 0
			for _, group := range together {
				if len(group) > length && strings.HasPrefix(rest, group) {
					length = len(group)
				}
			}
			if length == 0 {
				r := []rune(rest)[0]
				length = len(string(r))
				if !strings.ContainsRune(vowels, r) {
					rest = rest[length:]
					continue
				}
			}
			count++
			rest = rest[length:]
		}
		return max(count, 1)
	}
}
