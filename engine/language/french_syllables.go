package language

import (
	"slices"
	"strings"
	"unicode"
)

// frenchSyllables counts a word's syllables as it is read aloud with care: no
// mute e at its end, nor within it where three consonants would not meet. As
// Flesch has it for contractions, an elided word and the next count as one
// word. It gives 0 for what is no word, such as a number.
func frenchSyllables(word string) int {
	if strings.ContainsFunc(word, unicode.IsDigit) {
		return 0
	}
	parts := strings.FieldsFunc(strings.ToLower(word), func(r rune) bool { return !unicode.IsLetter(r) })
	if len(parts) == 0 {
		return 0
	}
	count := 0
	for _, p := range parts {
		count += frenchPart([]rune(silentU.Replace(p)))
	}
	return max(count, 1)
}

// silentU takes out the u that only keeps a consonant hard.
var silentU = strings.NewReplacer("qu", "k", "gue", "ge", "gué", "gé", "guè", "gè", "guê", "gê", "gui", "gi", "guy", "gy")

const frenchVowels = "aàâäeéèêëiîïoôöuùûüyœæ"

func frenchVowel(r rune) bool { return strings.ContainsRune(frenchVowels, r) }

func frenchPart(letters []rune) int {
	whole := letters
	letters = letters[:len(letters)-muteEnd(string(letters))]
	at := func(i int) rune {
		if i < 0 || i >= len(letters) {
			return ' '
		}
		return letters[i]
	}
	// A y between vowels is a consonant, and so is one at the beginning.
	vowel := func(i int) bool {
		r := at(i)
		if r == 'y' && frenchVowel(at(i+1)) && (i == 0 || frenchVowel(at(i-1))) {
			return false
		}
		return frenchVowel(r)
	}
	count, first := 0, 0 // first letter of the vowels that stand together
	for i := range letters {
		switch {
		case !vowel(i):
		case !vowel(i - 1):
			first = i
			if !(count > 0 && mutedWithin(letters, i, whole)) {
				count++
			}
		case spokenApart(letters, first, i):
			first = i
			count++
		}
	}
	if strings.HasPrefix(string(whole), "pays") {
		count++ // pay-i
	}
	return count
}

// muteEnd gives the number of letters at a word's end that are not spoken.
func muteEnd(word string) int {
	for _, end := range [...]string{"ent", "es", "e"} {
		rest, ok := strings.CutSuffix(word, end)
		if !ok {
			continue
		}
		if end == "ent" && spokenEnt(word) || !strings.ContainsFunc(rest, frenchVowel) {
			continue
		}
		return len([]rune(end))
	}
	return 0
}

// words in -ent that are no verbs in the plural, of which -ent is mute; those in
// -ment are not listed
var nounsInEnt = strings.Fields(`absent accident adjacent agent antécédent apparent ardent argent arpent auvent avent cent client
	coefficient cohérent compétent content continent convent couvent dent différent divergent convergent efficient équivalent
	éminent évident excédent excellent fréquent gradient imminent impatient incident indifférent ingrédient inhérent innocent
	insolent intelligent intermittent lent opulent orient paravent parent patient permanent pertinent présent président
	prudent quotient récent récipient résident serpent silent souvent talent transparent turbulent urgent vent violent`)

// verbs in -ment
var verbsInMent = strings.Fields(`affirment aiment allument animent arment blâment calment charment confirment consomment consument
	déforment dorment enferment estiment expriment ferment filment forment fument impriment informent nomment priment raniment
	résument suppriment transforment`)

// spokenEnt says whether the end of a word in -ent is spoken.
func spokenEnt(word string) bool {
	if strings.HasSuffix(word, "ment") {
		return !slices.Contains(verbsInMent, word)
	}
	return slices.Contains(nounsInEnt, word)
}

// mutedWithin says whether the letter at i is an e within a word that careful
// speech leaves out: after one consonant and before one (samedi, lentement),
// but not after two (appartement).
func mutedWithin(letters []rune, i int, whole []rune) bool {
	if letters[i] != 'e' || i+1 < len(letters) && frenchVowel(letters[i+1]) {
		return false
	}
	from := i
	for from > 0 && !frenchVowel(letters[from-1]) {
		from--
	}
	before := consonants(letters[from:i])
	if len(before) > 1 && (before[0] == 'n' || before[0] == 'm') {
		before = before[1:] // of the vowel, which is nasal
	}
	to := i + 1
	for to < len(whole) && !frenchVowel(whole[to]) {
		to++
	}
	after := whole[i+1 : to]
	if to == len(whole) {
		return false
	}
	if end := string(whole[i+1:]); end == "rions" || end == "riez" {
		return false // nous voterions
	}
	return len(before) == 1 && len(after) > 0 && (len(after) == 1 || len(consonants(after)) == 1 && after[0] != after[1])
}

// consonants writes each sound with one letter.
func consonants(letters []rune) []rune {
	s := strings.NewReplacer("ch", "c", "ph", "f", "th", "t", "gn", "g").Replace(string(letters))
	return slices.Compact([]rune(s))
}

// spokenApart says whether the vowel at i begins a new syllable although a
// vowel stands before it; first is where these vowels begin.
func spokenApart(letters []rune, first, i int) bool {
	r, before := letters[i], letters[i-1]
	pair := string(letters[i-1 : i+1])
	switch {
	case strings.ContainsRune("ïüë", r):
		return true
	case before == 'é':
		return true
	case pair == "ao" && i+1 < len(letters) && letters[i+1] == 'û': // août
		return false
	case slices.Contains([]string{"aî", "oî", "uî", "oû", "aû", "eû", "oê", "ui"}, pair):
		return false
	case r == 'i' && i+1 < len(letters) && letters[i+1] == 'l': // travail, brouillard
		return false
	case slices.Contains([]string{"ao", "aé", "aè", "aâ", "oa", "oé", "oè", "oo", "ii"}, pair):
		return pair != "oo" || first > 0 && letters[first-1] == 'c' && i == 2
	}
	// i, u or ou before another vowel is spoken with it, but not after two
	// consonants of which the second is l or r: pied, but ou-vri-er.
	glide := i-1 == first && strings.ContainsRune("iu", before) || i-2 == first && string(letters[first:i]) == "ou"
	if !glide || pair == "eu" || pair == "au" || pair == "ou" {
		return false
	}
	return first >= 2 && strings.ContainsRune("lr", letters[first-1]) && !frenchVowel(letters[first-2]) && letters[first-2] != letters[first-1]
}
