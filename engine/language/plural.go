package language

import (
	"maps"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"
)

// formNames are the plural categories of the Unicode CLDR, in its order.
var formNames = [...]struct {
	name string
	form plural.Form
}{{"zero", plural.Zero}, {"one", plural.One}, {"two", plural.Two}, {"few", plural.Few}, {"many", plural.Many}, {"other", plural.Other}}

func formOf(name string) (plural.Form, bool) {
	for _, f := range formNames {
		if f.name == name {
			return f.form, true
		}
	}
	return 0, false
}

func nameOf(form plural.Form) string {
	for _, f := range formNames {
		if f.form == form {
			return f.name
		}
	}
	return ""
}

// forms lists the plural categories that a language has (CLDR, cardinals): those
// of the counts below 2000, which pages may ask for, and all, with those of a million and
// of decimals.
func forms(tag textlanguage.Tag) (counted, all []string) {
	used := map[plural.Form]bool{plural.Other: true} // which stands in for what is missing
	for n := range 2000 {
		used[plural.Cardinal.MatchPlural(tag, n, 0, 0, 0, 0)] = true
	}
	names := func() (list []string) {
		for _, f := range formNames {
			if used[f.form] {
				list = append(list, f.name)
			}
		}
		return list
	}
	counted = names()
	used[plural.Cardinal.MatchPlural(tag, 1000000, 0, 0, 0, 0)] = true
	for n := range 100 {
		for tenths := range 10 {
			used[plural.Cardinal.MatchPlural(tag, n, 1, min(tenths, 1), tenths, tenths)] = true
		}
	}
	return counted, names()
}

// agreement is a unit in words, by plural category.
type agreement map[plural.Form]string

// Agree gives a unit in words in the form that a number asks for (plural rules
// of CLDR): in French 0,7 tour, 1,9 tour, 2,0 tours. A unit whose language has
// no forms for it stays as its author wrote it.
func (l *Language) Agree(unit string, n Number) string {
	for _, words := range l.agreements {
		if !slices.Contains(slices.Collect(maps.Values(words)), unit) {
			continue
		}
		if s, ok := words[l.formOf(n)]; ok {
			return s
		}
		return words[plural.Other]
	}
	return unit
}

// formOf gives the plural category of a number as it is written.
func (l *Language) formOf(n Number) plural.Form {
	whole, part, _ := strings.Cut(n.Digits, ".")
	short := strings.TrimRight(part, "0")
	return plural.Cardinal.MatchPlural(l.code, lastDigits(whole), len(part), len(short), lastDigits(part), lastDigits(short))
}

// lastDigits reads the last seven digits, which is all that plural rules look at.
func lastDigits(digits string) int {
	n := 0
	for _, r := range digits[max(0, len(digits)-7):] {
		if r >= '0' && r <= '9' {
			n = 10*n + int(r-'0')
		}
	}
	if len(digits) > 7 {
		n += 10_000_000 // it is none of the small numbers
	}
	return n
}

// FormOf gives the plural category of a count.
func (l *Language) FormOf(n int) plural.Form {
	return plural.Cardinal.MatchPlural(l.code, n, 0, 0, 0, 0)
}
