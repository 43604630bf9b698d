package language

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"

	"slipring/engine/diag"
)

// signs are quotation marks, and the spaces that stand before some signs.
type signs struct {
	quotes []string
	before map[string]string // the spaces of which one stands before a sign
}

// table is a table of the rules, of which each key is taken once.
type table struct {
	file  *file
	at    string
	keys  map[string]any
	known []string
}

// rules reads what differs between languages besides words. What the file does
// not say is as in its base, but for what depends on the words of a language:
// that is then not looked at.
func (f *file) rules(l *Language, value any) {
	if b := l.base; b != nil {
		l.Decimal, l.Minus, l.Gap, l.NeedsGap = b.Decimal, b.Minus, b.Gap, b.NeedsGap
		l.Plain, l.Grouped, l.Range, l.units = b.Plain, b.Grouped, b.Range, b.units
		l.Guess, l.Handles, l.reads.count = never, never, oneSyllable
		if b.Tag == l.Tag {
			l.Guess, l.Handles, l.Dead, l.agreements, l.compares, l.reads, l.signs = b.Guess, b.Handles, b.Dead, b.agreements, b.compares, b.reads, b.signs
			l.Name = b.Name
		}
	}
	if value == nil {
		if l.base == nil || l.base.Tag != l.Tag {
			f.add("", "the file does not say how the language is called", "write [language] and below it name = \"...\", as it calls itself")
		}
		return
	}
	top := f.table(ofRules, value)
	if name := top.text("name"); name != "" {
		l.Name = name
	}
	for _, part := range [...]struct {
		name string
		read func(*Language, *table)
	}{{"numbers", readNumbers}, {"units", readUnits}, {"signs", readSigns}, {"reading", readReading}, {"comparing", readComparing}, {"asking", readAsking}, {"dead", readDead}} {
		if value, ok := top.take(part.name); ok {
			t := f.table(ofRules+"."+part.name, value)
			part.read(l, t)
			t.done()
		}
	}
	top.done()
}

func (f *file) table(at string, value any) *table {
	keys, ok := value.(map[string]any)
	if !ok {
		f.add(at, fmt.Sprintf("%s is no table", at), fmt.Sprintf("write it as a heading: [%s]", at))
	}
	return &table{file: f, at: at, keys: keys}
}

// take gives the value of a key.
func (t *table) take(key string) (any, bool) {
	t.known = append(t.known, key)
	value, ok := t.keys[key]
	return value, ok
}

// done reports keys that nobody has taken.
func (t *table) done() {
	for _, key := range slices.Sorted(maps.Keys(t.keys)) {
		if !slices.Contains(t.known, key) {
			hint := "it holds: " + strings.Join(t.known, ", ")
			if near := diag.Nearest(key, t.known); near != "" {
				hint = fmt.Sprintf("did you mean %s?", near)
			}
			t.file.add(t.at+"."+key, fmt.Sprintf("unknown key %q in %s", key, t.at), hint)
		}
	}
}

func (t *table) bad(key, what string) {
	t.file.add(t.at+"."+key, fmt.Sprintf("%s.%s is not %s", t.at, key, what), "write it as the files that come with the program have it")
}

func (t *table) text(key string) string {
	value, ok := t.take(key)
	s, is := value.(string)
	if ok && !is {
		t.bad(key, "a text in quotes")
	}
	return s
}

func (t *table) truth(key string) bool {
	value, ok := t.take(key)
	b, is := value.(bool)
	if ok && !is {
		t.bad(key, "true or false")
	}
	return b
}

func (t *table) number(key string) (x float64, ok bool) {
	value, ok := t.take(key)
	switch v := value.(type) {
	case float64:
		return v, true
	case int64:
		return float64(v), true
	}
	if ok {
		t.bad(key, "a number")
	}
	return 0, false
}

func (t *table) list(key string) (words []string) {
	value, ok := t.take(key)
	items, is := value.([]any)
	for _, v := range items {
		s, text := v.(string)
		is = is && text
		words = append(words, s)
	}
	if ok && !is {
		t.bad(key, "a list of texts in quotes")
	}
	return words
}

// pattern reads a regular expression. Go's take a time that grows with the text
// alone, so that none can be made to hang.
func (t *table) pattern(key string) *regexp.Regexp {
	text := t.text(key)
	if text == "" {
		return never
	}
	p, err := regexp.Compile(text)
	if err != nil {
		t.file.add(t.at+"."+key, fmt.Sprintf("%s.%s is no regular expression: %v", t.at, key, err), "write it as Go has them (RE2 syntax), between single quotes")
		return never
	}
	return p
}

// never matches nothing.
var never = regexp.MustCompile(`[^\s\S]`)

func readNumbers(l *Language, t *table) {
	if decimal := t.text("decimal"); decimal != "" {
		l.Decimal = decimal
	}
	groups := t.text("groups")
	l.Plain, l.Grouped, l.Range = plainForm(l.Decimal), groupedForm(groups), rangeForm(t.list("ranges"))
	l.counts = true
	l.Minus, l.NeedsGap = t.text("minus"), t.truth("needs-gap")
	if gap := t.text("gap"); gap != "" {
		l.Gap = gap
	}
	if l.Decimal == groups || strings.ContainsAny(l.Decimal, "0123456789") {
		t.file.add(t.at+".decimal", fmt.Sprintf("%q cannot be the decimal sign", l.Decimal), "write the sign between a number's whole part and its decimals; groups is another one")
	}
}

// readUnits reads units in words: each is so many, or a part, of one in the table of
// symbols, or a turn.
func readUnits(l *Language, t *table) {
	value, _ := t.take("words")
	items, _ := value.([]any)
	l.units, l.agreements = slices.Clone(symbols[:]), nil
	for i, item := range items {
		at := fmt.Sprintf("%s.words[%d]", t.at, i)
		one := t.file.table(at, item)
		of := one.text("of")
		base, known := findUnit(symbols[:], of)
		if of == "turn" {
			base, known = unit{"turn", "turn", 1, 1}, true
		}
		if !known {
			t.file.add(at, fmt.Sprintf("there is no unit %q", of), "name one by its sign, such as V, mA or s, or turn")
			continue
		}
		if part, ok := one.number("part"); ok {
			if part != float64(int64(part)) || part < 1 || part > 1e6 {
				one.bad("part", "a whole number from 1 on")
				continue
			}
			base.den *= int64(part)
		}
		words := one.list("words")
		agree := agreement{}
		for _, form := range formNames {
			if word := one.text(form.name); word != "" {
				agree[form.form] = word
				words = append(words, word)
			}
		}
		one.done()
		if len(agree) > 0 {
			if agree[plural.Other] == "" {
				t.file.add(at, fmt.Sprintf("the unit %q lacks the form other", of), "write the word that stands behind most numbers")
				continue
			}
			l.agreements = append(l.agreements, agree)
		}
		for _, word := range words {
			if _, had := findUnit(l.units, word); !had {
				l.units = append(l.units, unit{word, base.quantity, base.num, base.den})
			}
		}
	}
}

func readSigns(l *Language, t *table) {
	l.signs = signs{quotes: t.list("quotes"), before: map[string]string{}}
	if value, ok := t.take("before"); ok {
		before := t.file.table(t.at+".before", value)
		for sign := range before.keys {
			l.signs.before[sign] = before.text(sign)
		}
	}
}

func readComparing(l *Language, t *table) {
	l.compares = comparing{phrases: phrasesIn(t.text("phrases")), idioms: phrasesIn(t.text("idioms")), never: t.list("never"), request: t.pattern("request")}
}

func readAsking(l *Language, t *table) {
	l.Guess, l.Handles = t.pattern("guess"), t.pattern("handles")
}

func readDead(l *Language, t *table) {
	l.Dead = Dead{How: t.text("how"), proved: t.pattern("proved")}
	for _, text := range t.list("with") {
		p, err := regexp.Compile(text)
		if err != nil {
			t.file.add(t.at+".with", fmt.Sprintf("%s.with has no regular expression %q: %v", t.at, text, err), "write it as Go has them (RE2 syntax), between single quotes")
			continue
		}
		l.Dead.with = append(l.Dead.with, p)
	}
}
