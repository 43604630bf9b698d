// Package words fills in the texts of the pages that are not the lessons' own:
// what stands on buttons, above tables and below figures, in each language.
//
//	w, err := words.In("fr")
//	w.Text("course.minutes", "n", 15)     // 15 minutes
//	w.Date("2026-11-25")                  // 25 novembre 2026
//	w.Number(16.6407, 2)                  // 16,64
//
// The texts stand in the files of package language. A text is found by its key, a section
// and a name, and may hold places to fill, {name}, and words to mark,
// <name>...</name>. A text that depends on a count has a form for each plural
// category of its language; the count is called n.
//
// The package knows no lesson and makes no page. Lessons are translated in
// their own folders.
package words

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"
	"time"

	textlanguage "golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"slipring/engine/language"
)

// Words are the texts of one language.
type Words struct{ language *language.Language }

// In gives the texts of a language that comes with the program.
func In(tag string) (*Words, error) {
	l, ok := language.Set{}.Find(tag)
	if !ok {
		return nil, fmt.Errorf("there are no texts in the language %q", tag)
	}
	return Of(l), nil
}

// Of gives the texts of a language.
func Of(l *language.Language) *Words { return &Words{l} }

// Language is the tag of the language, for lang attributes.
func (w *Words) Language() string { return w.language.Tag }

// Digest stands for all texts: what is made with the same texts may be kept.
func (w *Words) Digest() string { return w.language.Digest() }

// Name is what the language calls itself, such as "français".
func (w *Words) Name() string { return w.language.Name }

// Keys lists the keys of all texts, sorted.
func (w *Words) Keys() []string { return w.language.Keys() }

// Only says that something is in another language only, by its name in this one
// (Unicode CLDR).
func (w *Words) Only(tag string) string {
	name := tag
	_, in, _ := w.language.Text("site.only")
	if code, err := textlanguage.Parse(tag); err == nil {
		names := display.Languages(textlanguage.MustParse(in.Tag))
		if names == nil {
			names = display.Languages(textlanguage.English)
		}
		if s := names.Name(code); s != "" {
			name = s
		}
	}
	return w.Text("site.only", "language", name)
}

// Text gives a text with its places filled. What fills them follows as pairs
// of name and value; a value is a string or an int. Marks are left out.
//
// A key that does not exist, and values that do not fit the text, are mistakes
// in the program, for which Text panics.
func (w *Words) Text(key string, fill ...any) string {
	var b strings.Builder
	for _, p := range w.parts(key, fill) {
		if p.Kind != language.Mark {
			b.WriteString(p.value)
		}
	}
	return b.String()
}

// HTML is Text for a page: what it writes is escaped. A value may also be HTML,
// or, for the words that a text marks, a Mark. All marks of the text have to be
// given.
func (w *Words) HTML(key string, fill ...any) template.HTML {
	var b strings.Builder
	for _, p := range w.parts(key, fill) {
		switch {
		case p.safe:
			b.WriteString(p.value)
		case p.Kind == language.Mark:
			panic(fmt.Sprintf("words: nothing marks <%s> in %q", p.Name, key))
		default:
			b.WriteString(template.HTMLEscapeString(p.value))
		}
	}
	return template.HTML(b.String())
}

// Constant gives what package machine says about a constant of a card, or the
// engine about a part and its equations, in this language.
func (w *Words) Constant(doc string) string { return w.language.Sentence(doc) }

// Part names a part of a machine card in this language. A part that the texts
// have no word for has its own name, so that it is on the page all the same; a
// test finds those that package machine knows.
func (w *Words) Part(name string) string {
	if _, _, ok := w.language.Text("part." + name); ok {
		return w.Text("part." + name)
	}
	return strings.ReplaceAll(name, "-", " ")
}

// Number writes x as the language does, with fixed decimals, as a quote of
// package language prints it.
func (w *Words) Number(x float64, decimals int) string { return w.language.Number(x, decimals) }

// Decimal is the sign between a number's whole part and its decimals.
func (w *Words) Decimal() string {
	return w.language.Decimal
}

// Localize writes a number that is in Go's form, such as -0.25 or 1e-07, with
// the language's decimal sign and U+2212 for a minus.
func (w *Words) Localize(number string) string {
	return strings.NewReplacer(".", w.Decimal(), "-", "\u2212").Replace(number)
}

// Date writes a date of the form 2026-11-25 in words. What is no such date is
// given back as it is.
func (w *Words) Date(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	day := strconv.Itoa(t.Day())
	if t.Day() == 1 {
		day = w.Text("date.first")
	}
	return w.Text("date.full", "day", day, "month", w.language.Month(int(t.Month())), "year", t.Year())
}

// Month writes a month of the form 2026-11 in words.
func (w *Words) Month(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return w.Text("date.month", "month", w.language.Month(int(t.Month())), "year", t.Year())
}
