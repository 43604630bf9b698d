package card

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/diag"
)

// Sources is the file of the sources that lessons cite.
type Sources struct {
	File string
	List []Source // in the order of the file
}

// Source is one source. Lessons cite it as [words][src.LABEL].
type Source struct {
	Label     string
	Kind      SourceKind
	Title     string
	Author    string
	Publisher string
	Year      int               // 0 when it has none
	Section   string            // chapter, clause or pages that are meant
	Supports  string            // what the lessons rest on it
	In        map[string]string // Supports by language, such as "fr"
	Note      string            // for whoever keeps the list

	Line, Column int // of its label in the file
}

// SourceKind says what sort of source one is.
type SourceKind string

// CommonPractice marks what the trade does, or says, without a source for it.
const CommonPractice SourceKind = "common practice"

// SourceKinds lists the kinds of source.
func SourceKinds() []SourceKind {
	return []SourceKind{"book", "handbook", "standard", "regulation", "article", "page", CommonPractice}
}

// Find gives the source of a label.
func (s Sources) Find(label string) (Source, bool) {
	i := slices.IndexFunc(s.List, func(x Source) bool { return x.Label == label })
	if i < 0 {
		return Source{}, false
	}
	return s.List[i], true
}

// Say gives what a source supports in a language; false where it is in that of
// the file, for want of words.
func (s Source) Say(language string) (supports string, translated bool) {
	if words, ok := s.In[language]; ok {
		return words, true
	}
	return s.Supports, false
}

// Lacks reports sources without words in the other languages of the house.
func (s Sources) Lacks(languages []string) []diag.Message {
	var messages []diag.Message
	for _, x := range s.List {
		for _, language := range languages {
			if _, ok := x.Say(language); !ok {
				messages = append(messages, lacking(s.File, x.Line, x.Column, "source", fmt.Sprintf("the source %q", x.Label), language,
					fmt.Sprintf("write [%s.%s] and below it supports = \"...\"", x.Label, language)))
			}
		}
	}
	return messages
}

// Reference gives a source in one line, such as "K. B. Miller: American
// Telephone Practice. McGraw Publishing, 1905, pp. 456-457".
func (s Source) Reference() string {
	if s.Kind == CommonPractice {
		return "common practice, no source"
	}
	line := s.Title
	if s.Author != "" {
		line = s.Author + ": " + line
	}
	year := ""
	if s.Year != 0 {
		year = strconv.Itoa(s.Year)
	}
	var rest []string
	for _, part := range []string{s.Publisher, year, s.Section} {
		if part != "" {
			rest = append(rest, part)
		}
	}
	return strings.TrimSuffix(line, ".") + ". " + strings.Join(rest, ", ")
}

var sourceKeys = [...]string{"kind", "title", "author", "publisher", "year", "section", "supports", "note"}

// ReadSources reads the file of sources, usually sources.toml. It may be used
// only when none of the messages is an error.
func ReadSources(name string, source []byte) (Sources, []diag.Message) {
	all := Sources{File: name}
	f, ok := parse(name, source, format{family: "source", nested: true, form: `a source is written [LABEL] and below it KEY = "words"`})
	if !ok {
		return all, f.messages
	}
	f.labelled("the source", func(s section) { all.List = append(all.List, f.sourceEntry(s)) }, func(label string) int {
		return slices.IndexFunc(all.List, func(x Source) bool { return x.Label == label })
	}, func(s section, i int, what, language string) {
		var supports string
		got := f.fill(s, what, []string{"supports"}, func(string) any { return &supports })
		f.lacks(s, what, got, "supports")
		if all.List[i].In == nil {
			all.List[i].In = map[string]string{}
		}
		all.List[i].In[language] = supports
	})
	return all, diag.Sort(f.messages)
}

func (f *file) sourceEntry(s section) Source {
	x := Source{Label: s.name}
	x.Line, x.Column = f.place(s.offset)
	f.label(s, s.name)
	kind := ""
	places := map[string]any{
		"kind": &kind, "title": &x.Title, "author": &x.Author, "publisher": &x.Publisher, "year": &x.Year,
		"section": &x.Section, "supports": &x.Supports, "note": &x.Note,
	}
	what := fmt.Sprintf("the source %q", s.name)
	got := f.fill(s, what, sourceKeys[:], func(key string) any { return places[key] })
	x.Kind = SourceKind(kind)
	f.lacks(s, what, got, "kind", "supports")
	var known []string
	for _, k := range SourceKinds() {
		known = append(known, string(k))
	}
	d, said := got["kind"]
	switch {
	case !said:
	case !slices.Contains(known, kind):
		f.add(d.value.offset, "value", fmt.Sprintf("there is no kind of source %q", kind), hintNear(kind, known, "write one of: "+strings.Join(known, ", ")))
	case x.Kind == CommonPractice:
		for _, key := range []string{"title", "author", "publisher", "year", "section"} {
			if d, ok := got[key]; ok {
				f.add(d.offset, "value", fmt.Sprintf("%s is common practice, which has no %s", what, key), "take the key out, or give the kind of source that it is")
			}
		}
	default:
		f.lacks(s, what, got, "title")
		if len(f.messages) == 0 && x.Author == "" && x.Publisher == "" {
			f.add(s.offset, "missing", fmt.Sprintf("%s has neither an author nor a publisher, so nobody can find it", what), pattern("publisher", text))
		}
	}
	if d, ok := got["year"]; ok && (x.Year < 1000 || x.Year > 2200) {
		f.add(d.value.offset, "value", fmt.Sprintf("year is %d", x.Year), "write the year in which it appeared, such as 1904")
	}
	return x
}
