// Package card reads machine cards and their history, the house file, the
// sources and the glossary, all TOML, into plain values.
//
//	sheet, messages := card.ReadSheet("lessons/cards/bell-current-set.toml", source)
//
// A card has one line for each constant, with its value, its unit and where it
// comes from. Nothing is guessed: an unknown key, a missing constant, a wrong
// unit or an impossible value is an error with its line and a next step. The
// package reads no files itself.
package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/machine"
)

// Read reads a machine card. The card may be used only when none of the
// messages is an error.
func Read(name string, source []byte) (machine.Card, []diag.Message) {
	s, messages := ReadSheet(name, source)
	return s.Card, messages
}

// ReadSheet reads a machine card with all that its file says. It may be used
// only when none of the messages is an error.
func ReadSheet(name string, source []byte) (Sheet, []diag.Message) {
	sheet := Sheet{File: name, source: source, at: map[string]int{}}
	c := &sheet.Card
	f, ok := parse(name, source, cardFormat())
	if !ok {
		return sheet, f.messages
	}
	r := reader{file: f, card: c, at: sheet.at}
	r.top(f.sections[0])
	for _, s := range f.sections[1:] {
		kind, _ := kindOf(s)
		c.FitAs(s.name, kind) // at once, since what a part needs depends on the others
	}
	var translations, fitted []section
	for _, s := range f.sections[1:] {
		if s.name == fittedHeading {
			fitted = append(fitted, s)
		} else if _, said := kindOf(s); said != nil { // [fan] could be a language too
			r.part(s)
		} else if _, language, translated := f.divide(s); !translated {
			r.part(s)
		} else if language != "" {
			translations = append(translations, s)
		}
	}
	for _, s := range translations {
		r.translation(s, &sheet)
	}
	for _, s := range fitted {
		r.fitted(s)
	}
	if len(f.messages) == 0 {
		for _, flaw := range c.Validate() {
			r.flaw(flaw)
		}
	}
	return sheet, diag.Sort(f.messages)
}

func cardFormat() format {
	return format{family: "card", nested: true, topped: true, form: `a constant is written KEY = { value = 48, unit = "V", from = "nameplate" }`}
}

type reader struct {
	*file
	card *machine.Card
	at   map[string]int // PART, or PART.KEY, to its offset
}

func (r *reader) flaw(f machine.Flaw) {
	offset, ok := r.at[f.Part+"."+f.Key]
	about := fmt.Sprintf("%s of the %s: ", f.Key, f.Part)
	if !ok {
		offset = r.at[f.Part]
		about = fmt.Sprintf("the %s: ", f.Part)
	}
	r.add(offset, "value", about+f.Reason, f.Next)
}

func (r *reader) top(s section) {
	for _, d := range s.fields {
		r.at["."+d.key] = d.offset
	}
	r.words(s, map[string]*string{"name": &r.card.Name, "title": &r.card.Title}, map[string]*string{"revised": &r.card.Revised},
		map[string]*bool{"invented": &r.card.Invented})
}

// words fills the plain keys of a section: texts and dates are required. Others
// are keys that were read already.
func (f *file) words(s section, texts, dates map[string]*string, truths map[string]*bool, others ...string) {
	needed := slices.Sorted(keys(texts, dates, truths))
	known := slices.Sorted(slices.Values(append(slices.Clone(needed), others...)))
	seen := map[string]bool{}
	for _, d := range s.fields {
		seen[d.key] = true
		if to, ok := texts[d.key]; ok && f.want(d, text) {
			*to = d.value.text
			if strings.TrimSpace(d.value.text) == "" {
				f.add(d.offset, "value", fmt.Sprintf("%s is empty", d.key), "write it between the quotes")
			}
		} else if to, ok := dates[d.key]; ok && f.want(d, date) {
			*to = d.value.text
		} else if to, ok := truths[d.key]; ok && f.want(d, truth) {
			*to = d.value.truth
		}
		if !slices.Contains(needed, d.key) {
			f.add(d.offset, "unknown", fmt.Sprintf("unknown key %q", d.key),
				hintNear(d.key, known, "known here are: "+strings.Join(known, ", ")))
		}
	}
	for _, k := range needed {
		if _, optional := truths[k]; !seen[k] && !optional {
			right := text
			if dates[k] != nil {
				right = date
			}
			f.add(s.offset, "missing", fmt.Sprintf("the key %q is missing", k), pattern(k, right))
		}
	}
}

// want says whether a key holds a value of the right kind, and notes it when
// it does not.
func (f *file) want(d field, k kind) bool {
	if d.value.kind == k {
		return true
	}
	f.add(d.value.offset, "value", fmt.Sprintf("%s is %v, where %v belongs", d.key, d.value.kind, k), pattern(d.key, k))
	return false
}

// pattern shows how a key is written with a value of the right kind.
func pattern(key string, k kind) string {
	return fmt.Sprintf("write it as %s = %s", key,
		map[kind]string{text: `"..."`, number: "1.5", truth: "true", date: "2026-05-12", list: `["en"]`, table: `{ fr = "..." }`}[k])
}

// hintNear words the next step after an unknown word.
func hintNear(word string, known []string, otherwise string) string {
	if n := diag.Nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return otherwise
}

// kindOf gives the kind that a part says it is of; without such a key its name
// says it. Words of a part in another language say none.
func kindOf(s section) (kind string, said *field) {
	for _, d := range s.fields {
		if d.key == "kind" && !strings.Contains(s.name, ".") {
			return d.value.text, &d
		}
	}
	return "", nil
}

// part reads the constants of a part:
//
//	[helper]
//	kind = "motor" # where its name does not say it
func (r *reader) part(s section) {
	parts := machine.PartNames()
	kind, said := kindOf(s)
	if said != nil && !slices.Contains(parts, kind) {
		if r.want(*said, text) {
			r.add(said.value.offset, "unknown", fmt.Sprintf("%q is no kind of part", kind), hintNear(kind, parts, "known kinds are: "+strings.Join(parts, ", ")))
		}
		return
	}
	if said != nil && !labelForm.MatchString(s.name) {
		r.label(s, s.name)
		return
	}
	if said != nil && kind != s.name && slices.Contains(parts, s.name) {
		r.add(s.offset, "value", fmt.Sprintf("the part %q is of the kind %q by its name", s.name, s.name), fmt.Sprintf("give the %s a name of its own", kind))
		return
	}
	if !r.card.FitAs(s.name, kind) {
		r.add(s.offset, "unknown", fmt.Sprintf("unknown part %q", s.name),
			hintNear(s.name, parts, "known parts are: "+strings.Join(parts, ", ")))
		return
	}
	r.at[s.name] = s.offset
	list, _ := machine.Describe(r.card.Kind(s.name))
	var known []string
	for _, d := range list {
		known = append(known, d.Key)
	}
	seen := map[string]bool{}
	for _, d := range s.fields {
		i := slices.Index(known, d.key)
		if said != nil && d.key == said.key {
			continue
		}
		if i < 0 {
			r.add(d.offset, "unknown", fmt.Sprintf("the %s has no constant %q", s.name, d.key),
				hintNear(d.key, known, "known here are: "+strings.Join(known, ", ")))
			continue
		}
		seen[d.key] = true
		r.at[s.name+"."+d.key] = d.value.offset
		r.constant(s.name, list[i], d)
	}
	for _, c := range r.card.Constants() {
		if c.Part == s.name && !seen[c.Key] {
			r.add(s.offset, "missing", fmt.Sprintf("the %s has no %q: %s", s.name, c.Key, c.Doc),
				fmt.Sprintf(`write it as %s = { value = ..., unit = %q, from = "assumed" }`, c.Key, c.SIUnit))
		}
	}
}
