package language

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"

	"slipring/engine/diag"
)

var nameForm = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// Sections of a file that hold no texts of pages.
const (
	ofRules     = "language"  // what differs besides words
	ofSentences = "constants" // what the engine says, by its English
)

// read reads the file of a language. What it lacks, base has; a file without a
// base, that of English, says which texts there are. The language may be used only when
// none of the messages is an error.
func read(name, tag string, source []byte, base *Language) (*Language, []diag.Message) {
	f := &file{name: name, source: source}
	l := &Language{Tag: tag, Name: tag, base: base, texts: map[string]Text{}, sentences: map[string]string{}, digest: tag}
	code, err := textlanguage.Parse(tag)
	if err != nil {
		f.add("", fmt.Sprintf("%q is no short form of a language", tag), "name the file after its language by ISO 639, such as es.toml")
		return l, f.messages
	}
	values, ok := f.parse()
	if !ok {
		return l, f.messages
	}
	l.code = code
	f.rules(l, values[ofRules])
	for _, section := range slices.Sorted(maps.Keys(values)) {
		table, ok := values[section].(map[string]any)
		switch {
		case section == ofRules:
		case !ok:
			f.add(section, fmt.Sprintf("%q stands above all headings", section), "write it below the heading of its section, such as [site]")
		case section == ofSentences:
			f.said(l, table)
		case !nameForm.MatchString(section):
			f.add(section, fmt.Sprintf("%q cannot be a section", section), "write small letters, digits and dashes")
		default:
			f.section(l, section, table)
		}
	}
	return l, diag.Sort(f.messages)
}

// section reads the texts below one heading.
func (f *file) section(l *Language, section string, table map[string]any) {
	for _, name := range slices.Sorted(maps.Keys(table)) {
		key, value := section+"."+name, table[name]
		if key == "date.months" {
			f.months(l, value)
			continue
		}
		if l.base == nil && !nameForm.MatchString(name) {
			f.add(key, fmt.Sprintf("%q cannot be a key", key), "write small letters, digits and dashes")
			continue
		}
		var like Text
		if l.base != nil {
			var ok bool
			if like, ok = shippedText(l, key); !ok {
				f.add(key, fmt.Sprintf("no page has a text %s", key), f.near(l, key))
				continue
			}
		}
		if t, ok := f.text(l, key, value); ok && (l.base == nil || f.fits(l, key, t, like)) {
			t.Count = t.Counted() || like.Counted()
			l.texts[key] = t
		}
	}
}

// shippedText gives the English text of a key.
func shippedText(l *Language, key string) (Text, bool) {
	for l.base != nil {
		l = l.base
	}
	t, ok := l.texts[key]
	return t, ok
}

func (f *file) near(l *Language, key string) string {
	if near := diag.Nearest(key, l.base.Keys()); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return "take it out; the keys are those of the files that come with the program"
}

// text reads a text, or one of each plural form.
func (f *file) text(l *Language, key string, value any) (Text, bool) {
	t := Text{Forms: map[plural.Form][]Part{}}
	sound := true
	set := func(at string, form plural.Form, value any) {
		s, ok := value.(string)
		if !ok || strings.TrimSpace(s) != s || s == "" {
			f.add(at, fmt.Sprintf("%s: a text is a string without blanks around it, and not empty", at), "write the words between quotes")
			sound = false
			return
		}
		if at, what := diag.Hidden([]byte(s)); at >= 0 {
			f.add(key, fmt.Sprintf("%s: %s", key, what), "take the escape out")
			sound = false
		}
		parts, err := split(s)
		if err != nil {
			f.add(at, fmt.Sprintf("%s: %s", at, err), "write them as the English text has them")
			sound = false
		}
		t.Forms[form] = parts
	}
	given, ok := value.(map[string]any)
	if !ok {
		set(key, plural.Other, value)
		return t, sound
	}
	counted, all := forms(l.code)
	for _, name := range slices.Sorted(maps.Keys(given)) {
		form, ok := formOf(name)
		if !ok || !slices.Contains(all, name) {
			f.add(key+"."+name, fmt.Sprintf("%s: there is no plural form %q in %q", key, name, l.Tag), "its forms are those of the Unicode CLDR: "+strings.Join(all, ", "))
			sound = false
			continue
		}
		set(key+"."+name, form, given[name])
	}
	for _, name := range counted {
		if _, ok := given[name]; !ok && sound {
			f.add(key, fmt.Sprintf("%s: the plural form %q is missing", key, name), fmt.Sprintf("a counted text in %q has the forms %s", l.Tag, strings.Join(counted, ", ")))
			sound = false
		}
	}
	return t, sound
}

// fits says whether a text has the places and marks of the English one, in each
// form. The count may be left out of a form.
func (f *file) fits(l *Language, key string, t, like Text) bool {
	counted, _ := forms(l.code)
	if t.Counted() != (like.Counted() && len(counted) > 1) {
		hint := fmt.Sprintf("write one text, as in English: %q", like)
		if like.Counted() {
			hint = fmt.Sprintf("write a form for each of %s, as in { %s = \"...\" }", strings.Join(counted, ", "), strings.Join(counted, ` = "...", `))
		}
		f.add(key, fmt.Sprintf("%s: counts and forms do not fit each other", key), hint)
		return false
	}
	sound := true
	names := like.Names()
	for form, parts := range t.Forms {
		at := key
		if t.Counted() {
			at += "." + nameOf(form)
		}
		var has []string
		for _, p := range parts {
			if p.Kind != Literal {
				has = append(has, p.label())
			}
		}
		for _, name := range names {
			if !slices.Contains(has, name) && !(like.Counted() && name == "{n}") {
				f.add(at, fmt.Sprintf("%s: %s is missing", at, name), fmt.Sprintf("in English it reads %q", like))
				sound = false
			}
		}
		for _, name := range has {
			if !slices.Contains(names, name) && !(like.Counted() && name == "{n}") {
				f.add(at, fmt.Sprintf("%s: nothing fills %s", at, name), fmt.Sprintf("in English it reads %q", like))
				sound = false
			}
		}
	}
	return sound
}

func (f *file) months(l *Language, value any) {
	list, _ := value.([]any)
	for _, v := range list {
		if name, ok := v.(string); ok && name != "" {
			l.months = append(l.months, name)
		}
	}
	if len(l.months) != 12 {
		f.add("date.months", "date.months does not list twelve months", "write twelve names, January first")
		l.months = nil
	}
}

// said reads what the engine says, by its English.
func (f *file) said(l *Language, table map[string]any) {
	for _, english := range slices.Sorted(maps.Keys(table)) {
		at := ofSentences + "." + english
		s, ok := table[english].(string)
		if !ok || strings.TrimSpace(s) == "" {
			f.add(at, fmt.Sprintf("%q has no translation", english), "write it between quotes, or take the line out")
			continue
		}
		l.sentences[english] = s
	}
}
