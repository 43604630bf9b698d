package language

import (
	"strings"
	"unicode"
)

// englishSyllables counts a word's syllables by its groups of vowels, less a silent
// e at the end. It gives 0 for what is no word, such as a number. Of the words
// of the CMU Pronouncing Dictionary, it agrees with that on nine in ten.
func englishSyllables(word string) int {
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
