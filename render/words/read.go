package words

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"
)

var (
	nameForm    = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	pluralForms = map[string]plural.Form{"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few, "many": plural.Many, "other": plural.Other}
)

// read reads the texts of one language: sections of texts, each a string or a
// table of plural forms, date.months, and translations in the section constants.
func read(tag string, source []byte) (*Words, error) {
	parsed, err := textlanguage.Parse(tag)
	if err != nil {
		return nil, err
	}
	w := &Words{tag: tag, language: parsed, texts: map[string]text{}}
	var sections map[string]map[string]any
	if err := toml.Unmarshal(source, &sections); err != nil {
		return nil, err
	}
	w.constants = map[string]string{}
	for doc, value := range sections["constants"] {
		s, ok := value.(string)
		if !ok || strings.TrimSpace(s) == "" {
			return nil, fmt.Errorf("constants: %q has no translation", doc)
		}
		w.constants[doc] = s
	}
	delete(sections, "constants")
	for _, section := range slices.Sorted(maps.Keys(sections)) {
		for _, name := range slices.Sorted(maps.Keys(sections[section])) {
			key := section + "." + name
			value := sections[section][name]
			if !nameForm.MatchString(section) || !nameForm.MatchString(name) {
				return nil, fmt.Errorf("%q cannot be a key: write small letters, digits and dashes", key)
			}
			if key == "date.months" {
				w.months = months(value)
				continue
			}
			t, err := readText(value)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", key, err)
			}
			w.texts[key] = t
		}
	}
	if len(w.months) != 12 {
		return nil, fmt.Errorf("date.months does not list twelve months")
	}
	for _, key := range [...]string{"date.full", "date.first"} {
		if _, ok := w.texts[key]; !ok {
			return nil, fmt.Errorf("there is no text %s", key)
		}
	}
	return w, nil
}

func readText(value any) (text, error) {
	t := text{forms: map[plural.Form][]part{}}
	set := func(form plural.Form, value any) error {
		s, ok := value.(string)
		if !ok || strings.TrimSpace(s) != s || s == "" {
			return fmt.Errorf("a text is a string without blanks around it, and not empty")
		}
		parts, err := split(s)
		t.forms[form] = parts
		return err
	}
	forms, ok := value.(map[string]any)
	if !ok {
		return t, set(plural.Other, value)
	}
	for name, value := range forms {
		form, ok := pluralForms[name]
		if !ok {
			return t, fmt.Errorf("there is no plural form %q", name)
		}
		if err := set(form, value); err != nil {
			return t, fmt.Errorf("%s: %w", name, err)
		}
	}
	if _, ok := t.forms[plural.Other]; !ok || len(t.forms) < 2 {
		return t, fmt.Errorf("a text with plural forms has the form other and at least one more")
	}
	return t, nil
}

func months(value any) []string {
	list, _ := value.([]any)
	var names []string
	for _, v := range list {
		if name, ok := v.(string); ok && name != "" {
			names = append(names, name)
		}
	}
	return names
}
