package proof

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/lesson"
)

// Limits of a panel's text, and where they come from.
const (
	mostWords         = 75
	mostSentenceWords = 25
	highestGrade      = 8

	smithsonian = "Smithsonian Guidelines for Accessible Exhibition Design, section B"
	kincaid     = "formula of Kincaid et al. 1975; grade 8 after Serrell, Exhibit Labels, 2nd ed."
)

// panels checks each visitor panel against the label rules.
func (c *checker) panels() {
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind == lesson.VisitorPanel {
			c.panel(n)
		}
		return n.Kind == lesson.Document
	})
}

func (c *checker) panel(panel *lesson.Node) {
	var total, sentences, readable, syllableCount, pictures, sounds int
	panel.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Embed:
			if lesson.EmbedKindOf(n.EmbedKind).Heard {
				if sounds++; sounds == 2 {
					c.say(n.Offset, rulePictures, "a panel has room for one sound beside its figure", "make a second panel for this one")
				}
				return false
			}
			pictures++
			if pictures == 2 {
				c.say(n.Offset, rulePictures, "a panel has room for one figure, table or motion", "make a second panel for this one")
			}
			return false
		case lesson.Heading, lesson.Paragraph:
		default:
			return true
		}
		var f flat
		for _, child := range n.Children {
			c.printed(child, &f)
		}
		text := f.String()
		for _, span := range splitSentences(text) {
			s := text[span[0]:span[1]]
			count := 0
			for _, w := range strings.Fields(s) {
				if !strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
					continue
				}
				count++
				if k := c.language.syllables(w); k > 0 && n.Kind == lesson.Paragraph {
					readable++
					syllableCount += k
				}
			}
			total += count
			if n.Kind == lesson.Paragraph && count > 0 {
				sentences++
			}
			if count > mostSentenceWords {
				c.say(f.offset(span[0]), ruleSentence, fmt.Sprintf("a sentence of this panel has %d words, more than %d: %q", count, mostSentenceWords, clip(s)),
					"make two sentences of it ("+smithsonian+")")
			}
		}
		return false
	})
	if total > mostWords {
		c.say(panel.Offset, ruleWords, fmt.Sprintf("the panel has %d words, more than %d", total, mostWords),
			"shorten it, or make two panels of it ("+smithsonian+")")
	}
	if readable >= 20 && sentences > 0 {
		if text, hint := c.language.hard(readable, sentences, syllableCount); text != "" {
			c.say(panel.Offset, ruleGrade, text, hint)
		}
	}
}

// printed collects a block's text as a page prints it.
func (c *checker) printed(n *lesson.Node, f *flat) {
	if text, ok := c.report.Printed[n]; ok {
		f.add(n, text)
		return
	}
	switch n.Kind {
	case lesson.Text, lesson.CodeSpan, lesson.RawHTML:
		f.add(n, n.Text)
	case lesson.SoftBreak, lesson.HardBreak:
		f.add(n, " ")
	}
	for _, child := range n.Children {
		c.printed(child, f)
	}
}

// splitSentences splits at full stops, question and exclamation marks before
// a space, and gives where each sentence begins and ends. What goes on with a
// small letter or a digit is the same sentence, as in "e.g. this" and "No. 4".
func splitSentences(text string) [][2]int {
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
		next, _ := utf8.DecodeRuneInString(strings.TrimLeft(rest, " \"'(“‘«\u00a0\u202f"))
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
		text = strings.TrimLeft(text, `.!?…"')]”’»`)
		rest := strings.TrimLeft(text, " \u00a0\u202f")
		if !strings.HasPrefix(rest, "»") {
			return text
		}
		text = rest
	}
}

// hardEnglish says what is wrong with a text above the highest grade.
func hardEnglish(words, sentences, syllables int) (text, hint string) {
	if grade := readingGrade(words, sentences, syllables); grade > highestGrade {
		return fmt.Sprintf("the panel reads at about grade %.1f, above %d", grade, highestGrade), "use shorter words and sentences (" + kincaid + ")"
	}
	return "", ""
}

// readingGrade is the Flesch-Kincaid grade level, years of school in the
// United States (Kincaid, Fishburne, Rogers and Chissom 1975, Derivation of
// new readability formulas for Navy enlisted personnel).
func readingGrade(words, sentences, syllables int) float64 {
	return 0.39*float64(words)/float64(sentences) + 11.8*float64(syllables)/float64(words) - 15.59
}

// syllables counts a word's syllables by its groups of vowels, less a silent
// e at the end. It gives 0 for what is no word, such as a number. Of the words
// of the CMU Pronouncing Dictionary, it agrees with that on nine in ten.
func syllables(word string) int {
	var letters []rune
	for _, r := range strings.ToLower(word) {
		switch {
		case unicode.IsLetter(r):
			letters = append(letters, r)
		case unicode.IsDigit(r):
			return 0
		}
	}
	if len(letters) == 0 {
		return 0
	}
	vowel := func(i int) bool {
		return i >= 0 && i < len(letters) && strings.ContainsRune("aeiouyàâäéèêëïîôöùûüæœ", letters[i])
	}
	count := 0
	for i := range letters {
		if vowel(i) && !vowel(i-1) {
			count++
		}
	}
	s := string(letters)
	last := len(letters) - 1
	for i := 2; i <= last; i++ {
		// two vowels that are spoken apart, as in radius, but not in motion
		if letters[i-1] == 'i' && strings.ContainsRune("aou", letters[i]) && !vowel(i-2) && !strings.ContainsRune("cgstx", letters[i-2]) {
			count++
		}
	}
	switch {
	case strings.HasSuffix(s, "le") && !vowel(last-2), strings.HasSuffix(s, "ee"), len(letters) < 3:
	case strings.HasSuffix(s, "e") && !vowel(last-1):
		count--
	case strings.HasSuffix(s, "es") && !vowel(last-2) && !strings.ContainsRune("scxzg", letters[last-2]) && !strings.HasSuffix(s, "shes") && !strings.HasSuffix(s, "ches") && !strings.HasSuffix(s, "les"),
		strings.HasSuffix(s, "ed") && !vowel(last-2) && letters[last-2] != 't' && letters[last-2] != 'd':
		count--
	}
	return max(count, 1)
}

func clip(s string) string {
	const longest = 60
	if len(s) <= longest {
		return s
	}
	cut := strings.LastIndexByte(s[:longest], ' ')
	if cut < 0 {
		cut = longest
		for !utf8.RuneStart(s[cut]) {
			cut--
		}
	}
	return s[:cut] + " ..."
}
