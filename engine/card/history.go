package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/machine"
)

// History is the file of what was changed on the machine cards, newest first.
//
//	[refit-of-the-governor]
//	date = 2026-11-25
//	card = "bell-current-set"
//	by = "the Tuesday volunteer"
//	why = "The contact was cleaned, and the set read anew."
//	changed = [
//	  { constant = "governor.radius", was = 12.4, is = 12.369, unit = "mm" },
//	]
//
// A change may also say how doubtful the value was and is, and where it came
// from: was-uncertainty = 0.5, is-uncertainty = 0.04, was-from = "assumed",
// is-from = "fitted". What the card noted on the value that was stands in was-note, and
// in other languages in was-note-in = { fr = "..." }.
//
// A constant needs no entry until it is changed for the first time; from then
// on its newest entry must give what the card says.
type History struct {
	File string
	List []Revision // in the order of the file
}

// Revision is what was changed on a card at one time, and why.
type Revision struct {
	Label   string
	Date    string // YYYY-MM-DD
	Card    string // its name
	By      string // in which role, never a person's name
	Why     string
	Changed []Change
	In      map[string]RevisionWords // by language, such as "fr"

	Line, Column int // of its label in the file

	dateAt int // byte offset in the file
}

// RevisionWords is what a revision says in another language.
type RevisionWords struct{ By, Why string }

// Change is one constant that was changed. Was and Is are in Unit, and so are
// their standard uncertainties.
type Change struct {
	Constant string // PART.KEY
	Was, Is  float64
	Unit     string

	WasUncertainty, IsUncertainty float64        // 0 where the entry does not say, or it counted as exact
	WasFrom, IsFrom               machine.Origin // "" where the entry does not say

	WasNote   string            // on the value that was; "" where there was none
	WasNoteIn map[string]string // by language, such as "fr"

	Line, Column int // in the file
}

var (
	revisionKeys = [...]string{"date", "card", "by", "why", "changed"}
	changeKeys   = [...]string{"constant", "was", "is", "unit"}
	changeMore   = [...]string{"was-uncertainty", "is-uncertainty", "was-from", "is-from", "was-note", "was-note-in"} // that an entry may leave out
)

const changeForm = `{ constant = "governor.radius", was = 12.4, is = 12.369, unit = "mm" }`

// ReadHistory reads the history, usually history.toml. It may be used only
// when none of the messages is an error. Whether it fits the cards is for
// Against to say.
func ReadHistory(name string, source []byte) (History, []diag.Message) {
	all := History{File: name}
	f, ok := parse(name, source, format{family: "history", nested: true, form: `an entry is written [LABEL] and below it date = ..., card = "...", by = "...", why = "..." and changed = [...]`})
	if !ok {
		return all, f.messages
	}
	f.labelled("the entry", func(s section) { all.List = append(all.List, f.revision(s)) }, func(label string) int {
		return slices.IndexFunc(all.List, func(x Revision) bool { return x.Label == label })
	}, func(s section, i int, what, language string) {
		var w RevisionWords
		places := map[string]any{"by": &w.By, "why": &w.Why}
		got := f.fill(s, what, []string{"by", "why"}, func(key string) any { return places[key] })
		f.lacks(s, what, got, "by", "why")
		if all.List[i].In == nil {
			all.List[i].In = map[string]RevisionWords{}
		}
		all.List[i].In[language] = w
	})
	for i := 1; i < len(all.List); i++ {
		if newer, older := all.List[i-1].Date, all.List[i].Date; newer != "" && older > newer {
			f.add(all.List[i].dateAt, "order", fmt.Sprintf("this entry of %s stands below one of %s", older, newer), "put the newest entry first")
		}
	}
	return all, diag.Sort(f.messages)
}

func (f *file) revision(s section) Revision {
	x := Revision{Label: s.name, dateAt: s.offset}
	x.Line, x.Column = f.place(s.offset)
	f.label(s, s.name)
	what := fmt.Sprintf("the entry %q", s.name)
	rest := s
	rest.fields = nil
	var changed *field
	for _, d := range s.fields {
		switch d.key {
		case "date":
			if x.dateAt = d.value.offset; f.want(d, date) {
				x.Date = d.value.text
			}
		case "changed":
			changed = &d
		default:
			rest.fields = append(rest.fields, d)
		}
	}
	places := map[string]any{"card": &x.Card, "by": &x.By, "why": &x.Why}
	got := f.fill(rest, what, revisionKeys[:], func(key string) any { return places[key] })
	f.lacks(s, what, got, "card", "by", "why")
	if !slices.ContainsFunc(s.fields, func(d field) bool { return d.key == "date" }) {
		f.add(s.offset, "missing", what+" has no date", pattern("date", date))
	}
	switch {
	case changed == nil:
		f.add(s.offset, "missing", what+" does not say what was changed", "write changed = [ "+changeForm+" ]")
	case f.want(*changed, list):
		x.Changed = f.changes(what, *changed)
	}
	return x
}

func (f *file) changes(what string, d field) []Change {
	if len(d.value.items) == 0 {
		f.add(d.value.offset, "value", what+" changes nothing", "write changed = [ "+changeForm+" ]")
	}
	var list []Change
	seen := map[string]bool{}
	for _, item := range d.value.items {
		if item.kind != table {
			f.add(item.offset, "value", fmt.Sprintf("a change is %v, where a table in braces belongs", item.kind), "write it as "+changeForm)
			continue
		}
		if c, at, ok := f.change(what, item); ok {
			if seen[c.Constant] {
				f.add(at, "duplicate", fmt.Sprintf("%s changes %q twice", what, c.Constant), "say once what it was before, and what it is after")
			}
			seen[c.Constant] = true
			list = append(list, c)
		}
	}
	return list
}

// change reads one change, and gives the byte offset at which it begins.
func (f *file) change(what string, item value) (c Change, start int, ok bool) {
	before := len(f.messages)
	start = item.offset
	seen := map[string]bool{}
	for i, d := range item.fields {
		if i == 0 {
			start = d.offset // lists in several lines would all be placed at the first
		}
		seen[d.key] = true
		switch d.key {
		case "constant":
			if f.want(d, text) {
				c.Constant = d.value.text
			}
		case "was", "is":
			if f.want(d, number) {
				*map[string]*float64{"was": &c.Was, "is": &c.Is}[d.key] = d.value.number
			}
		case "was-uncertainty", "is-uncertainty":
			if !f.want(d, number) {
				continue
			}
			if u := d.value.number; !(u > 0) || math.IsInf(u, 0) {
				f.add(d.value.offset, "value", fmt.Sprintf("%s is %v", d.key, u), "write one standard deviation above zero, in the unit of the values, or leave it out")
			}
			*map[string]*float64{"was-uncertainty": &c.WasUncertainty, "is-uncertainty": &c.IsUncertainty}[d.key] = d.value.number
		case "was-from", "is-from":
			if f.want(d, text) {
				*map[string]*machine.Origin{"was-from": &c.WasFrom, "is-from": &c.IsFrom}[d.key] = f.origin(d)
			}
		case "was-note":
			if f.want(d, text) {
				c.WasNote = d.value.text
			}
		case "was-note-in":
			if f.want(d, table) {
				c.WasNoteIn = f.inLanguages(d)
			}
		case "unit":
			if f.want(d, text) {
				c.Unit = d.value.text
			}
		default:
			known := append(slices.Clone(changeKeys[:]), changeMore[:]...)
			f.add(d.offset, "unknown", fmt.Sprintf("a change has no key %q", d.key), hintNear(d.key, known, "known here are: "+strings.Join(known, ", ")))
		}
	}
	for _, k := range changeKeys {
		if !seen[k] {
			f.add(start, "missing", fmt.Sprintf("a change of %s has no %s", strings.TrimPrefix(what, "the "), k), "write it as "+changeForm)
		}
	}
	if len(c.WasNoteIn) > 0 && c.WasNote == "" {
		f.add(start, "missing", "a note in other languages has no was-note that it translates", `write was-note = "..." too`)
	}
	c.Line, c.Column = f.place(start)
	return c, start, len(f.messages) == before
}

// inLanguages reads { fr = "...", ... }.
func (f *file) inLanguages(of field) map[string]string {
	said := map[string]string{}
	for _, d := range of.value.fields {
		if !languageForm.MatchString(d.key) {
			f.add(d.offset, "label", fmt.Sprintf("%q is no language", d.key), "write its short form, such as fr")
		} else if f.want(d, text) {
			said[d.key] = d.value.text
		}
	}
	return said
}

// NoteIn gives what the card noted on the value that was, in a language; false where
// it is in that of the file, for want of words.
func (c Change) NoteIn(language string) (note string, translated bool) {
	if words, ok := c.WasNoteIn[language]; ok {
		return words, true
	}
	return c.WasNote, false
}

// Say gives who made the revision, and why, in a language; false where that is
// in the language of the file, for want of words.
func (x Revision) Say(language string) (said RevisionWords, translated bool) {
	if w, ok := x.In[language]; ok {
		return w, true
	}
	return RevisionWords{x.By, x.Why}, false
}

// Lacks reports entries without words in the other languages of the house.
func (h History) Lacks(languages []string) []diag.Message {
	var messages []diag.Message
	for _, x := range h.List {
		for _, language := range languages {
			if _, ok := x.Say(language); !ok {
				messages = append(messages, lacking(h.File, x.Line, x.Column, "history", fmt.Sprintf("the entry %q", x.Label), language,
					fmt.Sprintf("write [%s.%s] and below it by = \"...\" and why = \"...\"", x.Label, language)))
			}
		}
	}
	return messages
}
