// Package language knows what differs between languages: the texts of pages,
// names of months, signs of numbers, units, how a text is hard to read, and
// words by which sentences compare.
//
//	fr := language.Of("fr")
//	fr.Number(-2.5, 1) // "\u22122,5"
//
// A language is a file, languages/TAG.toml. Those in this folder come with the
// program. A house may have more in its lessons folder, and other texts for
// these; Read gives a Set with both.
//
// The package knows no lessons and makes no page. Texts are filled in by
// render/words.
package language

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	textlanguage "golang.org/x/text/language"
)

// Language is how the words of a lesson write numbers and units, what makes
// them hard to read, by which words they compare, and what pages say.
type Language struct {
	Tag  string // of BCP 47, such as "en"
	Name string // what it calls itself

	Decimal  string // sign between a number's whole part and its decimals
	Minus    string // what pages print before a negative number, whatever is written; "" for what is written
	Gap      string // what pages print for an ordinary space between number and unit
	NeedsGap bool   // a unit does not follow its number without a space

	Plain   *regexp.Regexp // a number as a quote may hold it
	Grouped *regexp.Regexp // a number in groups of three digits
	Range   *regexp.Regexp // two numbers with a sign or word between

	Guess   *regexp.Regexp // by which a text says to guess
	Handles *regexp.Regexp // by which a text names what only a screen has, such as a knob to turn

	Dead Dead // what a text must say about it

	code       textlanguage.Tag
	units      []unit // all that may stand behind a number
	agreements []agreement
	compares   comparing
	reads      readability
	counts     bool // the file itself says how numbers are written
	signs      signs

	texts     map[string]Text
	months    []string // twelve, January first
	digest    string
	sentences map[string]string // of the engine, from English
	base      *Language         // has the texts that this one lacks; nil for English
}

// Of gives a language that comes with the program by its tag, and English for
// any other.
func Of(tag string) *Language { return Set{}.Of(tag) }

// Tags lists the languages that come with the program, English first.
func Tags() []string { return Set{}.Tags() }

// Digest stands for all that a language says: its tag where it comes with the
// program, and also that of its file where a house has it.
func (l *Language) Digest() string { return l.digest }

// DecimalName is what the decimal sign is called in messages.
func (l *Language) DecimalName() string {
	switch l.Decimal {
	case ".":
		return "point"
	case ",":
		return "comma"
	}
	return "sign " + l.Decimal
}

// Example says, for messages, what a number looks like.
func (l *Language) Example() string {
	name := l.DecimalName()
	if l.Decimal == "." {
		return "a number such as 0.5 or 12: no comma, no zeros in front, a digit on both sides of the point"
	}
	return "a number such as 0" + l.Decimal + "5 or 12: a " + name + " before decimals, no zeros in front, a digit on both sides of the " + name
}

// Text gives a text of the pages by its key, and the language that it is in,
// which is another one where this has no such text. ok is false for a key that
// there is not.
func (l *Language) Text(key string) (t Text, in *Language, ok bool) {
	for in = l; in != nil; in = in.base {
		if t, ok = in.texts[key]; ok {
			return t, in, true
		}
	}
	return t, l, false
}

// Keys lists the keys of all texts of the pages, sorted.
func (l *Language) Keys() []string {
	var keys []string
	for of := l; of != nil; of = of.base {
		for key := range of.texts {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return slices.Compact(keys)
}

// Month names a month, 1 for January.
func (l *Language) Month(month int) string {
	for len(l.months) == 0 {
		l = l.base
	}
	return l.months[month-1]
}

// Sentence gives what the engine says of constants, parts and equations in this
// language; in English that is said itself. So is what has no translation,
// which a test finds.
func (l *Language) Sentence(said string) string {
	for of := l; of != nil; of = of.base {
		if s, ok := of.sentences[said]; ok {
			return s
		}
	}
	return said
}

// Said lists what the engine says, in English, of which this language has its
// own words.
func (l *Language) Said() []string { return slices.Sorted(maps.Keys(l.sentences)) }

// Dead is how a language says that something is proved dead, and what has to be
// said with it: the tester, the source on which it is tried, and when. So ask
// NFPA 70E, 120.5(7), and the Health and Safety Executive's GS38 (second hand).
type Dead struct {
	How string // an example of it, for messages

	proved *regexp.Regexp
	with   []*regexp.Regexp
}

// Proved gives where a text says that something is proved dead, or nil.
// A language that says nothing of it has none.
func (d Dead) Proved(text string) []int {
	if d.proved == nil {
		return nil
	}
	return d.proved.FindStringIndex(text)
}

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
	return regexp.MustCompile(`^[-\x{2212}]?[0-9]{1,3}(?:[' \x{a0}\x{202f}\x{2009}_` + regexp.QuoteMeta(more) + `][0-9]{3})+`)
}

// rangeForm matches a number, and another behind a sign or one of the words.
func rangeForm(words []string) *regexp.Regexp {
	quoted := ""
	for _, w := range words {
		quoted += regexp.QuoteMeta(w) + "|"
	}
	return regexp.MustCompile(`^[-\x{2212}]?[0-9.,]+ ?(?:\p{L}+ ?)?(?:-|–|—|` + quoted + `\.\.\.?|…|±|\+/-) ?[-\x{2212}]?[0-9]`)
}
