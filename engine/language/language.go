// Package language knows what differs between the languages that lessons are
// written in: signs of numbers, units, syllables, and words by which sentences
// compare. Each language is one file, and one entry in All.
//
//	fr := language.Of("fr")
//	fr.Number(-2.5, 1) // "\u22122,5"
//
// It knows no lessons, and no texts of pages; those are in render/words.
package language

import (
	"regexp"
	"slices"
	"strings"
)

// Language is how the words of a lesson write numbers and units, what makes
// them hard to read, and by which words they compare.
type Language struct {
	Tag  string // of BCP 47, such as "en"
	Name string // what it calls itself

	Decimal     string // sign between a number's whole part and its decimals
	DecimalName string // what this sign is called in messages
	Minus       string // what pages print before a negative number, whatever is written; "" for what is written
	Gap         string // what pages print for an ordinary space between number and unit
	NeedsGap    bool   // a unit does not follow its number without a space

	Example string         // for messages: what a number looks like
	Plain   *regexp.Regexp // a number as a quote may hold it
	Grouped *regexp.Regexp // a number in groups of three digits

	// Syllables counts those of a word. It gives 0 for what is no word, such as
	// a number.
	Syllables func(word string) int

	// Hard says what is wrong with a text of so many words, sentences and
	// syllables, and what to do, when it is too hard to read.
	Hard func(words, sentences, syllables int) (text, hint string)

	// Agree gives a unit in the singular or plural, as a number asks for.
	Agree func(unit string, n Number) string

	Guess   *regexp.Regexp // by which a text says to guess
	Handles *regexp.Regexp // by which a text names what only a screen has, such as a knob to turn

	Dead Dead // what a text must say about it

	units    []unit // all that may stand behind a number
	compares *comparing
}

// All lists the languages that a lesson may be written in, English first.
func All() []*Language { return []*Language{&english, &french} }

// Of gives a language by its tag, and English for one that is not in All.
func Of(tag string) *Language {
	for _, l := range All() {
		if l.Tag == tag {
			return l
		}
	}
	return &english
}

// Tags lists the tags of All.
func Tags() []string {
	var tags []string
	for _, l := range All() {
		tags = append(tags, l.Tag)
	}
	return tags
}

// Name gives what a language calls itself, such as "français" for "fr", and
// the tag itself for one that is not in All.
func Name(tag string) string {
	if l := Of(tag); l.Tag == tag {
		return l.Name
	}
	return tag
}

// Dead is how a language says that something is proved dead, and what has to be
// said with it: the tester, the source on which it is tried, and when. So ask
// NFPA 70E, 120.5(7), and the Health and Safety Executive's GS38 (second hand).
type Dead struct {
	How string // an example of it, for messages

	proved *regexp.Regexp
	with   []*regexp.Regexp
}

// Proved gives where a text says that something is proved dead, or nil.
func (d Dead) Proved(text string) []int { return d.proved.FindStringIndex(text) }

// Missing gives where a text says that something is proved dead, if it does not
// say how.
func (d Dead) Missing(text string) []int {
	at := d.Proved(text)
	if at != nil && slices.ContainsFunc(d.with, func(r *regexp.Regexp) bool { return !r.MatchString(text) }) {
		return at
	}
	return nil
}

// Said gives the phrases by which a text says how something is proved dead. In
// Missing they stand for the whole text, however long it is.
func (d Dead) Said(text string) string {
	var phrases []string
	for _, r := range d.with {
		phrases = append(phrases, r.FindString(text))
	}
	return strings.Join(phrases, "\n")
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
