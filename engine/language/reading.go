package language

import (
	"fmt"
	"strings"
	"unicode"
)

// Limits of how hard a text may be to read, and where they come from.
const (
	highestGrade = 8
	lowestEase   = 60

	kincaid = "formula of Kincaid et al. 1975; grade 8 after Serrell, Exhibit Labels, 2nd ed."
	kandel  = "formula of Kandel and Moles 1958; 60 is where Flesch's plain style for grades 8 and 9 begins"
)

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

// hardFrench says what is wrong with a text below the lowest ease.
//
// The limit is that of the English rule in other numbers: Flesch, How to Write
// Plain English (1979), calls 60 to 70 plain, for readers of the eighth and
// ninth grades, and the formula for French was made to keep his scale (from
// memory).
func hardFrench(words, sentences, syllables int) (text, hint string) {
	if ease := readingEase(words, sentences, syllables); ease < lowestEase {
		return fmt.Sprintf("the panel's reading ease is about %.0f, below %d", ease, lowestEase), "use shorter words and sentences (" + kandel + ")"
	}
	return "", ""
}

// readingEase is Flesch's reading ease, 100 for easy and 0 for very hard, with
// the coefficients for French of Kandel and Moles (1958, Application de
// l'indice de Flesch à la langue française, Cahiers d'études de
// radio-télévision 19, 253-274). The paper itself could not be read; the
// formula is as later works quote it.
func readingEase(words, sentences, syllables int) float64 {
	return 207 - 1.015*float64(words)/float64(sentences) - 73.6*float64(syllables)/float64(words)
}
