// Package words holds the texts of the pages that are not the lessons' own:
// what stands on buttons, above tables and below figures, in each language.
//
//	w, err := words.In("fr")
//	w.Text("course.minutes", "n", 15)     // 15 minutes
//	w.Date("2026-11-25")                  // 25 novembre 2026
//	w.Number(16.6407, 2)                  // 16,64
//
// The texts are in texts/LANGUAGE.toml. A text is found by its key, a section
// and a name, and may hold places to fill, {name}, and words to mark,
// <name>...</name>. A text that depends on a count has a form for each plural
// category of its language; the count is called n.
//
// The package knows no lesson and makes no page. Lessons are translated in
// their own folders.
package words

import (
	"embed"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"

	"slipring/engine/language"
)

//go:embed texts/*.toml
var files embed.FS

// Words are the texts of one language.
type Words struct {
	tag      string
	language textlanguage.Tag
	texts    map[string]text
	months   []string // twelve, January first

	constants map[string]string // from English, as package machine has it
}

// In gives the texts of a language, one of those that package lesson lists.
func In(tag string) (*Words, error) {
	if !slices.Contains(language.Tags(), tag) {
		return nil, fmt.Errorf("there are no texts in the language %q", tag)
	}
	source, err := files.ReadFile("texts/" + tag + ".toml")
	if err != nil {
		return nil, fmt.Errorf("texts of the language %q: %w", tag, err)
	}
	w, err := read(tag, source)
	if err != nil {
		return nil, fmt.Errorf("texts/%s.toml: %w", tag, err)
	}
	return w, nil
}

// Language is the tag that In was given, for lang attributes.
func (w *Words) Language() string { return w.tag }

// Name is what the language calls itself, such as "français".
func (w *Words) Name() string { return language.Name(w.tag) }

// Keys lists the keys of all texts, sorted.
func (w *Words) Keys() []string { return slices.Sorted(maps.Keys(w.texts)) }

// Text gives a text with its places filled. What fills them follows as pairs
// of name and value; a value is a string or an int. Marks are left out.
//
// A key that does not exist, and values that do not fit the text, are mistakes
// in the program, for which Text panics.
func (w *Words) Text(key string, fill ...any) string {
	var b strings.Builder
	for _, p := range w.parts(key, fill) {
		if p.kind != mark {
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
		case p.kind == mark:
			panic(fmt.Sprintf("words: nothing marks <%s> in %q", p.name, key))
		default:
			b.WriteString(template.HTMLEscapeString(p.value))
		}
	}
	return template.HTML(b.String())
}

// Constant gives what package machine says about a constant of a card, or the
// engine about a part and its equations, in this language; in English, that is doc itself. So is what has no translation,
// which a test finds.
func (w *Words) Constant(doc string) string {
	if s, ok := w.constants[doc]; ok {
		return s
	}
	return doc
}

// Part names a part of a machine card in this language. A part that the texts
// have no word for has its own name, so that it is on the page all the same; a
// test finds those that package machine knows.
func (w *Words) Part(name string) string {
	if _, ok := w.texts["part."+name]; ok {
		return w.Text("part." + name)
	}
	return strings.ReplaceAll(name, "-", " ")
}

// Number writes x as the language does, with fixed decimals, as a quote of
// package language prints it.
func (w *Words) Number(x float64, decimals int) string { return language.Of(w.tag).Number(x, decimals) }

// Decimal is the sign between a number's whole part and its decimals.
func (w *Words) Decimal() string {
	return strings.Trim(w.Number(0.5, 1), "05")
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
	return w.Text("date.full", "day", day, "month", w.months[t.Month()-1], "year", t.Year())
}

// Month writes a month of the form 2026-11 in words.
func (w *Words) Month(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return w.Text("date.month", "month", w.months[t.Month()-1], "year", t.Year())
}

// form gives the plural category of a count (Unicode CLDR).
func (w *Words) form(n int) plural.Form {
	return plural.Cardinal.MatchPlural(w.language, n, 0, 0, 0, 0)
}
