package language

import (
	"embed"
	"slices"
	"strings"
	"sync"

	"slipring/engine/diag"
)

//go:embed languages/*.toml
var files embed.FS

// shipped are the languages that come with the program, each read when it is
// first asked for. English is the base of all others.
var shipped = func() map[string]func() *Language {
	all := map[string]func() *Language{}
	for _, tag := range shippedTags() {
		all[tag] = sync.OnceValue(func() *Language {
			var base *Language
			if tag != english {
				base = all[english]()
			}
			name := "languages/" + tag + ".toml"
			source, err := files.ReadFile(name)
			if err != nil {
				panic(err) // it was listed
			}
			l, messages := read(name, tag, source, base)
			if diag.HasError(messages) {
				panic(diag.Sort(messages)[0]) // TestShipped finds it first
			}
			return l
		})
	}
	return all
}()

// english is the language of the program itself.
const english = "en"

// shippedTags lists the files, English first.
func shippedTags() []string {
	entries, err := files.ReadDir("languages")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	tags := []string{english}
	for _, e := range entries {
		if tag := strings.TrimSuffix(e.Name(), ".toml"); tag != english {
			tags = append(tags, tag)
		}
	}
	return tags
}

// Set are the languages that a house can have: those that come with the
// program, and its own. The zero Set has none of its own.
type Set struct{ own []*Language }

// Find gives a language by its tag.
func (s Set) Find(tag string) (*Language, bool) {
	if i := slices.IndexFunc(s.own, func(l *Language) bool { return l.Tag == tag }); i >= 0 {
		return s.own[i], true
	}
	if of, ok := shipped[tag]; ok {
		return of(), true
	}
	return nil, false
}

// Of gives a language by its tag, and English for one that is not in the set.
func (s Set) Of(tag string) *Language {
	if l, ok := s.Find(tag); ok {
		return l
	}
	return shipped[english]()
}

// Tags lists the languages: English, the others that come with the program, and
// those of the house.
func (s Set) Tags() []string {
	tags := shippedTags()
	for _, l := range s.own {
		if !slices.Contains(tags, l.Tag) {
			tags = append(tags, l.Tag)
		}
	}
	return tags
}
