package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// Each file gives its words in the house's first language. What they are in
// another stands in a table of its own, named with the language behind a dot:
// [LABEL.fr] beside [LABEL], and [fr] for what stands above all headings.

// divide splits the heading of a translation into what it translates, "" for
// the top of the file, and the language. It reports a language that is none.
func (f *file) divide(s section) (label, language string, ok bool) {
	label, language, dotted := strings.Cut(s.name, ".")
	switch {
	case !dotted && f.topped && languageForm.MatchString(label):
		return "", label, true
	case !dotted:
		return label, "", false
	case strings.Contains(language, "."): // has been reported
	case !languageForm.MatchString(language):
		f.add(s.offset, "label", fmt.Sprintf("%q is no language", language), "write its short form, such as fr")
	default:
		return label, language, true
	}
	return label, "", true
}

// above says whether what a translation translates stands above it, and
// reports where it does not.
func (f *file) above(s section, what, label string, had bool) bool {
	if !had {
		f.add(s.offset, "label", fmt.Sprintf("%s %q is not above this translation of it", what, label), fmt.Sprintf("write [%s] first", label))
	}
	return had
}

// lacking makes the warning about words that a language has not got.
func lacking(file string, line, column int, family, what, language, write string) diag.Message {
	return diag.Message{File: file, Line: line, Column: column, Level: diag.Warning, Rule: family + "-language",
		Text: fmt.Sprintf("%s has no words in %q, and stands there untranslated", what, language), Hint: write}
}

// Others gives the house's languages without the main one.
func (h House) Others() []string {
	if len(h.Languages) < 2 {
		return nil
	}
	return h.Languages[1:]
}

// Say gives the house with its words in a language; foreign says that some of
// them are not in it, because the file has none.
func (h House) Say(language string) (said House, foreign func(words string) bool) {
	same := map[string]bool{}
	pick := func(words *string, other string) {
		if other != "" {
			*words = other
			return
		}
		same[*words] = true
	}
	said = h
	if len(h.Languages) > 0 && language != h.Languages[0] {
		in := h.In[language]
		if in.Name != "" {
			said.Name = in.Name // names are names in any language
		}
		pick(&said.Place, in.Place)
		pick(&said.Note, in.Note)
		pick(&said.Contact, in.Contact)
		pick(&said.Open, in.Open)
		if in.Address != "" {
			said.Address = in.Address // letters are addressed as in its own country
		}
		if in.Web != "" {
			said.Web = in.Web
		}
	}
	return said, func(words string) bool { return same[words] }
}

// HouseWords is what the house file says in another language.
type HouseWords struct{ Name, Place, Note, Contact, Address, Open, Web string }

var houseWordKeys = [...]string{"name", "place", "note", "contact", "address", "open", "web"}

// below reads what stands below the headings of a house file: its words in
// another language, and the hazards that lessons can declare.
func (f *file) below(h *House, hazards []string) {
	first := ""
	if len(h.Languages) > 0 {
		first = h.Languages[0]
	}
	for _, s := range f.sections[1:] {
		if strings.Count(s.name, ".") > 1 {
			continue // has been reported
		}
		label, language, translated := f.divide(s)
		switch {
		case translated && language == "": // has been reported
		case label == "":
			if f.listed(h, s, language) {
				f.houseIn(h, s, language)
			}
		case !slices.Contains(hazards, label):
			f.add(s.offset, "unknown", fmt.Sprintf("unknown heading [%s]", s.name),
				hintNear(label, hazards, "the headings of a house file are languages, such as [fr], and hazards: "+strings.Join(hazards, ", ")))
		case translated:
			f.hazardIn(h, s, label, language)
		default:
			h.Hazards = append(h.Hazards, f.hazard(s, first))
		}
	}
	f.lackingHouse(h)
}

// listed says whether a language is one of the house's others, and reports
// where it is not.
func (f *file) listed(h *House, s section, language string) bool {
	if slices.Contains(h.Others(), language) {
		return true
	}
	f.add(s.offset, "label", fmt.Sprintf("the house has words in %q, but does not list that language beside its first", language),
		"write it into languages, or take the words out")
	return false
}

// houseIn reads what the house says of itself in another language.
func (f *file) houseIn(h *House, s section, language string) {
	var w HouseWords
	places := map[string]*string{"name": &w.Name, "place": &w.Place, "note": &w.Note, "contact": &w.Contact,
		"address": &w.Address, "open": &w.Open, "web": &w.Web}
	f.fill(s, fmt.Sprintf("the house in %q", language), houseWordKeys[:], func(key string) any { return places[key] })
	for _, d := range s.fields {
		if d.key == "web" && w.Web != "" {
			f.webAddress(d, w.Web)
		}
	}
	if h.In == nil {
		h.In = map[string]HouseWords{}
	}
	h.In[language] = w
}

// lackingHouse warns of what the house says in its first language alone.
func (f *file) lackingHouse(h *House) {
	for _, language := range h.Others() {
		in := h.In[language]
		said := map[string]string{"place": in.Place, "note": in.Note, "contact": in.Contact, "open": in.Open}
		for _, d := range f.sections[0].fields {
			if words, translated := said[d.key]; translated && words == "" && d.value.kind == text {
				line, column := f.place(d.offset)
				f.messages = append(f.messages, lacking(f.name, line, column, f.family, "the house's "+d.key, language,
					fmt.Sprintf("at the end of the file, write below [%s]: %s = \"...\"", language, d.key)))
			}
		}
		f.lackingHazards(h, language)
	}
}

// labelled goes through the sections of a list of labelled things, such as
// sources. One that begins a thing goes to own; one that says a thing in
// another language goes to said, with the thing's place by find.
func (f *file) labelled(kind string, own func(section), find func(label string) int, said func(s section, at int, what, language string)) {
	f.bare()
	for _, s := range f.sections[1:] {
		label, language, translated := f.divide(s)
		if !translated {
			own(s)
			continue
		}
		if language == "" {
			continue
		}
		if at := find(label); f.above(s, kind, label, at >= 0) {
			said(s, at, fmt.Sprintf("%s %q in %q", kind, label, language), language)
		}
	}
}
