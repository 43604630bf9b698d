package proof

import (
	"math/big"
	"regexp"
)

// language is how the words of a lesson write numbers and units, and what makes
// them hard to read.
type language struct {
	decimal     string // sign between a number's whole part and its decimals
	decimalName string // what this sign is called in messages
	minus       string // what pages print before a negative number, whatever is written; "" for what is written
	gap         string // what pages print for an ordinary space between number and unit
	needsGap    bool   // a unit does not follow its number without a space

	example string         // for messages: what a number looks like
	plain   *regexp.Regexp // a number as a quote may hold it
	grouped *regexp.Regexp // a number in groups of three digits
	units   []unit         // all that may stand behind a number

	syllables func(word string) int // 0 for what is no word, such as a number

	// hard says what is wrong with a text of so many words, sentences and
	// syllables, and what to do, when it is too hard to read.
	hard func(words, sentences, syllables int) (text, hint string)

	compares *comparing // words by which sentences compare

	dead dead // what a text about it must say

	// agree gives a unit in the singular or plural, as a number asks for.
	agree func(unit string, n number) string
}

// languageOf gives the language of a lesson. package lesson lists those that
// there are.
func languageOf(tag string) *language {
	if tag == "fr" {
		return &french
	}
	return &english
}

// plainForm matches a number that a quote may hold: no exponent, no sign but a
// minus, no zeros in front, a digit on both sides of the decimal sign.
func plainForm(decimal string) *regexp.Regexp {
	return regexp.MustCompile(`^([-\x{2212}]?)((?:0|[1-9][0-9]*)(?:` + regexp.QuoteMeta(decimal) + `([0-9]+))?)`)
}

// groupedForm matches a number with signs between groups of three digits.
func groupedForm(more string) *regexp.Regexp {
	return regexp.MustCompile(`^[-\x{2212}]?[0-9]{1,3}(?:[' \x{a0}\x{202f}\x{2009}_` + more + `][0-9]{3})+`)
}

// Number writes x with fixed decimals as the language does, rounded as a quote
// is: correctly from the exact binary value, zero without a sign, U+2212 before
// a negative number, no thousands signs. What is not finite is written as Go
// writes it.
func Number(tag string, x float64, decimals int) string {
	n := number{sign: minus, decimals: max(decimals, 0), language: languageOf(tag)}
	return n.inForm(x, big.NewRat(1, 1)).String()
}
